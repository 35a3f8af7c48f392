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

use std::sync::Arc;

use crate::diagnosis::Remedy;
use crate::ground::{GroundLoop, Likelihood};
use crate::power::{Check, Headroom};
use crate::rig::Variant;

pub use first::{First, first};

/// All that the answer depends on.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
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
    /// The loops, the likeliest first.
    pub facts: Vec<Fact>,
}

/// One loop, or the many that one 0 V closes.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// Which of the question's loops it tells, the likeliest first.
    pub loops: Vec<usize>,
    /// How likely it is to be heard.
    pub likelihood: Likelihood,
    /// What it is, in a sentence without its full stop.
    pub text: String,
    /// Why, where there is more to say.
    pub why: Option<String>,
    /// What would break it, in the order in which one tries it.
    pub remedies: Vec<Help>,
}

/// Something that breaks a loop.
#[derive(Debug, Clone, PartialEq)]
pub enum Help {
    /// A change of the drawing, tried out.
    Remedy(Remedy),
    /// What the drawing can't have, in words.
    Words(String),
}

impl Help {
    /// What it does, as a button says it.
    #[must_use]
    pub fn words(&self) -> &str {
        match self {
            Self::Remedy(remedy) => &remedy.words,
            Self::Words(words) => words,
        }
    }

    /// The change, where the drawing can have it.
    #[must_use]
    pub fn remedy(&self) -> Option<&Remedy> {
        match self {
            Self::Remedy(remedy) => Some(remedy),
            Self::Words(_) => None,
        }
    }
}

/// So many facts get changes that were tried out; past them words must do.
const TRIED: usize = 24;
/// So many devices may a rig have for that: each change is tried on all of it.
const DEVICES: usize = 200;

/// What may hum in a rig.
#[must_use]
pub fn hum(question: &Question<'_>) -> Hum {
    let facts = fold::fold(question.loops).into_iter().enumerate().map(|(at, loops)| {
        let try_out = at < TRIED && question.variant.rig.devices.len() <= DEVICES;
        match loops.as_slice() {
            [one] => single(question, *one, try_out),
            _ => fold::many(question, loops, try_out),
        }
    });
    Hum { first: first(&question.variant.rig), facts: facts.collect() }
}

fn single(question: &Question<'_>, at: usize, try_out: bool) -> Fact {
    let found = &question.loops[at];
    let remedies = found.cures.iter().map(|cure| remedy::of(question, *cure, try_out));
    Fact {
        loops: vec![at],
        likelihood: found.likelihood,
        text: found.text.clone(),
        why: found.why.clone(),
        remedies: remedies.collect(),
    }
}
