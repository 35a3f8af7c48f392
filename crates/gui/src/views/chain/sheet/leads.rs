//! A lead on the sheet: what it says, what a click does, its plus.

use egui::{Id, Rect, Role, Sense, Stroke, Ui, vec2};
use rigwright_core::rig::{Lead, LeadId};
use rigwright_core::units::{engineering, metres};

use super::drawing::LeadShape;
use super::symbols::{broken, run_line};
use super::{Sheet, named, paint, tip};
use crate::state::Selected;
use crate::views::{Intent, Purpose};

impl Sheet<'_, '_> {
    /// A lead: its line, its words, and its plus while it is pointed at.
    pub fn lead(&mut self, ui: &Ui, shape: &LeadShape, lead: &Lead, pointed: Option<LeadId>, nature: Option<bool>) {
        let pen = self.pen;
        let zoom = pen.camera.zoom;
        let id = Id::unique(("lead", self.facts.variant.id.0, shape.id.0));
        let rect = Rect::from_center_size(pen.at(shape.middle), vec2((shape.room * zoom).max(12.0), 14.0));
        let hit = ui.interact(rect, id, Sense::click());
        let amounts = || format!("{}, {}", metres(lead.length.get()), engineering(lead.capacitance(), "F", 3));
        named(&hit, Role::Button, || format!("Lead from {}, {}", self.between(lead), amounts()));
        let selected = self.facts.selection.lead() == Some(shape.id);
        let shown = pointed == Some(shape.id) || hit.hovered() || hit.has_focus() || selected;
        let line = if shape.whole { run_line(pen.tokens, nature) } else { broken(pen.tokens) };
        paint::lead(pen, shape, lead, line, selected);
        if hit.clicked() || hit.gained_focus() {
            self.out.push(Intent::Select(Some(Selected::Lead(shape.id))));
        }
        self.follow(ui, &hit);
        self.lead_menu(&hit, shape.id);
        // A short one has no room for both on the drawing.
        tip(hit, || format!("{}: {}", amounts(), lead.cable.name));
        if self.canvas.drag.is_some() {
            return;
        }
        let plus = Rect::from_center_size(pen.at(shape.middle), egui::Vec2::splat((20.0 * zoom).clamp(14.0, 26.0)));
        let button = ui.interact(plus, id.with("plus"), Sense::click());
        named(&button, Role::Button, || format!("Insert a part on the lead from {}", self.between(lead)));
        if shown || button.hovered() || button.has_focus() {
            let tokens = pen.tokens;
            let strong = button.hovered() || button.has_focus();
            let ink = if strong { tokens.teal } else { tokens.ink };
            let centre = plus.center();
            let radius = 0.42 * plus.width();
            pen.painter.circle(centre, radius, tokens.raised, Stroke::new(1.3, ink));
            let arm = 0.55 * radius;
            pen.painter.line_segment([centre - vec2(arm, 0.0), centre + vec2(arm, 0.0)], Stroke::new(1.5, ink));
            pen.painter.line_segment([centre - vec2(0.0, arm), centre + vec2(0.0, arm)], Stroke::new(1.5, ink));
        }
        self.follow(ui, &button);
        if button.on_hover_text("Insert a part here").clicked() {
            self.out.push(Intent::OpenPicker(Purpose::Lead(shape.id)));
        }
    }
}
