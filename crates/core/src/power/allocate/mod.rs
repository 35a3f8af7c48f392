//! The best way to feed a rig's units from its supplies, proved, or what stands in the way.

mod answer;
mod conflict;
mod drawn;
pub mod instance;
pub mod model;
pub mod modules;
pub mod terms;
mod wishes;

use rigwright_search::Allowance;

use self::terms::InUse;
use super::question::{Allocation, AllocationQuestion};
use crate::rig::{Device, DeviceId, Rig};
use crate::watch::{Part, Stopped, Watch};

/// Steps of an answer: about a second of a fast build on an old machine.
const MOST_STEPS: u64 = 40_000_000;

/// The best allocation by the order of wishes. Nothing is destroyed: that is no
/// wish. Then, of all ways, those that leave the fewest units without; of those
/// the ones in which the fewest run at another voltage than now; then the least
/// noisy, the fewest places with too little headroom, the fewest adapters, the
/// least sharing of leads and 0 Vs, for each unit that shares can close a ground
/// loop, and the fewest watts. [`Penalty`](super::Penalty) counts all that.
///
/// Where not all can be fed, the answer names a conflict and what cures it.
///
/// So many steps are taken, and no more. Past them it is the best that was found,
/// no worse than what is drawn, and isn't proved.
pub fn allocate(question: &AllocationQuestion, watch: &dyn Watch) -> Result<Allocation, Stopped> {
    let in_use = terms::in_use(&question.rig, &question.rules);
    allocate_from(question, &in_use, &Allowance::of(MOST_STEPS), watch)
}

/// The same, with each unit's voltage in use and the steps that it may take said.
pub fn allocate_from(
    question: &AllocationQuestion,
    in_use: &InUse,
    allowance: &Allowance<'_>,
    watch: &dyn Watch,
) -> Result<Allocation, Stopped> {
    let units = units(&question.rig);
    let skeleton = modules::skeleton(&question.rig, question.rules.headroom.tolerance);
    let first = Part { whole: watch, from: 0.0, to: 0.5 };
    // The rest is for what stands in the way, if something does.
    let most = allowance.part(0.7);
    let seeker = wishes::Seeker {
        rig: &question.rig,
        rules: &question.rules,
        in_use,
        skeleton: &skeleton,
        units: &units,
        allowance: &most,
    };
    let mut allocation = seeker.best(&first)?;
    let is_module = |id: DeviceId| question.rig.device(id).is_some_and(|device| device.kind.supply().is_some());
    let wrong = question
        .rig
        .feeds
        .iter()
        .filter(|feed| skeleton.feed(feed.id).is_none() && feed.taps.iter().any(|tap| is_module(tap.device)));
    allocation.wrong = wrong.map(|feed| feed.id).collect();
    if !allocation.unfed.is_empty() {
        let rest = Part { whole: watch, from: 0.5, to: 1.0 };
        let shortfall = conflict::Shortfall { question, skeleton: &skeleton, units: &units, best: &allocation };
        // Where modules alone are too much for what feeds them, no unit is in anybody's way.
        let conflict =
            Some(shortfall.conflict(in_use, allowance, &rest)?).filter(|conflict| !conflict.units.is_empty());
        allocation.conflict = conflict;
    }
    Ok(allocation)
}

/// The devices that want a low voltage, supplies left out.
pub fn units(rig: &Rig) -> Vec<&Device> {
    let wants = |device: &&Device| {
        device.power.need().is_some() && device.kind.supply().is_none() && !device.is_fed_by_phantom()
    };
    rig.devices.iter().filter(wants).collect()
}
