//! One frame of the sheet: leads, devices and their switches, under the pointer.

mod arrange;
mod brackets;
mod camera;
pub mod canvas;
mod columns;
mod detour;
mod devices;
pub mod drag;
mod drawing;
mod equivalent;
mod follow;
mod handles;
mod highlight;
mod leads;
mod lie;
mod loops;
mod menus;
mod order;
pub mod paint;
mod pen;
pub mod picture;
mod room;
mod route;
mod symbols;
mod unfed;
mod wiring;
mod words;

use std::collections::BTreeMap;
use std::sync::Arc;

use egui::{CursorIcon, Rect, Response, Role, Ui, Vec2, WidgetInfo};
use rigwright_core::rig::{Device, DeviceId, Jack, JackRef, Kind, Lead, LeadId};
use rigwright_core::terms::explained;

use self::canvas::Canvas;
use self::drag::Drag;
use self::drawing::Drawing;
use self::handles::TEST_POINT;
use self::pen::Pen;
use self::unfed::NO_FEED;
use self::words::Words;
use crate::state::Selected;
use crate::views::{Facts, Intent};
use crate::widgets::term;

/// Gives something painted by hand its name and role.
pub fn name(response: &Response, role: Role, words: &str) {
    let words = words.to_owned();
    response.widget_info(move || WidgetInfo::labeled(role, true, &words));
}

/// The same, where the words are made only if somebody reads them.
pub fn named(response: &Response, role: Role, words: impl Fn() -> String) {
    response.widget_info(|| WidgetInfo::labeled(role, true, words()));
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
        if !self.canvas.is_picture {
            paint::dots(self.pen);
        }
        let natures = self.facts.response().map_or_else(BTreeMap::new, |response| paint::natures(response));
        // What is dragged may hide the sheet from the pointer.
        let is_over = self.ground.contains_pointer() || self.canvas.drag.is_some();
        let pointer = ui.ctx().pointer_hover_pos().filter(|p| is_over && self.pen.screen.contains(*p));
        let canvas_pointer = pointer.map(|p| self.pen.camera.canvas_from_screen(self.pen.screen, p));
        let reach = 9.0 / self.pen.camera.zoom;
        let over_device =
            canvas_pointer.is_some_and(|p| self.drawing.devices.iter().any(|d| d.rect.shrink(4.0).contains(p)));
        let mut pointed = canvas_pointer.filter(|_| !over_device).and_then(|p| self.drawing.lead_at(p, reach));
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
            self.lead(ui, shape, lead, pointed.map(|(id, _)| id), nature);
        }
        if self.ground.clicked() {
            self.out.push(Intent::Select(pointed.map(|(id, _)| Selected::Lead(id))));
        }
        self.paper_menu();
        if pointed.is_some() {
            ui.ctx().set_cursor_icon(CursorIcon::PointingHand);
        }
        // What is held in the hand lies over the others.
        let held = match self.canvas.drag {
            Some(Drag::Device { id, .. }) => self.drawing.devices.iter().position(|shape| shape.id == id),
            _ => None,
        };
        let others = (0..self.drawing.devices.len()).filter(|index| Some(*index) != held);
        for index in others.chain(held) {
            self.device(ui, index, &natures, &by_loop);
        }
        let held = held.and_then(|index| self.drawing.devices.get(index)).map(|shape| shape.id);
        let test_point = Rect::from_center_size(self.test_point_at(canvas_pointer), Vec2::splat(2.0 * TEST_POINT));
        self.words(ui, held, test_point);
        if let Some(shown) = self.facts.power.loop_shown {
            highlight::loop_words(self.pen, &format!("Ground loop: {}", shown.path));
        }
        self.plugs(ui);
        self.free_jacks(ui);
        self.test_point(ui, canvas_pointer);
        self.dragged(ui, canvas_pointer);
    }

    /// Names and all else that is said; terms explain themselves.
    fn words(&self, ui: &Ui, held: Option<DeviceId>, test_point: Rect) {
        let facts = self.facts;
        let has_no_feed = |id: DeviceId| facts.answers.fed.marks(facts.variant.id, id).then_some(NO_FEED);
        let words = Words {
            pen: self.pen,
            drawing: self.drawing,
            rig: &facts.variant.rig,
            state: &facts.project.state,
            response: facts.response().map(|response| &**response),
            instead: &has_no_feed,
            held,
            test_point,
        };
        for (at, (name, place)) in words.show().into_iter().enumerate() {
            // What is dragged goes before what is read; beyond the edge nothing is.
            let seen = place.intersect(self.pen.screen);
            if let Some(term) = explained(name).filter(|_| self.canvas.drag.is_none() && seen.is_positive()) {
                term::zone(ui, seen, self.ground.id.with((name, at)), term);
            }
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
}
