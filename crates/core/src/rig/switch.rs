//! Switches: what a foot, a hand or a controller sets on a device.
//!
//! A switch is a device and a key, and the key stays when the device becomes
//! another kind: the bypass of a drive is the bypass of the fuzz in its place.

use std::fmt;

use super::{
    Amp, Device, DeviceId, Guitar, Kind, MOST_LOOPS, MOST_PUSH_PULLS, MultiEffects, Rig, Selector, State, Switcher,
    Tuner,
};

/// Which of a device's switches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SwitchKey {
    /// A unit's effect, off or on.
    Bypass,
    /// A tuner that stands in the signal's way, off or on.
    Mute,
    /// An amp's channel.
    Channel,
    /// One of a loop switcher's loops, counted from 1: out or in.
    Loop(u8),
    /// Which of a loop switcher's presets is called.
    Preset,
    /// Which of a multi-effects unit's patches is called.
    Patch,
    /// Which way a selector joins.
    Selector,
    /// Which of an instrument's pickups are joined.
    Pickups,
    /// One of an instrument's push-pull switches, counted from 1: pushed or pulled.
    PushPull(u8),
}

/// The names of the loops' keys, by their numbers.
const LOOPS: [&str; 1 + MOST_LOOPS as usize] = [
    "loop", "loop 1", "loop 2", "loop 3", "loop 4", "loop 5", "loop 6", "loop 7", "loop 8", "loop 9", "loop 10",
    "loop 11", "loop 12", "loop 13", "loop 14", "loop 15", "loop 16",
];

/// The names of the push-pull switches' keys, by their numbers.
const PUSH_PULLS: [&str; 1 + MOST_PUSH_PULLS as usize] =
    ["push-pull", "push-pull 1", "push-pull 2", "push-pull 3", "push-pull 4"];

impl SwitchKey {
    /// All of them.
    pub fn all() -> impl Iterator<Item = Self> {
        let loops = (1..=MOST_LOOPS).map(Self::Loop);
        let others = [Self::Preset, Self::Patch, Self::Selector, Self::Pickups];
        let push_pulls = (1..=MOST_PUSH_PULLS).map(Self::PushPull);
        [Self::Bypass, Self::Mute, Self::Channel].into_iter().chain(loops).chain(others).chain(push_pulls)
    }

    /// Its name for programs, and in words.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Bypass => "bypass",
            Self::Mute => "mute",
            Self::Channel => "channel",
            Self::Loop(number) => LOOPS.get(usize::from(number)).unwrap_or(&LOOPS[0]),
            Self::Preset => "preset",
            Self::Patch => "patch",
            Self::Selector => "selector",
            Self::Pickups => "pickups",
            Self::PushPull(number) => PUSH_PULLS.get(usize::from(number)).unwrap_or(&PUSH_PULLS[0]),
        }
    }

    /// Whether it is on an instrument, where a hand works it.
    #[must_use]
    pub fn is_on_instrument(self) -> bool {
        matches!(self, Self::Pickups | Self::PushPull(_))
    }
}

impl fmt::Display for SwitchKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.key())
    }
}

/// One switch of one device.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SwitchRef {
    /// The device.
    pub device: DeviceId,
    /// Which of its switches.
    pub key: SwitchKey,
}

impl SwitchRef {
    /// The effect's own switch of a unit.
    #[must_use]
    pub const fn bypass(device: DeviceId) -> Self {
        Self { device, key: SwitchKey::Bypass }
    }
}

/// Where a switch stands, counted from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Position(pub u8);

impl Position {
    /// Of a switch with two positions, off.
    pub const OFF: Self = Self(0);
    /// Of a switch with two positions, on.
    pub const ON: Self = Self(1);
    /// The most positions that a switch can have.
    pub const MOST: usize = 16;
}

/// A switch in one of its positions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SwitchSetting {
    /// The switch.
    pub switch: SwitchRef,
    /// Its position.
    pub to: Position,
}

