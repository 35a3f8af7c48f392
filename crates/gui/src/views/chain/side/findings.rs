//! What to act on and what to know: of the signal, of power and of ground loops
//! in one list, the loudest first.

use egui::Ui;
use rigwright_core::diagnosis::{Diagnosis, Severity, count_words};
use rigwright_core::response::words::NO_SIGNAL;
use rigwright_core::units::counted;

use super::nothing;
use crate::views::limits::{LimitFields, LimitsOf};
use crate::views::{AS_BEFORE, DIED, Facts, Intent, diagnoses};
use crate::widgets::more::More;
use crate::widgets::working::{WorkRequest, Working};
use crate::widgets::{panel, small};

/// The list's own state.
#[derive(Debug, Default)]
pub struct Findings {
    show_limits: bool,
    limits: LimitFields,
    more_problems: More,
    more: More,
    /// Whether is shown what there is only to know of power and of ground loops.
    whole: bool,
    more_of_power: More,
    working: Working,
}

/// A diagnosis, and whether it is of the rig before its last change.
type Listed<'a> = (&'a Diagnosis, bool);

impl Findings {
    /// Problems first, then findings.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        self.drawn_wrong(ui, facts, out);
        if facts.answers.died(facts.variant.id) || facts.power.died {
            nothing(ui, DIED);
        }
        let called_off = facts.answers.is_called_off(facts.variant.id) || facts.power.called_off;
        let done = facts.answers.progress(facts.variant.id).or(facts.power.progress);
        out.extend(match self.working.ui(ui, done, called_off) {
            Some(WorkRequest::Stop) => Some(Intent::CallOff),
            Some(WorkRequest::GoOn) => Some(Intent::WantAgain),
            None => None,
        });
        let signal = facts.answers.findings();
        let (listed, folded) = all(facts);
        let is_counted = match &signal {
            Some(_) => true,
            None if called_off || facts.answers.died(facts.variant.id) => false,
            None if facts.answers.is_computing() => {
                nothing(ui, "Looking at every footswitch state …");
                false
            }
            None => {
                nothing(ui, &format!("{NO_SIGNAL} yet."));
                !listed.is_empty()
            }
        };
        if is_counted {
            let fine = "Nothing to act on: every footswitch state is as it should be";
            let counted = drawn_wrong(facts).chain(listed.iter().copied()).map(|(told, _)| told);
            let words = count_words(counted, fine);
            let old =
                signal.is_some_and(|shown| shown.old) || facts.power.answer.as_ref().is_some_and(|shown| shown.old);
            nothing(ui, format!("{words} {}", if old { AS_BEFORE } else { "" }).trim_end());
        }
        let count = listed.len();
        diagnoses::list(ui, facts, listed.into_iter().take(self.more.shown()), out);
        self.more.ui(ui, count);
        self.folded(ui, facts, folded, out);
        let words = if self.show_limits { "Hide the limits" } else { "When this speaks up …" };
        if ui.add(small::button(words)).clicked() {
            self.show_limits = !self.show_limits;
        }
        if self.show_limits {
            self.limits.ui(ui, facts, LimitsOf::Tone, out);
        }
        ui.add_space(6.0);
    }

    /// What can't be as it is drawn.
    fn drawn_wrong(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let count = drawn_wrong(facts).count();
        if count > 0 {
            panel::heading(ui, "To fix");
        }
        diagnoses::list(ui, facts, drawn_wrong(facts).take(self.more_problems.shown()), out);
        self.more_problems.ui(ui, count);
    }

    /// What there is only to know of power and of ground loops, under a line of its own.
    fn folded(&mut self, ui: &mut Ui, facts: &Facts<'_>, folded: Vec<Listed<'_>>, out: &mut Vec<Intent>) {
        if folded.is_empty() {
            return;
        }
        let count = counted(folded.len());
        let words = match self.whole {
            true => "Hide what there is to know of power and ground loops".to_owned(),
            false => format!("Of power and ground loops: {count} to know …"),
        };
        if ui.add(small::button(words)).clicked() {
            self.whole = !self.whole;
        }
        if self.whole {
            let count = folded.len();
            diagnoses::list(ui, facts, folded.into_iter().take(self.more_of_power.shown()), out);
            self.more_of_power.ui(ui, count);
        }
    }
}

/// What can't be as it is drawn, and switches that are set in vain.
fn drawn_wrong<'a>(facts: &Facts<'a>) -> impl Iterator<Item = Listed<'a>> {
    let drawn = facts.answers.drawn();
    let drawn = drawn.into_iter().flat_map(|shown| shown.answer.all().map(move |told| (told, shown.old)));
    drawn.chain(facts.answers.set_in_vain.told().iter().map(|told| (told, false)))
}

/// What is listed, the loudest first and of equals the signal's first; and what
/// there is only to know of power and ground.
fn all<'a>(facts: &Facts<'a>) -> (Vec<Listed<'a>>, Vec<Listed<'a>>) {
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
