//! Trying edits out: the rig after one, its figures, and what it costs.

use std::sync::Arc;

use super::price::{added_cost, added_width};
use super::rank::{Mark, SAME};
use super::signal_path::SignalPath;
use super::{AdviceQuestion, Figures, Suggestion, fuzz, go_on, practice, switchers};
use crate::cascade::LineCache;
use crate::network::Sweep;
use crate::response::{self, NoEquivalent, PointAnswer, Request};
use crate::rig::{DeviceId, Edit, Id, NEEDS_POWER, Project, Rig, State, Variant, apply, unresolved_id};
use crate::states::{self, Cut, Cuts, Glimpse, NoCuts, NoStates, States, Target};
use crate::units::{Metres, Price};
use crate::watch::{Part, Stopped, Watch};

/// An edit that might be worth a word.
#[derive(Debug, Clone)]
pub struct Idea {
    /// What it is, as a button says it.
    pub words: String,
    /// The change.
    pub edit: Edit,
    /// The variant after it.
    pub variant: Arc<Variant>,
    /// How many single changes it is made of.
    pub steps: usize,
}

/// An idea with what it brings.
#[derive(Debug, Clone)]
pub struct Weighed {
    /// The idea.
    pub idea: Idea,
    /// The worst jump that it leaves, in dB.
    pub jump_db: f64,
    /// How dull it leaves the rig, in metres of lead.
    pub dull: f64,
    /// What it costs, in the project's currency.
    pub cost: f64,
    /// Width that it takes on the board, in m.
    pub width: f64,
    /// What to mind.
    pub caution: Option<String>,
}

/// Something that no lead compares with counts as so many metres of it.
const PEAKLESS: f64 = 100.0;

/// All that trying out takes.
pub struct Trial<'a> {
    /// What was asked.
    pub question: &'a AdviceQuestion,
    /// Leads' two-ports, at all frequencies.
    cache: &'a mut LineCache,
    /// Where jumps are heard.
    heard: LineCache,
    /// At a few frequencies.
    coarse: LineCache,
    project: Project,
    off: State,
    /// The figures of the rig as it is.
    pub now: Mark,
}

impl<'a> Trial<'a> {
    /// Nothing tried yet.
    pub fn new(question: &'a AdviceQuestion, cache: &'a mut LineCache) -> Self {
        let project = Project::scratch(&question.variant);
        let off = question.controls.held(&question.variant.rig);
        let (from, to) = states::heard_hz(&question.variant.rig, question.target);
        let hz: Vec<f64> = cache.sweep().hz().iter().copied().filter(|hz| (from..=to).contains(hz)).collect();
        let (heard, coarse) = (LineCache::new(Sweep::at(&hz)), LineCache::new(Sweep::at(&hz)));
        Self { question, cache, heard, coarse, project, off, now: Mark { jump_db: 0.0, dull: 0.0 } }
    }

    /// What all ideas have to be better than. The quick looks are at the
    /// frequencies where these states jump most, and a few more: there the worst
    /// jump of a rig much like it shows.
    pub fn start_from(&mut self, states: &States, now: Mark) {
        self.now = now;
        let points = states.hz().len();
        let ends = states.jumps.iter().flat_map(|jump| [&jump.rise, &jump.fall]);
        let mut ends: Vec<(f64, usize)> = ends.map(|end| (end.db.abs(), end.at)).collect();
        ends.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut chosen: Vec<usize> = Vec::new();
        for at in ends.into_iter().map(|(_, at)| at).chain([12, 11, 13, 10].map(|part| part * points / 16)) {
            if chosen.len() < 6 && chosen.iter().all(|known| known.abs_diff(at) > points / 64) {
                chosen.push(at);
            }
        }
        chosen.sort_unstable();
        let hz: Vec<f64> = chosen.into_iter().filter_map(|at| states.hz().get(at).copied()).collect();
        self.coarse = LineCache::new(Sweep::at(&hz));
    }

    /// From here on what an idea brings in is numbered while it is tried out.
    pub fn first_free(&self) -> Id {
        self.project.next_id
    }

    /// A variant after an edit.
    pub fn edited(&mut self, variant: &Arc<Variant>, edit: &Edit) -> Option<Arc<Variant>> {
        self.project.variants[0] = Arc::clone(variant);
        apply(&self.project, edit).ok()?.variants.pop()
    }

