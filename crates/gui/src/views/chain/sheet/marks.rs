//! The marks in the boxes of pedals: small strokes in the manner of the qualifying symbols
//! of IEC 60617, each one a picture of what the unit does. [S: symbols]

use std::f32::consts::{PI, TAU};

use egui::{Label, Pos2, Rect, RichText, Ui, Vec2, vec2};
use rigwright_core::rig::Effect;
use rigwright_core::words::{capital, lower};

use super::pen::Pen;
use crate::help::Mark;
use crate::theme::{Tokens, text};

/// Paints a unit's box with its mark.
pub fn boxed(pen: &Pen<'_>, rect: Rect, mark: Option<Mark>) {
    pen.rect(rect, 3.0, pen.tokens.sheet);
    for stroke in mark.map_or_else(Vec::new, strokes) {
        let points: Vec<Pos2> = stroke.into_iter().map(|by| rect.center() + by).collect();
        pen.line(&points);
    }
}

/// What a mark means, under the pointer on its unit.
pub fn card(ui: &mut Ui, mark: Mark) {
    ui.set_max_width(ui.spacing().tooltip_width);
    ui.label(RichText::new(capital(mark.name())).font(text::heading()).color(Tokens::of(ui).copper));
    ui.add(Label::new(mark.what()).wrap());
    ui.label(RichText::new(format!("Its mark: {}.", lower(mark.looks()))).color(Tokens::of(ui).quiet));
}

type Stroke = Vec<Vec2>;

/// The strokes of a mark, from the middle of its box.
#[must_use]
pub fn strokes(mark: Mark) -> Vec<Stroke> {
    match mark {
        Mark::Effect(effect) => of_effect(effect),
        Mark::Wah => {
            vec![hump(9.0, 3.6), line(&[(-13.0, 8.5), (12.0, -8.0)]), line(&[(5.5, -7.5), (12.0, -8.0), (10.5, -1.5)])]
        }
        Mark::Tuner => vec![ring(8.0, 24), line(&[(0.0, 4.5), (3.5, -4.0)])],
    }
}

fn of_effect(effect: Effect) -> Vec<Stroke> {
    match effect {
        Effect::Boost => vec![
            line(&[(-7.0, -8.5), (8.5, 0.0), (-7.0, 8.5), (-7.0, -8.5)]),
            line(&[(-15.0, 0.0), (-7.0, 0.0)]),
            line(&[(8.5, 0.0), (15.0, 0.0)]),
        ],
        // What goes in along, what comes out up: round shoulders.
        Effect::Drive => vec![curve(32, |t| vec2(28.0 * t - 14.0, -8.0 * ((t - 0.5) * 7.0).tanh()))],
        Effect::Distortion => {
            vec![line(&[(-15.0, 0.0), (-11.5, -8.0), (-4.0, -8.0), (4.0, 8.0), (11.5, 8.0), (15.0, 0.0)])]
        }
        Effect::Fuzz => vec![line(&[
            (-15.0, 8.0),
            (-15.0, -8.0),
            (-7.5, -8.0),
            (-7.5, 8.0),
            (0.0, 8.0),
            (0.0, -8.0),
            (7.5, -8.0),
            (7.5, 8.0),
            (15.0, 8.0),
            (15.0, -8.0),
        ])],
        Effect::Compressor => {
            vec![line(&[(-13.0, -9.0), (-13.0, 8.5), (14.0, 8.5)]), line(&[(-13.0, 8.5), (-2.0, -2.5), (14.0, -7.0)])]
        }
        Effect::Gate => {
            vec![line(&[(-15.0, 7.0), (-6.0, 7.0), (-6.0, -8.0), (6.0, -8.0), (6.0, 7.0), (15.0, 7.0)])]
        }
        Effect::Equaliser => [(-10.0, -4.0), (0.0, 4.0), (10.0, -1.0)]
            .into_iter()
            .flat_map(|(x, y)| [line(&[(x, -9.0), (x, 9.0)]), line(&[(x - 4.0, y), (x + 4.0, y)])])
            .collect(),
        Effect::Filter => vec![hump(15.0, 5.0)],
        // The same wave twice, the second a little late.
        Effect::Chorus => {
            let wave = |late: f32| curve(32, move |t| vec2(30.0 * t - 15.0, -8.0 * (TAU * (1.5 * t - late)).sin()));
            vec![wave(0.0), wave(0.25)]
        }
        Effect::Flanger => vec![curve(48, |t| vec2(30.0 * t - 15.0, 8.0 - 15.0 * (3.0 * PI * t).sin().abs()))],
        Effect::Phaser => vec![ring(6.5, 24), line(&[(2.5, -9.0), (-2.5, 9.0)])],
        // Slow, quick, slow.
        Effect::Vibrato => {
            let phase = |t: f32| 4.0 * t - 0.36 * (TAU * t).sin() * 1.4;
            vec![curve(64, move |t| vec2(30.0 * t - 15.0, -7.5 * (TAU * phase(t)).sin()))]
        }
        Effect::Tremolo => vec![curve(72, |t| {
            let level = 0.2 + 0.8 * (PI * t).sin().powi(2);
            vec2(30.0 * t - 15.0, -8.5 * level * (TAU * 5.0 * t).sin())
        })],
        // Around an upright axis, seen from the side.
        Effect::Rotary => {
            let around = curve(32, |t| {
                let angle = TAU * (0.93 * t - 0.1);
                vec2(13.5 * angle.cos(), 6.5 * angle.sin())
            });
            vec![around, line(&[(2.5, -8.5), (8.0, -5.2), (5.0, 0.0)])]
        }
        Effect::RingModulator => {
            vec![ring(5.0, 24), line(&[(-6.2, -6.2), (6.2, 6.2)]), line(&[(-6.2, 6.2), (6.2, -6.2)])]
        }
        Effect::Octave => {
            let circle = |y: f32, radius: f32| curve(20, move |t| vec2(0.0, y) + radius * Vec2::angled(TAU * t));
            vec![circle(-4.7, 3.9), circle(4.2, 4.8)]
        }
        Effect::PitchShifter => vec![line(&[
            (-15.0, 8.0),
            (-8.0, 8.0),
            (-8.0, 2.7),
            (0.0, 2.7),
            (0.0, -2.7),
            (8.0, -2.7),
            (8.0, -8.0),
            (15.0, -8.0),
        ])],
        Effect::Delay => [(-12.0, 17.0), (-4.0, 12.0), (4.0, 7.5), (12.0, 4.0)]
            .into_iter()
            .map(|(x, height)| line(&[(x, 8.5), (x, 8.5 - height)]))
            .collect(),
        Effect::Reverb => vec![curve(72, |t| vec2(30.0 * t - 15.0, -9.0 * (-3.0 * t).exp() * (TAU * 5.0 * t).cos()))],
        Effect::Looper => vec![curve(40, |t| vec2(14.0 * (TAU * t).sin(), 7.5 * (2.0 * TAU * t).sin()))],
        Effect::Other => Vec::new(),
    }
}

