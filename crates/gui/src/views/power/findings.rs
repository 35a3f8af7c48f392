//! What there is to say of a rig's power: first what can't be as it is drawn, then
//! the list, the loudest first.

use egui::Ui;
use rigwright_core::diagnosis::{Diagnosis, count_words};
use rigwright_core::rig::Device;

use super::canvas::Scene;
use crate::views::{AS_BEFORE, DIED, Facts, Intent, diagnoses};
use crate::widgets::more::{More, STRETCH};
use crate::widgets::panel;
use crate::widgets::working::{WorkRequest, Working};

/// The list's own state.
#[derive(Debug, Default)]
pub struct Findings {
    more: More,
    working: Working,
}

/// Everything there is to say of the rig.
pub fn all(ui: &mut Ui, list: &mut Findings, facts: &Facts<'_>, scene: &Scene<'_>, out: &mut Vec<Intent>) {
    panel::heading(ui, "Findings");
    let drawn = facts.answers.drawn();
    let wrong = drawn.iter().flat_map(|shown| shown.answer.power.iter().map(|told| (told, shown.old)));
    diagnoses::list(ui, facts, wrong.clone().take(STRETCH), out);
    out.extend(match list.working.ui(ui, facts.power.progress, facts.power.called_off) {
        Some(WorkRequest::Stop) => Some(Intent::CallOff),
        Some(WorkRequest::GoOn) => Some(Intent::WantAgain),
        None => None,
    });
    if scene.died {
        panel::quiet(ui, DIED);
    }
    let Some(answer) = scene.answer else {
        if scene.died || facts.power.called_off {
            return;
        }
        return panel::quiet(ui, "Adding up loads and voltages …");
    };
    let told: Vec<&Diagnosis> = answer.listed().collect();
    let counted = wrong.map(|(told, _)| told).chain(told.iter().copied());
    let words = count_words(counted, "Nothing to act on: every unit gets what it wants");
    panel::quiet(ui, if scene.old { format!("{words} {AS_BEFORE}") } else { words });
    let shown = told.iter().take(list.more.shown()).map(|told| (*told, scene.old));
    diagnoses::list(ui, facts, shown, out);
    list.more.ui(ui, told.len());
    if let Some(words) = answer.told.left_out_words() {
        panel::quiet(ui, words);
    }
}

/// What there is to say of one device, before everything else about it.
pub fn of_device(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let Some(shown) = &facts.power.answer else { return };
    diagnoses::list(ui, facts, shown.answer.about(device.id).map(|told| (told, shown.old)), out);
}
