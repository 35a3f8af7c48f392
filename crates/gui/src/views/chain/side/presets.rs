//! A loop switcher's presets: which loops are in together, under a name each.

use egui::{Id, Role, Ui, WidgetInfo};
use rigwright_core::rig::{Device, Edit, Jack, JackRef, Kind, Preset, Switcher, free_name};

use super::choices::choose;
use super::{naming, numbered};
use crate::state::{Change, Selected};
use crate::state::{loops, plugging};
use crate::views::{Facts, Intent};
use crate::widgets::{panel, small};

/// How it is worked, and its presets.
pub fn presets(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let Kind::Switcher(switcher) = &device.kind else { return };
    // One that is to be worked by presets and has none is worked loop by loop.
    let now = switcher.is_worked_by_presets();
    let mut by_presets = now;
    choose(ui, "a step on it", &mut by_presets, &[(false, "puts one loop in or out"), (true, "calls a preset")]);
    if by_presets != now {
        let mut changed = Switcher { by_presets, ..switcher.clone() };
        if by_presets && changed.presets.is_empty() {
            // What is in now is the first.
            let state = &facts.project.state;
            let loops = switcher.all_loops().filter(|number| device.is_loop_in(*number, state)).collect();
            changed.presets.push(Preset { name: "preset".to_owned(), loops });
        }
        out.push(Intent::Change(change(facts, device, changed, "change how a step works")));
    }
    if !now {
        return;
    }
    let called = device.preset_called(&facts.project.state);
    for (at, preset) in switcher.presets.iter().enumerate() {
        ui.horizontal_wrapped(|ui| {
            let id = Id::unique(("name of a preset", device.id.0, at));
            let label = format!("Name of preset {} of {}", at + 1, device.name);
            let renamed = |name| {
                let mut changed = switcher.clone();
                changed.presets[at].name = name;
                change(facts, device, changed, "rename a preset")
            };
            naming::name(ui, (id, &label, &preset.name), 90.0, renamed, out);
            for number in switcher.all_loops() {
                let mut is_in = preset.loops.contains(&number);
                let hit = ui.toggle_value(&mut is_in, number.to_string());
                let words = format!("Loop {number} in the preset “{}”", preset.name);
                hit.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, is_in, &words));
                if hit.clicked() {
                    let mut changed = switcher.clone();
                    match is_in {
                        true => changed.presets[at].loops.insert(number),
                        false => changed.presets[at].loops.remove(&number),
                    };
                    out.push(Intent::Change(change(facts, device, changed, "change a preset")));
                }
            }
            if at == called {
                panel::quiet(ui, "called");
            }
        });
    }
    ui.horizontal(|ui| {
        let room = switcher.presets.len() < Preset::MOST;
        if ui.add_enabled(room, small::button("One more preset")).clicked() {
            let mut changed = switcher.clone();
            let name = free_name("preset", |name| switcher.presets.iter().any(|there| there.name == name));
            changed.presets.push(Preset { name, loops: switcher.presets[called].loops.clone() });
            out.push(Intent::Change(change(facts, device, changed, "add a preset")));
        }
        // Sounds count presets from the first on: only the last can go without moving others.
        let more = switcher.presets.len() > 1;
        if ui.add_enabled(more, small::button("Take out the last")).clicked() {
            let mut changed = switcher.clone();
            changed.presets.pop();
            out.push(Intent::Change(change(facts, device, changed, "take out the last preset")));
        }
    });
    numbered::sounds(ui, facts, device, out);
}

/// What is in each loop, and a way to another place among them.
pub fn order(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let Kind::Switcher(switcher) = &device.kind else { return };
    for number in switcher.all_loops() {
        let units = loops::units(&facts.variant.rig, device.id, number);
        let names: Vec<&str> = units.iter().map(|unit| unit.name.as_str()).collect();
        if names.is_empty() {
            continue;
        }
        ui.horizontal_wrapped(|ui| {
            ui.label(format!("Loop {number}: {}", names.join(", ")));
            let places =
                [("earlier", number.checked_sub(1).filter(|other| *other > 0)), ("later", number.checked_add(1))];
            for (words, other) in places {
                let Some(other) = other.filter(|other| *other <= switcher.loops) else { continue };
                let button = ui.add(small::button(words));
                button.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Loop {number} {words}")));
                let hover = format!("Trades places with loop {other}; switches, presets and sounds go along.");
                if button.on_hover_text(hover).clicked() {
                    let change = loops::trade(facts.project, facts.variant, device, number, other);
                    out.extend(change.map(Intent::Change));
                }
            }
        });
    }
}

/// A patch lead for each loop that has none: what units can be put on.
pub fn empty_loops(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let rig = &facts.variant.rig;
    for number in 1..=device.kind.loops() {
        let (from, to) = (JackRef::new(device.id, Jack::Send(number)), JackRef::new(device.id, Jack::Return(number)));
        if !rig.is_free(from) || !rig.is_free(to) {
            continue;
        }
        let loop_words = match device.kind {
            Kind::Switcher(_) => format!("loop {number}"),
            _ => "its loop".to_owned(),
        };
        let button = small::button(format!("Put a patch lead in {loop_words}"));
        if ui.add(button).on_hover_text("A part can be put on it, as on any lead.").clicked() {
            let change = plugging::join(facts.variant, from, to);
            // The next loop is a click away.
            out.extend(change.map(|change| Intent::Change(change.selecting(Selected::Device(device.id)))));
        }
    }
}

fn change(facts: &Facts<'_>, device: &Device, switcher: Switcher, step: &str) -> Change {
    let kind = Kind::Switcher(switcher);
    let edit = Edit::SetDevice { variant: facts.variant.id, device: Box::new(Device { kind, ..device.clone() }) };
    Change::new(format!("{step} of {}", device.name), edit)
}
