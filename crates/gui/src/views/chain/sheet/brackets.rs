//! The brackets over high-impedance runs and under buffered ones: where they stand, what
//! they say, and their lines.

use egui::{Color32, Rect, pos2};
use rigwright_core::response::words::run_words;
use rigwright_core::response::{Response, RunAnswer};
use rigwright_core::rig::{Kind, Rig};
use rigwright_core::units::engineering;

use super::drawing::{DeviceShape, Drawing};
use super::pen::Pen;
use super::symbols::run_line;
use crate::theme::Tokens;

/// Narrower than this a bracket without words isn't drawn.
const NARROWEST: f32 = 90.0;

/// A bracket over a stretch of a row, or under it.
#[derive(Debug, Clone, PartialEq)]
pub struct Bracket {
    left: f32,
    right: f32,
    y: f32,
    below: bool,
    /// Which of the response's runs it is.
    pub run: usize,
    /// Its colour, and its words'.
    pub ink: Color32,
    /// What the run amounts to, the best wording first; nothing on all but its longest stretch.
    pub words: Vec<String>,
}

impl Bracket {
    /// The term for such a run.
    #[must_use]
    pub fn term(&self) -> &'static str {
        if self.below { "buffered" } else { "high impedance" }
    }

    /// Its level line.
    #[must_use]
    pub fn line(&self) -> Rect {
        Rect::from_x_y_ranges(self.left..=self.right, self.y..=self.y)
    }
}

/// The brackets of all runs.
#[must_use]
pub fn of(drawing: &Drawing, rig: &Rig, response: &Response, tokens: &Tokens) -> Vec<Bracket> {
    let mut found = Vec::new();
    for (index, run) in response.runs.iter().enumerate() {
        let stretches = stretches(drawing, run);
        let below = !run.high_impedance;
        let width = |stretch: &Stretch| stretch.right - stretch.left;
        let Some(longest) = stretches.iter().max_by(|a, b| width(a).total_cmp(&width(b))) else { continue };
        for stretch in &stretches {
            let y = match (below, stretch.is_over_a_switcher(drawing, rig)) {
                (true, _) => stretch.y + 72.0,
                (false, false) => stretch.y - 66.0,
                // Its name stands there.
                (false, true) => stretch.y - 84.0,
            };
            let words = match std::ptr::eq(stretch, longest) {
                true => vec![run_words(rig, run), engineering(run.capacitance, "F", 3)],
                false => Vec::new(),
            };
            let ink = run_line(tokens, Some(run.high_impedance)).ink;
            found.push(Bracket { left: stretch.left, right: stretch.right, y, below, run: index, ink, words });
        }
    }
    found
}

/// One without words over a stretch, as the legend shows it.
#[must_use]
pub fn sample(line: Rect, ink: Color32) -> Bracket {
    Bracket { left: line.left(), right: line.right(), y: line.center().y, below: false, run: 0, ink, words: Vec::new() }
}

/// Paints a bracket around its words, where they found room.
pub fn paint(pen: &Pen<'_>, bracket: &Bracket, words: Option<Rect>) {
    let Bracket { left, right, y, below, .. } = *bracket;
    if words.is_none() && right - left <= NARROWEST {
        return;
    }
    let pen = pen.with(bracket.ink, 1.0);
    let foot = if below { -7.0 } else { 7.0 };
    let Some(words) = words else {
        pen.line(&[pos2(left, y + foot), pos2(left, y), pos2(right, y), pos2(right, y + foot)]);
        return;
    };
    let gap = 5.0;
    let canvas = |x: f32| pen.camera.canvas_from_screen(pen.screen, pos2(x, 0.0)).x;
    let (from, to) = (canvas(words.left() - gap), canvas(words.right() + gap));
    pen.line(&[pos2(left, y + foot), pos2(left, y), pos2(from.max(left), y)]);
    pen.line(&[pos2(to.min(right), y), pos2(right, y), pos2(right, y + foot)]);
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
    for jack in std::iter::once(run.from).chain(run.ends.iter().copied()) {
        if let (Some(shape), Some(at)) = (drawing.device(jack.device), drawing.jack(jack)) {
            cover(shape.at.y, at.x, at.x);
        }
    }
    found.retain(|stretch| stretch.right > stretch.left);
    found
}

#[cfg(test)]
mod tests {
    use egui::vec2;
    use rigwright_core::cascade::LineCache;
    use rigwright_core::file;
    use rigwright_core::network::Sweep;
    use rigwright_core::response::{Request, respond};
    use rigwright_core::rig::Variant;

    use super::*;

    /// Brackets that a lead's line runs along or goes through.
    fn touched(variant: &Variant, drawing: &Drawing, response: &Response) -> Vec<String> {
        let mut found = Vec::new();
        for bracket in of(drawing, &variant.rig, response, Tokens::BOTH[0].1) {
            let line = bracket.line();
            let is_drawn = !bracket.words.is_empty() || line.width() > NARROWEST;
            for shape in drawing.leads.iter().filter(|_| is_drawn) {
                let pieces = shape.points.windows(2).map(|w| Rect::from_two_pos(w[0], w[1]));
                let is_touched = |piece: &Rect| line.expand2(vec2(-1.0, 3.0)).intersects(*piece);
                found.extend(pieces.filter(is_touched).map(|piece| format!("{line:?} by {:?} at {piece:?}", shape.id)));
            }
        }
        found
    }

    #[test]
    fn no_lead_touches_a_bracket_of_a_shipped_rig() {
        for project in [file::demo(), file::few_on_a_daisy(), file::large_modular(), file::blank()] {
            let project = project.unwrap();
            for variant in &project.variants {
                let response = respond(&Request::of(&project, variant), &mut LineCache::new(Sweep::audio()));
                for sheet in [(1400.0, 420.0), (980.0, 300.0), (760.0, 220.0), (700.0, 900.0), (420.0, 300.0)] {
                    let drawing = Drawing::of(variant, sheet.into());
                    let touched = touched(variant, &drawing, &response);
                    assert!(touched.is_empty(), "{} at {sheet:?}: {touched:#?}", variant.name);
                }
            }
        }
    }

    #[test]
    fn a_lead_that_goes_through_a_bracket_is_seen() {
        let project = file::demo().unwrap();
        let variant = &project.variants[0];
        let response = respond(&Request::of(&project, variant), &mut LineCache::new(Sweep::audio()));
        let mut drawing = Drawing::of(variant, vec2(1400.0, 420.0));
        let at = of(&drawing, &variant.rig, &response, Tokens::BOTH[0].1)[0].line().center();
        drawing.leads[0].points = vec![at - vec2(0.0, 30.0), at + vec2(0.0, 30.0)];
        assert_eq!(touched(variant, &drawing, &response).len(), 1);
    }
}
