//! From a rig to its plan: what each kind of device is to the signal.

use std::collections::{BTreeMap, BTreeSet};

use super::{Alternative, HIGH_IMPEDANCE, Out, Plan, Start, Station, Through, Wire};
use crate::network::{Branch, Ladder};
use crate::rig::{
    ActiveSource, Amp, Bypass, Control, Device, DeviceId, DirectBox, Guitar, Input, Jack, JackRef, Kind, Lead,
    LoopContact, MOST_LOOPS, Pedal, Position, Rig, Splitter, Stage, State, Switcher, ToneOrder, Treadle, TrebleBleed,
    Tuner, WithoutPower,
};
use crate::units::{Farads, Level, Ohms, Turn};

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
            if device.kind.starts(jack) && (builder.leads.contains_key(&at) || !matches!(device.kind, Kind::Amp(_))) {
                let start = builder.start(device, at);
                builder.plan.starts.push(start);
                builder.follow(at, builder.plan.starts.len() - 1);
            }
        }
    }
    builder.plan
}

struct Builder<'a> {
    devices: BTreeMap<DeviceId, &'a Device>,
    leads: BTreeMap<JackRef, &'a Lead>,
    /// The inputs that leads are plugged into.
    ends: BTreeSet<JackRef>,
    controls: &'a State,
    plan: Plan,
    /// The stations that there are.
    known: BTreeMap<Point, usize>,
    /// Of each station, whether the way that is being followed goes through it.
    on_the_way: Vec<bool>,
}

/// What has a station.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Point {
    /// An input jack.
    Input(JackRef),
    /// On a switcher's rail, behind so many of its loops.
    Rail(DeviceId, u8),
}

