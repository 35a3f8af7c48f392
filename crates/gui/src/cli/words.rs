//! How everything stands, for people; and text that can do nothing to a terminal.

use rigwright_core::rig::{Device, DeviceId, Feeding, Rig, SwitchRef, device_name, switch_name};
use rigwright_core::states::Jump;

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

/// The same, and of a switch of more than two positions from which to which: "Guitar, bridge to neck".
pub fn step(rig: &Rig, jump: &Jump) -> String {
    let name = switch(rig, jump.switch);
    let device = rig.device(jump.switch.device);
    let has_more = |device: &&Device| device.switch(jump.switch.key).is_some_and(|switch| switch.positions > 2);
    device.filter(has_more).map_or_else(
        || name.clone(),
        |device| {
            let [from, to] = [jump.from, jump.to].map(|at| device.position_name(jump.switch.key, at));
            format!("{name}, {from} to {to}")
        },
    )
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
