//! Random small rigs: every way of feeding them tried, each judged by the
//! check of a drawn allocation, against the search.

mod cases;
mod fed;
mod judge;

use std::collections::BTreeMap;
use std::sync::Arc;

use self::cases::{crowded_case, random, winding_case};
use self::judge::{bare, in_use, is_legal, penalty};
use super::*;
use crate::power::allocate::units;
use crate::power::{
    Allocation, AllocationQuestion, Cure, Headroom, Noise, Penalty, Relaxation, Rules, Weight, allocate, check,
};
use crate::rig::{Adapter, Edit, GroupLimit, Project, Variant, VariantId, apply, problems};
use crate::watch::Unwatched;

pub use self::cases::Case;
pub use self::fed::all_can_be_fed;

struct Brute<'a> {
    rules: &'a Rules,
    now: BTreeMap<DeviceId, f64>,
    todo: Vec<DeviceId>,
    best: Option<Penalty>,
}

impl Brute<'_> {
    fn place(&mut self, at: usize, rig: &Rig, skipped: u32) {
        let mut so_far = penalty(rig, self.rules, &self.now);
        so_far.unfed = skipped;
        if self.best.is_some_and(|best| so_far >= best) {
            return;
        }
        let Some(unit) = self.todo.get(at).copied() else {
            self.best = Some(so_far);
            return;
        };
        for next in self.ways(rig, unit, at as u64) {
            if is_legal(&next, self.rules) {
                self.place(at + 1, &next, skipped);
            }
        }
        let is_unit = rig.device(unit).unwrap().kind.supply().is_none();
        self.place(at + 1, rig, skipped + u32::from(is_unit));
    }

    fn settings(&self, rig: &Rig, outlet: OutletRef) -> Vec<u8> {
        let there = rig.outlet(outlet).unwrap();
        match rig.feed_from(outlet) {
            None if self.rules.selectors => (1..=there.settings.len() as u8).collect(),
            _ => vec![there.chosen],
        }
    }

    /// Every way of plugging one more device in, good or bad.
    fn ways(&self, rig: &Rig, unit: DeviceId, at: u64) -> Vec<Rig> {
        let mut found = Vec::new();
        let need = rig.device(unit).unwrap().power.need().unwrap().clone();
        let outlets: Vec<OutletRef> = rig
            .supplies()
            .filter(|(device, _)| {
                device.id != unit && (device.power.need().is_none() || rig.feed_to(device.id).is_some())
            })
            .flat_map(|(device, s)| {
                (1..=s.outlets.len() as u8).map(|n| OutletRef::new(device.id, n)).collect::<Vec<_>>()
            })
            .collect();
        let set = |rig: &mut Rig, outlet: OutletRef, setting: u8| {
            let device = rig.devices.iter_mut().find(|device| device.id == outlet.supply).unwrap();
            let Kind::Supply(supply) = &mut device.kind else { unreachable!() };
            supply.outlets[usize::from(outlet.outlet) - 1].chosen = setting;
        };
        let swaps: &[bool] = if self.rules.adapters { &[false, true] } else { &[false] };
        let id = FeedId(100 + at);
        for &swaps_poles in swaps {
            let tap = |outlet: OutletRef| {
                let socket = rig.outlet(outlet).unwrap().connector;
                let plug = (socket != need.connector && self.rules.adapters).then_some(need.connector);
                Tap { adapter: Adapter { swaps_poles, plug }, ..Tap::first(unit) }
            };
            for &outlet in &outlets {
                for setting in self.settings(rig, outlet) {
                    let mut next = rig.clone();
                    set(&mut next, outlet, setting);
                    match next.feeds.iter_mut().find(|feed| feed.from == FeedFrom::One(outlet)) {
                        Some(feed) => feed.taps.push(tap(outlet)),
                        None if rig.feed_from(outlet).is_some() => continue,
                        None => next.feeds.push(Feed { taps: vec![tap(outlet)], ..straight(id.0, outlet, unit.0) }),
                    }
                    found.push(next);
                }
                let is_module = rig.device(unit).unwrap().kind.supply().is_some();
                if !self.rules.pairs || is_module || rig.feed_from(outlet).is_some() {
                    continue;
                }
                for &other in outlets.iter().filter(|other| **other != outlet && rig.feed_from(**other).is_none()) {
                    for a in self.settings(rig, outlet) {
                        for b in self.settings(rig, other) {
                            let pairs = [
                                FeedFrom::Series { lower: outlet, upper: other },
                                FeedFrom::Parallel { first: outlet, second: other },
                            ];
                            for from in pairs {
                                let mut next = rig.clone();
                                set(&mut next, outlet, a);
                                set(&mut next, other, b);
                                next.feeds.push(Feed {
                                    from,
                                    taps: vec![tap(outlet)],
                                    ..straight(id.0, outlet, unit.0)
                                });
                                found.push(next);
                            }
                        }
                    }
                }
            }
        }
        found
    }
}

