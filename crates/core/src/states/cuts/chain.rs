//! The way laid out as a row of places where a stretch can begin and end, the
//! buffers' included.
//!
//! Coordinates are in the signal's order: the start is 0, stop s of the path
//! (from 1) is 2s, a lead behind stop s is 2s + 1, the spot comes last.

use crate::arrival::{Choice, Choices, Rest, Stand};
use crate::cascade::{self, LineCache};
use crate::network::{Branch, Ladder, Rung, SeenAdmittance};
use crate::plan::plan;
use crate::rig::{DeviceId, Position};
use crate::watch::{Pace, Unwatched};

use super::super::cases::spot;
use super::super::path::{Path, Stop, path};
use super::super::places::settle;
use super::super::{MOST_CHOICES, NoStates, Question, effort};
use super::{Cut, NoCuts};

/// Where a stretch begins.
#[derive(Debug, Clone)]
pub struct Source {
    /// Its coordinate.
    pub at: usize,
    /// Which place it is, if it is a buffer's.
    pub place: Option<usize>,
    /// Which mode of the stop it is, if it is a stop's.
    pub mode: Option<usize>,
}

/// Where a stretch ends.
#[derive(Debug, Clone)]
pub struct Sink {
    /// Its coordinate.
    pub at: usize,
    /// Which place it is, if it is a buffer's.
    pub place: Option<usize>,
    /// What hangs there.
    pub load: SeenAdmittance,
}

/// A device in a mode that sounds.
#[derive(Debug, Clone, Copy)]
pub struct Node {
    /// The device.
    pub device: DeviceId,
    /// Its switch's position, if it has one.
    pub stand: Option<Stand>,
    /// Where it is.
    pub at: usize,
    /// It as an end of stretches.
    pub sink: usize,
    /// It as a beginning.
    pub source: usize,
    /// Level in dB between the two.
    pub gain_db: f64,
}

/// A buffer's place on the way.
#[derive(Debug, Clone)]
pub struct Place {
    /// Which of the cuts that were asked for.
    pub cut: usize,
    /// Its coordinate.
    pub at: usize,
    /// The rungs from the stop before, the buffer's wiring included.
    pub before: Ladder,
    /// What it starts the next stretch from.
    pub rungs: Ladder,
    /// The rungs on to the next stop or the spot.
    pub after: Ladder,
    /// It as an end of stretches.
    pub sink: usize,
}

/// The way, its cuts and all that may hang on it.
#[derive(Debug)]
pub struct Chain {
    /// The path of the rig as it is.
    pub path: Path,
    /// Whether a stretch goes on past each stop; of the start, true.
    pub passes: Vec<bool>,
    /// Beginnings, by coordinate.
    pub sources: Vec<Source>,
    /// Ends, by coordinate; the spot's choices come last.
    pub sinks: Vec<Sink>,
    /// Devices in their modes, by coordinate.
    pub nodes: Vec<Node>,
    /// The buffers' places, by coordinate.
    pub places: Vec<Place>,
    /// The choices of each side run and the coordinate that it hangs behind, by coordinate.
    pub side_runs: Vec<(usize, Vec<Choice>)>,
    /// The choices of what hangs on the spot, and as which end; none for one that is a short.
    pub rest: Vec<(Choice, Option<usize>)>,
}

impl Chain {
    /// Lays out a rig's way. A cut that isn't on the way, or that changes
    /// anything else of it, gets no place.
    pub fn lay_out(question: &Question, cuts: &[Cut], line_cache: &mut LineCache) -> Result<Self, NoCuts> {
        let mut plan = plan(&question.rig, &question.controls).without_power(&question.unfed);
        let spot = spot(&plan, question.target)?;
        if !settle(&mut plan, spot).is_empty() {
            return Err(NoCuts::TooMany);
        }
        let path = path(&plan, spot)?;
        // Where ways part, a buffer in one of them doesn't stand between all that is before and behind it.
        if !path.is_a_row() || !effort::sides(&plan, &path).complete {
            return Err(NoCuts::TooMany);
        }
        let mut pace = Pace::new(&Unwatched, 0);
        let mut choices = Choices::new(&plan, line_cache, MOST_CHOICES, &mut pace);
        let mut side_runs = Vec::new();
        for (at, stop) in path.stops.iter().enumerate() {
            for wire in stop.side_runs() {
                // A stop's coordinate is twice its level.
                side_runs.push((2 * (at + 1), choices.of_wire(wire)?));
            }
        }
        let rest = choices.of_rest(&path.rest)?;
        let inserted = cuts.iter().enumerate().filter_map(|(at, cut)| Inserted::of(&path, question, at, cut));
        let mut inserted: Vec<Inserted> = inserted.collect();
        inserted.sort_by_key(|one| one.level);
        let mut chain = Self {
            passes: passes(&path, &side_runs, line_cache),
            path,
            sources: Vec::new(),
            sinks: Vec::new(),
            nodes: Vec::new(),
            places: Vec::new(),
            side_runs,
            rest: Vec::new(),
        };
        chain.fill(inserted, rest, line_cache)?;
        Ok(chain)
    }

