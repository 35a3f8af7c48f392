//! What can be pulled over the sheet: free jacks and the test point.

use egui::{Align2, Id, Pos2, Rect, Role, Sense, Stroke, Ui, vec2};
use rigwright_core::rig::{Edit, Jack, JackRef, TestPoint};
use rigwright_core::units::Turn;

use super::canvas::Drag;
use super::{Sheet, dropped, name, named};
use crate::state::Change;
use crate::views::{Intent, PUT_TEST_POINT, TAKE_TEST_POINT_AWAY};

/// Whether a jack is a loop's send or return.
fn is_of_loop(jack: JackRef) -> bool {
    matches!(jack.jack, Jack::Send(_) | Jack::Return(_))
}

/// Whether a lead may join two jacks: an output and an input, of one device only as a loop.
fn may_join(a: JackRef, b: JackRef) -> bool {
    a.jack.is_output() != b.jack.is_output() && (a.device != b.device || is_of_loop(a) && is_of_loop(b))
}

impl Sheet<'_, '_> {
    /// Free jacks, from which a lead can be pulled to another.
    pub fn free_jacks(&mut self, ui: &Ui, pointer: Option<Pos2>) {
        let rig = &self.facts.variant.rig;
        let pen = self.pen;
        let free = &self.drawing.wiring.free;
        let at = |jack: JackRef| {
            let shape = self.drawing.device(jack.device)?;
            shape.jacks.iter().find(|(j, _)| *j == jack.jack).map(|(_, at)| *at)
        };
        for &jack in free {
            let Some(place) = at(jack) else { continue };
            let rect = Rect::from_center_size(pen.at(place), egui::Vec2::splat((18.0 * pen.camera.zoom).max(12.0)));
            let hit = ui.interact(rect, Id::unique(("jack", self.facts.variant.id.0, jack)), Sense::drag());
            let device = || self.drawing.wiring.device(rig, jack.device).map_or("", |d| d.name.as_str());
            named(&hit, Role::Button, || format!("Free jack: {} of {}", jack.jack, device()));
            let goal = matches!(self.canvas.drag, Some(Drag::Lead { from }) if may_join(from, jack));
            let ink = match (hit.hovered() || goal, is_of_loop(jack)) {
                (true, _) => pen.tokens.teal,
                // A loop may be empty.
                (false, true) => pen.tokens.quiet,
                (false, false) => pen.tokens.alarm,
            };
            pen.with(ink, 1.6).ring(place, if goal { 6.0 } else { 4.6 }, pen.tokens.sheet);
            if hit.drag_started() {
                self.canvas.start_drag(Drag::Lead { from: jack }, pen.camera);
            }
            if dropped(ui, &hit) {
                let target = pointer.and_then(|p| {
                    free.iter().copied().find(|other| {
                        may_join(jack, *other) && at(*other).is_some_and(|place| place.distance(p) < 22.0)
                    })
                });
                if let Some(target) = target {
                    let (from, to) = if jack.jack.is_output() { (jack, target) } else { (target, jack) };
                    self.out.push(Intent::Join { from, to });
                }
                self.canvas.drag = None;
            }
            hit.on_hover_text("Nothing is plugged in here. Pull a lead to another free jack.");
        }
        if let (Some(Drag::Lead { from }), Some(pointer)) = (self.canvas.drag, pointer)
            && let Some(start) = at(from)
        {
            pen.with(pen.tokens.teal, 2.0).line(&[start, pointer]);
        }
    }

    /// The test point: on its lead, or parked in the corner to be dragged out.
    pub fn test_point(&mut self, ui: &Ui, pointer: Option<Pos2>) {
        let pen = self.pen;
        let point = self.facts.project.test_point;
        let set = point.and_then(|point| self.drawing.lead(point.lead).map(|lead| (point, lead)));
        if self.canvas.is_picture && set.is_none() {
            return;
        }
        let parked = pen.screen.right_top() + vec2(-22.0, 22.0);
        let mut centre = match set {
            Some((point, lead)) => pen.at(lead.point_at(point.along.get() as f32)),
            None => parked,
        };
        let radius = 10.0;
        let rect = Rect::from_center_size(centre, egui::Vec2::splat(2.4 * radius));
        let hit = ui.interact(rect, Id::unique(("test point", self.facts.variant.id.0)), Sense::drag());
        let words = match set {
            Some((point, _)) => {
                format!("Test point on the lead from {}", self.lead_name(point.lead))
            }
            None => "Test point, not set".to_owned(),
        };
        name(&hit, Role::Button, &words);
        if hit.drag_started() {
            self.canvas.start_drag(Drag::TestPoint, pen.camera);
        }
        if self.canvas.drag == Some(Drag::TestPoint) {
            let target = pointer.and_then(|p| self.drawing.lead_at(p, 22.0));
            if let Some(p) = pointer {
                centre = match target.and_then(|(id, along)| self.drawing.lead(id).map(|lead| lead.point_at(along))) {
                    Some(on_lead) => pen.at(on_lead),
                    None => pen.at(p),
                };
            }
            if dropped(ui, &hit) {
                let edit = Edit::SetTestPoint(target.map(|(lead, along)| TestPoint {
                    lead,
                    along: Turn::clamped(f64::from((along * 100.0).round() / 100.0)),
                }));
                let step = if target.is_some() { PUT_TEST_POINT } else { TAKE_TEST_POINT_AWAY };
                self.out.push(Intent::Change(Change::new(step, edit)));
                self.canvas.drag = None;
            }
        }
        let tokens = pen.tokens;
        let live = set.is_some() || self.canvas.drag == Some(Drag::TestPoint);
        let (fill, ink) = if live { (tokens.copper, tokens.ground) } else { (tokens.sheet, tokens.quiet) };
        pen.painter.circle(centre, radius, fill, Stroke::new(1.2, if live { tokens.ground } else { tokens.quiet }));
        pen.painter.text(centre, Align2::CENTER_CENTER, "T", crate::theme::text::small(), ink);
        let tip = if set.is_some() {
            "Test point: the curves are taken here. Drag it to another lead, or off the leads to take it away."
        } else {
            "Test point: drag it onto a lead to see the level there."
        };
        hit.on_hover_text(tip);
    }
}
