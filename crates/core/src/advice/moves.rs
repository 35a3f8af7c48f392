//! Units in another order: every single move, and the best one after another while it helps.
//!
//! A move is looked at quickly first: a jump that the rig surely has then. Only
//! what may still be among the best is tried in full, so that the others are
//! proved worse without it.

use std::sync::Arc;

use super::rank::{Mark, SAME, STEP};
use super::signal_path::SignalPath;
use super::trial::{Idea, Trial, Weighed};
use super::{go_on, orders};
use crate::rig::{DeviceId, Edit, LeadId, Rig, Variant, device_name};
use crate::states::NoCuts;
use crate::watch::{Part, Stopped, Watch};

/// So many of the moves that leave the smallest jump are surely among the ideas.
const BEST: usize = 3;
/// The most that are tried in full at each step, and at a few frequencies.
const MOST_TRIED: usize = 64;
const MOST_COARSE: usize = 2000;
/// So many more are tried for what they do to the dullness alone.
const TRIED_DULL: usize = 6;
/// The most moves one after another.
const STEPS: usize = 4;
/// The most moves that are looked at in all: past it no further step is begun.
const LOOKS: usize = 12_000;
/// From so much less capacitance on the guitar, in F, a move may be heard in the dullness.
const HEARD_FARADS: f64 = 5e-12;

/// What the search found.
#[derive(Debug, Default)]
pub struct Found {
    /// Ideas, weighed: single moves, and several at once.
    pub ideas: Vec<Weighed>,
    /// What was proved of all single moves.
    pub single: Option<Least>,
}

/// What all single moves leave at least.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Least {
    /// The least worst jump that one leaves, in dB; none where none leaves it smaller by 0.1 dB.
    pub jump_db: Option<f64>,
    /// Whether some weren't tried, since they'd break a kept order or put a fuzz behind a buffer.
    pub barred: bool,
}

/// Tries all single moves, then all again after the best of them, and so on.
pub fn search(trial: &mut Trial<'_>, watch: &dyn Watch) -> Result<Found, Stopped> {
    let mut found = Found::default();
    let variant = trial.question.variant.clone();
    let mut base = Idea { words: String::new(), edit: Edit::Batch(Vec::new()), variant, steps: 0 };
    let (mut mark, mut looks, mut from) = (trial.now, 0, 0.0);
    for number in 0..STEPS {
        // How many steps there will be isn't known: each takes half of what is left.
        let to = if number + 1 == STEPS { 1.0 } else { (1.0 + from) / 2.0 };
        let mut step = Step { base: &base, mark, weighed: Vec::new(), barred: false, complete: true };
        let looked = step.take(trial, &Part { whole: watch, from, to })?;
        (from, looks) = (to, looks + looked);
        if number == 0 {
            found.single = step.least();
        }
        // A further move is worth it if this one is told apart; one in the usual order comes first.
        let helps = |one: &&Weighed| mark.badness() - one.mark().badness() >= STEP;
        let best = step.weighed.iter().filter(helps).min_by(|a, b| a.compared(b)).cloned();
        found.ideas.append(&mut step.weighed);
        let Some(best) = best else { break };
        (mark, base) = (best.mark(), best.idea);
        if looks + looked > LOOKS {
            break;
        }
    }
    Ok(found)
}

/// A move that was looked at quickly.
struct Look {
    unit: DeviceId,
    onto: LeadId,
    words: String,
    variant: Arc<Variant>,
    /// The worst jump that it leaves at least, in dB.
    jump_db: f64,
    /// Capacitance in F before the first unit that isolates.
    farads: f64,
}

/// All single moves of a variant.
struct Step<'b> {
    base: &'b Idea,
    mark: Mark,
    weighed: Vec<Weighed>,
    barred: bool,
    /// Whether each was tried, or proved to leave no smaller jump than the best.
    complete: bool,
}

