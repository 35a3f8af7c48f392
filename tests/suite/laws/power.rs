//! Power is nothing to the signal: rigs that are the same but for power have the
//! same answers, to the last bit, and only ids tell their fixes apart.

use std::sync::Arc;

use proptest::prelude::*;
use rigwright_core::advice::{self, Advice, Wishes, advise};
use rigwright_core::cascade::LineCache;
use rigwright_core::compare::straight;
use rigwright_core::diagnosis::Diagnosis;
use rigwright_core::file;
use rigwright_core::findings::{self, findings};
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, Response, respond};
use rigwright_core::rig::{
    Bypass, Device, DeviceId, Effect, Feed, FeedId, Kind, OutletRef, Project, Rig, Variant, apply,
};
use rigwright_core::states::{self, Jump, States, Target, explore};
use rigwright_core::units::{Metres, Price};
use rigwright_core::watch::Unwatched;

use super::cases;
use super::rigs::project;
use crate::generator::{Dice, edits, healthy};

const STEPS: usize = 30;

/// What all states are told by.
#[derive(Debug, PartialEq)]
struct All {
    lowest_db: Vec<f64>,
    highest_db: Vec<f64>,
    jumps: Vec<Jump>,
    note: String,
}

impl From<States> for All {
    fn from(states: States) -> Self {
        let (lowest_db, highest_db) = (states.lowest_db().to_vec(), states.highest_db().to_vec());
        Self { lowest_db, highest_db, note: states.note(), jumps: states.jumps }
    }
}

/// What a window keeps of a rig's signal.
#[derive(Debug, PartialEq)]
struct Signal {
    response: Response,
    straight: Option<Response>,
    states: Option<All>,
    findings: Vec<Diagnosis>,
    advice: Option<Advice>,
}

fn signal(project: &Project) -> Signal {
    let variant = &project.variants[0];
    let mut line_cache = LineCache::new(Sweep::audio());
    let response = respond(&Request::of(project, variant), &mut line_cache);
    let end = response.endpoints.first().map(|endpoint| endpoint.jack);
    let straight = end.and_then(|end| straight(&variant.rig, end)).map(|rig| {
        let request =
            Request { rig: Arc::new(rig), state: project.state.clone(), test_point: None, unfed: Default::default() };
        respond(&request, &mut line_cache)
    });
    let Some(target) = project.test_point.map(Target::Point).or(end.map(Target::Endpoint)) else {
        return Signal { response, straight, states: None, findings: Vec::new(), advice: None };
    };
    let (controls, limits) = (project.state.clone(), project.limits);
    let question = states::Question {
        rig: Arc::clone(&variant.rig),
        controls: controls.clone(),
        target,
        unfed: Default::default(),
    };
    let states = explore(&question, &mut line_cache).ok();
    // The voltages that units work at are what findings are told of power, and all that they are.
    let volts = Default::default();
    let (own, variant_now) = (controls.clone(), Arc::clone(variant));
    let asked = findings::FindingsQuestion {
        variant: variant_now,
        controls: own,
        target,
        limits,
        volts,
        unfed: Default::default(),
    };
    let found = findings(&asked, states.as_ref(), &mut line_cache, &Unwatched).expect("nobody stops it");
    let wishes = Wishes::default();
    let asked = advice::AdviceQuestion { variant: Arc::clone(variant), controls, target, wishes, limits };
    let advice = advise(&asked, &mut line_cache, &Unwatched).expect("nobody stops it");
    Signal { response, straight, states: states.map(All::from), findings: found, advice: Some(advice) }
}

/// A random rig whose units can all be set to every bypass.
fn first(seed: u64, size: usize) -> Project {
    let mut case = healthy(seed, size);
    for pedal in case.rig.devices.iter_mut().filter_map(|device| device.kind.pedal_mut()) {
        pedal.selectable = vec![Bypass::True, Bypass::Buffered, Bypass::AlwaysLoading];
    }
    project(&case)
}

/// The project after random edits, of which only those are done that leave the
/// rig the same but for power; and a feed from nowhere, as a file may have it.
fn after_edits_of_power(first: &Project, seed: u64) -> (Project, usize) {
    let mut dice = Dice::new(seed ^ 0x90e);
    let (mut at, mut done) = (first.clone(), 0);
    for _ in 0..STEPS {
        let possible = edits(&at, at.next_id, &mut dice);
        let Ok(next) = apply(&at, &dice.pick(&possible)) else { continue };
        let rest = Project { variants: at.variants.clone(), next_id: at.next_id, ..next.clone() };
        let [variant] = next.variants.as_slice() else { continue };
        let same = variant.rig.is_same_but_for_power(&at.variants[0].rig);
        if rest == at && same && variant.rig != at.variants[0].rig {
            (at, done) = (next, done + 1);
        }
    }
    let mut rig = (*at.variants[0].rig).clone();
    let nowhere = OutletRef::new(DeviceId(at.next_id + 900), 1);
    rig.feeds.push(Feed::straight(FeedId(at.next_id), nowhere, rig.devices[0].id));
    let variant = Variant { rig: Arc::new(rig), ..(*at.variants[0]).clone() };
    (Project { variants: vec![Arc::new(variant)], next_id: at.next_id + 1, ..at }, done)
}

