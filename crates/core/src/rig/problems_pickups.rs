//! Positions of an instrument's selector, and push-pulls, that join no pickup or one that isn't there.

use std::fmt;

use super::problems::Problem;
use super::{Device, PickupWiring, PushPull, SwitchKey, name_of};
use crate::rig::Position;

/// What is wrong with how an instrument's pickups are joined.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PickupFault {
    /// A position of the selector joins none.
    NoPickup {
        /// What the position is called.
        position: String,
    },
    /// A position or a push-pull names one that isn't there.
    NoSuchPickup {
        /// Whose: "position “middle” of the selector", "push-pull 1".
        of: String,
        /// The pickup's number.
        pickup: u8,
        /// How many there are.
        pickups: u8,
    },
}

impl PickupFault {
    /// Its name for programs; it stays as it is.
    #[must_use]
    pub fn rule(&self) -> &'static str {
        match self {
            Self::NoPickup { .. } => "no-pickup",
            Self::NoSuchPickup { .. } => "no-such-pickup",
        }
    }

    /// The sentence, of an instrument with that name.
    pub(super) fn tell(&self, name: &str, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPickup { position } => {
                write!(f, "{position} of {name} joins no pickup: nothing comes through while the selector stands there")
            }
            Self::NoSuchPickup { of, pickup, pickups: 1 } => {
                write!(f, "{of} of {name} joins pickup {pickup}, and {name} has one pickup")
            }
            Self::NoSuchPickup { of, pickup, pickups } => {
                write!(f, "{of} of {name} joins pickup {pickup}, and {name} has {pickups} pickups")
            }
        }
    }
}

/// All of an instrument, in the order of its selector's positions and of its push-pulls.
pub fn pickup_problems(device: &Device) -> Vec<Problem> {
    let Some(wiring) = device.pickup_wiring() else { return Vec::new() };
    let faults = faults(wiring).into_iter();
    faults.map(|fault| Problem::Pickups { device: device.id, name: name_of(device), fault }).collect()
}

fn faults(wiring: &PickupWiring) -> Vec<PickupFault> {
    let pickups = wiring.pickups();
    let lacks = |of: &str, pickup: u8| {
        let is_there = (1..=pickups).contains(&pickup);
        (!is_there).then(|| PickupFault::NoSuchPickup { of: of.to_owned(), pickup, pickups })
    };
    let mut found = Vec::new();
    for (at, joins) in (0..).map(Position).zip(&wiring.selector) {
        let name = wiring.position_name(SwitchKey::Pickups, at).unwrap_or_default();
        let position = format!("the selector’s “{name}”");
        found.extend(joins.pickups.iter().filter_map(|one| lacks(&position, one.pickup)));
        if wiring.joined(at, &[]).pickups.is_empty() {
            found.push(PickupFault::NoPickup { position });
        }
    }
    for (number, pull) in (1..).map(SwitchKey::PushPull).zip(&wiring.push_pulls) {
        match *pull {
            PushPull::Half { pickup } | PushPull::TurnOver { pickup } | PushPull::Add { pickup } => {
                found.extend(lacks(number.key(), pickup));
            }
            PushPull::InSeries | PushPull::NoTone => {}
        }
    }
    found
}
