//! A device on the sheet: its symbol, what it says, what a click does, its footswitch.

use std::collections::{BTreeMap, BTreeSet};

use egui::{Id, Key, PointerButton, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2};
use rigwright_core::rig::{Device, DeviceId, LeadId};

use super::canvas::widget_id;
use super::drag::Drag;
use super::look::moves_the_sheet;
use super::menus::next_words;
use super::room::without;
use super::symbols::{is_switched, switch_place};
use super::words::Placed;
use super::{Sheet, highlight, keep_arrows, marks, named, paint, unfed};
use crate::help::Mark;
use crate::state::Selected;
use crate::views::{Intent, Pointed};
use crate::widgets::focus_ring;

impl Sheet<'_, '_> {
    /// A device: its symbol and its words, under the pointer or in the hand.
    pub fn device(&mut self, ui: &Ui, index: usize, natures: &BTreeMap<LeadId, bool>, by_loop: &BTreeSet<DeviceId>) {
        let shape = &self.drawing.devices[index];
        let rig = &self.facts.variant.rig;
        let Some(device) = self.drawing.wiring.device(rig, shape.id) else {
            return;
        };
        let pen = self.pen;
        let item = Selected::Device(shape.id);
        let id = widget_id(self.facts.variant.id, item);
        let rect = pen.camera.screen_rect(pen.screen, shape.rect);
        let hit = ui.interact(rect, id, Sense::click_and_drag());
        let on = device.is_on(&self.facts.project.state);
        let stays = if on && device.stays_on { ", stays on" } else { "" };
        let no_feed = self.facts.answers.fed.marks(self.facts.variant.id, shape.id);
        let count = self.drawing.devices.len();
        let feed = if no_feed { ", no feed" } else { "" };
        let mark = Mark::of(device);
        named(&hit, Role::Button, || {
            // Not “Compressor, compressor”.
            let kind = mark.map(Mark::name).filter(|name| !device.name.to_lowercase().contains(name));
            let kind = kind.map_or_else(String::new, |name| format!(", {name}"));
            format!("{}, {} of {count}{stays}{feed}{kind}", device.name, index + 1)
        });
        let selected = self.facts.selection.contains(item);
        if hit.has_focus() {
            self.canvas.focused = Some(item);
            keep_arrows(ui, id);
        }
        if hit.drag_started_by(PointerButton::Primary) && !moves_the_sheet(ui) {
            // Held where the button went down, not where the pointer is by now.
            let down = ui.input(|input| input.pointer.press_origin()).or(hit.interact_pointer_pos());
            if let Some(down) = down {
                let from = pen.camera.canvas_from_screen(pen.screen, down);
                let drag = self.several_held(item, from).unwrap_or_else(|| {
                    self.out.push(Intent::Select(Some(item)));
                    Drag::Device { id: shape.id, hold: from - shape.at }
                });
                self.canvas.start_drag(drag, pen.camera);
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
        if hit.clicked() && !space {
            self.pick(ui, item);
        } else if hit.gained_focus() && !selected {
            self.out.push(Intent::Select(Some(item)));
        }
        self.follow(ui, &hit);
        if selected || hit.hovered() || hit.has_focus() {
            self.framed.push((shape.id, hit.clone()));
        }
        self.device_menu(&hit, shape, device);
        let hit = match mark.filter(|_| self.canvas.drag.is_none()) {
            Some(mark) => hit.on_hover_ui(|ui| marks::card(ui, mark)),
            None => hit,
        };
        if shape.hangs_loops {
            self.loops(ui, shape, device, id);
        }
        if let Some(at) = switch_place(device, shape) {
            let over = self.switch(ui, at, device, id) || hit.hovered();
            if over && self.canvas.drag.is_none() {
                self.out.push(Intent::Point(Pointed::Unit(shape.id)));
            }
            if space {
                self.out.push(Intent::Toggle(shape.id));
            }
        }
    }

    /// Frames around devices that are selected or pointed at, and a ring around the one that
    /// has the keyboard: around the device's own words, too. A frame gives way to other words.
    pub fn frames(&mut self, ui: &Ui, words: &Placed) {
        let pen = self.pen;
        for (id, hit) in std::mem::take(&mut self.framed) {
            let around = words.of(id).fold(hit.rect, Rect::union).expand(3.0).intersect(pen.screen);
            focus_ring::around(ui, &hit, around);
            if hit.has_focus() {
                // It has the ring.
                continue;
            }
            let others: Vec<Rect> = words.of_others(id).map(|words| words.expand2(vec2(2.0, 0.0))).collect();
            let selected = self.facts.selection.contains(Selected::Device(id));
            for side in frame_sides(around, &others) {
                if selected {
                    let stroke = Stroke::new(1.2, pen.tokens.copper);
                    pen.painter.extend(Shape::dashed_line(&side, stroke, 4.0, 3.0));
                } else {
                    pen.painter.line_segment(side, Stroke::new(1.2, pen.tokens.border));
                }
            }
        }
    }

    /// All that is selected, held at a place, where something is one of several that can be moved.
    pub fn several_held(&self, item: Selected, from: Pos2) -> Option<Drag> {
        let selection = self.facts.selection;
        let (selected, notes) = (selection.devices(), selection.notes());
        let shapes = self.drawing.devices.iter().filter(|shape| selected.contains(&shape.id));
        let devices: Vec<(DeviceId, Pos2)> = shapes.map(|shape| (shape.id, shape.at)).collect();
        let several = devices.len() + notes.len() > 1;
        (several && selection.contains(item)).then_some(Drag::Held { from, devices, notes })
    }

    /// The switch of a device; true while the pointer is on it.
    fn switch(&mut self, ui: &Ui, at: Pos2, device: &Device, id: Id) -> bool {
        let pen = self.pen;
        let at = pen.at(at);
        let state = &self.facts.project.state;
        let on = is_switched(device, state);
        let zoom = pen.camera.zoom;
        let rect = Rect::from_center_size(at, egui::Vec2::splat((20.0 * zoom).max(12.0)));
        let hit = ui.interact(rect, id.with("switch"), Sense::click());
        let label = format!("Switch of {}", device.name);
        hit.widget_info(|| match device.has_switch() {
            true => WidgetInfo::selected(Role::CheckBox, true, on, &label),
            false => WidgetInfo::labeled(Role::Button, true, &label),
        });
        let tokens = pen.tokens;
        let ink = if hit.hovered() || hit.has_focus() {
            tokens.teal
        } else if on {
            tokens.ink
        } else {
            tokens.quiet
        };
        paint::footswitch(pen, at, on, ink);
        self.follow(ui, &hit);
        let tip = next_words(device, state).map(|words| format!("{words} (Space)"));
        let hovered = hit.hovered();
        if hit.on_hover_text(tip.unwrap_or_default()).clicked() {
            self.out.push(Intent::Toggle(device.id));
        }
        hovered
    }
}

/// The sides of a frame without what lies under `words`.
fn frame_sides(frame: Rect, words: &[Rect]) -> Vec<[Pos2; 2]> {
    let mut sides = Vec::new();
    for y in [frame.top(), frame.bottom()] {
        let gaps = words.iter().filter(|words| words.y_range().contains(y)).map(|words| words.x_range());
        sides.extend(without(frame.x_range(), gaps).map(|part| [pos2(part.min, y), pos2(part.max, y)]));
    }
    for x in [frame.left(), frame.right()] {
        let gaps = words.iter().filter(|words| words.x_range().contains(x)).map(|words| words.y_range());
        sides.extend(without(frame.y_range(), gaps).map(|part| [pos2(x, part.min), pos2(x, part.max)]));
    }
    sides
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_frame_gives_way_to_words() {
        let frame = Rect::from_min_max(pos2(0.0, 0.0), pos2(100.0, 50.0));
        let whole: f32 = frame_sides(frame, &[]).iter().map(|[a, b]| a.distance(*b)).sum();
        assert_eq!(whole, 300.0);
        // One over the left side, one over a corner, one within, one around the whole top.
        let at = |x: f32, y: f32, w: f32, h: f32| Rect::from_min_size(pos2(x, y), vec2(w, h));
        let cases = [(at(-20.0, 10.0, 30.0, 12.0), 12.0), (at(95.0, 45.0, 20.0, 20.0), 10.0)];
        for (words, lost) in
            cases.into_iter().chain([(at(20.0, 20.0, 10.0, 10.0), 0.0), (at(-5.0, -5.0, 200.0, 10.0), 110.0)])
        {
            let sides = frame_sides(frame, &[words]);
            let left: f32 = sides.iter().map(|[a, b]| a.distance(*b)).sum();
            assert_eq!(left, whole - lost, "{words:?}");
            assert!(sides.iter().all(|[a, b]| !words.shrink(0.1).intersects(Rect::from_two_pos(*a, *b))));
        }
    }
}