/// The least penalty there is.
fn brute(case: &Case) -> Penalty {
    let bare = bare(&case.rig);
    let mut todo: Vec<DeviceId> = crate::power::allocate::modules::loose(&bare);
    todo.extend(units(&bare).iter().map(|unit| unit.id));
    let mut brute = Brute { rules: &case.rules, now: in_use(&case.rig, &case.rules), todo, best: None };
    if is_legal(&bare, &case.rules) {
        brute.place(0, &bare, 0);
    }
    brute.best.unwrap_or(Penalty { unfed: units(&bare).len() as u32, ..Penalty::default() })
}

/// The rig as an allocation draws it, through the edit that a player would take.
fn drawn(rig: &Rig, allocation: &Allocation) -> Rig {
    let project = Project::around(Arc::new(Variant::of(VariantId(900), "", rig.clone())), 901);
    let edit: Edit = allocation.edit(rig, VariantId(900));
    (*apply(&project, &edit).unwrap().variants[0].rig).clone()
}

fn ask(rig: &Rig, rules: &Rules) -> Allocation {
    allocate(&AllocationQuestion { rig: Arc::new(rig.clone()), rules: rules.clone() }, &Unwatched).unwrap()
}

fn without(rig: &Rig, gone: &[DeviceId]) -> Rig {
    let mut less = rig.clone();
    less.devices.retain(|device| !gone.contains(&device.id));
    for feed in &mut less.feeds {
        feed.taps.retain(|tap| !gone.contains(&tap.device));
    }
    less.feeds.retain(|feed| !feed.taps.is_empty());
    less
}

#[test]
fn the_search_agrees_with_every_way_tried() {
    let (mut conflicts, mut pairs, mut daisies, mut modules) = (0, 0, 0, 0);
    for seed in 0..300 {
        let case = random(seed);
        let found = agree(&case, seed);
        pairs += found.placed.iter().filter(|lead| !matches!(lead.from, FeedFrom::One(_))).count();
        daisies += found.placed.iter().filter(|lead| lead.plugs.len() > 1).count();
        modules += found.placed.iter().filter(|lead| lead.plugs.iter().any(|(id, _)| id.0 == 3)).count();
        conflicts += usize::from(found.conflict.is_some());
    }
    // The cases show what they are to show.
    assert!(
        (100..250).contains(&conflicts) && pairs > 10 && daisies > 60 && modules > 10,
        "{conflicts} {pairs} {daisies} {modules}"
    );
}

#[test]
fn wishes_give_way_in_their_order() {
    let (mut changed, mut noisy, mut tight, mut together, mut lead, mut gain) = (0, 0, 0, 0, 0, 0);
    for seed in 0..600 {
        let found = agree(&crowded_case(seed), seed);
        changed += usize::from(found.penalty.changed > 0);
        noisy += usize::from(found.penalty.noisy > 0);
        tight += usize::from(found.penalty.tight > 0);
        let why = |wanted: fn(&Noise) -> bool| usize::from(found.noisy.iter().any(|noisy| wanted(&noisy.why)));
        together += why(|why| matches!(why, Noise::Together));
        lead += why(|why| matches!(why, Noise::OneLead));
        gain += why(|why| matches!(why, Noise::Gain { .. }));
    }
    // The cases show what they are to show.
    let counts = [changed, noisy, tight, together, lead, gain];
    assert!(counts.iter().all(|count| *count > 10), "{counts:?}");
}

