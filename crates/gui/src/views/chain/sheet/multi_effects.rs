//! The symbol of a multi-effects unit: a box in which the signal becomes numbers and back, with
//! its loop's way out and in where that is in use.

use egui::{Rect, pos2, vec2};
use rigwright_core::rig::{Jack, MultiEffects};

use super::pen::Pen;
use super::symbols::{Symbol, numbers};

/// Half the height of the box.
pub const HALF: f32 = 18.0;
/// Half its width where nothing hangs below it.
const SIDE: f32 = 32.0;
/// The width of each converter in it.
const CONVERTER: f32 = 26.0;

impl Symbol<'_> {
    /// The box on the line: from a signal to numbers, effects, and back.
    pub fn multi_effects(&self, pen: &Pen<'_>, unit: &MultiEffects) {
        let (at, reach) = (self.shape.at, self.shape.reach);
        let jack = |jack| self.shape.jacks.iter().find(|(own, _)| *own == jack).map(|(_, at)| *at);
        let (send, back) = (jack(Jack::Send(1)), jack(Jack::Return(1)));
        // With its loop in use the box reaches over send and return, which hang below it.
        let side = match (send, back) {
            (Some(send), Some(back)) if self.shape.hangs_loops => 0.5 * (back.x - send.x) + CONVERTER + 8.0,
            _ => SIDE,
        };
        self.stub(pen, -reach, -side, true);
        self.stub(pen, side, reach, false);
        let p = pen.symbol();
        if let Some(second) = jack(Jack::SecondOut) {
            let (foot, line) = (at.y + 0.5 * HALF, pen.with(self.behind.ink, self.behind.weight));
            line.line(&[pos2(at.x + side, foot), pos2(second.x, foot), second]);
        }
        if let Some(second) = jack(Jack::SecondIn) {
            let (foot, line) = (at.y + 0.5 * HALF, pen.with(self.before.ink, self.before.weight));
            line.line(&[second, pos2(second.x, foot), pos2(at.x - side, foot)]);
        }
        let faint = pen.faint();
        if let (Some(send), Some(back), false) = (send, back, self.shape.hangs_loops) {
            faint.line(&[pos2(at.x + 8.0, at.y + HALF), pos2(at.x + 8.0, send.y), send]);
            faint.line(&[back, pos2(at.x - 8.0, back.y), pos2(at.x - 8.0, at.y + HALF)]);
        }
        p.rect(Rect::from_center_size(at, vec2(2.0 * side, 2.0 * HALF)), 0.0, pen.tokens.sheet);
        for (side, comes_in) in [(-side, true), (side, false)] {
            let x = side - 0.5 * side.signum() * CONVERTER;
            let (left, right) = (at.x + x - 0.5 * CONVERTER, at.x + x + 0.5 * CONVERTER);
            p.line(&[pos2(left, at.y + HALF), pos2(right, at.y - HALF)]);
            let inner = if comes_in { right } else { left };
            p.line(&[pos2(inner, at.y - HALF), pos2(inner, at.y + HALF)]);
            let (upper, lower) = (at + vec2(x - 5.5, -8.5), at + vec2(x + 5.5, 8.5));
            let (signal, converted) = if comes_in { (upper, lower) } else { (lower, upper) };
            p.sine(signal, 8.0, 5.0);
            numbers(&p, converted);
        }
        let (Some(send), Some(back)) = (send, back) else { return };
        if !self.shape.hangs_loops {
            return;
        }
        let is_in = self.device.is_loop_in(1, self.state);
        let stays = unit.effects_loop.is_some_and(|way| way.dry.is_some());
        let inner = side - CONVERTER;
        let past = if is_in && !stays { &faint } else { &p };
        past.line(&[pos2(at.x - inner, at.y), pos2(at.x + inner, at.y)]);
        let through = if is_in { &p } else { &faint };
        through.line(&[pos2(send.x, at.y), send]);
        through.line(&[back, pos2(back.x, at.y)]);
        if is_in && !stays {
            p.line(&[pos2(at.x - inner, at.y), pos2(send.x, at.y)]);
            p.line(&[pos2(back.x, at.y), pos2(at.x + inner, at.y)]);
        }
        for x in [send.x, back.x] {
            p.dot(pos2(x, at.y), 2.6);
        }
    }
}
