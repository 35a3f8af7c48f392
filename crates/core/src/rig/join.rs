//! Which two jacks a lead may join, and why not.

use std::fmt;

use super::{Jack, JackRef, Lead, LeadId, Problem, Rig, jack_name, place_name, signal_problems};

/// Why a lead can't join two jacks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CantJoin {
    /// Signal leaves by both jacks, or comes in by both.
    SameDirection {
        /// Whether both are outputs.
        outputs: bool,
    },
    /// Both are jacks of one device, and not the ends of a loop.
    OneDevice(String),
    /// Another lead is in the jack.
    Taken(String),
    /// The signal would come back to where it was.
    Circle(String),
    /// There is no such jack.
    NoJack,
}

impl fmt::Display for CantJoin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SameDirection { outputs: true } => {
                f.write_str("a lead goes from an output to an input: both are outputs")
            }
            Self::SameDirection { outputs: false } => {
                f.write_str("a lead goes from an output to an input: both are inputs")
            }
            Self::OneDevice(name) => write!(f, "{name} can't feed itself"),
            Self::Taken(jack) => write!(f, "another lead is in that jack: {jack}"),
            Self::Circle(place) => write!(f, "the signal would come back to {place} and go round in a circle"),
            Self::NoJack => f.write_str("there is no such jack"),
        }
    }
}

impl std::error::Error for CantJoin {}

/// The output and the input that a lead would join between two jacks, given in either
/// order. A lead that is `moved` is out of its old jacks by then.
///
/// Errors: why there can't be such a lead.
pub fn may_join(rig: &Rig, a: JackRef, b: JackRef, moved: Option<LeadId>) -> Result<(JackRef, JackRef), CantJoin> {
    let (from, to) = match (a.jack.is_output(), b.jack.is_output()) {
        (true, false) => (a, b),
        (false, true) => (b, a),
        (outputs, _) => return Err(CantJoin::SameDirection { outputs }),
    };
    for jack in [from, to] {
        let device = rig.device(jack.device).ok_or(CantJoin::NoJack)?;
        if !device.kind.jacks().contains(&jack.jack) {
            return Err(CantJoin::NoJack);
        }
    }
    let of_a_loop = |jack: JackRef| matches!(jack.jack, Jack::Send(_) | Jack::Return(_));
    if from.device == to.device && !(of_a_loop(from) && of_a_loop(to)) {
        return Err(CantJoin::OneDevice(place_name(rig, from)));
    }
    let others = || rig.leads.iter().filter(|lead| Some(lead.id) != moved);
    for jack in [from, to] {
        if others().any(|lead| lead.from == jack || lead.to == jack) {
            return Err(CantJoin::Taken(jack_name(rig, jack)));
        }
    }
    let mut joined = rig.clone();
    joined.leads.retain(|lead| Some(lead.id) != moved);
    // Which kind of lead makes no difference; without any other there is no way back.
    let Some(like) = rig.leads.first() else { return Ok((from, to)) };
    joined.leads.push(Lead { from, to, ..like.clone() });
    let there = circles(rig);
    if circles(&joined).iter().any(|circle| !there.contains(circle)) {
        return Err(CantJoin::Circle(place_name(rig, to)));
    }
    Ok((from, to))
}

/// The circles that the signal goes round in.
pub(super) fn circles(rig: &Rig) -> Vec<Problem> {
    signal_problems(rig).into_iter().filter(|problem| matches!(problem, Problem::Circle { .. })).collect()
}
