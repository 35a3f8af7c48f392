//! What can be pulled over the sheet: free jacks, plugs and the test point.

use egui::{Align2, CursorIcon, Id, Painter, Pos2, Rect, Role, Sense, Stroke, Ui, Vec2, vec2};
use rigwright_core::rig::Jack;

use super::drag::{Drag, Goal, goal, is_of_loop, plug_name};
use super::{Sheet, name, named};
use crate::state::Selected;
use crate::state::plugging::Plug;
use crate::theme::{Tokens, text};
use crate::views::Intent;

/// Radius of the test point, in points.
pub const TEST_POINT: f32 = 10.0;
/// How far around a plug it can be taken, in canvas units.
const PLUG: f32 = 15.0;

/// The test point, in points of the screen; quiet while it isn't set.
pub fn mark(painter: &Painter, centre: Pos2, live: bool, tokens: &Tokens) {
    let (fill, ink) = if live { (tokens.copper, tokens.ground) } else { (tokens.sheet, tokens.quiet) };
    painter.circle(centre, TEST_POINT, fill, Stroke::new(1.2, ink));
    painter.text(centre, Align2::CENTER_CENTER, "T", text::small(), ink);
}

impl Sheet<'_, '_> {
    fn jack_zone(&self, at: Pos2, size: f32) -> Rect {
        Rect::from_center_size(self.pen.at(at), Vec2::splat((size * self.pen.camera.zoom).max(11.0)))
    }

    /// Free jacks, from which a lead can be pulled to another.
    pub fn free_jacks(&mut self, ui: &Ui) {
        let rig = &self.facts.variant.rig;
        let pen = self.pen;
        for &jack in &self.drawing.wiring.free {
            let Some(place) = self.drawing.jack(jack) else { continue };
            let rect = self.jack_zone(place, 18.0);
            let hit = ui.interact(rect, Id::unique(("jack", self.facts.variant.id.0, jack)), Sense::drag());
            let device = || self.drawing.wiring.device(rig, jack.device).map_or("", |d| d.name.as_str());
            named(&hit, Role::Button, || format!("Free jack: {} of {}", jack.jack, device()));
            let fits = self.takes_the_lead_in_hand(jack.jack.is_output());
            let of_two_sides = self.drawing.wiring.device(rig, jack.device).is_some_and(|d| d.kind.stereo().is_some());
            let is_side = of_two_sides && matches!(jack.jack, Jack::SecondIn | Jack::SecondOut);
            let ink = match (hit.hovered() || fits, is_of_loop(jack) || is_side) {
                (true, _) => pen.tokens.teal,
                // A loop may be empty, and a unit with two sides may play one.
                (false, true) => pen.tokens.quiet,
                (false, false) => pen.tokens.alarm,
            };
            pen.with(ink, 1.6).ring(place, if fits { 6.0 } else { 4.6 }, pen.tokens.sheet);
            self.follow(ui, &hit);
            if hit.drag_started() {
                self.canvas.start_drag(Drag::Lead { from: jack }, pen.camera);
            }
            hit.on_hover_text("Nothing is plugged in here. Pull a lead to another free jack.");
        }
    }

    /// Whether what is dragged is a lead's end that goes into outputs, or into inputs.
    fn takes_the_lead_in_hand(&self, output: bool) -> bool {
        match &self.canvas.drag {
            Some(Drag::Lead { from }) => from.jack.is_output() != output,
            Some(Drag::Plug { plug, .. }) => (*plug == Plug::AtOutput) == output,
            _ => false,
        }
    }

    /// The plugs of leads: each can be pulled to another jack, or off.
    pub fn plugs(&mut self, ui: &Ui) {
        // Far out there is nothing to take hold of.
        if self.pen.camera.zoom * PLUG < 6.0 {
            return;
        }
        let variant = self.facts.variant;
        for (shape, lead) in self.drawing.leads.iter().zip(&variant.rig.leads) {
            for plug in [Plug::AtOutput, Plug::AtInput] {
                let Some(place) = self.drawing.jack(plug.jack(lead)) else { continue };
                let id = Id::unique(("plug", variant.id.0, shape.id.0, plug));
                let hit = ui.interact(self.jack_zone(place, PLUG), id, Sense::click_and_drag());
                named(&hit, Role::Button, || plug_name(variant, shape.id, plug));
                let held = self.canvas.drag == Some(Drag::Plug { lead: shape.id, plug });
                if hit.clicked() || hit.gained_focus() {
                    self.out.push(Intent::Select(Some(Selected::Lead(shape.id))));
                }
                self.follow(ui, &hit);
                if hit.drag_started() {
                    self.canvas.start_drag(Drag::Plug { lead: shape.id, plug }, self.pen.camera);
                }
                if self.canvas.drag.is_none() && (hit.hovered() || hit.has_focus()) || held {
                    self.pen.with(self.pen.tokens.teal, 1.8).ring(place, 6.0, self.pen.tokens.sheet);
                    if hit.hovered() && !held {
                        ui.ctx().set_cursor_icon(CursorIcon::Grab);
                    }
                }
                super::tip(hit, || {
                    format!("{}: drag it to another jack, or off the jacks.", plug_name(variant, shape.id, plug))
                });
            }
        }
    }

    /// Where the test point is shown, on the screen.
    pub fn test_point_at(&self, pointer: Option<Pos2>) -> Pos2 {
        let pen = self.pen;
        let point = self.facts.project.test_point;
        let set = point.and_then(|point| self.drawing.lead(point.lead).map(|lead| (point, lead)));
        if let Some(at) = pointer.filter(|_| self.canvas.drag == Some(Drag::TestPoint)) {
            return match goal(&Drag::TestPoint, self.facts, self.drawing, at, false) {
                Goal::Along(lead, along) => {
                    self.drawing.lead(lead).map_or(pen.at(at), |lead| pen.at(lead.point_at(along)))
                }
                _ => pen.at(at),
            };
        }
        match set {
            Some((point, lead)) => pen.at(lead.point_at(point.along.get() as f32)),
            None => pen.screen.right_top() + vec2(-22.0, 22.0),
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
        let centre = self.test_point_at(pointer);
        let radius = TEST_POINT;
        let rect = Rect::from_center_size(centre, Vec2::splat(2.4 * radius));
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
        let held = self.canvas.drag == Some(Drag::TestPoint);
        mark(pen.painter, centre, set.is_some() || held, pen.tokens);
        let tip = if set.is_some() {
            "Test point: the curves are taken here. Drag it to another lead, or off the leads to take it away."
        } else {
            "Test point: drag it onto a lead to see the level there."
        };
        hit.on_hover_text(tip);
    }
}
