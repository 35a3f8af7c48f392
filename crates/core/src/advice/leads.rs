//! Leads of another make, or shorter.

use super::signal_path::{SignalPath, is_patch};
use super::trial::{Idea, Trial, Weighed};
use super::words;
use crate::parts::{CablePart, catalogue};
use crate::rig::{Edit, Lead, LeadId, Rig};
use crate::units::{Metres, metres};
use crate::watch::{Stopped, Watch};

/// Between these lengths in m a make's usual one is a lead to move about with:
/// below it is a patch lead, above it is laid for good. [practice, S: mends]
const TO_PLAY_WITH: std::ops::RangeInclusive<f64> = 1.0..=6.0;

/// Tries the off-board leads of the best make and cut down, one at a time, and
/// all patch leads of the best make.
pub fn search(
    trial: &mut Trial<'_>,
    path: &SignalPath,
    shortest: Metres,
    watch: &dyn Watch,
) -> Result<Vec<Weighed>, Stopped> {
    let heard: Vec<LeadId> = path.leads.iter().chain(&path.beside).copied().collect();
    let mut ideas: Vec<Idea> = heard.iter().flat_map(|lead| off_board(trial, *lead, shortest)).collect();
    ideas.extend(patches(trial, &heard));
    trial.weigh_each(&ideas, watch)
}

/// A lead's own capacitance in F, plugs and all, if it were of a make.
fn farads(lead: &Lead, make: &CablePart) -> f64 {
    Lead { cable: make.cable.clone(), ..lead.clone() }.capacitance()
}

/// The make with the least capacitance for a lead, if it has less than the lead's own.
fn best_make(lead: &Lead, fits: impl Fn(&CablePart) -> bool) -> Option<&'static CablePart> {
    let makes = catalogue().cables.iter().filter(|make| fits(make) && make.cable != lead.cable);
    let best = makes.min_by(|a, b| farads(lead, a).total_cmp(&farads(lead, b)))?;
    (farads(lead, best) < lead.capacitance()).then_some(best)
}

/// A part's name within a sentence.
fn small(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

fn off_board(trial: &mut Trial<'_>, id: LeadId, shortest: Metres) -> Vec<Idea> {
    let old = trial.question.variant.clone();
    let Some(lead) = old.rig.lead(id).filter(|lead| !is_patch(&old.rig, lead)) else { return Vec::new() };
    let which = words::lead(&old.rig, id);
    let mut changes = Vec::new();
    if let Some(make) = best_make(lead, |make| TO_PLAY_WITH.contains(&make.default_length.get())) {
        let words = format!("Swap {which} for a {} of {}", small(&make.name), metres(lead.length.get()));
        changes.push((words, Lead { cable: make.cable.clone(), ..lead.clone() }));
    }
    if lead.length > shortest {
        let words = format!("Shorten {which} from {} to {}", metres(lead.length.get()), metres(shortest.get()));
        changes.push((words, Lead { length: shortest, ..lead.clone() }));
    }
    let idea = |(words, lead): (String, Lead)| {
        let edit = Edit::SetLead { variant: old.id, lead: Box::new(lead) };
        let variant = trial.edited(&old, &edit)?;
        Some(Idea { words, edit, variant, steps: 1 })
    };
    changes.into_iter().filter_map(idea).collect()
}

/// All patch leads that the target hears, of the make with the least capacitance.
fn patches(trial: &mut Trial<'_>, heard: &[LeadId]) -> Option<Idea> {
    let old = trial.question.variant.clone();
    let rig: &Rig = &old.rig;
    let patches = || heard.iter().filter_map(|id| rig.lead(*id)).filter(|lead| is_patch(rig, lead));
    let all = |make: &CablePart| patches().map(|lead| farads(lead, make)).sum::<f64>();
    let makes = catalogue().cables.iter().filter(|make| make.default_length.get() < *TO_PLAY_WITH.start());
    let make = makes.min_by(|a, b| all(a).total_cmp(&all(b)))?;
    let worse: Vec<&Lead> = patches().filter(|lead| farads(lead, make) < lead.capacitance()).collect();
    let set = |lead: &&Lead| {
        let lead = Lead { cable: make.cable.clone(), ..(*lead).clone() };
        Edit::SetLead { variant: old.id, lead: Box::new(lead) }
    };
    let words = match worse.len() {
        0 => return None,
        1 => format!("Swap one patch lead for a {}", small(&make.name)),
        many => format!("Swap {many} patch leads for the make “{}”", make.name),
    };
    let edit = Edit::Batch(worse.iter().map(set).collect());
    let variant = trial.edited(&old, &edit)?;
    Some(Idea { words, edit, variant, steps: worse.len() })
}
