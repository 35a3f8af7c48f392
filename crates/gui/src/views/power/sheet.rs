//! One frame of the sheet of rails: what is pointed at, dragged, dropped, chosen.

use egui::{Id, Pos2, Rect, Response, Role, Sense, Ui, WidgetInfo};
use rigwright_core::power::TapCheck;
use rigwright_core::rig::{Device, DeviceId, OutletRef, Power};

use super::brush::Brush;
use super::canvas::{Canvas, Scene};
use super::drag::Goal;
use super::layout::{Layout, RailKey, UnitBox};
use super::menus;
use super::paint::{self, BoxLook, RailLook};
use super::returns::SharedReturn;
use super::trace::trace;
use super::words;
use crate::state::Selected;
use crate::views::Intent;

/// One frame of the sheet.
pub struct Sheet<'a, 's> {
    pub canvas: &'a mut Canvas,
    pub scene: &'a Scene<'s>,
    pub layout: &'a Layout,
    pub shared: &'a [SharedReturn],
    pub brush: &'a Brush<'a>,
    /// What is seen of it, on the screen.
    pub visible: Rect,
    pub ground: &'a Response,
    pub out: &'a mut Vec<Intent>,
}

/// Gives something painted by hand its name and role.
fn name(response: &Response, role: Role, words: &str) {
    let words = words.to_owned();
    response.widget_info(move || WidgetInfo::labeled(role, true, &words));
}

impl Sheet<'_, '_> {
    /// Shows it and collects what is asked for.
    pub fn show(&mut self, ui: &mut Ui) {
        // What was being dragged may be gone: taken out, undone, or given up.
        let ctx = ui.ctx();
        if ctx.dragged_id().is_none() && ctx.drag_stopped_id().is_none() {
            self.canvas.drag = None;
        }
        let pointer = ui.ctx().pointer_hover_pos().filter(|p| self.visible.contains(*p));
        let pointer = pointer.map(|p| self.canvas_from(p));
        let goal = self.canvas.drag.and_then(|drag| Some(self.goal(drag, pointer?)));
        let rig = self.scene.rig;
        paint::mains(self.brush, self.layout, &paint::mains_words(&rig.devices, self.scene.mains));
        for at in 0..self.layout.converters.len() {
            self.converter(ui, at, pointer);
        }
        for at in 0..self.layout.rows.len() {
            self.row(ui, at, goal);
        }
        for shared in self.shared {
            let shouts = self
                .scene
                .shown
                .is_some_and(|shown| shown.devices().iter().filter(|id| shared.devices.contains(id)).count() > 1);
            paint::shared(self.brush, shared, shouts);
        }
        if let Some(shown) = self.scene.shown {
            paint::trace(self.brush, &trace(rig, self.layout, shown));
        }
        if self.ground.clicked() {
            self.out.push(Intent::Select(None));
        }
        for at in 0..self.layout.boxes.len() {
            self.unit(ui, at, pointer);
        }
        self.dragged(ui, pointer, goal);
    }

    fn canvas_from(&self, p: Pos2) -> Pos2 {
        ((p - self.brush.origin) / self.brush.zoom).to_pos2()
    }

    pub(super) fn place(&self, outlet: OutletRef) -> String {
        words::place_volts(self.scene.rig, self.scene.answer.map(|answer| &answer.check), outlet)
    }

    fn tap(&self, device: DeviceId) -> Option<&TapCheck> {
        self.scene.answer?.check.tap(device)
    }

    fn id(&self, what: &'static str, device: DeviceId) -> Id {
        Id::unique((what, self.scene.variant.0, device.0, self.scene.is_preview))
    }

