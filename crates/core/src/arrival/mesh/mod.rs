//! What arrives where the circuits of several ways are joined: ways that meet at a
//! junction feel each other, and one may be felt through another's output.
//!
//! Such ways are no row of ladders. Every setting of the switches among them is
//! looked at by itself: which circuits are joined then ([`explore`]), and what those
//! do ([`circuit`], by its [`stages`] and a [`solution`]).

mod circuit;
mod explore;
mod solution;
mod stages;

use std::collections::BTreeSet;

use super::{Begin, CHOICE_STEPS, Choice, Choices, Goal, Stand};
use crate::plan::{Alternative, Plan, Spot, Station, Tail};
use crate::rig::{Position, Switch, SwitchRef, SwitchSetting};
use crate::watch::Stopped;

use circuit::Circuit;
use explore::Joined;

/// Where a joined circuit is looked into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Entry {
    /// From the EMF of a start.
    Start(usize),
    /// Where ways part; of a station without its wiring.
    Begin(Begin),
    /// From a station's input jack on, its wiring included.
    Input(usize),
}

/// What a mesh is looked at for.
#[derive(Debug)]
struct Mesh<'a> {
    plan: &'a Plan,
    entry: Entry,
    goal: Option<Goal>,
    /// The stations from which a way leads to the goal or to a junction, and those themselves.
    leads: BTreeSet<usize>,
    /// Wires to the station of the entry from which the signal comes: they are no part of the mesh.
    before: BTreeSet<Tail>,
}

/// Where switches stand, as far as it matters, in the order in which that came up.
#[derive(Debug, Clone, Default)]
struct Setting {
    stands: Vec<Stand>,
}

impl Setting {
    fn position(&self, switch: SwitchRef) -> Option<Position> {
        self.stands.iter().find(|stand| stand.setting.switch == switch).map(|stand| stand.setting.to)
    }

    /// What a station is; its switch where nothing is said of that yet. None if it is nothing at all.
    fn alternative<'a>(&self, station: &'a Station) -> Result<Option<&'a Alternative>, Switch> {
        let Some(switch) = station.switch else {
            return Ok(match &station.settled {
                Some(settled) => settled.only.first().and_then(|to| settled.at(*to)),
                None => station.alternatives.first(),
            });
        };
        if let Some(only) = station.alternatives.iter().find(|one| one.position.is_none()) {
            return Ok(Some(only));
        }
        let Some(position) = self.position(switch.id) else { return Err(switch) };
        Ok(station.alternatives.iter().find(|one| one.position == Some(position)))
    }
}

impl Choices<'_, '_> {
    /// Whether circuits may be joined that a row of ladders doesn't tell of.
    pub(super) fn is_meshed(&self) -> bool {
        self.plan.junctions().next().is_some()
    }

    /// What a joined circuit can be, looked into from an entry: the setting with every
    /// switch in its first position first.
    pub(super) fn of_mesh(&mut self, entry: Entry) -> Result<Vec<Choice>, Stopped> {
        let mesh = Mesh::new(self.plan, entry, self.goal());
        let mut circuit = Circuit::new(&mesh);
        let mut found = Vec::new();
        let mut open = vec![Setting::default()];
        while let Some(setting) = open.pop() {
            let joined = match mesh.joined(&setting) {
                Ok(joined) => joined,
                Err(switch) => {
                    let mut each: Vec<Setting> = switch.all_positions().map(|to| setting.and(switch, to)).collect();
                    each.reverse();
                    open.extend(each);
                    continue;
                }
            };
            if found.len() == self.most {
                self.is_cut = true;
                break;
            }
            let Joined { hidden, .. } = &joined;
            let hidden = hidden.iter().map(|at| self.behind(*at)).collect();
            let (seen, transfer) = circuit.solved(&joined, self.line_cache);
            let hidden = self.parts().then_some(hidden);
            found.push(Choice { seen, stands: setting.stands, hidden, transfer, reach: None });
            let steps = CHOICE_STEPS * (self.line_cache.sweep().len() * joined.stations.len()) as u64;
            self.pace.did(steps)?;
        }
        Ok(found)
    }
}

impl Setting {
    fn and(&self, switch: Switch, to: Position) -> Self {
        let stand = Stand { setting: SwitchSetting { switch: switch.id, to }, moved: switch.default != to };
        Self { stands: self.stands.iter().copied().chain([stand]).collect() }
    }
}

