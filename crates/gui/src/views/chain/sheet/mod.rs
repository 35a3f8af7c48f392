//! One frame of the sheet: leads, devices and their switches, under the pointer.

mod arrange;
mod camera;
pub mod canvas;
mod columns;
mod drawing;
mod equivalent;
mod handles;
mod highlight;
mod loops;
pub mod paint;
mod pen;
pub mod picture;
mod route;
mod symbols;
mod unfed;
mod wiring;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use egui::{CursorIcon, Id, Key, Pos2, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, vec2};
use rigwright_core::rig::{CanvasPoint, Device, DeviceId, Edit, Jack, JackRef, Kind, Lead, LeadId};
use rigwright_core::units::{engineering, metres};

use self::canvas::{Canvas, Drag};
use self::drawing::{DeviceShape, Drawing, LeadShape};
use self::pen::Pen;
use self::symbols::{broken, run_line};
use self::unfed::NO_FEED;
use crate::state::{Change, Selected};
use crate::views::{Facts, Intent, Pointed, Purpose};

/// Gives something painted by hand its name and role.
pub fn name(response: &Response, role: Role, words: &str) {
    let words = words.to_owned();
    response.widget_info(move || WidgetInfo::labeled(role, true, &words));
}

/// The same, where the words are made only if somebody reads them.
pub fn named(response: &Response, role: Role, words: impl Fn() -> String) {
    response.widget_info(|| WidgetInfo::labeled(role, true, words()));
}

/// Whether a drag ended by letting go, and not by giving it up.
pub fn dropped(ui: &Ui, hit: &Response) -> bool {
    hit.drag_stopped() && ui.input(|input| input.pointer.primary_released())
}

/// A word under the pointer, made only while it is there.
fn tip(response: Response, words: impl FnOnce() -> String) {
    response.on_hover_ui(|ui| {
        ui.set_max_width(ui.spacing().tooltip_width);
        ui.label(words());
    });
}

/// One frame of the sheet.
pub struct Sheet<'a, 'f> {
    pub canvas: &'a mut Canvas,
    pub facts: &'a Facts<'f>,
    pub drawing: &'a Drawing,
    pub pen: &'a Pen<'a>,
    pub out: &'a mut Vec<Intent>,
    pub ground: &'a Response,
}

impl Sheet<'_, '_> {
    /// Shows it and collects what is asked for.
    pub fn show(&mut self, ui: &mut Ui) {
        // What was being dragged may be gone: taken out, undone, or given up.
        let ctx = ui.ctx();
        if ctx.dragged_id().is_none() && ctx.drag_stopped_id().is_none() {
            self.canvas.drag = None;
        }
        if !self.canvas.is_picture {
            paint::dots(self.pen);
        }
        if let Some(response) = self.facts.response() {
            paint::brackets(self.pen, self.drawing, &self.facts.variant.rig, response);
        }
        let natures = self.facts.response().map_or_else(BTreeMap::new, |response| paint::natures(response));
        let pointer =
            ui.ctx().pointer_hover_pos().filter(|p| self.pen.screen.contains(*p) && self.ground.contains_pointer());
        let canvas_pointer = pointer.map(|p| self.pen.camera.canvas_from_screen(self.pen.screen, p));
        let reach = 9.0 / self.pen.camera.zoom;
        let over_device =
            canvas_pointer.is_some_and(|p| self.drawing.devices.iter().any(|d| d.rect.shrink(4.0).contains(p)));
        let mut pointed = canvas_pointer.filter(|_| !over_device).and_then(|p| self.drawing.lead_at(p, reach));
        let dragged_over = canvas_pointer.and_then(|p| self.drop_target(p));
        if self.canvas.drag.is_some() {
            pointed = None;
        }
        let (on_loop, by_loop) = self.facts.highlighted();
        let rig = Arc::clone(&self.facts.variant.rig);
        // The drawing is made from this rig: shapes and leads stand in one order.
        for (shape, lead) in self.drawing.leads.iter().zip(&rig.leads) {
            if on_loop.contains(&shape.id) {
                highlight::lead_on_loop(self.pen, &shape.points);
            }
            let nature = natures.get(&shape.id).copied();
            self.lead(ui, shape, lead, pointed.map(|(id, _)| id), dragged_over, nature);
        }
        if self.ground.clicked() {
            self.out.push(Intent::Select(pointed.map(|(id, _)| Selected::Lead(id))));
        }
        if pointed.is_some() {
            ui.ctx().set_cursor_icon(CursorIcon::PointingHand);
        }
        for index in 0..self.drawing.devices.len() {
            self.device(ui, index, canvas_pointer, &natures, &by_loop);
        }
        if let Some(shown) = self.facts.power.loop_shown {
            highlight::loop_words(self.pen, &format!("Ground loop: {}", shown.path));
        }
        self.free_jacks(ui, canvas_pointer);
        self.test_point(ui, canvas_pointer);
    }

    /// The lead on which what is dragged would be dropped.
    fn drop_target(&self, at: Pos2) -> Option<LeadId> {
        let reach = 22.0;
        match self.canvas.drag? {
            Drag::Device { id, hold } => {
                let (lead, _) = self.drawing.lead_at(at - hold, reach)?;
                let lead = self.facts.variant.rig.lead(lead)?;
                (lead.from.device != id && lead.to.device != id).then_some(lead.id)
            }
            Drag::TestPoint => self.drawing.lead_at(at, reach).map(|(lead, _)| lead),
            Drag::Lead { .. } => None,
        }
    }

