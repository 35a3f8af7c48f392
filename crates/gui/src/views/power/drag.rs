//! Units dragged over the sheet of rails: to another outlet, along a daisy lead, off every rail.

use egui::{CursorIcon, Pos2, Rect, Response, Ui};
use rigwright_core::rig::{DeviceId, Edit, Feed, OutletRef, PowerEdit, device_name};

use super::canvas::Drag;
use super::layout::{BOX, RailKey};
use super::paint;
use super::sheet::Sheet;
use crate::state::Change;
use crate::views::Intent;

/// What letting go here would do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Goal {
    /// Plug it in.
    PlugIn(OutletRef),
    /// Another place on the lead that it is on: so many plugs before it.
    Along(usize),
    /// Pull it off.
    Unplug,
    /// It stays as it was.
    Nothing,
}

impl Sheet<'_, '_> {
    fn feed(&self, device: DeviceId) -> Option<&Feed> {
        self.scene.rig.feed_to(device)
    }

    /// What letting go at a place would do with what is dragged.
    pub(super) fn goal(&self, drag: Drag, at: Pos2) -> Goal {
        let feed = self.feed(drag.device);
        match self.layout.row_at(at).map(|row| row.key) {
            // Not on an outlet of its own.
            Some(RailKey::Outlet(outlet)) if outlet.supply == drag.device => Goal::Nothing,
            Some(RailKey::Outlet(outlet)) => match feed {
                Some(feed) if feed.from.outlets().any(|from| from == outlet) => self.along(feed, drag, at),
                _ => Goal::PlugIn(outlet),
            },
            _ if feed.is_some() => Goal::Unplug,
            _ => Goal::Nothing,
        }
    }

    fn along(&self, feed: &Feed, drag: Drag, at: Pos2) -> Goal {
        let Some(now) = feed.taps.iter().position(|tap| tap.device == drag.device) else { return Goal::Nothing };
        let middle = at - drag.hold + 0.5 * BOX;
        let before = feed.taps.iter().filter(|tap| tap.device != drag.device).filter(|tap| {
            let Some(unit) = self.layout.unit(tap.device) else { return false };
            let line = middle.y - 0.5 * BOX.y;
            // A whole line further down is behind all of those above it.
            unit.rect.top() < line - BOX.y || (unit.rect.center().x < middle.x && unit.rect.top() < line + BOX.y)
        });
        let to = before.count();
        if to == now { Goal::Nothing } else { Goal::Along(to) }
    }

    fn drop(&mut self, device: DeviceId, goal: Goal) {
        let variant = self.scene.variant;
        let name = device_name(self.scene.rig, device);
        match goal {
            Goal::PlugIn(outlet) => self.out.push(Intent::PlugIn { device, outlet }),
            Goal::Unplug => {
                let edit = Edit::Power { variant, edit: PowerEdit::Unplug(device) };
                self.out.push(Intent::Change(Change::new(format!("unplug {name}"), edit)));
            }
            Goal::Along(to) => {
                let Some(mut feed) = self.feed(device).cloned() else { return };
                let Some(now) = feed.taps.iter().position(|tap| tap.device == device) else { return };
                // The lead stays as it is; its plugs change units.
                let lengths: Vec<_> = feed.taps.iter().map(|tap| tap.length).collect();
                let tap = feed.taps.remove(now);
                feed.taps.insert(to.min(feed.taps.len()), tap);
                for (tap, length) in feed.taps.iter_mut().zip(lengths) {
                    tap.length = length;
                }
                let edit = Edit::Power { variant, edit: PowerEdit::SetFeed(Box::new(feed)) };
                self.out.push(Intent::Change(Change::new(format!("put {name} on another plug"), edit)));
            }
            Goal::Nothing => {}
        }
    }

    /// Begins and ends a drag by what was done to a box or a symbol.
    pub(super) fn dragging(&mut self, ui: &Ui, hit: &Response, device: DeviceId, rect: Rect, pointer: Option<Pos2>) {
        if self.scene.is_fixed() {
            return;
        }
        if hit.drag_started()
            && let Some(pointer) = pointer
        {
            let hold = (pointer - rect.min).clamp(egui::Vec2::ZERO, BOX);
            self.canvas.drag = Some(Drag { device, hold });
        }
        if hit.drag_stopped() {
            let dropped = ui.input(|input| input.pointer.primary_released());
            if let (Some(drag), Some(pointer), true) = (self.canvas.drag, pointer, dropped) {
                let goal = self.goal(drag, pointer);
                self.drop(device, goal);
            }
            self.canvas.drag = None;
        }
    }

    /// What is being dragged, under the pointer, with what letting go would do.
    pub(super) fn dragged(&self, ui: &Ui, pointer: Option<Pos2>, goal: Option<Goal>) {
        if let (Some(drag), Some(pointer)) = (self.canvas.drag, pointer) {
            let does = match goal.unwrap_or(Goal::Nothing) {
                Goal::PlugIn(outlet) => format!("plug in at {}", self.place(outlet)),
                Goal::Along(_) => "another plug of this lead".to_owned(),
                Goal::Unplug => "unplug".to_owned(),
                Goal::Nothing => "as it was".to_owned(),
            };
            let at = Rect::from_min_size(pointer - drag.hold, BOX);
            paint::ghost(self.brush, at, &device_name(self.scene.rig, drag.device), &does);
            ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
        }
    }
}