impl SwitchSetting {
    /// A unit's effect, on.
    #[must_use]
    pub const fn on(device: DeviceId) -> Self {
        Self { switch: SwitchRef::bypass(device), to: Position::ON }
    }
}

/// What works a switch while one plays.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum WorkedBy {
    /// A foot: every position may come up in the middle of a song.
    #[default]
    Foot,
    /// A hand: it stays where a sound wants it, like a knob.
    Hand,
    /// A controller, which has it stand where its preset wants it.
    Controller,
}

impl WorkedBy {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Foot, Self::Hand, Self::Controller];

    /// Its name for programs, and in words.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Foot => "foot",
            Self::Hand => "hand",
            Self::Controller => "controller",
        }
    }
}

/// What a step on a switch does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Action {
    /// It stays where it was set.
    #[default]
    Latching,
    /// It stays there as long as it is held.
    Momentary,
    /// Each step is the next position, and after the last the first.
    Cycling,
    /// One step forward and another back.
    CyclingBothWays,
    /// Each position has a place of its own to step on or to turn to.
    Direct,
}

impl Action {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Latching, Self::Momentary, Self::Cycling, Self::CyclingBothWays, Self::Direct];

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Latching => "stays where it is set",
            Self::Momentary => "only while it is held",
            Self::Cycling => "steps on, then round",
            Self::CyclingBothWays => "steps on and back",
            Self::Direct => "each position by itself",
        }
    }
}

/// What is said of a switch of a device; what isn't said is as usual for its kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct SwitchHabit {
    /// Where it stands in a state that says nothing of it.
    pub default: Position,
    /// What a step does; as usual for its kind where nobody says.
    pub action: Option<Action>,
    /// What works it.
    pub worked_by: WorkedBy,
    /// Whether it comes back as it was left when power returns.
    pub remembered: bool,
}

impl SwitchHabit {
    /// What goes for a switch of which nobody says anything: a foot works it, or a hand those of an instrument.
    #[must_use]
    pub fn usual(key: SwitchKey) -> Self {
        let worked_by = if key.is_on_instrument() { WorkedBy::Hand } else { WorkedBy::Foot };
        Self { worked_by, ..Self::default() }
    }
}

/// A switch as it is on a device.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Switch {
    /// Which.
    pub id: SwitchRef,
    /// How many positions it has, two or more.
    pub positions: usize,
    /// Where it stands in a state that says nothing of it.
    pub default: Position,
    /// What a step does.
    pub action: Action,
    /// What works it.
    pub worked_by: WorkedBy,
    /// Where it is held in every state, if it is.
    pub locked: Option<Position>,
    /// Whether it comes back as it was left when power returns.
    pub remembered: bool,
}

impl Switch {
    /// Whether all states range over it: a foot works it, and nobody has locked it.
    #[must_use]
    pub fn varies(&self) -> bool {
        self.locked.is_none() && self.worked_by == WorkedBy::Foot
    }

    /// Its positions.
    pub fn all_positions(&self) -> impl Iterator<Item = Position> {
        (0..self.positions).filter_map(|at| u8::try_from(at).ok()).map(Position)
    }
}

impl Rig {
    /// A unit's switch, turned on; none for what can't be turned on and off.
    #[must_use]
    pub fn turned_on(&self, device: DeviceId) -> Option<SwitchSetting> {
        let key = self.device(device)?.kind.on_off_key()?;
        Some(SwitchSetting { switch: SwitchRef { device, key }, to: Position::ON })
    }

    /// The rig as if a foot worked every switch that a hand works.
    #[must_use]
    pub fn all_by_foot(&self) -> Self {
        let mut rig = self.clone();
        for device in &mut rig.devices {
            let by_hand = device.all_switches().filter(|switch| switch.worked_by == WorkedBy::Hand);
            for key in by_hand.map(|switch| switch.id.key).collect::<Vec<_>>() {
                device.switches.entry(key).or_insert(SwitchHabit::usual(key)).worked_by = WorkedBy::Foot;
            }
        }
        rig
    }

