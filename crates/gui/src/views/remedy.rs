//! The button of a remedy, the same on every screen: pointed at, it shows what it
//! would make of the curve; clicked, it is done, here or in a new variant.

use egui::{Button, Label, RichText, Ui};
use rigwright_core::diagnosis::Remedy;

use super::{Intent, Pointed};
use crate::state::Preview;
use crate::theme::{Tokens, text};

/// The button, and what the remedy gives up; `old` if the rig has changed since it was found.
pub fn ui(ui: &mut Ui, remedy: &Remedy, old: bool, out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    let words = RichText::new(&remedy.words).font(text::small()).color(tokens.teal);
    let button = ui.add_enabled(!old, Button::new(words).wrap());
    let preview = || Preview { words: remedy.without_figure(), edit: remedy.edit.clone() };
    if button.hovered() || button.has_focus() {
        out.push(Intent::Point(Pointed::Change(preview())));
    }
    if button.clicked() {
        out.push(Intent::Take(preview()));
    }
    button.context_menu(|ui| {
        if ui.button("Do it in a new variant").clicked() {
            out.push(Intent::TakeAsVariant(preview()));
            ui.close();
        }
    });
    if let Some(gives_up) = &remedy.gives_up {
        ui.add(Label::new(RichText::new(gives_up).font(text::small()).color(tokens.quiet)).wrap());
    }
}