    /// "Guitar to Tuner".
    pub fn lead_name(&self, id: LeadId) -> String {
        let rig = &self.facts.variant.rig;
        let Some(lead) = rig.lead(id) else {
            return String::new();
        };
        self.between(lead)
    }

    /// The same of a lead that is known.
    fn between(&self, lead: &Lead) -> String {
        let rig = &self.facts.variant.rig;
        let device = |jack: JackRef| self.drawing.wiring.device(rig, jack.device);
        let name = |jack: JackRef| match (device(jack), jack.jack) {
            (None, _) => "nothing".to_owned(),
            // A switcher has many of each.
            (Some(Device { name, kind: Kind::Switcher(_), .. }), Jack::Send(number)) => {
                format!("send {number} of {name}")
            }
            (Some(Device { name, kind: Kind::Switcher(_), .. }), Jack::Return(number)) => {
                format!("return {number} of {name}")
            }
            (Some(device), _) => device.name.clone(),
        };
        format!("{} to {}", name(lead.from), name(lead.to))
    }

    fn lead(
        &mut self,
        ui: &Ui,
        shape: &LeadShape,
        lead: &Lead,
        pointed: Option<LeadId>,
        dragged_over: Option<LeadId>,
        nature: Option<bool>,
    ) {
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
        paint::lead(pen, shape, lead, line, selected || dragged_over == Some(shape.id));
        if hit.clicked() || hit.gained_focus() {
            self.out.push(Intent::Select(Some(Selected::Lead(shape.id))));
        }
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
        if button.on_hover_text("Insert a part here").clicked() {
            self.out.push(Intent::OpenPicker(Purpose::Lead(shape.id)));
        }
    }

    fn device(
        &mut self,
        ui: &Ui,
        index: usize,
        pointer: Option<Pos2>,
        natures: &BTreeMap<LeadId, bool>,
        by_loop: &BTreeSet<DeviceId>,
    ) {
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
        let mut moved = shape.clone();
        if hit.drag_started()
            && let Some(pointer) = pointer
        {
            self.canvas.start_drag(Drag::Device { id: shape.id, hold: pointer - shape.at }, self.pen.camera);
            self.out.push(Intent::Select(Some(Selected::Device(shape.id))));
        }
        if let (Some(Drag::Device { id, hold }), Some(pointer)) = (self.canvas.drag, pointer)
            && id == shape.id
        {
            let by = pointer - hold - shape.at;
            moved.at += by;
            moved.rect = moved.rect.translate(by);
            moved.jacks.iter_mut().for_each(|(_, at)| *at += by);
            if dropped(ui, &hit) {
                self.drop_device(shape, moved.at, pointer);
            }
        }
        if hit.drag_stopped() {
            self.canvas.drag = None;
        }
        if selected || hit.hovered() || hit.has_focus() {
            let outline = pen.camera.screen_rect(pen.screen, moved.rect.expand(3.0));
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
        paint::device(pen, &self.drawing.wiring, &moved, device, natures, &self.facts.project.state);
        if no_feed {
            paint::caption(pen, &moved, device, &|| NO_FEED.to_owned(), pen.tokens.alarm);
            unfed::mark(pen, &moved);
        } else {
            let second = || paint::second_line(device, &self.facts.project.state);
            paint::caption(pen, &moved, device, &second, pen.tokens.quiet);
        }
        if by_loop.contains(&shape.id) {
            highlight::on_loop(pen, &moved);
        }
        if let Some(highlight) = self.facts.state_highlight {
            highlight::paint(pen, &moved, device, highlight, &self.facts.project.state);
        }
        // A click on a focused device by Space is the switch's, not the selection's.
        let space = hit.has_focus() && ui.input(|input| input.key_pressed(Key::Space));
        if (hit.clicked() && !space) || hit.gained_focus() {
            self.out.push(Intent::Select(Some(Selected::Device(shape.id))));
        }
        if let Kind::Switcher(switcher) = &device.kind {
            self.loops(ui, &moved, device, switcher, id);
        }
        if device.has_switch() {
            let over = self.switch(ui, &moved, &device.name, on, id) || hit.hovered();
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
        let tip = if on { "Switch off (Space)" } else { "Switch on (Space)" };
        let hovered = hit.hovered();
        if hit.on_hover_text(tip).clicked() {
            self.out.push(Intent::Toggle(shape.id));
        }
        hovered
    }

    fn drop_device(&mut self, shape: &DeviceShape, at: Pos2, pointer: Pos2) {
        let variant = self.facts.variant.id;
        let device_name = self.facts.variant.rig.device(shape.id).map_or_else(String::new, |d| d.name.clone());
        let rig = &self.facts.variant.rig;
        let loose = rig.leads.iter().all(|lead| lead.from.device != shape.id && lead.to.device != shape.id);
        let change = match self.drop_target(pointer) {
            Some(onto) if loose => {
                self.out.push(Intent::Plug { device: shape.id, onto });
                return;
            }
            Some(onto) => Change::new(
                format!("move {device_name} to the lead from {}", self.lead_name(onto)),
                Edit::Move { variant, device: shape.id, onto },
            ),
            None => Change::new(
                format!("move the symbol of {device_name}"),
                Edit::Place {
                    variant,
                    device: shape.id,
                    place: Some(CanvasPoint { x: f64::from(at.x.round()), y: f64::from(at.y.round()) }),
                },
            ),
        };
        self.out.push(Intent::Change(change));
    }
}
