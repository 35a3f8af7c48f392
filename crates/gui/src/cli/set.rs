//! `--set "SWITCH=POSITION,…"`: any state, switch by switch.

use rigwright_core::rig::{Device, Rig, State, SwitchSetting, Variant, switch_name};
use rigwright_core::words::list;

use super::words::some_of;
use super::{Aside, refuse};

/// A switch in a position, by their names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Set {
    /// As `.states.switches` has it.
    switch: String,
    /// Its name, as the same has it.
    position: String,
}

/// What was asked for, found among the switches of these variants. Names may
/// have commas and equals signs in them: of those that fit, the longest counts.
pub fn parse(text: &str, variants: &[&std::sync::Arc<Variant>]) -> Result<Vec<Set>, Aside> {
    let known: Vec<(String, Vec<String>)> = variants.iter().flat_map(|variant| switches(&variant.rig)).collect();
    let mut rest = text.trim();
    let mut found: Vec<Set> = Vec::new();
    while !rest.is_empty() {
        let starts = |name: &str| after(rest, name).filter(|rest| rest.starts_with('='));
        let switch = known.iter().filter(|(name, _)| starts(name).is_some()).max_by_key(|(name, _)| name.len());
        let Some((name, positions)) = switch else {
            let asked = rest.split(['=', ',']).next().unwrap_or(rest).trim();
            let there = some_of(known.iter().map(|(name, _)| name.as_str()));
            return refuse(match there.is_empty() {
                true => format!("After --set comes SWITCH=POSITION, and no device here has a switch (“{asked}” came)."),
                false => format!("After --set, there is no switch “{asked}” here; expected one of {there}."),
            });
        };
        if positions.is_empty() {
            return refuse(format!("After --set, “{name}” can't be set: it stays on in every state."));
        }
        let behind = starts(name).map_or("", |rest| rest[1..].trim_start());
        let ends = |position: &str| {
            let rest = after(behind, position)?.trim_start();
            (rest.is_empty() || rest.starts_with(',')).then_some(rest)
        };
        let position = positions.iter().filter(|name| ends(name).is_some()).max_by_key(|name| name.len());
        let Some(position) = position else {
            let asked = behind.split(',').next().unwrap_or(behind).trim();
            let quoted: Vec<String> = positions.iter().map(|name| format!("“{name}”")).collect();
            return refuse(format!("After --set, “{name}” has no position “{asked}”; it has {}.", list(&quoted)));
        };
        if found.iter().any(|set| set.switch == *name) {
            return refuse(format!("After --set, “{name}” is set twice."));
        }
        rest = ends(position).map_or("", |rest| rest.trim_start_matches(',').trim_start());
        found.push(Set { switch: name.clone(), position: position.clone() });
    }
    Ok(found)
}

/// A rig's state as asked: controls, and switches that no foot works, as they
/// stand; these switches as set, all others at their defaults.
pub fn state(rig: &Rig, base: &State, sets: &[Set]) -> State {
    let wanted = |device: &Device| {
        let switches = device.all_switches().filter_map(|switch| {
            let name = switch_name(rig, switch.id);
            let set = sets.iter().find(|set| set.switch == name)?;
            let is_meant = |position: &_| device.position_name(switch.id.key, *position) == set.position;
            Some(SwitchSetting { switch: switch.id, to: switch.all_positions().find(is_meant)? })
        });
        switches.collect::<Vec<_>>()
    };
    let settings: Vec<SwitchSetting> = rig.devices.iter().flat_map(wanted).collect();
    base.with(rig, &settings)
}

/// The switches of a rig by name, each with the names of its positions.
fn switches(rig: &Rig) -> Vec<(String, Vec<String>)> {
    // One that is locked has no position that it could be set to.
    let of = |device: &Device| {
        let each = device.all_switches().map(|switch| {
            let free = switch.all_positions().filter(move |_| switch.locked.is_none());
            let positions = free.map(|at| device.position_name(switch.id.key, at));
            (switch_name(rig, switch.id), positions.collect())
        });
        each.collect::<Vec<_>>()
    };
    rig.devices.iter().flat_map(of).collect()
}

/// What comes after a name, spaces behind it left out.
fn after<'a>(text: &'a str, name: &str) -> Option<&'a str> {
    text.strip_prefix(name).map(str::trim_start)
}
