//! What to act on and what to know: of the signal, of power and of ground loops
//! in one list, the loudest first.

use egui::{Align, Rect, Stroke, StrokeKind, Ui, vec2};
use rigwright_core::diagnosis::{Diagnosis, Rule, count_words};
use rigwright_core::response::words::NO_SIGNAL;
use rigwright_core::units::counted;

use super::nothing;
use crate::theme::Tokens;
use crate::views::diagnoses::{Listed, drawn_wrong, loudest};
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
    sought: Option<Sought>,
}

/// The one diagnosis that somebody wants to see.
#[derive(Debug)]
struct Sought {
    rule: Rule,
    text: String,
    /// Whether the list was scrolled to it.
    is_shown: bool,
}

impl Sought {
    fn is(&self, told: &Diagnosis) -> bool {
        self.rule == told.rule && self.text == told.text
    }
}

impl Findings {
    /// Scrolls to a diagnosis and marks it, wherever in the lists it stands.
    pub fn look_for(&mut self, told: &Diagnosis) {
        self.sought = Some(Sought { rule: told.rule, text: told.text.clone(), is_shown: false });
    }

    /// Some diagnoses, the one that is looked for marked.
    fn list<'a>(
        &mut self,
        ui: &mut Ui,
        facts: &Facts<'_>,
        told: impl IntoIterator<Item = Listed<'a>>,
        out: &mut Vec<Intent>,
    ) {
        for (told, old) in told {
            let top = ui.cursor().top();
            diagnoses::one(ui, facts, told, old, out);
            let Some(sought) = self.sought.as_mut().filter(|sought| sought.is(told)) else { continue };
            let place = Rect::from_x_y_ranges(ui.max_rect().x_range(), top..=ui.cursor().top());
            let ink = Tokens::of(ui).copper;
            ui.painter().rect_stroke(place.shrink(1.0), 4.0, Stroke::new(1.0, ink), StrokeKind::Inside);
            if !std::mem::replace(&mut sought.is_shown, true) {
                ui.scroll_to_rect(place.expand2(vec2(0.0, 10.0)), Some(Align::Min));
            }
            // It is found: the next click or key is about something else.
            if ui.input(|input| input.pointer.any_pressed()) {
                self.sought = None;
            }
        }
    }

    /// Opens as much of the lists as it takes to have what is looked for among them.
    fn reveal(&mut self, facts: &Facts<'_>, listed: &[Listed<'_>], folded: &[Listed<'_>]) {
        let Some(sought) = self.sought.as_ref().filter(|sought| !sought.is_shown) else { return };
        let place = |all: &[Listed<'_>]| all.iter().position(|(told, _)| sought.is(told));
        if let Some(at) = place(&drawn_wrong(facts).collect::<Vec<_>>()) {
            self.more_problems.reveal(at);
        } else if let Some(at) = place(listed) {
            self.more.reveal(at);
        } else if let Some(at) = place(folded) {
            self.whole = true;
            self.more_of_power.reveal(at);
        }
    }

    /// Problems first, then findings.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let (listed, folded) = loudest(facts);
        self.reveal(facts, &listed, &folded);
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
        self.list(ui, facts, listed.into_iter().take(self.more.shown()), out);
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
        self.list(ui, facts, drawn_wrong(facts).take(self.more_problems.shown()), out);
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
            self.list(ui, facts, folded.into_iter().take(self.more_of_power.shown()), out);
            self.more_of_power.ui(ui, count);
        }
    }
}
