//! How everything stands, for people; and text that can do nothing to a terminal.

use rigwright_core::rig::{Control, DeviceId, Feeding, Rig, State, SwitchRef, device_name, switch_name};
use rigwright_core::units::{Turn, trimmed};

/// The text as one line that can do nothing to a terminal: names may hold anything.
pub fn one_line(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\n' | '\r' | '\t' => ' ',
            c if c.is_control() => char::REPLACEMENT_CHARACTER,
            c => c,
        })
        .collect()
}

/// A name longer than this, in characters, is shortened where it is only named.
const LONGEST_NAMED: usize = 100;

/// A name as a sentence has it: of a very long one its beginning and its end.
pub fn brief(name: &str) -> String {
    let count = name.chars().count();
    if count <= LONGEST_NAMED {
        return name.to_owned();
    }
    let end = LONGEST_NAMED / 3;
    let begin: String = name.chars().take(LONGEST_NAMED - end - 1).collect();
    let end: String = name.chars().skip(count - end).collect();
    format!("{begin}…{end}")
}

/// A sentence with what it quotes shortened: what was typed or stands in a file may be of any length.
pub fn brief_quotes(sentence: &str) -> String {
    let mut told = String::new();
    let mut rest = sentence;
    while let Some((before, quoted)) = rest.split_once('“') {
        let (name, after) = quoted.split_once('”').unwrap_or((quoted, ""));
        told.push_str(before);
        told.push('“');
        told.push_str(&brief(name));
        if name.len() < quoted.len() {
            told.push('”');
        }
        rest = after;
    }
    told + rest
}

/// Names in a row for a sentence, and how many more there are: a file may hold thousands.
pub fn some_of<'a>(names: impl Iterator<Item = &'a str>) -> String {
    const SHOWN: usize = 12;
    let names: Vec<&str> = names.collect();
    let shown: Vec<String> = names.iter().take(SHOWN).map(|name| format!("“{}”", brief(name))).collect();
    match names.len().saturating_sub(SHOWN) {
        0 => shown.join(", "),
        more => format!("{} and {more} more", shown.join(", ")),
    }
}

/// A switch: its device, where that has one switch; else "Switcher/loop 2".
pub fn switch(rig: &Rig, switch: SwitchRef) -> String {
    match rig.device(switch.device) {
        Some(found) if found.all_switches().count() > 1 => switch_name(rig, switch),
        _ => device_name(rig, switch.device),
    }
}

/// Names of the units that are on, and how many have a switch.
pub fn on(rig: &Rig, state: &State) -> (Vec<String>, usize) {
    let switched: Vec<_> = rig.devices.iter().filter(|device| device.has_switch()).collect();
    let on = switched.iter().filter(|device| device.is_on(state));
    (on.map(|device| device.name.clone()).collect(), switched.len())
}

/// Names of the units that no foot turns off.
pub fn stays_on(rig: &Rig, state: &State) -> Vec<String> {
    let staying = rig.devices.iter().filter(|device| device.stays_on && device.is_on(state));
    staying.map(|device| device.name.clone()).collect()
}

/// "Amp left: lead", for each other switch that isn't at its default.
pub fn others_moved(rig: &Rig, state: &State) -> Vec<String> {
    rig.devices.iter().flat_map(|device| device.others_moved(state)).collect()
}

/// "volume of Guitar at 7 of 10", for each control that isn't full up.
pub fn turned(rig: &Rig, state: &State) -> Vec<String> {
    let mut found = Vec::new();
    for device in &rig.devices {
        for control in device.kind.controls() {
            let turn = state.turn(device.id, control);
            if turn == Turn::FULL {
                continue;
            }
            let name = &device.name;
            found.push(match control {
                Control::Volume | Control::Tone => {
                    format!("{} of {name} at {} of 10", control.name(), trimmed(turn.get() * 10.0, 3))
                }
                Control::Treadle => match turn {
                    Turn::CLOSED => format!("{name} heel down"),
                    turn => format!("{name} {} % of the way to toe down", trimmed(turn.get() * 100.0, 3)),
                },
            });
        }
    }
    found
}

/// "Chorus, Delay; taken as if they were fed", if anybody isn't.
pub fn unfed(rig: &Rig, unfed: &[DeviceId], feeding: Feeding) -> Option<String> {
    if unfed.is_empty() {
        return None;
    }
    let names: Vec<String> = unfed.iter().map(|id| device_name(rig, *id)).collect();
    let taken = match (feeding, unfed.len()) {
        (Feeding::AllFed, 1) => "taken as if it were fed",
        (Feeding::AllFed, _) => "taken as if they were fed",
        (Feeding::AsDrawn, _) => "taken as drawn, without power",
    };
    Some(format!("{}; {taken}", names.join(", ")))
}
