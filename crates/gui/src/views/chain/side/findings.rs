//! What to act on and what to know: a sentence with its number, why, and a
//! button that mends it.

use egui::{Label, RichText, Sense, Ui};
use rigwright_core::diagnosis::Remedy;
use rigwright_core::findings::{Finding, Severity};
use rigwright_core::rig::{Device, forget_position};
use rigwright_core::words::capital;

use super::nothing;
use crate::command::Command;
use crate::state::Selected;
use crate::theme::{Tokens, text};
use crate::views::limits::{LimitFields, LimitsOf};
use crate::views::{DIED, Facts, Intent, Lit, Pointed, remedy};
pub use crate::widgets::entry::entry;
use crate::widgets::more::More;
use crate::widgets::working::{Wanted, Working};
use crate::widgets::{panel, small};

/// The list's own state.
#[derive(Debug, Default)]
pub struct Findings {
    show_limits: bool,
    limits: LimitFields,
    more_problems: More,
    more: More,
    working: Working,
}

impl Findings {
    /// Problems first, then findings.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let tokens = Tokens::of(ui);
        let found: Vec<_> = facts.answers.problems().iter().chain(facts.answers.set_in_vain.problems()).collect();
        if !found.is_empty() {
            panel::heading(ui, "To fix");
        }
        for problem in found.iter().take(self.more_problems.shown()) {
            entry(ui, tokens.alarm, 1.0, |ui| {
                ui.add(Label::new(RichText::new(capital(&format!("{problem}."))).color(tokens.ink)).wrap());
                if let Some(edit) = forget_position(problem, facts.project, facts.variant) {
                    remedy::ui(ui, &Remedy::of("Forget that position", edit), false, out);
                }
            });
        }
        self.more_problems.ui(ui, found.len());
        power(ui, facts, out);
        if facts.answers.died(facts.variant.id) {
            nothing(ui, DIED);
        }
        let called_off = facts.answers.is_called_off(facts.variant.id);
        out.extend(match self.working.ui(ui, facts.answers.progress(facts.variant.id), called_off) {
            Some(Wanted::Stop) => Some(Intent::CallOff),
            Some(Wanted::GoOn) => Some(Intent::WantAgain),
            None => None,
        });
        match facts.answers.findings() {
            Some(shown) => {
                let strength = if shown.old { 0.55 } else { 1.0 };
                count(ui, shown.answer, shown.old);
                for finding in shown.answer.iter().take(self.more.shown()) {
                    let ink = if finding.severity == Severity::Act { tokens.copper } else { tokens.teal };
                    let hovered = entry(ui, ink, strength, |ui| self.finding(ui, facts, finding, shown.old, out));
                    if let (true, Some(set)) = (hovered, &finding.among)
                        && !out.iter().any(|intent| matches!(intent, Intent::Point(_)))
                    {
                        let about = finding.devices.first().and_then(|id| facts.variant.rig.device(*id));
                        let subject = about.and_then(Device::on_off).map(|switch| switch.id);
                        out.push(Intent::Point(Pointed::State(Lit { set: set.clone(), subject })));
                    }
                }
            }
            None if called_off || facts.answers.died(facts.variant.id) => {}
            None if facts.answers.is_thinking() => nothing(ui, "Looking at every footswitch state …"),
            None => nothing(ui, "No signal gets to an amp, a DI box or an interface yet."),
        }
        self.more.ui(ui, facts.answers.findings().map_or(0, |shown| shown.answer.len()));
        let words = if self.show_limits { "Hide the limits" } else { "When this speaks up …" };
        if ui.add(small::button(words)).clicked() {
            self.show_limits = !self.show_limits;
        }
        if self.show_limits {
            self.limits.ui(ui, facts, LimitsOf::Tone, out);
        }
        ui.add_space(6.0);
    }

    fn finding(&self, ui: &mut Ui, facts: &Facts<'_>, finding: &Finding, old: bool, out: &mut Vec<Intent>) {
        let tokens = Tokens::of(ui);
        let words = RichText::new(&finding.text).color(tokens.ink);
        let sentence = ui.add(Label::new(words).wrap().sense(Sense::click()));
        let sentence = sentence.on_hover_text("Selects what it is about in the drawing");
        if sentence.clicked()
            && let Some(device) = finding.devices.first()
        {
            out.push(Intent::Select(Some(Selected::Device(*device))));
        }
        ui.add(Label::new(RichText::new(&finding.why).font(text::small()).color(tokens.quiet)).wrap());
        for fix in &finding.fixes {
            remedy::ui(ui, fix, old, out);
        }
        ui.horizontal_wrapped(|ui| {
            if let (Some(set), Some(subject)) = (&finding.among, finding.devices.first()) {
                let known = facts.variant.rig.device(*subject);
                let tip = "Sets all switches like that; then step on it and see";
                if ui.add(small::button("Set it so")).on_hover_text(tip).clicked() && known.is_some() {
                    out.push(Intent::Adopt { set: set.clone(), select: None });
                }
            }
        });
    }
}

/// What can destroy something is told on this screen too, and where to read on.
fn power(ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    let glance = &facts.answers.power;
    for (problem, words) in glance.dangers() {
        entry(ui, tokens.alarm, 1.0, |ui| {
            ui.label(
                RichText::new(problem.what.warning())
                    .font(text::small())
                    .family(crate::theme::semibold())
                    .color(tokens.alarm),
            );
            ui.add(Label::new(RichText::new(words).color(tokens.ink)).wrap());
            ui.add(Label::new(RichText::new(problem.why()).font(text::small()).color(tokens.quiet)).wrap());
        });
    }
    let rest = glance.rest();
    if glance.dangers().is_empty() && rest.is_none() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        if let Some(rest) = rest {
            let words = RichText::new(format!("Power: {rest}.")).font(text::small()).color(tokens.quiet);
            ui.label(words);
        }
        if ui.add(small::button("What mends it is on the Power screen")).clicked() {
            out.push(Intent::Command(Command::ShowPower));
        }
    });
    ui.add_space(4.0);
}

/// "3 to act on, 2 to know".
fn count(ui: &mut Ui, findings: &[Finding], old: bool) {
    let act = findings.iter().filter(|finding| finding.severity == Severity::Act).count();
    let know = findings.len() - act;
    let mut words = match (act, know) {
        (0, 0) => "Nothing to act on: every footswitch state is as it should be.".to_owned(),
        (0, know) => format!("Nothing to act on, {know} to know."),
        (act, 0) => format!("{act} to act on."),
        (act, know) => format!("{act} to act on, {know} to know."),
    };
    if old {
        words.push_str(" As before the last change.");
    }
    nothing(ui, &words);
}
