//! What is chosen of a unit's path and of its second channel: polarity, latency, left and right.

use egui::{CollapsingHeader, Ui};
use rigwright_core::parts::usual::{LATENCY, PAN};
use rigwright_core::rig::{Alone, Kind, NO_LATENCY, Polarity, Stage, Stereo};
use rigwright_core::units::Seconds;

use super::choices::{choose, have};
use crate::widgets::panel;

/// Its path's polarity and latency, and its second channel, where it has or may have them: folded
/// away where there is nothing to say of them.
pub fn choices(ui: &mut Ui, kind: &mut Kind) {
    let usual = |stage: &Stage| stage.polarity == Polarity::Same && stage.latency == NO_LATENCY;
    let is_said = kind.stereo().is_some() || kind.stage().is_some_and(|stage| !usual(stage));
    if kind.stage().is_none() && kind.stereo_mut().is_none() {
        return;
    }
    let title = if kind.stereo_mut().is_some() { "Polarity, delay, left and right" } else { "Polarity and delay" };
    CollapsingHeader::new(title).default_open(is_said).show(ui, |ui| unfolded(ui, kind));
}

fn unfolded(ui: &mut Ui, kind: &mut Kind) {
    let while_on = if kind.pedal().is_some() { "polarity while on" } else { "polarity" };
    if let Some(stage) = kind.stage_mut() {
        polarity(ui, while_on, &mut stage.polarity, &Polarity::OF_A_UNIT);
        latency(ui, "digital: what it plays comes later", &mut stage.latency);
    }
    let Some(second) = kind.stereo_mut() else { return };
    have(ui, "left and right out", second, Stereo::ALIKE);
    let Some(stereo) = second else { return };
    ui.checkbox(&mut stereo.second_in, "left and right in");
    polarity(ui, "the right side to the left", &mut stereo.right, &Polarity::OF_A_SIDE);
    latency(ui, "the right side comes later", &mut stereo.right_latency);
    panel::quiet(ui, stereo.in_one_words());
    have(ui, "its sound can be panned", &mut stereo.pan, PAN);
    let alone = Alone::ALL.map(|alone| (alone, alone.name()));
    choose(ui, "with no plug in the right output the left gives", &mut stereo.alone, &alone);
}

/// What a path does to the sign of a signal.
pub fn polarity(ui: &mut Ui, label: &str, value: &mut Polarity, all: &[Polarity]) {
    let options: Vec<(Polarity, &str)> = all.iter().map(|polarity| (*polarity, polarity.name())).collect();
    choose(ui, label, value, &options);
}

/// Ticked, it has the usual one, which is among the numbers.
fn latency(ui: &mut Ui, label: &str, value: &mut Seconds) {
    let mut some = Some(*value).filter(|seconds| *seconds != NO_LATENCY);
    have(ui, label, &mut some, LATENCY);
    *value = some.unwrap_or(NO_LATENCY);
}
