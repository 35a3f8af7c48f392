//! Lengths in two steps: "5'6\"", "5 ft 6", "1 m 20".

use super::digits::{Digits, is_plain, read};
use super::{Dimension, Parsed};

/// A length of several numbers with their units, each smaller than the one before;
/// the last unit may be left out. Nothing where it is none.
pub(super) fn compound(text: &str) -> Option<Parsed> {
    let steps = steps(text)?;
    let (last, before) = steps.split_last()?;
    if before.is_empty() {
        return None;
    }
    let mut sum = 0.0;
    let mut smallest = Scale { metric: true, size: f64::INFINITY };
    for step in before {
        let scale = Scale::of(step.unit)?;
        if !is_plain(step.number) || !scale.is_below(smallest) {
            return None;
        }
        sum += step.number.parse::<f64>().ok()? * scale.size;
        smallest = scale;
    }
    if last.unit.is_empty() {
        return without_unit(sum, smallest, last.number);
    }
    let scale = Scale::of(last.unit).filter(|scale| scale.is_below(smallest))?;
    let Digits::One(number) = read(last.number)? else { return None };
    Some(Parsed::Value(sum + number.parse::<f64>().ok()? * scale.size))
}

/// A number and the unit behind it, which may be left out.
struct Step<'a> {
    number: &'a str,
    unit: &'a str,
}

/// The text cut before each number.
fn steps(text: &str) -> Option<Vec<Step<'_>>> {
    let mut found = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        let end = rest.find(|c: char| !(c.is_ascii_digit() || ".,".contains(c))).unwrap_or(rest.len());
        let (number, after) = rest.split_at(end);
        let after = after.trim_start();
        let end = after.find(|c: char| c.is_ascii_digit() || ".,".contains(c)).unwrap_or(after.len());
        let (unit, next) = after.split_at(end);
        if number.is_empty() {
            return None;
        }
        found.push(Step { number, unit: unit.trim() });
        rest = next;
    }
    Some(found)
}

/// How much a unit is, in metres, and whether it is one of the metre's.
#[derive(Clone, Copy)]
struct Scale {
    metric: bool,
    size: f64,
}

impl Scale {
    fn of(word: &str) -> Option<Self> {
        let mut units = Dimension::Length.units().iter();
        let (_, exponent, factor) = units.find(|(unit, ..)| unit.eq_ignore_ascii_case(word))?;
        Some(Self { metric: *factor == 1.0, size: 10_f64.powi(*exponent) * factor })
    }

    /// Whether a part of this unit may stand behind one of the other.
    fn is_below(self, other: Self) -> bool {
        self.size < other.size && (self.metric == other.metric || other.size.is_infinite())
    }
}

/// Feet and a number: inches. Metres and two figures: centimetres; three: millimetres.
/// With one figure "1 m 5" may be 1.5 m or 1 m and 5 cm.
fn without_unit(sum: f64, before: Scale, number: &str) -> Option<Parsed> {
    if !before.metric {
        let inches = Scale::of("in").filter(|scale| scale.is_below(before))?;
        let Digits::One(number) = read(number)? else { return None };
        return Some(Parsed::Value(sum + number.parse::<f64>().ok()? * inches.size));
    }
    if before.size != 1.0 || !is_plain(number) {
        return None;
    }
    let figures: f64 = number.parse().ok()?;
    match number.len() {
        1 if figures == 0.0 => Some(Parsed::Value(sum)),
        1 => Some(Parsed::Ambiguous([sum + figures / 10.0, sum + figures / 100.0])),
        2 => Some(Parsed::Value(sum + figures / 100.0)),
        3 => Some(Parsed::Value(sum + figures / 1000.0)),
        _ => None,
    }
}
