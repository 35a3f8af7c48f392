//! Rigs with far more units than there is power for: an answer ends after counted work, says what isn't
//! proved, and is right as far as it goes.

use std::cell::Cell;
use std::sync::Arc;

use super::*;
use crate::diagnosis::Severity;
use crate::parts::catalogue;
use crate::power::{
    Allocation, AllocationQuestion, Cure, Headroom, Least, LeastQuestion, Rules, allocate, check, least,
};
use crate::rig::{Project, Variant, VariantId, apply};
use crate::watch::Watch;

/// Counts how often it is asked: a search asks at each 256th of its places, and each search at least once.
#[derive(Default)]
struct Count(Cell<u64>);

impl Watch for Count {
    fn go_on(&self, _done: f64) -> bool {
        self.0.set(self.0.get() + 1);
        true
    }
}

/// Above all ids of the rigs.
const FREE: u64 = 5000;

/// Units of seven voltages and forms, no two of the same current, every fifth digital.
fn mixed_units(count: u64) -> Vec<Device> {
    let need = |at: u64| {
        let ma = 4.0 + 1.3 * at as f64;
        let (least, most, form) = match at % 12 {
            0 | 6 => (18.0, 18.0, CentreNegative),
            1 => (9.0, 18.0, CentreNegative),
            2 => (12.0, 12.0, CentreNegative),
            3 => (9.0, 9.0, Alternating),
            4 => (9.0, 9.0, CentrePositive),
            5 => (9.0, 12.0, CentreNegative),
            _ => (9.0, 9.0, CentreNegative),
        };
        let digital = at.is_multiple_of(5);
        Need {
            digital,
            apart: if digital { Apart::OtherKind } else { Apart::Nobody },
            positive_ground: at % 17 == 7,
            shares_winding: at % 24 == 3,
            ..needs(vec![way(least, most, form, ma, 2.0 * ma)])
        }
    };
    (0..count).map(|at| unit(10 + at, need(at))).collect()
}

/// One earthed supply of outlets of different volts, polarity and limits, some of them on one 0 V.
fn few_outlets(count: u8) -> Device {
    let of = |at: u8| {
        let settings = match at {
            0 => vec![setting(9.0, 500.0, CentreNegative)],
            1 => vec![setting(9.0, 300.0, CentreNegative), setting(18.0, 100.0, CentreNegative)],
            2 => vec![setting(12.0, 250.0, CentreNegative), setting(9.0, 100.0, CentreNegative)],
            3 => vec![setting(9.0, 800.0, Alternating)],
            4 => vec![setting(9.0, 100.0, CentrePositive)],
            5 => vec![setting(18.0, 200.0, CentreNegative)],
            6 => vec![setting(9.0, 2000.0, CentreNegative)],
            _ => vec![setting(9.0, 100.0, CentreNegative), setting(12.0, 100.0, CentreNegative)],
        };
        let zero_volt = ZeroVolt::Group(if at % 3 == 2 { 1 } else { 10 + at });
        Outlet { parallel: at % 4 < 2, ..outlet(zero_volt, settings) }
    };
    supply(1, mains(true), (0..count).map(of).collect())
}

fn ask(rig: &Rig, rules: Rules) -> (Allocation, u64) {
    let count = Count::default();
    let found = allocate(&AllocationQuestion { rig: Arc::new(rig.clone()), rules }, &count).unwrap();
    (found, count.0.get())
}

