//! The sheet: what is pointed at, dragged, dropped, zoomed.

use egui::{Align2, CursorIcon, Id, Key, Pos2, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, vec2};
use rigwright_core::rig::{DeviceId, Edit, JackRef, LeadId, Place, TestPoint};
use rigwright_core::units::{Turn, engineering, metres};

use super::camera::Camera;
use super::drawing::{DeviceShape, Drawing, LeadShape};
use super::paint;
use super::pen::Pen;
use super::symbols::run_line;
use crate::state::{Change, Selected};
use crate::theme::{Tokens, size};
use crate::views::{Facts, Intent, Purpose};

/// What is being dragged.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Drag {
    /// A device, held at an offset from its middle, in canvas units.
    Device { id: DeviceId, hold: egui::Vec2 },
    /// A new lead from a free jack.
    Lead { from: JackRef },
    /// The test point.
    TestPoint,
}

/// The sheet's own state; no part of the project.
#[derive(Debug, Default)]
pub struct Canvas {
    camera: Option<Camera>,
    drag: Option<Drag>,
    /// The drawing and what it was made from: made again only when that changes.
    drawing: Option<(std::sync::Arc<rigwright_core::rig::Variant>, Drawing)>,
    last_screen: Option<Rect>,
}

impl Canvas {
    /// Shows the whole rig from the next frame on.
    pub fn fit(&mut self) {
        self.camera = None;
    }

    /// Zooms about the middle.
    pub fn zoom(&mut self, factor: f32) {
        if let (Some(camera), Some(screen)) = (&mut self.camera, self.last_screen) {
            camera.zoom_about(screen, screen.center(), factor);
        }
    }

    /// The sheet in all the room there is.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let tokens = Tokens::of(ui);
        let (screen, ground) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
        name(&ground, Role::Group, "Sheet with the rig as a circuit drawing");
        self.last_screen = Some(screen);
        let fresh = self.drawing.as_ref().is_none_or(|(variant, _)| !std::sync::Arc::ptr_eq(variant, facts.variant));
        if fresh {
            let drawing = Drawing::of(&facts.variant.rig, &facts.variant.places);
            self.drawing = Some((std::sync::Arc::clone(facts.variant), drawing));
        }
        let Some((_, drawing)) = self.drawing.take() else {
            return;
        };
        // Fitted, it stays fitted when the window or the rig changes.
        let mut camera = self.camera.unwrap_or_else(|| Camera::fit(drawing.bounds, screen.shrink2(vec2(30.0, 4.0))));
        if self.look(ui, &ground, screen, &mut camera) {
            self.camera = Some(camera);
        }
        let painter = ui.painter().with_clip_rect(screen);
        painter.rect(
            screen,
            f32::from(size::CORNER),
            tokens.sheet,
            Stroke::new(1.0, tokens.border),
            StrokeKind::Inside,
        );
        let pen = Pen { painter: &painter, camera, screen, tokens, ink: tokens.ink, weight: size::SYMBOL_LINE };
        let mut child = ui.new_child(egui::UiBuilder::new().max_rect(screen).id_salt("sheet"));
        child.set_clip_rect(screen.intersect(ui.clip_rect()));
        Sheet { canvas: self, facts, drawing: &drawing, pen: &pen, out, ground: &ground }.show(&mut child);
        self.drawing = Some((std::sync::Arc::clone(facts.variant), drawing));
    }

    /// Pan and zoom; whether anything moved.
    fn look(&self, ui: &Ui, ground: &Response, screen: Rect, camera: &mut Camera) -> bool {
        let before = *camera;
        if ground.dragged() && self.drag.is_none() {
            camera.pan(ground.drag_delta());
        }
        if let Some(pointer) = ui
            .ctx()
            .pointer_hover_pos()
            .filter(|p| screen.contains(*p) && ui.ctx().layer_id_at(*p) == Some(ui.layer_id()))
        {
            let (scroll, pinch) = ui.input(|input| (input.smooth_scroll_delta(), input.zoom_delta()));
            let factor = pinch * (scroll.y * 0.004).exp();
            if (factor - 1.0).abs() > 1e-4 {
                camera.zoom_about(screen, pointer, factor);
            }
            if scroll.x.abs() > 0.1 {
                camera.pan(vec2(scroll.x, 0.0));
            }
        }
        *camera != before
    }
}

fn name(response: &Response, role: Role, words: &str) {
    let words = words.to_owned();
    response.widget_info(move || WidgetInfo::labeled(role, true, &words));
}

