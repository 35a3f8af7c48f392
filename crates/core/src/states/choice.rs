//! What a side run can be: one admittance for each first isolator in it.

use crate::cascade::{Bank, onward_from};
use crate::network::Onward;
use crate::plan::{Plan, Position, Through, Wire};
use crate::rig::DeviceId;

use super::path::Rest;

/// One of the things that a side run can be.
#[derive(Debug, Clone)]
pub struct Choice {
    /// What the point that it hangs on sees.
    pub seen: Onward,
    /// Devices that are on in it.
    pub on: Vec<DeviceId>,
    /// Devices that are off in it. All others may stand as they like.
    pub off: Vec<DeviceId>,
}

/// The choices of a side run, or of what hangs on the spot. Past `most` the
/// rest is left out, and the answer says so with `false`.
pub struct Choices<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// Leads' two-ports.
    pub bank: &'a mut Bank,
    /// How many choices are kept.
    pub most: usize,
    /// Whether all were kept.
    pub complete: bool,
}

impl Choices<'_> {
    /// Of a whole lead and what comes after it.
    pub fn of_wire(&mut self, wire: &Wire) -> Vec<Choice> {
        let mut found = self.of_far_end(wire);
        for choice in &mut found {
            let seen = std::mem::replace(&mut choice.seen, Onward::Open);
            choice.seen = seen.behind_shunt(&wire.plug, self.bank.sweep());
        }
        found
    }

    /// Of what hangs on the spot.
    pub fn of_rest(&mut self, rest: &Rest) -> Vec<Choice> {
        match rest {
            Rest::Wire(wire) => self.of_far_end(wire),
            Rest::Station(at) => self.of_station(*at),
        }
    }

    /// Of a lead without its near plug.
    fn of_far_end(&mut self, wire: &Wire) -> Vec<Choice> {
        let mut found = match wire.to {
            Some(at) => self.of_station(at),
            None => vec![Choice { seen: Onward::Open, on: Vec::new(), off: Vec::new() }],
        };
        let port = self.bank.port(&wire.line);
        for choice in &mut found {
            let seen = std::mem::replace(&mut choice.seen, Onward::Open);
            choice.seen = seen.behind_shunt(&wire.plug, self.bank.sweep()).behind_line(&port, self.bank.sweep());
        }
        found
    }

    fn of_station(&mut self, at: usize) -> Vec<Choice> {
        let plan = self.plan;
        let station = &plan.stations[at];
        let mut found = Vec::new();
        for alternative in &station.alternatives {
            let here = match &alternative.through {
                Through::Isolate { load, .. } | Through::End { load } => {
                    let seen = Onward::Open.behind_shunt(load, self.bank.sweep());
                    vec![Choice { seen, on: Vec::new(), off: Vec::new() }]
                }
                Through::Pass { rungs, .. } => {
                    let mut joined = vec![Choice { seen: Onward::Open, on: Vec::new(), off: Vec::new() }];
                    for wire in station.outs.iter().filter_map(|(_, wire)| wire.as_ref()) {
                        let next = self.of_wire(wire);
                        joined = self.together(&joined, &next);
                    }
                    for choice in &mut joined {
                        let seen = std::mem::replace(&mut choice.seen, Onward::Open);
                        choice.seen = onward_from(seen, &rungs.rungs, self.bank);
                    }
                    joined
                }
            };
            for mut choice in here {
                match alternative.position {
                    Position::Fixed => {}
                    Position::On => choice.on.push(station.device()),
                    Position::Off => choice.off.push(station.device()),
                }
                choice.seen = choice.seen.behind_shunt(&station.wiring, self.bank.sweep());
                found.push(choice);
            }
        }
        self.kept(found)
    }

    /// Every one of `left` with every one of `right`, on one point.
    fn together(&mut self, left: &[Choice], right: &[Choice]) -> Vec<Choice> {
        let mut found = Vec::new();
        for b in right {
            for a in left {
                if found.len() == self.most {
                    self.complete = false;
                    return found;
                }
                found.push(Choice {
                    seen: a.seen.clone().beside(b.seen.clone()),
                    on: a.on.iter().chain(&b.on).copied().collect(),
                    off: a.off.iter().chain(&b.off).copied().collect(),
                });
            }
        }
        found
    }

    fn kept(&mut self, mut found: Vec<Choice>) -> Vec<Choice> {
        if found.len() > self.most {
            self.complete = false;
            found.truncate(self.most);
        }
        found
    }
}
