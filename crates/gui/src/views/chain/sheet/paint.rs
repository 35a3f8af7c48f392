//! Painting the sheet: dots, leads, devices, and what a device says of itself.

use std::collections::BTreeMap;

use egui::{Color32, Pos2, Rect, Shape, Stroke, pos2, vec2};
use rigwright_core::response::Response;
use rigwright_core::rig::{Desk, Device, Guitar, Jack, JackRef, Kind, Lead, LeadId, State, SwitchKey};
use rigwright_core::units::{engineering, trimmed};
use rigwright_core::words::list;

use super::drawing::{DeviceShape, LeadShape};
use super::equivalent;
use super::pen::Pen;
use super::symbols::{Line, Symbol, run_line};
use super::wiring::Wiring;
use super::words::is_ringed;

/// The dots of the sheet.
pub fn dots(pen: &Pen<'_>) {
    const APART: f32 = 44.0;
    let step = APART * pen.camera.zoom;
    if step < 14.0 {
        return;
    }
    let first = pen.camera.canvas_from_screen(pen.screen, pen.screen.min);
    let first = pos2((first.x / APART).ceil() * APART, (first.y / APART).ceil() * APART);
    let from = pen.at(first);
    let mut y = from.y;
    while y < pen.screen.max.y {
        let mut x = from.x;
        while x < pen.screen.max.x {
            pen.painter.rect_filled(Rect::from_center_size(pos2(x, y), vec2(1.4, 1.4)), 0.0, pen.tokens.grid);
            x += step;
        }
        y += step;
    }
}

/// Whether each lead that a signal gets to is in a high-impedance run.
#[must_use]
pub fn natures(response: &Response) -> BTreeMap<LeadId, bool> {
    let mut found = BTreeMap::new();
    for run in &response.runs {
        for lead in &run.leads {
            found.entry(*lead).or_insert(run.high_impedance);
        }
    }
    found
}

/// A lead: its line, and the screen of a long one.
pub fn lead(pen: &Pen<'_>, shape: &LeadShape, lead: &Lead, line: Line, marked: bool) {
    if marked {
        let glow = pen.with(line.ink.gamma_multiply(0.28), line.weight + 8.0);
        glow.line(&shape.points);
    }
    pen.with(line.ink, line.weight).line(&shape.points);
    if is_ringed(shape, lead) {
        screen(&pen.with(line.ink, 1.1), shape.middle);
    }
}

/// The ring of a screened lead, with its screen at 0 V.
pub fn screen(pen: &Pen<'_>, at: Pos2) {
    let centre = pen.at(at);
    let radius = vec2(5.0, 14.0) * pen.camera.zoom;
    pen.painter.add(Shape::ellipse_stroke(centre, radius, Stroke::new(1.1, pen.ink)));
    pen.zero_volts(at + vec2(0.0, 14.0), 4.0);
}

/// What a foot steps on, filled while it is on.
pub fn footswitch(pen: &Pen<'_>, at: Pos2, on: bool, ink: Color32) {
    let zoom = pen.camera.zoom;
    pen.painter.circle(at, 5.8 * zoom, pen.tokens.sheet, Stroke::new((1.2 * zoom.sqrt()).max(0.8), ink));
    if on {
        pen.painter.circle_filled(at, 3.2 * zoom, pen.tokens.teal);
    } else {
        pen.painter.circle_stroke(at, 2.3 * zoom, Stroke::new((1.0 * zoom.sqrt()).max(0.6), ink));
    }
}

