//! The screens, and which of them is shown.

use egui::{CornerRadius, Sense, Stroke, Ui, WidgetInfo, vec2};

use super::Desk;
use crate::command::Command;
use crate::theme::{Tokens, text};
use crate::views::{Intent, Screen};

impl Desk {
    /// The screen that is shown.
    pub(super) fn screen(&self) -> &dyn Screen {
        &*self.screens[self.open_screen]
    }

    /// The same, to do something with it.
    pub(super) fn screen_mut(&mut self) -> &mut dyn Screen {
        &mut *self.screens[self.open_screen]
    }

    /// Shows the screen that a command opens.
    pub(super) fn show_screen(&mut self, command: Command) {
        let found = self.screens.iter().position(|screen| screen.opened_by() == command);
        if let Some(found) = found.filter(|found| *found != self.open_screen) {
            self.open_screen = found;
            self.look_at_starts();
        }
    }
}

/// The tabs in the middle of the upper bar.
pub fn tabs(desk: &mut Desk, ui: &mut Ui) {
    for (at, screen) in desk.screens.iter().enumerate() {
        if tab(ui, screen.opened_by(), at == desk.open_screen) {
            desk.intents.push(Intent::Command(screen.opened_by()));
        }
    }
}

/// How much room they take.
pub fn width(desk: &Desk, ui: &Ui) -> f32 {
    let word = |command: Command| {
        ui.painter().layout_no_wrap(command.text().to_owned(), text::body(), Tokens::of(ui).ink).size().x + INSET
    };
    let gaps = ui.spacing().item_spacing.x * (desk.screens.len() as f32 - 1.0);
    desk.screens.iter().map(|screen| word(screen.opened_by())).sum::<f32>() + gaps
}

/// On both sides of a tab's word together.
const INSET: f32 = 36.0;

fn tab(ui: &mut Ui, command: Command, open: bool) -> bool {
    let tokens = Tokens::of(ui);
    let ink = if open { tokens.ink } else { tokens.quiet };
    let galley = ui.painter().layout_no_wrap(command.text().to_owned(), text::body(), ink);
    let (rect, hit) = ui.allocate_exact_size(vec2(galley.size().x + INSET, 28.0), Sense::click());
    hit.widget_info(|| WidgetInfo::selected(egui::Role::Tab, true, open, command.text()));
    let fill = if open { tokens.raised } else { tokens.panel };
    let border = if hit.has_focus() || hit.hovered() { tokens.teal } else { fill };
    ui.painter().rect(rect, CornerRadius::same(14), fill, Stroke::new(1.0, border), egui::StrokeKind::Inside);
    ui.painter().galley(rect.center() - 0.5 * galley.size(), galley, ink);
    let keys = command.shortcut_text().map_or_else(String::new, |keys| format!(" ({keys})"));
    hit.on_hover_text(format!("{}{keys}", command.tooltip())).clicked()
}
