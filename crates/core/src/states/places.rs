//! Switches that act in several places of a plan at once.
//!
//! A loop of a switcher has a contact at its send and another at its return. As
//! long as the signal gets to the one only by the other, what the second does is
//! known where it comes by, and one place is left. Where it isn't, ways that one
//! switch makes or breaks together can't be looked at one by one: such a switch
//! is held in each of its positions in turn.

use std::collections::{BTreeMap, BTreeSet};

use crate::arrival::{Goal, leading_to};
use crate::plan::{Alternative, Plan, Spot, Wire};
use crate::rig::{Position, Switch, SwitchRef};

/// The mark of a way on which nothing says where a switch stands; positions have the bits below.
const UNSAID: u32 = 1 << 31;
/// A switch with more positions has no room in a mark.
const MOST_SAID: usize = 31;

/// Settles every station in the positions in which alone a signal can get to it, where it is
/// the same in all of them.
/// What comes back are the switches that still act in several places which the level at the spot feels.
pub fn settle(plan: &mut Plan, spot: Spot) -> Vec<Switch> {
    let mut places: BTreeMap<SwitchRef, (Switch, Vec<usize>)> = BTreeMap::new();
    for (at, station) in plan.stations.iter().enumerate() {
        if let Some(switch) = station.switch {
            places.entry(switch.id).or_insert((switch, Vec::new())).1.push(at);
        }
    }
    places.retain(|_, (_, at)| at.len() > 1);
    if places.is_empty() {
        return Vec::new();
    }
    let felt = felt(plan, spot);
    for (_, at) in places.values_mut() {
        // What isn't felt may be whatever it likes: one of two sides, say, of which the other is told.
        let (here, elsewhere): (Vec<usize>, Vec<usize>) = at.iter().partition(|at| felt.contains(at));
        if !here.is_empty() {
            elsewhere.into_iter().for_each(|at| plan.stations[at].rest());
            *at = here;
        }
    }
    places.retain(|_, (_, at)| at.len() > 1);
    let order = order(plan);
    let mut several = Vec::new();
    for (switch, at) in places.into_values() {
        if switch.positions > MOST_SAID {
            several.push(switch);
            continue;
        }
        let said = said(plan, &order, switch.id);
        let reached: Vec<usize> = at.into_iter().filter(|at| said[*at] != 0).collect();
        let unsaid = reached.iter().filter(|at| said[**at] == UNSAID).count();
        let known = |at: &&usize| said[**at] & UNSAID == 0 && plan.stations[**at].is_alike(&positions(said[**at]));
        if unsaid + reached.iter().filter(known).count() < reached.len() || unsaid > 1 {
            several.push(switch);
            continue;
        }
        for at in reached.into_iter().filter(|at| said[*at] != UNSAID) {
            plan.stations[at].settle(&positions(said[at]));
        }
    }
    several
}

/// The stations that the level at a spot feels: those from which a way leads there, and what hangs
/// on these ways up to what isolates; all, where ways are joined that feel each other.
fn felt(plan: &Plan, spot: Spot) -> BTreeSet<usize> {
    if plan.junctions().next().is_some() {
        return (0..plan.stations.len()).collect();
    }
    let goal = Goal::Spot(spot);
    let mut found = leading_to(plan, Some(goal), &[]);
    found.extend(plan.starts.iter().filter_map(|start| start.wire.as_ref()?.to));
    let mut todo: Vec<usize> = found.iter().copied().collect();
    while let Some(at) = todo.pop() {
        let station = &plan.stations[at];
        // An output that isolates feels nothing of what hangs on the others.
        let passes = station.may_be().iter().any(Alternative::passes);
        let wires = station.outs.iter().filter_map(|out| out.wire.as_ref());
        let beside = wires.filter(|wire| passes || goal.is_on(wire)).filter_map(|wire| wire.to);
        todo.extend(beside.filter(|next| found.insert(*next)));
    }
    found
}

/// The positions in a mark.
fn positions(mark: u32) -> Vec<Position> {
    (0..MOST_SAID as u8).filter(|to| mark & 1 << to != 0).map(Position).collect()
}

/// All stations that a signal reaches, each before those behind it.
pub fn order(plan: &Plan) -> Vec<usize> {
    let mut seen = vec![false; plan.stations.len()];
    let mut found = Vec::new();
    let onward = |wire: Option<&Wire>| wire.and_then(|wire| wire.to);
    for first in plan.starts.iter().filter_map(|start| onward(start.wire.as_ref())) {
        if std::mem::replace(&mut seen[first], true) {
            continue;
        }
        let mut visits = vec![(first, 0)];
        while let Some((at, out)) = visits.last_mut() {
            match plan.stations[*at].outs.get(*out) {
                Some(end) => {
                    *out += 1;
                    if let Some(next) = onward(end.wire.as_ref())
                        && !std::mem::replace(&mut seen[next], true)
                    {
                        visits.push((next, 0));
                    }
                }
                None => {
                    found.push(*at);
                    visits.pop();
                }
            }
        }
    }
    found.reverse();
    found
}

/// Of each station, in which positions of a switch a signal can get there, or
/// that nothing says so.
fn said(plan: &Plan, order: &[usize], switch: SwitchRef) -> Vec<u32> {
    let mut said = vec![0_u32; plan.stations.len()];
    for first in plan.starts.iter().filter_map(|start| start.wire.as_ref()?.to) {
        said[first] |= UNSAID;
    }
    for at in order {
        let (station, here) = (&plan.stations[*at], said[*at]);
        let is_place = station.switch.is_some_and(|own| own.id == switch);
        for alternative in &station.alternatives {
            let onward = match alternative.position.filter(|_| is_place) {
                Some(Position(to)) if here & (UNSAID | 1 << to) != 0 => 1 << to,
                Some(_) => 0,
                None => here,
            };
            for next in station.wires(alternative).filter_map(|(_, wire)| wire.to) {
                said[next] |= onward;
            }
        }
    }
    said
}
