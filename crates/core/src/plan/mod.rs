//! What is connected to what, in every state at once.
//!
//! [`plan`] turns a rig into a graph: starts, stations, and between them wires
//! that hold under a condition, a switch in one of its positions. A device has a
//! station at each input jack that a signal reaches and at each point inside it
//! where the way parts or meets again. No footswitch is read. Where controls
//! stand is read, and where switches stand that a hand or a controller works: a
//! sound holds them. [`Plan::runs`] is one reader of it, for one state; an
//! analysis of all states is another.

mod build;
mod effects_loop;
mod guitar;
mod kinds;
mod ladder;
mod mixer;
mod runs;
mod selector;
mod stereo;
mod switcher;

#[cfg(test)]
mod tests;

use std::collections::BTreeSet;

use crate::network::{Branch, Ladder, Line};
use crate::rig::{DeviceId, JackRef, LeadId, NO_LATENCY, Polarity, Position, State, Switch, SwitchSetting};
use crate::units::{Farads, Level, Ohms, Seconds};

pub use build::plan;
pub use ladder::{MarkedLadder, Spot};
pub use runs::{Origin, RouteRun, Run};

/// At and above this output resistance a run counts as high-impedance: 1 nF of
/// lead then rolls off inside the audio band. [common practice, no source]
pub const HIGH_IMPEDANCE: Ohms = Ohms::of(10_000.0);

/// A rig as the signal sees it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Plan {
    /// Instruments and sends in use.
    pub starts: Vec<Start>,
    /// Devices as seen from the input jacks that a signal reaches.
    pub stations: Vec<Station>,
}

/// Where a signal starts.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// The output jack.
    pub jack: JackRef,
    /// What stands between the EMF and the jack.
    pub source: Ladder,
    /// Level of the source with its EMF as the reference.
    pub level: Level,
    /// A passive instrument, or an output as feeble as one.
    pub high_impedance: bool,
    /// Whether it is an instrument, and not an amp's send.
    pub is_instrument: bool,
    /// Its own switches that all states range over.
    pub switches: Vec<Switch>,
    /// What it is instead in each setting of these switches, the defaults first: none where it has none.
    pub choices: Vec<SourceChoice>,
    /// Whether another instrument is played: this one loads what it drives, and is silent.
    pub is_idle: bool,
    /// The lead that is plugged in.
    pub wire: Option<Wire>,
}

/// What a start is in one setting of its switches.
#[derive(Debug, Clone, PartialEq)]
pub struct SourceChoice {
    /// Where each of its switches stands.
    pub settings: Vec<SwitchSetting>,
    /// What stands between the EMF and the jack.
    pub source: Ladder,
    /// Level of the source with its EMF as the reference.
    pub level: Level,
}

impl Start {
    /// What stands between the EMF and the jack in a state, and the level there.
    #[must_use]
    pub fn in_state(&self, state: &State) -> (&Ladder, Level) {
        let stands = |at: &SwitchSetting| {
            let switch = self.switches.iter().find(|switch| switch.id == at.switch);
            switch.is_some_and(|switch| state.position(switch) == at.to)
        };
        let choice = self.choices.iter().find(|choice| choice.settings.iter().all(stands));
        choice.map_or((&self.source, self.level), |choice| (&choice.source, choice.level))
    }

    /// Makes it what it is with a switch in a position.
    pub fn hold(&mut self, setting: SwitchSetting) {
        self.choices.retain(|choice| choice.settings.iter().all(|at| at.switch != setting.switch || *at == setting));
        if let Some(first) = self.choices.first() {
            (self.source, self.level) = (first.source.clone(), first.level);
        }
    }
}

/// A lead between an output and a station, or a contact inside a device.
#[derive(Debug, Clone, PartialEq)]
pub struct Wire {
    /// The lead; none for a contact, which has no length, no plugs and no line.
    pub lead: Option<LeadId>,
    /// One plug, at either end.
    pub plug: Branch,
    /// The lead's line.
    pub line: Option<Line>,
    /// The station at its end; none where the rig has a problem there.
    pub to: Option<usize>,
}

/// Where a wire begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tail {
    /// At `starts[i]`.
    Start(usize),
    /// At one of a station's outs.
    Out {
        /// The station.
        station: usize,
        /// Which of its outs.
        out: usize,
    },
}

/// Where a signal leaves a station.
#[derive(Debug, Clone, PartialEq)]
pub struct Out {
    /// The output jack; none for a contact inside the device.
    pub jack: Option<JackRef>,
    /// What goes on from there; none where no lead is plugged in.
    pub wire: Option<Wire>,
}

