//! A device that somebody keeps as a part of their own, to make others like it.

use super::{Body, Effect, Kind, Power};
use crate::units::Hertz;

/// Stands in an own part's key behind the key of the part that it goes back to. No key of
/// the catalogue has it.
pub const OWN_KEY_JOINT: char = '~';

/// A part of somebody's own.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnPart {
    /// Its name in files, unlike any other part's: the catalogue's part that it goes back
    /// to, if there is one, [`OWN_KEY_JOINT`], and what tells it from others.
    pub key: String,
    /// What its owner calls it.
    pub name: String,
    /// Size, mass, price.
    pub body: Body,
    /// What it takes to work.
    pub power: Power,
    /// Up to where a change of tone is heard, where it isn't as usual for its kind.
    pub heard_to: Option<Hertz>,
    /// Which effect it makes, if it is a pedal.
    pub effect: Option<Effect>,
    /// What it is, with all its numbers.
    pub kind: Kind,
}

impl OwnPart {
    /// Whether it is the same but for what it is called.
    #[must_use]
    pub fn is_like(&self, other: &Self) -> bool {
        let all = |part: &Self| (part.body, part.heard_to, part.effect);
        all(self) == all(other) && self.power == other.power && self.kind == other.kind
    }
}

/// The key of the catalogue's part that an own part's key goes back to; nothing where it
/// goes back to none. None where the key is no own part's.
#[must_use]
pub fn own_key_of(key: &str) -> Option<&str> {
    key.split_once(OWN_KEY_JOINT).map(|(of, _)| of)
}
