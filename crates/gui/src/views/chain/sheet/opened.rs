//! A guitar close up: its wiring on a card above it, with the knobs and the selector to turn there.

use std::cell::RefCell;

use egui::{Align2, Id, Key, Pos2, Rect, Response, Role, Sense, Ui, WidgetInfo, pos2, vec2};
use rigwright_core::rig::{
    Control, Device, DeviceId, Edit, Guitar, Kind, Knob, OwnControls, OwnVolumes, Pickup, Pot, Rig, Switch,
    SwitchSetting, Tone,
};
use rigwright_core::units::{Turn, engineering};

use super::Sheet;
use super::camera::Camera;
use super::drawing::DeviceShape;
use super::pen::Pen;
use crate::state::{Change, Gesture, Selected};
use crate::views::Intent;
use crate::widgets::focus_ring;

/// From this zoom on.
const FROM_ZOOM: f32 = 1.5;
/// The card's columns in canvas units, from left to right: the wiring, the positions of switches, the knobs.
const WIRING: f32 = 242.0;
const POSITIONS: f32 = 96.0;
const KNOBS_ABREAST: usize = 3;
/// From the device's line up to the card.
const GAP: f32 = 42.0;
/// The height of a pickup's row, of a knob's and of a position's.
const ROW: f32 = 34.0;
const KNOB_ROW: f32 = 36.0;
const LINE: f32 = 12.0;
/// Where the rows and the lines of words begin.
const TOP: f32 = 16.0;
const FOOT: f32 = 6.0;
const LEFT: f32 = 12.0;
/// Text of the card, in canvas units.
const TEXT: f32 = 7.0;
/// The radius of a knob, and the room for one.
const RADIUS: f32 = 7.5;
const ROOM: f32 = 40.0;
/// Where what all pickups share begins.
const BUS: f32 = 118.0;
/// A knob's travel under the pointer, in points of the screen, and by a key.
const TRAVEL: f32 = 160.0;
const KEY_STEP: f64 = 0.05;
/// Under the pointer it turns in steps of a percent.
const STEP: f64 = 0.01;

/// What the card shows.
struct Card<'a> {
    device: &'a Device,
    guitar: &'a Guitar,
    rect: Rect,
    controls: Vec<Control>,
    switches: Vec<Switch>,
}

impl<'a> Card<'a> {
    fn of(shape: &DeviceShape, device: &'a Device) -> Option<Self> {
        let Kind::Guitar(guitar) = &device.kind else { return None };
        let (controls, switches) = (device.kind.controls(), device.all_switches().collect::<Vec<_>>());
        let lines: usize = switches.iter().map(|switch| 1 + switch.positions).sum();
        let knobs = controls.len().div_ceil(KNOBS_ABREAST) as f32 * KNOB_ROW;
        let pickups = guitar.pickup_wiring.as_ref().map_or(1, |wiring| wiring.pickups());
        let height = (f32::from(pickups) * ROW).max(knobs).max(lines as f32 * LINE) + TOP + FOOT;
        let left = shape.at.x - 0.5 * WIRING;
        let mut card = Self { device, guitar, rect: Rect::NOTHING, controls, switches };
        let width = card.knobs_left() + card.controls.len().min(KNOBS_ABREAST) as f32 * ROOM;
        card.rect = Rect::from_min_size(pos2(left, shape.at.y - GAP - height), vec2(width, height));
        Some(card)
    }

    /// Where the knobs begin.
    fn knobs_left(&self) -> f32 {
        if self.switches.is_empty() { WIRING } else { WIRING + POSITIONS }
    }

    fn at(&self, x: f32, y: f32) -> Pos2 {
        self.rect.min + vec2(x, y)
    }

    /// Where a pickup's row stands, counted from 1.
    fn row(&self, pickup: u8) -> f32 {
        TOP + (f32::from(pickup) - 0.5) * ROW
    }
}

/// How a device is looked at that is opened: as large as `zoom`, or less where its card wouldn't fit.
#[must_use]
pub fn camera(shape: &DeviceShape, device: &Device, screen: Rect, zoom: f32) -> Camera {
    let Some(card) = Card::of(shape, device) else { return Camera { zoom, centre: shape.at } };
    let all = card.rect.union(shape.rect);
    let fitting = 0.94 * (screen.width() / all.width()).min(screen.height() / all.height());
    Camera { zoom: fitting.clamp(FROM_ZOOM, zoom), centre: all.center() }
}

