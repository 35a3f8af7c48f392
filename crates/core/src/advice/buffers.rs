//! Buffers: one or two, at every place.

use std::collections::BTreeSet;

use super::rank::Mark;
use super::signal_path::SignalPath;
use super::trial::{Idea, Trial, Weighed};
use super::{go_on, patch, words};
use crate::parts::{CablePart, Group, Part, catalogue};
use crate::rig::{DeviceId, Edit, Jack, JackRef, Lead, LeadId, SizeClass, free_names};
use crate::states::{Cut, CutPlace, Cuts, NoCuts, Target};
use crate::watch::{Part as Share, Stopped, Watch};

/// How many pairs have their dullness calculated: those that it may matter for.
const PAIRS_WEIGHED: usize = 24;

/// What the search found.
#[derive(Debug, Default)]
pub struct Found {
    /// Ideas, weighed.
    pub ideas: Vec<Weighed>,
    /// The least worst jump that one buffer leaves, in dB, if every place was tried and every state looked at.
    pub least_of_one_db: Option<f64>,
    /// The same of two buffers at places on the path.
    pub least_of_two_db: Option<f64>,
}

/// The buffer and the patch lead that are put in: a plain small one of high input resistance.
fn kit() -> Option<(&'static Part, &'static CablePart)> {
    let buffers = || catalogue().parts.iter().filter(|part| part.group == Group::Buffers);
    let plain = catalogue().part("buffer").or_else(|| buffers().find(|part| part.body.size == SizeClass::Mini));
    plain.or_else(|| buffers().next()).zip(patch())
}

/// The edit that puts the `number`th buffer, from 0, in at a lead.
fn put_in(trial: &Trial<'_>, lead: LeadId, number: u64) -> Option<Edit> {
    let (buffer, patch) = kit()?;
    let variant = &trial.question.variant;
    let id = trial.first_free() + 2 * number;
    let mut device = buffer.device(DeviceId(id));
    let taken = |name: &str| variant.rig.carriers().any(|device| device.name == name);
    device.name = free_names(&buffer.name, taken).nth(usize::try_from(number).ok()?)?;
    let free = JackRef::new(device.id, Jack::In);
    let patch =
        Lead { id: LeadId(id + 1), from: free, to: free, length: patch.default_length, cable: patch.cable.clone() };
    Some(Edit::Insert { variant: variant.id, lead, device: Box::new(device), patch: Box::new(patch) })
}

/// Tries one buffer at every lead that the target hears and, if wished, two on
/// the path there.
pub fn search(trial: &mut Trial<'_>, path: &SignalPath, most: usize, watch: &dyn Watch) -> Result<Found, Stopped> {
    let mut found = Found::default();
    let tried = singles(trial, path);
    let rigs: Vec<Cut> = tried.iter().map(|single| single.cut.clone()).collect();
    let cuts = match trial.cuts(&rigs, &Share { whole: watch, from: 0.0, to: 0.4 }) {
        Ok(cuts) => Some(cuts),
        Err(NoCuts::TooMany) => None,
        Err(NoCuts::Stopped) => return Err(Stopped),
        Err(NoCuts::NoStates(_)) => return Ok(found),
    };
    let weighed = weigh(trial, &tried, cuts.as_ref(), &mut found, &Share { whole: watch, from: 0.4, to: 0.8 })?;
    if let Some(cuts) = cuts.filter(|_| most > 1) {
        let singles = Singles { tried: &tried, weighed: &weighed, cuts: &cuts };
        singles.pairs(trial, path, &mut found, &Share { whole: watch, from: 0.8, to: 1.0 })?;
    }
    found.ideas.extend(weighed.into_iter().flatten());
    Ok(found)
}

/// One buffer at one lead.
struct Single {
    lead: LeadId,
    idea: Idea,
    cut: Cut,
}

fn singles(trial: &mut Trial<'_>, path: &SignalPath) -> Vec<Single> {
    let old = trial.question.variant.clone();
    let one = |lead: &LeadId| {
        let edit = put_in(trial, *lead, 0)?;
        let variant = trial.edited(&old, &edit)?;
        let cut =
            Cut { device: DeviceId(trial.first_free()), rig: variant.rig.fuzzes_held_off(&trial.question.limits) };
        let words = format!("Put a buffer {}", words::place(&old.rig, *lead));
        Some(Single { lead: *lead, idea: Idea { words, edit, variant, steps: 1 }, cut })
    };
    path.leads.iter().chain(&path.beside).filter_map(one).collect()
}