/// "true bypass, off", "1 MΩ", "2.5 H, 6 kΩ, 100 pF": what matters most of a device.
#[must_use]
pub fn second_line(device: &Device, state: &State) -> String {
    if let Some(pedal) = device.kind.pedal() {
        let level = pedal.on.level.get();
        return match (device.is_on(state), level.abs() >= 0.05) {
            (true, true) if device.stays_on => format!("stays on, {} dB", signed(level)),
            (true, false) if device.stays_on => format!("{}, stays on", pedal.bypass.name()),
            (true, true) => format!("on, {} dB", signed(level)),
            (true, false) => "on".to_owned(),
            (false, _) => format!("{}, off", pedal.bypass.name()),
        };
    }
    match &device.kind {
        Kind::Guitar(Guitar { pickup_wiring: Some(wiring), .. }) => match device.joined_pickups(state) {
            Some((joined, _)) if joined.pickups.is_empty() => "no pickup".to_owned(),
            Some((joined, _)) => {
                let names: Vec<String> = joined.pickups.iter().map(|one| wiring.name(one.pickup)).collect();
                let how = if joined.in_series && names.len() > 1 { " in series" } else { "" };
                format!("{}{how}", list(&names))
            }
            None => String::new(),
        },
        Kind::Guitar(guitar) => {
            let pickup = &guitar.pickup;
            format!(
                "{}, {}, {}",
                engineering(pickup.inductance.get(), "H", 3),
                engineering(pickup.resistance.get(), "Ω", 3),
                engineering(pickup.capacitance.get(), "F", 3)
            )
        }
        Kind::Active(source) => format!("{} out", engineering(source.output.get(), "Ω", 3)),
        Kind::Amp(amp) => format!("{} in", engineering(amp.input.resistance.get(), "Ω", 3)),
        Kind::Switcher(switcher) if switcher.is_worked_by_presets() => {
            let called = switcher.presets.get(device.preset_called(state));
            called.map_or_else(String::new, |preset| format!("preset “{}”", preset.name))
        }
        Kind::Selector(_) => {
            let switch = device.switch(SwitchKey::Selector);
            switch.map_or_else(String::new, |own| device.position_name(SwitchKey::Selector, state.position(&own)))
        }
        Kind::MultiEffects(unit) if unit.patches.len() > 1 => {
            let called = unit.patches.get(device.preset_called(state));
            called.map_or_else(String::new, |patch| format!("patch “{}”", patch.name))
        }
        Kind::Interface(interface) => format!("{} in", engineering(interface.input.resistance.get(), "Ω", 3)),
        Kind::DirectBox(direct) if direct.to_desk().desk != Desk::Nowhere => {
            let to = direct.to_desk();
            let desk = if to.desk == Desk::Earthed { "to an earthed desk" } else { "to the desk" };
            if to.lifted { format!("{desk}, lifted") } else { desk.to_owned() }
        }
        other => other.noun().to_owned(),
    }
}

fn signed(db: f64) -> String {
    if db > 0.0 { format!("+{}", trimmed(db, 3)) } else { trimmed(db, 3) }
}

/// A device's symbol with the lines of the runs on either side.
pub fn device(
    pen: &Pen<'_>,
    wiring: &Wiring,
    shape: &DeviceShape,
    device: &Device,
    natures: &BTreeMap<LeadId, bool>,
    state: &State,
) {
    let side = |jacks: &[Jack], from: bool| {
        let lead = jacks.iter().find_map(|&jack| {
            let jack = JackRef::new(device.id, jack);
            if from { wiring.lead_from(jack) } else { wiring.lead_to(jack) }
        });
        lead.and_then(|lead| natures.get(&lead).copied())
    };
    let behind = side(&[Jack::Out, Jack::SecondOut], true);
    let before = side(&[Jack::In], false);
    let is_guitar = matches!(device.kind, Kind::Guitar(_));
    let before = if device.kind.starts(Jack::Out) { Some(is_guitar) } else { before };
    let line = |nature: Option<bool>| run_line(pen.tokens, nature);
    let returns = device.kind.jacks().iter().filter(|jack| matches!(jack, Jack::Return(_)));
    let returns = returns.map(|jack| line(side(&[*jack], false))).collect();
    let symbol = Symbol { device, shape, before: line(before), behind: line(behind), returns, state };
    symbol.paint(pen);
    if pen.camera.zoom >= equivalent::FROM_ZOOM {
        equivalent::paint(pen, shape, device, state);
    }
}
