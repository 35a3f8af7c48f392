//! How large a rig may be for the best allocation to be looked for.

use std::fmt;

use super::allocate::units;
use crate::rig::{Power, Rig};
use crate::units::counted;

/// More units, or outlets, are no board's. [practice, S: too-large]
pub const MOST_UNITS: usize = 100;
/// Modules that hang nowhere: each could hang on many an outlet.
pub const MOST_LOOSE: usize = 16;
/// Devices and outlets of the whole rig.
pub const MOST_PARTS: usize = 1000;

/// Why no allocation is looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TooLarge {
    /// So many units want power.
    Units(usize),
    /// So many modules hang nowhere.
    Loose(usize),
    /// So many devices and outlets there are.
    Parts(usize),
}

/// What makes a rig too large for the best allocation to be looked for, if it is.
#[must_use]
pub fn too_large(rig: &Rig) -> Option<TooLarge> {
    let units = units(rig).len();
    let outlets: usize = rig.supplies().map(|(_, supply)| supply.outlets.len()).sum();
    let parts = rig.devices.len() + outlets;
    if units > MOST_UNITS {
        return Some(TooLarge::Units(units));
    }
    if parts > MOST_PARTS {
        return Some(TooLarge::Parts(parts));
    }
    let is_module = |power: &Power| matches!(power, Power::Low(_));
    let modules = rig.supplies().filter(|(device, _)| is_module(&device.power));
    let loose = modules.filter(|(device, _)| rig.feed_to(device.id).is_none()).count();
    (loose > MOST_LOOSE).then_some(TooLarge::Loose(loose))
}

impl fmt::Display for TooLarge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Units(units) => write!(
                f,
                "not looked for, since {} units want power; it is looked for in rigs of up to {MOST_UNITS}",
                counted(units)
            ),
            Self::Parts(parts) => write!(
                f,
                "not looked for, since there are {} devices and outlets; it is looked for in rigs of up to \
                 {MOST_PARTS}",
                counted(parts)
            ),
            Self::Loose(loose) => write!(
                f,
                "not looked for, since {} modules hang nowhere; it is looked for with up to {MOST_LOOSE} of them",
                counted(loose)
            ),
        }
    }
}
