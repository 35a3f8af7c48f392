//! The rig of the benchmarks: a guitar, true-bypass units in a row and an amp.

use std::sync::Arc;

use rigwright_core::rig::{DeviceId, Jack, JackRef, Kind, Lead, LeadId, Rig, State, Stereo};
use rigwright_core::states::{Question, Target};

#[path = "../suite/rigs.rs"]
#[allow(dead_code, reason = "shared with the checks, which use more of it")]
mod rigs;

/// What any footswitch state of it can do at the amp.
pub fn question(units: usize) -> Question {
    let mut kinds = vec![("guitar", Kind::Guitar(rigs::SC.guitar()))];
    kinds.extend((0..units).map(|_| ("unit", rigs::true_bypass(20e-12))));
    kinds.push(("amp", rigs::amp(1e6, 100e-12)));
    let mut metres: Vec<f64> = (0..=units).map(|at| 0.15 + 0.01 * at as f64).collect();
    metres[0] = 5.0;
    metres[units] = 6.0;
    let rig = rigs::chain(kinds, &metres, &rigs::real_cable());
    let target = Target::Endpoint(JackRef::new(DeviceId(units as u64 + 2), Jack::In));
    Question { rig: Arc::new(rig), controls: State::default(), target, unfed: Default::default() }
}

/// What any footswitch state can do at the amp behind a switcher without buffers,
/// so many units in each of its loops.
#[allow(dead_code, reason = "one of the two benchmarks that share this asks it")]
pub fn looped(loops: u8, units: usize) -> Question {
    let target = Target::Endpoint(JackRef::new(DeviceId(2), Jack::In));
    let rig = Arc::new(rigs::looped(loops, units));
    Question { rig, controls: State::default(), target, unfed: Default::default() }
}

/// What any footswitch state can do at the left of two amps: half of the units in a row, then one
/// that turns stereo, and behind it units with two inputs and two outputs.
#[allow(dead_code, reason = "one of the two benchmarks that share this asks it")]
pub fn two_amps(units: usize) -> Question {
    let middle = units / 2;
    let mut question = question(units);
    let rig = Arc::make_mut(&mut question.rig);
    for at in middle..units {
        let pedal = rig.devices[at + 1].kind.pedal_mut();
        let stereo = Stereo { second_in: at > middle, ..Stereo::ALIKE };
        pedal.into_iter().for_each(|pedal| pedal.stereo = Some(stereo));
    }
    let mut right = rig.devices[units + 1].clone();
    right.id = DeviceId(units as u64 + 3);
    let second: Vec<Lead> = rig.leads[middle + 1..].to_vec();
    for (at, lead) in (1000..).zip(second) {
        let to = match lead.to.device == rig.devices[units + 1].id {
            true => JackRef::new(right.id, Jack::In),
            false => JackRef::new(lead.to.device, Jack::SecondIn),
        };
        let from = JackRef::new(lead.from.device, Jack::SecondOut);
        rig.leads.push(Lead { id: LeadId(at), from, to, ..lead });
    }
    rig.devices.push(right);
    question
}

/// The same rig in plain numbers, for a script that knows nothing of ours.
#[allow(dead_code, reason = "one of the two benchmarks that share this tells a script")]
pub fn described(rig: &Rig, hz: &[f64], repeats: u32) -> serde_json::Value {
    let cable = rigs::real_cable();
    let metres: Vec<f64> = rig.leads.iter().map(|lead| lead.length.get()).collect();
    serde_json::json!({
        "hz": hz,
        "coil": { "r": rigs::SC.ohms, "l": rigs::SC.henries, "c": rigs::SC.winding },
        "pots": rigs::SC.pots,
        "tone_cap": 22e-9,
        "metres": metres,
        "cable": {
            "c": cable.capacitance.get(),
            "r": cable.resistance.get(),
            "l": cable.inductance.get(),
            "tan": cable.loss_tangent.get(),
            "plug": cable.plug.get(),
        },
        "wiring": 20e-12,
        "unit": { "in": 1e6, "out": 1e3 },
        "amp": { "r": 1e6, "c": 100e-12 },
        "repeats": repeats,
    })
}