/// One frame of the sheet.
struct Sheet<'a, 'f> {
    canvas: &'a mut Canvas,
    facts: &'a Facts<'f>,
    drawing: &'a Drawing,
    pen: &'a Pen<'a>,
    out: &'a mut Vec<Intent>,
    ground: &'a Response,
}

impl Sheet<'_, '_> {
    fn show(&mut self, ui: &mut Ui) {
        paint::dots(self.pen);
        let response = self.facts.response().cloned();
        if let Some(response) = &response {
            paint::brackets(self.pen, self.drawing, &self.facts.variant.rig, response);
        }
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
        for shape in &self.drawing.leads {
            self.lead(ui, shape, pointed.map(|(id, _)| id), dragged_over, response.as_deref());
        }
        if self.ground.clicked() {
            self.out.push(Intent::Select(pointed.map(|(id, _)| Selected::Lead(id))));
        }
        if pointed.is_some() {
            ui.ctx().set_cursor_icon(CursorIcon::PointingHand);
        }
        for index in 0..self.drawing.devices.len() {
            self.device(ui, index, canvas_pointer, response.as_deref());
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

    fn lead_name(&self, id: LeadId) -> String {
        let rig = &self.facts.variant.rig;
        let Some(lead) = rig.lead(id) else {
            return String::new();
        };
        let name = |jack: JackRef| rig.device(jack.device).map_or("nothing", |d| d.name.as_str());
        format!("{} to {}", name(lead.from), name(lead.to))
    }

    fn lead(
        &mut self,
        ui: &Ui,
        shape: &LeadShape,
        pointed: Option<LeadId>,
        dragged_over: Option<LeadId>,
        response: Option<&rigwright_core::response::Response>,
    ) {
        let Some(lead) = self.facts.variant.rig.lead(shape.id) else {
            return;
        };
        let pen = self.pen;
        let zoom = pen.camera.zoom;
        let id = Id::unique(("lead", self.facts.variant.id.0, shape.id.0));
        let rect = Rect::from_center_size(pen.at(shape.middle), vec2((shape.room * zoom).max(12.0), 14.0));
        let hit = ui.interact(rect, id, Sense::click());
        let between = self.lead_name(shape.id);
        name(
            &hit,
            Role::Button,
            &format!("Lead from {between}, {}, {}", metres(lead.length.get()), engineering(lead.capacitance(), "F", 3)),
        );
        let selected = self.facts.selection.lead() == Some(shape.id);
        let shown = pointed == Some(shape.id) || hit.hovered() || hit.has_focus() || selected;
        let nature = paint::nature(response, shape.id);
        paint::lead(pen, shape, lead, run_line(pen.tokens, nature), selected || dragged_over == Some(shape.id));
        if hit.clicked() {
            self.out.push(Intent::Select(Some(Selected::Lead(shape.id))));
        }
        if self.canvas.drag.is_some() {
            return;
        }
        let plus = Rect::from_center_size(pen.at(shape.middle), egui::Vec2::splat((20.0 * zoom).clamp(14.0, 26.0)));
        let button = ui.interact(plus, id.with("plus"), Sense::click());
        name(&button, Role::Button, &format!("Insert a part on the lead from {between}"));
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
        response: Option<&rigwright_core::response::Response>,
    ) {
        let shape = &self.drawing.devices[index];
        let rig = &self.facts.variant.rig;
        let Some(device) = rig.device(shape.id) else {
            return;
        };
        let pen = self.pen;
        let id = Id::unique(("device", self.facts.variant.id.0, shape.id.0));
        let rect = pen.camera.screen_rect(pen.screen, shape.rect);
        let hit = ui.interact(rect, id, Sense::click_and_drag());
        let on = self.facts.project.state.on.contains(&shape.id);
        name(&hit, Role::Button, &format!("{}, {} of {}", device.name, index + 1, self.drawing.devices.len()));
        let selected = self.facts.selection.device() == Some(shape.id);
        let mut moved = shape.clone();
        if hit.drag_started()
            && let Some(pointer) = pointer
        {
            self.canvas.drag = Some(Drag::Device { id: shape.id, hold: pointer - shape.at });
            self.out.push(Intent::Select(Some(Selected::Device(shape.id))));
        }
        if let (Some(Drag::Device { id, hold }), Some(pointer)) = (self.canvas.drag, pointer)
            && id == shape.id
        {
            let by = pointer - hold - shape.at;
            moved.at += by;
            moved.rect = moved.rect.translate(by);
            moved.jacks.iter_mut().for_each(|(_, at)| *at += by);
            if hit.drag_stopped() {
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
        paint::device(pen, rig, &moved, device, response, &self.facts.project.state);
        paint::caption(pen, &moved, device, &self.facts.project.state);
        // A click on a focused device by Space is the switch's, not the selection's.
        let space = hit.has_focus() && ui.input(|input| input.key_pressed(Key::Space));
        if hit.clicked() && !space {
            self.out.push(Intent::Select(Some(Selected::Device(shape.id))));
        }
        if device.kind.pedal().is_some() {
            self.switch(ui, &moved, &device.name, on, id);
            if space {
                self.out.push(Intent::Toggle(shape.id));
            }
        }
    }

    /// The footswitch under the line.
    fn switch(&mut self, ui: &Ui, shape: &DeviceShape, device: &str, on: bool, id: Id) {
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
        if hit.on_hover_text(tip).clicked() {
            self.out.push(Intent::Toggle(shape.id));
        }
    }

    fn drop_device(&mut self, shape: &DeviceShape, at: Pos2, pointer: Pos2) {
        let variant = self.facts.variant.id;
        let device_name = self.facts.variant.rig.device(shape.id).map_or_else(String::new, |d| d.name.clone());
        let change = match self.drop_target(pointer) {
            Some(onto) => Change::new(
                format!("move {device_name} to the lead from {}", self.lead_name(onto)),
                Edit::Move { variant, device: shape.id, onto },
            ),
            None => Change::new(
                format!("move the symbol of {device_name}"),
                Edit::Place {
                    variant,
                    device: shape.id,
                    place: Some(Place { x: f64::from(at.x.round()), y: f64::from(at.y.round()) }),
                },
            ),
        };
        self.out.push(Intent::Change(change));
    }

    /// Free jacks, from which a lead can be pulled to another.
    fn free_jacks(&mut self, ui: &Ui, pointer: Option<Pos2>) {
        let rig = &self.facts.variant.rig;
        let pen = self.pen;
        let free = rig.free_jacks();
        let at = |jack: JackRef| {
            let shape = self.drawing.device(jack.device)?;
            shape.jacks.iter().find(|(j, _)| *j == jack.jack).map(|(_, at)| *at)
        };
        for &jack in &free {
            let Some(place) = at(jack) else { continue };
            let rect = Rect::from_center_size(pen.at(place), egui::Vec2::splat((18.0 * pen.camera.zoom).max(12.0)));
            let hit = ui.interact(rect, Id::unique(("jack", self.facts.variant.id.0, jack)), Sense::drag());
            let device = rig.device(jack.device).map_or("", |d| d.name.as_str());
            name(&hit, Role::Button, &format!("Free jack: {} of {device}", jack.jack));
            let goal = matches!(self.canvas.drag, Some(Drag::Lead { from }) if from.jack.is_output() != jack.jack.is_output() && from.device != jack.device);
            let ink = if hit.hovered() || goal { pen.tokens.teal } else { pen.tokens.alarm };
            pen.with(ink, 1.6).ring(place, if goal { 6.0 } else { 4.6 }, pen.tokens.sheet);
            if hit.drag_started() {
                self.canvas.drag = Some(Drag::Lead { from: jack });
            }
            if hit.drag_stopped() {
                let target = pointer.and_then(|p| {
                    free.iter().copied().find(|other| {
                        other.jack.is_output() != jack.jack.is_output()
                            && other.device != jack.device
                            && at(*other).is_some_and(|place| place.distance(p) < 22.0)
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
    fn test_point(&mut self, ui: &Ui, pointer: Option<Pos2>) {
        let pen = self.pen;
        let point = self.facts.project.test_point;
        let set = point.and_then(|point| self.drawing.lead(point.lead).map(|lead| (point, lead)));
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
            self.canvas.drag = Some(Drag::TestPoint);
        }
        if self.canvas.drag == Some(Drag::TestPoint) {
            let target = pointer.and_then(|p| self.drawing.lead_at(p, 22.0));
            if let Some(p) = pointer {
                centre = match target.and_then(|(id, along)| self.drawing.lead(id).map(|lead| lead.point_at(along))) {
                    Some(on_lead) => pen.at(on_lead),
                    None => pen.at(p),
                };
            }
            if hit.drag_stopped() {
                let edit = Edit::SetTestPoint(target.map(|(lead, along)| TestPoint {
                    lead,
                    along: Turn::clamped(f64::from((along * 100.0).round() / 100.0)),
                }));
                let step = if target.is_some() { "put the test point on a lead" } else { "take the test point away" };
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