    /// Beginnings and ends, in the signal's order.
    fn fill(&mut self, inserted: Vec<Inserted>, rest: Vec<Choice>, line_cache: &mut LineCache) -> Result<(), NoCuts> {
        let mut inserted = inserted.into_iter().peekable();
        if self.path.source.rungs.iter().any(|rung| is_dead(rung, line_cache)) {
            return Err(NoStates::Silent.into());
        }
        self.sources.push(Source { at: 0, place: None, mode: None });
        for level in 0..=self.path.stops.len() {
            if level > 0 {
                self.add_stop(level, line_cache)?;
            }
            while let Some(one) = inserted.next_if(|one| one.level == level) {
                self.add_place(one, line_cache);
            }
        }
        let at = self.spot_at();
        for choice in rest {
            let sounds = choice.seen != SeenAdmittance::Short;
            if sounds {
                self.sinks.push(Sink { at, place: None, load: choice.seen.clone() });
            }
            self.rest.push((choice, sounds.then(|| self.sinks.len() - 1)));
        }
        if self.rest.iter().all(|(_, sink)| sink.is_none()) {
            return Err(NoStates::Silent.into());
        }
        Ok(())
    }

    fn add_stop(&mut self, level: usize, line_cache: &mut LineCache) -> Result<(), NoCuts> {
        let stop = &self.path.stops[level - 1];
        let before = self.nodes.len();
        for (number, mode) in stop.modes.iter().enumerate() {
            let load = cascade::admittance_into(&mode.load.rungs, line_cache);
            // No state sounds through a unit that is on with a short for its input.
            if load == SeenAdmittance::Short {
                continue;
            }
            self.nodes.push(Node {
                device: stop.device,
                stand: mode.stand,
                at: 2 * level,
                sink: self.sinks.len(),
                source: self.sources.len(),
                gain_db: mode.gain_db,
            });
            self.sinks.push(Sink { at: 2 * level, place: None, load });
            self.sources.push(Source { at: 2 * level, place: None, mode: Some(number) });
        }
        if self.nodes.len() == before && !self.passes[level] {
            return Err(NoStates::Silent.into());
        }
        Ok(())
    }

    fn add_place(&mut self, one: Inserted, line_cache: &mut LineCache) {
        let load = cascade::admittance_into(&one.load.rungs, line_cache);
        if load == SeenAdmittance::Short {
            return;
        }
        let at = 2 * one.level + 1;
        let place = Some(self.places.len());
        let Inserted { cut, before, after, source: rungs, .. } = one;
        self.places.push(Place { cut, at, before, rungs, after, sink: self.sinks.len() });
        self.sinks.push(Sink { at, place, load });
        self.sources.push(Source { at, place, mode: None });
    }

    /// The spot's coordinate.
    pub fn spot_at(&self) -> usize {
        2 * self.path.stops.len() + 2
    }

    /// What stretches from a source start from.
    pub fn rungs(&self, source: usize) -> &[Rung] {
        let source = &self.sources[source];
        let ladder = match (source.place, source.mode) {
            (Some(place), _) => &self.places[place].rungs,
            (None, Some(mode)) => &self.path.stops[source.at / 2 - 1].modes[mode].source,
            (None, None) => &self.path.source,
        };
        &ladder.rungs
    }

    /// The first of the spot's ends.
    pub fn spot_sink(&self) -> usize {
        self.sinks.partition_point(|sink| sink.at < self.spot_at())
    }

    /// Rungs from a stop's output to the next stop's input, or to the spot.
    pub fn arrive(&self, level: usize) -> &Ladder {
        self.path.stops.get(level).map_or(&self.path.last, |stop| &stop.arrive)
    }

    /// The nearest coordinate before which a stretch to `at` can't begin.
    pub fn barrier_before(&self, at: usize) -> usize {
        (1..at.div_ceil(2)).rev().find(|level| !self.passes[*level]).map_or(0, |level| 2 * level)
    }

