//! A switcher's loops on the sheet: its rail with a contact for each, and what puts one in.

use egui::{Id, Role, Sense, Ui, WidgetInfo, pos2, vec2};
use rigwright_core::rig::{
    Device, Edit, Jack, Kind, LoopContact, Position, State, SwitchKey, SwitchSetting, Switcher, VariantId,
};

use super::drawing::DeviceShape;
use super::pen::Pen;
use super::symbols::{Line, Symbol, run_line};
use super::{Sheet, highlight, paint};
use crate::state::Change;
use crate::views::Intent;

/// From the rail up to the switch of a switcher's loop, and to that of another unit's, in its box.
const SWITCH: f32 = -20.0;
const SWITCH_INSIDE: f32 = -9.0;
/// Half the gap of an open contact.
const GAP: f32 = 13.0;

/// Where a loop hangs: its send and its return.
fn ends(shape: &DeviceShape, number: u8) -> Option<(egui::Pos2, egui::Pos2)> {
    let at = |jack| shape.jacks.iter().find(|(own, _)| *own == jack).map(|(_, at)| *at);
    Some((at(Jack::Send(number))?, at(Jack::Return(number))?))
}

impl Symbol<'_> {
    /// The rail, with each loop in its contact's way or out of it.
    pub fn switcher(&self, pen: &Pen<'_>, switcher: &Switcher) {
        let at = self.shape.at;
        let (buffered, before_buffer) = (run_line(pen.tokens, Some(false)), switcher.loops_before_buffer());
        let at_jack = switcher.input.is_some() && before_buffer == 0;
        let mut rail = if at_jack { buffered } else { self.before };
        let on = |from: f32, to: f32, line: Line| {
            pen.with(line.ink, line.weight).line(&[pos2(from, at.y), pos2(to, at.y)]);
        };
        let faint = pen.faint();
        let (left, right) = (at.x - self.shape.reach, at.x + self.shape.reach);
        let (mut x, mut inner) = (left, None);
        for number in switcher.all_loops() {
            let Some((send, back)) = ends(self.shape, number) else { continue };
            on(x, send.x, rail);
            x = back.x;
            let middle = 0.5 * (send.x + back.x);
            let is_in = self.device.is_loop_in(number, self.state);
            let drop = |from: egui::Pos2| [pos2(from.x, at.y), from];
            if is_in {
                let after = self.returns.get(usize::from(number) - 1).copied().unwrap_or(rail);
                pen.with(rail.ink, rail.weight).line(&drop(send));
                pen.with(rail.ink, 1.0).dot(pos2(send.x, at.y), 2.8);
                rail = after;
                pen.with(rail.ink, rail.weight).line(&drop(back));
                faint.line(&[pos2(send.x, at.y), pos2(middle - GAP, at.y)]);
                faint.line(&[pos2(middle - GAP, at.y), pos2(middle + GAP - 4.0, at.y - 9.0)]);
                faint.line(&[pos2(middle + GAP, at.y), pos2(back.x, at.y)]);
            } else {
                on(send.x, back.x, rail);
                faint.line(&drop(send));
                faint.line(&drop(back));
            }
            if !is_in {
                pen.with(rail.ink, 1.0).dot(pos2(send.x, at.y), 2.8);
            }
            pen.with(rail.ink, 1.0).dot(pos2(back.x, at.y), 2.8);
            if number == before_buffer
                && let Some((next, _)) = ends(self.shape, number + 1)
            {
                let middle = 0.5 * (back.x + next.x);
                on(back.x, middle, rail);
                (x, rail) = (middle, buffered);
                inner = Some(middle);
            }
        }
        let behind = if switcher.output.is_some() { self.behind } else { rail };
        on(x, right, behind);
        let first = at_jack.then_some(left + 22.0);
        let last = switcher.output.is_some().then_some(right - 22.0);
        for x in [first, inner, last].into_iter().flatten() {
            pen.symbol().triangle(pos2(x, at.y), 20.0, 22.0, pen.tokens.sheet);
        }
    }
}

/// Where the switch of a loop is drawn.
fn switch_at(shape: &DeviceShape, device: &Device, number: u8) -> Option<egui::Pos2> {
    let (send, back) = ends(shape, number)?;
    let up = if matches!(device.kind, Kind::Switcher(_)) { SWITCH } else { SWITCH_INSIDE };
    Some(pos2(0.5 * (send.x + back.x), shape.at.y + up))
}

