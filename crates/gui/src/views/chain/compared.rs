//! What is compared: which variants, with what, and whether as differences.
//! The one place where that is switched; plot and table both read it.

use std::collections::BTreeSet;
use std::sync::Arc;

use egui::{ComboBox, Role, Ui, WidgetInfo};
use rigwright_core::compare::Against;
use rigwright_core::response::{PointAnswer, Response};
use rigwright_core::rig::{Project, Rig, VariantId};

use super::plot::LevelPlot;
use crate::state::Straight;
use crate::views::Facts;

/// What the guitar without a board is called.
pub const STRAIGHT: &str = "the guitar straight into the amp";

/// What is compared; no part of the project.
#[derive(Debug, Default)]
pub struct Compared {
    hidden: BTreeSet<VariantId>,
    against: Option<Against>,
    /// Whether the plot shows differences from the base, and not levels.
    pub difference: bool,
    straight: Straight,
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

impl Compared {
    /// Whether a variant is shown: its curve, its band and its line of the table.
    #[must_use]
    pub fn shows(&self, variant: VariantId) -> bool {
        !self.hidden.contains(&variant)
    }

    /// Shows a variant, or hides it.
    pub fn toggle(&mut self, variant: VariantId) {
        if !self.hidden.remove(&variant) {
            self.hidden.insert(variant);
        }
    }

    /// What was chosen, as long as it is there; or else the first variant, and
    /// with only one of them the guitar straight into the amp.
    #[must_use]
    pub fn against(&self, project: &Project) -> Against {
        let there = |against: &Against| match against {
            Against::Variant(id) => project.variant(*id).is_some(),
            Against::Straight => true,
        };
        self.against.filter(there).unwrap_or(match project.variants.as_slice() {
            [first, _, ..] => Against::Variant(first.id),
            _ => Against::Straight,
        })
    }

    /// Sees to it that there is an answer for the guitar straight into the amp, if that is the base.
    pub fn update(&mut self, facts: &Facts<'_>, plot: &LevelPlot) {
        if self.against(facts.project) == Against::Straight {
            let endpoint = |variant: &rigwright_core::rig::Variant| plot.endpoint(facts.answers.get(variant.id)?);
            self.straight.update(facts.project, endpoint);
        }
    }

    /// The base, as of the last update.
    #[must_use]
    pub fn base<'a>(&'a self, facts: &'a Facts<'_>, plot: &LevelPlot) -> Base<'a> {
        let against = self.against(facts.project);
        match against {
            Against::Variant(id) => {
                let variant = facts.project.variant(id);
                let response = facts.answers.get(id);
                let answer = response.and_then(|response| plot.answer(facts.project, response));
                let name = variant.map_or("", |variant| variant.name.as_str());
                Base { against, name, rig: variant.map(|variant| &variant.rig), response, answer }
            }
            Against::Straight => {
                let (rig, response) = self.straight.get().unzip();
                // It has no test point: its level is the one at its end.
                let answer = response.and_then(|response| response.endpoints.first()).map(|endpoint| &endpoint.at);
                Base { against, name: STRAIGHT, rig, response, answer }
            }
        }
    }

    /// A list to choose the base from; `name` is what a screen reader calls it.
    pub fn choose(&mut self, ui: &mut Ui, facts: &Facts<'_>, name: &str) {
        let project = facts.project;
        let now = self.against(project);
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
                    self.against = Some(against);
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
}