impl Sheet<'_, '_> {
    /// The guitars that have a card, close up: of cards that would lie on one another the one nearest to
    /// the middle of the sheet.
    fn cards<'d>(&self, rig: &'d Rig) -> Vec<(DeviceId, Card<'d>)> {
        if self.pen.camera.zoom < FROM_ZOOM {
            return Vec::new();
        }
        let centre = self.pen.camera.centre;
        let shapes = self.drawing.devices.iter();
        let mut all: Vec<(DeviceId, Card<'d>)> = shapes
            .filter_map(|shape| Some((shape.id, Card::of(shape, self.drawing.wiring.device(rig, shape.id)?)?)))
            .collect();
        all.sort_by(|(_, a), (_, b)| a.rect.distance_to_pos(centre).total_cmp(&b.rect.distance_to_pos(centre)));
        let mut kept: Vec<(DeviceId, Card<'d>)> = Vec::new();
        for (id, card) in all {
            if !kept.iter().any(|(_, other)| other.rect.intersects(card.rect)) {
                kept.push((id, card));
            }
        }
        kept
    }

    /// Where cards will lie no words are written, since half of them would look out.
    pub fn keep_cards_free(&self) {
        for (_, card) in self.cards(&self.facts.variant.rig) {
            self.pen.keep_free(self.pen.camera.screen_rect(self.pen.screen, card.rect));
        }
    }

    /// The cards of guitars, close up.
    pub fn opened(&mut self, ui: &Ui) {
        let rig = std::sync::Arc::clone(&self.facts.variant.rig);
        for (id, card) in self.cards(&rig) {
            // A click beside a knob is no click on the paper below.
            let rect = self.pen.camera.screen_rect(self.pen.screen, card.rect).intersect(self.pen.screen);
            if ui.interact(rect, self.ground.id.with(("card", id.0)), Sense::CLICK).clicked() {
                self.out.push(Intent::Select(Some(Selected::Device(id))));
            }
            let written = RefCell::new(Vec::new());
            let pen = Pen::new(self.pen.painter, self.pen.camera, self.pen.screen, self.pen.tokens, &written);
            pen.with(pen.tokens.border, 0.8).rect(card.rect, 4.0, pen.tokens.sheet);
            let state = &self.facts.project.state;
            wiring(&pen, &card, &|control| state.turn(card.device.id, control), self.joined(&card));
            self.knobs(ui, &pen, &card);
            self.positions(ui, &pen, &card);
        }
    }

    /// The pickups that are joined where everything stands, and whether in series; none of a guitar with one.
    fn joined(&self, card: &Card<'_>) -> Option<Joined> {
        let (joined, _) = card.device.joined_pickups(&self.facts.project.state)?;
        let each = joined.pickups.iter().map(|one| (one.pickup, one.turned_over, one.half)).collect();
        Some(Joined { each, in_series: joined.in_series })
    }

    fn knobs(&mut self, ui: &Ui, pen: &Pen<'_>, card: &Card<'_>) {
        let device = card.device;
        for (number, control) in card.controls.iter().enumerate() {
            let (column, row) = ((number % KNOBS_ABREAST) as f32, (number / KNOBS_ABREAST) as f32);
            let at = card.at(card.knobs_left() + (column + 0.5) * ROOM - 4.0, TOP + row * KNOB_ROW);
            let id = self.ground.id.with(("knob", device.id.0, *control));
            let turn = self.facts.project.state.turn(device.id, *control).get();
            let rect = pen.camera.screen_rect(pen.screen, Rect::from_center_size(at, vec2(ROOM - 4.0, KNOB_ROW - 4.0)));
            let hit = ui.interact(rect, id, Sense::click_and_drag());
            let label = format!("{} of {}", device.kind.control_name(*control), device.name);
            hit.widget_info(|| WidgetInfo::slider(true, turn * 100.0, &label));
            let ink = if hit.hovered() || hit.has_focus() || hit.dragged() { pen.tokens.teal } else { pen.tokens.ink };
            knob(&pen.with(ink, 1.2), at, turn as f32);
            let name = device.kind.control_name(*control);
            let (first, second) = name.split_once(" of ").unwrap_or((&name, ""));
            pen.text(at + vec2(0.0, RADIUS + 5.0), Align2::CENTER_CENTER, first, TEXT, false);
            pen.text(at + vec2(0.0, RADIUS + 12.0), Align2::CENTER_CENTER, second, TEXT, false);
            focus_ring::around(ui, &hit, rect);
            self.turn(ui, &hit, (device, *control), turn);
            hit.on_hover_text(format!("{label} at {:.0} %: drag up or down", turn * 100.0));
        }
    }

    /// What the pointer or a key does to a knob.
    fn turn(&mut self, ui: &Ui, hit: &Response, (device, control): (&Device, Control), turn: f64) {
        let mut to = turn;
        if hit.drag_started() {
            ui.data_mut(|data| data.insert_temp(hit.id, turn));
        }
        if let (true, Some(by)) = (hit.dragged(), hit.total_drag_delta()) {
            // In whole steps from where it stood, so that a slow hand gets there too.
            let from = ui.data(|data| data.get_temp(hit.id)).unwrap_or(turn);
            to = ((from + f64::from((by.x - by.y) / TRAVEL)) / STEP).round() * STEP;
        }
        if hit.has_focus() {
            super::keep_arrows(ui, hit.id);
            let pressed = |key| ui.input(|input| input.key_pressed(key));
            let steps = [(Key::ArrowUp, 1.0), (Key::ArrowRight, 1.0), (Key::ArrowDown, -1.0), (Key::ArrowLeft, -1.0)];
            to += steps.iter().filter(|(key, _)| pressed(*key)).map(|(_, step)| step * KEY_STEP).sum::<f64>();
        }
        let to = Turn::clamped(to);
        if to.get() != turn {
            let knob = Knob { device: device.id, control };
            let step = format!("turn the {} of {}", device.kind.control_name(control), device.name);
            let change = Change::new(step, Edit::Turn { knob, to });
            self.out.push(Intent::Change(change.in_gesture(Gesture(hit.id.value()))));
        }
        if hit.drag_stopped() || hit.lost_focus() {
            self.out.push(Intent::EndGesture);
        }
    }

    /// The selector's positions and the push-pulls', each a line to click on.
    fn positions(&mut self, ui: &Ui, pen: &Pen<'_>, card: &Card<'_>) {
        let device = card.device;
        let mut y = TOP - 4.0;
        for switch in &card.switches {
            let quiet = pen.with(pen.tokens.quiet, 1.0);
            quiet.text(card.at(WIRING, y), Align2::LEFT_CENTER, switch.id.key.key(), TEXT, false);
            y += LINE;
            let stands = self.facts.project.state.position(switch);
            for to in switch.all_positions() {
                let name = device.position_name(switch.id.key, to);
                let at = card.at(WIRING + 4.0, y);
                let room = Rect::from_min_max(at + vec2(-6.0, -0.5 * LINE), at + vec2(POSITIONS - 8.0, 0.5 * LINE));
                let rect = pen.camera.screen_rect(pen.screen, room);
                let id: Id = self.ground.id.with(("position", device.id.0, switch.id.key.key(), to.0));
                let hit = ui.interact(rect, id, Sense::click());
                let (is_there, words) = (to == stands, format!("{name}: {} of {}", switch.id.key, device.name));
                hit.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, is_there, &words));
                let ink = if hit.hovered() || hit.has_focus() { pen.tokens.teal } else { pen.tokens.ink };
                let inked = pen.with(ink, 1.0);
                inked.ring(at, 2.2, pen.tokens.sheet);
                if is_there {
                    inked.dot(at, 1.2);
                }
                inked.text(at + vec2(6.0, 0.0), Align2::LEFT_CENTER, &name, TEXT, is_there);
                focus_ring::around(ui, &hit, rect);
                if hit.clicked() && !is_there {
                    let step = format!("set the {} of {} to {name}", switch.id.key, device.name);
                    let edit = Edit::Switch(SwitchSetting { switch: switch.id, to });
                    self.out.push(Intent::Change(Change::new(step, edit)));
                }
                y += LINE;
            }
        }
    }
}

