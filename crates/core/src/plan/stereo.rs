//! A stereo unit as the signal sees it: where it becomes two sides, and where these meet again.
//!
//! ```text
//!            on, or a buffer that stays
//! input ──┬────── sides ──┬── left ───┬── joined ── left output
//!         │               └── right ──│── joined ── right output
//!         └── off, joined ────────────┘
//! ```

use super::build::{Builder, Leaving, Point};
use super::effects_loop::{adds_up, station};
use super::kinds::{alternatives, output_ladder, pass, unpowered, wiring};
use super::{Alternative, Behaviour, HIGH_IMPEDANCE, Station};
use crate::network::{Branch, Ladder};
use crate::rig::{Alone, Bypass, Device, Jack, JackRef, Kind, Position, Side, Stage, Stereo, WithoutPower};
use crate::units::{Farads, Level};

/// A point inside a stereo unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum InStereo {
    /// Where one signal becomes two sides; while the unit is on, or off.
    Sides { on: bool },
    /// What drives the output of a side; while the unit is on, or off.
    Side { on: bool, side: Side },
    /// Where both sides add up for the one output that is in use.
    Sum,
    /// At an output's jack, where a bypass meets what the unit gives.
    Joined(Side),
}

impl Builder<'_> {
    /// A unit's second channel, where anything hangs on there being two.
    pub fn stereo<'a>(&self, device: &'a Device) -> Option<&'a Stereo> {
        let stereo = device.kind.stereo()?;
        let out = self.leads.contains_key(&JackRef::new(device.id, Jack::SecondOut));
        let alone = stereo.alone == Alone::Both || stereo.pan.is_some();
        (out || self.second_comes_in(device) || alone).then_some(stereo)
    }

    /// Whether something is plugged into a unit's second input.
    fn second_comes_in(&self, device: &Device) -> bool {
        self.ends.contains(&JackRef::new(device.id, Jack::SecondIn))
    }

    /// Whether both sides add up in a unit while it is on.
    fn sides_add_up(&self, device: &Device, stereo: &Stereo) -> bool {
        stereo.alone == Alone::Both && !self.leads.contains_key(&JackRef::new(device.id, Jack::SecondOut))
    }

    /// What the signal of an input comes to first where it is isolated.
    pub fn toward_sides(&self, device: &Device, on: bool, from: Side) -> Leaving {
        let alone = from == Side::Right || self.second_comes_in(device);
        let point = if alone { InStereo::Side { on, side: from } } else { InStereo::Sides { on } };
        Leaving::Contact(Point::Stereo(device.id, point))
    }

    /// The station at an input of a stereo unit with a footswitch, which acts in both inputs.
    pub fn stereo_pedal_station(&self, device: &Device, side: Side) -> (Station, Vec<Leaving>) {
        /// The outs of the station.
        const JOINED: usize = 0;
        const ON: usize = 1;
        const OFF: usize = 2;
        let jack = side.input();
        // Inside there is no output resistance yet: each side has its own.
        let inner = |one: Alternative, isolated: usize| {
            let mut behaviour = one.behaviour;
            let out = match &mut behaviour {
                Behaviour::Isolate { output, high_impedance, .. } => {
                    (*output, *high_impedance) = (Ladder::new(), false);
                    isolated
                }
                _ => JOINED,
            };
            Alternative { position: one.position, behaviour, out: Some(out) }
        };
        let all = alternatives(device, jack, self.controls);
        let stays = device.kind.pedal().is_some_and(|pedal| pedal.bypass == Bypass::Buffered);
        let without = inner(Alternative::always(unpowered(&device.kind, &all)), if stays { OFF } else { ON });
        let all: Vec<Alternative> = all.into_iter().zip([OFF, ON]).map(|(one, to)| inner(one, to)).collect();
        let new = Station::new(JackRef::new(device.id, jack), wiring(&device.kind), all, Some(without));
        let joined = Leaving::Contact(Point::Stereo(device.id, InStereo::Joined(side)));
        let on = self.toward_sides(device, true, side);
        let off = stays.then(|| self.toward_sides(device, false, side));
        let outs = [joined, on].into_iter().chain(off).collect();
        (self.held(Station { switch: device.on_off(), ..new }), outs)
    }

    /// The station at a point inside a stereo unit.
    pub fn stereo_station(&self, device: &Device, point: InStereo) -> Option<(Station, Vec<Leaving>)> {
        let stereo = device.kind.stereo()?;
        let nothing = Farads::of(0.0);
        let contact = |point| Leaving::Contact(Point::Stereo(device.id, point));
        let has_bypass = device.kind.pedal().is_some();
        let leave = |side: Side| match has_bypass {
            true => contact(InStereo::Joined(side)),
            false => Leaving::Jack(JackRef::new(device.id, side.output())),
        };
        let (level, add_up) = (Level::Decibels(0.0), self.sides_add_up(device, stereo));
        Some(match point {
            InStereo::Sides { on } => {
                let sides = adds_up(Ladder::new(), level, false);
                let outs = Side::BOTH.map(|side| contact(InStereo::Side { on, side }));
                (station(device, Jack::Out, nothing, sides), outs.into())
            }
            InStereo::Side { on, side } => {
                let add_up = on && add_up;
                let (output, high_impedance) = if add_up { (Ladder::new(), false) } else { driven(&device.kind, on)? };
                let mut gives = adds_up(output, if on { stereo.level(side) } else { level }, high_impedance);
                if let (true, Side::Right, Behaviour::Isolate { polarity, latency, .. }) = (on, side, &mut gives) {
                    (*polarity, *latency) = (stereo.right, stereo.right_latency);
                }
                let to = if add_up { contact(InStereo::Sum) } else { leave(side) };
                (self.while_it_is(device, on, station(device, side.output(), nothing, gives)), vec![to])
            }
            InStereo::Sum => {
                let (output, high_impedance) = driven(&device.kind, true)?;
                let sum = adds_up(output, level, high_impedance);
                let sum = self.while_it_is(device, true, station(device, Jack::Out, nothing, sum));
                (sum, vec![leave(Side::Left)])
            }
            InStereo::Joined(side) => {
                let jack = JackRef::new(device.id, side.output());
                let through = vec![Alternative::always(pass(Ladder::new(), false))];
                (Station::new(jack, nothing, through, None), vec![Leaving::Jack(jack)])
            }
        })
    }

    /// A station that drives an output while a unit is on, or while it is off, and else hangs
    /// nowhere: what lies behind the output feels which.
    fn while_it_is(&self, device: &Device, on: bool, mut station: Station) -> Station {
        let (Some(pedal), [gives]) = (device.kind.pedal(), &station.alternatives[..]) else { return station };
        let apart = Behaviour::End { load: Branch::Open };
        let at = |position: Position, behaviour: &Behaviour| Alternative {
            position: Some(position),
            behaviour: behaviour.clone(),
            out: None,
        };
        let (own, other) = if on { (Position::ON, Position::OFF) } else { (Position::OFF, Position::ON) };
        let drives = pedal.unpowered() != WithoutPower::Passes && on == (pedal.bypass != Bypass::Buffered);
        if !drives {
            station.unpowered = Some(Alternative::always(apart.clone()));
        }
        station.alternatives = vec![at(own, &gives.behaviour), at(other, &apart)];
        self.held(Station { switch: device.on_off(), ..station })
    }
}

/// What stands between a unit's EMF and one of its outputs, and whether that is feeble.
fn driven(kind: &Kind, on: bool) -> Option<(Ladder, bool)> {
    let stage = match kind.pedal() {
        Some(pedal) if on => Stage { output: pedal.output(), ..pedal.on },
        Some(pedal) => pedal.off,
        None => *kind.stage()?,
    };
    Some((output_ladder(&stage), stage.output >= HIGH_IMPEDANCE))
}
