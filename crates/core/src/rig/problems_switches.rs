//! Switches that are set and aren't there.

use std::collections::BTreeMap;

use super::problems::Problem;
use super::{Device, DeviceId, Project, State, SwitchRef, Variant, name_of};

/// Switches that the state in hand or a sound sets, and that a variant's devices
/// don't have in that position, nor the same devices of any other variant. They
/// stay in the file, and count again when the device has them again.
#[must_use]
pub fn switch_problems(project: &Project, variant: &Variant) -> Vec<Problem> {
    let sounds = project.sounds.iter().map(|sound| (Some(&sound.name), sound.state_in(variant.id)));
    let states: Vec<(Option<&String>, &State)> = [(None, &project.state)].into_iter().chain(sounds).collect();
    if states.iter().all(|(_, state)| state.positions.is_empty()) {
        return Vec::new();
    }
    let mut has: BTreeMap<SwitchRef, usize> = BTreeMap::new();
    for device in project.variants.iter().flat_map(|variant| &variant.rig.devices) {
        for switch in device.all_switches() {
            let most = has.entry(switch.id).or_default();
            *most = (*most).max(switch.positions);
        }
    }
    let devices: BTreeMap<DeviceId, &Device> = variant.rig.devices.iter().map(|device| (device.id, device)).collect();
    let mut found = Vec::new();
    for (sound, state) in states {
        for (switch, to) in &state.positions {
            let positions = has.get(switch).copied();
            let Some(device) = devices.get(&switch.device) else { continue };
            if positions.is_none_or(|positions| usize::from(to.0) >= positions) {
                let (sound, device) = (sound.cloned(), name_of(device));
                found.push(Problem::NoSuchPosition { sound, device, key: switch.key, to: *to, positions });
            }
        }
    }
    found
}
