//! What each switch does to the level, in every context of the others.

use std::collections::BTreeSet;

use super::contexts::{Context, Contexts};
use super::effort::Effort;
use super::sounding::Sounding;
use super::table::Table;
use crate::plan::Position;
use crate::rig::DeviceId;
use crate::watch::{Pace, Stopped};

/// An extreme of a jump: how far, where, and among which units that are on.
#[derive(Debug, Clone, PartialEq)]
pub struct Extreme {
    /// Level on less level off, in dB, the unit's own set level left out.
    pub db: f64,
    /// At which frequency of the sweep, by index.
    pub at: usize,
    /// The other units that are on there.
    pub among: Vec<DeviceId>,
}

/// What a switch does.
#[derive(Debug, Clone, PartialEq)]
pub struct Jump {
    /// Whose switch.
    pub device: DeviceId,
    /// The largest rise; below zero if it only ever falls.
    pub rise: Extreme,
    /// The largest fall; above zero if it only ever rises.
    pub fall: Extreme,
    /// The highest jump of any context at each frequency, in dB.
    pub highest_db: Vec<f64>,
    /// The lowest.
    pub lowest_db: Vec<f64>,
}

/// Calls back for each context.
type Each<'a, 't> = Box<dyn Fn(&mut dyn FnMut(&Context<'t>)) + 'a>;

/// The jumps of all switches that reach the spot, in the order of the path,
/// side runs after what they hang on.
pub fn jumps(table: &Table, pace: &mut Pace<'_>) -> Result<Vec<Jump>, Stopped> {
    let mut devices: Vec<DeviceId> = Vec::new();
    let on_path = table.nodes.iter().filter_map(|node| node.device);
    devices.extend(on_path.filter(|(_, position)| *position == Position::On).map(|(device, _)| device));
    let in_legs = table.legs.iter().flat_map(|(_, choices)| choices).chain(&table.rest).flat_map(|choice| &choice.on);
    let mut seen: BTreeSet<DeviceId> = devices.iter().copied().collect();
    devices.extend(in_legs.filter(|device| seen.insert(**device)));
    let sounding = Sounding::of(table);
    let contexts = Contexts { table, sounding: &sounding };
    let mut found = Vec::new();
    for device in devices {
        found.extend(jump(&contexts, device));
        let each = contexts.table.stretches.iter().map(|stretch| stretch.loss.len()).sum();
        pace.did(Effort::of_contexts(each).steps(table.points().unwrap_or(0)))?;
    }
    Ok(found)
}

fn jump(contexts: &Contexts<'_>, device: DeviceId) -> Option<Jump> {
    let nodes = &contexts.table.nodes;
    let node = |position: Position| nodes.iter().position(|node| node.device == Some((device, position)));
    match (node(Position::On), node(Position::Off)) {
        // A unit that isolates on and off separates what is before it from what is behind it.
        (Some(on), Some(off)) if contexts.sounds(on) && contexts.sounds(off) => {
            let before: Each<'_, '_> = Box::new(move |visit| contexts.before(on, off, visit));
            let behind: Each<'_, '_> = Box::new(move |visit| contexts.behind(on, off, visit));
            gather(contexts, device, &[before, behind], nodes[off].gain_db)
        }
        (Some(on), None) if contexts.sounds(on) => {
            gather(contexts, device, &[Box::new(move |visit| contexts.through(on, visit))], 0.0)
        }
        (Some(_), _) => None,
        (None, _) => gather(contexts, device, &[Box::new(move |visit| contexts.beside(device, visit))], 0.0),
    }
}

/// Extremes over the contexts of independent halves, or of the whole.
fn gather(contexts: &Contexts<'_>, device: DeviceId, halves: &[Each<'_, '_>], off_gain_db: f64) -> Option<Jump> {
    let points = contexts.table.points()?;
    let (mut highest_db, mut lowest_db) = (vec![-off_gain_db; points], vec![-off_gain_db; points]);
    for half in halves {
        let (mut highest, mut lowest) = (vec![f64::NEG_INFINITY; points], vec![f64::INFINITY; points]);
        half(&mut |context| widen(context, &mut highest, &mut lowest));
        // Without a context there is nothing to tell.
        if points == 0 || highest[0] == f64::NEG_INFINITY {
            return None;
        }
        for (sums, ratios) in [(&mut highest_db, &highest), (&mut lowest_db, &lowest)] {
            sums.iter_mut().zip(ratios).for_each(|(sum, ratio)| *sum += 10.0 * ratio.log10());
        }
    }
    let extreme = |db: &[f64], sign: f64| {
        let at = (0..points).max_by(|&a, &b| (sign * db[a]).total_cmp(&(sign * db[b])))?;
        let among = halves.iter().flat_map(|half| furthest(contexts, half, at, sign)).collect::<BTreeSet<_>>();
        Some(Extreme { db: db[at], at, among: among.into_iter().collect() })
    };
    let (rise, fall) = (extreme(&highest_db, 1.0)?, extreme(&lowest_db, -1.0)?);
    Some(Jump { device, rise, fall, highest_db, lowest_db })
}

/// Takes a context into the extremes so far.
fn widen(context: &Context<'_>, highest: &mut [f64], lowest: &mut [f64]) {
    let (first, second, third) = context.factors;
    let extremes = highest.iter_mut().zip(lowest);
    let take = |(high, low): (&mut f64, &mut f64), ratio: f64| {
        // Plain comparisons are one instruction each; `f64::max` minds what is no number.
        *high = if ratio > *high { ratio } else { *high };
        *low = if ratio < *low { ratio } else { *low };
    };
    match third {
        Some(third) => {
            for (((extremes, a), b), c) in extremes.zip(first).zip(second).zip(third) {
                take(extremes, a * b * c);
            }
        }
        None => {
            for ((extremes, a), b) in extremes.zip(first).zip(second) {
                take(extremes, a * b);
            }
        }
    }
}

/// The others that are on in the context that goes furthest at one frequency.
fn furthest(contexts: &Contexts<'_>, half: &Each<'_, '_>, at: usize, sign: f64) -> Vec<DeviceId> {
    let (mut best, mut place) = (f64::NEG_INFINITY, None);
    half(&mut |context| {
        let (first, second, third) = context.factors;
        let ratio = sign * first[at] * second[at] * third.map_or(1.0, |third| third[at]);
        if ratio > best {
            (best, place) = (ratio, Some(context.place));
        }
    });
    place.map_or_else(Vec::new, |place| contexts.among(place))
}
