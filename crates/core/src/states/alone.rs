//! One state's way through the stretches, and what a jump is like over the
//! whole sweep in one context.

use super::choice::Choice;
use super::lanes::{LANES, decibels, product};
use super::layout::Layout;
use super::path::Stand;
use super::table::Table;
use crate::rig::{Position, SwitchRef};

/// A jump in one context, in dB at each frequency: losses of the stretches that
/// are only there while the unit is off, over those that are only there while it is on.
pub fn curve(table: &Table, without: &[usize], with: &[usize], off_db: f64) -> Vec<f64> {
    let mut db = Vec::with_capacity(table.points());
    for block in 0..table.blocks() {
        let losses = table.block(block);
        let all = |entries: &[usize]| {
            entries.iter().fold([1.0; LANES], |product_so_far, entry| product(&product_so_far, &losses[*entry]))
        };
        let (without, with) = (all(without), all(with));
        let ratios = without.iter().zip(with).take(table.width(block));
        db.extend(ratios.map(|(without, with)| decibels(without / with) - off_db));
    }
    db
}

/// What a switch does with all others off; none where one of the two is silent.
pub fn alone(layout: &Layout, table: &Table, switch: SwitchRef, off_db: f64) -> Option<Vec<f64>> {
    let (on, off) = (way(layout, Some(switch))?, way(layout, None)?);
    if on.iter().chain(&off).any(|entry| table.is_silent(*entry)) {
        return None;
    }
    let only = |here: &[usize], there: &[usize]| -> Vec<usize> {
        // A way goes from entry to entry upward.
        here.iter().copied().filter(|entry| there.binary_search(entry).is_err()).collect()
    };
    Some(curve(table, &only(&off, &on), &only(&on, &off), off_db))
}

/// The entries that the signal goes through while just this switch is on.
fn way(layout: &Layout, on: Option<SwitchRef>) -> Option<Vec<usize>> {
    let as_set = |stand: &Stand| {
        let position = if on == Some(stand.setting.switch) { Position::ON } else { Position::OFF };
        stand.setting.to == position
    };
    let fits = |choice: &Choice| choice.stands.iter().all(as_set);
    let stands = |stand: Option<Stand>| stand.as_ref().is_none_or(as_set);
    let spots = layout.spots();
    let mut found = Vec::new();
    let (mut from, mut combination, mut each) = (0, 0, 1);
    for level in 1..layout.nodes[spots.start].level {
        if let Some(to) = layout.at_level(level).find(|node| stands(layout.nodes[*node].stand)) {
            found.push(layout.between(from, to)?.start + combination);
            (from, combination, each) = (to, 0, 1);
            continue;
        }
        for choices in layout.legs_at(level) {
            combination += each * choices.iter().position(fits)?;
            each *= choices.len();
        }
    }
    let rest = layout.rest.iter().position(fits)?;
    found.push(layout.between(from, spots.start + rest)?.start + combination);
    Some(found)
}
