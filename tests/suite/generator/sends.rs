//! Rigs with sends and returns: multi-effects units with units in their loops, amps whose loop
//! is in use, in series and in parallel, and both joined by four leads.

use rigwright_core::rig::{Amp, DeviceId, EffectsLoop, Jack, JackRef, Kind};

use super::build::Build;
use super::rig::state;
use super::{Case, Dice, parts};

/// A rig of about so many devices.
pub fn sends(seed: u64, devices: usize) -> Case {
    let mut dice = Dice::new(seed ^ 0x5e4d);
    let mut build = Build::new(&mut dice, devices);
    build.parallel = build.dice.chance(0.3);
    // What an amp's send gives is no second instrument's.
    build.alone = true;
    let instrument = parts::instrument(build.dice);
    let first = build.add(instrument);
    let many = build.dice.below(3);
    let from = build.units(JackRef::new(first, Jack::Out), 1, many);
    let four_leads = build.dice.chance(0.3);
    let unit = build.multi_effects(from, four_leads);
    let mut from = JackRef::new(unit, Jack::Out);
    if !four_leads {
        let many = build.dice.below(3);
        from = build.units(from, 1, many);
        if build.dice.chance(0.3) {
            let second = build.multi_effects(from, false);
            from = JackRef::new(second, Jack::Out);
        }
        let amp = build.amp_with_loop();
        build.plug(from, JackRef::new(amp, Jack::In));
        build.in_the_loop(amp);
    }
    let rig = build.rig;
    let state = state(&mut dice, &rig);
    Case::with_point(rig, state, &mut dice)
}

impl Build<'_> {
    /// A multi-effects unit, with units in its loop, or an amp's input and the amp's own send.
    fn multi_effects(&mut self, from: JackRef, four_leads: bool) -> DeviceId {
        let mut inside = parts::multi_effects(self.dice);
        let amp = four_leads.then(|| self.amp_with_loop());
        if let Some(amp) = amp {
            // Where the guitar's own signal met the preamplifier's, neither would be told with the other.
            let mixes =
                self.rig.device(amp).is_some_and(|amp| amp.kind.effects_loop().is_some_and(|way| way.mixes_inside()));
            let way = inside.effects_loop.unwrap_or_else(|| parts::effects_loop(self.dice));
            inside.effects_loop = Some(EffectsLoop { dry: None, has_switch: way.has_switch && !mixes, ..way });
            if mixes {
                inside.patches.clear();
            }
        }
        let (has_loop, stereo) = (inside.effects_loop.is_some(), inside.stereo.is_some());
        let unit = self.add(Kind::MultiEffects(inside));
        self.plug(from, JackRef::new(unit, Jack::In));
        let at = |jack| JackRef::new(unit, jack);
        if let Some(amp) = amp {
            let of_amp = |jack| JackRef::new(amp, jack);
            let many = self.dice.below(2);
            let first = self.units(at(Jack::Send(1)), 2, many);
            self.plug(first, of_amp(Jack::In));
            self.plug(of_amp(Jack::Send(1)), at(Jack::Return(1)));
            let many = self.dice.below(2);
            let last = self.units(at(Jack::Out), 2, many);
            self.plug(last, of_amp(Jack::Return(1)));
        } else if has_loop {
            self.in_the_loop(unit);
        }
        if stereo && self.dice.chance(0.7) {
            let many = self.dice.below(2);
            let from = self.units(at(Jack::SecondOut), 2, many);
            self.endpoint(from);
        }
        unit
    }

    fn amp_with_loop(&mut self) -> DeviceId {
        let input = parts::input(self.dice);
        let effects_loop = Some(parts::effects_loop(self.dice));
        self.add(Kind::Amp(Amp { effects_loop, ..Amp::of(input) }))
    }

    /// Units between a send and its return; now and then nothing, or one of the two alone.
    pub fn in_the_loop(&mut self, device: DeviceId) {
        let (send, back) = (JackRef::new(device, Jack::Send(1)), JackRef::new(device, Jack::Return(1)));
        let many = self.dice.below(3);
        match self.dice.below(10) {
            0 => {}
            1 => {
                let last = self.units(send, 2, many);
                self.endpoint(last);
            }
            _ => {
                let last = self.units(send, 2, many);
                self.plug(last, back);
            }
        }
    }
}
