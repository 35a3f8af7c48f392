//! Painting the sheet: dots, leads with what they are, brackets over the runs.

use std::collections::BTreeMap;

use egui::{Align2, Color32, Pos2, Rect, Shape, Stroke, pos2, vec2};
use rigwright_core::response::words::run_words;
use rigwright_core::response::{Response, RunAnswer};
use rigwright_core::rig::{Desk, Device, Jack, JackRef, Kind, Lead, LeadId, Rig, State};
use rigwright_core::units::{engineering, metres, trimmed};

use super::drawing::{DeviceShape, Drawing, LeadShape};
use super::equivalent;
use super::pen::Pen;
use super::symbols::{Line, Symbol, run_line};
use super::wiring::Wiring;

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

/// A lead: its line, its length and capacitance, the screen of a long one.
pub fn lead(pen: &Pen<'_>, shape: &LeadShape, lead: &Lead, line: Line, marked: bool) {
    let pen_line = pen.with(line.ink, line.weight);
    if marked {
        let glow = pen.with(line.ink.gamma_multiply(0.28), line.weight + 8.0);
        glow.line(&shape.points);
    }
    pen_line.line(&shape.points);
    let long = metres(lead.length.get());
    let full = format!("{long}, {}", engineering(lead.capacitance(), "F", 3));
    let quiet = pen.with(pen.tokens.quiet, 1.0);
    let fits = |words: &str| quiet.text_width(words, 11.0, false) < shape.room - 14.0;
    let words = match () {
        () if quiet.has_no_text() => String::new(),
        () if lead.length.get() >= 1.0 && shape.room > 50.0 && pen.camera.zoom > 0.45 => full,
        () if fits(&full) => full,
        () if fits(&long) => long,
        () => String::new(),
    };
    let above = shape.middle + vec2(0.0, -13.0);
    if shape.points.len() > 4 {
        // Between two rows there are brackets above and below.
        quiet.label(shape.middle, Align2::CENTER_CENTER, &words, 11.0, false);
    } else if lead.length.get() >= 1.0 && shape.room > 50.0 {
        screen(&pen.with(line.ink, 1.1), shape.middle);
        quiet.text(shape.middle + vec2(0.0, -19.0), Align2::CENTER_BOTTOM, &words, 11.0, false);
    } else {
        quiet.text(above, Align2::CENTER_CENTER, &words, 11.0, false);
    }
}

/// The ring of a screened lead, with its screen at 0 V.
fn screen(pen: &Pen<'_>, at: Pos2) {
    let centre = pen.at(at);
    let radius = vec2(5.0, 14.0) * pen.camera.zoom;
    pen.painter.add(Shape::ellipse_stroke(centre, radius, Stroke::new(1.1, pen.ink)));
    pen.zero_volts(at + vec2(0.0, 14.0), 4.0);
}

/// The device's name and, below it, what matters of it in ink of its own.
pub fn caption(pen: &Pen<'_>, shape: &DeviceShape, device: &Device, second: &dyn Fn() -> String, ink: Color32) {
    let (dx, dy) = match device.kind {
        Kind::Amp(_) => (22.0, 38.0),
        Kind::Guitar(_) | Kind::DirectBox(_) | Kind::Transformer(_) => (0.0, 40.0),
        // The second output's lead goes down on the right.
        Kind::Splitter(_) => (-22.0, 32.0),
        // The second input's lead comes up on the left.
        Kind::Mixer(_) => (28.0, 34.0),
        // Its loops hang below.
        Kind::Switcher(_) => (0.0, -50.0),
        _ if device.has_switch() => (0.0, 37.0),
        _ => (0.0, 32.0),
    };
    let at = shape.at + vec2(dx, dy);
    if pen.has_no_text() {
        return;
    }
    let name = shortened(pen, &device.name, 2.0 * shape.reach + 56.0);
    pen.with(pen.tokens.ink, 1.0).label(at, Align2::CENTER_CENTER, &name, 13.0, true);
    let quiet = pen.with(ink, 1.0);
    let second = second();
    // Far out there is room for the name alone.
    if pen.camera.zoom > 0.6 && quiet.text_width(&second, 11.0, false) <= 2.0 * shape.reach + 72.0 {
        quiet.label(at + vec2(0.0, 15.0 * pen.text_stretch().max(1.0)), Align2::CENTER_CENTER, &second, 11.0, false);
    }
}

