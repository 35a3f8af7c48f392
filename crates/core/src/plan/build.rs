//! From a rig to its plan: the graph of stations and wires.

use std::collections::{BTreeMap, BTreeSet};

use super::guitar;
use super::kinds::{alternatives, resistor_ladder, unpowered, wiring};
use super::mixer::mixer_station;
use super::stereo::InStereo;
use super::{Alternative, HIGH_IMPEDANCE, Out, Plan, Start, Station, Wire};
use crate::network::{Branch, Ladder};
use crate::rig::{ActiveSource, Amp, Device, DeviceId, Jack, JackRef, Kind, Lead, Rig, Side, State};
use crate::units::Level;

/// The plan of a rig. Of the state it reads where controls stand, and what no foot works.
///
/// A rig with problems has a plan too: wires that lead nowhere, devices that
/// nothing reaches left out, a circle cut where it closes.
#[must_use]
pub fn plan(rig: &Rig, controls: &State) -> Plan {
    let mut builder = Builder {
        devices: rig.devices.iter().map(|device| (device.id, device)).collect(),
        leads: BTreeMap::new(),
        ends: BTreeSet::new(),
        controls,
        plan: Plan::default(),
        known: BTreeMap::new(),
        on_the_way: Vec::new(),
    };
    for lead in &rig.leads {
        // Of two leads in one jack the first counts; the second is a problem.
        builder.leads.entry(lead.from).or_insert(lead);
        builder.ends.insert(lead.to);
    }
    for device in &rig.devices {
        for &jack in device.kind.jacks() {
            let at = JackRef::new(device.id, jack);
            if device.kind.starts(jack) && (builder.leads.contains_key(&at) || !matches!(jack, Jack::Send(_))) {
                let start = builder.start(device, at);
                builder.plan.starts.push(start);
                builder.follow(at, builder.plan.starts.len() - 1);
            }
        }
    }
    builder.plan
}

/// A plan while it is built.
pub struct Builder<'a> {
    pub devices: BTreeMap<DeviceId, &'a Device>,
    /// The first lead from each output.
    pub leads: BTreeMap<JackRef, &'a Lead>,
    /// The inputs that leads are plugged into.
    pub ends: BTreeSet<JackRef>,
    pub controls: &'a State,
    plan: Plan,
    /// The stations that there are.
    known: BTreeMap<Point, usize>,
    /// Of each station, whether the way that is being followed goes through it.
    on_the_way: Vec<bool>,
}

/// What a device with an effects loop has inside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Inside {
    /// Behind an amp's preamplifier.
    Preamp,
    /// Where a parallel loop's two ways part.
    Parting,
    /// The dry way beside the loop.
    Dry,
    /// What drives the send.
    Send,
}

/// What has a station.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Point {
    /// An input jack.
    Input(JackRef),
    /// On a switcher's rail, behind so many of its loops.
    Rail(DeviceId, u8),
    /// The buffer on a switcher's rail that some of its loops stand before.
    RailBuffer(DeviceId),
    /// Where a mixer's inputs come together, or an effects loop and what goes past it.
    Sum(DeviceId),
    /// A point before an effects loop.
    Inside(DeviceId, Inside),
    /// A point inside a stereo unit.
    Stereo(DeviceId, InStereo),
}

/// Where a signal leaves a station, its way onward not followed yet.
pub enum Leaving {
    /// At an output jack.
    Jack(JackRef),
    /// Over a contact, to a point of the rail.
    Contact(Point),
}

/// A station whose ways onward are being followed.
struct Visit {
    station: usize,
    outs: std::vec::IntoIter<Leaving>,
}

