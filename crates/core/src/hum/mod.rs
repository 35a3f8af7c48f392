//! What may hum, told so that somebody can act on it: first the question that
//! tells loops from what is none, then the loops, many of one 0 V as one fact,
//! with the changes that break them.
//!
//! Nothing here ever suggests lifting a mains earth.

mod first;
mod fold;
mod remedy;

#[cfg(test)]
mod tests;

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::diagnosis::{About, Diagnosis, Remedy, Rule, Severity, Subject};
use crate::ground::{GroundLoop, Rank};
use crate::power::{Check, Headroom};
use crate::rig::{DeviceId, FeedId, LeadId, Variant};

pub use first::{First, first};

/// All that the answer depends on.
#[derive(Debug, Clone, Copy)]
pub struct HumQuestion<'a> {
    /// The rig.
    pub variant: &'a Arc<Variant>,
    /// Its loops, the likeliest first.
    pub loops: &'a [GroundLoop],
    /// Its power's figures.
    pub check: &'a Check,
    /// How much of a rating may be used.
    pub headroom: &'a Headroom,
}

/// What may hum.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Hum {
    /// What tells a loop from what is none.
    pub first: First,
    /// The loops, those of one 0 V together, the likeliest first; what each is about
    /// says which of the question's loops it tells.
    pub told: Vec<Diagnosis>,
}

/// So many get changes that were tried out; past them words must do.
const TRIED: usize = 24;
/// So many devices may a rig have for that: each change is tried on all of it.
const DEVICES: usize = 200;

/// What may hum in a rig.
#[must_use]
pub fn hum(question: &HumQuestion<'_>) -> Hum {
    let told = fold::fold(question.loops).into_iter().enumerate().map(|(at, loops)| {
        let try_out = at < TRIED && question.variant.rig.devices.len() <= DEVICES;
        match loops.as_slice() {
            [one] => single(question, *one, try_out),
            _ => fold::many(question, loops, try_out),
        }
    });
    Hum { first: first(&question.variant.rig), told: told.collect() }
}

fn single(question: &HumQuestion<'_>, at: usize, try_out: bool) -> Diagnosis {
    let found = &question.loops[at];
    let remedies = found.cures.iter().map(|cure| remedy::of(question, *cure, try_out)).collect();
    let why = found.why.clone().unwrap_or_default();
    diagnosis(question, vec![at], &found.text, why, remedies)
}

/// Some loops, the likeliest first, told by a sentence without its full stop.
fn diagnosis(
    question: &HumQuestion<'_>,
    loops: Vec<usize>,
    sentence: &str,
    why: String,
    remedies: Vec<Remedy>,
) -> Diagnosis {
    let all: Vec<&GroundLoop> = loops.iter().filter_map(|at| question.loops.get(*at)).collect();
    let key = all.iter().map(|each| each.rank).min().unwrap_or(Rank::Local).key();
    let devices: BTreeSet<DeviceId> = all.iter().flat_map(|each| each.devices()).collect();
    let leads: BTreeSet<LeadId> = all.iter().flat_map(|each| each.leads()).collect();
    let feeds: BTreeSet<FeedId> = all.iter().flat_map(|each| each.feeds()).collect();
    let about = About {
        devices: devices.into_iter().collect(),
        leads: leads.into_iter().collect(),
        feeds: feeds.into_iter().collect(),
        loops,
        ..About::default()
    };
    // Whether it is heard nobody can know: it is a possible cause, and no fault.
    let rule = Rule { subject: Subject::Ground, key };
    Diagnosis { why, about, remedies, ..Diagnosis::new(rule, Severity::Know, format!("{sentence}.")) }
}
