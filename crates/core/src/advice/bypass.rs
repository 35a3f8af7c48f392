//! Units that can be set to another bypass.

use super::trial::{Idea, Trial, Weighed};
use super::{go_on, words};
use crate::rig::{Device, Edit};
use crate::watch::{Part, Stopped, Watch};

/// Tries every other setting of every unit that has a choice, one at a time.
pub fn search(trial: &mut Trial<'_>, watch: &dyn Watch) -> Result<Vec<Weighed>, Stopped> {
    let mut found = Vec::new();
    let old = trial.question.variant.clone();
    let ideas: Vec<Idea> = old.rig.devices.iter().flat_map(|device| settings(trial, device)).collect();
    for (at, idea) in ideas.iter().enumerate() {
        let part = |at: usize| at as f64 / ideas.len() as f64;
        let watch = Part { whole: watch, from: part(at), to: part(at + 1) };
        go_on(&watch, 0.0)?;
        found.extend(trial.weigh_if_promising(idea.clone(), &watch)?);
    }
    Ok(found)
}

fn settings(trial: &mut Trial<'_>, device: &Device) -> Vec<Idea> {
    let Some(pedal) = device.kind.pedal().filter(|_| device.has_switch()) else { return Vec::new() };
    let old = trial.question.variant.clone();
    let others = pedal.selectable.iter().filter(|bypass| **bypass != pedal.bypass);
    let idea = |bypass| {
        let mut changed = device.clone();
        changed.kind.pedal_mut()?.bypass = bypass;
        let edit = Edit::SetDevice { variant: old.id, device: Box::new(changed) };
        let variant = trial.edited(&old, &edit)?;
        let words = format!("Set {} to {}", words::name(&old.rig, device.id), bypass.name());
        Some(Idea { words, edit, variant, steps: 1 })
    };
    others.copied().filter_map(idea).collect()
}
