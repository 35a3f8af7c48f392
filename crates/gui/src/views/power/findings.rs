//! What is wrong with a rig's power or worth a word: a sentence with its
//! number, why, and a button that mends it. The loudest first.

use egui::{Label, RichText, Sense, Ui};
use rigwright_core::diagnosis::Severity;
use rigwright_core::power::{Mend, when_unfed};
use rigwright_core::rig::{Device, DeviceId, Edit};
use rigwright_core::words::list;

use super::canvas::Scene;
use super::drawn_wrong;
use super::panel::link;
use super::words;
use crate::state::{Change, PowerAnswer, Selected, Told, left_out};
use crate::theme::{Tokens, text};
use crate::views::{DIED, Facts, Intent, remedy};
use crate::widgets::entry::entry;
use crate::widgets::more::More;
use crate::widgets::working::{Wanted, Working};
use crate::widgets::{panel, small};

/// The list's own state.
#[derive(Debug, Default)]
pub struct Findings {
    more: More,
    working: Working,
}

/// Where nobody looked for an outlet.
const UNLOOKED: &str = "Which outlet fits it wasn't looked for: in so large a rig it would take too long.";

/// Everything there is to say of the rig.
pub fn all(ui: &mut Ui, list: &mut Findings, facts: &Facts<'_>, scene: &Scene<'_>, out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    panel::heading(ui, "Findings");
    drawn_wrong::ui(ui, scene, facts.answers.problems(), out);
    out.extend(match list.working.ui(ui, facts.power.progress, facts.power.called_off) {
        Some(Wanted::Stop) => Some(Intent::CallOff),
        Some(Wanted::GoOn) => Some(Intent::WantAgain),
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
    panel::quiet(ui, count(scene, answer));
    let strength = if scene.old { 0.55 } else { 1.0 };
    let (loud, quiet): (Vec<&Told>, Vec<&Told>) =
        answer.told.iter().partition(|told| told.problem.severity != Severity::Know);
    let mut left = list.more.shown();
    for one in loud.into_iter().take(left) {
        told(ui, scene, one, strength, out);
        left -= 1;
    }
    for (device, mends) in answer.unfed.iter().take(left) {
        entry(ui, tokens.copper, strength, |ui| {
            unfed(ui, scene, *device, mends, out);
        });
        left -= 1;
    }
    for one in quiet.into_iter().take(left) {
        told(ui, scene, one, strength, out);
    }
    list.more.ui(ui, answer.told.len() + answer.unfed.len());
    if let Some(words) = left_out::mends(answer.without_mends) {
        panel::quiet(ui, words);
    }
    unknown(ui, scene, answer, out);
}

/// What there is to say of one device, before everything else about it.
pub fn of_device(ui: &mut Ui, scene: &Scene<'_>, device: &Device, out: &mut Vec<Intent>) {
    let Some(answer) = scene.answer else { return };
    let tokens = Tokens::of(ui);
    let strength = if scene.old { 0.55 } else { 1.0 };
    for one in answer.about(device.id) {
        told(ui, scene, one, strength, out);
    }
    if let Some((_, mends)) = answer.unfed.iter().find(|(id, _)| *id == device.id) {
        entry(ui, tokens.copper, strength, |ui| unfed(ui, scene, device.id, mends, out));
    }
}

fn told(ui: &mut Ui, scene: &Scene<'_>, told: &Told, strength: f32, out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    let ink = match told.problem.severity {
        Severity::Danger => tokens.alarm,
        Severity::Act => tokens.copper,
        Severity::Know => tokens.teal,
    };
    entry(ui, ink, strength, |ui| {
        if told.problem.severity == Severity::Danger {
            let words = RichText::new(told.problem.what.warning()).font(text::small()).color(tokens.alarm);
            ui.label(words.family(crate::theme::semibold()));
        }
        let words = RichText::new(&told.words).color(tokens.ink);
        let sentence = ui.add(Label::new(words).wrap().sense(Sense::click()));
        let device = told.problem.what.devices().first().copied();
        if sentence.on_hover_text("Selects what it is about").clicked()
            && let Some(device) = device
        {
            out.push(Intent::Select(Some(Selected::Device(device))));
        }
        panel::quiet(ui, told.problem.why());
        mends(ui, scene, &told.mends, out);
    });
}

/// Buttons that mend, and the way to the cautions.
fn mends(ui: &mut Ui, scene: &Scene<'_>, mends: &[Mend], out: &mut Vec<Intent>) {
    ui.horizontal_wrapped(|ui| {
        for mend in mends {
            remedy::ui(ui, &mend.remedy(scene.variant), scene.old, out);
        }
        link(ui, "Cautions", out);
    });
}

fn unfed(ui: &mut Ui, scene: &Scene<'_>, device: DeviceId, found: &[Mend], out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    let name = words::name(scene.rig, device);
    let wants = scene.rig.device(device).and_then(|device| device.power.need()).map_or_else(String::new, words::wants);
    let words = RichText::new(format!("{name} wants {wants} and is not fed.")).color(tokens.ink);
    if ui.add(Label::new(words).wrap().sense(Sense::click())).clicked() {
        out.push(Intent::Select(Some(Selected::Device(device))));
    }
    if let Some(then) = scene.rig.device(device).and_then(|device| when_unfed(&device.kind)) {
        panel::quiet(ui, format!("What the signal meets: {then}."));
    }
    if found.is_empty() {
        let unlooked = scene.answer.is_some_and(|answer| answer.unlooked.contains(&device));
        panel::quiet(ui, if unlooked { UNLOOKED } else { "No outlet here fits it as things stand." });
    }
    mends(ui, scene, found, out);
}

fn unknown(ui: &mut Ui, scene: &Scene<'_>, answer: &PowerAnswer, out: &mut Vec<Intent>) {
    if answer.check.unknown.is_empty() {
        return;
    }
    let tokens = Tokens::of(ui);
    let names: Vec<String> = answer.check.unknown.iter().map(|id| words::name(scene.rig, *id)).collect();
    entry(ui, tokens.border, 1.0, |ui| {
        let words = format!("Nobody has said what {} takes.", list(&names));
        ui.add(Label::new(RichText::new(words).color(tokens.ink)).wrap());
        let known: Vec<Edit> = answer
            .check
            .unknown
            .iter()
            .filter_map(|id| {
                let device = scene.rig.device(*id)?;
                let part = rigwright_core::parts::catalogue().part(&device.part)?;
                let power = Box::new(part.power.clone());
                let edit = rigwright_core::rig::PowerEdit::SetPower { device: *id, power };
                Some(Edit::Power { variant: scene.variant, edit })
            })
            .collect();
        if known.is_empty() {
            panel::quiet(ui, "Press “Say it…” under each.");
        } else if ui.add(small::button("Take what the catalogue says")).clicked() {
            out.push(Intent::Change(Change::new("take power from the catalogue", Edit::Batch(known))));
        }
    });
}

/// "1 can destroy something, 2 to act on, 3 to know."
fn count(scene: &Scene<'_>, answer: &PowerAnswer) -> String {
    let of = |severity| answer.told.iter().filter(|told| told.problem.severity == severity).count();
    let parts = [
        (of(Severity::Danger), "can destroy something"),
        (of(Severity::Act), "to act on"),
        (answer.unfed.len(), "not fed"),
        (of(Severity::Know), "to know"),
    ];
    let mut said: Vec<String> =
        parts.iter().filter(|(count, _)| *count > 0).map(|(count, words)| format!("{count} {words}")).collect();
    if said.is_empty() {
        said.push("Nothing to act on: every unit gets what it wants".to_owned());
    }
    let old = if scene.old { " As before the last change." } else { "" };
    format!("{}.{old}", said.join(", "))
}