/// Bridge rectifiers joined by screens short through their diodes: a winding feeds one unit, unless both
/// makers allow it. [S: winding]
#[test]
fn units_on_ac_share_a_winding_where_they_may() {
    let (mut leads, mut zero_volts, mut alone, mut with_direct) = (0, 0, 0, 0);
    for seed in 0..400 {
        let case = winding_case(seed);
        let found = agree(&case, seed);
        let rig = drawn(&case.rig, &found);
        let checked = check(&rig, &case.rules.headroom);
        let on_ac = |id: &DeviceId| checked.tap(*id).is_some_and(|tap| !tap.form.is_dc());
        let shares = |id: &DeviceId| rig.device(*id).unwrap().power.need().unwrap().shares_winding;
        for (_, on) in checked.zero_volts.all() {
            let count = on.iter().filter(|id| on_ac(id)).count();
            zero_volts += usize::from(count > 1);
            with_direct += usize::from(count > 0 && count < on.len());
            alone += usize::from(count == 1 && !shares(&on[0]));
        }
        let daisy = |feed: &&Feed| feed.taps.len() > 1 && feed.taps.iter().all(|tap| on_ac(&tap.device));
        leads += rig.feeds.iter().filter(daisy).count();
    }
    // The cases show what they are to show.
    let counts = [leads, zero_volts, alone, with_direct];
    assert!(counts.iter().all(|count| *count > 10), "{counts:?}");
}

/// The search finds what is best of every way tried, and draws it.
fn agree(case: &Case, seed: u64) -> Allocation {
    let expected = brute(case);
    let found = ask(&case.rig, &case.rules);
    assert!(found.proved, "case {seed}");
    assert_eq!(found.penalty, expected, "case {seed}: {found:?}");
    let rig = drawn(&case.rig, &found);
    assert!(is_legal(&rig, &case.rules), "case {seed}: {:?}", check(&rig, &case.rules.headroom).problems);
    let now = in_use(&case.rig, &case.rules);
    assert_eq!(penalty(&rig, &case.rules, &now), expected, "case {seed}");
    // What is told beside the numbers is what they count.
    assert_eq!(found.changed.len() as u32, expected.changed, "case {seed}: {found:?}");
    assert_eq!(found.noisy.is_empty(), expected.noisy == 0, "case {seed}: {found:?}");
    assert!(problems(&rig).iter().all(|p| !p.to_string().contains("supply lead")), "case {seed}");
    match &found.conflict {
        Some(conflict) => hold(case, conflict, seed),
        None => assert_eq!(found.penalty.unfed, 0, "case {seed}"),
    }
    found
}

/// Every conflict can't be fed and can spare none of its units, and every cure cures.
fn hold(case: &Case, conflict: &crate::power::Conflict, seed: u64) {
    assert!(conflict.proved && !conflict.units.is_empty(), "case {seed}");
    let all: Vec<DeviceId> = units(&case.rig).iter().map(|unit| unit.id).collect();
    let others: Vec<DeviceId> = all.iter().copied().filter(|id| !conflict.units.contains(id)).collect();
    let only = |ids: &[DeviceId]| Case { rig: without(&case.rig, ids), rules: case.rules.clone() };
    assert!(brute(&only(&others)).unfed > 0, "case {seed}");
    for spared in &conflict.units {
        let gone: Vec<DeviceId> = others.iter().copied().chain([*spared]).collect();
        assert_eq!(brute(&only(&gone)).unfed, 0, "case {seed} without {spared:?}");
    }
    for cure in &conflict.cures {
        let cured = match cure {
            Cure::LeaveOut(gone) => only(gone),
            Cure::Relax(relaxation) => Case { rig: case.rig.clone(), rules: relaxation.of(&case.rules).unwrap() },
        };
        assert_eq!(brute(&cured).unfed, 0, "case {seed}: {cure:?}");
    }
    assert!(matches!(conflict.cures[0], Cure::LeaveOut(_)));
}