/// A step that puts a loop in or leaves it out: by its own switch, or in the preset that is called.
fn step(device: &Device, number: u8, state: &State, variant: VariantId) -> Option<Change> {
    let is_in = device.is_loop_in(number, state);
    let words = if is_in { "take" } else { "put" };
    let way = if is_in { "out" } else { "in" };
    let this = loop_words(device, number);
    if let Some(LoopContact::Switched { switch, .. }) = device.loop_contact(number)
        && matches!(switch.id.key, SwitchKey::Loop(_))
    {
        let to = if is_in { Position::OFF } else { Position::ON };
        let step = format!("{words} {this} of {} {way}", device.name);
        return Some(Change::new(step, Edit::Switch(SwitchSetting { switch: switch.id, to })));
    }
    let mut changed = device.clone();
    let called = device.preset_called(state);
    let of = match &mut changed.kind {
        Kind::Switcher(inside) => {
            let preset = inside.presets.get_mut(called)?;
            if !preset.loops.remove(&number) {
                preset.loops.insert(number);
            }
            format!("preset “{}”", preset.name)
        }
        Kind::MultiEffects(inside) => {
            let patch = inside.patches.get_mut(called)?;
            patch.loop_in = !is_in;
            format!("patch “{}”", patch.name)
        }
        _ => return None,
    };
    let step = format!("{words} {this} {way} in the {of} of {}", device.name);
    Some(Change::new(step, Edit::SetDevice { variant, device: Box::new(changed) }))
}

/// "loop 3", of a switcher that has several.
fn loop_words(device: &Device, number: u8) -> String {
    if matches!(device.kind, Kind::Switcher(_)) { format!("loop {number}") } else { "the loop".to_owned() }
}

/// "preset “solo” of ", where a step changes what is called; none where nothing moves the loops.
fn called(device: &Device, state: &State) -> Option<String> {
    let called = device.preset_called(state);
    match (device.loop_contact(1)?, &device.kind) {
        (LoopContact::Switched { switch, .. }, _) if matches!(switch.id.key, SwitchKey::Loop(_)) => Some(String::new()),
        (_, Kind::Switcher(inside)) => inside.presets.get(called).map(|preset| format!("preset “{}” of ", preset.name)),
        (_, Kind::MultiEffects(inside)) => {
            inside.patches.get(called).map(|patch| format!("patch “{}” of ", patch.name))
        }
        _ => None,
    }
}

impl Sheet<'_, '_> {
    /// The switches of the loops that hang below a device, above its line.
    pub fn loops(&mut self, ui: &Ui, shape: &DeviceShape, device: &Device, id: Id) {
        let pen = self.pen;
        let zoom = pen.camera.zoom;
        let state = &self.facts.project.state;
        let Some(of) = called(device, state) else { return };
        let named = matches!(device.kind, Kind::Switcher(_));
        for number in 1..=device.kind.loops() {
            let Some(middle) = switch_at(shape, device, number) else { continue };
            let at = pen.at(middle);
            let rect = egui::Rect::from_center_size(at, egui::Vec2::splat((20.0 * zoom).max(12.0)));
            let hit = ui.interact(rect, id.with(("loop", number)), Sense::click());
            let is_in = device.is_loop_in(number, state);
            let this = if named { format!("Loop {number}") } else { "Loop".to_owned() };
            let label = format!("{this} of {of}{}", device.name);
            hit.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, is_in, &label));
            let tokens = pen.tokens;
            let ink = match (hit.hovered() || hit.has_focus(), is_in) {
                (true, _) => tokens.teal,
                (false, true) => tokens.ink,
                (false, false) => tokens.quiet,
            };
            paint::footswitch(pen, at, is_in, ink);
            pen.with(ink, 1.0).text(
                middle + vec2(11.0, 0.0),
                egui::Align2::LEFT_CENTER,
                &if named { format!("loop {number}") } else { "loop".to_owned() },
                11.0,
                false,
            );
            self.follow(ui, &hit);
            let tip = if is_in { "Take the loop out" } else { "Put the loop in" };
            if hit.on_hover_text(tip).clicked()
                && let Some(change) = step(device, number, state, self.facts.variant.id)
            {
                self.out.push(Intent::Change(change));
            }
        }
        if let Some(highlight) = self.facts.state_highlight {
            let then = state.with(&self.facts.variant.rig, &highlight.set);
            highlight::loops(pen, device, highlight, state, &then, |number| switch_at(shape, device, number));
        }
    }
}
