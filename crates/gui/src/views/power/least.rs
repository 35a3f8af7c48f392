//! The least supply of the whole catalogue: searched, previewed, taken.

use egui::{Label, RichText, Ui};
use rigwright_core::power::{Least, LeastQuestion, Rules, words};
use rigwright_core::rig::Device;

use super::canvas::Scene;
use super::plan::{ABOUT_BEFORE, offer, progress};
use crate::theme::Tokens;
use crate::views::{DIED, Facts, Intent};
use crate::widgets::choose::choose;
use crate::widgets::entry::entry;
use crate::widgets::panel;

/// The panel's own state.
#[derive(Debug)]
pub struct LeastPanel {
    least: Least,
    keep: bool,
    batteries: bool,
}

impl Default for LeastPanel {
    fn default() -> Self {
        Self { least: Least::Money, keep: false, batteries: false }
    }
}

impl LeastPanel {
    /// What is to be the least, the search, and what it found.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, scene: &Scene<'_>, rules: Rules, out: &mut Vec<Intent>) {
        let wants = |device: &Device| device.power.need().is_some() && device.kind.supply().is_none();
        if !scene.rig.devices.iter().any(wants) {
            return;
        }
        ui.separator();
        panel::heading(ui, "Least supply");
        let options = Least::ALL.map(|least| (least, least.name().to_owned()));
        ui.horizontal(|ui| {
            ui.label("what counts");
            choose(ui, "What is to be the least", &mut self.least, &options);
        });
        ui.checkbox(&mut self.keep, "Keep the supplies that are here and add to them");
        ui.checkbox(&mut self.batteries, "Batteries too");
        let question = LeastQuestion {
            rig: facts.variant.rig.clone(),
            rules,
            least: self.least,
            keep: self.keep,
            batteries: self.batteries,
            parts: None,
        };
        let found = facts.power.least.as_ref();
        let fresh = found.is_some_and(|(asked, shown)| !shown.old && alike(asked, &question));
        if let Some(done) = facts.power.seeking_least {
            progress(ui, done, out);
        } else if !fresh && ui.button("Find the least supply").clicked() {
            out.push(Intent::SeekLeast(Box::new(question)));
        }
        if facts.power.seeking_least_died {
            panel::quiet(ui, DIED);
        }
        let Some((asked, shown)) = found else {
            return panel::quiet(ui, "Tries every set of supplies and modules of the catalogue. Prices are invented.");
        };
        if shown.old {
            panel::quiet(ui, ABOUT_BEFORE);
        }
        let tokens = Tokens::of(ui);
        let fits = shown.answer.bought.is_some() && shown.answer.hopeless.is_empty();
        let ink = if fits { tokens.teal } else { tokens.copper };
        entry(ui, ink, if shown.old { 0.55 } else { 1.0 }, |ui| {
            let words = RichText::new(words::bought(asked, shown.answer)).color(tokens.ink);
            ui.add(Label::new(words).wrap());
            let given_up = words::given_up(&shown.answer.rig, &shown.answer.allocation, &asked.rules.headroom);
            for line in words::details(&facts.project.currency, asked, shown.answer).into_iter().chain(given_up) {
                panel::quiet(ui, line);
            }
            if let Some(least) = facts.power.least_offer {
                offer(ui, facts, least, shown.old, out);
            }
        });
    }
}

/// Whether two ask for the same of the same rig, but for the id of what would be new.
fn alike(a: &LeastQuestion, b: &LeastQuestion) -> bool {
    a.least == b.least && a.keep == b.keep && a.batteries == b.batteries && a.rules == b.rules
}
