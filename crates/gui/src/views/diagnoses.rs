//! The list of diagnoses, the same on every screen and whatever they are about:
//! a sentence with its number, why, buttons that remedy it, and what it is about
//! highlighted in the drawing while it is pointed at.

use egui::{Button, RichText, Sense, Ui};
use rigwright_core::diagnosis::{Diagnosis, Severity, Subject};
use rigwright_core::ground::GroundLoop;

use super::{Facts, Intent, Pointed, remedy};
use crate::command::Command;
use crate::state::Selected;
use crate::theme::{self, Tokens, text};
use crate::widgets::entry::{self, entry};
use crate::widgets::{panel, small, term};

/// A diagnosis, and whether it is of the rig before its last change.
pub type Listed<'a> = (&'a Diagnosis, bool);

/// Shows some of them, each with whether it is of the rig before its last change.
pub fn list<'a>(
    ui: &mut Ui,
    facts: &Facts<'_>,
    told: impl IntoIterator<Item = (&'a Diagnosis, bool)>,
    out: &mut Vec<Intent>,
) {
    for (told, old) in told {
        one(ui, facts, told, old, out);
    }
}

/// One of them; `old` if it is of the rig before its last change.
pub fn one(ui: &mut Ui, facts: &Facts<'_>, told: &Diagnosis, old: bool, out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    let ink = match told.severity {
        Severity::Danger => tokens.alarm,
        Severity::Act => tokens.copper,
        Severity::Know => tokens.teal,
    };
    let hovered = entry(ui, ink, entry::strength(old), |ui| {
        if let Some(warning) = told.warning {
            let words = RichText::new(warning.words()).font(text::small()).color(tokens.alarm);
            ui.label(words.family(theme::semibold()));
        }
        sentence(ui, told, out);
        if !told.why.is_empty() {
            term::quiet(ui, &told.why);
        }
        let loops = loops(facts, told);
        if let [only] = loops.as_slice() {
            panel::quiet(ui, only.path.as_str());
        }
        for one in &told.remedies {
            match told.rule.subject {
                Subject::Advice => remedy::suggestion(ui, one, old, out),
                _ => remedy::ui(ui, one, old, out),
            }
        }
        if let Some(words) = &told.no_remedy {
            panel::quiet(ui, words.as_str());
        }
        looks(ui, facts, told, &loops, old, out);
    });
    let said = out.iter().any(|intent| matches!(intent, Intent::Point(_)));
    if hovered && !old && !said {
        out.extend(pointed(told).map(Intent::Point));
    }
}

/// What it says, which selects what it is about.
fn sentence(ui: &mut Ui, told: &Diagnosis, out: &mut Vec<Intent>) {
    let ink = Tokens::of(ui).ink;
    let device = told.about.devices.first();
    let sentence = term::sentence(ui, &told.text, text::body(), ink, device.map(|_| Sense::click()));
    let Some(device) = device else { return };
    let clicked = sentence.response.clicked();
    if !sentence.on_a_term {
        sentence.response.on_hover_text("Selects what it is about in the drawing");
    }
    if clicked {
        out.push(Intent::Select(Some(Selected::Device(*device))));
    }
}

/// Buttons that change nothing of the rig: they set switches, light a loop, open the cautions.
fn looks(ui: &mut Ui, facts: &Facts<'_>, told: &Diagnosis, loops: &[&GroundLoop], old: bool, out: &mut Vec<Intent>) {
    let among = told.about.among.as_ref();
    let subject = told.about.devices.first().and_then(|id| facts.variant.rig.device(*id));
    let is_danger = told.severity == Severity::Danger;
    if among.is_none() && loops.is_empty() && !is_danger {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        if let (Some(set), Some(_)) = (among, subject) {
            let tip = "Sets all switches like that; then step on it and see";
            if ui.add(small::button("Set it so")).on_hover_text(tip).clicked() {
                out.push(Intent::Adopt { set: set.clone(), select: None });
            }
        }
        for (at, found) in loops.iter().enumerate() {
            let number = (loops.len() > 1).then_some(at + 1);
            show_loop(ui, facts, found, number, old, out);
        }
        if is_danger {
            cautions(ui, out);
        }
    });
}

