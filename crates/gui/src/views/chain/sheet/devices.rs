//! A device on the sheet: its symbol, what it says, what a click does, its footswitch.

use std::collections::{BTreeMap, BTreeSet};

use egui::{Id, Key, Rect, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, vec2};
use rigwright_core::rig::{DeviceId, Kind, LeadId};

use super::drag::Drag;
use super::drawing::DeviceShape;
use super::{Sheet, highlight, named, paint, unfed};
use crate::state::Selected;
use crate::views::{Intent, Pointed};
use crate::widgets::focus_ring;

/// So far below its symbol, in canvas units, a device's second line of words ends.
const WORDS_BELOW: f32 = 10.0;

impl Sheet<'_, '_> {
    /// A device: its symbol and its words, under the pointer or in the hand.
    pub fn device(&mut self, ui: &Ui, index: usize, natures: &BTreeMap<LeadId, bool>, by_loop: &BTreeSet<DeviceId>) {
        let shape = &self.drawing.devices[index];
        let rig = &self.facts.variant.rig;
        let Some(device) = self.drawing.wiring.device(rig, shape.id) else {
            return;
        };
        let pen = self.pen;
        let id = Id::unique(("device", self.facts.variant.id.0, shape.id.0));
        let rect = pen.camera.screen_rect(pen.screen, shape.rect);
        let hit = ui.interact(rect, id, Sense::click_and_drag());
        let on = device.is_on(&self.facts.project.state);
        let stays = if on && device.stays_on { ", stays on" } else { "" };
        let no_feed = self.facts.answers.fed.marks(self.facts.variant.id, shape.id);
        let count = self.drawing.devices.len();
        let feed = if no_feed { ", no feed" } else { "" };
        named(&hit, Role::Button, || format!("{}, {} of {count}{stays}{feed}", device.name, index + 1));
        let selected = self.facts.selection.device() == Some(shape.id);
        if hit.drag_started() {
            // Held where the button went down, not where the pointer is by now.
            let down = ui.input(|input| input.pointer.press_origin()).or(hit.interact_pointer_pos());
            if let Some(down) = down {
                let hold = pen.camera.canvas_from_screen(pen.screen, down) - shape.at;
                self.canvas.start_drag(Drag::Device { id: shape.id, hold }, pen.camera);
                self.out.push(Intent::Select(Some(Selected::Device(shape.id))));
            }
        }
        if selected || hit.hovered() || hit.has_focus() {
            let outline = pen.camera.screen_rect(pen.screen, shape.rect.expand(3.0));
            let ink = if hit.has_focus() {
                pen.tokens.teal
            } else if selected {
                pen.tokens.copper
            } else {
                pen.tokens.border
            };
            let corners = [
                outline.left_top(),
                outline.right_top(),
                outline.right_bottom(),
                outline.left_bottom(),
                outline.left_top(),
            ];
            let stroke = Stroke::new(1.2, ink);
            if selected {
                pen.painter.extend(egui::Shape::dashed_line(&corners, stroke, 4.0, 3.0));
            } else {
                pen.painter.rect_stroke(outline, 5.0, stroke, StrokeKind::Inside);
            }
        }
        paint::device(pen, &self.drawing.wiring, shape, device, natures, &self.facts.project.state);
        if no_feed {
            unfed::mark(pen, shape);
        }
        if by_loop.contains(&shape.id) {
            highlight::on_loop(pen, shape);
        }
        if let Some(highlight) = self.facts.state_highlight {
            highlight::paint(pen, shape, device, highlight, &self.facts.project.state);
        }
        // A click on a focused device by Space is the switch's, not the selection's.
        let space = hit.has_focus() && ui.input(|input| input.key_pressed(Key::Space));
        if (hit.clicked() && !space) || hit.gained_focus() {
            self.out.push(Intent::Select(Some(Selected::Device(shape.id))));
        }
        self.follow(ui, &hit);
        // Its words hang over the symbol's lower edge: the ring stands around them.
        let ring = Rect::from_min_max(rect.min, rect.max + vec2(0.0, WORDS_BELOW * pen.camera.zoom));
        focus_ring::around(ui, &hit, ring.intersect(pen.screen));
        self.device_menu(&hit, shape, device);
        if let Kind::Switcher(switcher) = &device.kind {
            self.loops(ui, shape, device, switcher, id);
        }
        if device.has_switch() {
            let over = self.switch(ui, shape, &device.name, on, id) || hit.hovered();
            if over && self.canvas.drag.is_none() {
                self.out.push(Intent::Point(Pointed::Unit(shape.id)));
            }
            if space {
                self.out.push(Intent::Toggle(shape.id));
            }
        }
    }

    /// The footswitch under the line; true while the pointer is on it.
    fn switch(&mut self, ui: &Ui, shape: &DeviceShape, device: &str, on: bool, id: Id) -> bool {
        let pen = self.pen;
        let at = pen.at(shape.at + vec2(0.0, 21.0));
        let zoom = pen.camera.zoom;
        let rect = Rect::from_center_size(at, egui::Vec2::splat((20.0 * zoom).max(12.0)));
        let hit = ui.interact(rect, id.with("switch"), Sense::click());
        let label = format!("Switch of {device}");
        hit.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, on, &label));
        let tokens = pen.tokens;
        let ink = if hit.hovered() || hit.has_focus() {
            tokens.teal
        } else if on {
            tokens.ink
        } else {
            tokens.quiet
        };
        pen.painter.circle(at, 5.8 * zoom, tokens.sheet, Stroke::new((1.2 * zoom.sqrt()).max(0.8), ink));
        if on {
            pen.painter.circle_filled(at, 3.2 * zoom, tokens.teal);
        } else {
            pen.painter.circle_stroke(at, 2.3 * zoom, Stroke::new((1.0 * zoom.sqrt()).max(0.6), ink));
        }
        self.follow(ui, &hit);
        let tip = if on { "Switch off (Space)" } else { "Switch on (Space)" };
        let hovered = hit.hovered();
        if hit.on_hover_text(tip).clicked() {
            self.out.push(Intent::Toggle(shape.id));
        }
        hovered
    }
}
