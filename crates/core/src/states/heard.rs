//! The jumps that a player minds: those while no unit is on whose gain depends
//! on its source, where the endpoint still gives something. Findings, advice and
//! comparisons all read them here.

use std::collections::BTreeSet;

use super::{Jump, Question, States, Target, explore_within};
use crate::cascade::LineCache;
use crate::network::Sweep;
use crate::rig::{DeviceId, HEARD_TO, JackRef, Limits, Position, Rig, SwitchRef, SwitchSetting};
use crate::watch::Unwatched;

/// A bass's lowest string, in Hz: nothing below it is minded. [memory, S: heard-to]
const LOWEST_HZ: f64 = 40.0;

/// Below this, in Hz, a furthest point may be one among many that are alike.
const LOW_HZ: f64 = 100.0;
/// So much work is done to say in which company one switch goes furthest.
const COMPANY_STEPS: u64 = 1_000_000;
/// Levels that differ by less are alike.
const ALIKE_DB: f64 = 0.05;

/// A switch's furthest jump within the range that is heard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Furthest {
    /// Which switch.
    pub switch: SwitchRef,
    /// From this position.
    pub from: Position,
    /// To that one.
    pub to: Position,
    /// Level on less level off in dB, the unit's own level left out.
    pub db: f64,
    /// In Hz.
    pub hz: f64,
}

impl Furthest {
    /// Whose switch.
    #[must_use]
    pub fn device(&self) -> DeviceId {
        self.switch.device
    }

    /// Where the switch then stands.
    #[must_use]
    pub fn setting(&self) -> SwitchSetting {
        SwitchSetting { switch: self.switch, to: self.to }
    }

    /// Where the switch stood before.
    #[must_use]
    pub fn before(&self) -> SwitchSetting {
        SwitchSetting { switch: self.switch, to: self.from }
    }

    /// Whether it is a jump's.
    #[must_use]
    pub fn is_of(&self, jump: &Jump) -> bool {
        (self.switch, self.from, self.to) == (jump.switch, jump.from, jump.to)
    }
}

/// From where to where jumps count at a target, in Hz: up to what its endpoint
/// still gives; at a test point, the furthest of the endpoints behind it.
#[must_use]
pub fn heard_hz(rig: &Rig, target: Target) -> (f64, f64) {
    let to = |jack: JackRef| rig.device(jack.device).and_then(|device| device.heard_to());
    let top = match target {
        Target::Endpoint(jack) => to(jack),
        Target::Point(point) => {
            let inputs = rig.lead(point.lead).map_or_else(Vec::new, |lead| behind(rig, lead.to));
            inputs.into_iter().filter_map(to).reduce(|a, b| if a > b { a } else { b })
        }
    };
    (LOWEST_HZ, top.unwrap_or(HEARD_TO).get())
}

/// An input and all those behind it.
fn behind(rig: &Rig, input: JackRef) -> Vec<JackRef> {
    let (mut todo, mut seen) = (vec![input], BTreeSet::new());
    while let Some(input) = todo.pop() {
        let Some(device) = rig.device(input.device).filter(|_| seen.insert(input)) else { continue };
        let outs = device.kind.onward(input.jack).iter().map(|out| JackRef::new(device.id, *out));
        todo.extend(outs.filter_map(|out| rig.lead_from(out)).map(|lead| lead.to));
    }
    seen.into_iter().collect()
}

impl Question {
    /// The same question while no unit is on that has a switch and whose gain
    /// depends on its source.
    ///
    /// Such a fuzz takes the guitar's peak, and so a unit before it, on, gives it
    /// back: that says nothing of leads.
    #[must_use]
    pub fn without_fuzzes(&self, limits: &Limits) -> Self {
        Self {
            rig: self.rig.fuzzes_held_off(limits),
            controls: self.controls.clone(),
            target: self.target,
            unfed: self.unfed.clone(),
        }
    }

    /// The other switches that are moved where a switch goes furthest, by this
    /// question's states.
    #[must_use]
    pub fn company(&self, states: &States, furthest: Furthest) -> Vec<SwitchSetting> {
        let Some(jump) = states.jumps.iter().find(|jump| furthest.is_of(jump)) else { return Vec::new() };
        for extreme in [&jump.rise, &jump.fall] {
            if extreme.db == furthest.db && states.hz().get(extreme.at) == Some(&furthest.hz) {
                return extreme.among.clone();
            }
        }
        // The extremes of all lie out of range: the company here is asked for by
        // itself, or in a large rig taken from the extreme that is nearest to it.
        let end = |jump: &Jump| if furthest.db > 0.0 { jump.rise.among.clone() } else { jump.fall.among.clone() };
        let here = explore_within(COMPANY_STEPS, self, &mut LineCache::new(Sweep::at(&[furthest.hz])), &Unwatched);
        let here = here.ok().filter(|here| here.exact);
        let same = here.as_ref().and_then(|here| here.jumps.iter().find(|other| furthest.is_of(other)));
        end(same.unwrap_or(jump))
    }
}

impl States {
    /// The places of the sweep that are heard.
    fn heard(&self) -> impl Iterator<Item = usize> {
        let (from, to) = self.heard_hz;
        (0..self.hz().len()).filter(move |at| (from..=to).contains(&self.hz()[*at]))
    }

    /// How far a switch goes where it is heard; none where a set level is a part of that.
    #[must_use]
    pub fn furthest_jump(&self, jump: &Jump) -> Option<Furthest> {
        if jump.has_level {
            return None;
        }
        let hz = self.hz();
        let both = self.heard().flat_map(|at| [(at, jump.highest_db[at]), (at, jump.lowest_db[at])]);
        let (mut at, mut db) = both.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
        if hz[at] < LOW_HZ {
            // A level that falls as a whole falls at 1 kHz too.
            let curve = if db > 0.0 { &jump.highest_db } else { &jump.lowest_db };
            let middle = hz.partition_point(|hz| *hz < 1000.0).min(hz.len() - 1);
            if (curve[middle] - db).abs() < ALIKE_DB {
                (at, db) = (middle, curve[middle]);
            }
        }
        Some(Furthest { switch: jump.switch, from: jump.from, to: jump.to, db, hz: hz[at] })
    }
}

/// The switch that goes furthest, the first of equals in the order of the
/// signal: the worst jump of a rig, if these are its states while no unit is on
/// whose gain depends on its source.
#[must_use]
pub fn worst_jump(states: &States) -> Option<Furthest> {
    let each = states.jumps.iter().filter_map(|jump| states.furthest_jump(jump));
    each.reduce(|worst, other| if other.db.abs() > worst.db.abs() { other } else { worst })
}

/// How far that is in dB, to the last bit and wherever it is furthest, to weigh one rig against another.
#[must_use]
pub fn worst_jump_db(states: &States) -> f64 {
    let of = |jump: &Jump| {
        states.heard().map(|at| jump.highest_db[at].abs().max(jump.lowest_db[at].abs())).fold(0.0, f64::max)
    };
    states.jumps.iter().filter(|jump| !jump.has_level).map(of).fold(0.0, f64::max)
}
