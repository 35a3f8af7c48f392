//! Laws of every rig, healthy or broken.

use std::sync::Arc;

use proptest::prelude::*;
use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::plan::plan;
use rigwright_core::response::{Amount, PointAnswer, Request, Response, respond};
use rigwright_core::rig::{
    DeviceId, Edit, Id, Lead, LeadId, Limits, Position, Project, Rig, State, SwitchKey, SwitchRef, TestPoint, Variant,
    VariantId, apply, problems,
};
use rigwright_core::units::{Level, Metres, Ohms, Turn};

use super::cases;
use crate::generator::{Case, broken, healthy};
use crate::rigs::{bare_cable, device, true_bypass};

const HZ: [f64; 6] = [20.0, 100.0, 1e3, 3e3, 8e3, 20e3];

fn sizes() -> impl Strategy<Value = usize> {
    prop_oneof![Just(1), Just(2), 3_usize..12, 12_usize..40, Just(64)]
}

fn answer(case: &Case) -> Response {
    respond(&case.request(), &mut LineCache::new(Sweep::at(&HZ)))
}

/// A project around a rig.
pub fn project(case: &Case) -> Project {
    let highest = case.rig.devices.iter().map(|d| d.id.0).chain(case.rig.leads.iter().map(|l| l.id.0)).max();
    let variant = highest.unwrap_or(0) + 1;
    Project {
        title: "random".into(),
        notes: "from a seed".into(),
        currency: "€".into(),
        state: case.state.clone(),
        test_point: case.point,
        ..Project::around(Arc::new(Variant::of(VariantId(variant), "only", case.rig.clone())), variant + 1)
    }
}

pub fn rig_of(project: &Project) -> &Rig {
    &project.variants[0].rig
}

/// A unit that does nothing while off, and a lead of no length without plugs.
pub fn idle_insert(project: &Project, lead: LeadId) -> Edit {
    let id: Id = project.next_id;
    Edit::Insert {
        variant: project.variants[0].id,
        lead,
        device: Box::new(device(id, "idle", true_bypass(0.0))),
        patch: Box::new(patch(id + 1)),
    }
}

/// The new lead of an insertion; the edit sets its ends.
fn patch(id: Id) -> Lead {
    let nowhere = rigwright_core::rig::JackRef::new(DeviceId(0), rigwright_core::rig::Jack::In);
    Lead { id: LeadId(id), from: nowhere, to: nowhere, length: Metres::of(0.0), cable: bare_cable() }
}

fn points(response: &Response) -> impl Iterator<Item = &PointAnswer> {
    response.endpoints.iter().map(|endpoint| &endpoint.at).chain(&response.test_point)
}

/// Every number of an answer is a number.
fn sound(response: &Response) -> Result<(), TestCaseError> {
    for at in points(response) {
        prop_assert_eq!(at.curve.hz().len(), at.curve.levels().len());
        let off_grid = [25.0, 977.0, 15e3].map(|hz| at.level_at(hz));
        for level in at.curve.levels().iter().chain(&off_grid) {
            if let Level::Decibels(db) = level {
                prop_assert!(db.is_finite(), "{db}");
            }
        }
        if let Ok(peak) = at.peak {
            prop_assert!(peak.hz.is_finite() && peak.db.is_finite() && peak.height_db >= 0.5);
        }
        if let Ok(minus3) = at.minus3 {
            prop_assert!(minus3.hz.is_finite() && minus3.hz > 0.0);
        }
        if let Ok(metres) = at.lead_equivalent {
            prop_assert!((0.0..=100.0).contains(&metres), "{metres} m");
        }
    }
    for run in &response.runs {
        prop_assert!(run.capacitance.is_finite() && run.capacitance >= 0.0);
        match run.amount {
            Amount::Lead { metres } => prop_assert!(metres.is_finite() && metres >= 0.0),
            Amount::Driven { ohms, fall_db } => {
                prop_assert!(ohms.is_finite() && ohms >= 0.0);
                prop_assert!(fall_db.is_none_or(f64::is_finite));
            }
        }
    }
    Ok(())
}

fn same(a: Level, b: Level, allowed: f64) -> Result<(), TestCaseError> {
    match (a, b) {
        (Level::Silent, Level::Silent) => Ok(()),
        (Level::Decibels(a), Level::Decibels(b)) if (a - b).abs() <= allowed => Ok(()),
        _ => Err(TestCaseError::fail(format!("{a:?} against {b:?}"))),
    }
}

