//! The least supply of the whole catalogue: searched, previewed, taken.

use egui::{Label, RichText, Ui};
use rigwright_core::parts::catalogue;
use rigwright_core::power::{Least, LeastAnswer, LeastQuestion, Rules, Weight, words as said};
use rigwright_core::units::trimmed;

use super::canvas::Scene;
use super::plan::{offer, progress};
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
        let wants =
            |device: &rigwright_core::rig::Device| device.power.need().is_some() && device.kind.supply().is_none();
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
            panel::quiet(ui, "What follows is about the rig before its last change.");
        }
        let tokens = Tokens::of(ui);
        let fits = shown.answer.bought.is_some() && shown.answer.hopeless.is_empty();
        let ink = if fits { tokens.teal } else { tokens.copper };
        entry(ui, ink, if shown.old { 0.55 } else { 1.0 }, |ui| {
            let words = RichText::new(bought(asked, shown.answer)).color(tokens.ink);
            ui.add(Label::new(words).wrap());
            let given_up = said::given_up(&shown.answer.rig, &shown.answer.allocation, &asked.rules.headroom);
            for line in details(facts, asked, shown.answer).into_iter().chain(given_up) {
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

/// "For least money: Isolated supply, five outlets, and 2 × 9 V wall adaptor."
fn bought(asked: &LeastQuestion, answer: &LeastAnswer) -> String {
    let Some(bought) = &answer.bought else {
        return match answer.proved {
            true => "No set of the catalogue's supplies feeds all of this rig under these rules.".to_owned(),
            false => {
                "No set of the catalogue's supplies was found that feeds all of this rig under these rules.".to_owned()
            }
        };
    };
    let named = bought.iter().map(|one| {
        let name = catalogue().part(&one.part).map_or(one.part.as_str(), |part| part.name.as_str());
        match one.count {
            1 => name.to_owned(),
            count => format!("{count} × {name}"),
        }
    });
    let named: Vec<String> = named.collect();
    let what = if named.is_empty() { "nothing more is wanted".to_owned() } else { named.join("; ") };
    format!("For {}: {what}.", asked.least.name())
}

fn details(facts: &Facts<'_>, asked: &LeastQuestion, answer: &LeastAnswer) -> Vec<String> {
    let mut lines = Vec::new();
    let totals = &answer.totals;
    if totals.boxes > 0 {
        let plural = |count: usize, one: &str, many: &str| match count {
            1 => format!("1 {one}"),
            count => format!("{count} {many}"),
        };
        let boxes = plural(totals.boxes, "box", "boxes");
        let plugs = plural(totals.mains_plugs, "mains plug", "mains plugs");
        let area = trimmed(totals.board_area * 1e4, 3);
        let money = trimmed(totals.money.get(), 6);
        lines.push(format!(
            "{money} {} (invented prices), {boxes}, {plugs}, {area} cm² of the board.",
            facts.project.currency
        ));
    }
    if !answer.hopeless.is_empty() {
        let names = said::names(&asked.rig, &answer.hopeless);
        lines.push(format!("Nothing in the catalogue feeds {names} under these rules."));
    }
    lines.extend(quiet(&asked.rules, answer).map(str::to_owned));
    lines.push(match answer.proved {
        true => format!("Proved: nothing less does under these rules. {}", said::LAST_IN_ROW),
        false => "Not proved: the search gave up before it had tried everything.".to_owned(),
    });
    lines
}

/// Whether what is to be quiet is.
fn quiet(rules: &Rules, answer: &LeastAnswer) -> Option<&'static str> {
    let [apart, gains] = [rules.keep_apart, rules.few_gains].map(|weight| weight != Weight::Nothing);
    answer.bought.as_ref()?;
    match (answer.quiet, apart, gains) {
        (_, false, false) => None,
        (false, ..) if answer.proved => {
            Some("No set there keeps all of that quiet; this is the least of those that feed it.")
        }
        (false, ..) => Some("No set was found that keeps all of that quiet; this one feeds it."),
        (true, true, true) => Some(
            "The least of the quiet sets: digital apart from analogue, at most two drives, fuzzes or compressors and 40 dB of gain on a 0 V (practice).",
        ),
        (true, true, false) => Some("The least of the quiet sets: digital apart from analogue."),
        (true, false, true) => Some(
            "The least of the quiet sets: at most two drives, fuzzes or compressors and 40 dB of gain on a 0 V (practice).",
        ),
    }
}
