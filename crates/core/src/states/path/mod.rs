//! The ways from a start to where the level is wanted, with all that may happen on them.

mod block;
mod joined;
mod parting;

use crate::arrival::{Begin, Rest, Stand};
use crate::network::Ladder;
use crate::plan::{Behaviour, Plan, Spot, Start, Wire};
use crate::rig::{DeviceId, SwitchSetting};
use crate::units::Level;

use super::NoStates;

pub use block::Block;

/// One way that a station ends a stretch.
#[derive(Debug, Clone)]
pub struct Mode {
    /// The switch's position that it takes, if it takes one.
    pub stand: Option<Stand>,
    /// What hangs at the end of the stretch.
    pub load: Ladder,
    /// What the next stretch starts from.
    pub source: Ladder,
    /// Level in dB between the two.
    pub gain_db: f64,
    /// The level where the stretch comes next.
    pub to: usize,
}

/// A station on the way.
#[derive(Debug, Clone)]
pub struct Stop {
    /// Its number in the plan; of a block the station at which that begins.
    pub station: usize,
    /// The device.
    pub device: DeviceId,
    /// Rungs from the output before to this station's input, its wiring included.
    /// Where several ways lead here these are contacts, which have no rungs.
    pub arrive: Ladder,
    /// The modes in which it isolates.
    pub modes: Vec<Mode>,
    /// The ways on from here on which the stretch goes on.
    pub exits: Vec<Exit>,
    /// What lies from here to where several ways that hold at once have met; it
    /// takes the place of modes and exits.
    pub block: Option<Block>,
}

/// A way on from a station where the stretch goes on.
#[derive(Debug, Clone, PartialEq)]
pub struct Exit {
    /// The switch's position that it takes, if it takes one.
    pub stand: Option<Stand>,
    /// The rungs on to the outputs.
    pub rungs: Ladder,
    /// Side runs that hang on the outputs.
    pub side_runs: Vec<Wire>,
    /// The level where the stretch comes next.
    pub to: usize,
}

/// The whole way: a graph, in which the signal of one state goes one way only;
/// what lies between where it goes several ways is one stop.
///
/// The start is level 0, stop s is level s + 1, the spot comes last. The signal
/// only ever goes on to a higher level.
#[derive(Debug, Clone)]
pub struct Path {
    /// From the EMF to the first jack.
    pub source: Ladder,
    /// Level of the start.
    pub gain_db: f64,
    /// The stations in order, up to the last isolating one that may feed the spot.
    pub stops: Vec<Stop>,
    /// Rungs from the last stop's output to the spot.
    pub last: Ladder,
    /// What hangs on the spot.
    pub rest: Rest,
    /// Positions of switches that silence the spot by themselves: no way goes round them.
    pub mutes: Vec<SwitchSetting>,
}

impl Stop {
    /// The way on, of a stop that has one at most.
    pub fn pass(&self) -> Option<&Exit> {
        self.exits.first()
    }

    /// The side runs there, of a stop that has one way on at most.
    pub fn side_runs(&self) -> &[Wire] {
        self.pass().map_or(&[], |exit| &exit.side_runs)
    }

    /// All ways on: the switch's position that each takes, and the level that it leads to.
    pub fn onward(&self) -> impl Iterator<Item = (Option<Stand>, usize)> + '_ {
        let modes = self.modes.iter().map(|mode| (mode.stand, mode.to));
        let block = self.block.iter().map(|block| (None, block.to));
        modes.chain(self.exits.iter().map(|exit| (exit.stand, exit.to))).chain(block)
    }

    /// How many things it can be at which a stretch ends.
    pub fn ends(&self) -> usize {
        self.modes.len() + self.block.as_ref().map_or(0, |block| block.choices)
    }

    /// Whether the switch does no more than to choose between ways on.
    pub fn is_fork(&self) -> bool {
        self.exits.len() > 1
    }
}

impl Path {
    /// The level of the spot.
    pub fn spot(&self) -> usize {
        self.stops.len() + 1
    }

    /// Whether there is a way to the spot past a level.
    fn goes_round(&self, level: usize) -> bool {
        let mut reached = vec![false; self.spot() + 1];
        reached[1] = level != 1;
        for (at, stop) in self.stops.iter().enumerate().filter(|(at, _)| at + 1 != level) {
            if reached[at + 1] {
                stop.onward().for_each(|(_, to)| reached[to] = true);
            }
        }
        reached[self.spot()]
    }

