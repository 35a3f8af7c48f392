//! How units are fed as drawn: the first way that any other has to beat.

use super::instance::Instance;
use super::search::{self, Move};
use super::{Ground, Way};
use crate::rig::{DeviceId, Feed, FeedFrom, OutletRef, Rig, Tap};

impl Ground {
    /// The units as `rig` feeds them, each that may stay where it is; the others
    /// go without. `skeleton` is the same rig with only its modules fed. None
    /// where the rig as drawn isn't among the ways.
    pub fn drawn(&self, rig: &Rig, skeleton: &Rig) -> Option<Way> {
        let index = self.ways.iter().position(|(way, _)| way.feeds == skeleton.feeds)?;
        let (fed, it) = &self.ways[index];
        let plugs = rig.feeds.iter().flat_map(|feed| feed.taps.iter().map(move |tap| (feed, tap)));
        let steps: Vec<(DeviceId, Move)> =
            plugs.filter_map(|(feed, tap)| Some((tap.device, step(fed, it, feed, tap)?))).collect();
        let moves: Vec<Move> = steps.iter().map(|(_, step)| *step).collect();
        let counts: Vec<usize> = it.types.iter().map(|kind| kind.units.len()).collect();
        let (cost, stays) = search::price(it, &counts, &moves);
        let kept: Vec<(DeviceId, Move)> =
            steps.into_iter().zip(stays).filter(|(_, stays)| *stays).map(|(step, _)| step).collect();
        // The moves of a type are its units' in this order.
        let mut units: Vec<Vec<DeviceId>> = vec![Vec::new(); it.types.len()];
        for (unit, Move::Single(kind, _) | Move::Pair(kind, _)) in &kept {
            units[*kind].push(*unit);
        }
        for (units, kind) in units.iter_mut().zip(&it.types) {
            let without: Vec<DeviceId> = kind.units.iter().copied().filter(|unit| !units.contains(unit)).collect();
            units.extend(without);
        }
        Some(Way { index, moves: kept.into_iter().map(|(_, step)| step).collect(), cost, units })
    }
}

/// A drawn plug as the search's move, if there is such a move.
fn step(rig: &Rig, it: &Instance, feed: &Feed, tap: &Tap) -> Option<Move> {
    let kind = it.types.iter().position(|kind| kind.units.contains(&tap.device))?;
    let socket = |outlet: OutletRef| it.sockets.iter().position(|socket| socket.outlet == outlet);
    let setting = |outlet: OutletRef| rig.outlet(outlet)?.chosen.checked_sub(1);
    let adapter = |swap: bool, plug| swap == tap.adapter.swaps_poles && plug == tap.adapter.plug;
    let (series, first, second) = match feed.from {
        FeedFrom::One(outlet) => {
            let (socket, setting) = (socket(outlet)?, setting(outlet)?);
            let mut singles = it.types[kind].singles.iter();
            let found =
                singles.find(|one| one.socket == socket && one.setting == setting && adapter(one.swap, one.plug))?;
            return Some(Move::Single(kind, *found));
        }
        FeedFrom::Series { lower, upper } => (true, lower, upper),
        FeedFrom::Parallel { first, second } => (false, first, second),
    };
    let (sockets, settings) = ((socket(first)?, socket(second)?), (setting(first)?, setting(second)?));
    let found = it.types[kind].pairs.iter().find(|pair| {
        pair.series == series
            && (pair.first, pair.second) == sockets
            && pair.settings == settings
            && adapter(pair.swap, pair.plug)
    })?;
    Some(Move::Pair(kind, *found))
}

#[cfg(test)]
mod tests {
    use super::super::allowance::Allowance;
    use super::super::terms::{self, Terms};
    use super::super::{modules, units};
    use super::*;
    use crate::file;
    use crate::power::Rules;

    fn drawn(rig: &Rig) -> (crate::power::Penalty, usize) {
        let rules = Rules::default();
        let in_use = terms::in_use(rig, &rules);
        let skeleton = modules::skeleton(rig, rules.headroom.tolerance);
        let terms = Terms { quiet: false, ..Terms::strict(&rules, &in_use) };
        let allowance = Allowance::of(1_000_000);
        let ground = Ground::of(&skeleton, &units(rig), &terms, &|_| false, &allowance);
        let way = ground.drawn(rig, &skeleton).unwrap();
        (search::penalty(way.cost), way.moves.len())
    }

    #[test]
    fn what_is_drawn_is_the_first_way_to_beat() {
        // Four on one lead: all four share a 0 V that two want for their kind, on a lead with
        // both kinds; three are beyond the first on the lead and on the 0 V; 9 V at 175 mA.
        let daisy = file::few_on_a_daisy().unwrap();
        let (penalty, stay) = drawn(&daisy.variants[0].rig);
        assert_eq!((stay, penalty.unfed, penalty.noisy, penalty.sharing), (4, 0, 5, 6));
        assert_eq!(penalty.microwatts, 1_575_000);
        // A lead has five plugs at most by the usual rules, and the demo's adaptor feeds six units.
        let demo = file::demo().unwrap();
        let (penalty, stay) = drawn(&demo.variants[0].rig);
        assert_eq!((stay, penalty.unfed), (13, 1));
        let modular = file::large_modular().unwrap();
        let (penalty, stay) = drawn(&modular.variants[0].rig);
        assert_eq!((stay, penalty.unfed, penalty.changed), (25, 0, 0));
    }
}