/// What is joined: each pickup's number, whether it is turned over, whether half of it.
struct Joined {
    each: Vec<(u8, bool, bool)>,
    in_series: bool,
}

/// A knob with its pointer, from the lower left over the top to the lower right.
fn knob(p: &Pen<'_>, at: Pos2, turn: f32) {
    p.ring(at, RADIUS, p.tokens.sheet);
    let angle = (0.75 + 1.5 * turn) * std::f32::consts::PI;
    let way = vec2(angle.cos(), angle.sin());
    p.line(&[at + way * 2.0, at + way * RADIUS]);
}

/// All pickups to the jack.
fn wiring(pen: &Pen<'_>, card: &Card<'_>, turn: &dyn Fn(Control) -> Turn, joined: Option<Joined>) {
    let guitar = card.guitar;
    let joined = joined.unwrap_or(Joined { each: vec![(1, false, false)], in_series: false });
    let pickups = guitar.pickup_wiring.as_ref().map_or(1, |wiring| wiring.pickups());
    let place = |pickup: u8| joined.each.iter().position(|(number, ..)| *number == pickup);
    let mut on_bus: Vec<f32> = Vec::new();
    for pickup in 1..=pickups {
        let Some(it) = guitar.nth_pickup(pickup) else { continue };
        let p = if place(pickup).is_some() { pen.symbol() } else { pen.faint() };
        let y = card.row(pickup);
        let (_, turned_over, half) = place(pickup).map_or((pickup, false, false), |at| joined.each[at]);
        coil(&p, card, (pickup, it), (turned_over, half));
        // In series the cold end is joined to the one before.
        match place(pickup).filter(|at| joined.in_series && *at > 0) {
            Some(at) => {
                let before = card.row(joined.each[at - 1].0);
                let half_way = if before < y { before + 0.46 * ROW } else { before - 0.54 * ROW };
                p.line(&[card.at(48.0, before), card.at(48.0, half_way), card.at(LEFT, half_way), card.at(LEFT, y)]);
            }
            None => p.zero_volts(card.at(LEFT, y), 4.0),
        }
        let is_last = place(pickup).is_some_and(|at| at + 1 == joined.each.len());
        if joined.in_series && place(pickup).is_some() && !is_last {
            continue;
        }
        // In series the first one's controls are in use.
        let of = if joined.in_series && is_last { joined.each[0].0 } else { pickup };
        own(&p, card, y, of, turn);
        if place(pickup).is_some() {
            p.line(&[card.at(106.0, y), card.at(BUS, y)]);
            on_bus.push(y);
        } else {
            p.dot(card.at(108.0, y), 1.2);
            p.line(&[card.at(108.0, y), card.at(116.0, y - 6.0)]);
        }
    }
    let p = pen.symbol();
    let middle = card.row(1).midpoint(card.row(pickups));
    if let (Some(first), Some(last)) = (on_bus.first(), on_bus.last()) {
        p.line(&[card.at(BUS, first.min(middle)), card.at(BUS, last.max(middle))]);
    }
    let mut from = BUS;
    if let Some(tone) = guitar.tone {
        tone_branch(&p, card.at(132.0, middle), tone);
        p.line(&[card.at(from, middle), card.at(132.0, middle)]);
        from = 132.0;
    }
    if let Some(volume) = guitar.volume {
        p.line(&[card.at(from, middle), card.at(163.0, middle)]);
        track(&p, card.at(174.0, middle), (volume, turn(Control::Volume)), false);
        from = 191.0;
    }
    if guitar.pickup_wiring.as_ref().is_some_and(|wiring| wiring.preamplifier.is_some()) {
        p.line(&[card.at(from, middle), card.at(198.0, middle)]);
        p.triangle(card.at(206.0, middle), 16.0, 18.0, p.tokens.sheet);
        from = 214.0;
    }
    p.line(&[card.at(from, middle), card.at(WIRING - 20.0, middle)]);
    p.ring(card.at(WIRING - 17.0, middle), 3.0, p.tokens.sheet);
}

