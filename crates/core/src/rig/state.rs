//! How everything stands: switches and controls.

use std::collections::BTreeMap;

use super::{Device, DeviceId, Position, Rig, Switch, SwitchRef, SwitchSetting, WorkedBy};
use crate::units::Turn;

/// A control that the curve depends on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
pub enum Control {
    /// A guitar's volume.
    Volume,
    /// A guitar's tone.
    Tone,
    /// A treadle's angle.
    Treadle,
    /// The own volume of one of several pickups, counted from 1.
    VolumeOf(u8),
    /// The own tone of one of several pickups, counted from 1.
    ToneOf(u8),
    /// A guitar's blend: closed is its first pickup alone, half both, full up the second.
    Blend,
}

impl Control {
    /// In words; a treadle that has a control is a volume pedal's.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::Volume => "volume".to_owned(),
            Self::Tone => "tone".to_owned(),
            Self::Treadle => "volume pedal".to_owned(),
            Self::VolumeOf(pickup) => format!("volume {pickup}"),
            Self::ToneOf(pickup) => format!("tone {pickup}"),
            Self::Blend => "blend".to_owned(),
        }
    }

    /// Where it stands in a state that says nothing of it: full up, a blend in its middle.
    #[must_use]
    pub fn at_rest(self) -> Turn {
        match self {
            Self::Blend => Turn::of(0.5),
            _ => Turn::FULL,
        }
    }
}

/// One control of one device.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Knob {
    /// The device.
    pub device: DeviceId,
    /// Which of its controls.
    pub control: Control,
}

/// Switches and controls as they stand. What isn't listed stands at its
/// default, or full up.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct State {
    /// Switches that stand somewhere else than at their default.
    pub positions: BTreeMap<SwitchRef, Position>,
    /// Controls that don't stand where they rest: full up, for most.
    pub turned: BTreeMap<Knob, Turn>,
    /// Which instrument is played; where nobody says, or it isn't there, the first
    /// from which a signal gets where the level is wanted. All others load and are silent.
    pub instrument: Option<DeviceId>,
}

impl State {
    /// Where a control stands.
    #[must_use]
    pub fn turn(&self, device: DeviceId, control: Control) -> Turn {
        self.turned.get(&Knob { device, control }).copied().unwrap_or(control.at_rest())
    }

    /// Where a switch stands: where it is locked, or where the state has it, or
    /// at its default. A position that it doesn't have is as good as none.
    #[must_use]
    pub fn position(&self, switch: &Switch) -> Position {
        let listed = self.positions.get(&switch.id).copied();
        let listed = listed.filter(|position| usize::from(position.0) < switch.positions);
        switch.locked.or(listed).unwrap_or(switch.default)
    }

    /// Whether every switch and control stands as in another state, and the same instrument is played.
    #[must_use]
    pub fn stands_as(&self, other: &Self) -> bool {
        let turned = |state: &Self| {
            let turned = state.turned.iter().filter(|(knob, turn)| **turn != knob.control.at_rest());
            turned.map(|(knob, turn)| (*knob, *turn)).collect::<Vec<_>>()
        };
        self.positions == other.positions && turned(self) == turned(other) && self.instrument == other.instrument
    }

    /// The same state with these switches set and no others but those that no
    /// foot works: they stand at their defaults.
    #[must_use]
    pub fn with(&self, rig: &Rig, settings: &[SwitchSetting]) -> Self {
        let mut state = self.held(rig);
        state.positions.extend(settings.iter().map(|setting| (setting.switch, setting.to)));
        state
    }

    /// What of a state holds while feet step on a rig's switches: controls, and
    /// switches that a hand or a controller works. Analyses of all states read that.
    #[must_use]
    pub fn held(&self, rig: &Rig) -> Self {
        let mut positions = BTreeMap::new();
        if !self.positions.is_empty() {
            let switches = rig.devices.iter().flat_map(Device::all_switches);
            let held = switches.filter(|switch| switch.worked_by != WorkedBy::Foot);
            positions.extend(held.filter_map(|switch| Some((switch.id, *self.positions.get(&switch.id)?))));
        }
        Self { positions, turned: self.turned.clone(), instrument: self.instrument }
    }

    /// The switches of a rig that stand somewhere else than at their defaults,
    /// of those that all states range over.
    #[must_use]
    pub fn stepped_on(&self, rig: &Rig) -> Vec<SwitchSetting> {
        if self.positions.is_empty() {
            return Vec::new();
        }
        let switches = rig.devices.iter().flat_map(Device::all_switches).filter(Switch::varies);
        let moved = switches.filter_map(|switch| {
            let to = self.position(&switch);
            (to != switch.default).then_some(SwitchSetting { switch: switch.id, to })
        });
        moved.collect()
    }
}
