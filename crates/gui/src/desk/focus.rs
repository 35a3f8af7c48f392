//! What has the keyboard is in sight and is seen to have it, wherever it stands: one ring
//! for all that can be walked to, and what lies out of sight is scrolled to.

use egui::accesskit::{Action, ActionRequest, TreeId};
use egui::{Context, Event, Id, Key, Response, Stroke, StrokeKind};

use crate::theme::Tokens;
use crate::widgets::focus_ring;

/// A key moves the focus in its own frame, or in one of so many after it.
const FRAMES: u8 = 3;
/// So much of something, in points, is enough of it to be in sight.
const ENOUGH: f32 = 60.0;

/// Where the keyboard is, and how it came there.
#[derive(Debug, Default)]
pub struct Focus {
    at: Option<Id>,
    /// Whether keys brought it there, or a screen reader; a click shows by itself what it did.
    by_keys: bool,
    /// Frames since the last such key.
    since_key: Option<u8>,
}

impl Focus {
    /// Before a frame: takes note of where the keyboard is, and has that scrolled to.
    pub fn follow(&mut self, ctx: &Context) {
        let (keys, pointer) = ctx.input(|input| {
            let moves = |event: &Event| match event {
                Event::Key { key, pressed, .. } => {
                    let arrows = [Key::ArrowUp, Key::ArrowDown, Key::ArrowLeft, Key::ArrowRight];
                    *pressed && (*key == Key::Tab || arrows.contains(key))
                }
                Event::AccessKitActionRequest(request) => request.action == Action::Focus,
                _ => false,
            };
            (input.events.iter().any(moves), input.pointer.any_pressed())
        });
        self.since_key = if keys { Some(0) } else { self.since_key.and_then(|age| (age < FRAMES).then_some(age + 1)) };
        if pointer {
            self.by_keys = false;
            self.since_key = None;
        }
        let now = ctx.memory(|memory| memory.focused());
        if now == self.at {
            return;
        }
        self.at = now;
        self.by_keys = self.since_key.is_some();
        let hidden = |response: &Response| {
            let (whole, seen) = (response.rect.size(), response.interact_rect.size().max(egui::Vec2::ZERO));
            let enough = whole.min(egui::Vec2::splat(ENOUGH)) - egui::Vec2::splat(0.5);
            seen.x < enough.x || seen.y < enough.y
        };
        if let Some(id) = now.filter(|_| self.by_keys)
            && ctx.read_response(id).is_some_and(|response| hidden(&response))
        {
            let (action, target_tree, target_node) = (Action::ScrollIntoView, TreeId::ROOT, id.accesskit_id());
            let request = ActionRequest { action, target_tree, target_node, data: None };
            ctx.input_mut(|input| input.events.push(Event::AccessKitActionRequest(request)));
        }
    }

    /// After a frame: the ring.
    pub fn show(&self, ctx: &Context, tokens: &Tokens) {
        let now = ctx.memory(|memory| memory.focused());
        if now != self.at {
            // It moved in this frame: the next one shows it.
            ctx.request_repaint();
        }
        let Some(response) = now.filter(|_| self.by_keys && now == self.at).and_then(|id| ctx.read_response(id)) else {
            return;
        };
        let inside = ctx.content_rect().shrink(1.0);
        let around = focus_ring::of(ctx, response.id).unwrap_or(response.interact_rect);
        let ring = around.expand(2.0).intersect(inside);
        if ring.is_positive() {
            let painter = ctx.layer_painter(response.layer_id);
            painter.rect_stroke(ring, 5.0, Stroke::new(2.0, tokens.teal), StrokeKind::Middle);
        }
    }
}