/// Found by random cases beyond the 300: a strong outlet of the box with others
/// stood for the one of a box by itself, though only the former can be in a pair of one box.
#[test]
fn an_outlet_that_can_pair_does_not_stand_for_one_that_can_not() {
    let four = [100.0, 50.0, 250.0, 250.0].map(|ma| setting(9.0, ma, CentreNegative));
    let boxes = [supply(1, mains(false), isolated(&four)), supply(2, mains(false), isolated(&four[2..3]))];
    let high = || needs(vec![way(18.0, 18.0, CentreNegative, 20.0, 20.0)]);
    let hungry = needs(vec![way(9.0, 9.0, CentreNegative, 60.0, 120.0)]);
    let units = [unit(10, high()), unit(11, high()), unit(12, hungry)];
    let rig = rig(boxes.into_iter().chain(units).collect(), Vec::new());
    // By hand: outlets 1 and 2, and 3 and 4, in series for 18 V, and the other box for the third.
    let found = ask(&rig, &Rules { across: false, adapters: false, ..Rules::default() });
    assert_eq!((found.penalty.unfed, found.proved), (0, true), "{found:?}");
}

#[test]
fn a_module_that_is_fed_wrongly_is_unplugged_and_plugged_in_where_it_helps() {
    let inlet = Power::Low(needs(vec![way(9.0, 9.0, CentreNegative, 5.0, 5.0)]));
    let doubler = supply(2, inlet, isolated(&[setting(18.0, 100.0, CentreNegative)]));
    let main = isolated(&[setting(12.0, 100.0, CentreNegative), setting(9.0, 200.0, CentreNegative)]);
    let high = unit(10, needs(vec![way(18.0, 18.0, CentreNegative, 40.0, 40.0)]));
    let rig = rig(vec![supply(1, mains(false), main), doubler, high], vec![straight(50, at(1, 1), 2)]);
    let found = ask(&rig, &Rules { adapters: false, pairs: false, ..Rules::default() });
    assert_eq!((found.penalty.unfed, found.wrong.as_slice()), (0, [FeedId(50)].as_slice()));
    let better = drawn(&rig, &found);
    assert!(check(&better, &Headroom::default()).problems.is_empty());
    assert_eq!(better.feed_to(DeviceId(2)).unwrap().from, FeedFrom::One(at(1, 2)));
}

#[test]
fn what_may_not_be_set_otherwise_stays_as_it_is() {
    // Set to 12 V, and it may not be touched: neither a unit that draws nothing nor a pair can have its 9 V.
    let both = vec![setting(9.0, 100.0, CentreNegative), setting(12.0, 100.0, CentreNegative)];
    let set = Outlet { chosen: 2, parallel: true, ..outlet(ZeroVolt::Group(1), both) };
    let nine = vec![setting(9.0, 100.0, CentreNegative)];
    let linked = Outlet { connector: Connector::Link, parallel: true, ..outlet(ZeroVolt::Group(2), nine) };
    for ma in [0.0, 20.0] {
        let devices = vec![supply(1, mains(false), vec![set.clone(), linked.clone()]), unit(10, super::nine(ma))];
        let rules = Rules { selectors: false, adapters: false, ..Rules::default() };
        let case = Case { rig: rig(devices, Vec::new()), rules };
        let found = ask(&case.rig, &case.rules);
        assert_eq!((found.penalty.unfed, found.penalty), (1, brute(&case)), "{ma} mA");
    }
}

#[test]
fn what_passes_through_a_module_is_what_the_next_one_gets() {
    // A distributor on a link hosts a doubler that takes 12 V at most, 13.2 V with tolerance, whatever is
    // written on the distributor's socket: 13.6 V with nothing on it is too much, 12 V is not.
    let link = |mut outlet: Outlet| {
        outlet.connector = Connector::Link;
        outlet
    };
    let inlet = Need { connector: Connector::Link, ..needs(vec![way(9.0, 18.0, CentreNegative, 0.0, 0.0)]) };
    let socket = |volts| vec![outlet(ZeroVolt::Inlet, vec![setting(volts, 300.0, CentreNegative)])];
    let wire = |volts| Supply { outlets: socket(volts), efficiency: Turn::FULL, passes: true, ..Supply::default() };
    let doubler = Power::Low(needs(vec![way(12.0, 12.0, CentreNegative, 5.0, 5.0)]));
    let high = unit(10, needs(vec![way(18.0, 18.0, CentreNegative, 20.0, 20.0)]));
    let at_rest = |volts| Setting { no_load: Some(Volts::of(volts)), ..setting(12.0, 500.0, CentreNegative) };
    for (no_load, unfed) in [(13.6, 1), (13.0, 0)] {
        for written in [9.0, 12.0] {
            let from = vec![link(outlet(ZeroVolt::Group(1), vec![at_rest(no_load)]))];
            let devices = vec![
                supply(1, mains(false), from),
                device(2, Power::Low(inlet.clone()), Kind::Supply(wire(written))),
                supply(3, doubler.clone(), isolated(&[setting(18.0, 100.0, CentreNegative)])),
                high.clone(),
            ];
            let case = Case { rig: rig(devices, Vec::new()), rules: Rules { pairs: false, ..Rules::default() } };
            let found = ask(&case.rig, &case.rules);
            assert_eq!(found.penalty.unfed, unfed, "{no_load} V, written {written} V");
            assert_eq!(found.penalty, brute(&case));
            assert!(is_legal(&drawn(&case.rig, &found), &case.rules));
        }
    }
}

