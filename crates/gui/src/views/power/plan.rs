//! The best allocation, and the least supply: searched, previewed, taken.

use std::collections::BTreeSet;

use egui::{Button, Label, ProgressBar, RichText, Ui};
use rigwright_core::parts::{Group, catalogue};
use rigwright_core::power::{Allocation, Cure, Headroom, Rules, Weight, too_large, words as said};
use rigwright_core::rig::{DeviceId, Rig};
use rigwright_core::units::trimmed;
use rigwright_core::words::{capital, lower};

use super::canvas::Scene;
use super::least::LeastPanel;
use crate::state::{Offer, Shown};
use crate::theme::{Tokens, text};
use crate::views::limits::{LimitFields, LimitsOf};
use crate::views::{DIED, Facts, Intent};
use crate::widgets::choose::choose;
use crate::widgets::entry::entry;
use crate::widgets::{panel, small};

/// Over what was found of the rig before it was changed.
pub const ABOUT_BEFORE: &str = "What follows is about the rig before its last change.";

/// The panel's own state.
#[derive(Debug, Default)]
pub struct Plan {
    rules: Rules,
    /// Groups of the catalogue whose units are to have an outlet of their own.
    own: BTreeSet<Group>,
    /// The same for a 0 V.
    isolated: BTreeSet<Group>,
    /// Units that may run at another voltage.
    released: BTreeSet<DeviceId>,
    open: bool,
    limits: LimitFields,
    least: LeastPanel,
}