    /// The nearest coordinate behind which a stretch from `at` can't end.
    pub fn barrier_behind(&self, at: usize) -> usize {
        let last = self.path.stops.len();
        (at / 2 + 1..=last).find(|level| !self.passes[*level]).map_or(self.spot_at(), |level| 2 * level)
    }

    /// A node that sounds, if there is one.
    pub fn node(&self, device: DeviceId, position: Position) -> Option<&Node> {
        self.nodes.iter().find(|node| node.device == device && Stand::is(node.stand, position))
    }
}

/// Past which stops a sound goes on; of the start, true. A short in the way, or
/// a side run that is one whatever it is set to, lets none past.
fn passes(path: &Path, side_runs: &[(usize, Vec<Choice>)], line_cache: &mut LineCache) -> Vec<bool> {
    let mut found = vec![true];
    for (stop, at) in path.stops.iter().zip((2..).step_by(2)) {
        let open = stop.pass().is_some_and(|exit| !exit.rungs.rungs.iter().any(|rung| is_dead(rung, line_cache)));
        let mut here = side_runs.iter().filter(|(side_run, _)| *side_run == at);
        found.push(open && here.all(|(_, choices)| choices.iter().any(|choice| choice.seen != SeenAdmittance::Short)));
    }
    found
}

/// Whether nothing comes past a rung at any frequency.
fn is_dead(rung: &Rung, line_cache: &mut LineCache) -> bool {
    match rung {
        Rung::Series(branch) => *branch == Branch::Open,
        Rung::Shunt(branch) => *branch == Branch::Short,
        Rung::Leg(leg) => cascade::admittance_into(&leg.rungs, line_cache) == SeenAdmittance::Short,
        Rung::Line(_) | Rung::Source(_) => false,
    }
}

/// A cut as the edited rig's own path has it.
struct Inserted {
    cut: usize,
    level: usize,
    before: Ladder,
    after: Ladder,
    load: Ladder,
    source: Ladder,
}

impl Inserted {
    /// `None` unless the edited rig's way is the old one with one more unit in
    /// it, which always isolates.
    fn of(old: &Path, question: &Question, at: usize, cut: &Cut) -> Option<Self> {
        let plan = plan(&cut.rig, &question.controls).without_power(&question.unfed);
        let mut new = path(&plan, spot(&plan, question.target).ok()?).ok()?;
        let level = new.stops.iter().position(|stop| stop.device == cut.device)?;
        let buffer = new.stops.remove(level);
        let [mode] = buffer.modes.as_slice() else { return None };
        let isolates = mode.stand.is_none() && buffer.exits.is_empty();
        let after = new.stops.get_mut(level).map_or(&mut new.last, |stop| &mut stop.arrive);
        // What arrives behind the buffer is the cut's own.
        let own = old.stops.get(level).map_or(&old.last, |stop| &stop.arrive);
        let after = std::mem::replace(after, own.clone());
        (isolates && same_way(old, &new)).then(|| Self {
            cut: at,
            level,
            before: buffer.arrive,
            after,
            load: mode.load.clone(),
            source: mode.source.clone(),
        })
    }
}

fn same_way(a: &Path, b: &Path) -> bool {
    let rest = match (&a.rest, &b.rest) {
        (Rest::Station(_), Rest::Station(_)) => true,
        (Rest::Wire(a), Rest::Wire(b)) => (a.lead, &a.plug, &a.line) == (b.lead, &b.plug, &b.line),
        _ => false,
    };
    let stops = a.stops.len() == b.stops.len() && a.stops.iter().zip(&b.stops).all(|(a, b)| same_stop(a, b));
    rest && stops && a.source == b.source && a.last == b.last && a.mutes == b.mutes
}

fn same_stop(a: &Stop, b: &Stop) -> bool {
    let modes = a.modes.len() == b.modes.len()
        && a.modes
            .iter()
            .zip(&b.modes)
            .all(|(a, b)| (a.stand, &a.load, &a.source, a.gain_db) == (b.stand, &b.load, &b.source, b.gain_db));
    // The numbers of stations have shifted, so side runs go by their leads.
    let pass = match (a.pass(), b.pass()) {
        (Some(a), Some(b)) => {
            let side_runs = a.side_runs.len() == b.side_runs.len()
                && a.side_runs.iter().zip(&b.side_runs).all(|(a, b)| a.lead == b.lead);
            (a.stand, &a.rungs) == (b.stand, &b.rungs) && side_runs
        }
        (a, b) => a.is_none() && b.is_none(),
    };
    a.device == b.device && a.arrive == b.arrive && modes && pass
}