/// A device at one of its input jacks, or at a point inside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// The input jack; of a point inside, the output jack that comes next on its rail.
    pub jack: JackRef,
    /// What always hangs there: jacks, switch and wiring, on or off.
    pub wiring: Branch,
    /// The switch that all states range over, if it has one.
    pub switch: Option<Switch>,
    /// What the device can be: one alternative, or one for each position of its switch.
    pub alternatives: Vec<Alternative>,
    /// What it is without power, whatever its switch; none where power changes nothing.
    pub unpowered: Option<Alternative>,
    /// Where signals may leave, and what goes on from there.
    pub outs: Vec<Out>,
    /// Whether a signal has reached its goal here.
    pub is_endpoint: bool,
    /// That a signal gets here in some positions of its switch alone, in which it is alike,
    /// where the station stands for those only.
    pub settled: Option<Settled>,
    /// Whether all that comes here is joined: ways that meet here feel each other.
    pub is_junction: bool,
}

/// A switch in the positions in which alone a signal gets to a station.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// The switch.
    pub switch: Switch,
    /// Those positions, one at least; the station is the same in all of them.
    pub only: Vec<Position>,
    /// What the station is in each position: what hangs beside the signal's way may feel it.
    pub alternatives: Vec<Alternative>,
}

/// One of the things that a station can be.
#[derive(Debug, Clone, PartialEq)]
pub struct Alternative {
    /// In which position of the station's switch; none where it is that in all of them.
    pub position: Option<Position>,
    /// What it then is.
    pub behaviour: Behaviour,
    /// The one of the station's outs that it leads to; none for all of them.
    pub out: Option<usize>,
}

/// What a station does to the signal.
#[derive(Debug, Clone, PartialEq)]
pub enum Behaviour {
    /// Input and outputs are joined over these rungs: the run goes on.
    Pass {
        /// The rungs, from input to output.
        rungs: Ladder,
        /// A pot stands in the way that makes the rest a high-impedance run.
        high_impedance: bool,
    },
    /// The run ends in a load, and a new one starts at each output. What several
    /// runs bring here at once adds up.
    Isolate {
        /// The input.
        load: Branch,
        /// From the EMF to each output: its resistance, and what lies across it.
        output: Ladder,
        /// Level from input to open output; silent where it mutes.
        level: Level,
        /// Whether the signal is turned over between the two.
        polarity: Polarity,
        /// How much later the signal comes out than it went in.
        latency: Seconds,
        /// The output is as feeble as a passive instrument's.
        high_impedance: bool,
    },
    /// The run ends in a load.
    End {
        /// The input.
        load: Branch,
    },
}

impl Plan {
    /// The plan with these devices out of power: each is the one thing that it
    /// then is, so that no switch of theirs counts, and a signal that starts at
    /// one is silent. Who gets power is for others to say.
    #[must_use]
    pub fn without_power(mut self, unfed: &BTreeSet<DeviceId>) -> Self {
        if unfed.is_empty() {
            return self;
        }
        for start in self.starts.iter_mut().filter(|start| unfed.contains(&start.jack.device)) {
            start.level = Level::Silent;
            start.choices.iter_mut().for_each(|choice| choice.level = Level::Silent);
        }
        for station in self.stations.iter_mut().filter(|station| unfed.contains(&station.device())) {
            let Some(unpowered) = station.unpowered.clone() else { continue };
            station.alternatives = vec![unpowered];
            station.switch = None;
        }
        self
    }
}

impl Plan {
    /// The plan in which the first start alone is heard that may be heard at a spot, in any state:
    /// levels of several starts, each relative to its own, aren't told as those of one.
    #[must_use]
    pub fn of_one_start(mut self, spot: Spot) -> Self {
        let leads_there = |start: &Start| !start.is_idle && self.leads_to_spot(start, spot);
        // Of one start there is nothing to choose.
        if self.starts.iter().filter(|start| !start.is_idle).count() < 2 {
            return self;
        }
        if let Some(first) = self.starts.iter().position(leads_there) {
            self.starts.iter_mut().enumerate().for_each(|(at, start)| start.is_idle |= at != first);
        }
        self
    }

    /// The starts whose own switches the level at a spot feels: those that sound and lead there, and those
    /// that a junction joins to what does.
    pub fn felt_starts(&self, spot: Spot) -> impl Iterator<Item = &Start> {
        let junctions: BTreeSet<usize> = self.junctions().collect();
        self.starts.iter().filter(move |start| {
            let Some(first) = start.wire.as_ref().filter(|_| !start.switches.is_empty()) else { return false };
            let is_joined = || self.reached_from(first).iter().any(|at| junctions.contains(at));
            (!start.is_idle && self.leads_to_spot(start, spot)) || is_joined()
        })
    }

