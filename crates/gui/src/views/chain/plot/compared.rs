//! What the others are compared with, in words, rig and curve.

use std::sync::Arc;

use egui::{ComboBox, Role, Ui, WidgetInfo};
use rigwright_core::compare::{Against, STRAIGHT};
use rigwright_core::response::{PointAnswer, Response};
use rigwright_core::rig::Rig;

use crate::state::Input;
use crate::views::{Facts, Intent};

/// How a rig is shown again that was left out; `name` is "its name" or "a name".
#[must_use]
pub fn brings_back(name: &str) -> String {
    format!("A click on {name} above the plot brings it back.")
}

/// What the others are compared with.
pub struct Base<'a> {
    /// Which it is.
    pub against: Against,
    /// What it is called.
    pub name: &'a str,
    /// Its rig; none where no guitar can be plugged in straight.
    pub rig: Option<&'a Arc<Rig>>,
    /// All that is known of it.
    pub response: Option<&'a Arc<Response>>,
    /// What arrives where levels are taken.
    pub answer: Option<&'a PointAnswer>,
}

/// The base as it is chosen.
#[must_use]
pub fn base<'a>(facts: &'a Facts<'_>) -> Base<'a> {
    let against = facts.inputs.against(facts.project);
    match against {
        Against::Variant(id) => {
            let variant = facts.project.variant(id);
            let response = facts.answers.get(id);
            let answer = response.and_then(|response| facts.inputs.answer(facts.project, response));
            let name = variant.map_or("", |variant| variant.name.as_str());
            Base { against, name, rig: variant.map(|variant| &variant.rig), response, answer }
        }
        Against::Straight => {
            let (rig, response) = facts.straight.get().unzip();
            // It has no test point: its level is the one at its end.
            let answer = response.and_then(|response| response.endpoints.first()).map(|endpoint| &endpoint.at);
            Base { against, name: STRAIGHT, rig, response, answer }
        }
    }
}

/// A list to choose the base from; `name` is what a screen reader calls it.
pub fn choose(ui: &mut Ui, facts: &Facts<'_>, name: &str, out: &mut Vec<Intent>) {
    let project = facts.project;
    let now = facts.inputs.against(project);
    let shown = match now {
        Against::Variant(id) => project.variant(id).map_or("", |variant| &variant.name),
        Against::Straight => STRAIGHT,
    };
    let width = ui.available_width().clamp(90.0, 230.0);
    let combo = ComboBox::from_id_salt(name).selected_text(shown).width(width).truncate();
    let list = combo.show_ui(ui, |ui| {
        let variants = project.variants.iter().map(|variant| (Against::Variant(variant.id), variant.name.as_str()));
        for (against, words) in variants.chain([(Against::Straight, STRAIGHT)]) {
            if ui.selectable_label(against == now, words).clicked() {
                out.push(Intent::Input(Input::Against(against)));
            }
        }
    });
    let (name, shown) = (name.to_owned(), shown.to_owned());
    list.response.widget_info(move || {
        let mut info = WidgetInfo::labeled(Role::ComboBox, true, &name);
        info.current_text_value = Some(shown.clone());
        info
    });
}