    /// The same of several units; what has no such switch is left out.
    #[must_use]
    pub fn all_turned_on(&self, devices: &[DeviceId]) -> Vec<SwitchSetting> {
        devices.iter().filter_map(|device| self.turned_on(*device)).collect()
    }
}

impl Kind {
    /// The key of the switch that turns it on and off, if it has one.
    #[must_use]
    pub fn on_off_key(&self) -> Option<SwitchKey> {
        match self {
            Self::Tuner(Tuner::Through { .. }) => Some(SwitchKey::Mute),
            kind => kind.pedal().map(|_| SwitchKey::Bypass),
        }
    }

    /// The keys of its switches, in the order in which they are listed.
    #[must_use]
    pub fn switch_keys(&self) -> Vec<SwitchKey> {
        match self {
            Self::Amp(_) => {
                let all = [SwitchKey::Channel, SwitchKey::Loop(1)].into_iter();
                all.filter(|key| self.positions(*key).is_some()).collect()
            }
            Self::Switcher(switcher) => switcher.switch_keys(),
            Self::MultiEffects(unit) => unit.switch_keys(),
            Self::Selector(_) => vec![SwitchKey::Selector],
            Self::Guitar(Guitar { pickup_wiring: Some(wiring), .. }) => wiring.switch_keys(),
            kind => kind.on_off_key().into_iter().collect(),
        }
    }

    /// How many positions its switch with that key has; none where it has no such switch.
    #[must_use]
    fn positions(&self, key: SwitchKey) -> Option<usize> {
        match (self, key) {
            (Self::Amp(Amp { channels, .. }), SwitchKey::Channel) if channels.len() > 1 => Some(channels.len()),
            (Self::Amp(Amp { effects_loop: Some(way), .. }), SwitchKey::Loop(1)) if way.has_switch => Some(2),
            (Self::Switcher(switcher), key) => switcher.positions(key),
            (Self::MultiEffects(unit), key) => unit.positions(key),
            (Self::Selector(selector), key) => selector.positions(key),
            (Self::Guitar(Guitar { pickup_wiring: Some(wiring), .. }), key) => wiring.positions(key),
            (kind, key) if kind.on_off_key() == Some(key) => Some(2),
            _ => None,
        }
    }
}

impl Device {
    /// Its switch with a key, if it has one.
    #[must_use]
    pub fn switch(&self, key: SwitchKey) -> Option<Switch> {
        let positions = self.kind.positions(key)?;
        let habit = self.switches.get(&key).copied().unwrap_or(SwitchHabit::usual(key));
        let is_on_off = self.kind.on_off_key() == Some(key);
        let usual = if positions > 2 { Action::Cycling } else { Action::Latching };
        Some(Switch {
            id: SwitchRef { device: self.id, key },
            positions,
            // A position that it no longer has is as good as none said.
            default: if usize::from(habit.default.0) < positions { habit.default } else { Position::default() },
            action: habit.action.unwrap_or(if key == SwitchKey::Pickups { Action::Direct } else { usual }),
            worked_by: habit.worked_by,
            locked: (is_on_off && self.stays_on).then_some(Position::ON),
            remembered: habit.remembered,
        })
    }