/// What is drawn by an answer is neither dangerous nor to be acted on, but for who isn't fed and what is tight.
fn hold(rig: &Rig, found: &Allocation, what: &str) {
    let project = Project::around(Arc::new(Variant::of(VariantId(4000), "", rig.clone())), FREE);
    let drawn = apply(&project, &found.edit(rig, VariantId(4000))).unwrap();
    let told = check(&drawn.variants[0].rig, &Headroom::default()).problems;
    let wrong = |key: &str| !["unfed", "tight"].contains(&key);
    let loud: Vec<_> = told.iter().filter(|p| p.severity != Severity::Know && wrong(p.what.key())).collect();
    assert!(loud.is_empty(), "{what}: {loud:?}");
    let fed = found.placed.iter().flat_map(|lead| &lead.plugs).count();
    assert_eq!(found.penalty.unfed as usize, found.unfed.len(), "{what}");
    assert!(fed > 0, "{what}: nobody is fed");
    let conflict = found.conflict.as_ref().unwrap();
    assert_eq!(conflict.cures[0], Cure::LeaveOut(found.unfed.clone()), "{what}");
}

#[test]
fn a_hundred_units_before_a_few_outlets_take_counted_work() {
    let mut unproved = 0;
    for (outlets, most_plugs) in [(3, 5), (4, 5), (5, 5), (6, 5), (7, 5), (8, 5), (8, 1)] {
        let devices = [few_outlets(outlets)].into_iter().chain(mixed_units(100)).collect();
        let rig = rig(devices, Vec::new());
        let (found, asked) = ask(&rig, Rules { most_plugs, ..Rules::default() });
        let what = format!("{outlets} outlets, {most_plugs} plugs, asked {asked} times");
        // 100 searches for the conflict, and of each 256 places one; before there was an end to them there
        // were hundreds of thousands.
        assert!(asked < 2000, "{what}");
        hold(&rig, &found, &what);
        unproved += usize::from(!found.proved);
    }
    assert!(unproved > 2, "{unproved} show what an end is for");
}

#[test]
fn a_hundred_units_before_a_whole_shop_take_counted_work() {
    for copies in [1, 2] {
        let mut devices = mixed_units(100);
        let parts = catalogue().parts.iter().filter(|part| matches!(part.kind, Kind::Supply(_)));
        let shop = parts.flat_map(|part| (0..copies).map(move |_| part));
        devices.extend((1000..).zip(shop).map(|(id, part)| part.device(DeviceId(id))));
        let rig = rig(devices, Vec::new());
        let (found, asked) = ask(&rig, Rules::default());
        let what = format!("{copies} of each, asked {asked} times");
        assert!(asked < 20_000, "{what}");
        hold(&rig, &found, &what);
        assert!(!found.proved, "{what}");
    }
}

/// What is drawn feeds as many as it does, and an answer that isn't proved is no worse.
#[test]
fn an_answer_that_ends_early_is_no_worse_than_what_is_drawn() {
    let devices = [few_outlets(8)].into_iter().chain(mixed_units(100)).collect();
    let bare = rig(devices, Vec::new());
    let (found, _) = ask(&bare, Rules::default());
    let project = Project::around(Arc::new(Variant::of(VariantId(4000), "", bare.clone())), FREE);
    let drawn = apply(&project, &found.edit(&bare, VariantId(4000))).unwrap();
    let (again, _) = ask(&drawn.variants[0].rig, Rules::default());
    assert!(!found.proved);
    assert!(again.penalty <= found.penalty, "{:?} after {:?}", again.penalty, found.penalty);
}

#[test]
fn the_least_supplies_for_a_hundred_units_take_counted_work() {
    for most_plugs in [1, 5] {
        let rules = Rules { most_plugs, ..Rules::default() };
        let (rig, count) = (Arc::new(rig(mixed_units(100), Vec::new())), Count::default());
        let (keep, batteries, parts) = (false, false, None);
        let question = LeastQuestion { rig, rules, least: Least::Money, keep, batteries, parts };
        let answer = least(&question, &count).unwrap();
        let what = format!("{most_plugs} plugs, asked {} times", count.0.get());
        assert!(count.0.get() < 50_000, "{what}");
        assert!(!answer.proved, "{what}");
        // A set is found all the same, and what is bought feeds all but those that nothing feeds.
        assert!(answer.bought.is_some(), "{what}");
        assert_eq!(answer.allocation.unfed, answer.hopeless, "{what}");
    }
}
