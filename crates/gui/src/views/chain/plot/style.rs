//! How one variant's ink is told from another's without colour: the dashes of
//! its line and the hatching of its band.

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};

use super::hatch::{self, Hatch, Slice};

/// A variant's line and band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Style {
    /// Lengths of the dashes, in points; none is a solid line.
    dashes: &'static [f32],
    /// The gap behind each.
    gaps: &'static [f32],
    /// What fills its band.
    pub hatch: Hatch,
}

pub const STYLES: [Style; 6] = [
    Style { dashes: &[], gaps: &[], hatch: Hatch::Lines { slope: -1.0, spacing: 8.0 } },
    Style { dashes: &[9.0], gaps: &[5.0], hatch: Hatch::Lines { slope: 1.0, spacing: 8.0 } },
    Style { dashes: &[1.8], gaps: &[4.2], hatch: Hatch::Dots { spacing: 7.0 } },
    Style { dashes: &[12.0, 1.8], gaps: &[4.2, 4.2], hatch: Hatch::Lines { slope: -4.0, spacing: 6.0 } },
    Style { dashes: &[20.0], gaps: &[6.0], hatch: Hatch::Lines { slope: 0.2, spacing: 6.0 } },
    Style { dashes: &[12.0, 1.8, 1.8], gaps: &[4.2, 4.2, 4.2], hatch: Hatch::Lines { slope: 4.0, spacing: 6.0 } },
];

/// The lines of sounds, beside those of variants; they have no band.
const SOUNDS: [Style; 3] = [
    Style { dashes: &[4.0], gaps: &[3.5], hatch: Hatch::None },
    Style { dashes: &[1.8], gaps: &[9.0], hatch: Hatch::None },
    Style { dashes: &[4.0, 4.0], gaps: &[3.0, 9.0], hatch: Hatch::None },
];

/// The lines of the other ends of a rig; they have no band.
const ENDS: [Style; 3] = [
    Style { dashes: &[15.0], gaps: &[3.0], hatch: Hatch::None },
    Style { dashes: &[6.0, 6.0], gaps: &[2.5, 7.0], hatch: Hatch::None },
    Style { dashes: &[1.8, 1.8], gaps: &[3.0, 9.0], hatch: Hatch::None },
];

/// A dot of a hatching, in points.
const DOT: f32 = 0.9;

/// The style of the variant at an index.
pub fn style(index: usize) -> &'static Style {
    &STYLES[index % STYLES.len()]
}

/// The style of the sound at a place among those that are shown.
pub fn sound(at: usize) -> &'static Style {
    &SOUNDS[at % SOUNDS.len()]
}

/// The style of the end at a place among the others that are shown.
pub fn end(at: usize) -> &'static Style {
    &ENDS[at % ENDS.len()]
}

impl Style {
    /// A line in this style.
    pub fn line(&self, points: &[Pos2], stroke: Stroke, out: &mut Vec<Shape>) {
        if self.dashes.is_empty() {
            out.push(Shape::line(points.to_vec(), stroke));
        } else {
            Shape::dashed_line_many_with_offset(points, stroke, self.dashes, self.gaps, 0.0, out);
        }
    }

    /// The hatching of a band; `origin` is where its pattern begins.
    pub fn fill(&self, band: &[Slice], origin: Pos2, ink: Color32, out: &mut Vec<Shape>) {
        match self.hatch {
            Hatch::None => {}
            Hatch::Lines { slope, spacing } => {
                let pieces = hatch::lines(band, origin, slope, spacing);
                out.extend(pieces.into_iter().map(|piece| Shape::line_segment(piece, Stroke::new(1.0, ink))));
            }
            Hatch::Dots { spacing } => {
                let dots = hatch::dots(band, origin, spacing, DOT);
                out.extend(dots.into_iter().map(|dot| Shape::circle_filled(dot, DOT, ink)));
            }
        }
    }
}

/// A sample of a variant's line on its hatching.
pub fn sample(painter: &Painter, rect: Rect, index: usize, ink: Color32) {
    let style = style(index);
    let mut shapes = Vec::new();
    let slice = |x: f32| Slice { x, top: rect.top(), bottom: rect.bottom() };
    style.fill(&[slice(rect.left()), slice(rect.right())], rect.min, hatch_ink(ink), &mut shapes);
    let line = [pos2(rect.left(), rect.center().y), pos2(rect.right(), rect.center().y)];
    style.line(&line, Stroke::new(2.2, ink), &mut shapes);
    painter.extend(shapes);
}

/// The size of a sample.
pub const SAMPLE: egui::Vec2 = vec2(30.0, 14.0);

/// A hatching's ink: it stands behind the curves.
pub fn hatch_ink(ink: Color32) -> Color32 {
    ink.gamma_multiply(0.3)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn styles_differ_in_line_and_in_hatching() {
        let lines: Vec<_> = STYLES.iter().chain(&SOUNDS).chain(&ENDS).map(|style| (style.dashes, style.gaps)).collect();
        assert!(lines.iter().enumerate().all(|(at, line)| !lines[..at].contains(line)));
        for (at, one) in STYLES.iter().enumerate() {
            assert_eq!(one.dashes.len(), one.gaps.len());
            for other in &STYLES[..at] {
                assert_ne!(one.dashes, other.dashes);
                assert_ne!(one.hatch, other.hatch);
            }
        }
        assert_eq!(style(7), style(1));
    }

    #[test]
    fn dashes_leave_gaps() {
        let points = [pos2(0.0, 0.0), pos2(100.0, 0.0)];
        for style in STYLES.iter().chain(&SOUNDS).chain(&ENDS) {
            let mut shapes = Vec::new();
            style.line(&points, Stroke::new(1.0, Color32::WHITE), &mut shapes);
            let drawn: f32 = shapes.iter().map(|shape| shape.visual_bounding_rect().width() - 1.0).sum();
            let solid = style.dashes.is_empty();
            assert!(if solid { drawn >= 100.0 } else { drawn < 90.0 && shapes.len() > 3 }, "{style:?}: {drawn}");
        }
    }
}