    /// All of its switches.
    pub fn all_switches(&self) -> impl Iterator<Item = Switch> + '_ {
        self.kind.switch_keys().into_iter().filter_map(|key| self.switch(key))
    }

    /// The switch that turns it on and off, if it has one.
    #[must_use]
    pub fn on_off(&self) -> Option<Switch> {
        self.switch(self.kind.on_off_key()?)
    }

    /// The switch that a step on the device itself works: on and off, or else a selector's, the
    /// patch, the preset, an amp's loop, its channel; none where it has none of these, or one that
    /// is locked. A loop of a switcher or of a multi-effects unit has a step of its own.
    #[must_use]
    pub fn main_switch(&self) -> Option<Switch> {
        let own = self.kind.on_off_key();
        let amps = matches!(self.kind, Kind::Amp(_)).then_some(SwitchKey::Loop(1));
        let others = [SwitchKey::Selector, SwitchKey::Pickups, SwitchKey::Patch, SwitchKey::Preset];
        let keys = own.into_iter().chain(others).chain(amps).chain([SwitchKey::Channel]);
        keys.into_iter().find_map(|key| self.switch(key)).filter(|switch| switch.locked.is_none())
    }

    /// Where its main switch stands after a step on it, in a state: in its next position, and
    /// after the last one in the first.
    #[must_use]
    pub fn stepped_on(&self, state: &State) -> Option<SwitchSetting> {
        let switch = self.main_switch()?;
        let next = usize::from(state.position(&switch).0) + 1;
        let to = switch.all_positions().nth(next % switch.positions)?;
        Some(SwitchSetting { switch: switch.id, to })
    }

    /// "Amp left: lead", for each switch besides the one that turns it on and off
    /// which stands somewhere else than at its default, and always for the patch that is called.
    #[must_use]
    pub fn others_moved(&self, state: &State) -> Vec<String> {
        let own = self.kind.on_off_key();
        let others = self.all_switches().filter(|switch| Some(switch.id.key) != own);
        let moved = others
            .map(|switch| (switch, state.position(&switch)))
            .filter(|(switch, at)| *at != switch.default || switch.id.key == SwitchKey::Patch);
        let words = |(switch, at): (Switch, Position)| match switch.id.key {
            SwitchKey::Loop(_) => format!("{}: {} {}", self.name, switch.id.key, self.position_name(switch.id.key, at)),
            key => format!("{}: {}", self.name, self.position_name(key, at)),
        };
        moved.map(words).collect()
    }

    /// The level in dB that it is set to in a position of one of its switches: a unit's while it is
    /// on, a patch's; 0 where the position has none of its own.
    #[must_use]
    pub fn set_level_db(&self, key: SwitchKey, position: Position) -> f64 {
        match (&self.kind, key) {
            (kind, SwitchKey::Bypass | SwitchKey::Mute) if position == Position::ON => {
                kind.pedal().map_or(0.0, |pedal| pedal.on.level.get())
            }
            (Kind::MultiEffects(unit), SwitchKey::Patch) => {
                unit.patches.get(usize::from(position.0)).map_or(0.0, |patch| patch.level.get())
            }
            _ => 0.0,
        }
    }

    /// What a position of one of its switches is called.
    #[must_use]
    pub fn position_name(&self, key: SwitchKey, position: Position) -> String {
        let at = usize::from(position.0);
        let of_pickups = self.pickup_wiring().and_then(|wiring| wiring.position_name(key, position));
        if let Some(name) = of_pickups {
            return name;
        }
        match (&self.kind, key) {
            (Kind::Amp(Amp { channels, .. }), SwitchKey::Channel) => {
                channels.get(at).map_or_else(|| format!("position {}", at + 1), |channel| channel.name.clone())
            }
            (Kind::Switcher(Switcher { presets, .. }), SwitchKey::Preset) => {
                presets.get(at).map_or_else(|| format!("preset {}", at + 1), |preset| preset.name.clone())
            }
            (Kind::MultiEffects(MultiEffects { patches, .. }), SwitchKey::Patch) => {
                patches.get(at).map_or_else(|| format!("patch {}", at + 1), |patch| patch.name.clone())
            }
            (Kind::Selector(_), SwitchKey::Selector) => Selector::position_name(position).to_owned(),
            (_, SwitchKey::Loop(_)) if at < 2 => ["out", "in"][at].to_owned(),
            _ => match at {
                0 => "off".to_owned(),
                1 => "on".to_owned(),
                at => format!("position {}", at + 1),
            },
        }
    }
}