fn line(points: &[(f32, f32)]) -> Stroke {
    points.iter().map(|(x, y)| vec2(*x, *y)).collect()
}

/// A curve through `count` steps from 0 to 1.
fn curve(count: u8, at: impl Fn(f32) -> Vec2) -> Stroke {
    (0..=count).map(|step| at(f32::from(step) / f32::from(count))).collect()
}

fn ring(radius: f32, count: u8) -> Stroke {
    curve(count, |t| radius * Vec2::angled(TAU * t))
}

/// What a band-pass lets through, so far to either side.
fn hump(half: f32, width: f32) -> Stroke {
    curve(36, |t| {
        let x = half * (2.0 * t - 1.0);
        vec2(x, 7.5 - 15.0 * (-(x / width).powi(2)).exp())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Half of what a mark may cover, in canvas units: the box has a rim around it.
    const HALF: Vec2 = vec2(15.5, 9.0);

    /// As large as a box is at the least zoom of a fitted sheet, and what is inked of it.
    const PIXELS: (usize, usize) = (18, 11);

    /// Which pixels of a small picture a mark's strokes go through.
    fn inked(mark: Mark) -> Vec<bool> {
        let mut found = vec![false; PIXELS.0 * PIXELS.1];
        for stroke in strokes(mark) {
            for ends in stroke.windows(2) {
                for step in 0..=20_u8 {
                    let at = ends[0] + (ends[1] - ends[0]) * (f32::from(step) / 20.0);
                    let part = (at + HALF) / (2.0 * HALF);
                    let x = (part.x * PIXELS.0 as f32) as usize;
                    let y = (part.y * PIXELS.1 as f32) as usize;
                    found[y.min(PIXELS.1 - 1) * PIXELS.0 + x.min(PIXELS.0 - 1)] = true;
                }
            }
        }
        found
    }

    #[test]
    fn every_mark_stays_in_its_box() {
        for mark in Mark::all() {
            let all: Vec<Vec2> = strokes(mark).into_iter().flatten().collect();
            assert!(all.len() > 2, "{mark:?}");
            for at in all {
                assert!(at.x.abs() <= HALF.x && at.y.abs() <= HALF.y, "{mark:?}: {at:?}");
            }
        }
        assert!(strokes(Mark::Effect(Effect::Other)).is_empty());
    }

    /// Seen from far, no two are one: of the pixels that either has, a good part is only one's.
    #[test]
    fn no_two_marks_look_alike_at_the_least_zoom() {
        let all: Vec<(Mark, Vec<bool>)> = Mark::all().map(|mark| (mark, inked(mark))).collect();
        for (at, (one, a)) in all.iter().enumerate() {
            for (other, b) in &all[at + 1..] {
                let either = a.iter().zip(b).filter(|(a, b)| **a || **b).count();
                let apart = a.iter().zip(b).filter(|(a, b)| a != b).count();
                assert!(10 * apart >= 4 * either, "{one:?} and {other:?}: {apart} of {either}");
            }
        }
    }
}
