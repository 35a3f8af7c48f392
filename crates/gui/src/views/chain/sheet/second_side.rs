//! The second channel of a pedal: its jacks below the line, and what joins them.

use egui::{pos2, vec2};
use rigwright_core::rig::{Bypass, Jack, Stereo};

use super::pen::Pen;
use super::symbols::{Symbol, unit_box};

/// From a unit's middle to where its second channel leaves its box.
const LEG: f32 = 12.0;

impl Symbol<'_> {
    /// From the second input's jack to the second output's, as the unit stands.
    pub fn second_side(&self, pen: &Pen<'_>, stereo: &Stereo) {
        let jack = |jack| self.shape.jacks.iter().find(|(own, _)| *own == jack).map(|(_, at)| *at);
        let Some(out) = jack(Jack::SecondOut) else { return };
        let at = self.shape.at;
        let (foot, bottom) = (out.y, unit_box(at).bottom());
        let behind = pen.with(self.behind.ink, self.behind.weight);
        let before = pen.with(self.before.ink, self.before.weight);
        let back = jack(Jack::SecondIn).filter(|_| stereo.second_in);
        if self.on() {
            behind.line(&[pos2(at.x + LEG, bottom), pos2(at.x + LEG, foot), out]);
            back.into_iter().for_each(|back| before.line(&[back, pos2(at.x - LEG, foot), pos2(at.x - LEG, bottom)]));
            return;
        }
        let stays = self.device.kind.pedal().is_some_and(|pedal| pedal.bypass == Bypass::Buffered);
        match (back, stays) {
            (Some(back), _) => {
                before.line(&[back, pos2(at.x, foot)]);
                behind.line(&[pos2(at.x, foot), out]);
                if stays {
                    pen.symbol().triangle(pos2(at.x, foot), 16.0, 14.0, pen.tokens.sheet);
                }
            }
            (None, true) => {
                let joint = at + vec2(LEG + 8.0, 0.0);
                behind.line(&[joint, pos2(joint.x, foot), out]);
                behind.dot(joint, 2.4);
            }
            // It leads nowhere.
            (None, false) => {
                let end = pos2(at.x + LEG, foot);
                pen.faint().line(&[end, out]);
                pen.faint().ring(end, 2.4, pen.tokens.sheet);
            }
        }
    }
}
