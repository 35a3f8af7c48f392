//! What things are called, and names that nothing has yet.

use super::{
    Device, DeviceId, Jack, JackRef, LeadId, Position, Rig, SwitchKey, SwitchRef, SwitchSetting, TestPoint,
    fitting_name,
};
use crate::units::{Turn, trimmed};
use crate::words::list;

/// What a device is called, also where the player gave it no name.
#[must_use]
pub fn name_of(device: &Device) -> String {
    match device.name.trim() {
        "" => format!("Unnamed {}", device.kind.noun()),
        name => name.to_owned(),
    }
}

/// What a device of a rig is called; its number, where it isn't there.
#[must_use]
pub fn device_name(rig: &Rig, id: DeviceId) -> String {
    rig.device(id).map_or_else(|| unnamed(id), name_of)
}

/// "Amp left, in"
#[must_use]
pub fn jack_name(rig: &Rig, at: JackRef) -> String {
    let jack = rig.device(at.device).map_or_else(|| at.jack.to_string(), |device| device.kind.jack_name(at.jack));
    format!("{}, {jack}", device_name(rig, at.device))
}

/// "Amp left", and the jack only where it isn't the plain one.
#[must_use]
pub fn place_name(rig: &Rig, at: JackRef) -> String {
    match at.jack {
        Jack::In | Jack::Out => device_name(rig, at.device),
        _ => jack_name(rig, at),
    }
}

/// "on the lead from Guitar to Tuner, half-way"
#[must_use]
pub fn test_point_name(rig: &Rig, point: TestPoint) -> String {
    let LeadId(number) = point.lead;
    let Some(lead) = rig.lead(point.lead) else {
        return format!("on lead {number}");
    };
    let (from, to) = (place_name(rig, lead.from), place_name(rig, lead.to));
    let along = match point.along {
        Turn::CLOSED => format!("at {from}"),
        Turn::FULL => format!("at {to}"),
        turn if turn.get() == 0.5 => "half-way".to_owned(),
        turn => format!("{} % of the way", trimmed(turn.get() * 100.0, 3)),
    };
    format!("on the lead from {from} to {to}, {along}")
}

/// "Guitar", "Amp left and Amp right", "nowhere".
#[must_use]
pub fn place_names(rig: &Rig, ends: &[JackRef]) -> String {
    let names: Vec<String> = ends.iter().map(|&end| place_name(rig, end)).collect();
    if names.is_empty() { "nowhere".to_owned() } else { list(&names) }
}

/// What a switch of a rig is called: its device, where that has one switch; else
/// the device and the switch's key. Of several devices of one name each has its
/// number behind the name.
#[must_use]
pub fn switch_name(rig: &Rig, switch: SwitchRef) -> String {
    let mut name = device_name(rig, switch.device);
    if rig.devices.iter().any(|other| other.id != switch.device && name_of(other) == name) {
        name = format!("{name} #{}", switch.device.0);
    }
    let several = rig.device(switch.device).is_none_or(|device| device.all_switches().count() > 1);
    if several { format!("{name}/{}", switch.key) } else { name }
}

/// What a switch is called in a sentence, its device having this name: "Fuzz",
/// "loop 2 of Switcher".
#[must_use]
pub fn switch_words(switch: SwitchRef, name: &str) -> String {
    match switch.key {
        SwitchKey::Bypass | SwitchKey::Mute => name.to_owned(),
        key => format!("{key} of {name}"),
    }
}

/// What somebody does who sets a switch: "switching Fuzz on", "putting loop 2 of
/// Switcher in", "setting the channel of Amp to lead".
#[must_use]
pub fn step_words(rig: &Rig, setting: SwitchSetting, name: &str) -> String {
    let words = switch_words(setting.switch, name);
    match (setting.switch.key, setting.to) {
        (SwitchKey::Bypass | SwitchKey::Mute, Position::OFF) => format!("switching {words} off"),
        (SwitchKey::Bypass | SwitchKey::Mute, _) => format!("switching {words} on"),
        (SwitchKey::Loop(_), Position::OFF) => format!("taking {words} out"),
        (SwitchKey::Loop(_), _) => format!("putting {words} in"),
        (SwitchKey::PushPull(_), Position::OFF) => format!("pushing {words}"),
        (SwitchKey::PushPull(_), _) => format!("pulling {words}"),
        (
            key
            @ (SwitchKey::Channel | SwitchKey::Preset | SwitchKey::Patch | SwitchKey::Selector | SwitchKey::Pickups),
            to,
        ) => {
            let device = rig.device(setting.switch.device);
            let to = device.map_or_else(|| (to.0 + 1).to_string(), |device| device.position_name(key, to));
            format!("setting the {words} to {to}")
        }
    }
}

