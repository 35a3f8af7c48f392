//! Switches that are set and aren't there.

use std::collections::BTreeMap;

use super::problems::Problem;
use super::{
    Device, DeviceId, Edit, Position, Project, Sound, SoundEdit, State, SwitchRef, SwitchSetting, Variant, name_of,
};

/// Switches that the state in hand or a sound sets, and that a variant's devices
/// don't have in that position, nor the same devices of any other variant. They
/// stay in the file, and count again when the device has them again.
#[must_use]
pub fn switch_problems(project: &Project, variant: &Variant) -> Vec<Problem> {
    let sounds = project.sounds.iter().map(|sound| (Some(sound), sound.state_in(variant.id)));
    let states: Vec<(Option<&Sound>, &State)> = [(None, &project.state)].into_iter().chain(sounds).collect();
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
                let sound = sound.map(|sound| (sound.id, sound.name.clone()));
                let device = name_of(device);
                found.push(Problem::NoSuchPosition { sound, device, switch: *switch, to: *to, positions });
            }
        }
    }
    found
}

/// The change that takes such a position from where it is set; none for any other problem.
#[must_use]
pub fn forget_position(problem: &Problem, project: &Project, variant: &Variant) -> Option<Edit> {
    let Problem::NoSuchPosition { sound, switch, .. } = problem else { return None };
    let Some((id, _)) = sound else {
        let has = variant.rig.device(switch.device).and_then(|device| device.switch(switch.key));
        let to = has.map_or(Position::OFF, |has| has.default);
        return Some(Edit::Switch(SwitchSetting { switch: *switch, to }));
    };
    let sound = project.sounds.iter().find(|sound| sound.id == *id)?;
    let mut state = sound.state_in(variant.id).clone();
    state.positions.remove(switch);
    Some(Edit::Sound(match sound.made_in.contains_key(&variant.id) {
        true => SoundEdit::MakeIn { sound: *id, variant: variant.id, state: Some(Box::new(state)) },
        false => SoundEdit::Set(Box::new(Sound { state, ..sound.clone() })),
    }))
}
