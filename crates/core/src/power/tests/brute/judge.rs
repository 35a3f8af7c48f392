//! What a drawn rig comes to, counted anew: whether it keeps what must be kept, and how it does by the wishes.

use std::collections::BTreeMap;

use super::cases::DRIVE;
use crate::diagnosis::Severity;
use crate::power::allocate::units;
use crate::power::tests::*;
use crate::power::{Penalty, PowerFault, PowerProblem, Rules, Weight, ZeroVolts, check};

/// The rated voltage that each unit runs at as drawn on single outlets, where that is one that it takes.
pub fn in_use(rig: &Rig, rules: &Rules) -> BTreeMap<DeviceId, f64> {
    let mut found = BTreeMap::new();
    for feed in &rig.feeds {
        let FeedFrom::One(outlet) = feed.from else { continue };
        let setting = rig.outlet(outlet).unwrap().setting().unwrap();
        for tap in feed.taps.iter().filter(|tap| !rules.released.contains(&tap.device)) {
            let need = rig.device(tap.device).unwrap().power.need().unwrap();
            let takes = |way: &Way| way.form == setting.form && way.takes(setting.volts.get(), 0.1);
            if need.ways.iter().any(takes) {
                found.insert(tap.device, setting.volts.get());
            }
        }
    }
    found
}

/// The rig with its modules fed as drawn, and no unit.
pub fn bare(rig: &Rig) -> Rig {
    let mut bare = rig.clone();
    bare.feeds.retain(|feed| feed.taps.iter().all(|tap| rig.device(tap.device).unwrap().kind.supply().is_some()));
    bare
}

/// The units on each 0 V, with what each needs.
fn companies<'a>(rig: &'a Rig, rules: &Rules) -> Vec<Vec<(&'a Device, &'a Need)>> {
    let checked = check(rig, &rules.headroom);
    let unit = |id: &DeviceId| {
        let device = rig.device(*id).unwrap();
        (device, device.power.need().unwrap())
    };
    checked.zero_volts.all().map(|(_, on)| on.iter().map(unit).collect()).collect()
}

/// Whether one wants the other not to be on its 0 V.
fn minds(a: &Need, b: &Need) -> bool {
    match a.apart {
        Apart::Nobody => false,
        Apart::OtherKind => a.digital != b.digital,
        Apart::Everybody => true,
    }
}

/// Whether nobody is there whose maker says that it mustn't be.
fn makers_agree(on: &[(&Device, &Need)]) -> bool {
    let fine = |unit: &Device, need: &Need| {
        !need.apart_must || !on.iter().any(|(other, its)| other.id != unit.id && minds(need, its))
    };
    on.iter().all(|(unit, need)| fine(unit, need))
}

/// Units on a 0 V with one that should be apart from them, or they from it.
fn disturbed(on: &[(&Device, &Need)]) -> usize {
    let by = |unit: &Device, need: &Need| {
        on.iter().any(|(other, its)| other.id != unit.id && (minds(need, its) || minds(its, need)))
    };
    on.iter().filter(|(unit, need)| by(unit, need)).count()
}

/// Drives beyond the second, one at least with more than 40 dB of two or more units. [S: shared-noise]
fn crowded(on: &[(&Device, &Need)]) -> usize {
    let level = |device: &Device| match &device.kind {
        Kind::Buffer(buffer) => buffer.stage.level.get().max(0.0),
        _ => unreachable!(),
    };
    let loud: Vec<f64> = on.iter().map(|(device, _)| level(device)).filter(|level| *level > 0.0).collect();
    let too_much = loud.len() > 1 && loud.iter().sum::<f64>() > 40.0 + 1e-9;
    let drives = on.iter().filter(|(device, _)| device.part == DRIVE).count();
    drives.saturating_sub(2).max(usize::from(too_much))
}

/// Leads with digital and analogue units.
fn mixed(rig: &Rig) -> usize {
    let is = |feed: &Feed, digital: bool| {
        let mut needs = feed.taps.iter().filter_map(|tap| rig.device(tap.device)?.power.need());
        needs.any(|need| need.digital == digital)
    };
    rig.feeds.iter().filter(|feed| is(feed, true) && is(feed, false)).count()
}

/// Positive ground is on a lead of its own kind, and nothing else on that 0 V, not the earth either; a unit on
/// AC has a winding whose 0 V is nobody else's, and not the earth's.
fn alone_where_they_must(rig: &Rig, rules: &Rules) -> bool {
    let checked = check(rig, &rules.headroom);
    checked.zero_volts.all().all(|(at, on)| {
        let need = |id: &DeviceId| rig.device(*id).unwrap().power.need().unwrap();
        let positive = on.iter().filter(|id| need(id).positive_ground).count();
        let lead = |id: &DeviceId| rig.feed_to(*id).unwrap().id;
        let one_lead = on.iter().all(|id| lead(id) == lead(&on[0]));
        let fine = positive == 0 || (positive == on.len() && one_lead && !checked.zero_volts.is_earthed(at));
        let own = |id: &&DeviceId| !checked.tap(**id).unwrap().form.is_dc() && !need(id).shares_winding;
        let alternating = on.iter().filter(own).count();
        fine && (alternating == 0 || (on.len() == 1 && !checked.zero_volts.is_earthed(at)))
    })
}