#[test]
fn outlets_side_by_side_spare_a_group_though_one_of_them_would_do() {
    // A group that gives 1.1 W, so 0.88 W with headroom, and an outlet of another 0 V. By single outlets the
    // group carries 9 V × (70 + 45) mA = 1.035 W, and neither unit fits the 40 mA of the other; side by side
    // two thirds of the 70 mA stay, 0.825 W.
    let nine = |ma| vec![setting(9.0, ma, CentreNegative)];
    let group = |ma| Outlet { parallel: true, ..outlet(ZeroVolt::Group(1), nine(ma)) };
    let other = Outlet { parallel: true, ..outlet(ZeroVolt::Group(2), nine(50.0)) };
    let limited = GroupLimit { zero_volt: ZeroVolt::Group(1), limit: Watts::of(1.1) };
    let outlets = vec![group(100.0), group(100.0), other];
    let kind = Kind::Supply(Supply { outlets, groups: vec![limited], efficiency: Turn::of(0.8), ..Supply::default() });
    let devices = vec![device(1, mains(false), kind), unit(10, super::nine(70.0)), unit(11, super::nine(45.0))];
    let case = Case { rig: rig(devices, Vec::new()), rules: Rules { most_plugs: 1, ..Rules::default() } };
    let found = ask(&case.rig, &case.rules);
    assert_eq!((found.penalty.unfed, found.penalty.adapters), (0, 1));
    assert_eq!(found.penalty, brute(&case));
    assert!(is_legal(&drawn(&case.rig, &found), &case.rules));
}

#[test]
fn where_pairs_are_of_one_box_like_outlets_of_two_boxes_are_not_the_same() {
    // Two outlets in one box and one in another, all alike. The 18 V unit needs the two of the one box.
    let like = |count| isolated(&vec![setting(9.0, 100.0, CentreNegative); count]);
    let high = unit(10, needs(vec![way(18.0, 18.0, CentreNegative, 20.0, 20.0)]));
    for (first, second) in [(2, 1), (1, 2)] {
        let boxes = [supply(1, mains(false), like(first)), supply(2, mains(false), like(second))];
        let devices = boxes.into_iter().chain([high.clone(), unit(11, super::nine(30.0))]).collect();
        let rules = Rules { across: false, most_plugs: 1, ..Rules::default() };
        let case = Case { rig: rig(devices, Vec::new()), rules };
        let found = ask(&case.rig, &case.rules);
        assert_eq!(found.penalty.unfed, 0);
        assert_eq!(found.penalty, brute(&case));
        assert!(is_legal(&drawn(&case.rig, &found), &case.rules));
    }
}

#[test]
fn each_rule_given_up_changes_the_rules() {
    let strict = Rules {
        keep_apart: Weight::Must,
        few_gains: Weight::Must,
        margin: Weight::Must,
        adapters: false,
        pairs: false,
        most_plugs: 1,
        own_outlet: [DeviceId(1)].into(),
        ..Rules::default()
    };
    for relaxation in Relaxation::ALL {
        let relaxed = relaxation.of(&strict).unwrap();
        assert_ne!(relaxed, strict);
        assert_eq!(relaxation.of(&relaxed), None, "{relaxation:?}");
    }
}