    /// Whether a way leads from a start to a spot, in any state.
    fn leads_to_spot(&self, start: &Start, spot: Spot) -> bool {
        let Some(first) = start.wire.as_ref() else { return false };
        let reached = self.reached_from(first);
        match spot {
            Spot::Input(at) => reached.contains(&at),
            Spot::Lead { lead, .. } => {
                let outs = reached.iter().flat_map(|at| &self.stations[*at].outs);
                let mut wires = outs.filter_map(|out| out.wire.as_ref()).chain([first]);
                wires.any(|wire| wire.lead == Some(lead))
            }
        }
    }

    /// The junctions to which more than one wire leads.
    pub fn junctions(&self) -> impl Iterator<Item = usize> + '_ {
        let is_met = |at: &usize| self.stations[*at].is_junction && self.wires_to(*at).nth(1).is_some();
        (0..self.stations.len()).filter(is_met)
    }

    /// Where each wire that leads to a station comes from.
    pub fn wires_to(&self, station: usize) -> impl Iterator<Item = Tail> + '_ {
        let leads_there = move |wire: &Option<Wire>| wire.as_ref().is_some_and(|wire| wire.to == Some(station));
        let starts = self.starts.iter().enumerate().filter(move |(_, start)| leads_there(&start.wire));
        let outs = self.stations.iter().enumerate().flat_map(move |(from, one)| {
            let outs = one.outs.iter().enumerate().filter(move |(_, out)| leads_there(&out.wire));
            outs.map(move |(out, _)| Tail::Out { station: from, out })
        });
        starts.map(|(start, _)| Tail::Start(start)).chain(outs)
    }

    /// The stations to which any way from a wire leads, in any state.
    #[must_use]
    pub fn reached_from(&self, first: &Wire) -> BTreeSet<usize> {
        let mut found = BTreeSet::new();
        let mut todo: Vec<usize> = first.to.into_iter().collect();
        while let Some(at) = todo.pop() {
            if found.insert(at) {
                let station = &self.stations[at];
                let onward = station.alternatives.iter().flat_map(|one| station.wires(one));
                todo.extend(onward.filter_map(|(_, wire)| wire.to));
            }
        }
        found
    }

    /// The wire that begins there.
    #[must_use]
    pub fn wire_from(&self, tail: Tail) -> Option<&Wire> {
        match tail {
            Tail::Start(start) => self.starts.get(start)?.wire.as_ref(),
            Tail::Out { station, out } => self.stations.get(station)?.outs.get(out)?.wire.as_ref(),
        }
    }
}

impl Wire {
    /// A contact inside a device, to a station.
    #[must_use]
    pub fn contact(to: Option<usize>) -> Self {
        Self { lead: None, plug: Branch::Open, line: None, to }
    }

    /// Adds what the signal meets between both ends.
    pub fn add_to(&self, ladder: &mut Ladder) {
        ladder.shunt(self.plug.clone());
        self.line.iter().for_each(|line| ladder.line(*line));
        ladder.shunt(self.plug.clone());
    }
}

impl Alternative {
    /// What a station is in all positions of its switch, or without one.
    #[must_use]
    pub fn always(behaviour: Behaviour) -> Self {
        Self { position: None, behaviour, out: None }
    }

    /// Whether the signal goes on over what is behind one of the station's outs.
    #[must_use]
    pub fn leads_to(&self, out: usize) -> bool {
        !matches!(self.behaviour, Behaviour::End { .. }) && self.out.is_none_or(|only| only == out)
    }

    /// Whether input and outputs are joined.
    #[must_use]
    pub fn passes(&self) -> bool {
        matches!(self.behaviour, Behaviour::Pass { .. })
    }
}

impl Settled {
    /// What the station is in a position.
    #[must_use]
    pub fn at(&self, position: Position) -> Option<&Alternative> {
        self.alternatives.iter().find(|one| one.position.is_none_or(|own| own == position))
    }
}

impl Station {
    /// One at a jack, or at a point inside before it, with nothing at its outputs yet.
    #[must_use]
    pub fn new(jack: JackRef, wiring: Farads, alternatives: Vec<Alternative>, unpowered: Option<Alternative>) -> Self {
        Self {
            jack,
            wiring: Branch::Capacitor(wiring).simplified(),
            switch: None,
            alternatives,
            unpowered,
            outs: Vec::new(),
            is_endpoint: false,
            settled: None,
            is_junction: false,
        }
    }

