//! How everything stands, in words.

use rigwright_core::rig::{Control, Device, NO_SWITCH, State, Variant};
use rigwright_core::units::Turn;
use rigwright_core::words::capital;

/// "Everything off, 14 switches", "On: Tuner, Wah; stays on: Reverb; Guitar volume at 60 %".
#[must_use]
pub fn state_words(state: &State, variant: &Variant) -> String {
    let devices = &variant.rig.devices;
    let names = |fits: &dyn Fn(&&Device) -> bool| -> Vec<&str> {
        devices.iter().filter(|device| fits(device)).map(|device| device.name.as_str()).collect()
    };
    let switches = devices.iter().filter(|device| device.has_switch()).count();
    let on = names(&|device| device.has_switch() && device.is_on(state));
    let staying = names(&|device| device.stays_on && device.is_on(state));
    let mut words = match (on.len(), switches) {
        (_, 0) if devices.iter().any(|device| device.all_switches().next().is_some()) => capital(NO_SWITCH),
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
    for moved in devices.iter().flat_map(|device| device.others_moved(state)) {
        words.push_str(&format!("; {moved}"));
    }
    for (knob, turn) in state.turned.iter().filter(|(_, turn)| **turn != Turn::FULL) {
        if let Some(device) = variant.rig.device(knob.device) {
            // A treadle has but one control, and most names say what it is.
            let control = match knob.control {
                Control::Treadle => String::new(),
                control => format!(" {}", control.name()),
            };
            words.push_str(&format!("; {}{control} at {:.0} %", device.name, turn.get() * 100.0));
        }
    }
    words
}
