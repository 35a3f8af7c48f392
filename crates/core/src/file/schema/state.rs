//! How everything stands: the state in hand, sounds, the test point.

use std::collections::{BTreeMap, BTreeSet};

use super::number::Turn;
use super::power::is_no;
use super::text::Text;
use super::tie::{Id, Stored, stored_enums, stored_structs};
use crate::rig;

stored_enums! {
    /// A control that the curve depends on.
    enum Control {
        Volume,
        Tone,
        Treadle,
        VolumeOf(pickup: PickupNumber),
        ToneOf(pickup: PickupNumber),
        Blend,
    }

    /// Which of a device's switches.
    enum SwitchKey {
        Bypass,
        Mute,
        Channel,
        Loop(number: LoopNumber),
        Preset,
        Patch,
        Selector,
        Pickups,
        PushPull(number: PushPullNumber),
    }

    /// What a step on a switch does.
    enum Action {
        Latching,
        Momentary,
        Cycling,
        CyclingBothWays,
        Direct,
    }

    /// What works a switch.
    enum WorkedBy {
        Foot,
        Hand,
        Controller,
    }
}

stored_structs! {
    /// A point of a lead where the player wants to know the level.
    struct TestPoint {
        lead: Id,
        along: Turn,
    }

    /// A state under a name.
    struct Sound {
        id: Id,
        name: Text,
        #[serde(default)]
        state: State,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        made_in: Vec<MadeIn>,
        #[serde(default)]
        notes: Text,
    }
}

/// Things of which a device has a few, by their numbers: each is a row with a doc comment, its name, the
/// most and what one is called.
macro_rules! counted {
    ($($(#[$doc:meta])* $name:ident: $most:expr, $called:literal;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
        #[serde(try_from = "u64", into = "u64")]
        pub struct $name(u8);

        impl TryFrom<u64> for $name {
            type Error = String;
            fn try_from(number: u64) -> Result<Self, String> {
                let most = $most;
                let fits = u8::try_from(number).ok().filter(|number| (1..=most).contains(number));
                fits.map(Self).ok_or_else(|| format!("{} can't be {number}; expected 1 to {most}", $called))
            }
        }

        impl From<$name> for u64 {
            fn from(number: $name) -> u64 {
                number.0.into()
            }
        }

        impl Stored<u8> for $name {
            fn store(from: &u8) -> Self {
                Self(*from)
            }

            fn restore(self) -> u8 {
                self.0
            }
        }
    )*};
}

counted! {
    /// Which of a switcher's loops, counted from 1; or how many it has.
    LoopNumber: rig::MOST_LOOPS, "a loop";
    /// Which of an instrument's pickups, counted from 1.
    PickupNumber: rig::MOST_PICKUPS, "a pickup";
    /// Which of an instrument's push-pull switches, counted from 1.
    PushPullNumber: rig::MOST_PUSH_PULLS, "a push-pull switch";
}

impl Stored<BTreeSet<u8>> for Vec<LoopNumber> {
    fn store(from: &BTreeSet<u8>) -> Self {
        from.iter().map(Stored::store).collect()
    }

    fn restore(self) -> BTreeSet<u8> {
        self.into_iter().map(Stored::restore).collect()
    }
}

/// A control that doesn't stand full up.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TurnedKnob {
    pub(in crate::file) device: Id,
    pub(in crate::file) control: Control,
    pub(in crate::file) to: Turn,
}

/// How one variant makes a sound.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MadeIn {
    pub(in crate::file) variant: Id,
    pub(in crate::file) state: State,
}

impl Stored<BTreeMap<rig::VariantId, rig::State>> for Vec<MadeIn> {
    fn store(from: &BTreeMap<rig::VariantId, rig::State>) -> Self {
        from.iter().map(|(id, state)| MadeIn { variant: Id::store(id), state: State::store(state) }).collect()
    }

    fn restore(self) -> BTreeMap<rig::VariantId, rig::State> {
        self.into_iter().map(|made| (made.variant.restore(), made.state.restore())).collect()
    }
}

/// A switch that doesn't stand at its default.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetSwitch {
    pub(in crate::file) device: Id,
    pub(in crate::file) switch: SwitchKey,
    /// Counted from 0.
    pub(in crate::file) to: u8,
}

/// What is said of a switch of a device.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SwitchHabit {
    pub(in crate::file) switch: SwitchKey,
    #[serde(default, skip_serializing_if = "is_first")]
    pub(in crate::file) default: u8,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(in crate::file) action: Option<Action>,
    #[serde(default = "by_foot", skip_serializing_if = "is_by_foot")]
    pub(in crate::file) worked_by: WorkedBy,
    #[serde(default, skip_serializing_if = "is_no")]
    pub(in crate::file) remembered: bool,
}

fn is_first(position: &u8) -> bool {
    *position == 0
}

fn by_foot() -> WorkedBy {
    WorkedBy::Foot
}

fn is_by_foot(by: &WorkedBy) -> bool {
    *by == WorkedBy::Foot
}

impl Stored<BTreeMap<rig::SwitchKey, rig::SwitchHabit>> for Vec<SwitchHabit> {
    fn store(from: &BTreeMap<rig::SwitchKey, rig::SwitchHabit>) -> Self {
        let each = from.iter().map(|(key, habit)| SwitchHabit {
            switch: SwitchKey::store(key),
            default: habit.default.0,
            action: Stored::store(&habit.action),
            worked_by: WorkedBy::store(&habit.worked_by),
            remembered: habit.remembered,
        });
        each.collect()
    }

    fn restore(self) -> BTreeMap<rig::SwitchKey, rig::SwitchHabit> {
        let each = self.into_iter().map(|habit| {
            let of = rig::SwitchHabit {
                default: rig::Position(habit.default),
                action: habit.action.restore(),
                worked_by: habit.worked_by.restore(),
                remembered: habit.remembered,
            };
            (habit.switch.restore(), of)
        });
        each.collect()
    }
}

/// Switches and controls as they stand.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct State {
    /// Devices that are on; up to version 3, see the step to version 4.
    #[serde(default, skip_serializing)]
    pub(in crate::file) on: Vec<Id>,
    #[serde(default)]
    pub(in crate::file) positions: Vec<SetSwitch>,
    #[serde(default)]
    pub(in crate::file) turned: Vec<TurnedKnob>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(in crate::file) instrument: Option<Id>,
}

impl Stored<rig::State> for State {
    fn store(from: &rig::State) -> Self {
        let turned = from.turned.iter().map(|(knob, to)| TurnedKnob {
            device: Id::store(&knob.device),
            control: Control::store(&knob.control),
            to: Turn::store(to),
        });
        let positions = from.positions.iter().map(|(switch, to)| SetSwitch {
            device: Id::store(&switch.device),
            switch: SwitchKey::store(&switch.key),
            to: to.0,
        });
        let instrument = from.instrument.as_ref().map(Id::store);
        Self { on: Vec::new(), positions: positions.collect(), turned: turned.collect(), instrument }
    }

    fn restore(self) -> rig::State {
        let turned = self.turned.into_iter().map(|knob| {
            let (device, control) = (knob.device.restore(), knob.control.restore());
            (rig::Knob { device, control }, knob.to.restore())
        });
        let positions = self.positions.into_iter().map(|set| {
            let (device, key) = (set.device.restore(), set.switch.restore());
            (rig::SwitchRef { device, key }, rig::Position(set.to))
        });
        let instrument = self.instrument.map(Id::restore);
        rig::State { positions: positions.collect(), turned: turned.collect(), instrument }
    }
}
