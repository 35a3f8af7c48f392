//! The symbol of a selector: a switch on the line, its arm at the jack that it joins.

use egui::{Pos2, pos2, vec2};
use rigwright_core::rig::{Jack, Position, Selector, SwitchKey};

use super::pen::Pen;
use super::symbols::Symbol;

/// From the middle to the switch's pivot and to its contacts.
const ARM: f32 = 16.0;
/// A contact's dot.
const DOT: f32 = 2.8;

impl Symbol<'_> {
    /// The switch, its buffer before it or behind it.
    pub fn selector(&self, pen: &Pen<'_>, selector: &Selector) {
        let (at, reach) = (self.shape.at, self.shape.reach);
        let switch = self.device.switch(SwitchKey::Selector);
        let position = switch.map_or(Selector::FIRST, |switch| self.state.position(&switch));
        // The pivot is on the side with one jack.
        let side = if matches!(selector, Selector::Outputs { .. }) { -1.0 } else { 1.0 };
        let (pivot, first) = (at + vec2(side * ARM, 0.0), at - vec2(side * ARM, 0.0));
        let second_jack = if side < 0.0 { Jack::SecondOut } else { Jack::SecondIn };
        let Some((_, jack)) = self.shape.jacks.iter().find(|(own, _)| *own == second_jack) else { return };
        let second = pos2(first.x, jack.y);
        let (common, ways) = if side < 0.0 { (self.before, self.behind) } else { (self.behind, self.before) };
        let line = |from: Pos2, to: Pos2, is_common: bool| {
            let line = if is_common { common } else { ways };
            pen.with(line.ink, line.weight).line(&[from, to]);
        };
        line(at + vec2(side * reach, 0.0), pivot, true);
        line(first, at - vec2(side * reach, 0.0), false);
        line(second, *jack, false);
        let p = pen.symbol();
        let joins = |own: Position| position == own || position == Selector::BOTH;
        for (contact, own) in [(first, Selector::FIRST), (second, Selector::SECOND)] {
            if joins(own) {
                p.line(&[pivot, contact]);
            }
            p.ring(contact, DOT, pen.tokens.sheet);
        }
        p.dot(pivot, DOT);
        if selector.buffer().is_some() {
            p.triangle(at + vec2(side * (ARM + 14.0), 0.0), 18.0, 20.0, pen.tokens.sheet);
        }
    }
}