/// Weighs one buffer at each place; those that only the edited rig can tell of one by one.
fn weigh(
    trial: &mut Trial<'_>,
    tried: &[Single],
    cuts: Option<&Cuts>,
    found: &mut Found,
    watch: &dyn Watch,
) -> Result<Vec<Option<Weighed>>, Stopped> {
    let mut exact = true;
    let mut weighed = Vec::new();
    let part = |at: usize| at as f64 / tried.len().max(1) as f64;
    for (at, single) in tried.iter().enumerate() {
        let watch = Share { whole: watch, from: part(at), to: part(at + 1) };
        let place = cuts.and_then(|cuts| Some((cuts, cuts.places().iter().find(|place| place.cut == at)?)));
        let jump = match place {
            Some((cuts, place)) => Some((cuts.worst(&[*place]).map_or(0.0, |worst| worst.db), true)),
            None => trial.jump_db(&single.idea.variant, &watch)?,
        };
        exact &= jump.is_some_and(|(_, exact)| exact);
        weighed.push(jump.map(|(jump_db, _)| trial.weighed(single.idea.clone(), jump_db)));
        go_on(&watch, 1.0)?;
    }
    let jumps = weighed.iter().flatten().map(|single| single.jump_db);
    found.least_of_one_db = jumps.reduce(f64::min).filter(|_| exact);
    Ok(weighed)
}

/// What one buffer does, to choose two by.
struct Singles<'a> {
    tried: &'a [Single],
    weighed: &'a [Option<Weighed>],
    cuts: &'a Cuts,
}

impl Singles<'_> {
    /// All pairs of places on the path, by their worst jump; those that may be
    /// worth a word are weighed in full.
    fn pairs(
        &self,
        trial: &mut Trial<'_>,
        path: &SignalPath,
        found: &mut Found,
        watch: &dyn Watch,
    ) -> Result<(), Stopped> {
        let places = self.cuts.places();
        let mut pairs = Vec::new();
        for (at, a) in places.iter().enumerate() {
            // What is behind a buffer hardly dulls, so the first of two decides.
            let dull = self.weighed[a.cut].as_ref().map_or(0.0, |single| single.dull);
            for b in &places[at + 1..] {
                let jump_db = self.cuts.worst(&[*a, *b]).map_or(0.0, |worst| worst.db);
                pairs.push((jump_db, Mark { jump_db, dull }.badness(), *a, *b));
            }
        }
        if covers_the_path(path, trial.question.target, places.iter().map(|place| self.tried[place.cut].lead)) {
            found.least_of_two_db = pairs.iter().map(|pair| pair.0).reduce(f64::min);
        }
        pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
        let smallest: Vec<_> = pairs.iter().take(PAIRS_WEIGHED / 3).copied().collect();
        pairs.sort_by(|a, b| a.1.total_cmp(&b.1));
        let chosen = smallest.iter().chain(pairs.iter().filter(|pair| !smallest.contains(pair)).take(PAIRS_WEIGHED));
        for (jump_db, _, a, b) in chosen {
            if let Some(idea) = self.pair(trial, *a, *b) {
                found.ideas.push(trial.weighed(idea, *jump_db));
            }
            go_on(watch, 0.5)?;
        }
        Ok(())
    }

    fn pair(&self, trial: &mut Trial<'_>, a: CutPlace, b: CutPlace) -> Option<Idea> {
        let old = trial.question.variant.clone();
        let (a, b) = (self.tried[a.cut].lead, self.tried[b.cut].lead);
        let edit = Edit::Batch(vec![put_in(trial, a, 0)?, put_in(trial, b, 1)?]);
        let variant = trial.edited(&old, &edit)?;
        let (a, b) = (words::place(&old.rig, a), words::place(&old.rig, b));
        Some(Idea { words: format!("Put a buffer {a}, and another {b}"), edit, variant, steps: 2 })
    }
}

/// Whether these are all leads of the path; a test point's own lead may be cut behind it.
fn covers_the_path(path: &SignalPath, target: Target, leads: impl Iterator<Item = LeadId>) -> bool {
    let leads: BTreeSet<LeadId> = leads.collect();
    let own = |lead: &LeadId| matches!(target, Target::Point(point) if point.lead == *lead);
    path.leads.iter().all(|lead| leads.contains(lead) || own(lead))
}