    /// What the station is in a state.
    #[must_use]
    pub fn in_state(&self, state: &State) -> Option<&Behaviour> {
        self.alternative_in(state).map(|alternative| &alternative.behaviour)
    }

    /// The same, with the outs that it leads to.
    #[must_use]
    pub fn alternative_in(&self, state: &State) -> Option<&Alternative> {
        let position = self.switch.map(|switch| state.position(&switch));
        self.alternatives.iter().find(|a| a.position.is_none() || a.position == position)
    }

    /// The wires on which the signal goes on from an alternative, each with the number of its out.
    pub fn wires(&self, alternative: &Alternative) -> impl Iterator<Item = (usize, &Wire)> {
        let outs = self.outs.iter().enumerate().filter(|(out, _)| alternative.leads_to(*out));
        outs.filter_map(|(out, end)| Some((out, end.wire.as_ref()?)))
    }

    /// Makes it what it is in one position of its switch, whatever that does.
    pub fn hold(&mut self, position: Position) {
        self.alternatives.retain(|alternative| alternative.position.is_none_or(|own| own == position));
        self.alternatives.iter_mut().for_each(|alternative| alternative.position = None);
        self.switch = None;
    }

    /// Makes it what it is with its switch at its default.
    pub fn rest(&mut self) {
        self.switch.into_iter().for_each(|switch| self.hold(switch.default));
    }

    /// The same where a signal gets to it in these positions alone; none does nothing.
    pub fn settle(&mut self, positions: &[Position]) {
        let Some(first) = positions.first() else { return };
        let (all, only) = (self.alternatives.clone(), positions.to_vec());
        self.settled = self.switch.map(|switch| Settled { switch, only, alternatives: all });
        self.hold(*first);
    }

    /// Whether it is one thing in all of these positions of its switch.
    #[must_use]
    pub fn is_alike(&self, positions: &[Position]) -> bool {
        let at = |to: &Position| {
            let found = self.alternatives.iter().find(|one| one.position.is_none_or(|own| own == *to));
            found.map(|one| (&one.behaviour, one.out))
        };
        positions.windows(2).all(|pair| at(&pair[0]) == at(&pair[1]))
    }

    /// All that it may be to what hangs on it, whichever way a signal gets there.
    #[must_use]
    pub fn may_be(&self) -> &[Alternative] {
        self.settled.as_ref().map_or(&self.alternatives, |settled| &settled.alternatives)
    }

    /// Its switch in a position of an alternative, if that takes one.
    #[must_use]
    pub fn setting(&self, alternative: &Alternative) -> Option<SwitchSetting> {
        Some(SwitchSetting { switch: self.switch?.id, to: alternative.position? })
    }

    /// Whether that is where its switch stands in a state that says nothing of it.
    #[must_use]
    pub fn at_rest(&self, setting: SwitchSetting) -> bool {
        self.switch.is_some_and(|switch| switch.id == setting.switch && switch.default == setting.to)
    }

    /// What it does to a signal's sign, and how much later the signal leaves it, in a state.
    #[must_use]
    pub fn delay(&self, state: &State) -> (Polarity, Seconds) {
        match self.in_state(state) {
            Some(Behaviour::Isolate { polarity, latency, .. }) => (*polarity, *latency),
            _ => (Polarity::Same, NO_LATENCY),
        }
    }

    /// Whether what several outputs without resistance bring here adds up.
    #[must_use]
    pub fn adds_up(&self) -> bool {
        let adds = |one: &Alternative| matches!(one.behaviour, Behaviour::Isolate { load: Branch::Open, .. });
        let is_apart = |one: &Alternative| matches!(one.behaviour, Behaviour::End { load: Branch::Open });
        self.wiring == Branch::Open
            && self.alternatives.iter().any(adds)
            && self.alternatives.iter().all(|one| adds(one) || is_apart(one))
    }

    /// Whether a run ends here whatever the switches do, and always in the same way.
    #[must_use]
    pub fn ends_alike(&self) -> bool {
        matches!(&self.alternatives[..], [only] if matches!(only.behaviour, Behaviour::Isolate { .. }))
    }

    /// The device.
    #[must_use]
    pub fn device(&self) -> DeviceId {
        self.jack.device
    }

    /// What hangs on the run here besides the wiring, in a state.
    #[must_use]
    pub fn load(&self, state: &State) -> Branch {
        match self.in_state(state) {
            Some(Behaviour::Isolate { load, .. } | Behaviour::End { load }) => load.clone(),
            _ => Branch::Open,
        }
    }
}
