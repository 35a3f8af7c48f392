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
mod look;
mod loops;
mod marks;
mod menus;
mod multi_effects;
mod notes;
mod opened;
mod order;
mod overview;
pub mod paint;
mod pen;
pub mod picture;
mod room;
mod route;
mod second_side;
mod selectors;
pub mod signs;
mod symbols;
mod typing;
mod unfed;
mod walk;
mod wiring;
mod words;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use egui::{CursorIcon, EventFilter, Id, Rect, Response, Role, Sense, Ui, Vec2, WidgetInfo};
use rigwright_core::response::words::run_words;
use rigwright_core::rig::{Device, DeviceId, Jack, JackRef, Kind, Lead, LeadId, NoteId};
use rigwright_core::terms::explained;

use self::canvas::Canvas;
use self::drag::Drag;
use self::drawing::Drawing;
use self::handles::TEST_POINT;
use self::pen::Pen;
use self::typing::Said;
use self::unfed::NO_FEED;
use self::words::{Placed, Words};
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

/// Leaves the arrow keys to the sheet while a symbol has the keyboard: they walk along the signal.
fn keep_arrows(ui: &Ui, id: Id) {
    let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
}

/// Whether a click adds to what is selected.
fn adds(ui: &Ui) -> bool {
    ui.input(|input| input.modifiers.shift || input.modifiers.command)
}

/// One frame of the sheet.
pub struct Sheet<'a, 'f> {
    pub canvas: &'a mut Canvas,
    pub facts: &'a Facts<'f>,
    pub drawing: &'a Drawing,
    pub pen: &'a Pen<'a>,
    pub out: &'a mut Vec<Intent>,
    pub ground: &'a Response,
    /// Devices that get a frame once their words have found room, each with its response.
    pub framed: Vec<(DeviceId, Response)>,
}

impl Sheet<'_, '_> {
    /// Shows it and collects what is asked for.
    pub fn show(&mut self, ui: &mut Ui) {
        if !self.canvas.is_picture && self.facts.habits.dots {
            paint::dots(self.pen);
        }
        self.keep_cards_free();
        let natures = self.facts.response().map_or_else(BTreeMap::new, |response| paint::natures(response));
        // What is dragged may hide the sheet from the pointer.
        let is_over = self.ground.contains_pointer() || self.canvas.is_dragging();
        let pointer = ui.ctx().pointer_hover_pos().filter(|p| is_over && self.pen.screen.contains(*p));
        let canvas_pointer = pointer.map(|p| self.pen.camera.canvas_from_screen(self.pen.screen, p));
        let reach = 9.0 / self.pen.camera.zoom;
        let over_device =
            canvas_pointer.is_some_and(|p| self.drawing.devices.iter().any(|d| d.rect.shrink(4.0).contains(p)));
        let mut pointed = canvas_pointer.filter(|_| !over_device).and_then(|p| self.drawing.lead_at(p, reach));
        if self.canvas.is_dragging() {
            pointed = None;
        }
        let (on_loop, by_loop) = self.facts.highlighted();
        let rig = Arc::clone(&self.facts.variant.rig);
        // The drawing is made from this rig: shapes and leads stand in one order.
        for at in &self.drawing.reading {
            let (Some(shape), Some(lead)) = (self.drawing.leads.get(*at), rig.leads.get(*at)) else { continue };
            if on_loop.contains(&shape.id) {
                highlight::lead_on_loop(self.pen, &shape.points);
            }
            let nature = natures.get(&shape.id).copied();
            self.lead(ui, shape, lead, pointed.map(|(id, _)| id), nature);
        }
        if self.ground.clicked() {
            match pointed.map(|(id, _)| Selected::Lead(id)) {
                Some(item) => self.pick(ui, item),
                // With a key held down something is added, if there is something.
                None if adds(ui) => {}
                None => self.out.push(Intent::Select(None)),
            }
        }
        self.paper_menu(canvas_pointer);
        if pointed.is_some() {
            ui.ctx().set_cursor_icon(CursorIcon::PointingHand);
        }
        // What is held in the hand lies over the others.
        let held: BTreeSet<DeviceId> = match &self.canvas.drag {
            Some(Drag::Device { id, .. }) => [*id].into(),
            Some(Drag::Held { devices, .. }) => devices.iter().map(|(id, _)| *id).collect(),
            _ => BTreeSet::new(),
        };
        let (over, others): (Vec<usize>, Vec<usize>) =
            (0..self.drawing.devices.len()).partition(|index| held.contains(&self.drawing.devices[*index].id));
        for index in others.into_iter().chain(over) {
            self.device(ui, index, &natures, &by_loop);
        }
        let test_point = Rect::from_center_size(self.test_point_at(canvas_pointer), Vec2::splat(2.0 * TEST_POINT));
        let notes = notes::places(self.pen, self.facts.variant);
        self.words(ui, &held, test_point, &notes);
        self.notes(ui, &notes);
        if let Some(shown) = self.facts.power.loop_shown {
            highlight::loop_words(self.pen, &format!("Ground loop: {}", shown.path));
        }
        self.plugs(ui);
        self.free_jacks(ui);
        self.test_point(ui, canvas_pointer);
        self.dragged(ui, canvas_pointer);
        self.band(ui, canvas_pointer);
        self.opened(ui);
        self.overview(ui);
        self.type_over(ui);
    }