/// Where a signal leaves a station, its way onward not followed yet.
enum Leaving {
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
            Kind::Guitar(guitar) => (guitar_ladder(guitar, device.id, self.controls), Level::Decibels(0.0), true, true),
            Kind::Active(ActiveSource { output, gain, piezo, .. }) => {
                let mut source = resistor_ladder(*output);
                piezo.iter().for_each(|piezo| source.series(Branch::Capacitor(*piezo)));
                let high_impedance = piezo.is_some() || *output >= HIGH_IMPEDANCE;
                (source, Level::from_ratio(gain.get()), high_impedance, true)
            }
            Kind::Amp(Amp { effects_loop: Some(way), .. }) => {
                (resistor_ladder(way.send), Level::Decibels(0.0), way.send >= HIGH_IMPEDANCE, false)
            }
            _ => (Ladder::new(), Level::Decibels(0.0), false, false),
        };
        Start { jack, source, level, high_impedance, is_instrument, wire: None }
    }

    /// Follows the leads from a start to all stations. Rigs may be longer than a
    /// thread's stack is deep.
    fn follow(&mut self, from: JackRef, start: usize) {
        let mut visits = Vec::new();
        let wire = self.lead_from(from, &mut visits);
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
        };
        let (station, outs) = match (&device.kind, point) {
            (Kind::Switcher(switcher), _) => self.switcher_station(device, switcher, point)?,
            (_, Point::Input(_)) => self.input_station(device, jack)?,
            (_, Point::Rail(..)) => return None,
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
        let alternatives = self.alternatives(device, jack);
        let unpowered = Alternative::always(unpowered(&device.kind, &alternatives));
        let switch = device.on_off().filter(|_| alternatives.len() > 1);
        let outs = device.kind.onward(jack).iter();
        let outs = outs.map(|&out| Leaving::Jack(JackRef::new(device.id, out))).collect();
        let station = Station {
            jack: JackRef::new(device.id, jack),
            wiring: wiring(&device.kind),
            unpowered,
            switch,
            alternatives,
            outs: Vec::new(),
            is_endpoint: device.kind.is_endpoint(jack),
        };
        Some((self.held(station), outs))
    }

    /// A station that is what its switch makes it, where that is held.
    fn held(&self, mut station: Station) -> Station {
        if let Some(held) = station.switch.filter(|switch| !switch.varies()) {
            station.hold(self.controls.position(&held));
        }
        station
    }

    /// The station at one of a switcher's inputs, or at a point of its rail.
    ///
    /// Loop k lies between the points behind k − 1 and behind k loops. While it is
    /// out, a contact joins the two; while it is in, one joins its send to the
    /// first and another its return to the second.
    fn switcher_station(&self, device: &Device, switcher: &Switcher, point: Point) -> Option<(Station, Vec<Leaving>)> {
        let rail = |loops| Leaving::Contact(Point::Rail(device.id, loops));
        let passing = || Alternative::always(pass(Ladder::new(), false));
        let ends_in = switcher.without_power != WithoutPower::Passes;
        let stage = |buffer: &Option<Stage>| {
            let with_power =
                buffer.as_ref().map_or_else(passing, |stage| Alternative::always(isolate(stage, Level::Decibels(0.0))));
            let silent = |stage: &Stage| Alternative::always(isolate(stage, Level::Silent));
            let without = buffer.as_ref().filter(|_| ends_in).map_or_else(passing, silent);
            (with_power, without)
        };
        let station = |jack: Jack, wiring: Farads, (alternative, unpowered): (Alternative, Alternative)| Station {
            jack: JackRef::new(device.id, jack),
            wiring: Branch::Capacitor(wiring).simplified(),
            switch: None,
            alternatives: vec![alternative],
            unpowered,
            outs: Vec::new(),
            is_endpoint: false,
        };
        let nothing = Farads::of(0.0);
        match point {
            Point::Input(JackRef { jack: Jack::In, .. }) => {
                let mut ends = stage(&switcher.input);
                // Its contacts, wherever they stay without power, are cut off from the input.
                if ends_in && switcher.input.is_none() {
                    ends.1 = Alternative::always(Through::End { load: Branch::Open });
                }
                Some((station(Jack::In, switcher.wiring, ends), vec![rail(0)]))
            }
            Point::Input(JackRef { jack: Jack::Return(number), .. }) if switcher.all_loops().any(|n| n == number) => {
                let open = || Alternative::always(Through::End { load: Branch::Open });
                let mut back = station(Jack::Return(number), nothing, (passing(), open()));
                match self.contact(device, number)? {
                    LoopContact::Fixed(true) => {}
                    LoopContact::Fixed(false) => back.alternatives = vec![open()],
                    LoopContact::Switched { switch, positions } => {
                        let at = |(position, is_in): &(Position, bool)| {
                            let it = if *is_in { passing() } else { open() };
                            Alternative { position: Some(*position), ..it }
                        };
                        back.alternatives = positions.iter().map(at).collect();
                        back.switch = Some(switch);
                    }
                }
                Some((self.held(back), vec![rail(number)]))
            }
            Point::Rail(_, loops) if loops == switcher.loops.min(MOST_LOOPS) => {
                let out = Leaving::Jack(JackRef::new(device.id, Jack::Out));
                Some((station(Jack::Out, nothing, stage(&switcher.output)), vec![out]))
            }
            Point::Rail(_, loops) => {
                let to = |out: usize| Alternative { out: Some(out), ..passing() };
                let (out, into) = (0, 1);
                let mut fork = station(Jack::Send(loops + 1), switcher.contacts, (to(out), to(out)));
                match self.contact(device, loops + 1)? {
                    LoopContact::Fixed(is_in) => fork.alternatives = vec![to(if is_in { into } else { out })],
                    LoopContact::Switched { switch, positions } => {
                        let at = |(position, is_in): &(Position, bool)| Alternative {
                            position: Some(*position),
                            ..to(if *is_in { into } else { out })
                        };
                        fork.alternatives = positions.iter().map(at).collect();
                        fork.switch = Some(switch);
                    }
                }
                let send = Leaving::Jack(JackRef::new(device.id, Jack::Send(loops + 1)));
                Some((self.held(fork), vec![rail(loops + 1), send]))
            }
            Point::Input(_) => None,
        }
    }

    /// What puts a loop in. An empty one never is: with no plug in either, the
    /// jacks' own contacts join send and return. [common practice, no source]
    fn contact(&self, device: &Device, number: u8) -> Option<LoopContact> {
        let at = |jack| JackRef::new(device.id, jack);
        let is_empty =
            !self.leads.contains_key(&at(Jack::Send(number))) && !self.ends.contains(&at(Jack::Return(number)));
        if is_empty { Some(LoopContact::Fixed(false)) } else { device.loop_contact(number) }
    }

    fn alternatives(&self, device: &Device, jack: Jack) -> Vec<Alternative> {
        let foot = |control| self.controls.turn(device.id, control);
        match &device.kind {
            Kind::Pedal(pedal) | Kind::Treadle(Treadle::Wah { pedal }) => switched(pedal, false),
            Kind::Tuner(Tuner::Through { pedal, mutes }) => switched(pedal, *mutes),
            Kind::Buffer(buffer) => fixed(isolate(&buffer.stage, Level::Decibels(0.0))),
            Kind::Wireless(set) => fixed(isolate(&set.stage, Level::Decibels(0.0))),
            Kind::Splitter(Splitter::Buffered { stage, .. }) => fixed(isolate(stage, Level::Decibels(0.0))),
            Kind::Splitter(Splitter::Passive { .. }) => fixed(pass(Ladder::new(), false)),
            Kind::Treadle(Treadle::BufferedVolume { stage, taper, .. }) => {
                fixed(isolate(stage, Level::from_ratio(taper.part_below(foot(Control::Treadle)))))
            }
            Kind::Treadle(Treadle::PassiveVolume { pot, .. }) => {
                let (above, below) = pot.split(foot(Control::Treadle));
                let mut rungs = Ladder::new();
                rungs.series(Branch::Resistor(above));
                rungs.shunt(Branch::Resistor(below));
                // Half-way a pot is a source of a quarter of itself.
                fixed(pass(rungs, pot.resistance.get() / 4.0 >= HIGH_IMPEDANCE.get()))
            }
            Kind::DirectBox(DirectBox::Active { input, .. }) => fixed(hang(load(input))),
            Kind::DirectBox(DirectBox::Transformer { turns, load, .. }) => {
                let reflected = Ohms::clamped(turns.get() * turns.get() * load.get());
                fixed(hang(Branch::Resistor(reflected)))
            }
            Kind::Transformer(transformer) => {
                // One to one, so each side is seen from the other as it is.
                let mut rungs = Ladder::new();
                rungs.series(Branch::Resistor(transformer.winding));
                rungs.shunt(Branch::Parallel(vec![
                    Branch::Inductor(transformer.magnetising),
                    Branch::Capacitor(transformer.capacitance),
                ]));
                rungs.series(Branch::Resistor(transformer.winding));
                fixed(pass(rungs, false))
            }
            Kind::Tuner(Tuner::Tap { input }) => fixed(Through::End { load: load(input) }),
            Kind::Interface(interface) => fixed(Through::End { load: load(&interface.input) }),
            Kind::Amp(amp) => fixed(Through::End { load: amp_load(amp, jack) }),
            Kind::Guitar(_) | Kind::Active(_) | Kind::Switcher(_) | Kind::Supply(_) => Vec::new(),
        }
    }
}

