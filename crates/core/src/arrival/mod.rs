//! What arrives, over one way or over several at once: seen from the goal back.
//!
//! From a point onward there is an admittance, and of the voltage there some part
//! arrives at the goal. Both are gathered from the far end inward, in one state or
//! in every choice of the switches there; where ways have parted their admittances
//! and what arrives over them add up.

mod choices;
mod mesh;
mod probe;
mod reach;
mod superposition;

use std::collections::{BTreeMap, BTreeSet};

use crate::plan::{Alternative, Plan, Spot, Station, Wire};
use crate::rig::{Position, SwitchSetting};

pub use choices::{Choice, Choices};
pub use probe::Probe;
pub use reach::Reach;
pub use superposition::Superposition;

/// The most things that what lies between where ways part and where they meet is
/// looked at as.
pub const MOST_COMBINATIONS: usize = 4096;

/// The most choices that are kept at once where ways part within ways: a spectrum each.
pub const MOST_KEPT: usize = 4 * MOST_COMBINATIONS;
/// The most stations that a block's choices go through together.
pub const MOST_PASSED: usize = 32 * MOST_COMBINATIONS;

/// What a choice of a side run costs at one frequency, in steps: a lead with complex divisions.
pub const CHOICE_STEPS: u64 = 32;

/// A switch in one of its positions, on the way or beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stand {
    /// The switch and its position.
    pub setting: SwitchSetting,
    /// Whether it stands there only where somebody has set it so.
    pub moved: bool,
}

impl Stand {
    /// What an alternative of a station takes.
    pub fn of(station: &Station, alternative: &Alternative) -> Option<Self> {
        let setting = station.setting(alternative)?;
        Some(Self { setting, moved: !station.at_rest(setting) })
    }

    /// Whether it is off or on.
    pub fn is(stand: Option<Self>, position: Position) -> bool {
        stand.is_some_and(|stand| stand.setting.to == position)
    }
}

/// What ways part at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Begin {
    /// A station, whatever it is.
    Station(usize),
    /// The outputs of a station that always isolates.
    Outputs(usize),
}

/// Up to where signals are followed, past what isolates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Goal {
    /// Where a station has several ways come together that hold at once.
    Sum(usize),
    /// Where the level is wanted.
    Spot(Spot),
}

impl Goal {
    /// The station at whose input it is, unless it is on a lead.
    fn station(self) -> Option<usize> {
        match self {
            Self::Sum(at) | Self::Spot(Spot::Input(at)) => Some(at),
            Self::Spot(Spot::Lead { .. }) => None,
        }
    }

    /// Whether it is on a wire, between its ends.
    pub fn is_on(self, wire: &Wire) -> bool {
        matches!(self, Self::Spot(Spot::Lead { lead, .. }) if wire.lead == Some(lead))
    }
}

/// What hangs on the spot, away from the source.
#[derive(Debug, Clone)]
pub enum Rest {
    /// The rest of a lead with its far plug, and all that comes after it.
    Wire(Wire),
    /// A station, and all that comes after it.
    Station(usize),
    /// What it is belongs to a block.
    Inside,
}

/// The stations from which a way leads to a goal or to one of some others, and those themselves.
pub fn leading_to(plan: &Plan, goal: Option<Goal>, others: &[usize]) -> BTreeSet<usize> {
    let mut before: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    let mut todo: Vec<usize> = others.to_vec();
    for (at, station) in plan.stations.iter().enumerate() {
        for wire in station.alternatives.iter().flat_map(|alternative| station.wires(alternative)).map(|(_, wire)| wire)
        {
            todo.extend(goal.is_some_and(|goal| goal.is_on(wire)).then_some(at));
            wire.to.into_iter().for_each(|to| before.entry(to).or_default().push(at));
        }
    }
    todo.extend(goal.and_then(Goal::station));
    let mut found = BTreeSet::new();
    while let Some(at) = todo.pop() {
        if found.insert(at) {
            todo.extend(before.get(&at).into_iter().flatten());
        }
    }
    found
}