/// Switches that have been moved: "Wah and Fuzz on", "Wah on and Delay off",
/// "loop 2 of Switcher in", as `join` puts names together. None if none has.
pub fn moved_words(
    settings: &[SwitchSetting],
    name: impl Fn(DeviceId) -> String,
    join: impl Fn(&[String]) -> String,
) -> Option<String> {
    let words = |setting: &SwitchSetting| -> &str {
        match (setting.switch.key, setting.to) {
            (SwitchKey::Bypass | SwitchKey::Mute, Position::OFF) => "off",
            (SwitchKey::Bypass | SwitchKey::Mute, _) => "on",
            (SwitchKey::Loop(_), Position::OFF) => "out",
            (SwitchKey::Loop(_), _) => "in",
            (SwitchKey::PushPull(_), Position::OFF) => "pushed",
            (SwitchKey::PushPull(_), _) => "pulled",
            (
                SwitchKey::Channel | SwitchKey::Preset | SwitchKey::Patch | SwitchKey::Selector | SwitchKey::Pickups,
                _,
            ) => "",
        }
    };
    let standing = |word: &str| -> Vec<String> {
        // Of each device its switches together: several loops of one switcher are "loops 1 and 3".
        let mut of_devices: Vec<(DeviceId, Vec<SwitchRef>)> = Vec::new();
        for SwitchSetting { switch, .. } in settings.iter().filter(|setting| words(setting) == word) {
            match of_devices.iter_mut().find(|(device, _)| *device == switch.device) {
                Some((_, switches)) => switches.push(*switch),
                None => of_devices.push((switch.device, vec![*switch])),
            }
        }
        let told = |(device, switches): (DeviceId, Vec<SwitchRef>)| match &switches[..] {
            [switch] => switch_words(*switch, &name(device)),
            several if several.iter().any(|switch| switch.key.is_on_instrument()) => {
                list(&several.iter().map(|switch| switch_words(*switch, &name(device))).collect::<Vec<_>>())
            }
            several => {
                let numbers = several.iter().map(|switch| switch.key.key().trim_start_matches("loop ").to_owned());
                format!("loops {} of {}", list(&numbers.collect::<Vec<_>>()), name(device))
            }
        };
        of_devices.into_iter().map(told).collect()
    };
    let said = ["on", "off", "in", "out"].map(|word| (standing(word), word));
    let said = said.iter().filter(|(names, _)| !names.is_empty());
    let mut said: Vec<String> = said.map(|(names, word)| format!("{} {word}", join(names))).collect();
    let counted = settings.iter().filter(|setting| words(setting).is_empty());
    said.extend(
        counted
            .map(|setting| format!("{} {} of {}", setting.switch.key, setting.to.0 + 1, name(setting.switch.device))),
    );
    (!said.is_empty()).then(|| list(&said))
}

/// "Left out, since it mutes while it is on: Tuner", for positions of switches that
/// silence what is heard.
#[must_use]
pub fn left_out_words(mutes: &[SwitchSetting], name: impl Fn(DeviceId) -> String) -> String {
    let is_on = |mute: &SwitchSetting| {
        matches!(mute.switch.key, SwitchKey::Bypass | SwitchKey::Mute) && mute.to != Position::OFF
    };
    if mutes.iter().all(is_on) {
        let names: Vec<String> = mutes.iter().map(|mute| name(mute.switch.device)).collect();
        return format!("Left out, since it mutes while it is on: {}", names.join(", "));
    }
    let moved = moved_words(mutes, name, |names| names.join(", ")).unwrap_or_default();
    format!("Left out, since nothing is heard then: {moved}")
}

/// Where there is nothing to switch.
pub const NO_SWITCH: &str = "no unit has a switch";

/// What the units of a rig are where no switch has been moved: off, or "at rest"
/// where one of them is on then.
#[must_use]
pub fn unmoved_word(rig: &Rig) -> &'static str {
    let rests_on =
        |device: &Device| device.on_off().is_some_and(|switch| switch.varies() && switch.default == Position::ON);
    if rig.devices.iter().any(rests_on) { "at rest" } else { "off" }
}

/// What a device that isn't there is called.
pub(super) fn unnamed(id: DeviceId) -> String {
    format!("device {}", id.0)
}

/// The wanted name, or the first of "Wah 2", "Wah 3" and so on that isn't taken;
/// no longer than a name can be.
pub fn free_name(wanted: &str, taken: impl Fn(&str) -> bool) -> String {
    free_names(wanted, taken).next().unwrap_or_else(|| fitting_name(wanted, ""))
}

/// All such names, the first one first.
pub fn free_names(wanted: &str, taken: impl Fn(&str) -> bool) -> impl Iterator<Item = String> {
    let numbered = (2..).map(move |number: u64| fitting_name(wanted, &format!(" {number}")));
    std::iter::once(fitting_name(wanted, "")).chain(numbered).filter(move |name| !taken(name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_told_as_they_have_been_moved() {
        let set = |device, to| SwitchSetting { switch: SwitchRef::bypass(DeviceId(device)), to };
        let told = |settings: &[SwitchSetting]| moved_words(settings, |id| format!("U{}", id.0), list);
        assert_eq!(told(&[]), None);
        let on = [set(1, Position::ON), set(2, Position::ON)];
        assert_eq!(told(&on).as_deref(), Some("U1 and U2 on"));
        assert_eq!(told(&[on[0], set(3, Position::OFF)]).as_deref(), Some("U1 on and U3 off"));
        assert_eq!(told(&[set(3, Position::OFF)]).as_deref(), Some("U3 off"));
        let of_loop =
            |number, to| SwitchSetting { switch: SwitchRef { device: DeviceId(4), key: SwitchKey::Loop(number) }, to };
        let moved = [on[0], of_loop(1, Position::ON), of_loop(3, Position::ON), of_loop(2, Position::OFF)];
        assert_eq!(told(&moved).as_deref(), Some("U1 on, loops 1 and 3 of U4 in and loop 2 of U4 out"));
    }

    #[test]
    fn a_name_that_is_taken_is_numbered() {
        let there = ["Wah", "Wah 2", "Wah 4"];
        let taken = |name: &str| there.contains(&name);
        assert_eq!(free_name("Delay", taken), "Delay");
        assert_eq!(free_name("Wah", taken), "Wah 3");
        assert_eq!(free_names("Wah", taken).take(3).collect::<Vec<_>>(), ["Wah 3", "Wah 5", "Wah 6"]);
    }
}
