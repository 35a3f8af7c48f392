//! The mains that the rig is played on: at home, and from country to country on tour.

use egui::{Label, Popup, RichText, Ui};
use rigwright_core::rig::{Country, Edit, MainsSupply, Many, Venue};
use rigwright_core::units::{Dimension, Volts};

use crate::state::Change;
use crate::theme::{Tokens, text};
use crate::views::{Facts, Intent};
use crate::widgets::quantity::{self, Quantity, Typed};
use crate::widgets::small;

/// The panel's own state.
#[derive(Debug, Default)]
pub struct MainsPanel {
    /// What is wrong with what was typed last.
    wrong: Option<String>,
}

impl MainsPanel {
    /// The voltage at home and those of a tour.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let mains = &facts.project.mains;
        let mut changed = mains.clone();
        let mut gone = None;
        ui.horizontal(|ui| {
            ui.label("mains at home");
            let usual = mains.volts == MainsSupply::default().volts;
            self.volts(ui, "Mains voltage at home", &mut changed.volts);
            source(ui, if usual { ("standard", "IEC 60038: 230 V") } else { ("set by you", "") });
        });
        for (at, venue) in changed.tour.iter_mut().enumerate() {
            ui.push_id(("stop", at), |ui| {
                ui.horizontal(|ui| {
                    let name = venue.country.name();
                    ui.label(name);
                    let usual = venue.volts.get() == venue.country.volts();
                    self.volts(ui, &format!("Mains voltage, {name}, stop {}", at + 1), &mut venue.volts);
                    let from_memory = ("from memory", "The nominal voltage there, from memory: ask the venue.");
                    source(ui, if usual { from_memory } else { ("set by you", "") });
                    let drop = ui.add(small::button("Drop"));
                    let named = format!("Drop {name}, stop {}", at + 1);
                    drop.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &named));
                    if drop.clicked() {
                        gone = Some(at);
                    }
                });
            });
        }
        if let Some(at) = gone {
            changed.tour.remove(at);
        }
        if changed.tour.len() < Many::Stops.most() {
            let button = ui.add(small::button("Add a country of the tour…"));
            Popup::menu(&button).show(|ui| {
                egui::ScrollArea::vertical().max_height(360.0).show(ui, |ui| {
                    for country in Country::ALL {
                        let words = format!("{}, {} V", country.name(), country.volts());
                        if ui.button(words).clicked() {
                            changed.tour.push(Venue::of(*country));
                            ui.close();
                        }
                    }
                });
            });
        }
        if let Some(wrong) = &self.wrong {
            let tokens = Tokens::of(ui);
            ui.add(Label::new(RichText::new(wrong).font(text::small()).color(tokens.alarm)).wrap());
        }
        if changed != *mains {
            let change = Change::new("say which mains it is played on", Edit::SetMains(Box::new(changed)));
            out.push(Intent::Change(change));
        }
    }

    fn volts(&mut self, ui: &mut Ui, name: &str, volts: &mut Volts) {
        let (_, typed) = quantity::edit(
            ui,
            &Quantity { name, value: volts.get(), dimension: Dimension::Voltage, unit: Volts::UNIT },
            "",
        );
        match typed {
            Typed::Nothing | Typed::Looked(_) => {}
            Typed::GaveUp => self.wrong = None,
            Typed::Wrong(words) => self.wrong = Some(words),
            Typed::Value(value) | Typed::Stepped(value) => match Volts::new(value) {
                Ok(value) => {
                    self.wrong = None;
                    *volts = value;
                }
                Err(error) => self.wrong = Some(format!("{error}.")),
            },
        }
    }
}

/// Where a voltage comes from.
fn source(ui: &mut Ui, (words, more): (&str, &str)) {
    let tokens = Tokens::of(ui);
    let label = ui.add(Label::new(RichText::new(words).font(text::small()).color(tokens.quiet)).truncate());
    if !more.is_empty() {
        label.on_hover_text(more);
    }
}