/// The button that lights a loop's way; of several by its number.
fn show_loop(
    ui: &mut Ui,
    facts: &Facts<'_>,
    found: &GroundLoop,
    number: Option<usize>,
    old: bool,
    out: &mut Vec<Intent>,
) {
    let shown = facts.power.loop_shown == Some(found);
    let does = if shown { "Hide the loop" } else { "Show the loop" };
    let face =
        number.map_or_else(|| does.to_owned(), |number| format!("{} {number}", if shown { "Hide" } else { "Show" }));
    let face = RichText::new(face).font(text::small()).color(Tokens::of(ui).teal);
    let button = ui.add_enabled(!old, Button::new(face));
    let named = format!("{does}: {}", found.path);
    button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, !old, &named));
    let hint = if number.is_some() {
        found.path.as_str()
    } else {
        "Lights its way on the Chain screen and on the Power screen"
    };
    if button.on_hover_text(hint).clicked() {
        out.push(Intent::ShowLoop((!shown).then(|| Box::new(found.clone()))));
    }
}

/// A button that opens the page of cautions.
pub fn cautions(ui: &mut Ui, out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    let button = Button::new(RichText::new("Cautions").font(text::small()).color(tokens.copper).underline());
    if ui.add(button.frame(false)).on_hover_text(Command::Cautions.tooltip()).clicked() {
        out.push(Intent::Command(Command::Cautions));
    }
}

/// The loops that it is about.
fn loops<'a>(facts: &Facts<'a>, told: &Diagnosis) -> Vec<&'a GroundLoop> {
    let answer = facts.power.answer.as_ref().map(|shown| &**shown.answer);
    let found = |at: &usize| answer?.loops.get(*at);
    told.about.loops.iter().filter_map(found).collect()
}

/// What is shown while the pointer rests on it: of something better what it would
/// make of the curve, else what it is about.
fn pointed(told: &Diagnosis) -> Option<Pointed> {
    if told.rule.subject == Subject::Advice {
        return remedy::preview(told.remedies.first()?).map(Pointed::Change);
    }
    (told.about != Default::default()).then(|| Pointed::About(Box::new(told.about.clone())))
}

/// What can't be as it is drawn, and switches that are set in vain.
pub fn drawn_wrong<'a>(facts: &Facts<'a>) -> impl Iterator<Item = Listed<'a>> + use<'a> {
    let drawn = facts.answers.drawn();
    let drawn = drawn.into_iter().flat_map(|shown| shown.answer.all().map(move |told| (told, shown.old)));
    drawn.chain(facts.answers.set_in_vain.told().iter().map(|told| (told, false)))
}

/// What is listed, the loudest first and of equals the signal's first; and what
/// there is only to know of power and ground.
#[must_use]
pub fn loudest<'a>(facts: &Facts<'a>) -> (Vec<Listed<'a>>, Vec<Listed<'a>>) {
    let signal = facts.answers.findings().map(|shown| (shown.answer.as_slice(), shown.old));
    let signal = signal.into_iter().flat_map(|(told, old)| told.iter().map(move |told| (told, old)));
    let power = facts.power.answer.as_ref().map(|shown| (&**shown.answer, shown.old));
    let power = power
        .into_iter()
        .flat_map(|(answer, old)| answer.listed().chain(&answer.hum.told).map(move |told| (told, old)));
    let (loud, folded): (Vec<Listed<'a>>, Vec<Listed<'a>>) =
        power.partition(|(told, _)| told.severity < Severity::Know);
    let mut listed: Vec<Listed<'a>> = signal.chain(loud).collect();
    // Stable: each answer's own order stays.
    listed.sort_by_key(|(told, _)| told.severity);
    (listed, folded)
}

/// All of both, in that order.
#[must_use]
pub fn all<'a>(facts: &Facts<'a>) -> Vec<Listed<'a>> {
    let (mut listed, folded) = loudest(facts);
    listed.extend(folded);
    listed
}