fn fixed(through: Through) -> Vec<Alternative> {
    vec![Alternative::always(through)]
}

fn pass(rungs: Ladder, high_impedance: bool) -> Through {
    Through::Pass { rungs, high_impedance }
}

/// A load that hangs on a run which goes on.
fn hang(load: Branch) -> Through {
    let mut rungs = Ladder::new();
    rungs.shunt(load);
    pass(rungs, false)
}

fn load(input: &Input) -> Branch {
    // No resistance at all is a short, as the player typed it.
    let inside = Branch::Parallel(vec![Branch::Resistor(input.resistance), Branch::Capacitor(input.capacitance)]);
    match input.coupling {
        Some(coupling) => Branch::Series(vec![Branch::Capacitor(coupling), inside]).simplified(),
        None => inside.simplified(),
    }
}

fn isolate(stage: &Stage, foot: Level) -> Through {
    let mut output = resistor_ladder(stage.output);
    output.shunt(Branch::Capacitor(stage.output_capacitance));
    Through::Isolate {
        load: load(&stage.input),
        output,
        level: Level::Decibels(stage.level.get()).then(foot),
        high_impedance: stage.output >= HIGH_IMPEDANCE,
    }
}

fn switched(pedal: &Pedal, mutes: bool) -> Vec<Alternative> {
    let on = Stage { output: pedal.output(), ..pedal.on };
    let on = isolate(&on, if mutes { Level::Silent } else { Level::Decibels(0.0) });
    let off = match pedal.bypass {
        Bypass::True => pass(Ladder::new(), false),
        Bypass::Buffered => isolate(&pedal.off, Level::Decibels(0.0)),
        Bypass::AlwaysLoading => hang(load(&pedal.off.input)),
    };
    [(Position::OFF, off), (Position::ON, on)]
        .map(|(position, through)| Alternative { position: Some(position), through, out: None })
        .into()
}