fn same_ends(a: &Response, b: &Response, allowed: f64) -> Result<(), TestCaseError> {
    prop_assert_eq!(a.endpoints.len(), b.endpoints.len());
    for a in &a.endpoints {
        // Another order of leads may list the endpoints in another order.
        let Some(b) = b.endpoints.iter().find(|b| b.jack == a.jack) else {
            return Err(TestCaseError::fail(format!("{:?} has no answer", a.jack)));
        };
        for (a, b) in a.at.curve.levels().iter().zip(b.at.curve.levels()) {
            same(*a, *b, allowed)?;
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn silence_is_never_nan(seed: u64, size in sizes()) {
        sound(&answer(&healthy(seed, size)))?;
    }

    /// Half-finished, wrongly plugged and circular rigs get what answers can be given.
    #[test]
    fn broken_rigs_are_answered(seed: u64, size in 1_usize..24) {
        let case = broken(seed, size);
        sound(&answer(&case))?;
        for problem in problems(&case.rig) {
            prop_assert!(!problem.to_string().is_empty());
        }
        let plan = plan(&case.rig, &State::default());
        for start in plan.runs(&case.state) {
            // A signal goes along a lead once.
            let mut leads = start.leads.clone();
            leads.sort();
            leads.dedup();
            prop_assert_eq!(leads.len(), start.leads.len());
        }
    }

    /// A fuzz that is held off is what it is while off, whatever its bypass. Under so
    /// high a limit most pedals are fuzzes.
    #[test]
    fn a_fuzz_held_off_is_a_fuzz_that_is_off(seed: u64, size in 2_usize..30) {
        let case = healthy(seed, size);
        let limits = Limits { fuzz: Ohms::of(1e9), ..Limits::default() };
        let mut off = case.clone();
        for device in case.rig.devices.iter().filter(|device| device.has_footswitch() && device.is_low_fuzz(&limits)) {
            off.state.positions.insert(device.on_off().unwrap().id, Position::OFF);
        }
        let held = Case { rig: (*Arc::new(case.rig.clone()).fuzzes_held_off(&limits)).clone(), ..case };
        prop_assert!(held.rig.devices.iter().all(|device| !(device.has_footswitch() && device.is_low_fuzz(&limits))));
        let (off, held) = (answer(&off), answer(&held));
        for a in &off.endpoints {
            let b = held.endpoints.iter().find(|b| b.jack == a.jack);
            prop_assert!(b.is_some(), "{:?} has no answer", a.jack);
            for (a, b) in a.at.curve.levels().iter().zip(b.into_iter().flat_map(|b| b.at.curve.levels())) {
                same(*a, *b, 1e-9)?;
            }
        }
    }

    /// A line cache is a cache and nothing else: what it holds changes no answer.
    #[test]
    fn a_kept_line_cache_changes_nothing(seed: u64, size in 2_usize..20, others: [u64; 3]) {
        let case = healthy(seed, size);
        let mut kept = LineCache::new(Sweep::at(&HZ));
        for other in others {
            let _ = respond(&healthy(other, size).request(), &mut kept);
        }
        prop_assert!(respond(&case.request(), &mut kept) == answer(&case));
    }

    /// A unit that does nothing, on a lead of no length, changes nothing.
    #[test]
    fn an_idle_unit_is_not_there(seed: u64, size in 2_usize..20, which: prop::sample::Index) {
        let case = Case { point: None, ..healthy(seed, size) };
        let whole = project(&case);
        let lead = case.rig.leads[which.index(case.rig.leads.len())].id;
        let with = apply(&whole, &idle_insert(&whole, lead)).unwrap();
        // Between two off-board jacks an insertion brings a lead that reaches; take it away again.
        let mut rig = rig_of(&with).clone();
        for lead in &mut rig.leads {
            if lead.id.0 > whole.next_id {
                (lead.length, lead.cable) = (Metres::of(0.0), bare_cable());
            }
        }
        let with = respond(
            &Request { rig: Arc::new(rig), state: case.state.clone(), test_point: None, unfed: Default::default(), },
            &mut LineCache::new(Sweep::at(&HZ)),
        );
        same_ends(&answer(&case), &with, 1e-7)?;
    }

    /// A lead cut in two at any place, an idle unit at the cut: nothing changes,
    /// and a test point there reads what one on the whole lead read.
    #[test]
    fn a_lead_cut_by_an_idle_unit(seed: u64, size in 2_usize..20, which: prop::sample::Index, part in 0.0..=1.0) {
        let mut case = healthy(seed, size);
        let at = which.index(case.rig.leads.len());
        // The unit's two plugs would be more than there was.
        case.rig.leads[at].cable.plug = bare_cable().plug;
        let lead = case.rig.leads[at].clone();
        case.point = Some(TestPoint { lead: lead.id, along: Turn::of(part) });
        let whole = project(&case);
        let cut = apply(&whole, &idle_insert(&whole, lead.id)).unwrap();
        let mut rig = rig_of(&cut).clone();
        let idle = DeviceId(whole.next_id);
        for piece in rig.leads.iter_mut().filter(|l| l.from.device == idle || l.to.device == idle) {
            let share = if piece.to.device == idle { part } else { 1.0 - part };
            piece.cable = lead.cable.clone();
            piece.length = Metres::of(lead.length.get() * share);
        }
        let before_idle = rig.leads.iter().find(|l| l.to.device == idle).unwrap().id;
        let request = Request {
            rig: Arc::new(rig),
            state: case.state.clone(),
            test_point: Some(TestPoint { lead: before_idle, along: Turn::FULL }), unfed: Default::default(), };
        let parted = respond(&request, &mut LineCache::new(Sweep::at(&HZ)));
        let joined = answer(&case);
        same_ends(&joined, &parted, 1e-7)?;
        let (a, b) = (joined.test_point.unwrap(), parted.test_point.unwrap());
        for (a, b) in a.curve.levels().iter().zip(b.curve.levels()) {
            same(*a, *b, 1e-7)?;
        }
    }

    /// Where devices and leads stand in their lists is no part of the answer.
    #[test]
    fn lists_have_no_order(seed: u64, size in 2_usize..20) {
        let case = Case { point: None, ..healthy(seed, size) };
        let mut turned = case.clone();
        turned.rig.devices.reverse();
        turned.rig.leads.reverse();
        prop_assert_eq!(problems(&turned.rig).len(), problems(&case.rig).len());
        same_ends(&answer(&case), &answer(&turned), 1e-9)?;
    }

    /// A switch that belongs to nothing here changes nothing.
    #[test]
    fn unknown_switches_are_idle(seed: u64, size in 1_usize..12) {
        let case = healthy(seed, size);
        let mut other = case.clone();
        other.state.positions.insert(SwitchRef::bypass(DeviceId(1_000_000)), Position::ON);
        for device in &case.rig.devices {
            // One that it hasn't, and positions that the one it has hasn't.
            for key in SwitchKey::all() {
                let switch = SwitchRef { device: device.id, key };
                if device.switch(key).is_none() {
                    other.state.positions.insert(switch, Position::ON);
                } else {
                    other.state.positions.entry(switch).or_insert(Position(7));
                }
            }
        }
        prop_assert!(answer(&case).endpoints == answer(&other).endpoints);
    }
}

/// A sweep of no frequency, and of one, has an answer too.
#[test]
fn empty_sweeps() {
    let case = healthy(3, 8);
    for hz in [vec![], vec![1000.0], vec![f64::NAN, -1.0, 0.0]] {
        let answer = respond(&case.request(), &mut LineCache::new(Sweep::at(&hz)));
        let expected = hz.iter().filter(|hz| **hz > 0.0).count();
        assert!(!answer.endpoints.is_empty());
        assert!(points(&answer).all(|at| at.curve.levels().len() == expected));
    }
}

/// Far more than anybody plugs together: nothing runs out of stack.
#[test]
fn two_thousand_units_in_a_row() {
    let units = 2000;
    let mut kinds = vec![("guitar", rigwright_core::rig::Kind::Guitar(crate::rigs::SC.guitar()))];
    kinds.extend((0..units).map(|_| ("unit", true_bypass(1e-12))));
    kinds.push(("amp", crate::rigs::amp(1e6, 0.0)));
    let rig = crate::rigs::chain(kinds, &vec![0.01; units + 1], &bare_cable());
    assert!(problems(&rig).is_empty());
    let request = Request { rig: Arc::new(rig), state: State::default(), test_point: None, unfed: Default::default() };
    let answer = respond(&request, &mut LineCache::new(Sweep::at(&HZ)));
    // 2000 × 1 pF and 2001 × 1 pF [S: by-hand].
    assert!((answer.runs[0].capacitance * 1e12 - 4001.0).abs() < 1e-6);
}