impl Step<'_> {
    /// Tries what may be worth it; how many were looked at.
    fn take(&mut self, trial: &mut Trial<'_>, watch: &dyn Watch) -> Result<usize, Stopped> {
        let Ok(seen) = trial.glimpse(&self.base.variant) else {
            // Too many states to look at quickly, and so to try all moves.
            self.complete = false;
            return Ok(0);
        };
        let mut looks = self.look(trial, &Part { whole: watch, from: 0.0, to: 0.5 })?;
        let many = looks.len();
        looks.sort_by(|a, b| a.farads.total_cmp(&b.farads));
        let lighter = looks.partition_point(|look| seen.farads - look.farads > HEARD_FARADS).min(TRIED_DULL);
        let rest = looks.split_off(lighter);
        // Those that may be heard in the dullness are tried whatever their jump.
        let share = |part: f64| Part { whole: watch, from: 0.5 + 0.5 * part, to: 1.0 };
        for (at, look) in looks.into_iter().enumerate() {
            self.try_out(trial, look, &share(0.4 * at as f64 / lighter as f64))?;
        }
        self.try_the_smallest(trial, rest, &share(0.4))?;
        Ok(many)
    }

    /// Tries all moves in full that may be among those that leave the smallest jump.
    fn try_the_smallest(
        &mut self,
        trial: &mut Trial<'_>,
        mut looks: Vec<Look>,
        watch: &dyn Watch,
    ) -> Result<(), Stopped> {
        looks.sort_by(|a, b| a.jump_db.total_cmp(&b.jump_db));
        let limit = self.limit();
        looks.truncate(looks.partition_point(|look| look.jump_db < limit));
        if looks.len() > MOST_COARSE {
            self.complete = false;
            looks.truncate(MOST_COARSE);
        }
        // Nearer to the truth, so that the first few in full leave out the rest.
        let (mut nearer, many) = (Vec::new(), looks.len());
        for (at, mut look) in looks.into_iter().enumerate() {
            let watch = Part { whole: watch, from: 0.7 * at as f64 / many as f64, to: 0.7 };
            go_on(&watch, 0.0)?;
            if trial.fuzz_caution(&look.variant).is_some() {
                self.barred = true;
                continue;
            }
            match trial.coarse_jump_db(&look.variant, &watch) {
                Ok(jump_db) => look.jump_db = jump_db,
                Err(NoCuts::Stopped) => return Err(Stopped),
                Err(_) => self.complete = false,
            }
            nearer.push(look);
        }
        nearer.sort_by(|a, b| a.jump_db.total_cmp(&b.jump_db));
        for (at, look) in nearer.into_iter().enumerate() {
            if look.jump_db >= self.limit() {
                break;
            }
            if at == MOST_TRIED {
                self.complete = false;
                break;
            }
            let done = 0.7 + 0.3 * at as f64 / MOST_TRIED as f64;
            self.try_out(trial, look, &Part { whole: watch, from: done, to: done })?;
        }
        Ok(())
    }

    /// What leaves no smaller jump than this isn't worth trying, in dB.
    fn limit(&self) -> f64 {
        let mut jumps: Vec<f64> = self.weighed.iter().map(|move_| move_.jump_db).collect();
        jumps.sort_by(f64::total_cmp);
        let wanted = self.mark.jump_db - SAME;
        jumps.get(BEST - 1).map_or(wanted, |jump| jump.min(wanted))
    }

    fn try_out(&mut self, trial: &mut Trial<'_>, look: Look, watch: &dyn Watch) -> Result<(), Stopped> {
        if trial.fuzz_caution(&look.variant).is_some() {
            self.barred = true;
            return Ok(());
        }
        let one = Edit::Move { variant: look.variant.id, device: look.unit, onto: look.onto };
        let mut edits = match &self.base.edit {
            Edit::Batch(edits) => edits.clone(),
            edit => vec![edit.clone()],
        };
        edits.push(one);
        let edit = if edits.len() == 1 { edits.remove(0) } else { Edit::Batch(edits) };
        let words = if self.base.steps == 0 { look.words } else { format!("{}, then {}", self.base.words, look.words) };
        let idea = Idea { words, edit, variant: look.variant, steps: self.base.steps + 1 };
        match trial.jump_db(&idea.variant, watch)? {
            Some((jump_db, exact)) => {
                self.complete &= exact;
                self.weighed.push(trial.weighed(idea, jump_db));
            }
            None => self.complete = false,
        }
        Ok(())
    }

    /// Looks at every move quickly, but for those that break a kept order.
    fn look(&mut self, trial: &mut Trial<'_>, watch: &dyn Watch) -> Result<Vec<Look>, Stopped> {
        let variant = &self.base.variant;
        let (target, controls) = (trial.question.target, trial.question.controls.clone());
        let rows = SignalPath::to(target, &variant.rig, &controls)
            .map_or_else(Vec::new, |path| path.movable_rows(&variant.rig, target));
        let whole: usize = rows.iter().map(|row| row.units.len() * row.leads.len()).sum();
        let (mut found, mut done) = (Vec::new(), 0);
        for (row, at, to) in rows.iter().flat_map(|row| places(row.units.len()).map(move |(at, to)| (row, at, to))) {
            done += 1;
            if done % 32 == 0 {
                go_on(watch, done as f64 / whole as f64)?;
            }
            let (unit, onto) = (row.units[at], row.leads[to]);
            let edit = Edit::Move { variant: variant.id, device: unit, onto };
            let Some(after) = trial.edited(variant, &edit) else { continue };
            if !orders::are_kept(&trial.question.variant, &after) {
                self.barred = true;
                continue;
            }
            match trial.glimpse(&after) {
                Ok(seen) => found.push(Look {
                    unit,
                    onto,
                    words: self.words(
                        &variant.rig,
                        unit,
                        if to < at { ("before", row.units[to]) } else { ("behind", row.units[to - 1]) },
                    ),
                    variant: after,
                    jump_db: seen.jump_db,
                    farads: seen.farads,
                }),
                Err(_) => self.complete = false,
            }
        }
        go_on(watch, 1.0).map(|()| found)
    }

    fn words(&self, rig: &Rig, unit: DeviceId, (where_to, other): (&str, DeviceId)) -> String {
        let verb = if self.base.steps == 0 { "Move " } else { "" };
        format!("{verb}{} {where_to} {}", device_name(rig, unit), device_name(rig, other))
    }

    /// What was proved, if all moves were tried.
    fn least(&self) -> Option<Least> {
        let least = self.weighed.iter().map(|move_| move_.jump_db).reduce(f64::min);
        let jump_db = least.filter(|jump_db| *jump_db < self.mark.jump_db - SAME);
        self.complete.then_some(Least { jump_db, barred: self.barred })
    }
}

/// The moves in a row of units, by unit and lead: a unit isn't moved onto the leads beside it.
fn places(units: usize) -> impl Iterator<Item = (usize, usize)> {
    let each = (0..units).flat_map(move |at| (0..=units).map(move |to| (at, to)));
    each.filter(|(at, to)| to != at && *to != at + 1)
}
