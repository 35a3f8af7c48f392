//! Returns that are shared, as lines under the rails: pure geometry.

use egui::{Pos2, pos2};
use rigwright_core::power::{Return, ZeroVolts};
use rigwright_core::rig::{DeviceId, OutletRef, Rig, device_name};
use rigwright_core::words::list;

use super::layout::{Layout, RailKey, RailRow};
use super::words;

/// One 0 V that several units share.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedReturn {
    /// The lines under the rails' boxes, left end and right end.
    pub lines: Vec<[Pos2; 2]>,
    /// The brackets that join lines of one supply: x, top, bottom.
    pub brackets: Vec<(f32, f32, f32)>,
    /// Where its words begin.
    pub at: Pos2,
    /// The words.
    pub words: String,
    /// Who is on it.
    pub devices: Vec<DeviceId>,
    /// Whether it is joined to the mains earth.
    pub earthed: bool,
}

/// From the line that a supply's outlets branch from to the first bracket, and from one to the next.
const LANE: f32 = 7.0;
/// So many lanes have room before the rails' titles.
const LANES: usize = 4;

/// Whether a return is drawn under an outlet's boxes: its 0 V has more than one unit on it.
pub fn is_shared(rig: &Rig, zero_volts: &ZeroVolts, outlet: OutletRef) -> bool {
    let units = zero_volts.of_outlet(rig, outlet).map_or(0, |at| zero_volts.devices(at).len());
    let here = rig.feed_from(outlet).is_some_and(|feed| {
        super::layout::first(feed.from) == outlet
            && feed.taps.iter().any(|tap| rig.device(tap.device).is_some_and(|device| device.kind.supply().is_none()))
    });
    here && units > 1
}

/// The shared returns of a drawing.
pub fn shared(rig: &Rig, zero_volts: &ZeroVolts, layout: &Layout) -> Vec<SharedReturn> {
    let mut found = Vec::new();
    for (zero_volt, devices) in zero_volts.all() {
        if devices.len() < 2 {
            continue;
        }
        let rows: Vec<(&RailRow, OutletRef)> = layout
            .rows
            .iter()
            .filter_map(|row| match row.key {
                RailKey::Outlet(outlet) if zero_volts.of_outlet(rig, outlet) == Some(zero_volt) => Some((row, outlet)),
                _ => None,
            })
            .filter(|(row, _)| layout.boxes.iter().any(|unit| unit.key == row.key))
            .collect();
        if let Some(one) = shared_return(rig, zero_volts, layout, zero_volt, devices, &rows, found.len()) {
            found.push(one);
        }
    }
    found
}

fn shared_return(
    rig: &Rig,
    zero_volts: &ZeroVolts,
    layout: &Layout,
    zero_volt: Return,
    devices: &[DeviceId],
    rows: &[(&RailRow, OutletRef)],
    index: usize,
) -> Option<SharedReturn> {
    let (last, _) = rows.last()?;
    let lane = |row: &RailRow| row.left + LANE * (1 + index % LANES) as f32;
    let several = |supply| rows.iter().filter(|(_, outlet)| outlet.supply == supply).count() > 1;
    let line = |&(row, outlet): &(&RailRow, OutletRef)| {
        let boxes = layout.boxes.iter().filter(|unit| unit.key == row.key);
        let right = boxes.clone().map(|unit| unit.rect.right()).fold(row.left, f32::max);
        let left = boxes.map(|unit| unit.rect.left()).fold(right, f32::min);
        let left = if several(outlet.supply) { lane(row) } else { left };
        [pos2(left, row.return_y), pos2(right, row.return_y)]
    };
    let lines: Vec<[Pos2; 2]> = rows.iter().map(line).collect();
    let mut brackets: Vec<(f32, f32, f32)> = Vec::new();
    for (row, outlet) in rows.iter().filter(|(_, outlet)| several(outlet.supply)) {
        let x = lane(row);
        let same = rows.iter().find(|(_, first)| first.supply == outlet.supply);
        let is_first = same.is_some_and(|(_, first)| first == outlet);
        match brackets.iter_mut().rev().find(|bracket| bracket.0 == x) {
            Some(bracket) if !is_first => bracket.2 = row.return_y,
            _ => brackets.push((x, row.return_y, row.return_y)),
        }
    }
    let earthed = zero_volts.is_earthed(zero_volt);
    let names: Vec<String> = devices.iter().map(|id| device_name(rig, *id)).collect();
    let names = match names.len() {
        0..=4 => list(&names),
        count => format!("{} and {} more", names[..3].join(", "), count - 3),
    };
    let earth = if earthed { format!(", {}", words::TO_EARTH) } else { String::new() };
    let left = lines.last().map_or(last.left, |line| line[0].x);
    let at = pos2(left.max(last.title.x), last.return_y + 11.0);
    Some(SharedReturn {
        lines,
        brackets,
        at,
        words: format!("0 V shared by {names}{earth}"),
        devices: devices.to_vec(),
        earthed,
    })
}
