//! Sends and returns as the signal sees them: where it parts inside, and where it meets again.
//!
//! ```text
//!                  ┌────────── past the loop ──────────┐
//! input, preamp ───┤          ┌── dry, if it stays ────┤
//!                  └─ parting ┤                        ├─ sum
//!                             └─ send ─ … ─ return ────┘
//! ```

use super::build::{Builder, Inside, Leaving, Point};
use super::kinds::{isolate, load, output_ladder, resistor_ladder};
use super::{Alternative, Behaviour, HIGH_IMPEDANCE, Station};
use crate::network::{Branch, Ladder};
use crate::rig::{
    Device, DeviceId, EffectsLoop, Jack, JackRef, Kind, LoopContact, MultiEffects, NO_LATENCY, Polarity, Position,
    Side, Stage, SwitchKey,
};
use crate::units::{Decibels, Farads, Level};

/// The number of the one loop that a unit or an amp has.
const LOOP: u8 = 1;
/// Of the outs of a station at which the signal may go past the loop: into it, and past.
const INTO: usize = 0;
const PAST: usize = 1;

impl Builder<'_> {
    /// An amp's loop in which ways part and meet: what comes back meets the dry signal, or a
    /// switch goes past it. None where nothing is plugged into the return.
    pub fn mixing(&self, device: DeviceId) -> Option<&EffectsLoop> {
        let kind = &self.devices.get(&device)?.kind;
        let is_amp = matches!(kind, Kind::Amp(_));
        kind.effects_loop().filter(|way| is_amp && way.mixes_inside() && self.comes_back(device))
    }

    /// Whether something is plugged into the return.
    fn comes_back(&self, device: DeviceId) -> bool {
        self.ends.contains(&JackRef::new(device, Jack::Return(LOOP)))
    }

    /// The station at a multi-effects unit's input, or at a point inside it.
    pub fn multi_effects_station(
        &self,
        device: &Device,
        unit: &MultiEffects,
        point: Point,
    ) -> Option<(Station, Vec<Leaving>)> {
        let out = |jack| Leaving::Jack(JackRef::new(device.id, jack));
        let is_stereo = self.stereo(device).is_some();
        let outs =
            |from: Side| if is_stereo { vec![self.toward_sides(device, true, from)] } else { vec![out(Jack::Out)] };
        let contact = self.contact(device, LOOP).map(LoopContact::simplified).filter(|contact| contact.can_be(true));
        match point {
            Point::Input(JackRef { jack: Jack::In, .. }) => {
                let played = self.played(device, unit, contact.is_some(), is_stereo);
                match contact {
                    None => Some((played, outs(Side::Left))),
                    Some(_) => Some((played, vec![self.toward_loop(device)?, Leaving::Contact(Point::Sum(device.id))])),
                }
            }
            // The second input's signal goes past the loop.
            Point::Input(JackRef { jack: Jack::SecondIn, .. }) => {
                let jack = JackRef::new(device.id, Jack::SecondIn);
                Some((Station { jack, ..self.played(device, unit, false, is_stereo) }, outs(Side::Right)))
            }
            Point::Sum(_) => {
                // Each of two sides has an output of its own.
                let output = if is_stereo { Ladder::new() } else { output_ladder(&unit.stage) };
                let high_impedance = !is_stereo && unit.stage.output >= HIGH_IMPEDANCE;
                let adds = adds_up(output, Level::Decibels(0.0), high_impedance);
                Some((station(device, Jack::Out, Farads::of(0.0), adds), outs(Side::Left)))
            }
            _ => self.loop_station(device, point),
        }
    }

    /// The station at the return of a unit's or an amp's loop, or at a point inside.
    pub fn loop_station(&self, device: &Device, point: Point) -> Option<(Station, Vec<Leaving>)> {
        let way = device.kind.effects_loop()?;
        let is_unit = matches!(device.kind, Kind::MultiEffects(_));
        if !is_unit && self.mixing(device.id).is_none() {
            return None;
        }
        let nothing = Farads::of(0.0);
        let sum = || Leaving::Contact(Point::Sum(device.id));
        match point {
            Point::Inside(_, Inside::Preamp) => {
                let through = || adds_up(Ladder::new(), Level::Decibels(0.0), false);
                let preamp = station(device, Jack::Send(LOOP), nothing, through());
                let leads = |is_in: bool| {
                    let out = Some(if is_in { INTO } else { PAST });
                    Alternative { out, ..Alternative::always(through()) }
                };
                let preamp = self.by_contact(preamp, device, LOOP, &leads)?;
                Some((preamp, vec![self.toward_loop(device)?, sum()]))
            }
            Point::Inside(_, Inside::Parting) => {
                let parting = adds_up(Ladder::new(), Level::Decibels(0.0), false);
                let dry = Leaving::Contact(Point::Inside(device.id, Inside::Dry));
                let send = Leaving::Contact(Point::Inside(device.id, Inside::Send));
                Some((station(device, Jack::Send(LOOP), nothing, parting), vec![dry, send]))
            }
            Point::Inside(_, Inside::Dry) => {
                // With no plug in the return its contact joins both halves.
                let level = way.dry.filter(|_| self.comes_back(device.id)).map_or(0.0, Decibels::get);
                let dry = adds_up(Ladder::new(), Level::Decibels(level), false);
                Some((station(device, Jack::Send(LOOP), nothing, dry), vec![sum()]))
            }
            Point::Inside(_, Inside::Send) => {
                let level = if is_unit { way.send_level.get() } else { 0.0 };
                let send = adds_up(resistor_ladder(way.send), Level::Decibels(level), way.send >= HIGH_IMPEDANCE);
                let out = Leaving::Jack(JackRef::new(device.id, Jack::Send(LOOP)));
                Some((station(device, Jack::Send(LOOP), nothing, send), vec![out]))
            }
            Point::Input(JackRef { jack: Jack::Return(LOOP), .. }) => {
                let hangs = || Alternative::always(Behaviour::End { load: load(&way.back) });
                let goes_on = || {
                    Alternative::always(Behaviour::Isolate {
                        load: load(&way.back),
                        output: Ladder::new(),
                        level: Level::Decibels(way.back_db()),
                        polarity: way.back_polarity,
                        latency: way.back_latency,
                        high_impedance: false,
                    })
                };
                let mut back = station(device, Jack::Return(LOOP), nothing, goes_on().behaviour);
                back.unpowered = Some(hangs());
                let what = |is_in: bool| if is_in { goes_on() } else { hangs() };
                match self.contact(device, LOOP)?.simplified() {
                    LoopContact::Fixed(is_in) => back.alternatives = vec![what(is_in)],
                    LoopContact::Switched { .. } => back = self.by_contact(back, device, LOOP, &what)?,
                }
                Some((back, vec![sum()]))
            }
            // A unit's own sum goes on to its outputs.
            Point::Sum(_) if !is_unit => {
                let adds = adds_up(Ladder::new(), Level::Decibels(0.0), false);
                let stage = station(device, Jack::PowerStage, nothing, adds);
                Some((Station { is_endpoint: true, ..stage }, Vec::new()))
            }
            _ => None,
        }
    }

    /// What the signal that goes into the loop comes to first.
    fn toward_loop(&self, device: &Device) -> Option<Leaving> {
        let dry_stays = device.kind.effects_loop()?.dry.is_some() || !self.comes_back(device.id);
        let first = if dry_stays { Inside::Parting } else { Inside::Send };
        Some(Leaving::Contact(Point::Inside(device.id, first)))
    }

    /// The station at a unit's input, in each position of what works it: its patches, or its
    /// loop's own switch. Where the loop is in use the signal goes on to points inside, and
    /// else straight to the outputs.
    fn played(&self, device: &Device, unit: &MultiEffects, loop_in_use: bool, is_stereo: bool) -> Station {
        let alternative = |position: Option<Position>, is_in: bool, own: Decibels| {
            let level = Decibels::clamped(unit.stage.level.get() + own.get());
            let mut behaviour = isolate(&Stage { level, ..unit.stage }, Level::Decibels(0.0));
            let goes_on_inside = loop_in_use || is_stereo;
            if let (true, Behaviour::Isolate { output, high_impedance, .. }) = (goes_on_inside, &mut behaviour) {
                (*output, *high_impedance) = (Ladder::new(), false);
            }
            let way = if is_in { INTO } else { PAST };
            Alternative { position, behaviour, out: loop_in_use.then_some(way) }
        };
        let nothing = Decibels::of(0.0);
        let switched = |key| device.switch(key);
        let (switch, alternatives) = match (switched(SwitchKey::Patch), switched(SwitchKey::Loop(LOOP))) {
            (Some(patches), _) => {
                let each = unit.patches_at().map(|(at, patch)| alternative(Some(at), patch.loop_in, patch.level));
                (Some(patches), each.collect())
            }
            (None, Some(own)) if loop_in_use => {
                let each = [Position::OFF, Position::ON].map(|at| alternative(Some(at), at == Position::ON, nothing));
                (Some(own), each.into())
            }
            (None, _) => {
                let only = unit.patches.first();
                let (is_in, level) = only.map_or((true, nothing), |patch| (patch.loop_in, patch.level));
                (None, vec![alternative(None, is_in, level)])
            }
        };
        let silent = Alternative::always(isolate(&unit.stage, Level::Silent));
        let station = Station::new(JackRef::new(device.id, Jack::In), unit.wiring, alternatives, Some(silent));
        self.held(Station { switch, ..station })
    }
}

/// A point inside, which several ways may come to at once, and what leaves it.
pub fn adds_up(output: Ladder, level: Level, high_impedance: bool) -> Behaviour {
    let (load, polarity, latency) = (Branch::Open, Polarity::Same, NO_LATENCY);
    Behaviour::Isolate { load, output, level, polarity, latency, high_impedance }
}

/// A station that without power is the same and silent.
pub fn station(device: &Device, jack: Jack, wiring: Farads, behaviour: Behaviour) -> Station {
    let mut silent = behaviour.clone();
    if let Behaviour::Isolate { level, .. } = &mut silent {
        *level = Level::Silent;
    }
    Station::new(
        JackRef::new(device.id, jack),
        wiring,
        vec![Alternative::always(behaviour)],
        Some(Alternative::always(silent)),
    )
}