proptest! {
    #![proptest_config(cases(150))]

    #[test]
    fn what_is_the_same_but_for_power_sounds_the_same(seed: u64, size in 2_usize..9) {
        let before = first(seed, size);
        let (after, _) = after_edits_of_power(&before, seed);
        prop_assert!(after.variants[0].rig.is_same_but_for_power(&before.variants[0].rig));
        prop_assert!(after.variants[0].rig != before.variants[0].rig);
        let (old, new) = (signal(&before), signal(&after));
        // One by one and without their thousands of numbers, so that a difference can be read.
        prop_assert!(new.response == old.response && new.straight == old.straight, "curves");
        prop_assert!(new.states == old.states, "states");
        // What fixes bring in has no ids yet, so that other ids in use are nothing to them.
        prop_assert_eq!(old.findings, new.findings);
        prop_assert_eq!(old.advice, new.advice);
    }
}

/// The law is about something: edits of power are done, fixes and advice bring things in.
#[test]
fn the_law_of_power_is_not_empty() {
    let firsts: Vec<Project> = (0..12).map(|seed| first(seed, 7)).collect();
    let done: usize = firsts.iter().zip(0..).map(|(project, seed)| after_edits_of_power(project, seed).1).sum();
    assert!(done > 12, "{done}");
    let answers: Vec<Signal> = firsts.iter().map(signal).collect();
    let fixes = answers.iter().flat_map(|answer| &answer.findings).map(|finding| finding.remedies.len());
    let advised = answers.iter().flat_map(|answer| &answer.advice).map(|advice| advice.suggestions.len());
    let (fixes, advised): (usize, usize) = (fixes.sum(), advised.sum());
    assert!(fixes > 10 && advised > 10, "{fixes} {advised}");
}

/// The kind of a unit's effect is nothing to the signal, though two rigs that differ in it count as one.
#[test]
fn no_effect_changes_an_answer() {
    for seed in 0..6 {
        let before = first(seed, 6);
        let old = signal(&before);
        for at in [0, 3, Effect::ALL.len() - 1] {
            let mut rig = (*before.variants[0].rig).clone();
            for (device, by) in rig.devices.iter_mut().zip(0..) {
                device.effect = Effect::ALL.get((at + by) % (Effect::ALL.len() + 1)).copied();
            }
            assert_ne!(rig, *before.variants[0].rig);
            let variant = Variant { rig: Arc::new(rig), ..(*before.variants[0]).clone() };
            let new = signal(&Project { variants: vec![Arc::new(variant)], ..before.clone() });
            assert!(new.response == old.response && new.straight == old.straight && new.states == old.states);
            assert_eq!((new.findings, new.advice), (old.findings.clone(), old.advice.clone()));
        }
    }
}

fn demo() -> Rig {
    (*file::demo().unwrap().variants[0].rig).clone()
}

fn after(change: impl FnOnce(&mut Rig)) -> Rig {
    let mut rig = demo();
    change(&mut rig);
    assert_ne!(rig, demo(), "nothing was changed");
    rig
}

#[test]
fn power_is_no_difference() {
    let without_feeds = after(|rig| rig.feeds.clear());
    let of_the_amp = demo().devices.last().unwrap().power.clone();
    let other_needs = after(|rig| rig.devices.iter_mut().for_each(|device| device.power = of_the_amp.clone()));
    let no_supplies = after(|rig| rig.devices.retain(|device| device.kind.supply().is_none()));
    let supplies_first = after(|rig| rig.devices.sort_by_key(|device| device.kind.supply().is_none()));
    let renamed = after(|rig| {
        let supply = rig.devices.iter_mut().find(|device| device.kind.supply().is_some()).unwrap();
        supply.name = "Buffer".to_owned();
    });
    let other_effects = after(|rig| rig.devices.iter_mut().for_each(|device| device.effect = Some(Effect::Other)));
    for rig in [without_feeds, other_needs, no_supplies, supplies_first, renamed, other_effects] {
        assert!(rig.is_same_but_for_power(&demo()) && demo().is_same_but_for_power(&rig));
    }
}

#[test]
fn all_else_is_a_difference() {
    let first = |rig: &mut Rig, change: &dyn Fn(&mut Device)| change(&mut rig.devices[1]);
    let rigs = [
        after(|rig| first(rig, &|device| device.name.push('!'))),
        after(|rig| first(rig, &|device| device.part.push('!'))),
        after(|rig| first(rig, &|device| device.stays_on = !device.stays_on)),
        after(|rig| first(rig, &|device| device.body.price = Price::of(1234.0))),
        after(|rig| first(rig, &|device| device.id.0 = 99_999)),
        after(|rig| {
            let pedal = rig.devices.iter_mut().find_map(|device| device.kind.pedal_mut()).unwrap();
            pedal.bypass = if pedal.bypass == Bypass::True { Bypass::Buffered } else { Bypass::True };
        }),
        after(|rig| rig.leads[2].length = Metres::of(7.7)),
        after(|rig| rig.leads[2].cable.name.push('!')),
        after(|rig| drop(rig.leads.remove(2))),
        after(|rig| drop(rig.devices.remove(2))),
        after(|rig| rig.devices.swap(1, 2)),
        after(|rig| {
            let twin = rig.devices.iter().find(|device| matches!(device.kind, Kind::Amp(_))).unwrap().clone();
            rig.devices.push(twin);
        }),
    ];
    for rig in rigs {
        assert!(!rig.is_same_but_for_power(&demo()) && !demo().is_same_but_for_power(&rig));
    }
}