    /// Whether every way on leads to the next station: no way parts.
    pub fn is_a_row(&self) -> bool {
        self.stops
            .iter()
            .enumerate()
            .all(|(at, stop)| stop.block.is_none() && stop.exits.len() < 2 && stop.onward().all(|(_, to)| to == at + 2))
    }
}

/// The path to a spot, if the plan has a way there from a start that sounds.
pub fn path(plan: &Plan, spot: Spot) -> Result<Path, NoStates> {
    let starts = plan.starts.iter().filter(|start| !start.is_idle);
    let found = starts.into_iter().find_map(|start| Some((WaysToSpot::new(plan, spot).path(start)?, start.level)));
    match found {
        Some((path, Level::Decibels(gain_db))) => Ok(Path { gain_db, ..path }),
        Some((_, Level::Silent)) => Err(NoStates::Silent),
        None => Err(NoStates::NoWay),
    }
}

/// What leads on to a spot.
struct WaysToSpot<'a> {
    plan: &'a Plan,
    spot: Spot,
    /// Of each station that was looked at, whether a way on from it leads to the spot.
    leads_on: Vec<Option<bool>>,
    /// Stations from which a way leads on, each behind all that it leads to.
    found: Vec<usize>,
    /// The level of each of them; none for what is inside a block.
    levels: Vec<usize>,
    /// Whether a block begins there.
    begins: Vec<bool>,
    /// The spot's level.
    end: usize,
}

impl<'a> WaysToSpot<'a> {
    fn new(plan: &'a Plan, spot: Spot) -> Self {
        let all = plan.stations.len();
        let (leads_on, levels, begins) = (vec![None; all], vec![0; all], vec![false; all]);
        Self { plan, spot, leads_on, found: Vec::new(), levels, begins, end: 0 }
    }

    fn path(mut self, start: &'a Start) -> Option<Path> {
        let first = start.wire.as_ref()?;
        self.look(first);
        if !self.goes_there(first) {
            return self.felt(start, first);
        }
        let order: Vec<usize> = self.found.iter().rev().copied().collect();
        let blocks = self.blocks(&order, first);
        self.number(&order, &blocks);
        let (mut last, mut rest) = (Ladder::new(), Rest::Inside);
        let mut stops: Vec<Stop> = Vec::with_capacity(self.found.len());
        let mut mutes = Vec::new();
        let mut arrivals: Vec<Ladder> = vec![Ladder::new(); self.end + 1];
        let onto_path = order.iter().filter(|at| self.levels[**at] > 0 && !self.begins[**at]);
        let wires = onto_path.flat_map(|at| self.plan.stations[*at].outs.iter().filter_map(|out| out.wire.as_ref()));
        for wire in wires.chain([first]).filter(|wire| self.goes_there(wire)) {
            let (arrive, hanging) = self.arrival(wire);
            match hanging {
                Some(hanging) => (last, rest) = (arrive, hanging),
                None => arrivals[self.level(wire)] = arrive,
            }
        }
        for (at, station) in order.iter().enumerate() {
            let level = self.levels[*station];
            let block = blocks.iter().find(|(places, _)| places.start == at);
            let arrive = std::mem::take(&mut arrivals[level]);
            let mut own = Vec::new();
            match block {
                None if level == 0 => continue,
                None => stops.push(self.stop(*station, arrive, &mut own)),
                Some((places, begin)) => {
                    let mut arrive = arrive;
                    if *begin == Begin::Outputs(*station) {
                        stops.push(self.before_block(*station, arrive, level + 1));
                        arrive = Ladder::new();
                    }
                    let inside: Vec<usize> = order[places.start..places.end].to_vec();
                    let end = order.get(places.end).copied();
                    let block = self.block(*begin, &inside, end, &mut own);
                    let device = self.plan.stations[*station].device();
                    let (modes, exits) = (Vec::new(), Vec::new());
                    stops.push(Stop { station: *station, device, arrive, modes, exits, block: Some(block) });
                }
            }
            mutes.extend(own.into_iter().map(|setting| (stops.len(), setting)));
        }
        let mut path = Path { source: start.source.clone(), gain_db: 0.0, stops, last, rest, mutes: Vec::new() };
        // What can be gone round silences nothing by itself.
        let is_a_row = path.is_a_row();
        let silences = mutes.into_iter().filter(|(level, _)| is_a_row || !path.goes_round(*level));
        path.mutes = silences.map(|(_, setting)| setting).collect();
        Some(path)
    }

