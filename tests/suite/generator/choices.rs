//! Rigs with selectors: between outputs that meet again or lead to ends of their own, between
//! inputs that one signal or two instruments come to.

use rigwright_core::rig::{DeviceId, Jack, JackRef};

use super::build::Build;
use super::rig::state;
use super::{Case, Dice, parts};

/// A rig of about so many devices, selectors not counted.
pub fn choices(seed: u64, devices: usize) -> Case {
    let mut dice = Dice::new(seed ^ 0xab_0e);
    let mut build = Build::new(&mut dice, devices);
    build.parallel = build.dice.chance(0.3);
    build.alone = true;
    let instrument = parts::instrument(build.dice);
    let first = build.add(instrument);
    let many = build.dice.below(3);
    let mut from = build.units(JackRef::new(first, Jack::Out), 1, many);
    let two = build.dice.chance(0.4);
    if two {
        from = build.or_another_instrument(from);
    }
    let selector = parts::selector(build.dice, true);
    let parts_at = build.add(selector);
    build.plug(from, JackRef::new(parts_at, Jack::In));
    let ways = [Jack::Out, Jack::SecondOut].map(|jack| {
        let many = build.dice.below(3);
        build.units(JackRef::new(parts_at, jack), 1, many)
    });
    match build.dice.below(3) {
        // Each to an end of its own.
        0 => ways.into_iter().for_each(|way| build.endpoint(way)),
        // Together in a mixer, or in a selector of inputs.
        1 => {
            let mixed = build.mix(ways[0], ways[1]);
            build.endpoint(JackRef::new(mixed, Jack::Out));
        }
        _ => {
            let selector = parts::selector(build.dice, false);
            let meets = build.add(selector);
            build.plug(ways[0], JackRef::new(meets, Jack::In));
            build.plug(ways[1], JackRef::new(meets, Jack::SecondIn));
            let many = build.dice.below(3);
            let last = build.units(JackRef::new(meets, Jack::Out), 1, many);
            build.endpoint(last);
        }
    }
    let rig = build.rig;
    let mut state = state(&mut dice, &rig);
    let instruments: Vec<DeviceId> =
        rig.devices.iter().filter(|device| device.kind.is_instrument()).map(|device| device.id).collect();
    if two {
        state.instrument = Some(dice.pick(&instruments));
    }
    Case::with_point(rig, state, &mut dice)
}

impl Build<'_> {
    /// A selector of this signal or another instrument's.
    fn or_another_instrument(&mut self, from: JackRef) -> JackRef {
        let instrument = parts::instrument(self.dice);
        let other = JackRef::new(self.add(instrument), Jack::Out);
        let many = self.dice.below(2);
        let other = self.units(other, 2, many);
        let selector = parts::selector(self.dice, false);
        let selector = self.add(selector);
        let (first, second) = if self.dice.chance(0.5) { (from, other) } else { (other, from) };
        self.plug(first, JackRef::new(selector, Jack::In));
        self.plug(second, JackRef::new(selector, Jack::SecondIn));
        JackRef::new(selector, Jack::Out)
    }
}
