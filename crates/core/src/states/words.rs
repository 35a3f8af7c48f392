//! Jumps in sentences: how far, where, in which company of the other switches.

use super::{Extreme, Jump, States};
use crate::rig::{Rig, device_name, moved_words, unmoved_word};
use crate::units::{Level, hertz};

/// Smaller jumps than this are not worth a word. [practice, S: small-differences]
pub const LEAST_DB: f64 = 0.5;

/// What isn't told of a unit's jump: the level in dB that it is set to.
#[must_use]
pub fn level_not_counted(db: f64) -> String {
    format!("Its own level of {} isn't counted.", Level::Decibels(db))
}

/// "10.0 dB up at 5.02 kHz, with Delay on"; nothing for what is no rise, or no fall.
#[must_use]
pub fn extreme(rig: &Rig, states: &States, end: &Extreme, up: bool) -> Option<String> {
    if end.db.abs() < LEAST_DB || (end.db > 0.0) != up {
        return None;
    }
    let hz = states.hz().get(end.at).copied()?;
    let moved = moved_words(&end.among, |device| device_name(rig, device), |names| names.join(", "));
    let company = moved.unwrap_or_else(|| format!("everything else {}", unmoved_word(rig)));
    let way = if up { "up" } else { "down" };
    Some(format!("{:.1} dB {way} at {}, with {company}", end.db.abs(), hertz(hz)))
}

/// What it does with everything else off, where that isn't told as its furthest.
#[must_use]
pub fn alone(states: &States, jump: &Jump) -> Option<String> {
    if jump.rise.among.is_empty() || jump.fall.among.is_empty() {
        return None;
    }
    let curve = jump.alone_db.as_ref()?;
    let at = (0..curve.len()).max_by(|&a, &b| curve[a].abs().total_cmp(&curve[b].abs()))?;
    let (db, hz) = (*curve.get(at)?, *states.hz().get(at)?);
    let way = if db > 0.0 { "up" } else { "down" };
    Some(format!("By itself, {:.1} dB {way} at most, at {}.", db.abs(), hertz(hz)))
}

/// What becomes of the level that a unit is set to: it is no part of its jump, but
/// where the signal goes another way at the same time.
#[must_use]
pub fn own_level(rig: &Rig, jump: &Jump) -> Option<String> {
    let device = rig.device(jump.device())?;
    let at = |position| device.set_level_db(jump.switch.key, position);
    let level = at(jump.to) - at(jump.from);
    match (jump.has_level, jump.is_whole) {
        (true, _) if device.kind.pedal().is_none() => {
            (level != 0.0).then(|| format!("Its own level of {} is a part of that.", Level::Decibels(level)))
        }
        (true, _) => Some(format!(
            "Its own level of {} is a part of that: it is in one of several ways.",
            Level::Decibels(level)
        )),
        (false, false) if level != 0.0 => Some(level_not_counted(level)),
        _ => None,
    }
}
