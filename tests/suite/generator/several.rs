//! Rigs in which the signal goes several ways at once: splitters whose sides meet
//! in a mixer, one inside another or crossed, in loops of switchers, and a second
//! instrument in a mixer; units that turn the signal over or hold it up.

use rigwright_core::rig::{DeviceId, Jack, JackRef, Kind, Polarity, Splitter};
use rigwright_core::units::Seconds;

use super::build::Build;
use super::rig::state;
use super::{Case, Dice, parts};

/// A rig of about so many devices, mixers not counted.
pub fn several(seed: u64, devices: usize) -> Case {
    ways(seed, devices, 0.0)
}

/// The same in which every second mixer has resistors alone, so that its sides feel each other.
pub fn joined(seed: u64, devices: usize) -> Case {
    ways(seed ^ 0x10_1d, devices, 0.5)
}

fn ways(seed: u64, devices: usize, passive: f64) -> Case {
    let mut dice = Dice::new(seed ^ 0x5e7e);
    let mut build = Build::new(&mut dice, devices);
    build.parallel = true;
    build.passive = passive;
    let instrument = parts::instrument(build.dice);
    let first = build.add(instrument);
    let before = build.dice.below(3);
    let from = build.units(JackRef::new(first, Jack::Out), 1, before);
    let parallel = build.parallel(from, 0);
    let behind = build.dice.below(3);
    let from = build.units(JackRef::new(parallel, Jack::Out), 1, behind);
    build.endpoint(from);
    let mut rig = build.rig;
    for device in &mut rig.devices {
        if let Some(pedal) = device.kind.pedal_mut().filter(|_| dice.chance(0.5)) {
            pedal.on.polarity = dice.pick(&[Polarity::Same, Polarity::Inverted]);
            pedal.off.polarity = dice.pick(&[Polarity::Same, Polarity::Inverted]);
            pedal.on.latency = Seconds::of(dice.pick(&[0.0, 0.2e-3, 2e-3]));
        }
    }
    let mut state = state(&mut dice, &rig);
    let instruments: Vec<DeviceId> =
        rig.devices.iter().filter(|device| device.kind.is_instrument()).map(|device| device.id).collect();
    if instruments.len() > 1 || dice.chance(0.3) {
        state.instrument = Some(dice.pick(&instruments));
    }
    Case::with_point(rig, state, &mut dice)
}

impl Build<'_> {
    /// Ways that part and meet again in a mixer, which comes back.
    pub fn parallel(&mut self, from: JackRef, depth: usize) -> DeviceId {
        if !self.alone && self.dice.chance(0.15) {
            return self.joined_by_another(from, depth);
        }
        let (first, second) = self.split(from);
        if self.dice.chance(0.2) {
            // Crossed: one side parts again, into this mixer and into another.
            let leg = |build: &mut Self, from| {
                let many = build.dice.below(2);
                build.units(from, depth + 1, many)
            };
            let first = leg(self, first);
            let (into_this, past) = self.split(first);
            let (into_this, second) = (leg(self, into_this), leg(self, second));
            let this = self.mix(into_this, second);
            let both = leg(self, JackRef::new(this, Jack::Out));
            let past = leg(self, past);
            return self.mix(both, past);
        }
        let legs = [first, second].map(|from| {
            let many = self.dice.below(3);
            self.units(from, depth + 1, many)
        });
        self.mix(legs[0], legs[1])
    }

    /// A mixer that another instrument is plugged into too.
    fn joined_by_another(&mut self, from: JackRef, depth: usize) -> DeviceId {
        let instrument = parts::instrument(self.dice);
        let other = JackRef::new(self.add(instrument), Jack::Out);
        let many = self.dice.below(2);
        let other = self.units(other, depth + 1, many);
        if self.dice.chance(0.5) { self.mix(from, other) } else { self.mix(other, from) }
    }

    fn split(&mut self, from: JackRef) -> (JackRef, JackRef) {
        let kind = loop {
            let kind = parts::through(self.dice);
            if matches!(kind, Kind::Splitter(Splitter::Passive { .. } | Splitter::Buffered { .. })) {
                break kind;
            }
        };
        let device = self.add(kind);
        self.plug(from, JackRef::new(device, Jack::In));
        (JackRef::new(device, Jack::Out), JackRef::new(device, Jack::SecondOut))
    }

    pub fn mix(&mut self, first: JackRef, second: JackRef) -> DeviceId {
        let is_passive = self.passive > 0.0 && self.dice.chance(self.passive);
        let kind = if is_passive { parts::passive_mixer(self.dice) } else { parts::mixer(self.dice) };
        let device = self.add(kind);
        self.plug(first, JackRef::new(device, Jack::In));
        self.plug(second, JackRef::new(device, Jack::SecondIn));
        device
    }
}
