//! How units are fed as drawn: the first way that any other has to beat.

use rigwright_search::assignment::{Placement, evaluate};

use super::instance::Instance;
use super::model::{Alternative, Model, Solution};
use crate::rig::{DeviceId, Feed, FeedFrom, OutletRef, Rig, Tap};

impl Model {
    /// The units as `rig` feeds them, each that may stay where it is; the others
    /// go without. `skeleton` is the same rig with only its modules fed. None
    /// where the rig as drawn isn't among the alternatives.
    pub fn drawn(&self, rig: &Rig, skeleton: &Rig) -> Option<Solution> {
        let alternative = self.alternatives.iter().position(|one| one.rig.feeds == skeleton.feeds)?;
        let Alternative { rig: fed, instance: it } = &self.alternatives[alternative];
        let plugs = rig.feeds.iter().flat_map(|feed| feed.taps.iter().map(move |tap| (feed, tap)));
        let drawn: Vec<(DeviceId, Placement)> =
            plugs.filter_map(|(feed, tap)| Some((tap.device, placement(fed, it, feed, tap)?))).collect();
        let placements: Vec<Placement> = drawn.iter().map(|(_, placement)| *placement).collect();
        let counts: Vec<usize> = it.types.iter().map(|kind| kind.units.len()).collect();
        let (cost, stays) = evaluate(&it.numbers, &counts, &placements);
        let kept: Vec<(DeviceId, Placement)> =
            drawn.into_iter().zip(stays).filter(|(_, stays)| *stays).map(|(drawn, _)| drawn).collect();
        // The placements of a type are its units' in this order.
        let mut units: Vec<Vec<DeviceId>> = vec![Vec::new(); it.types.len()];
        for (unit, placement) in &kept {
            units[placement.kind()].push(*unit);
        }
        for (units, kind) in units.iter_mut().zip(&it.types) {
            let without: Vec<DeviceId> = kind.units.iter().copied().filter(|unit| !units.contains(unit)).collect();
            units.extend(without);
        }
        let placements = kept.into_iter().map(|(_, placement)| placement).collect();
        Some(Solution { alternative, placements, cost, units })
    }
}

/// A drawn plug as the search places it, if it may.
fn placement(rig: &Rig, it: &Instance, feed: &Feed, tap: &Tap) -> Option<Placement> {
    let kind = it.types.iter().position(|kind| kind.units.contains(&tap.device))?;
    let ways = &it.numbers.kinds[kind];
    let slot = |outlet: OutletRef| it.sockets.iter().position(|socket| socket.outlet == outlet);
    let mode = |outlet: OutletRef| rig.outlet(outlet)?.chosen.checked_sub(1);
    let adapter = |flipped: bool, slot| flipped == tap.adapter.swaps_poles && it.plug(kind, slot) == tap.adapter.plug;
    let (first, second) = match feed.from {
        FeedFrom::One(outlet) => {
            let (slot, mode) = (slot(outlet)?, mode(outlet)?);
            let mut singles = ways.singles.iter();
            let found = singles.find(|one| one.slot == slot && one.mode == mode && adapter(one.flipped, one.slot))?;
            return Some(Placement::Single(kind, *found));
        }
        FeedFrom::Series { lower, upper } => (lower, upper),
        FeedFrom::Parallel { first, second } => (first, second),
    };
    let (slots, modes) = ((slot(first)?, slot(second)?), (mode(first)?, mode(second)?));
    let found = ways.pairs.iter().find(|pair| {
        let drawn = Placement::Pair(kind, **pair);
        (pair.first, pair.second) == slots
            && pair.modes == modes
            && it.source(&drawn) == feed.from
            && adapter(pair.flipped, pair.first)
    })?;
    Some(Placement::Pair(kind, *found))
}

#[cfg(test)]
mod tests {
    use rigwright_search::Allowance;

    use super::super::answer::penalty;
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
        let model = Model::of(&skeleton, &units(rig), &terms, &|_| false, &allowance);
        let drawn = model.drawn(rig, &skeleton).unwrap();
        (penalty(drawn.cost), drawn.placements.len())
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
