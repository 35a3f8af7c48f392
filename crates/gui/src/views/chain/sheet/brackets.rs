//! The brackets over high-impedance runs and under buffered ones: where they stand, what
//! they say, and their lines.

use std::collections::BTreeMap;

use egui::{Color32, Rangef, Rect, pos2};
use rigwright_core::response::words::run_words;
use rigwright_core::response::{Response, RunAnswer};
use rigwright_core::rig::Rig;
use rigwright_core::units::engineering;

use super::drawing::{DeviceShape, Drawing};
use super::pen::Pen;
use super::room::without;
use super::symbols::run_line;
use crate::theme::Tokens;

/// So far a bracket stays from its words, and from leads that go through it.
const GAP: f32 = 5.0;

/// From one bracket to another over the same stretch.
const APART: f32 = 15.0;

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
    /// Where leads go through its level line: there it gives way.
    crossed: Vec<f32>,
    /// What the run amounts to, the best wording first; nothing on all but its longest stretch.
    pub words: Vec<String>,
}

impl Bracket {
    /// The term for such a run.
    #[must_use]
    pub fn term(&self) -> &'static str {
        if self.below { "buffered" } else { "high impedance" }
    }

    /// The pieces of its level line beside its words and the leads that go through it.
    fn pieces(&self, words: Option<Rangef>) -> impl Iterator<Item = [f32; 2]> {
        let leads = self.crossed.iter().map(|x| Rangef::new(x - GAP, x + GAP));
        without(Rangef::new(self.left, self.right), leads.chain(words)).map(|part| [part.min, part.max])
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
    let (mut found, mut taken) = (Vec::new(), BTreeMap::<i32, Vec<Rangef>>::new());
    let uprights = uprights(drawing);
    for (index, run) in response.runs.iter().enumerate() {
        let stretches = stretches(drawing, run);
        let below = !run.high_impedance;
        let width = |stretch: &Stretch| stretch.right - stretch.left;
        let Some(longest) = stretches.iter().max_by(|a, b| width(a).total_cmp(&width(b))) else { continue };
        for stretch in &stretches {
            let mut y = match (below, stretch.is_over_loops(drawing)) {
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
            let (left, right) = (stretch.left, stretch.right);
            // Runs over one rail stand over one another.
            let lies = |other: &Rangef| other.min < right - 1.0 && other.max > left + 1.0;
            while taken.get(&(y.round() as i32)).is_some_and(|others| others.iter().any(lies)) {
                y += if below { APART } else { -APART };
            }
            taken.entry(y.round() as i32).or_default().push(Rangef::new(left, right));
            let first = uprights.partition_point(|(x, _)| *x < left);
            let within = uprights[first..].iter().take_while(|(x, _)| *x <= right);
            let crossed = within.filter(|(_, upright)| upright.contains(y)).map(|(x, _)| *x).collect();
            found.push(Bracket { left, right, y, below, run: index, ink, crossed, words });
        }
    }
    found
}

/// Where leads go up or down, from left to right: at which place, and from where to where.
fn uprights(drawing: &Drawing) -> Vec<(f32, Rangef)> {
    let pieces = drawing.leads.iter().flat_map(|shape| shape.points.windows(2));
    let pieces = pieces.map(|piece| Rect::from_two_pos(piece[0], piece[1])).filter(|piece| piece.width() < 1.0);
    let mut found: Vec<(f32, Rangef)> = pieces.map(|piece| (piece.left(), piece.y_range())).collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found
}

/// One without words over a stretch, as the legend shows it.
#[must_use]
pub fn sample(line: Rect, ink: Color32) -> Bracket {
    Bracket {
        left: line.left(),
        right: line.right(),
        y: line.center().y,
        below: false,
        run: 0,
        ink,
        crossed: Vec::new(),
        words: Vec::new(),
    }
}

/// Paints a bracket around its words, where they found room.
pub fn paint(pen: &Pen<'_>, bracket: &Bracket, words: Option<Rect>) {
    let Bracket { left, right, y, below, .. } = *bracket;
    if words.is_none() && right - left <= NARROWEST {
        return;
    }
    let pen = pen.with(bracket.ink, 1.0);
    let foot = if below { -7.0 } else { 7.0 };
    for [from, to] in bracket.pieces(words.map(|words| {
        let canvas = |x: f32| pen.camera.canvas_from_screen(pen.screen, pos2(x, 0.0)).x;
        Rangef::new(canvas(words.left() - GAP), canvas(words.right() + GAP))
    })) {
        pen.line(&[pos2(from, y), pos2(to, y)]);
    }
    pen.line(&[pos2(left, y + foot), pos2(left, y)]);
    pen.line(&[pos2(right, y), pos2(right, y + foot)]);
}

/// The stretch of a row that a run takes.
struct Stretch {
    left: f32,
    right: f32,
    y: f32,
}

impl Stretch {
    /// Whether it goes over something whose loops hang below it.
    fn is_over_loops(&self, drawing: &Drawing) -> bool {
        let is_under =
            |shape: &&DeviceShape| (shape.at.y - self.y).abs() < 1.0 && (self.left..self.right).contains(&shape.at.x);
        drawing.devices.iter().filter(is_under).any(|shape| shape.hangs_loops)
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
#[path = "brackets_tests.rs"]
mod tests;
