//! Units that can be set to another bypass.

use super::trial::{Idea, Trial, Weighed};
use crate::rig::{Device, Edit, device_name};
use crate::watch::{Stopped, Watch};

/// Tries every other setting of every unit that has a choice, one at a time.
pub fn search(trial: &mut Trial<'_>, watch: &dyn Watch) -> Result<Vec<Weighed>, Stopped> {
    let old = trial.question.variant.clone();
    let ideas: Vec<Idea> = old.rig.devices.iter().flat_map(|device| settings(trial, device)).collect();
    trial.weigh_each(&ideas, watch)
}

fn settings(trial: &mut Trial<'_>, device: &Device) -> Vec<Idea> {
    let Some(pedal) = device.kind.pedal().filter(|_| device.has_switch()) else { return Vec::new() };
    let old = trial.question.variant.clone();
    let others = pedal.selectable.iter().filter(|bypass| **bypass != pedal.bypass);
    let idea = |bypass| {
        let mut kind = device.kind.clone();
        kind.pedal_mut()?.bypass = bypass;
        let edit = Edit::SetKind { variant: old.id, device: device.id, kind: Box::new(kind) };
        let variant = trial.edited(&old, &edit)?;
        let words = format!("Set {} to {}", device_name(&old.rig, device.id), bypass.name());
        Some(Idea { words, edit, variant, steps: 1 })
    };
    others.copied().filter_map(idea).collect()
}
