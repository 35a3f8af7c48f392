//! Version 4 brought switches with positions, and a state lists where they
//! stand. Before it listed the devices that were on, each of which had one
//! switch at most: a tuner's was called its mute since, any other unit's its bypass.

use std::collections::BTreeMap;

use crate::file::schema::{Id, Kind, Project, SetSwitch, State, SwitchKey, Treadle, Tuner};

/// Units that are on stand at the second position of that switch. Of devices
/// that had none it said nothing, and says nothing still.
pub fn step(mut project: Project) -> Project {
    let mut switches: BTreeMap<Id, Option<SwitchKey>> = BTreeMap::new();
    for device in project.variants.iter().flat_map(|variant| &variant.devices) {
        let known = switches.entry(device.id).or_default();
        if known.is_none() {
            *known = switch_of(&device.kind);
        }
    }
    let sounds = project.sounds.iter_mut().map(|sound| &mut sound.state);
    for state in sounds.chain([&mut project.state]) {
        turn(state, &switches);
    }
    project
}

fn switch_of(kind: &Kind) -> Option<SwitchKey> {
    match kind {
        Kind::Pedal(_) | Kind::Treadle(Treadle::Wah { .. }) => Some(SwitchKey::Bypass),
        Kind::Tuner(Tuner::Through { .. }) => Some(SwitchKey::Mute),
        _ => None,
    }
}

fn turn(state: &mut State, switches: &BTreeMap<Id, Option<SwitchKey>>) {
    for device in std::mem::take(&mut state.on) {
        // What no rig has any more may come back.
        let switch = match switches.get(&device) {
            Some(switch) => switch.clone(),
            None => Some(SwitchKey::Bypass),
        };
        state.positions.extend(switch.map(|switch| SetSwitch { device, switch, to: 1 }));
    }
}
