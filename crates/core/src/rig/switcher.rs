//! Loop switchers: a box whose switches put loops of units into the signal's way or leave them out.

use std::collections::BTreeSet;

use super::{Jack, Stage, SwitchKey, WithoutPower};
use crate::units::Farads;

/// The most loops that one switcher can have.
pub const MOST_LOOPS: u8 = 16;

/// A loop switcher. Loops follow one another along its rail, each between a send
/// and a return of its own.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Switcher {
    /// How many loops it has, counted from 1.
    pub loops: u8,
    /// The buffer at its input, if it has one.
    #[serde(default)]
    pub input: Option<Stage>,
    /// So many of its loops, from the first on, stand before that buffer: a unit in them
    /// sees the guitar.
    #[serde(default)]
    pub before_buffer: u8,
    /// The buffer at its output, if it has one.
    #[serde(default)]
    pub output: Option<Stage>,
    /// Capacitance of the contacts of one loop, which hang on the rail in both positions.
    pub contacts: Farads,
    /// Capacitance of jacks and wiring, on its input side.
    pub wiring: Farads,
    /// What the signal meets at it without power. One that does pass it on has
    /// all loops out then, and no buffer.
    pub without_power: WithoutPower,
    /// Which loops are in, under a name each: what it is worked by, if that is presets.
    #[serde(default)]
    pub presets: Vec<Preset>,
    /// Whether a step calls a preset, and not a loop.
    #[serde(default)]
    pub by_presets: bool,
}

/// Loops that are in together.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Preset {
    /// What the player calls it.
    pub name: String,
    /// The loops that are in, counted from 1; those that the switcher lacks do nothing.
    pub loops: BTreeSet<u8>,
}

impl Preset {
    /// The most that one switcher is switched between. [common practice, no source]
    pub const MOST: usize = 128;
}

impl Switcher {
    /// One with these loops and neither buffers nor presets.
    #[must_use]
    pub fn of(loops: u8, contacts: Farads, wiring: Farads) -> Self {
        let without_power = WithoutPower::Passes;
        let (input, output) = (None, None);
        let (before_buffer, presets, by_presets) = (0, Vec::new(), false);
        Self { loops, input, before_buffer, output, contacts, wiring, without_power, presets, by_presets }
    }

    /// Its loops, counted from 1.
    pub fn all_loops(&self) -> impl Iterator<Item = u8> + use<> {
        1..=self.loops.min(MOST_LOOPS)
    }

    /// How many of its loops stand before the buffer at its input: at least one stands
    /// behind. None where there is no such buffer.
    #[must_use]
    pub fn loops_before_buffer(&self) -> u8 {
        let most = self.loops.min(MOST_LOOPS).saturating_sub(1);
        if self.input.is_some() { self.before_buffer.min(most) } else { 0 }
    }

    /// Whether what leaves by one of its jacks has come through the buffer at its input.
    #[must_use]
    pub fn is_behind_buffer(&self, out: Jack) -> bool {
        let before = self.loops_before_buffer();
        self.input.is_some() && !matches!(out, Jack::Send(number) if number <= before)
    }

    /// Whether a step calls a preset; one without presets is worked loop by loop.
    #[must_use]
    pub fn is_worked_by_presets(&self) -> bool {
        self.by_presets && !self.presets.is_empty()
    }

    /// Which loops have to be in, and which out, for a signal that comes in at one
    /// jack to leave by another.
    #[must_use]
    pub fn loops_between(&self, input: Jack, out: Jack) -> Vec<(u8, bool)> {
        let from = match input {
            Jack::Return(number) => number,
            _ => 0,
        };
        let (end, last) = match out {
            Jack::Send(number) => (number, Some((number, true))),
            _ => (self.loops.saturating_add(1), None),
        };
        let first = (from > 0).then_some((from, true));
        first.into_iter().chain((from + 1..end).map(|number| (number, false))).chain(last).collect()
    }

    /// Whether its loops can stand like this all at once.
    #[must_use]
    pub fn can_have(&self, loops: &[(u8, bool)]) -> bool {
        if self.is_worked_by_presets() {
            let fits = |preset: &Preset| loops.iter().all(|(number, is_in)| preset.loops.contains(number) == *is_in);
            return self.presets.iter().any(fits);
        }
        loops.iter().all(|(number, is_in)| !loops.contains(&(*number, !is_in)))
    }

    /// How many positions its switch with that key has; none where it has no such switch.
    #[must_use]
    pub fn positions(&self, key: SwitchKey) -> Option<usize> {
        match (key, self.is_worked_by_presets()) {
            (SwitchKey::Loop(number), false) => self.all_loops().any(|own| own == number).then_some(2),
            (SwitchKey::Preset, true) => Some(self.presets.len().min(Preset::MOST)).filter(|many| *many > 1),
            _ => None,
        }
    }

    /// The keys of its switches.
    #[must_use]
    pub fn switch_keys(&self) -> Vec<SwitchKey> {
        let all = self.all_loops().map(SwitchKey::Loop).chain([SwitchKey::Preset]);
        all.filter(|key| self.positions(*key).is_some()).collect()
    }
}

/// All jacks that a switcher can have, in the order of a drawing.
const JACKS: [Jack; 2 + 2 * MOST_LOOPS as usize] = {
    let mut jacks = [Jack::In; 2 + 2 * MOST_LOOPS as usize];
    jacks[1] = Jack::Out;
    let mut at = 0;
    while at < MOST_LOOPS {
        jacks[2 + 2 * at as usize] = Jack::Send(at + 1);
        jacks[3 + 2 * at as usize] = Jack::Return(at + 1);
        at += 1;
    }
    jacks
};

/// Of a switcher with so many loops the sends, and behind them its output.
const ONWARD: [[Jack; 1 + MOST_LOOPS as usize]; 1 + MOST_LOOPS as usize] = {
    let mut all = [[Jack::Out; 1 + MOST_LOOPS as usize]; 1 + MOST_LOOPS as usize];
    let mut loops = 0;
    while loops <= MOST_LOOPS as usize {
        let mut at = 0;
        while at < loops {
            all[loops][at] = Jack::Send(at as u8 + 1);
            at += 1;
        }
        loops += 1;
    }
    all
};

/// The jacks of a switcher with so many loops.
pub(super) fn jacks(loops: u8) -> &'static [Jack] {
    &JACKS[..2 + 2 * usize::from(loops.min(MOST_LOOPS))]
}

/// Where a signal goes on to that comes in at a jack of a switcher with so many loops.
pub(super) fn onward(loops: u8, jack: Jack) -> &'static [Jack] {
    let loops = usize::from(loops.min(MOST_LOOPS));
    let from = match jack {
        Jack::In => 0,
        Jack::Return(number) => usize::from(number).min(loops),
        _ => return &[],
    };
    &ONWARD[loops][from..=loops]
}