impl Plan {
    /// Best allocation and least supply, and the rules that both keep.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, scene: &Scene<'_>, out: &mut Vec<Intent>) {
        if scene.rig.supplies().next().is_some() {
            ui.separator();
            panel::heading(ui, "Best allocation");
            self.allocation(ui, facts, scene, out);
        }
        let rules = self.rules(facts, scene.rig);
        self.least.ui(ui, facts, scene, rules, out);
        if ui.add(small::button(if self.open { "Hide the rules" } else { "Rules and wishes…" })).clicked() {
            self.open = !self.open;
        }
        if self.open {
            self.limits.ui(ui, facts, LimitsOf::Power, out);
            self.choices(ui, scene.rig);
        }
    }

    /// The rules as they are chosen, for this rig.
    fn rules(&self, facts: &Facts<'_>, rig: &Rig) -> Rules {
        let of = |groups: &BTreeSet<Group>| {
            let wanted = rig.devices.iter().filter(|device| group(&device.part).is_some_and(|g| groups.contains(&g)));
            wanted.map(|device| device.id).collect()
        };
        Rules {
            headroom: Headroom::of(&facts.project.limits),
            own_outlet: of(&self.own),
            isolated: of(&self.isolated),
            released: self.released.iter().copied().filter(|id| rig.device(*id).is_some()).collect(),
            ..self.rules.clone()
        }
    }

    fn allocation(&mut self, ui: &mut Ui, facts: &Facts<'_>, scene: &Scene<'_>, out: &mut Vec<Intent>) {
        if let Some(why) = too_large(scene.rig) {
            return panel::quiet(ui, format!("{}.", capital(&why.to_string())));
        }
        let rules = self.rules(facts, scene.rig);
        let found = facts.power.allocation.as_ref();
        let fresh = found.is_some_and(|(question, shown)| !shown.old && question.rules == rules);
        if let Some(done) = facts.power.seeking {
            progress(ui, done, out);
        } else if !fresh && ui.button("Find the best allocation").clicked() {
            out.push(Intent::SeekAllocation(Box::new(rules)));
        }
        if facts.power.seeking_died {
            panel::quiet(ui, DIED);
        }
        let Some((question, shown)) = found else {
            panel::quiet(ui, "Tries every way to feed the units from the supplies that are here.");
            return;
        };
        if shown.old {
            panel::quiet(ui, ABOUT_BEFORE);
        }
        let strength = if shown.old { 0.55 } else { 1.0 };
        let tokens = Tokens::of(ui);
        let all_fed = shown.answer.unfed.is_empty();
        let ink = if all_fed { tokens.teal } else { tokens.copper };
        entry(ui, ink, strength, |ui| {
            let rig: &Rig = &question.rig;
            let words = RichText::new(said::outcome(rig, shown.answer)).color(tokens.ink);
            ui.add(Label::new(words).wrap());
            for line in said::given_up(rig, shown.answer, &question.rules.headroom) {
                panel::quiet(ui, line);
            }
            panel::quiet(ui, said::proof(rig, shown.answer));
            if let Some(best) = facts.power.best_offer {
                offer(ui, facts, best, shown.old, out);
            }
            self.conflict(ui, facts, scene, rig, shown, out);
        });
    }

    fn conflict(
        &mut self,
        ui: &mut Ui,
        facts: &Facts<'_>,
        scene: &Scene<'_>,
        rig: &Rig,
        shown: &Shown<'_, Allocation>,
        out: &mut Vec<Intent>,
    ) {
        let Some(conflict) = &shown.answer.conflict else { return };
        let tokens = Tokens::of(ui);
        ui.add(Label::new(RichText::new(said::conflict(rig, conflict)).color(tokens.ink)).wrap());
        for cure in &conflict.cures {
            let words = said::cure(rig, cure);
            match cure {
                Cure::LeaveOut(_) => panel::quiet(ui, format!("Or: {}.", lower(&words))),
                Cure::Relax(relaxation) => {
                    let button = Button::new(RichText::new(&words).font(text::small()).color(tokens.teal));
                    if ui.add_enabled(!shown.old, button).clicked() {
                        let rules = self.rules(facts, scene.rig);
                        if let Some(rules) = relaxation.of(&rules) {
                            self.take(&rules);
                            out.push(Intent::SeekAllocation(Box::new(rules)));
                        }
                    }
                }
            }
        }
    }

    /// Rules that were given up stay so.
    fn take(&mut self, rules: &Rules) {
        if rules.own_outlet.is_empty() {
            self.own.clear();
        }
        if rules.isolated.is_empty() {
            self.isolated.clear();
        }
        self.rules = rules.clone();
    }

    fn choices(&mut self, ui: &mut Ui, rig: &Rig) {
        let rules = &mut self.rules;
        ui.checkbox(&mut rules.adapters, "Adapters may be used");
        ui.checkbox(&mut rules.pairs, "Two outlets may be put together");
        ui.checkbox(&mut rules.selectors, "Outlets may be set to another voltage");
        panel::quiet(ui, said::ORDER);
        weight(ui, "digital units apart from analogue ones", &mut rules.keep_apart);
        weight(ui, "few drives, fuzzes and compressors on one 0 V", &mut rules.few_gains);
        weight(ui, "headroom kept", &mut rules.margin);
        let several = of_several_voltages(rig);
        if !several.is_empty() {
            panel::quiet(ui, "May run at another voltage than now");
        }
        for (device, volts) in several {
            let name = rig.device(device).map_or("", |device| device.name.as_str());
            let mut on = self.released.contains(&device);
            if ui.checkbox(&mut on, format!("{name}, {} V now", trimmed(volts, 4))).changed() {
                if on {
                    self.released.insert(device)
                } else {
                    self.released.remove(&device)
                };
            }
        }
        ui.horizontal(|ui| {
            ui.label("plugs on one lead, at most");
            let field = egui::DragValue::new(&mut rules.most_plugs).range(1..=12);
            let field = ui.add(field);
            field.widget_info(|| egui::WidgetInfo::labeled(egui::Role::SpinButton, true, "Plugs on one lead, at most"));
        });
        let there: BTreeSet<Group> = rig
            .devices
            .iter()
            .filter(|device| device.power.need().is_some() && device.kind.supply().is_none())
            .filter_map(|device| group(&device.part))
            .collect();
        for (title, chosen) in
            [("An outlet of their own for", &mut self.own), ("A 0 V of their own for", &mut self.isolated)]
        {
            panel::quiet(ui, title);
            ui.horizontal_wrapped(|ui| {
                for group in &there {
                    let mut on = chosen.contains(group);
                    let check = ui.checkbox(&mut on, group.name());
                    let named = format!("{title} {}", group.name());
                    check.widget_info(|| egui::WidgetInfo::selected(egui::Role::CheckBox, true, on, &named));
                    if check.changed() {
                        if on {
                            chosen.insert(*group)
                        } else {
                            chosen.remove(group)
                        };
                    }
                }
            });
        }
    }
}