/// Whether a drawn rig keeps what must be kept, by its own check.
pub fn is_legal(rig: &Rig, rules: &Rules) -> bool {
    let checked = check(rig, &rules.headroom);
    let wrong = |problem: &PowerProblem| match problem.what {
        // A 0 V is judged below.
        PowerFault::PositiveGround { .. } => false,
        // Who isn't fed is counted by the penalty.
        PowerFault::Unfed { .. } => false,
        PowerFault::Tight { .. } => rules.margin == Weight::Must,
        // A module that hangs nowhere may have nothing on it; here it never has.
        _ => problem.severity != Severity::Know,
    };
    let mut bare = rig.clone();
    bare.feeds.retain(|feed| feed.taps.iter().all(|tap| rig.device(tap.device).unwrap().kind.supply().is_some()));
    let raw = ZeroVolts::of(&bare);
    // Of two outlets side by side with different 0 V, the second has no other unit on its 0 V.
    let second_is_free = rig.feeds.iter().all(|feed| {
        let FeedFrom::Parallel { first, second } = feed.from else { return true };
        let (a, b) = (raw.of_outlet(rig, first), raw.of_outlet(rig, second));
        let on_b = |other: &Feed| match other.from {
            FeedFrom::One(outlet) => raw.of_outlet(rig, outlet) == b,
            FeedFrom::Series { lower, upper } => [lower, upper].iter().any(|o| raw.of_outlet(rig, *o) == b),
            FeedFrom::Parallel { first, second } => [first, second].iter().any(|o| raw.of_outlet(rig, *o) == b),
        };
        let units = |other: &Feed| other.taps.iter().any(|tap| rig.device(tap.device).unwrap().kind.supply().is_none());
        first.supply == second.supply
            && (a == b || rig.feeds.iter().all(|other| other.id == feed.id || !units(other) || !on_b(other)))
    });
    let same_box = rules.across
        || rig.feeds.iter().all(|feed| {
            let supplies: Vec<DeviceId> = feed.from.outlets().map(|outlet| outlet.supply).collect();
            supplies.iter().all(|supply| *supply == supplies[0])
        });
    let daisies = rig.feeds.iter().all(|feed| {
        let count = feed.taps.len();
        let module = feed.taps.iter().any(|tap| rig.device(tap.device).unwrap().kind.supply().is_some());
        count <= usize::from(rules.most_plugs)
            && (count == 1 || !(module || feed.taps.iter().any(|tap| rules.own_outlet.contains(&tap.device))))
            && (count == 1 || matches!(feed.from, FeedFrom::One(_)))
    });
    let isolated =
        checked.zero_volts.all().all(|(_, on)| on.len() < 2 || !on.iter().any(|id| rules.isolated.contains(id)));
    let modules_ok = rig
        .feeds
        .iter()
        .flat_map(|feed| &feed.taps)
        .all(|tap| rig.device(tap.device).unwrap().kind.supply().is_none() || tap.adapter.is_none());
    let apart = rules.keep_apart != Weight::Must
        || (mixed(rig) == 0 && companies(rig, rules).iter().all(|on| disturbed(on) == 0));
    let few_gains = rules.few_gains != Weight::Must || companies(rig, rules).iter().all(|on| crowded(on) == 0);
    let makers = companies(rig, rules).iter().all(|on| makers_agree(on));
    let wishes = makers && apart && few_gains && alone_where_they_must(rig, rules);
    wishes && !checked.problems.iter().any(wrong) && second_is_free && same_box && daisies && isolated && modules_ok
}

/// The penalty of a drawn rig, counted anew; `now` are the voltages in use.
pub fn penalty(rig: &Rig, rules: &Rules, now: &BTreeMap<DeviceId, f64>) -> Penalty {
    let checked = check(rig, &rules.headroom);
    let is_unit = |id: DeviceId| rig.device(id).unwrap().kind.supply().is_none();
    let mut penalty = Penalty {
        unfed: units(rig).iter().filter(|u| rig.feed_to(u.id).is_none()).count() as u32,
        ..Penalty::default()
    };
    for (feed, figures) in rig.feeds.iter().zip(&checked.feeds) {
        let taps = feed.taps.iter().zip(&figures.taps).filter(|(tap, _)| is_unit(tap.device));
        let mut count = 0;
        for (tap, figure) in taps {
            count += 1;
            penalty.adapters += u32::from(!tap.adapter.is_none()) + u32::from(!matches!(feed.from, FeedFrom::One(_)));
            // The rated voltage, without what the lead loses.
            let rated: f64 = feed.from.outlets().map(|outlet| rated(rig, outlet)).sum();
            let rated = if matches!(feed.from, FeedFrom::Parallel { .. }) { rated / 2.0 } else { rated };
            // Further off than a unit stands anyway.
            let other = now.get(&tap.device).is_some_and(|now| (rated - now).abs() > 0.1 * now + 1e-9);
            penalty.changed += u32::from(other);
            penalty.microwatts += (rated * figure.running * 1e6).round() as u64;
        }
        penalty.sharing += u32::saturating_sub(count, 1);
    }
    for (_, on) in checked.zero_volts.all() {
        penalty.sharing += on.len() as u32 - 1;
    }
    for on in companies(rig, rules) {
        if rules.keep_apart == Weight::Wish {
            penalty.noisy += disturbed(&on) as u32;
        }
        if rules.few_gains == Weight::Wish {
            penalty.noisy += crowded(&on) as u32;
        }
    }
    if rules.keep_apart == Weight::Wish {
        penalty.noisy += mixed(rig) as u32;
    }
    if rules.margin == Weight::Wish {
        penalty.tight = checked.problems.iter().filter(|p| matches!(p.what, PowerFault::Tight { .. })).count() as u32;
    }
    penalty
}

fn rated(rig: &Rig, outlet: OutletRef) -> f64 {
    rig.outlet(outlet).unwrap().setting().unwrap().volts.get()
}
