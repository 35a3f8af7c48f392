//! Wider rigs: loop switchers with units in their loops, loops in loops, loops
//! that are empty, dead or plugged across, splitters that feed a return.

use rigwright_core::rig::{DeviceId, Jack, JackRef, Kind, Preset, Splitter, Switcher, WithoutPower};
use rigwright_core::units::Farads;

use super::build::Build;
use super::rig::state;
use super::{Case, Dice, parts};

/// A rig of about so many devices, its first instrument in front of an amp.
pub fn wider(seed: u64, devices: usize) -> Case {
    let mut dice = Dice::new(seed ^ 0x100b5);
    let mut build = Build::new(&mut dice, devices);
    let instrument = parts::instrument(build.dice);
    let first = build.add(instrument);
    let from = build.units(JackRef::new(first, Jack::Out), 0, devices);
    build.endpoint(from);
    let rig = build.rig;
    let state = state(&mut dice, &rig);
    Case::with_point(rig, state, &mut dice)
}

impl Build<'_> {
    /// Something that gives a sound.
    pub fn endpoint(&mut self, from: JackRef) {
        let end = loop {
            let end = parts::end(self.dice);
            if end.is_endpoint(Jack::In) {
                break end;
            }
        };
        let end = self.add(end);
        self.plug(from, JackRef::new(end, Jack::In));
    }

    /// Units one behind another; where the last one's signal comes out.
    pub fn units(&mut self, mut from: JackRef, depth: usize, many: usize) -> JackRef {
        for _ in 0..many {
            if self.rig.devices.len() >= self.most {
                break;
            }
            let device = if self.parallel && depth < 3 && self.dice.chance(0.35) {
                self.parallel(from, depth)
            } else if depth < 3 && self.dice.chance(0.3) {
                self.switcher(from, depth)
            } else {
                let kind = parts::through(self.dice);
                let splits = matches!(kind, Kind::Splitter(Splitter::Passive { .. } | Splitter::Buffered { .. }));
                let device = self.add(kind);
                self.plug(from, JackRef::new(device, Jack::In));
                if splits && self.dice.chance(0.8) {
                    self.side(JackRef::new(device, Jack::SecondOut), depth);
                }
                device
            };
            from = JackRef::new(device, Jack::Out);
        }
        from
    }

    /// A side run, now and then into a return that is still free.
    fn side(&mut self, from: JackRef, depth: usize) {
        let many = self.dice.below(3);
        let from = self.units(from, depth + 1, many);
        let free: Vec<JackRef> = self.free_returns();
        let to = match self.dice.chance(0.3) && !free.is_empty() {
            true => free[self.dice.below(free.len())],
            false => {
                let end = parts::end(self.dice);
                JackRef::new(self.add(end), Jack::In)
            }
        };
        self.plug(from, to);
    }

    fn free_returns(&self) -> Vec<JackRef> {
        let jacks = self.rig.devices.iter().flat_map(|device| {
            let jacks = device.kind.jacks().iter().filter(|_| matches!(device.kind, Kind::Switcher(_)));
            jacks.map(|jack| JackRef::new(device.id, *jack))
        });
        let returns = jacks.filter(|jack| matches!(jack.jack, Jack::Return(_)));
        returns.filter(|jack| self.rig.lead_to(*jack).is_none()).collect()
    }

    fn switcher(&mut self, from: JackRef, depth: usize) -> DeviceId {
        let loops = 1 + self.dice.below(4) as u8;
        let farads = |dice: &mut Dice| Farads::of(if dice.chance(0.3) { 0.0 } else { dice.log(1e-12, 200e-12) });
        let mut inside = Switcher::of(loops, farads(self.dice), farads(self.dice));
        let stage = |dice: &mut Dice| match parts::buffer(dice) {
            Kind::Buffer(buffer) => Some(buffer.stage),
            _ => None,
        };
        inside.input = if self.dice.chance(0.3) { stage(self.dice) } else { None };
        inside.output = if self.dice.chance(0.3) { stage(self.dice) } else { None };
        // By dice of its own: rigs that are known by their seeds stay what they are.
        let mut aside = Dice::new(inside.contacts.get().to_bits() ^ inside.wiring.get().to_bits());
        inside.before_buffer = if aside.chance(0.5) { aside.below(usize::from(loops) + 1) as u8 } else { 0 };
        inside.without_power = self.dice.pick(&[WithoutPower::Passes, WithoutPower::Silent, WithoutPower::Unknown]);
        if self.dice.chance(0.25) {
            inside.by_presets = true;
            inside.presets = (0..1 + self.dice.below(4))
                .map(|at| Preset {
                    name: format!("preset {}", at + 1),
                    loops: (1..=loops).filter(|_| self.dice.chance(0.5)).collect(),
                })
                .collect();
        }
        let device = self.add(Kind::Switcher(inside));
        self.plug(from, JackRef::new(device, Jack::In));
        // Now and then what leaves by one loop's send comes back by the next one's return.
        let across = loops > 1 && self.dice.chance(0.08);
        for number in 1..=loops {
            let send = JackRef::new(device, Jack::Send(number));
            let back = if across { number % loops + 1 } else { number };
            let back = JackRef::new(device, Jack::Return(back));
            let many = match self.dice.below(10) {
                0 => continue,
                1 if !across => {
                    // Nothing comes back.
                    let end = parts::end(self.dice);
                    let end = self.add(end);
                    self.plug(send, JackRef::new(end, Jack::In));
                    continue;
                }
                2 | 3 => 0,
                4..7 => 1,
                _ => 2,
            };
            let last = self.units(send, depth + 1, many);
            if self.rig.lead_to(back).is_none() && self.rig.lead_from(last).is_none() {
                self.plug(last, back);
            }
        }
        device
    }
}