    /// Selects what was clicked, or adds it to what is selected.
    fn pick(&mut self, ui: &Ui, item: Selected) {
        self.out.push(if adds(ui) { Intent::SelectToo(item) } else { Intent::Select(Some(item)) });
    }

    /// Names and all else that is said; terms explain themselves.
    fn words(&mut self, ui: &Ui, held: &BTreeSet<DeviceId>, test_point: Rect, notes: &[(NoteId, Rect)]) {
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
            notes,
        };
        let placed = words.show();
        self.frames(ui, &placed);
        let Placed { terms, labels, runs, .. } = placed;
        if !self.canvas.is_picture {
            let notes = notes.iter().map(|(id, rect)| (Said::Note(*id), *rect));
            self.labels(ui, labels.into_iter().chain(notes).collect());
            self.run_marks(ui, &runs);
        }
        for (at, (name, place)) in terms.into_iter().enumerate() {
            // What is dragged goes before what is read; beyond the edge nothing is.
            let seen = place.intersect(self.pen.screen);
            if let Some(term) = explained(name).filter(|_| self.canvas.drag.is_none() && seen.is_positive()) {
                term::zone(ui, seen, self.ground.id.with((name, at)), term);
            }
        }
    }

    /// What runs amount to: a double click selects all that belongs to the run.
    fn run_marks(&mut self, ui: &Ui, runs: &[(usize, Rect)]) {
        let Some(response) = self.facts.response() else { return };
        for (index, place) in runs {
            let Some(run) = response.runs.get(*index) else { continue };
            let id = self.ground.id.with(("run", *index));
            // The devices and leads in it have the keyboard's stops.
            let hit = ui.interact(place.intersect(self.pen.screen), id, Sense::CLICK);
            let words = || format!("Run: {}", run_words(&self.facts.variant.rig, run));
            named(&hit, Role::Button, words);
            if hit.double_clicked() {
                let leads = run.leads.iter().map(|id| Selected::Lead(*id));
                let devices = run.passed.iter().map(|id| Selected::Device(*id));
                self.out.push(Intent::SelectAll(leads.chain(devices).collect()));
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
            (Some(Device { name, .. }), jack @ (Jack::Send(_) | Jack::Return(_))) => format!("{jack} of {name}"),
            (Some(device), _) => device.name.clone(),
        };
        format!("{} to {}", name(lead.from), name(lead.to))
    }
}