impl<'a> Mesh<'a> {
    fn new(plan: &'a Plan, entry: Entry, goal: Option<Goal>) -> Self {
        let before = match entry {
            Entry::Begin(Begin::Station(at)) | Entry::Input(at) => coming_from_a_start(plan, at),
            Entry::Begin(Begin::Outputs(_)) | Entry::Start(_) => BTreeSet::new(),
        };
        let mut mesh = Self { plan, entry, goal, leads: super::leading_to(plan, goal, &[]), before };
        if mesh.is_open_ended() {
            let all: Vec<usize> = plan.junctions().collect();
            mesh.leads = super::leading_to(plan, goal, &all);
            return mesh;
        }
        let mut felt: Vec<usize> = Vec::new();
        loop {
            // A stage that leads to a junction of the mesh may bring another into it.
            let all = mesh.whole();
            let now: Vec<usize> = plan.junctions().filter(|at| all.contains(at)).collect();
            if now == felt {
                return mesh;
            }
            mesh.leads = super::leading_to(plan, goal, &now);
            felt = now;
        }
    }

    /// All stations that are part of the mesh in any setting, and maybe some more.
    fn whole(&self) -> BTreeSet<usize> {
        let plan = self.plan;
        let mut found = BTreeSet::new();
        let mut todo: Vec<usize> = match self.entry {
            Entry::Begin(Begin::Station(at)) | Entry::Input(at) => vec![at],
            Entry::Begin(Begin::Outputs(at)) => {
                let outs = plan.stations[at].outs.iter().filter_map(|out| out.wire.as_ref());
                outs.filter(|wire| self.leads(wire)).filter_map(|wire| wire.to).collect()
            }
            Entry::Start(start) => plan.starts[start].wire.iter().filter_map(|wire| wire.to).collect(),
        };
        while let Some(at) = todo.pop() {
            if !found.insert(at) || self.ends_at(at) {
                continue;
            }
            let station = &plan.stations[at];
            for alternative in station.may_be() {
                let onward = station.wires(alternative).map(|(_, wire)| wire);
                todo.extend(onward.filter(|wire| alternative.passes() || self.leads(wire)).filter_map(|wire| wire.to));
            }
            if station.may_be().iter().any(|one| one.passes()) {
                let before = plan.wires_to(at).filter(|tail| !self.before.contains(tail));
                todo.extend(before.filter_map(|tail| match tail {
                    Tail::Out { station, out } => {
                        let mut all = plan.stations[station].may_be().iter();
                        all.any(|one| one.passes() && one.leads_to(out)).then_some(station)
                    }
                    Tail::Start(_) => None,
                }));
            }
        }
        found
    }

    /// Whether what is asked for may come back there over any junction: it is no input
    /// that ends a run in any case.
    fn is_open_ended(&self) -> bool {
        match self.goal {
            None | Some(Goal::Sum(_)) => false,
            Some(Goal::Spot(Spot::Lead { .. })) => true,
            Some(Goal::Spot(Spot::Input(at))) => !self.plan.stations[at].ends_alike(),
        }
    }

    /// Whether all that is asked for arrives at a station, and nothing behind it is felt.
    fn ends_at(&self, at: usize) -> bool {
        match self.goal {
            Some(Goal::Sum(sum)) => sum == at,
            Some(Goal::Spot(Spot::Input(spot))) => {
                spot == at && !self.plan.stations[at].alternatives.iter().any(Alternative::passes)
            }
            _ => false,
        }
    }
}

/// The wires to a station on which the signal comes from the first start that is played and leads there.
fn coming_from_a_start(plan: &Plan, at: usize) -> BTreeSet<Tail> {
    let played = plan.starts.iter().enumerate().filter(|(_, start)| !start.is_idle);
    let mut reached = played.filter_map(|(start, one)| Some((start, plan.reached_from(one.wire.as_ref()?))));
    let Some((from, reached)) = reached.find(|(_, reached)| reached.contains(&at)) else { return BTreeSet::new() };
    let comes = |tail: &Tail| match *tail {
        Tail::Start(start) => start == from,
        Tail::Out { station, .. } => reached.contains(&station),
    };
    plan.wires_to(at).filter(comes).collect()
}