fn shortened(pen: &Pen<'_>, name: &str, room: f32) -> String {
    if pen.text_width(name, 13.0, true) <= room {
        return name.to_owned();
    }
    let mut short: String = name.to_owned();
    while short.pop().is_some() {
        if pen.text_width(&format!("{short}…"), 13.0, true) <= room {
            break;
        }
    }
    format!("{}…", short.trim_end())
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

/// The stretch of a row that a run takes.
struct Stretch {
    left: f32,
    right: f32,
    y: f32,
}

impl Stretch {
    /// Whether it goes over the rail of a loop switcher.
    fn is_over_a_switcher(&self, drawing: &Drawing, rig: &Rig) -> bool {
        let is_under =
            |shape: &&DeviceShape| (shape.at.y - self.y).abs() < 1.0 && (self.left..self.right).contains(&shape.at.x);
        let mut under = drawing.devices.iter().filter(is_under).filter_map(|shape| rig.device(shape.id));
        under.any(|device| matches!(device.kind, Kind::Switcher(_)))
    }
}

/// The brackets over high-impedance runs and under buffered ones.
pub fn brackets(pen: &Pen<'_>, drawing: &Drawing, rig: &Rig, response: &Response) {
    for run in &response.runs {
        let stretches = stretches(drawing, run);
        let line = run_line(pen.tokens, Some(run.high_impedance));
        let p = pen.with(line.ink, 1.0);
        let below = !run.high_impedance;
        let Some(longest) = stretches.iter().max_by(|a, b| (a.right - a.left).total_cmp(&(b.right - b.left))) else {
            continue;
        };
        let whole = run_words(rig, run);
        for stretch in &stretches {
            let y = match (below, stretch.is_over_a_switcher(drawing, rig)) {
                (true, _) => stretch.y + 72.0,
                (false, false) => stretch.y - 66.0,
                // Its name stands there.
                (false, true) => stretch.y - 84.0,
            };
            let room = stretch.right - stretch.left;
            let is_longest = std::ptr::eq(stretch, longest);
            let words = [whole.clone(), engineering(run.capacitance, "F", 3)]
                .into_iter()
                .find(|words| is_longest && p.text_width(words, 11.0, false) + 24.0 < room);
            if let Some(words) = words {
                p.bracket(stretch.left, stretch.right, y, below);
                p.label(pos2(0.5 * (stretch.left + stretch.right), y), Align2::CENTER_CENTER, &words, 11.0, false);
            } else if room > 90.0 {
                p.bracket(stretch.left, stretch.right, y, below);
            }
        }
    }
}

fn stretches(drawing: &Drawing, run: &RunAnswer) -> Vec<Stretch> {
    let mut found: Vec<Stretch> = Vec::new();
    let mut cover = |y: f32, left: f32, right: f32| match found.iter_mut().find(|s| (s.y - y).abs() < 1.0) {
        Some(stretch) => {
            stretch.left = stretch.left.min(left);
            stretch.right = stretch.right.max(right);
        }
        None => found.push(Stretch { left, right, y }),
    };
    for id in &run.passed {
        if let Some(shape) = drawing.device(*id) {
            cover(shape.at.y, shape.at.x - shape.reach, shape.at.x + shape.reach);
        }
    }
    let ends = [Some(run.from)].into_iter().chain(run.ends.iter().map(|jack| Some(*jack))).flatten();
    for jack in ends {
        let shape = drawing.device(jack.device);
        if let Some((shape, (_, at))) =
            shape.and_then(|s| s.jacks.iter().find(|(j, _)| *j == jack.jack).map(|j| (s, j)))
        {
            cover(shape.at.y, at.x, at.x);
        }
    }
    found.retain(|stretch| stretch.right > stretch.left);
    found
}
