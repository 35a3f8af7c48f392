//! How everything stands, in words: in one line, and part by part.

use super::{Control, Device, NO_SWITCH, Position, Rig, State, SwitchKey, Variant};
use crate::units::{Turn, trimmed};
use crate::words::capital;

/// "Everything off, 14 switches", "On: Tuner, Wah; stays on: Reverb; Guitar volume at 60 %".
#[must_use]
pub fn state_words(state: &State, variant: &Variant) -> String {
    let rig = &variant.rig;
    let ((on, switches), staying) = (on(rig, state), stays_on(rig, state));
    let mut words = match (on.len(), switches) {
        // A patch is told by its name.
        (_, 0) if rig.devices.iter().any(|device| device.kind.switch_keys().contains(&SwitchKey::Patch)) => {
            String::new()
        }
        (_, 0) if rig.devices.iter().any(|device| device.all_switches().next().is_some()) => capital(NO_SWITCH),
        (_, 0) => "No switches".to_owned(),
        (0, 1) => "Its one switch is off".to_owned(),
        (0, count) if staying.is_empty() => format!("Everything off, {count} switches"),
        (0, count) => format!("All {count} switches off"),
        (1..=4, _) => format!("On: {}", on.join(", ")),
        (count, all) => format!("{count} of {all} switches on"),
    };
    match staying.len() {
        0 => {}
        1..=3 => words.push_str(&format!("; stays on: {}", staying.join(", "))),
        count => words.push_str(&format!("; {count} units stay on")),
    }
    match loops_out(rig, state) {
        0 => {}
        1 => words.push_str("; one loop out"),
        count => words.push_str(&format!("; {count} loops out")),
    }
    for moved in others_moved(rig, state) {
        let before = if words.is_empty() { "" } else { "; " };
        words.push_str(&format!("{before}{moved}"));
    }
    for (knob, turn) in state.turned.iter().filter(|(knob, turn)| **turn != knob.control.at_rest()) {
        if let Some(device) = rig.device(knob.device) {
            // A treadle has but one control, and most names say what it is.
            let control = match knob.control {
                Control::Treadle => String::new(),
                control => format!(" {}", device.kind.control_name(control)),
            };
            words.push_str(&format!("; {}{control} at {:.0} %", device.name, turn.get() * 100.0));
        }
    }
    words
}

/// Names of the units that are on, and how many have a switch.
#[must_use]
pub fn on(rig: &Rig, state: &State) -> (Vec<String>, usize) {
    let switched: Vec<_> = rig.devices.iter().filter(|device| device.has_switch()).collect();
    let on = switched.iter().filter(|device| device.is_on(state));
    (on.map(|device| device.name.clone()).collect(), switched.len())
}

/// How many loops are out that a foot can put in.
fn loops_out(rig: &Rig, state: &State) -> usize {
    let switches = rig.devices.iter().flat_map(Device::all_switches);
    let loops = switches.filter(|switch| matches!(switch.id.key, SwitchKey::Loop(_)) && switch.varies());
    loops.filter(|switch| state.position(switch) == Position::OFF).count()
}

/// Names of the units that no foot turns off.
#[must_use]
pub fn stays_on(rig: &Rig, state: &State) -> Vec<String> {
    let staying = rig.devices.iter().filter(|device| device.stays_on && device.is_on(state));
    staying.map(|device| device.name.clone()).collect()
}

/// "Amp left: lead", for each other switch that isn't at its default.
#[must_use]
pub fn others_moved(rig: &Rig, state: &State) -> Vec<String> {
    rig.devices.iter().flat_map(|device| device.others_moved(state)).collect()
}

/// "volume of Guitar at 7 of 10", for each control that isn't at rest.
#[must_use]
pub fn turned(rig: &Rig, state: &State) -> Vec<String> {
    let mut found = Vec::new();
    for device in &rig.devices {
        for control in device.kind.controls() {
            let turn = state.turn(device.id, control);
            if turn == control.at_rest() {
                continue;
            }
            let name = &device.name;
            found.push(match (control, turn) {
                (Control::Treadle, Turn::CLOSED) => format!("{name} heel down"),
                (Control::Treadle, turn) => {
                    format!("{name} {} % of the way to toe down", trimmed(turn.get() * 100.0, 3))
                }
                (control, turn) => {
                    let of_ten = trimmed(turn.get() * 10.0, 3);
                    format!("{} of {name} at {of_ten} of 10", device.kind.control_name(control))
                }
            });
        }
    }
    found
}