/// Units that could run at another voltage than the one at which they run now, in V.
fn of_several_voltages(rig: &Rig) -> Vec<(DeviceId, f64)> {
    let running = |device: &rigwright_core::rig::Device| {
        let need = device.power.need().filter(|_| device.kind.supply().is_none())?;
        let several = need.ways.iter().any(|way| way.least != need.ways[0].least || way.most != way.least);
        let from = rig.feed_to(device.id).filter(|_| several)?.from.outlets();
        let volts = from.map(|outlet| Some(rig.outlet(outlet)?.setting()?.volts.get()));
        Some((device.id, volts.collect::<Option<Vec<f64>>>()?))
    };
    let alone = |(device, volts): (DeviceId, Vec<f64>)| match volts.as_slice() {
        [one] => Some((device, *one)),
        _ => None,
    };
    rig.devices.iter().filter_map(running).filter_map(alone).collect()
}

/// How much a wish weighs, chosen.
fn weight(ui: &mut Ui, wish: &str, weight: &mut Weight) {
    let options = Weight::ALL.map(|weight| {
        let words = match weight {
            Weight::Nothing => "doesn't matter",
            Weight::Wish => "where nobody goes without",
            Weight::Must => "always",
        };
        (weight, words.to_owned())
    });
    ui.horizontal_wrapped(|ui| {
        ui.label(wish);
        choose(ui, &format!("How much it weighs: {wish}"), weight, &options);
    });
}

fn group(part: &str) -> Option<Group> {
    catalogue().part(part).map(|part| part.group)
}

/// How far a search is, and a button to call it off.
pub fn progress(ui: &mut Ui, done: f64, out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    ui.horizontal(|ui| {
        let percent = format!("{:.0} %", done * 100.0);
        ui.add(ProgressBar::new(done as f32).desired_width(160.0).text(percent).fill(tokens.teal));
        if ui.button("Stop looking").clicked() {
            out.push(Intent::StopSeekingPower);
        }
    });
}

/// What it changes, and buttons to look at it and to take it; `old` if it is about
/// the rig before its last change.
pub fn offer(ui: &mut Ui, facts: &Facts<'_>, offer: &Offer, old: bool, out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    if offer.is_nothing() {
        panel::quiet(ui, said::LIKE_THAT_ALREADY);
        return;
    }
    let shown = facts.power.change_looked_at == Some(&offer.change);
    for line in &offer.changes {
        panel::quiet(ui, line.as_str());
    }
    ui.horizontal_wrapped(|ui| {
        // Taking it comes first: it stays where it is when the other's words change.
        let named = format!("Take {}", offer.change.name);
        let button = ui.add_enabled(!old, Button::new(RichText::new("Take it").font(text::small()).color(tokens.teal)));
        button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, !old, &named));
        if button.on_hover_text("Does all of it, in one step that undo takes back").clicked() {
            out.push(Intent::LookAt(None));
            out.push(Intent::Take(offer.change.preview.clone()));
        }
        let words = if shown { "Hide the preview" } else { "Preview" };
        let named = format!("{words} of {}", offer.change.name);
        let button = ui.add_enabled(!old, Button::new(RichText::new(words).font(text::small()).color(tokens.teal)));
        button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, !old, &named));
        if button.on_hover_text("Draws it, and changes nothing yet").clicked() {
            out.push(Intent::LookAt((!shown).then(|| Box::new(offer.change.clone()))));
        }
    });
}
