//! Differences of random rigs against an independent nodal solve, and worst
//! jumps against every state by itself.

use std::collections::BTreeSet;

use rigwright_core::cascade::LineCache;
use rigwright_core::compare::{Against, compare, straight};
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, respond};
use rigwright_core::rig::{Bypass, DeviceId, Jack, JackRef, Kind, Lead, Pedal, Rig, State};
use rigwright_core::units::{Farads, Level};

use super::{FIRST, compared, difference_at, project};
use crate::generator::{Dice, healthy};
use crate::oracle::{Heard, Netlist};
use crate::rigs::{SC, amp, chain, real_cable, stage, turned_on};

/// The first endpoint that a rig's own answer names; that an answer is right there is tested elsewhere.
fn first_endpoint(rig: &Rig, state: &State) -> Option<JackRef> {
    let request =
        Request { rig: rig.clone().into(), state: state.clone(), test_point: None, unfed: Default::default() };
    respond(&request, &mut LineCache::new(Sweep::audio())).endpoints.first().map(|endpoint| endpoint.jack)
}

/// Allowed error in dB of a difference of two levels, each known to 1e-9 of the
/// largest voltage in its part of the rig.
fn allowed(a: &Heard, b: &Heard) -> f64 {
    20.0 / std::f64::consts::LN_10 * 1e-9 * (a.smallness + b.smallness)
}

/// The state with what stays on in the rig switched on, for the solve by hand.
fn standing(rig: &Rig, state: &State) -> State {
    let mut state = state.clone();
    for device in rig.devices.iter().filter(|device| device.stays_on) {
        if let Some(setting) = rig.turned_on(device.id) {
            state.positions.insert(setting.switch, setting.to);
        }
    }
    state
}

#[test]
fn differences_of_random_rigs_are_those_of_a_nodal_solve() {
    let (mut compared_points, mut silent) = (0, 0);
    for seed in 50_000..50_120 {
        let (a, b) = (healthy(seed, 9), healthy(seed + 1000, 5));
        // Both rigs stand in one state: ids overlap, as in a project.
        let state = a.state.clone();
        let project = project(vec![a.rig.clone(), b.rig.clone()]);
        let Some(ends) = first_endpoint(&a.rig, &state).zip(first_endpoint(&b.rig, &state)) else { continue };
        let comparison = compared(&project, &state, FIRST);
        let nets = (
            Netlist::of(&a.rig, &standing(&a.rig, &state), None),
            Netlist::of(&b.rig, &standing(&b.rig, &state), None),
        );
        let mut dice = Dice::new(seed);
        for _ in 0..4 {
            let hz = dice.log(20.0, 20e3);
            let heard = (nets.0.level_at_jack(ends.0, hz), nets.1.level_at_jack(ends.1, hz));
            match (difference_at(&comparison, 1, hz), heard) {
                (Some(ours), (Some(base), Some(own))) => {
                    let theirs = own.db - base.db;
                    assert!((ours - theirs).abs() <= allowed(&own, &base), "seed {seed} at {hz}: {ours}, {theirs}");
                    compared_points += 1;
                }
                (None, (base, own)) => {
                    assert!(base.is_none() || own.is_none(), "seed {seed} at {hz}: both sound");
                    silent += 1;
                }
                (ours, theirs) => panic!("seed {seed} at {hz}: {ours:?} against {theirs:?}"),
            }
        }
    }
    assert!(compared_points > 150 && silent > 20, "{compared_points} compared, {silent} silent");
}

/// From each instrument forward, whatever way splits: the first from which the
/// endpoint is reached. (The program walks back.)
fn straight_by_hand(rig: &Rig, endpoint: JackRef) -> Option<Rig> {
    let instruments = rig.devices.iter().filter(|d| matches!(d.kind, Kind::Guitar(_) | Kind::Active(_)));
    for instrument in instruments {
        let mut seen = BTreeSet::new();
        let mut ahead = vec![JackRef::new(instrument.id, Jack::Out)];
        while let Some(out) = ahead.pop() {
            for lead in rig.leads.iter().filter(|lead| lead.from == out) {
                if lead.to == endpoint {
                    let own = rig.leads.iter().find(|lead| lead.from.device == instrument.id)?;
                    let lead = Lead { to: endpoint, ..own.clone() };
                    let end = rig.device(endpoint.device)?.clone();
                    return Some(Rig { devices: vec![instrument.clone(), end], leads: vec![lead], feeds: Vec::new() });
                }
                let Some(device) = rig.device(lead.to.device) else { continue };
                if seen.insert(lead.to) {
                    let on = device.kind.onward(lead.to.jack);
                    ahead.extend(on.iter().map(|jack| JackRef::new(device.id, *jack)));
                }
            }
        }
    }
    None
}