/// One pickup: its coil, a dot at the end that comes first, its name.
fn coil(p: &Pen<'_>, card: &Card<'_>, (number, pickup): (u8, &Pickup), (turned_over, half): (bool, bool)) {
    let y = card.row(number);
    let turns = if half { 2 } else { 4 };
    let end = 18.0 + 7.0 * turns as f32;
    p.line(&[card.at(LEFT, y), card.at(18.0, y)]);
    p.coil(card.at(18.0, y), turns, 7.0, false);
    p.line(&[card.at(end, y), card.at(48.0, y)]);
    p.dot(card.at(if turned_over { end + 3.0 } else { 15.0 }, y - 4.0), 1.2);
    let name = card.guitar.pickup_wiring.as_ref().map_or("pickup".to_owned(), |wiring| wiring.name(number));
    let more = match (half, turned_over) {
        (true, true) => ", one coil, turned over".to_owned(),
        (true, false) => ", one coil".to_owned(),
        (false, true) => ", turned over".to_owned(),
        (false, false) => format!(", {}", engineering(pickup.inductance.get(), "H", 3)),
    };
    p.text(card.at(LEFT, y - 11.0), Align2::LEFT_CENTER, &format!("{name}{more}"), TEXT, false);
}

/// A pickup's own controls on its line.
fn own(p: &Pen<'_>, card: &Card<'_>, y: f32, pickup: u8, turn: &dyn Fn(Control) -> Turn) {
    let Some(wiring) = &card.guitar.pickup_wiring else {
        return p.line(&[card.at(48.0, y), card.at(106.0, y)]);
    };
    let nothing = OwnControls::default();
    let OwnControls { volume, tone, .. } = wiring.own(pickup).unwrap_or(&nothing);
    let on_wipers = wiring.own_volumes == OwnVolumes::PickupsOnWipers;
    let blend = wiring.blend.filter(|_| volume.is_none() && pickup <= 2);
    let x = turn(Control::Blend).get();
    let blended = Turn::clamped(if pickup == 1 { 2.0 - 2.0 * x } else { 2.0 * x });
    let pot = volume.map(|pot| (pot, turn(Control::VolumeOf(pickup)), on_wipers));
    match pot.or(blend.map(|pot| (pot, blended, true))) {
        Some((pot, turn, on_wiper)) => {
            p.line(&[card.at(48.0, y), card.at(57.0, y)]);
            track(p, card.at(68.0, y), (pot, turn), on_wiper);
            p.line(&[card.at(85.0, y), card.at(106.0, y)]);
        }
        None => p.line(&[card.at(48.0, y), card.at(106.0, y)]),
    }
    if let Some(tone) = tone {
        tone_branch(p, card.at(95.0, y), *tone);
    }
}