    /// The question of the jumps that a player minds: with no low-impedance fuzz on.
    fn asked(&self, variant: &Variant) -> states::Question {
        let AdviceQuestion { controls, target, limits, .. } = self.question;
        let all = states::Question {
            rig: Arc::clone(&variant.rig),
            controls: controls.clone(),
            target: *target,
            unfed: Default::default(),
        };
        all.without_fuzzes(limits)
    }

    /// All states of a variant.
    pub fn states(&mut self, variant: &Variant) -> Result<States, NoStates> {
        states::explore(&self.asked(variant), &mut self.heard)
    }

    /// What units that always isolate would leave of the asked variant's worst jump.
    pub fn cuts(&mut self, cuts: &[Cut], watch: &dyn Watch) -> Result<Cuts, NoCuts> {
        states::cuts(&self.asked(&self.question.variant), cuts, &mut self.heard, watch)
    }

    /// A jump that a variant surely has, in dB, and its capacitance before the
    /// first unit that isolates.
    pub fn glimpse(&mut self, variant: &Variant) -> Result<Glimpse, NoCuts> {
        states::glimpse(&self.asked(variant), &mut self.coarse)
    }

    /// The worst jump at a few frequencies, so that the whole worst can't be smaller.
    pub fn coarse_jump_db(&mut self, variant: &Variant, watch: &dyn Watch) -> Result<f64, NoCuts> {
        let found = states::cuts(&self.asked(variant), &[], &mut self.coarse, watch)?;
        Ok(found.worst(&[]).map_or(0.0, |worst| worst.db))
    }

    /// The worst jump in dB, and whether every state was looked at. `None` where nothing sounds.
    pub fn jump_db(&mut self, variant: &Variant, watch: &dyn Watch) -> Result<Option<(f64, bool)>, Stopped> {
        match states::cuts(&self.asked(variant), &[], &mut self.heard, watch) {
            Ok(found) => Ok(Some((found.worst(&[]).map_or(0.0, |worst| worst.db), true))),
            Err(NoCuts::Stopped) => Err(Stopped),
            Err(NoCuts::NoStates(_)) => Ok(None),
            Err(NoCuts::TooMany) => {
                let states = self.states(variant).ok();
                let found = states.map(|states| (states::worst_jump_db(&states), states.exact));
                go_on(watch, 1.0).map(|()| found)
            }
        }
    }

    /// What arrives at the target with everything off.
    fn all_off(&mut self, variant: &Variant) -> Option<PointAnswer> {
        let test_point = match self.question.target {
            Target::Point(point) => Some(point),
            Target::Endpoint(_) => None,
        };
        let request =
            Request { rig: Arc::clone(&variant.rig), state: self.off.clone(), test_point, unfed: Default::default() };
        let response = response::respond(&request, self.cache);
        match self.question.target {
            Target::Point(_) => response.test_point,
            Target::Endpoint(jack) => response.endpoints.into_iter().find(|end| end.jack == jack).map(|end| end.at),
        }
    }

    /// How dull a variant is with everything off, in metres of lead.
    pub fn dull(&mut self, variant: &Variant) -> f64 {
        self.all_off(variant).map_or(PEAKLESS, |answer| dull(&answer.lead_equivalent))
    }

    /// What to mind of a variant's fuzzes: which would no longer see the guitar.
    pub fn fuzz_caution(&self, variant: &Variant) -> Option<String> {
        fuzz::caution(&self.question.variant.rig, &variant.rig, &self.off, &self.question.limits)
    }

    /// What to mind of a variant.
    fn caution(&self, variant: &Variant) -> Option<String> {
        let AdviceQuestion { target, controls, variant: old, limits, .. } = self.question;
        self.fuzz_caution(variant).or_else(|| {
            let path = |rig: &Rig| SignalPath::to(*target, rig, controls);
            let (before, after) = (path(&old.rig)?, path(&variant.rig)?);
            practice::unusual((&old.rig, &before), (&variant.rig, &after), limits)
        })
    }

    /// What an idea brings, its jump known already.
    pub fn weighed(&mut self, idea: Idea, jump_db: f64) -> Weighed {
        let (before, after) = (&self.question.variant.rig, &idea.variant.rig);
        Weighed {
            jump_db,
            cost: added_cost(before, after),
            width: added_width(before, after),
            caution: self.caution(&idea.variant),
            dull: self.dull(&idea.variant),
            idea,
        }
    }

