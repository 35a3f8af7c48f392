//! The page of rigs to start from: each a card with a small picture of its drawing.

use std::sync::Arc;

use egui::{
    Align, Id, Label, Layout, Modal, Rect, RichText, Role, ScrollArea, Sense, Stroke, StrokeKind, Ui, UiBuilder,
    WidgetInfo, vec2,
};
use rigwright_core::response::Response;
use rigwright_core::rig::{State, Variant};

use crate::command::Command;
use crate::theme::{Tokens, text};
use crate::views::Intent;
use crate::views::chain::Miniature;
use crate::widgets::panel;

/// A rig to start from, and the command that opens it.
#[derive(Debug)]
pub struct StartRig {
    /// What opens it.
    pub command: Command,
    /// The rig, with where its symbols stand.
    pub variant: Arc<Variant>,
    /// How everything stands in it.
    pub state: State,
    /// What its runs are.
    pub response: Response,
}

/// The page while it is open.
#[derive(Debug)]
pub struct Starts {
    cards: Vec<(Command, Miniature)>,
    fresh: bool,
}

/// The height of what is said below a picture.
const WORDS: f32 = 56.0;
/// A picture's width over its height.
const SHAPE: f32 = 2.1;
/// Around a picture and its words.
const INSET: f32 = 8.0;
/// Cards beside each other.
const COLUMNS: usize = 3;
/// Between two cards.
const GAP: f32 = 12.0;

impl Starts {
    /// The page with these rigs.
    #[must_use]
    pub fn open(rigs: Vec<StartRig>) -> Self {
        let card = |rig: StartRig| (rig.command, Miniature::of(&rig.variant, rig.state, &rig.response, SHAPE));
        Self { cards: rigs.into_iter().map(card).collect(), fresh: true }
    }

    /// Shows it; `false` when it is done.
    pub fn ui(&mut self, ui: &Ui, out: &mut Vec<Intent>) -> bool {
        let room = ui.ctx().content_rect().size();
        let mut chosen = None;
        let modal = Modal::new(Id::unique("starts")).frame(panel::modal(ui)).show(ui.ctx(), |ui| {
            ui.set_width(1080.0_f32.min(room.x - 60.0));
            ui.label(RichText::new("Start from…").font(text::title()));
            panel::quiet(
                ui,
                "Each opens as a rig of its own: change it as you like and save it under a name of yours.",
            );
            ui.add_space(4.0);
            // Three beside each other, and both rows in sight where the window is high enough.
            let gaps = (COLUMNS - 1) as f32 * GAP;
            let widest = (ui.available_width() - gaps) / COLUMNS as f32;
            let high = 0.5 * (room.y - 210.0) - WORDS - GAP;
            let picture = vec2(widest, (widest / SHAPE).min(high.max(80.0)));
            let height = (room.y - 190.0).clamp(120.0, 2.0 * (picture.y + WORDS + 3.0 * INSET) + GAP);
            let area = ScrollArea::vertical().max_height(height).min_scrolled_height(height);
            area.auto_shrink([false, true]).show(ui, |ui| {
                ui.spacing_mut().item_spacing = vec2(GAP, GAP);
                for row in self.cards.chunks(COLUMNS) {
                    ui.horizontal(|ui| {
                        for (command, miniature) in row {
                            let fresh = std::mem::take(&mut self.fresh);
                            if card(ui, *command, miniature, picture, fresh) {
                                chosen = Some(*command);
                            }
                        }
                    });
                }
            });
            ui.add_space(6.0);
            ui.horizontal(|ui| {
                if ui.button(FILE).on_hover_text(Command::Open.tooltip()).clicked() {
                    chosen = Some(Command::Open);
                }
                if ui.button("Back to the rig").clicked() {
                    ui.close();
                }
            });
        });
        out.extend(chosen.map(Intent::Command));
        chosen.is_none() && !modal.should_close()
    }
}

/// The button for a file.
pub const FILE: &str = "A file of mine";

/// One card; true if it is chosen.
fn card(ui: &mut Ui, command: Command, miniature: &Miniature, picture: egui::Vec2, fresh: bool) -> bool {
    let tokens = Tokens::of(ui);
    let (rect, hit) = ui.allocate_exact_size(vec2(picture.x, picture.y + WORDS + INSET), Sense::click());
    hit.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("{}. {}", command.text(), command.tooltip())));
    if fresh {
        hit.request_focus();
    }
    let near = hit.has_focus() || hit.hovered();
    let (border, weight) = if near { (tokens.teal, 2.0) } else { (tokens.border, 1.0) };
    ui.painter().rect(rect, 6.0, tokens.panel, Stroke::new(weight, border), StrokeKind::Inside);
    let inside = rect.shrink(INSET);
    let (sheet, words) = inside.split_top_bottom_at_y(rect.top() + picture.y);
    ui.painter().rect_filled(sheet, 4.0, tokens.sheet);
    miniature.paint(&ui.painter().with_clip_rect(sheet.intersect(ui.clip_rect())), sheet.shrink(6.0), tokens);
    let words = Rect::from_min_max(words.min + vec2(2.0, 5.0), words.max);
    let mut child = ui.new_child(UiBuilder::new().max_rect(words).layout(Layout::top_down(Align::Min)));
    child.spacing_mut().item_spacing.y = 2.0;
    child.add(Label::new(RichText::new(command.text()).font(text::heading()).color(tokens.ink)).selectable(false));
    let about = RichText::new(command.tooltip()).font(text::small()).color(tokens.quiet);
    child.add(Label::new(about).wrap().selectable(false));
    if hit.has_focus() {
        hit.scroll_to_me(None);
    }
    hit.clicked()
}