/// What a device is without power. An input hangs on the run with the values that
/// it has with power: its resistors are there still. [memory, S: dead-run]
fn unpowered(kind: &Kind, alternatives: &[Alternative]) -> Through {
    if let Some(pedal) = kind.pedal() {
        return match (pedal.unpowered(), pedal.bypass) {
            (WithoutPower::Passes, Bypass::True | Bypass::Buffered) => pass(Ladder::new(), false),
            (WithoutPower::Passes, Bypass::AlwaysLoading) => hang(load(&pedal.off.input)),
            (WithoutPower::Silent | WithoutPower::Unknown, Bypass::Buffered) => isolate(&pedal.off, Level::Silent),
            // The relay has stayed at the effect.
            (WithoutPower::Silent | WithoutPower::Unknown, _) => isolate(&pedal.on, Level::Silent),
        };
    }
    match alternatives.first().map(|only| only.through.clone()) {
        Some(Through::Isolate { load, output, high_impedance, .. }) => {
            Through::Isolate { load, output, level: Level::Silent, high_impedance }
        }
        Some(through) => through,
        None => pass(Ladder::new(), false),
    }
}

fn wiring(kind: &Kind) -> Branch {
    let capacitance = match kind {
        Kind::Buffer(buffer) => buffer.wiring,
        Kind::Treadle(Treadle::PassiveVolume { wiring, .. } | Treadle::BufferedVolume { wiring, .. })
        | Kind::Splitter(Splitter::Passive { wiring } | Splitter::Buffered { wiring, .. }) => *wiring,
        kind => kind.pedal().map_or(Farads::of(0.0), |pedal| pedal.wiring),
    };
    Branch::Capacitor(capacitance).simplified()
}

fn amp_load(amp: &Amp, jack: Jack) -> Branch {
    match (jack, &amp.effects_loop) {
        (Jack::Return(_), Some(way)) => load(&way.back),
        _ => {
            let grid = amp.grid.map_or(Branch::Open, |grid| {
                Branch::Series(vec![Branch::Resistor(grid.stopper), Branch::Capacitor(grid.miller())])
            });
            Branch::Parallel(vec![load(&amp.input), grid]).simplified()
        }
    }
}

fn resistor_ladder(output: Ohms) -> Ladder {
    let mut ladder = Ladder::new();
    ladder.series(Branch::Resistor(output));
    ladder
}

/// What stands between a passive instrument's EMF and its jack.
fn guitar_ladder(guitar: &Guitar, device: DeviceId, controls: &State) -> Ladder {
    let mut ladder = Ladder::new();
    let pickup = &guitar.pickup;
    let coil = Branch::Inductor(pickup.inductance);
    let coil = match pickup.eddy_loss {
        Some(loss) => Branch::Parallel(vec![coil, Branch::Resistor(loss)]),
        None => coil,
    };
    ladder.series(Branch::Series(vec![Branch::Resistor(pickup.resistance), coil]));
    ladder.shunt(Branch::Capacitor(pickup.capacitance));
    let tone = guitar.tone.map(|tone| {
        let (_, below) = tone.pot.split(controls.turn(device, Control::Tone));
        let branch = Branch::Series(vec![Branch::Resistor(below), Branch::Capacitor(tone.capacitor)]);
        (tone.order, branch)
    });
    let (on_input, on_wiper) = match tone {
        Some((ToneOrder::OnInput, branch)) => (Some(branch), None),
        Some((ToneOrder::OnWiper, branch)) => (None, Some(branch)),
        None => (None, None),
    };
    ladder.shunt(on_input.unwrap_or(Branch::Open));
    if let Some(volume) = guitar.volume {
        let turn: Turn = controls.turn(device, Control::Volume);
        let (above, below) = volume.split(turn);
        ladder.series(bridged(above, guitar.treble_bleed));
        ladder.shunt(Branch::Resistor(below));
    }
    ladder.shunt(on_wiper.unwrap_or(Branch::Open));
    ladder
}

/// The upper part of the volume pot with the treble bleed across it.
fn bridged(above: Ohms, bleed: Option<TrebleBleed>) -> Branch {
    let bridge = match bleed {
        None => Branch::Open,
        Some(TrebleBleed::Capacitor { capacitance }) => Branch::Capacitor(capacitance),
        Some(TrebleBleed::Parallel { capacitance, resistance }) => {
            Branch::Parallel(vec![Branch::Capacitor(capacitance), Branch::Resistor(resistance)])
        }
        Some(TrebleBleed::Series { capacitance, resistance }) => {
            Branch::Series(vec![Branch::Capacitor(capacitance), Branch::Resistor(resistance)])
        }
    };
    Branch::Parallel(vec![Branch::Resistor(above), bridge])
}
