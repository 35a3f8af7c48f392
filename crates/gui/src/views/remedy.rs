//! The button of a remedy, the same on every screen: pointed at, it shows what it
//! would make of the curve; clicked, it is done, here or in a new variant.

use egui::{Button, Response, RichText, Ui};
use rigwright_core::diagnosis::Remedy;
use rigwright_core::words::lower;

use super::{Intent, Pointed};
use crate::state::Preview;
use crate::theme::{Tokens, text};
use crate::widgets::panel;

/// What a change is called while it is only looked at.
#[must_use]
pub fn preview(remedy: &Remedy) -> Option<Preview> {
    Some(Preview { words: remedy.without_figure(), edit: remedy.edit.clone()? })
}

/// The button, and what the remedy gives up; words alone where the drawing can't
/// have it. `old` if the rig has changed since it was found.
pub fn ui(ui: &mut Ui, remedy: &Remedy, old: bool, out: &mut Vec<Intent>) {
    let Some(edit) = &remedy.edit else {
        return panel::quiet(ui, format!("Would help: {}.", lower(&remedy.words)));
    };
    let words = RichText::new(&remedy.words).font(text::small()).color(Tokens::of(ui).teal);
    let button = ui.add_enabled(!old, Button::new(words).wrap());
    let preview = || Preview { words: remedy.without_figure(), edit: edit.clone() };
    point(&button, preview, out);
    if button.clicked() {
        out.push(Intent::Take(preview()));
    }
    button.context_menu(|ui| {
        if ui.button("Do it in a new variant").clicked() {
            out.push(Intent::TakeAsVariant(preview()));
            ui.close();
        }
    });
    gives_up(ui, remedy);
}

/// The same where the sentence above says already what it does: what it gives up,
/// and a button for each place in which it can be done.
pub fn suggestion(ui: &mut Ui, remedy: &Remedy, old: bool, out: &mut Vec<Intent>) {
    gives_up(ui, remedy);
    let Some(edit) = &remedy.edit else { return };
    let preview = || Preview { words: remedy.words.clone(), edit: edit.clone() };
    ui.horizontal_wrapped(|ui| {
        for (label, intent) in [
            ("Do it", Intent::Take as fn(Preview) -> Intent),
            ("Do it in a new variant", Intent::TakeAsVariant as fn(Preview) -> Intent),
        ] {
            let words = RichText::new(label).font(text::small()).color(Tokens::of(ui).teal);
            let button = ui.add_enabled(!old, Button::new(words));
            let named = format!("{label}: {}", remedy.words);
            button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, !old, &named));
            point(&button, preview, out);
            if button.clicked() {
                out.push(intent(preview()));
            }
        }
    });
}

fn point(button: &Response, preview: impl Fn() -> Preview, out: &mut Vec<Intent>) {
    if button.hovered() || button.has_focus() {
        out.push(Intent::Point(Pointed::Change(preview())));
    }
}

fn gives_up(ui: &mut Ui, remedy: &Remedy) {
    if let Some(gives_up) = &remedy.gives_up {
        panel::quiet(ui, gives_up.as_str());
    }
}
