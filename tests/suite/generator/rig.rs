//! Healthy rigs: from each instrument a tree to ends, no problem in it that a
//! player would have to mend before it sounds.

use std::collections::BTreeSet;
use std::sync::Arc;

use rigwright_core::response::Request;
use rigwright_core::rig::{Control, DeviceId, Jack, JackRef, Kind, Knob, Rig, Splitter, State, TestPoint};
use rigwright_core::units::Turn;

use super::build::Build;
use super::{Dice, parts};

/// A rig in a state, with a test point if it has a lead.
#[derive(Debug, Clone)]
pub struct Case {
    pub rig: Rig,
    pub state: State,
    pub point: Option<TestPoint>,
}

impl Case {
    /// A rig that has a lead, with a test point somewhere on one.
    pub fn with_point(rig: Rig, state: State, dice: &mut Dice) -> Self {
        let lead = rig.leads[dice.below(rig.leads.len())].id;
        let point = Some(TestPoint { lead, along: Turn::of(dice.unit()) });
        Self { rig, state, point }
    }

    pub fn request(&self) -> Request {
        Request {
            rig: Arc::new(self.rig.clone()),
            state: self.state.clone(),
            test_point: self.point,
            unfed: Default::default(),
        }
    }
}

/// A rig of `devices` devices, at most a few more: ends are always added.
pub fn healthy(seed: u64, devices: usize) -> Case {
    let mut dice = Dice::new(seed);
    let mut build = Build::new(&mut dice, devices);
    build.instrument();
    while build.rig.devices.len() < devices && build.dice.chance(0.2) {
        build.instrument();
    }
    let rig = build.rig;
    let state = state(&mut dice, &rig);
    let point = (!rig.leads.is_empty())
        .then(|| TestPoint { lead: rig.leads[dice.below(rig.leads.len())].id, along: turn(&mut dice) });
    Case { rig, state, point }
}

impl Build<'_> {
    fn instrument(&mut self) {
        let kind = parts::instrument(self.dice);
        let from = self.add(kind);
        if self.most > 1 {
            self.run(JackRef::new(from, Jack::Out), 0);
        }
    }

    /// Devices one behind another, each splitter's second side first.
    fn run(&mut self, mut from: JackRef, depth: usize) {
        let share = if depth == 0 { 1.0 } else { self.dice.unit() * 0.4 };
        let room = self.most.saturating_sub(self.rig.devices.len() + 1);
        let many = (room as f64 * share) as usize;
        for _ in 0..many {
            if self.rig.devices.len() + 1 >= self.most {
                break;
            }
            let kind = parts::through(self.dice);
            let splits = matches!(kind, Kind::Splitter(Splitter::Passive { .. } | Splitter::Buffered { .. }));
            let device = self.add(kind);
            self.plug(from, JackRef::new(device, Jack::In));
            from = JackRef::new(device, Jack::Out);
            if splits && self.dice.chance(0.9) {
                self.run(JackRef::new(device, Jack::SecondOut), depth + 1);
            }
        }
        self.end(from, depth);
    }

    fn end(&mut self, from: JackRef, depth: usize) {
        // A side may end at a tap; the main way ends where somebody listens.
        let kind = loop {
            let kind = parts::end(self.dice);
            if depth > 0 || kind.is_endpoint(Jack::In) {
                break kind;
            }
        };
        let way = kind.jacks().contains(&Jack::Send(1));
        let device = self.add(kind);
        self.plug(from, JackRef::new(device, Jack::In));
        if way && self.dice.chance(0.7) {
            self.loop_way(device);
        }
    }

    /// A few units between an amp's send and its return.
    fn loop_way(&mut self, amp: DeviceId) {
        let mut from = JackRef::new(amp, Jack::Send(1));
        for _ in 0..self.dice.below(3) {
            let kind = loop {
                let kind = parts::through(self.dice);
                if !matches!(kind, Kind::Splitter(_)) {
                    break kind;
                }
            };
            let device = self.add(kind);
            self.plug(from, JackRef::new(device, Jack::In));
            from = JackRef::new(device, Jack::Out);
        }
        self.plug(from, JackRef::new(amp, Jack::Return(1)));
    }
}

fn turn(dice: &mut Dice) -> Turn {
    let nasty = dice.pick(&[0.0, 1.0, 0.5, 1e-3, 1.0 - 1e-3]);
    Turn::of(if dice.chance(0.5) { nasty } else { dice.unit() })
}

/// Random switches and knobs. Half of the states keep their knobs off the end
/// where all goes silent, so that there is something to compare.
pub fn state(dice: &mut Dice, rig: &Rig) -> State {
    let part_on = dice.pick(&[0.0, 0.1, 0.5, 1.0]);
    let sounds = dice.chance(0.5);
    let mut state = State::default();
    for device in &rig.devices {
        if device.has_switch() && dice.chance(part_on) {
            crate::rigs::step_on(rig, &mut state, device.id);
        }
        for control in [Control::Volume, Control::Tone, Control::Treadle] {
            if !device.kind.controls().contains(&control) || dice.chance(0.3) {
                continue;
            }
            let to = turn(dice);
            let to = if sounds && control != Control::Tone && to == Turn::CLOSED { Turn::of(0.3) } else { to };
            state.turned.insert(Knob { device: device.id, control }, to);
        }
    }
    state
}

/// Devices of a rig without power, each as likely as said. A passive instrument needs none.
pub fn without_power(rig: &Rig, likely: f64, dice: &mut Dice) -> BTreeSet<DeviceId> {
    let could = rig.carriers().filter(|device| !matches!(device.kind, Kind::Guitar(_)));
    could.map(|device| device.id).filter(|_| likely > 0.0 && dice.chance(likely)).collect()
}
