//! The keys' ways over the sheet: along the signal, to another row, and symbols a little
//! to one side.

use egui::{Vec2, vec2};
use rigwright_core::rig::{DeviceId, Edit, Jack, Lead, Rig, Variant};

use super::canvas::Canvas;
use super::drag::on_canvas;
use super::drawing::Drawing;
use super::notes;
use crate::command::Way;
use crate::state::{Selected, Selection, plugging};

/// How far a symbol is nudged, in canvas units: a quarter of the way between two dots.
const NUDGE: f32 = 11.0;

impl Canvas {
    /// What the selection goes on to in a direction.
    #[must_use]
    pub fn beside(&self, selection: &Selection, variant: &Variant, way: Way) -> Option<Selected> {
        let drawing = &self.drawing.as_ref()?.2;
        let rig = &variant.rig;
        match (selection.last(), way) {
            (None, Way::Left | Way::Up) => drawing.devices.last().map(|shape| Selected::Device(shape.id)),
            (None, Way::Right | Way::Down) => drawing.devices.first().map(|shape| Selected::Device(shape.id)),
            (Some(item), Way::Left | Way::Right) => along(rig, item, way == Way::Right),
            (Some(item), Way::Up | Way::Down) => across(drawing, item, way == Way::Down),
        }
    }

    /// The edit that moves the selected symbols a little in a direction.
    #[must_use]
    pub fn nudged(&self, selection: &Selection, variant: &Variant, way: Way) -> Option<Edit> {
        let drawing = &self.drawing.as_ref()?.2;
        let by = NUDGE
            * match way {
                Way::Left => vec2(-1.0, 0.0),
                Way::Right => vec2(1.0, 0.0),
                Way::Up => vec2(0.0, -1.0),
                Way::Down => vec2(0.0, 1.0),
            };
        let devices = selection.devices();
        let shapes = devices.iter().filter_map(|id| drawing.device(*id));
        let places: Vec<_> = shapes.map(|shape| (shape.id, on_canvas(shape.at + by))).collect();
        let notes = notes::moved(variant, &selection.notes(), by);
        Some(plugging::stand_all(variant, &places, notes, drawing.rows)?.edit)
    }
}

/// Jacks in the order in which the signal is followed where there are several.
fn order(jack: Jack) -> u16 {
    match jack {
        Jack::In | Jack::Out => 0,
        Jack::Send(number) | Jack::Return(number) => u16::from(number),
        Jack::SecondIn | Jack::SecondOut | Jack::PowerStage => 256,
    }
}

/// From a device to the lead behind or before it, from a lead to the device.
fn along(rig: &Rig, item: Selected, onward: bool) -> Option<Selected> {
    match item {
        Selected::Device(id) => {
            let end = |lead: &Lead| if onward { lead.from } else { lead.to };
            let leads = rig.leads.iter().filter(|lead| end(lead).device == id);
            leads.min_by_key(|lead| order(end(lead).jack)).map(|lead| Selected::Lead(lead.id))
        }
        Selected::Lead(id) => {
            let lead = rig.lead(id)?;
            let jack = if onward { lead.to } else { lead.from };
            rig.device(jack.device).map(|device| Selected::Device(device.id))
        }
        Selected::Note(_) => None,
    }
}

/// The device that is nearest in the rows below or above.
fn across(drawing: &Drawing, item: Selected, down: bool) -> Option<Selected> {
    /// Less than this, in canvas units, is the same row.
    const ROW: f32 = 40.0;
    let from = match item {
        Selected::Device(id) => drawing.device(id)?.at,
        Selected::Lead(id) => drawing.lead(id)?.middle,
        Selected::Note(_) => return None,
    };
    let cost = |by: Vec2| by.y.abs() + 1.5 * by.x.abs();
    let side = if down { 1.0 } else { -1.0 };
    let others = drawing.devices.iter().map(|shape| (shape.id, shape.at - from));
    let beyond = others.filter(|(_, by)| by.y * side > ROW);
    let nearest: Option<(DeviceId, Vec2)> = beyond.min_by(|a, b| cost(a.1).total_cmp(&cost(b.1)));
    nearest.map(|(id, _)| Selected::Device(id))
}
