//! Units in side runs and behind the spot: which two choices of the run a
//! switch leads from one to the other.

use std::collections::BTreeSet;

use crate::rig::DeviceId;

use super::super::choice::Choice;

/// A unit, and the choices (on, off) that differ in it alone.
pub struct Switched {
    /// The unit.
    pub device: DeviceId,
    /// Choices by their number; one that doesn't hear the unit stands twice.
    pub pairs: Vec<(usize, usize)>,
}

/// All units of a run that both its ways of standing can be told of.
pub fn switched(choices: &[&Choice]) -> Vec<Switched> {
    let all: BTreeSet<DeviceId> =
        choices.iter().flat_map(|choice| choice.on.iter().chain(&choice.off)).copied().collect();
    let all: Vec<DeviceId> = all.into_iter().collect();
    let said: Vec<Said> = choices.iter().map(|choice| Said::of(choice, &all)).collect();
    all.iter()
        .enumerate()
        .filter_map(|(bit, &device)| {
            let (mut on, mut off, mut deaf) = (Vec::new(), Vec::new(), Vec::new());
            for (at, said) in said.iter().enumerate() {
                match (said.on.has(bit), said.off.has(bit)) {
                    (true, _) => on.push(at),
                    (_, true) => off.push(at),
                    _ => deaf.push((at, at)),
                }
            }
            let mut pairs = Vec::new();
            for &a in &on {
                pairs.extend(off.iter().filter(|&&b| said[a].differs_in(bit, &said[b])).map(|&b| (a, b)));
            }
            let pairs = if pairs.is_empty() { pairs } else { [pairs, deaf].concat() };
            (!pairs.is_empty()).then_some(Switched { device, pairs })
        })
        .collect()
}

/// What a choice says of the run's units.
struct Said {
    on: Bits,
    off: Bits,
}

impl Said {
    fn of(choice: &Choice, all: &[DeviceId]) -> Self {
        Self { on: Bits::of(&choice.on, all), off: Bits::of(&choice.off, all) }
    }

    /// Whether it and another say the same of all units but one, where both say anything.
    fn differs_in(&self, bit: usize, other: &Self) -> bool {
        self.on.meets_only(bit, &other.off) && self.off.meets_only(bit, &other.on)
    }
}

/// A set of units, as bits by their place in a list.
struct Bits(Vec<u64>);

impl Bits {
    fn of(devices: &[DeviceId], all: &[DeviceId]) -> Self {
        let mut words = vec![0; all.len().div_ceil(64)];
        for at in devices.iter().filter_map(|device| all.binary_search(device).ok()) {
            words[at / 64] |= 1 << (at % 64);
        }
        Self(words)
    }

    fn has(&self, bit: usize) -> bool {
        self.0[bit / 64] >> (bit % 64) & 1 == 1
    }

    /// Whether the two have nothing in common but perhaps one unit.
    fn meets_only(&self, bit: usize, other: &Self) -> bool {
        let but = |at: usize| if at == bit / 64 { !(1 << (bit % 64)) } else { u64::MAX };
        self.0.iter().zip(&other.0).enumerate().all(|(at, (a, b))| a & b & but(at) == 0)
    }
}