#[test]
fn the_straight_lead_of_random_rigs_is_found_and_heard() {
    let (mut found, mut none, mut points) = (0, 0, 0);
    for seed in 51_000..51_200 {
        let case = healthy(seed, 12);
        let jacks =
            case.rig.devices.iter().flat_map(|device| device.kind.jacks().iter().map(move |jack| (device, *jack)));
        let ends: Vec<JackRef> = jacks
            .filter(|(device, jack)| device.kind.is_endpoint(*jack))
            .map(|(device, jack)| JackRef::new(device.id, jack))
            .collect();
        for end in ends {
            let by_hand = straight_by_hand(&case.rig, end);
            assert_eq!(straight(&case.rig, end), by_hand, "seed {seed}, {end:?}");
            if by_hand.is_some() { found += 1 } else { none += 1 }
        }
        let Some(end) = first_endpoint(&case.rig, &case.state) else { continue };
        let Some(by_hand) = straight_by_hand(&case.rig, end) else { continue };
        let project = project(vec![case.rig.clone()]);
        let comparison = compared(&project, &case.state, Against::Straight);
        let net = Netlist::of(&by_hand, &standing(&by_hand, &case.state), None);
        for hz in [82.0, 1.1e3, 3.7e3, 15e3] {
            match (comparison.base.as_ref().unwrap().level_at(hz), net.level_at_jack(end, hz)) {
                (Level::Decibels(ours), Some(theirs)) => {
                    assert!((ours - theirs.db).abs() <= allowed(&theirs, &theirs), "seed {seed} at {hz}");
                    points += 1;
                }
                (Level::Silent, None) => {}
                (ours, theirs) => panic!("seed {seed} at {hz}: {ours:?} against {theirs:?}"),
            }
        }
    }
    assert!(found > 200 && none > 20 && points > 200, "{found} found, {none} not, {points} points");
}

/// A switched unit with no level of its own, so that a jump is on less off and nothing else.
fn switched(dice: &mut Dice) -> Kind {
    let side = |dice: &mut Dice| stage(dice.log(1e4, 1e6), dice.log(100.0, 1e4));
    Kind::Pedal(Pedal {
        bypass: dice.pick(&[Bypass::True, Bypass::True, Bypass::Buffered, Bypass::AlwaysLoading]),
        selectable: Vec::new(),
        on: side(dice),
        off: side(dice),
        wiring: Farads::of(dice.log(5e-12, 100e-12)),
        level_pot: None,
        gain_by_source: None,
        without_power: None,
        stereo: None,
    })
}

/// Of what a player minds: up to 5 kHz at an amp, and no unit with an input below the
/// limit of a fuzz is ever on.
#[test]
fn the_worst_jump_is_the_worst_of_every_state() {
    let sweep = Sweep::logarithmic(100.0, 15e3, 20);
    let heard = sweep.hz().iter().filter(|hz| **hz <= 5e3).count();
    let (mut with_fuzz, mut beyond) = (0, 0);
    for seed in 0..60 {
        let mut dice = Dice::new(52_000 + seed);
        let many = 1 + dice.below(5);
        let mut kinds = vec![("guitar", Kind::Guitar(SC.guitar()))];
        kinds.extend((0..many).map(|_| ("unit", switched(&mut dice))));
        kinds.push(("amp", amp(1e6, 50e-12)));
        let metres: Vec<f64> = (0..=many).map(|_| dice.log(0.15, 9.0)).collect();
        let rig = chain(kinds, &metres, &real_cable());
        let levels = |mask: usize| -> Vec<f64> {
            let on = (0..many).filter(|bit| mask >> bit & 1 == 1).map(|bit| DeviceId(bit as u64 + 2));
            let state = turned_on(&rig, on, &State::default());
            let request = Request { rig: rig.clone().into(), state, test_point: None, unfed: Default::default() };
            let answer = respond(&request, &mut LineCache::new(sweep.clone()));
            answer.endpoints[0].at.curve.levels().iter().map(|level| level.decibels().unwrap()).collect()
        };
        let all: Vec<Vec<f64>> = (0..1 << many).map(levels).collect();
        let project = project(vec![rig.clone()]);
        let limit = project.limits.fuzz.get();
        let is_fuzz = |bit: usize| rig.devices[bit + 1].kind.pedal().unwrap().on.input.resistance.get() <= limit;
        let fuzzes: usize = (0..many).filter(|bit| is_fuzz(*bit)).map(|bit| 1 << bit).sum();
        let jumps = |points: usize, fuzzes: usize| {
            let mut largest: f64 = 0.0;
            for (mask, off) in all.iter().enumerate().filter(|(mask, _)| mask & fuzzes == 0) {
                for bit in (0..many).filter(|bit| (mask | fuzzes) >> bit & 1 == 0) {
                    let on = &all[mask | 1 << bit];
                    let jumps = on.iter().zip(off).take(points).map(|(on, off)| (on - off).abs());
                    largest = jumps.fold(largest, f64::max);
                }
            }
            largest
        };
        let largest = jumps(heard, fuzzes);
        with_fuzz += usize::from(jumps(heard, 0) > largest + 0.1);
        beyond += usize::from(jumps(sweep.hz().len(), fuzzes) > largest + 0.1);
        if fuzzes + 1 == 1 << many {
            let comparison = compare(&project, &State::default(), FIRST, &mut LineCache::new(sweep.clone())).unwrap();
            assert_eq!(comparison.variants[0].row.worst_jump, None, "seed {seed}: they are fuzzes all");
            continue;
        }
        let comparison = compare(&project, &State::default(), FIRST, &mut LineCache::new(sweep.clone())).unwrap();
        let worst = comparison.variants[0].row.worst_jump.expect("a switch");
        assert!((worst.db.abs() - largest).abs() < 1e-9, "seed {seed}: {worst:?} against {largest}");
        assert!(worst.exact && sweep.hz().contains(&worst.hz));
        // That switch does that there, among some others, in that direction.
        let at = sweep.hz().iter().position(|hz| *hz == worst.hz).unwrap();
        let bit = worst.device().0 as usize - 2;
        let happens = (0..1_usize << many)
            .filter(|mask| (mask | fuzzes) >> bit & 1 == 0 && mask & fuzzes == 0)
            .any(|mask| (all[mask | 1 << bit][at] - all[mask][at] - worst.db).abs() < 1e-9);
        assert!(happens, "seed {seed}: {worst:?}");
    }
    assert!(with_fuzz > 3 && beyond > 3, "{with_fuzz} {beyond}");
}
