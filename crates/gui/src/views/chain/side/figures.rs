//! The figures of every variant in words, and what each run amounts to.

use egui::{RichText, Sense, TextEdit, Ui, vec2};
use rigwright_core::response::{NoPeak, words};
use rigwright_core::rig::Edit;
use rigwright_core::words::capital;

use crate::state::{Change, Gesture};
use crate::theme::{Tokens, text};
use crate::views::chain::plot::compared::brings_back;
use crate::views::{AS_BEFORE, Facts, Intent};
use crate::widgets::{panel, term};

/// What each rig does. One that is left out of plot and table is left out here,
/// unless it is in hand: then its figures stand, and beside them that it is.
pub fn ui(ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    let mut not_compared = 0;
    for (index, variant) in facts.project.variants.iter().enumerate() {
        let Some(response) = facts.answers.get(variant.id) else {
            continue;
        };
        let is_compared = facts.inputs.shows(variant.id);
        if !is_compared && variant.id != facts.variant.id {
            not_compared += 1;
            continue;
        }
        ui.add_space(4.0);
        ui.horizontal(|ui| {
            let (dot, _) = ui.allocate_exact_size(vec2(10.0, 10.0), Sense::hover());
            let ink = if is_compared { tokens.accent(index) } else { tokens.faint };
            ui.painter().circle_filled(dot.center(), 4.5, ink);
            let name = RichText::new(&variant.name).family(crate::theme::medium());
            if ui.add(egui::Button::new(name).frame(false).truncate()).clicked() {
                out.push(Intent::Show(variant.id));
            }
            if !is_compared {
                let note = RichText::new("not compared").font(text::small()).color(tokens.quiet);
                ui.label(note)
                    .on_hover_text("Curve, band and table leave it out until its name above the plot is clicked");
            }
        });
        match facts.inputs.answer(facts.project, response) {
            Some(answer) => {
                for line in words::lines(answer) {
                    term::quiet(ui, &line);
                }
                if answer.peak == Err(NoPeak::Silent) {
                    panel::quiet(ui, facts.answers.silence(variant.id));
                }
                if facts.answers.is_old(variant.id) {
                    panel::quiet(ui, AS_BEFORE);
                }
            }
            None if facts.project.test_point.is_some() => {
                panel::quiet(ui, "The test point's lead isn't in this rig, or no signal gets there.")
            }
            None => panel::quiet(ui, format!("{} yet.", words::NO_SIGNAL)),
        }
    }
    if let Some(line) = facts.response().and_then(|response| words::endpoints_left_out(response.endpoints_left_out)) {
        ui.add_space(4.0);
        panel::quiet(ui, line);
    }
    match not_compared {
        0 => {}
        1 => panel::quiet(ui, format!("One rig is left out. {}", brings_back("its name"))),
        many => panel::quiet(ui, format!("{many} rigs are left out. {}", brings_back("a name"))),
    }
    if let Some(response) = facts.response() {
        ui.add_space(8.0);
        panel::heading(ui, "Its runs, from the guitar on");
        for run in &response.runs {
            let ink = if run.high_impedance { tokens.copper } else { tokens.teal };
            let words = capital(&words::run_words(&facts.variant.rig, run));
            term::sentence(ui, &words, text::small(), ink, None);
        }
    }
    notes(ui, facts, out);
}

/// Free text about the whole project.
fn notes(ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
    ui.add_space(8.0);
    panel::heading(ui, "Notes");
    let mut typed = facts.project.notes.clone();
    let edit = TextEdit::multiline(&mut typed).desired_rows(2).desired_width(f32::INFINITY).font(text::small());
    let response = ui.add(edit);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::MultilineTextInput, true, "Notes of the project"));
    if response.changed() {
        let change = Change::new("change the notes", Edit::SetNotes(typed));
        out.push(Intent::Change(change.in_gesture(Gesture(response.id.value()))));
    }
    if response.lost_focus() {
        out.push(Intent::EndGesture);
    }
}