impl Builder<'_> {
    fn start(&self, device: &Device, jack: JackRef) -> Start {
        let (source, level, high_impedance, is_instrument) = match &device.kind {
            Kind::Guitar(inside) => {
                let guitar::Source { ladder, level, is_passive } = guitar::source(device, inside, self.controls);
                (ladder, level, is_passive, true)
            }
            Kind::Active(ActiveSource { output, gain, piezo, .. }) => {
                let mut source = resistor_ladder(*output);
                piezo.iter().for_each(|piezo| source.series(Branch::Capacitor(*piezo)));
                let high_impedance = piezo.is_some() || *output >= HIGH_IMPEDANCE;
                (source, Level::from_ratio(gain.get()), high_impedance, true)
            }
            // What parts inside does so before the send's resistance.
            Kind::Amp(_) if self.mixing(device.id).is_some() => (Ladder::new(), Level::Decibels(0.0), false, false),
            Kind::Amp(Amp { effects_loop: Some(way), .. }) => {
                (resistor_ladder(way.send), Level::Decibels(0.0), way.send >= HIGH_IMPEDANCE, false)
            }
            _ => (Ladder::new(), Level::Decibels(0.0), false, false),
        };
        let (switches, choices) = guitar::choices(device, self.controls);
        let played =
            self.controls.instrument.filter(|id| self.devices.get(id).is_some_and(|it| it.kind.is_instrument()));
        let is_idle = is_instrument && played.is_some_and(|played| played != device.id);
        Start { jack, source, level, high_impedance, is_instrument, switches, choices, is_idle, wire: None }
    }

    /// Follows the leads from a start to all stations. Rigs may be longer than a
    /// thread's stack is deep.
    fn follow(&mut self, from: JackRef, start: usize) {
        let mut visits = Vec::new();
        let wire = match self.mixing(from.device) {
            Some(_) if matches!(from.jack, Jack::Send(_)) => {
                Some(Wire::contact(self.point(Point::Inside(from.device, Inside::Preamp), &mut visits)))
            }
            _ => self.lead_from(from, &mut visits),
        };
        self.plan.starts[start].wire = wire;
        while let Some(visit) = visits.last_mut() {
            let station = visit.station;
            let Some(leaving) = visit.outs.next() else {
                self.on_the_way[station] = false;
                visits.pop();
                continue;
            };
            let out = match leaving {
                Leaving::Jack(jack) => Out { jack: Some(jack), wire: self.lead_from(jack, &mut visits) },
                Leaving::Contact(point) => {
                    let to = self.point(point, &mut visits);
                    Out { jack: None, wire: Some(Wire::contact(to)) }
                }
            };
            self.plan.stations[station].outs.push(out);
        }
    }

    /// The lead that is plugged into an output.
    fn lead_from(&mut self, from: JackRef, visits: &mut Vec<Visit>) -> Option<Wire> {
        let lead = *self.leads.get(&from)?;
        let plug = Branch::Capacitor(lead.cable.plug).simplified();
        // An input takes one lead; what a second one leads to is a problem.
        let point = Point::Input(lead.to);
        let to = (!self.known.contains_key(&point)).then(|| self.point(point, visits)).flatten();
        Some(Wire { lead: Some(lead.id), plug, line: Some(lead.line()), to })
    }

    /// The station at a point; none where a circle would close.
    fn point(&mut self, point: Point, visits: &mut Vec<Visit>) -> Option<usize> {
        if let Some(&at) = self.known.get(&point) {
            return Some(at).filter(|at| !self.on_the_way[*at]);
        }
        let (device, jack) = match point {
            Point::Input(jack) => (*self.devices.get(&jack.device)?, jack.jack),
            Point::Rail(device, loops) => (*self.devices.get(&device)?, Jack::Send(loops + 1)),
            Point::RailBuffer(device) => (*self.devices.get(&device)?, Jack::In),
            Point::Sum(device) => (*self.devices.get(&device)?, Jack::Out),
            Point::Inside(device, _) => (*self.devices.get(&device)?, Jack::Send(1)),
            Point::Stereo(device, _) => (*self.devices.get(&device)?, Jack::Out),
        };
        let (station, outs) = match (&device.kind, point) {
            (Kind::Switcher(switcher), _) => self.switcher_station(device, switcher, point)?,
            (Kind::Mixer(mixer), _) => mixer_station(device, mixer, point)?,
            (Kind::Selector(selector), _) => self.selector_station(device, selector, point)?,
            (_, Point::Stereo(_, inside)) => self.stereo_station(device, inside)?,
            (Kind::MultiEffects(unit), _) => self.multi_effects_station(device, unit, point)?,
            (Kind::Amp(_), point) if point != Point::Input(JackRef::new(device.id, Jack::In)) => {
                self.loop_station(device, point).or_else(|| self.input_station(device, jack))?
            }
            (_, Point::Input(_)) => match Side::BOTH.into_iter().find(|side| side.input() == jack) {
                Some(side) if self.stereo(device).is_some() => self.stereo_pedal_station(device, side),
                _ => self.input_station(device, jack)?,
            },
            (_, Point::Rail(..) | Point::RailBuffer(_) | Point::Sum(_) | Point::Inside(..)) => return None,
        };
        let at = self.plan.stations.len();
        self.plan.stations.push(station);
        self.on_the_way.push(true);
        self.known.insert(point, at);
        visits.push(Visit { station: at, outs: outs.into_iter() });
        Some(at)
    }

    /// The station at an input jack, nothing at its outputs yet.
    fn input_station(&self, device: &Device, jack: Jack) -> Option<(Station, Vec<Leaving>)> {
        if jack.is_output() || !device.kind.jacks().contains(&jack) {
            return None;
        }
        let alternatives = alternatives(device, jack, self.controls);
        let unpowered = Alternative::always(unpowered(&device.kind, &alternatives));
        let switch = device.on_off().filter(|_| alternatives.len() > 1);
        let outs = device.kind.onward(jack).iter();
        let outs = outs.map(|&out| Leaving::Jack(JackRef::new(device.id, out))).collect();
        let station = Station {
            switch,
            is_endpoint: device.kind.is_endpoint(jack),
            ..Station::new(JackRef::new(device.id, jack), wiring(&device.kind), alternatives, Some(unpowered))
        };
        Some((self.held(station), outs))
    }

    /// A station that is what its switch makes it, where that is held.
    pub fn held(&self, mut station: Station) -> Station {
        if let Some(held) = station.switch.filter(|switch| !switch.varies()) {
            station.hold(self.controls.position(&held));
        }
        station
    }
}