    /// What an idea brings; `None` where nothing sounds any more.
    pub fn weigh(&mut self, idea: Idea, watch: &dyn Watch) -> Result<Option<Weighed>, Stopped> {
        let jump = self.jump_db(&idea.variant, watch)?;
        Ok(jump.map(|(jump_db, _)| self.weighed(idea, jump_db)))
    }

    /// What an idea brings, if a quick look doesn't rule out that it betters the rig.
    pub fn weigh_if_promising(&mut self, idea: Idea, watch: &dyn Watch) -> Result<Option<Weighed>, Stopped> {
        let jumps = self.glimpse(&idea.variant).is_ok_and(|seen| self.now.jump_db - seen.jump_db < SAME);
        if jumps && self.now.dull - self.dull(&idea.variant) < SAME {
            return Ok(None);
        }
        self.weigh(idea, watch)
    }

    /// What ideas bring, one after another; those that a quick look rules out are left out.
    pub fn weigh_each(&mut self, ideas: &[Idea], watch: &dyn Watch) -> Result<Vec<Weighed>, Stopped> {
        let mut found = Vec::new();
        let part = |at: usize| at as f64 / ideas.len() as f64;
        for (at, idea) in ideas.iter().enumerate() {
            let watch = Part { whole: watch, from: part(at), to: part(at + 1) };
            go_on(&watch, 0.0)?;
            found.extend(self.weigh_if_promising(idea.clone(), &watch)?);
        }
        Ok(found)
    }

    /// An idea as a suggestion, with all figures of the rig after it.
    pub fn in_full(&mut self, idea: &Idea) -> Suggestion {
        let (before, after) = (&self.question.variant.rig, &idea.variant.rig);
        let (cost, width) = (Price::clamped(added_cost(before, after)), Metres::clamped(added_width(before, after)));
        let dead = |rig: &Rig| rig.carriers().filter(|device| device.kind.is_silent_without_power()).count();
        let worst = self.states(&idea.variant).ok().and_then(|states| worst_jump(&states));
        // What jumps may be new, and then has no id yet.
        let free = self.first_free();
        let worst = worst.map(|(db, DeviceId(id), hz)| (db, DeviceId(unresolved_id(id, free)), hz));
        Suggestion {
            words: idea.words.clone(),
            edit: idea.edit.with_placeholders(free),
            after: self.figures_with(&idea.variant, worst).0,
            cost,
            width,
            caution: self.caution(&idea.variant),
            besides: switchers::besides(before, after),
            needs: (dead(after) > dead(before)).then(|| NEEDS_POWER.to_owned()),
        }
    }

    /// A variant's figures, its worst jump known already, and how dull it is in metres.
    pub fn figures_with(&mut self, variant: &Variant, worst_jump: Option<(f64, DeviceId, f64)>) -> (Figures, f64) {
        match self.all_off(variant) {
            Some(answer) => {
                let dull = dull(&answer.lead_equivalent);
                let lead_equivalent = answer.lead_equivalent.map_err(|why| why.to_string());
                (Figures { worst_jump, lead_equivalent, peak_hz: answer.peak.ok().map(|peak| peak.hz) }, dull)
            }
            None => {
                let why = "no signal gets there with everything off".to_owned();
                (Figures { worst_jump, lead_equivalent: Err(why), peak_hz: None }, PEAKLESS)
            }
        }
    }
}

/// A lead equivalent as metres that can be compared.
fn dull(equivalent: &Result<f64, NoEquivalent>) -> f64 {
    match equivalent {
        Ok(metres) => *metres,
        Err(NoEquivalent::LessThanNoLead | NoEquivalent::NoGuitarLead) => 0.0,
        Err(NoEquivalent::MoreThanLongest | NoEquivalent::NoPeak(_) | NoEquivalent::OtherHeight { .. }) => PEAKLESS,
    }
}

/// The largest rise or fall of any switch, whose it is and at which frequency in Hz.
pub fn worst_jump(states: &States) -> Option<(f64, DeviceId, f64)> {
    states::worst_jump(states).map(|worst| (worst.db.abs(), worst.device(), worst.hz))
}
