//! A multi-effects unit's patches: a name, a level and whether its loop is in.

use egui::{Id, Role, Ui, WidgetInfo};
use rigwright_core::rig::{Device, Edit, Kind, MultiEffects, Patch, free_name};
use rigwright_core::units::Decibels;

use super::{naming, numbered};
use crate::state::{Change, Gesture};
use crate::views::{Facts, Intent};
use crate::widgets::{panel, small};

/// Its patches, each with what tells it from the others.
pub fn patches(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let Kind::MultiEffects(unit) = &device.kind else { return };
    let called = device.preset_called(&facts.project.state);
    for (at, patch) in unit.patches.iter().enumerate() {
        ui.horizontal_wrapped(|ui| {
            let id = Id::unique(("name of a patch", device.id.0, at));
            let label = format!("Name of patch {} of {}", at + 1, device.name);
            let renamed = |name| change(facts, device, with(unit, at, |patch| patch.name = name), "rename a patch");
            naming::name(ui, (id, &label, &patch.name), 90.0, renamed, out);
            let mut level = patch.level.get();
            let drag = egui::DragValue::new(&mut level).speed(0.1).range(-40.0..=40.0).max_decimals(1).suffix(" dB");
            let hit = ui.add(drag).on_hover_text("The patch’s own level, beside the unit’s");
            hit.widget_info(|| {
                WidgetInfo::labeled(Role::SpinButton, true, format!("Level of the patch “{}”", patch.name))
            });
            if hit.changed() {
                let changed = with(unit, at, |patch| patch.level = Decibels::clamped(level));
                let change = change(facts, device, changed, "set the level of a patch");
                out.push(Intent::Change(change.in_gesture(Gesture(hit.id.value()))));
            }
            if unit.effects_loop.is_some() {
                let mut is_in = patch.loop_in;
                let hit = ui.toggle_value(&mut is_in, "loop in");
                let words = format!("Loop in the patch “{}”", patch.name);
                hit.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, is_in, &words));
                if hit.clicked() {
                    let changed = with(unit, at, |patch| patch.loop_in = is_in);
                    out.push(Intent::Change(change(facts, device, changed, "change a patch")));
                }
            }
            if at == called && unit.patches.len() > 1 {
                panel::quiet(ui, "called");
            }
        });
    }
    ui.horizontal(|ui| {
        let room = unit.patches.len() < MultiEffects::MOST_PATCHES;
        if ui.add_enabled(room, small::button("One more patch")).clicked() {
            let mut changed = unit.clone();
            let name = free_name("patch", |name| unit.patches.iter().any(|there| there.name == name));
            // A unit without patches has its loop in, unless a switch takes it out.
            let always_in = unit.effects_loop.is_some_and(|way| !way.has_switch);
            let (level, loop_in) =
                unit.patches.get(called).map_or((Decibels::of(0.0), always_in), |patch| (patch.level, patch.loop_in));
            changed.patches.push(Patch { name, level, loop_in });
            out.push(Intent::Change(change(facts, device, changed, "add a patch")));
        }
        // Sounds count patches from the first on: only the last can go without moving others.
        if ui.add_enabled(!unit.patches.is_empty(), small::button("Take out the last")).clicked() {
            let mut changed = unit.clone();
            changed.patches.pop();
            out.push(Intent::Change(change(facts, device, changed, "take out the last patch")));
        }
    });
    numbered::sounds(ui, facts, device, out);
}

fn with(unit: &MultiEffects, at: usize, change: impl FnOnce(&mut Patch)) -> MultiEffects {
    let mut changed = unit.clone();
    if let Some(patch) = changed.patches.get_mut(at) {
        change(patch);
    }
    changed
}

fn change(facts: &Facts<'_>, device: &Device, unit: MultiEffects, step: &str) -> Change {
    let kind = Kind::MultiEffects(unit);
    let edit = Edit::SetDevice { variant: facts.variant.id, device: Box::new(Device { kind, ..device.clone() }) };
    Change::new(format!("{step} of {}", device.name), edit)
}