    fn converter(&mut self, ui: &Ui, at: usize, pointer: Option<Pos2>) {
        let shape = &self.layout.converters[at];
        let rig = self.scene.rig;
        let Some((device, supply)) = rig.device(shape.device).and_then(|d| Some((d, d.kind.supply()?))) else { return };
        let check = self.scene.answer.map(|answer| &answer.check);
        paint::converter(self.brush, shape, device, supply, check);
        let plugs = device.power.need().is_some() && !self.scene.is_fixed();
        let sense = if plugs { Sense::click_and_drag() } else { Sense::click() };
        let hit = ui.interact(self.brush.rect_at(shape.rect), self.id("supply", device.id), sense);
        let kind = if shape.depth > 0 || device.power.need().is_some() { "module" } else { "supply" };
        let words = format!("{}, {kind}, {}", device.name, words::supply(device, supply, check));
        name(&hit, Role::Button, &words);
        let selected = self.scene.selected == Some(device.id);
        let highlighted = self.scene.is_highlighted(device.id);
        if selected || hit.hovered() || hit.has_focus() || highlighted {
            let ink = if hit.has_focus() { self.brush.tokens.teal } else { self.brush.tokens.copper };
            self.brush.with(ink, 1.4).block(shape.rect.expand(4.0), 4.0, egui::Color32::TRANSPARENT);
        }
        self.pick(&hit, device);
        self.dragging(ui, &hit, device.id, shape.rect, pointer);
        if !self.scene.is_fixed() {
            hit.context_menu(|ui| menus::supply(ui, self.scene, device, self.out));
        }
    }

    fn pick(&mut self, hit: &Response, device: &Device) {
        if (hit.clicked() || hit.gained_focus()) && !self.scene.is_preview {
            self.out.push(Intent::Select(Some(Selected::Device(device.id))));
        }
        if hit.gained_focus() && !hit.clicked() {
            hit.scroll_to_me(None);
        }
    }

    fn row(&mut self, ui: &Ui, at: usize, goal: Option<Goal>) {
        let row = &self.layout.rows[at];
        let rig = self.scene.rig;
        let check = self.scene.answer.map(|answer| &answer.check);
        let units = self.layout.boxes.iter().filter(|unit| unit.key == row.key).count();
        let RailKey::Outlet(outlet) = row.key else {
            let title = match (row.key, units) {
                (RailKey::Mains, _) => "On the mains themselves",
                (RailKey::Batteries, _) => "On a battery of their own",
                (RailKey::NotFed, 0) if self.scene.is_picture => "Not fed: nothing",
                (RailKey::NotFed, 0) => "Not fed: nothing. Drop a unit here to unplug it",
                (RailKey::NotFed, _) => "Not fed",
                _ => "Nobody has said what these take",
            };
            let goal = row.key == RailKey::NotFed && goal == Some(Goal::Unplug);
            let look = RailLook { title, form: None, choice: false, goal, pointed: false };
            paint::rail(self.brush, row, &look, units > 0);
            let hit = ui.interact(self.brush.rect_at(row.band), Id::unique(("shelf", at)), Sense::hover());
            name(&hit, Role::Group, title);
            return;
        };
        let Some(there) = rig.outlet(outlet) else { return };
        let id = Id::unique(("rail", self.scene.variant.0, outlet.supply.0, outlet.outlet, self.scene.is_preview));
        let title = words::rail(rig, check, outlet);
        let choice = there.settings.len() > 1 && !self.scene.is_fixed();
        let shown = ui.memory(|memory| memory.has_focus(id.with("choose")));
        let width = self.brush.width(&title, 12.0, true) + if choice { 20.0 } else { 0.0 };
        let title_rect = Rect::from_min_max(
            row.title - egui::vec2(3.0, 17.0),
            egui::pos2(row.title.x + width + 3.0, row.title.y + 3.0),
        );
        let on_screen = self.brush.rect_at(title_rect);
        let over = self.canvas.drag.is_none() && choice && ui.rect_contains_pointer(on_screen);
        let look = RailLook {
            title: &title,
            form: there.setting().map(|setting| setting.form),
            choice,
            goal: goal == Some(Goal::PlugIn(outlet)),
            pointed: shown || over,
        };
        let fed = rig.feed_from(outlet).is_some();
        paint::rail(self.brush, row, &look, fed);
        let load = check.and_then(|check| check.outlet(outlet)).map(|outlet| outlet.load);
        if let (Some(rect), Some(load)) = (row.bar, load) {
            paint::bar(self.brush, rect, &load, self.scene.used);
            let hit =
                ui.interact(self.brush.rect_at(rect.expand2(egui::vec2(2.0, 8.0))), id.with("load"), Sense::hover());
            let words = load_words(&load, self.scene.used);
            name(&hit, Role::Group, &format!("Load of {}: {words}", words::place(rig, outlet)));
            hit.on_hover_text(words);
        }
        let place = words::place_volts(rig, check, outlet);
        let band = ui.interact(self.brush.rect_at(row.band), id, Sense::hover());
        let form = there.setting().map_or("", |setting| setting.form.name());
        name(&band, Role::Group, &format!("Rail of {place}, {form}"));
        if choice {
            let hit = ui.interact(on_screen, id.with("choose"), Sense::click());
            let words = format!("Voltage of {}", words::place(rig, outlet));
            let now = words::outlet_volts(there, None);
            hit.widget_info(move || {
                let mut info = WidgetInfo::labeled(Role::ComboBox, true, &words);
                info.current_text_value = Some(now.clone());
                info
            });
            let hit = hit.on_hover_text("Sets this outlet to another of its voltages");
            menus::voltages(&hit, self.scene, outlet, self.out);
        }
    }