    /// Whether a wire leads to the spot, its far end having been looked at.
    fn goes_there(&self, wire: &Wire) -> bool {
        self.is_at(wire) || wire.to.is_some_and(|to| self.leads_on[to] == Some(true))
    }

    /// Whether the spot is on a wire, or at its far end.
    fn is_at(&self, wire: &Wire) -> bool {
        match self.spot {
            Spot::Lead { lead, .. } => wire.lead == Some(lead),
            Spot::Input(at) => wire.to == Some(at),
        }
    }

    /// Looks at all that a wire leads to, each station once. Rigs may be longer
    /// than a thread's stack is deep.
    fn look(&mut self, first: &'a Wire) {
        let plan = self.plan;
        let mut visits: Vec<(usize, usize)> = Vec::new();
        let mut next = Some(first);
        loop {
            if let Some(to) = next.filter(|wire| !self.is_at(wire)).and_then(|wire| wire.to)
                && self.leads_on[to].is_none()
            {
                self.leads_on[to] = Some(false);
                visits.push((to, 0));
            }
            let Some((at, out)) = visits.last_mut() else { break };
            let station = &plan.stations[*at];
            if let Some(end) = station.outs.get(*out) {
                // What no alternative leads to has no signal to lead on.
                let is_used = station.alternatives.iter().any(|alternative| alternative.leads_to(*out));
                *out += 1;
                next = end.wire.as_ref().filter(|_| is_used);
                continue;
            }
            let at = *at;
            visits.pop();
            next = None;
            let onward = |alternative| station.wires(alternative).any(|(_, wire)| self.goes_there(wire));
            if station.alternatives.iter().any(onward) {
                self.leads_on[at] = Some(true);
                self.found.push(at);
            }
        }
    }

    /// The level that a wire leads to.
    fn level(&self, wire: &Wire) -> usize {
        match wire.to {
            Some(to) if !self.is_at(wire) => self.levels[to],
            _ => self.end,
        }
    }

    /// The rungs of a wire up to the next station's, or to the spot and what hangs there.
    fn arrival(&self, wire: &Wire) -> (Ladder, Option<Rest>) {
        let mut arrive = Ladder::new();
        if let (Spot::Lead { along, .. }, true, Some(line)) = (self.spot, self.is_at(wire), &wire.line) {
            let (near, far) = line.cut(along);
            arrive.shunt(wire.plug.clone());
            arrive.line(near);
            return (arrive, Some(Rest::Wire(Wire { line: Some(far), ..wire.clone() })));
        }
        wire.add_to(&mut arrive);
        match wire.to {
            Some(at) if self.spot == Spot::Input(at) => (arrive, Some(Rest::Station(at))),
            Some(at) => {
                arrive.shunt(self.plan.stations[at].wiring.clone());
                (arrive, None)
            }
            None => (arrive, None),
        }
    }

    fn stop(&self, at: usize, arrive: Ladder, mutes: &mut Vec<SwitchSetting>) -> Stop {
        let (station, device) = (&self.plan.stations[at], self.plan.stations[at].device());
        let mut stop = Stop { station: at, device, arrive, modes: Vec::new(), exits: Vec::new(), block: None };
        for alternative in &station.alternatives {
            let stand = Stand::of(station, alternative);
            // Where several ways hold at once a block begins.
            let onward = station.wires(alternative).find(|(_, wire)| self.goes_there(wire));
            let Some((out, wire)) = onward else {
                mutes.extend(stand.map(|stand| stand.setting));
                continue;
            };
            let to = self.level(wire);
            match &alternative.behaviour {
                Behaviour::Isolate { load, output, level: Level::Decibels(gain_db), .. } => {
                    let mut hang = Ladder::new();
                    hang.shunt(load.clone());
                    stop.modes.push(Mode { stand, load: hang, source: output.clone(), gain_db: *gain_db, to });
                }
                Behaviour::Isolate { .. } => mutes.extend(stand.map(|stand| stand.setting)),
                Behaviour::Pass { rungs, .. } => {
                    let others = station.wires(alternative).filter(|(other, _)| *other != out);
                    let side_runs = others.map(|(_, wire)| wire.clone()).collect();
                    stop.exits.push(Exit { stand, rungs: rungs.clone(), side_runs, to });
                }
                Behaviour::End { .. } => {}
            }
        }
        stop
    }
}
