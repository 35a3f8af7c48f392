//! Broken rigs: leads between any jacks, of devices that may not be there.

use rigwright_core::rig::{DeviceId, Jack, JackRef, Lead, LeadId, Rig, TestPoint};
use rigwright_core::units::Turn;

use super::rig::{Case, state};
use super::{Dice, parts};

/// Up to `devices` devices and twice as many leads, plugged in blindly.
pub fn broken(seed: u64, devices: usize) -> Case {
    let mut dice = Dice::new(seed);
    let mut rig = Rig::default();
    let many = dice.below(devices + 1);
    for id in 1..=many as u64 {
        let kind = match dice.below(4) {
            0 => parts::instrument(&mut dice),
            1 => parts::end(&mut dice),
            _ => parts::through(&mut dice),
        };
        rig.devices.push(parts::device(&mut dice, id, kind));
    }
    for id in 0..dice.below(2 * devices + 1) as u64 {
        let (from, to) = (jack(&mut dice, many, true), jack(&mut dice, many, false));
        rig.leads.push(Lead {
            id: LeadId(100 + id),
            from,
            to,
            length: parts::length(&mut dice),
            cable: parts::cable(&mut dice),
        });
    }
    let state = state(&mut dice, &rig);
    let point = TestPoint { lead: LeadId(100 + dice.below(devices) as u64), along: Turn::of(dice.unit()) };
    Case { rig, state, point: Some(point) }
}

/// Mostly the right way round, so that long circles come about.
fn jack(dice: &mut Dice, devices: usize, output: bool) -> JackRef {
    let right_way = dice.chance(0.9);
    let jack = match (right_way, output) {
        (true, true) => dice.pick(&[Jack::Out, Jack::Out, Jack::SecondOut, Jack::Send(1)]),
        (true, false) => dice.pick(&[Jack::In, Jack::In, Jack::In, Jack::Return(1)]),
        _ => dice.pick(&[Jack::In, Jack::Out, Jack::SecondIn, Jack::Send(7), Jack::Return(0)]),
    };
    let missing = dice.chance(0.03);
    let device = if missing { 999 } else { 1 + dice.below(devices.max(1)) as u64 };
    JackRef::new(DeviceId(device), jack)
}
