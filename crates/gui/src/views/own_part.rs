//! What is to be seen and done of a part of the player's own in the catalogue.

use egui::{Response, Ui, WidgetInfo};
use rigwright_core::compare::money;
use rigwright_core::parts::Part;

use crate::views::{Facts, Intent, OwnAsk};
use crate::widgets::small;

/// Over the own parts.
pub const HEADING: &str = "my own parts";
/// Over the others, where own ones stand before them.
pub const OTHERS: &str = "parts of the catalogue";

/// What stands at the end of its row: whose it is, and what it costs.
pub fn mark(part: &Part, facts: &Facts<'_>) -> String {
    format!("yours, {}", money(part.body.price.get(), &facts.project.currency))
}

/// What can be done with it: the words, and what is asked for.
fn choices(part: &Part) -> [(&'static str, OwnAsk); 3] {
    [
        ("Rename…", OwnAsk::Rename(part.key.clone())),
        ("Change its price…", OwnAsk::SetPrice(part.key.clone())),
        ("Remove…", OwnAsk::Remove(part.key.clone())),
    ]
}

/// The same as buttons below its row.
pub fn buttons(ui: &mut Ui, part: &Part, out: &mut Vec<Intent>) {
    ui.horizontal_wrapped(|ui| {
        for (words, ask) in choices(part) {
            let named = format!("{} {}", words.trim_end_matches('…'), part.name);
            let button = ui.add(small::button(words));
            button.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, &named));
            if button.clicked() {
                out.push(Intent::AskOwnPart(ask));
            }
        }
    });
}

/// And by a right click on it.
pub fn menu(row: &Response, part: &Part, out: &mut Vec<Intent>) {
    row.context_menu(|ui| {
        for (words, ask) in choices(part) {
            if ui.button(words).clicked() {
                out.push(Intent::AskOwnPart(ask));
                ui.close();
            }
        }
    });
}