/// A pot: its track with one end at 0 V, and its wiper, which goes on, or at which what comes arrives.
fn track(p: &Pen<'_>, middle: Pos2, (pot, turn): (Pot, Turn), on_wiper: bool) {
    p.rect(Rect::from_center_size(middle, vec2(22.0, 7.0)), 0.0, p.tokens.sheet);
    let along = turn.get() as f32;
    let (zero, other) = if on_wiper { (middle + vec2(-11.0, 0.0), -1.0) } else { (middle + vec2(11.0, 0.0), 1.0) };
    p.zero_volts(zero + vec2(0.0, 3.5), 3.0);
    // Closed, the wiper stands at the end that is at 0 V.
    let wiper = middle + vec2(other * 9.0 * (1.0 - 2.0 * along), -10.0);
    let way = if on_wiper { middle + vec2(-11.0, 0.0) } else { middle + vec2(17.0, 0.0) };
    p.line(&[wiper, pos2(way.x, wiper.y), way]);
    p.arrow(wiper, wiper + vec2(0.0, 6.0));
    if on_wiper {
        p.line(&[middle + vec2(11.0, 0.0), middle + vec2(17.0, 0.0)]);
    }
    let ohms = engineering(pot.resistance.get(), "Ω", 3);
    let anchor = if on_wiper { Align2::LEFT_CENTER } else { Align2::RIGHT_CENTER };
    p.text(middle + vec2(-2.0 * other, 8.5), anchor, &ohms, 6.0, false);
}

/// A tone control: a resistor and a capacitor down to 0 V.
fn tone_branch(p: &Pen<'_>, at: Pos2, tone: Tone) {
    p.line(&[at, at + vec2(0.0, 3.0)]);
    p.rect(Rect::from_min_size(at + vec2(-2.5, 3.0), vec2(5.0, 7.0)), 0.0, p.tokens.sheet);
    p.line(&[at + vec2(0.0, 10.0), at + vec2(0.0, 12.0)]);
    for y in [12.0, 14.0] {
        p.line(&[at + vec2(-4.0, y), at + vec2(4.0, y)]);
    }
    p.zero_volts(at + vec2(0.0, 14.0), 1.5);
    p.text(at + vec2(6.0, 8.0), Align2::LEFT_CENTER, &engineering(tone.capacitor.get(), "F", 3), 6.0, false);
}
