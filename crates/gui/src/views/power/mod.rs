//! The Power screen: rails from supplies to units, and what there is to know of them.

mod brush;
mod canvas;
mod drag;
mod energy;
mod feed;
mod findings;
mod layout;
mod least;
mod loops;
mod mains;
mod menus;
mod needs;
mod paint;
mod panel;
pub mod picture;
mod plan;
mod returns;
mod sheet;
mod signs;
mod supply;
mod trace;
mod words;

pub use signs::paint as sign;

use egui::{Button, CentralPanel, Frame, Margin, Panel, RichText, Stroke, Ui};
use rigwright_core::diagnosis::count_words;
use rigwright_core::rig::{MainsSupply, Variant};
use rigwright_core::units::counted;
use rigwright_core::words::capital;

use crate::command::Command;
use crate::state::{PowerAnswer, PreviewedRig, Selection};
use crate::theme::{self, Tokens, size};
use crate::views::picker::{Picker, Stays};
use crate::views::{Facts, Intent, Purpose, Screen, StatusFacts, Subject, cautions};
use crate::widgets;

/// The Power screen's own state; no part of the project.
#[derive(Debug, Default)]
pub struct Power {
    canvas: canvas::Canvas,
    side: panel::Side,
    picker: Option<Picker>,
}

impl Screen for Power {
    fn opened_by(&self) -> Command {
        Command::ShowPower
    }

    fn subject(&self) -> Subject {
        Subject::Supplies
    }

    fn status_line(&self, about: &StatusFacts<'_>) -> String {
        about.power.map_or_else(String::new, |answer| status(about.variant, &about.project.mains, answer))
    }

    fn fit(&mut self) {
        self.canvas.fit();
    }

    fn zoom(&mut self, factor: f32) {
        self.canvas.zoom(factor);
    }

    fn insertion(&self, _: &Selection, _variant: &Variant) -> Purpose {
        Purpose::Supply
    }

    fn open_picker(&mut self, purpose: Purpose) {
        self.picker = Some(Picker::open(purpose));
    }

    fn picker_is_open(&self) -> bool {
        self.picker.is_some()
    }

    fn is_busy(&self) -> bool {
        self.picker.is_some() || self.canvas.is_dragging()
    }

    fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let tokens = Tokens::of(ui);
        let gap = size::GAP as i8;
        let scene = canvas::Scene {
            selected: facts.selection.device(),
            shown: facts.highlighted_loop(),
            looked_at: facts.looked_at,
            ..canvas::Scene::of(facts)
        };
        let outer = Frame::new().inner_margin(Margin { left: 0, right: gap, top: 0, bottom: gap }).fill(tokens.ground);
        let room = ui.available_width();
        Panel::right("beside the rails")
            .frame(outer)
            .resizable(true)
            .show_separator_line(false)
            .default_size((0.27 * room).clamp(300.0, 420.0))
            .min_size(260.0)
            .max_size(0.5 * room)
            .show(ui, |ui| {
                widgets::panel::frame(tokens).show(ui, |ui| {
                    ui.set_min_size(ui.available_size());
                    self.side.ui(ui, facts, &scene, out);
                });
            });
        let sheet =
            Frame::new().inner_margin(Margin { left: gap, right: gap, top: 0, bottom: gap }).fill(tokens.ground);
        CentralPanel::no_frame().frame(sheet).show(ui, |ui| {
            let Some(seen) = facts.power.previewed else {
                under(ui, &scene, out);
                return self.canvas.ui(ui, &scene, out);
            };
            let previewed = canvas::Scene {
                rig: &seen.rig,
                answer: Some(&seen.answer),
                old: false,
                died: false,
                is_preview: true,
                shown: None,
                looked_at: None,
                selected: None,
                ..scene
            };
            under(ui, &previewed, out);
            banner(ui, seen, out);
            self.canvas.ui(ui, &previewed, out);
        });
        if let Some(picker) = &mut self.picker
            && picker.ui(ui, facts, out) != Stays::Open
        {
            self.picker = None;
        }
    }
}