    fn unit(&mut self, ui: &Ui, at: usize, pointer: Option<Pos2>) {
        let shape: &UnitBox = &self.layout.boxes[at];
        let rig = self.scene.rig;
        let Some(device) = rig.device(shape.device) else { return };
        let plugs = device.power.need().is_some() && !self.scene.is_fixed();
        let sense = if plugs { Sense::click_and_drag() } else { Sense::click() };
        // A unit that is fed twice stands twice.
        let twin = self.layout.boxes[..at].iter().filter(|unit| unit.device == device.id).count();
        let id = self.id("unit", device.id).with(twin);
        let hit = ui.interact(self.brush.rect_at(shape.rect), id, sense);
        let check = self.scene.answer.map(|answer| &answer.check);
        let words = words::unit(rig, device, check);
        name(&hit, Role::Button, &words);
        let dragged = self.canvas.drag.is_some_and(|drag| drag.device == device.id);
        let earthed = match &device.power {
            Power::Mains(mains) => Some(mains.earthed),
            _ => None,
        };
        let look = BoxLook {
            draw: words::draw(device, self.tap(device.id)),
            under: words::under(device, self.tap(device.id), self.scene.answer),
            wrong: words::wrong(self.scene.answer, device.id),
            selected: self.scene.selected == Some(device.id),
            pointed: hit.hovered() || hit.has_focus() || dragged,
            highlighted: self.scene.is_highlighted(device.id),
            loose: matches!(shape.key, RailKey::NotFed | RailKey::Unknown | RailKey::Batteries),
            earthed,
        };
        paint::unit(self.brush, shape, device, &look);
        self.pick(&hit, device);
        self.dragging(ui, &hit, device.id, shape.rect, pointer);
        if !self.scene.is_fixed() {
            hit.context_menu(|ui| menus::unit(ui, self.scene, device, self.out));
            if shape.key == RailKey::Unknown {
                self.say(ui, shape, device);
            }
        }
    }

    /// The button under a unit of which nobody has said what it takes.
    fn say(&mut self, ui: &Ui, shape: &UnitBox, device: &Device) {
        let rect = Rect::from_center_size(shape.rect.center_bottom() + egui::vec2(0.0, 13.0), egui::vec2(92.0, 18.0));
        let hit = ui.interact(self.brush.rect_at(rect), self.id("say", device.id), Sense::click());
        name(&hit, Role::Button, &format!("Say what {} takes", device.name));
        let strong = hit.hovered() || hit.has_focus();
        let teal = self.brush.with(self.brush.tokens.teal, if strong { 1.6 } else { 1.0 });
        teal.block(rect, 9.0, self.brush.tokens.raised);
        teal.words(rect.center(), egui::Align2::CENTER_CENTER, "Say it…", 10.5, false);
        menus::say(&hit, self.scene, device, self.out);
    }
}

/// "265 of 300 mA while all works, 530 mA (past the first milliseconds 290 mA) at start-up; the mark stands at 80 %".
fn load_words(load: &rigwright_core::power::Load, used: f64) -> String {
    let limit = load.limit.unwrap_or_default();
    let running = words::load(load.running, limit, "A");
    let mut start_up = words::current(load.start_up);
    if load.lasting < load.start_up - 1e-12 {
        start_up.push_str(&format!(" (past the first milliseconds {})", words::current(load.lasting)));
    }
    format!("{running} while all works, {start_up} at start-up; the mark stands at {:.0} %", used * 100.0)
}
