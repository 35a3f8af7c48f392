//! Which circuits are joined in a setting of the switches.

use std::collections::{BTreeMap, BTreeSet};

use super::{Entry, Mesh, Setting};
use crate::arrival::{Begin, Goal};
use crate::plan::{Alternative, Behaviour, Tail, Wire};
use crate::rig::Switch;
use crate::units::Level;

/// All that is part of a mesh in one setting.
#[derive(Debug, Default)]
pub struct Joined<'a> {
    /// The stations whose inputs are, with what each is.
    pub stations: BTreeMap<usize, &'a Alternative>,
    /// Wires with what they begin at.
    pub wires: BTreeSet<Tail>,
    /// Wires that hang in it by their far end alone.
    pub loose: BTreeSet<Tail>,
    /// Outputs of stations that isolate: which of the station's outs.
    pub outputs: BTreeMap<(usize, usize), &'a Alternative>,
    /// Instruments and sends that drive it.
    pub starts: BTreeSet<usize>,
    /// Stations of which nothing behind them is heard.
    pub hidden: Vec<usize>,
}

/// What is looked at next.
enum Next {
    /// A station's input, to which a wire or the way of the signal leads; `felt` where it
    /// leads there from something that was looked into from behind.
    Input { at: usize, felt: bool },
    /// A wire, from its far end.
    Backward(Tail),
}

/// A mesh while it is gone through.
struct Exploring<'m, 'a> {
    mesh: &'m Mesh<'a>,
    setting: &'m Setting,
    found: Joined<'a>,
    todo: Vec<Next>,
}

impl<'a> Mesh<'a> {
    /// What is joined in a setting; the switch that it depends on, if the setting says nothing of one.
    pub(super) fn joined(&self, setting: &Setting) -> Result<Joined<'a>, Switch> {
        let mut exploring = Exploring { mesh: self, setting, found: Joined::default(), todo: Vec::new() };
        match self.entry {
            Entry::Begin(Begin::Station(at)) | Entry::Input(at) => {
                exploring.todo.push(Next::Input { at, felt: false });
            }
            Entry::Start(start) => {
                exploring.found.starts.insert(start);
                exploring.forward(Tail::Start(start));
            }
            Entry::Begin(Begin::Outputs(at)) => {
                let station = &self.plan.stations[at];
                if let Some(only) = exploring.alternative(at)? {
                    for (out, wire) in station.wires(only).filter(|(_, wire)| self.leads(wire)) {
                        exploring.found.outputs.insert((at, out), only);
                        exploring.follow(Tail::Out { station: at, out }, wire, false);
                    }
                }
            }
        }
        while let Some(next) = exploring.todo.pop() {
            match next {
                Next::Input { at, felt } => exploring.input(at, felt)?,
                Next::Backward(tail) => exploring.backward(tail)?,
            }
        }
        Ok(exploring.found)
    }

    /// Whether a wire leads to the goal, or to where circuits are joined.
    pub(super) fn leads(&self, wire: &Wire) -> bool {
        self.goal.is_some_and(|goal| goal.is_on(wire)) || wire.to.is_some_and(|to| self.leads.contains(&to))
    }
}

impl<'a> Exploring<'_, 'a> {
    fn alternative(&self, at: usize) -> Result<Option<&'a Alternative>, Switch> {
        self.setting.alternative(&self.mesh.plan.stations[at])
    }

    /// What a station is to what hangs on it. What it was settled as, since a signal gets
    /// to it so alone, it may not be there.
    fn felt(&self, at: usize) -> Result<Option<&'a Alternative>, Switch> {
        if let Some(settled) = &self.mesh.plan.stations[at].settled {
            let to = self.setting.position(settled.switch.id).ok_or(settled.switch)?;
            if !settled.only.contains(&to) {
                return Ok(settled.at(to));
            }
        }
        self.alternative(at)
    }

    fn forward(&mut self, tail: Tail) {
        if let Some(wire) = self.mesh.plan.wire_from(tail) {
            self.follow(tail, wire, false);
        }
    }

    fn follow(&mut self, tail: Tail, wire: &Wire, felt: bool) {
        if self.found.wires.insert(tail) {
            self.todo.extend(wire.to.map(|at| Next::Input { at, felt }));
        }
    }

    fn input(&mut self, at: usize, felt: bool) -> Result<(), Switch> {
        let plan = self.mesh.plan;
        if self.mesh.goal == Some(Goal::Sum(at)) || self.found.stations.contains_key(&at) {
            return Ok(());
        }
        let what = if felt { self.felt(at)? } else { self.alternative(at)? };
        let Some(alternative) = what else { return Ok(()) };
        let station = &plan.stations[at];
        self.found.stations.insert(at, alternative);
        if station.is_junction {
            self.look_back(at);
        }
        match &alternative.behaviour {
            Behaviour::Pass { .. } => {
                let wires = station.wires(alternative);
                wires.for_each(|(out, wire)| self.follow(Tail::Out { station: at, out }, wire, felt));
            }
            Behaviour::Isolate { .. } | Behaviour::End { .. } if self.mesh.ends_at(at) => {}
            Behaviour::Isolate { level: Level::Decibels(_), .. }
                if station.wires(alternative).any(|(_, wire)| self.mesh.leads(wire)) =>
            {
                for (out, wire) in station.wires(alternative) {
                    if self.mesh.leads(wire) {
                        self.found.outputs.insert((at, out), alternative);
                        self.follow(Tail::Out { station: at, out }, wire, felt);
                    } else {
                        self.found.hidden.push(at);
                    }
                }
            }
            Behaviour::Isolate { .. } | Behaviour::End { .. } => self.found.hidden.push(at),
        }
        Ok(())
    }

    /// Looks into all other wires that lead to a station.
    fn look_back(&mut self, at: usize) {
        let others = self.mesh.plan.wires_to(at);
        let is_entry = match self.mesh.entry {
            Entry::Begin(Begin::Station(entry)) | Entry::Input(entry) => entry == at,
            Entry::Begin(Begin::Outputs(_)) | Entry::Start(_) => false,
        };
        let inside = others.filter(|tail| !(is_entry && self.mesh.before.contains(tail)));
        self.todo.extend(inside.map(Next::Backward));
    }

    fn backward(&mut self, tail: Tail) -> Result<(), Switch> {
        if self.found.wires.contains(&tail) {
            return Ok(());
        }
        let Tail::Out { station: at, out } = tail else {
            let Tail::Start(start) = tail else { return Ok(()) };
            self.found.wires.insert(tail);
            self.found.starts.insert(start);
            return Ok(());
        };
        let alternative = self.felt(at)?.filter(|alternative| alternative.leads_to(out));
        match alternative {
            None => {
                self.found.loose.insert(tail);
            }
            Some(Alternative { behaviour: Behaviour::Isolate { .. }, .. }) => {
                self.found.wires.insert(tail);
                self.found.outputs.extend(alternative.map(|one| ((at, out), one)));
            }
            Some(_) => {
                self.found.wires.insert(tail);
                let is_new = !self.found.stations.contains_key(&at);
                self.input(at, true)?;
                if is_new && !self.mesh.plan.stations[at].is_junction {
                    self.look_back(at);
                }
            }
        }
        Ok(())
    }
}