/// Over a sheet that shows what would be.
fn banner(ui: &mut Ui, seen: &PreviewedRig, out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    let frame = Frame::new().fill(tokens.panel).stroke(Stroke::new(1.0, tokens.teal)).corner_radius(6);
    Panel::top("would be").frame(frame.inner_margin(Margin::symmetric(12, 6))).show_separator_line(false).show(
        ui,
        |ui| {
            ui.horizontal_wrapped(|ui| {
                let words = format!("Preview of {}: nothing is changed yet.", seen.change.name);
                ui.label(RichText::new(words).family(theme::medium()));
                ui.label(RichText::new(sum(&seen.answer)).color(tokens.quiet));
                if ui.button("Do it").clicked() {
                    out.push(Intent::LookAt(None));
                    out.push(Intent::Take(seen.change.preview.clone()));
                }
                if ui.button("Back to the rig as it is").clicked() {
                    out.push(Intent::LookAt(None));
                }
            });
        },
    );
}

/// What is left to say of a rig, in a few words.
fn sum(answer: &PowerAnswer) -> String {
    let words = count_words(answer.listed(), "Nothing to act on and nothing to know");
    format!("{words} {}.", capital(&loops(answer)))
}

/// Under the sheet: what can save a life, and a supply to add.
fn under(ui: &mut Ui, scene: &canvas::Scene<'_>, out: &mut Vec<Intent>) {
    let called = cautions::called_for(scene.rig, scene.answer);
    let frame = Frame::new().inner_margin(Margin { left: 2, right: 2, top: 6, bottom: 0 });
    Panel::bottom("under the rails").frame(frame).show_separator_line(false).show(ui, |ui| {
        let buttons = |ui: &mut Ui, out: &mut Vec<Intent>| {
            let tip = "Brings in a supply, a module or a battery of the catalogue. (I)";
            if ui.add(Button::new("Add a supply…")).on_hover_text(tip).clicked() {
                out.push(Intent::OpenPicker(Purpose::Supply));
            }
            let more = called.len().saturating_sub(cautions::in_strip(ui.ctx()));
            let words = if more > 0 { format!("Cautions ({more} more)") } else { "Cautions".to_owned() };
            if ui.button(words).on_hover_text(Command::Cautions.tooltip()).clicked() {
                out.push(Intent::Command(Command::Cautions));
            }
        };
        let strip = |ui: &mut Ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            cautions::strip(ui, &called);
        };
        // Beside the buttons a narrow strip would be a column of single words.
        if ui.available_width() < BESIDE_BUTTONS {
            ui.horizontal_wrapped(|ui| buttons(ui, out));
            strip(ui);
        } else {
            ui.horizontal_top(|ui| {
                buttons(ui, out);
                ui.vertical(strip);
            });
        }
    });
}

/// In less room than this, in points, sentences stand below the buttons and not beside them.
const BESIDE_BUTTONS: f32 = 640.0;

/// "Mains 230 V, 31 W · 0 V in 4 groups · 2 ground loops"
#[must_use]
fn status(variant: &Variant, mains: &MainsSupply, answer: &PowerAnswer) -> String {
    let check = &answer.check;
    let mains = paint::mains_words(&variant.rig.devices, mains);
    let mut mains: String = mains.chars().take(1).flat_map(char::to_uppercase).chain(mains.chars().skip(1)).collect();
    if check.mains.plugs > 0 {
        let taken = rigwright_core::units::trimmed(check.mains.watts(), 3);
        mains.push_str(&format!(", {taken} W"));
    }
    let zero_volts = match check.zero_volts.all().count() {
        0 => "nothing fed".to_owned(),
        1 => "one 0 V for all".to_owned(),
        count => format!("0 V in {count} groups"),
    };
    format!("{mains} · {zero_volts} · {}", loops(answer))
}

fn loops(answer: &PowerAnswer) -> String {
    match answer.loop_count {
        0 => "no ground loop".to_owned(),
        1 => "1 ground loop".to_owned(),
        count => format!("{} ground loops", counted(count)),
    }
}
