//! Rigs that turn stereo: units with two outputs, and with two inputs, on one side and on both,
//! each side to an end of its own, both mixed, or one of them left open.

use rigwright_core::rig::{DeviceId, Jack, JackRef, Kind};

use super::build::Build;
use super::rig::state;
use super::{Case, Dice, parts};

/// A rig of about so many devices, stereo units not counted.
pub fn stereo(seed: u64, devices: usize) -> Case {
    let mut dice = Dice::new(seed ^ 0x57e2);
    let mut build = Build::new(&mut dice, devices);
    build.alone = true;
    build.parallel = build.dice.chance(0.2);
    build.passive = build.dice.pick(&[0.0, 0.0, 0.5]);
    let instrument = parts::instrument(build.dice);
    let first = build.add(instrument);
    let many = build.dice.below(3);
    let mut left = build.units(JackRef::new(first, Jack::Out), 1, many);
    let mut right: Option<JackRef> = None;
    for _ in 0..1 + build.dice.below(3) {
        let unit = build.stereo_unit();
        build.plug(left, JackRef::new(unit, Jack::In));
        let second_in = build.rig.device(unit).is_some_and(|unit| unit.kind.jacks().contains(&Jack::SecondIn));
        match right.take() {
            Some(right) if second_in => build.plug(right, JackRef::new(unit, Jack::SecondIn)),
            // It has no place for the right side.
            Some(right) => build.endpoint(right),
            None => {}
        }
        let many = build.dice.below(2);
        left = build.units(JackRef::new(unit, Jack::Out), 2, many);
        if build.dice.chance(0.8) {
            let many = build.dice.below(2);
            right = Some(build.units(JackRef::new(unit, Jack::SecondOut), 2, many));
        }
    }
    match right {
        Some(right) if build.dice.chance(0.5) => {
            let mixed = build.mix(left, right);
            build.endpoint(JackRef::new(mixed, Jack::Out));
        }
        Some(right) => [left, right].into_iter().for_each(|side| build.endpoint(side)),
        None => build.endpoint(left),
    }
    let rig = build.rig;
    let state = state(&mut dice, &rig);
    Case::with_point(rig, state, &mut dice)
}

impl Build<'_> {
    fn stereo_unit(&mut self) -> DeviceId {
        let stereo = Some(parts::two_sides(self.dice));
        let kind = if self.dice.chance(0.25) {
            let mut unit = parts::multi_effects(self.dice);
            (unit.stereo, unit.effects_loop) = (stereo, unit.effects_loop.filter(|_| self.dice.chance(0.3)));
            Kind::MultiEffects(unit)
        } else {
            let mut pedal = parts::pedal(self.dice);
            pedal.stereo = stereo;
            Kind::Pedal(pedal)
        };
        let has_loop = kind.loops() > 0;
        let unit = self.add(kind);
        if has_loop {
            self.in_the_loop(unit);
        }
        unit
    }
}
