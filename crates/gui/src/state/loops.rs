//! What trading the places of two loops of a switcher is as a change.

use rigwright_core::rig::{
    Device, DeviceId, Edit, Jack, JackRef, Kind, Lead, Position, Project, Rig, SoundEdit, State, SwitchKey, SwitchRef,
    SwitchSetting, Variant,
};

use super::Change;

/// Two loops trade places: what is plugged into them, and with it where their switches
/// stand, in which presets they are and how this variant makes its sounds.
#[must_use]
pub fn trade(project: &Project, variant: &Variant, device: &Device, one: u8, other: u8) -> Option<Change> {
    let Kind::Switcher(switcher) = &device.kind else { return None };
    let number = |number: u8| match number {
        _ if number == one => other,
        _ if number == other => one,
        _ => number,
    };
    let jack = |at: JackRef| match at.jack {
        _ if at.device != device.id => at,
        Jack::Send(loop_) => JackRef { jack: Jack::Send(number(loop_)), ..at },
        Jack::Return(loop_) => JackRef { jack: Jack::Return(number(loop_)), ..at },
        _ => at,
    };
    let moved = variant.rig.leads.iter().filter_map(|lead| {
        let to = Lead { from: jack(lead.from), to: jack(lead.to), ..lead.clone() };
        (to != *lead).then(|| Edit::SetLead { variant: variant.id, lead: Box::new(to) })
    });
    let mut edits: Vec<Edit> = moved.collect();
    let mut switcher = switcher.clone();
    for preset in &mut switcher.presets {
        preset.loops = preset.loops.iter().map(|own| number(*own)).collect();
    }
    let key = |key: SwitchKey| if let SwitchKey::Loop(own) = key { SwitchKey::Loop(number(own)) } else { key };
    let switches = device.switches.iter().map(|(own, habit)| (key(*own), *habit)).collect();
    let changed = Device { kind: Kind::Switcher(switcher), switches, ..device.clone() };
    if changed != *device {
        edits.push(Edit::SetDevice { variant: variant.id, device: Box::new(changed) });
    }
    let at = |number| SwitchRef { device: device.id, key: SwitchKey::Loop(number) };
    let stands = |number| device.switch(SwitchKey::Loop(number)).map(|switch| project.state.position(&switch));
    if let (Some(first), Some(second)) = (stands(one), stands(other))
        && first != second
    {
        let set = |number, to: Position| Edit::Switch(SwitchSetting { switch: at(number), to });
        edits.extend([set(one, second), set(other, first)]);
    }
    for sound in &project.sounds {
        let state = sound.state_in(variant.id);
        if traded(state, at(one), at(other)) != *state {
            // As it is made: where the state is a variant's own, no loop is put in for the units in it.
            let made = traded(&sound.realise(variant).state, at(one), at(other));
            let edit = SoundEdit::MakeIn { sound: sound.id, variant: variant.id, state: Some(Box::new(made)) };
            edits.push(Edit::Sound(edit));
        }
    }
    let name = format!("trade loops {one} and {other} of {}", device.name);
    (!edits.is_empty()).then(|| Change::new(name, Edit::Batch(edits)))
}

/// A state in which two switches stand as the other did.
fn traded(state: &State, one: SwitchRef, other: SwitchRef) -> State {
    let mut traded = state.clone();
    let (first, second) = (traded.positions.remove(&one), traded.positions.remove(&other));
    traded.positions.extend(second.map(|to| (one, to)).into_iter().chain(first.map(|to| (other, to))));
    traded
}

/// The units in a loop, in the signal's order.
#[must_use]
pub fn units(rig: &Rig, switcher: DeviceId, number: u8) -> Vec<&Device> {
    let mut found: Vec<&Device> = Vec::new();
    let mut from = JackRef::new(switcher, Jack::Send(number));
    while let Some(to) = rig.lead_from(from).map(|lead| lead.to)
        && to.device != switcher
        && let Some(device) = rig.device(to.device)
        && !found.iter().any(|known| known.id == device.id)
    {
        found.push(device);
        let Some(out) = device.kind.onward(to.jack).first() else { break };
        from = JackRef::new(device.id, *out);
    }
    found
}
