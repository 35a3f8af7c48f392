//! A lead on the sheet: what it says, what a click does, its plus.

use egui::{Rect, Role, Sense, Stroke, Ui, vec2};
use rigwright_core::rig::{Lead, LeadId};
use rigwright_core::units::{engineering, metres};

use super::canvas::widget_id;
use super::drawing::LeadShape;
use super::pen::Pen;
use super::symbols::{broken, run_line};
use super::{Sheet, keep_arrows, named, paint, tip};
use crate::state::Selected;
use crate::views::{Intent, Purpose};

/// Where a lead's plus stands on the screen.
#[must_use]
pub fn plus_place(pen: &Pen<'_>, shape: &LeadShape) -> Rect {
    Rect::from_center_size(pen.at(shape.middle), egui::Vec2::splat((20.0 * pen.camera.zoom).clamp(14.0, 26.0)))
}

impl Sheet<'_, '_> {
    /// A lead: its line, its words, and its plus while it is pointed at.
    pub fn lead(&mut self, ui: &Ui, shape: &LeadShape, lead: &Lead, pointed: Option<LeadId>, nature: Option<bool>) {
        let pen = self.pen;
        let zoom = pen.camera.zoom;
        let item = Selected::Lead(shape.id);
        let id = widget_id(self.facts.variant.id, item);
        let rect = Rect::from_center_size(pen.at(shape.middle), vec2((shape.room * zoom).max(12.0), 14.0));
        let hit = ui.interact(rect, id, Sense::click());
        let amounts = || format!("{}, {}", metres(lead.length.get()), engineering(lead.capacitance(), "F", 3));
        named(&hit, Role::Button, || format!("Lead from {}, {}", self.between(lead), amounts()));
        let selected = self.facts.selection.contains(item);
        if hit.has_focus() {
            self.canvas.focused = Some(item);
            keep_arrows(ui, id);
        }
        let alone = selected && !self.facts.selection.is_several();
        let shown = pointed == Some(shape.id) || hit.hovered() || hit.has_focus() || alone;
        let line = if shape.whole { run_line(pen.tokens, nature) } else { broken(pen.tokens) };
        paint::lead(pen, shape, lead, line, selected);
        if hit.clicked() {
            self.pick(ui, item);
        } else if hit.gained_focus() && !selected {
            self.out.push(Intent::Select(Some(item)));
        }
        self.follow(ui, &hit);
        self.lead_menu(&hit, shape.id);
        // A short one has no room for both on the drawing.
        tip(hit, || format!("{}: {}", amounts(), lead.cable.name));
        if self.canvas.is_dragging() {
            return;
        }
        let plus = plus_place(pen, shape);
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
