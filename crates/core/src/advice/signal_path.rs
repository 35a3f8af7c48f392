//! The signal's path to the target, lead by lead, and what else hangs on it.

use std::collections::BTreeSet;

use crate::plan::{Plan, Spot, Wire, plan};
use crate::rig::{Device, DeviceId, Jack, JackRef, Kind, Lead, LeadId, Rig, State};
use crate::states::Target;

/// The path from an instrument, or an amp's send, to the target.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SignalPath {
    /// Its leads, in the signal's order.
    pub leads: Vec<LeadId>,
    /// The units that it goes through: the first behind the first lead, and so on.
    pub units: Vec<DeviceId>,
    /// Leads beside it and behind the target, which may load it.
    pub beside: Vec<LeadId>,
}

impl SignalPath {
    /// The path to a target, if there is one.
    pub fn to(target: Target, rig: &Rig, controls: &State) -> Option<Self> {
        let plan = plan(rig, controls);
        let spot = match target {
            Target::Endpoint(jack) => Spot::Input(plan.stations.iter().position(|station| station.jack == jack)?),
            Target::Point(point) => Spot::Lead { lead: point.lead, along: point.along.get() },
        };
        plan.starts.iter().find_map(|start| {
            let mut path = Self::default();
            path.follow(&plan, start.wire.as_ref()?, spot, &mut BTreeSet::new()).then_some(path)
        })
    }

    /// Follows the signal from a wire on to the spot, whatever the switches do; of
    /// several ways the first. No station is looked at twice.
    fn follow(&mut self, plan: &Plan, wire: &Wire, spot: Spot, seen: &mut BTreeSet<usize>) -> bool {
        let kept = (self.leads.len(), self.units.len());
        self.leads.extend(wire.lead);
        let here = matches!(spot, Spot::Lead { lead, .. } if wire.lead == Some(lead));
        let Some(at) = wire.to else {
            self.leads.truncate(if here { self.leads.len() } else { kept.0 });
            return here;
        };
        if here || spot == Spot::Input(at) {
            self.gather_beside(plan, at, None);
            return true;
        }
        if seen.insert(at) {
            let station = &plan.stations[at];
            // Leads and units take turns: a unit stands behind the lead that leads into it.
            if wire.lead.is_some() {
                self.units.push(station.device());
            }
            for (out, onward) in station.outs.iter().enumerate() {
                if onward.wire.as_ref().is_some_and(|onward| self.follow(plan, onward, spot, seen)) {
                    self.gather_beside(plan, at, Some(out));
                    return true;
                }
            }
        }
        self.leads.truncate(kept.0);
        self.units.truncate(kept.1);
        false
    }

    fn gather_along(&mut self, plan: &Plan, wire: &Wire) {
        self.beside.extend(wire.lead);
        if let Some(at) = wire.to {
            self.gather_beside(plan, at, None);
        }
    }

    /// What hangs on a station's outputs, as far as the signal may feel it, but for the one that it takes.
    fn gather_beside(&mut self, plan: &Plan, at: usize, but: Option<usize>) {
        let station = &plan.stations[at];
        // Of ways that exclude one another the others don't hang on the one that is taken.
        let hangs = |out: &usize| {
            Some(*out) != but
                && station.alternatives.iter().any(|one| one.passes() && one.out.is_none() && one.leads_to(*out))
        };
        let others = (0..station.outs.len()).filter(hangs);
        others.filter_map(|out| station.outs[out].wire.as_ref()).for_each(|wire| self.gather_along(plan, wire));
    }

    /// Units that stand in a row and may change places, with the leads before,
    /// between and behind them. Splitters, DI boxes, wireless sets and what stands
    /// off the board part the rows: what is moved past them does another job.
    pub fn movable_rows(&self, rig: &Rig, target: Target) -> Vec<MovableUnits> {
        let mut rows = Vec::new();
        let mut row = MovableUnits::default();
        // A unit that took a test point's lead along would take the target along.
        let kept = usize::from(matches!(target, Target::Point(_)));
        let units = &self.units[..self.units.len().saturating_sub(kept)];
        for (unit, leads) in units.iter().zip(self.leads.windows(2)) {
            if rig.device(*unit).is_some_and(may_move) {
                if row.units.is_empty() {
                    row.leads.push(leads[0]);
                }
                row.units.push(*unit);
                row.leads.push(leads[1]);
            } else {
                rows.push(std::mem::take(&mut row));
            }
        }
        rows.push(row);
        rows.retain(|row| row.units.len() > 1);
        rows
    }
}

/// Units that stand in a row and may change places, and the leads before, between and behind them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MovableUnits {
    /// The units.
    pub units: Vec<DeviceId>,
    /// One lead more than units.
    pub leads: Vec<LeadId>,
}

fn may_move(device: &Device) -> bool {
    let in_a_row = matches!(device.kind, Kind::Pedal(_) | Kind::Buffer(_) | Kind::Tuner(_) | Kind::Treadle(_));
    in_a_row && device.kind.jacks().contains(&Jack::Out) && !device.is_off_board()
}

/// The leads between two units on the floor are patch leads.
pub fn is_patch(rig: &Rig, lead: &Lead) -> bool {
    ![lead.from, lead.to].iter().any(|end| rig.device(end.device).is_none_or(Device::is_off_board))
}

/// All devices that a signal from a device gets to.
pub fn reached_from(rig: &Rig, device: DeviceId) -> BTreeSet<DeviceId> {
    let mut found = BTreeSet::new();
    let mut todo: Vec<JackRef> = rig
        .device(device)
        .into_iter()
        .flat_map(|from| from.kind.jacks().iter().filter(|jack| jack.is_output()))
        .map(|jack| JackRef::new(device, *jack))
        .collect();
    while let Some(jack) = todo.pop() {
        let Some(lead) = rig.lead_from(jack) else { continue };
        if let Some(next) = rig.device(lead.to.device).filter(|next| found.insert(next.id)) {
            todo.extend(next.kind.onward(lead.to.jack).iter().map(|out| JackRef::new(next.id, *out)));
        }
    }
    found
}
