//! What things are called, and names that nothing has yet.

use super::{Device, DeviceId, Position, Rig, SwitchRef, SwitchSetting, fitting_name};
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

/// Units whose switches have been moved: "Wah and Fuzz on", "Wah on and Delay
/// off", as `join` puts names together. None if none has.
pub fn moved_words(
    settings: &[SwitchSetting],
    name: impl Fn(DeviceId) -> String,
    join: impl Fn(&[String]) -> String,
) -> Option<String> {
    let standing = |off: bool| -> Vec<String> {
        let these = settings.iter().filter(|setting| (setting.to == Position::OFF) == off);
        these.map(|setting| name(setting.switch.device)).collect()
    };
    let parts = [(standing(false), "on"), (standing(true), "off")];
    let said =
        parts.iter().filter(|(names, _)| !names.is_empty()).map(|(names, word)| format!("{} {word}", join(names)));
    let said: Vec<String> = said.collect();
    (!said.is_empty()).then(|| list(&said))
}

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
