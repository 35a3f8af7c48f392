//! Laws of editing: pure, undoing itself where it can, leaving no damage.

use std::collections::BTreeSet;
use std::mem::{Discriminant, discriminant};
use std::sync::Arc;

use proptest::prelude::*;
use rigwright_core::rig::{
    CantJoin, Device, DeviceId, Edit, Jack, JackRef, Kind, Lead, LeadId, Problem, Project, Rig, Splitter, Variant,
    VariantId, apply, may_join, problems,
};

use super::cases;
use super::rigs::{project, rig_of};
use crate::generator::{Case, Dice, choices, edits, healthy, insert, sends, several, stereo, wider, with_pickups};

fn kinds(rig: &Rig) -> BTreeSet<String> {
    // A discriminant has no order; its name does.
    problems(rig).iter().map(|problem| name(discriminant(problem))).collect()
}

fn name(kind: Discriminant<Problem>) -> String {
    format!("{kind:?}")
}

/// Whether a device stands on one way and nothing else hangs on it.
fn stands_alone(rig: &Rig, device: &Device) -> bool {
    let jacks = device.kind.jacks();
    let way_through = jacks.contains(&Jack::In) && jacks.contains(&Jack::Out);
    way_through && rig.lead_from(JackRef::new(device.id, Jack::SecondOut)).is_none()
}

/// A random rig of one of several shapes.
fn shaped(shape: usize, seed: u64, size: usize) -> Case {
    match shape {
        0 => healthy(seed, size),
        1 => several(seed, size),
        2 => wider(seed, size),
        3 => sends(seed, size),
        4 => stereo(seed, size),
        5 => with_pickups(healthy(seed, size), seed),
        _ => choices(seed, size),
    }
}

proptest! {
    #![proptest_config(cases(300))]

    /// Inserting and removing again gives the same rig, lead for lead.
    #[test]
    fn insert_then_remove_is_nothing(seed: u64, size in 2_usize..24) {
        let before = project(&healthy(seed, size));
        let (edit, id) = insert(&before, before.next_id, &mut Dice::new(seed ^ 1));
        let with = apply(&before, &edit).unwrap();
        prop_assert_eq!(rig_of(&with).devices.len(), rig_of(&before).devices.len() + 1);
        prop_assert_eq!(rig_of(&with).leads.len(), rig_of(&before).leads.len() + 1);
        prop_assert!(kinds(rig_of(&with)).is_subset(&kinds(rig_of(&before))));
        let remove = Edit::RemoveDevice { variant: with.variants[0].id, device: id };
        let after = apply(&with, &remove).unwrap();
        prop_assert_eq!(rig_of(&after), rig_of(&before));
        prop_assert_eq!(after.test_point, before.test_point);
        prop_assert!(after.next_id > before.next_id, "the ids are used up");
    }

    /// Inserting leaves the long lead with the off-board jack.
    #[test]
    fn the_long_lead_stays_off_board(seed: u64, size in 2_usize..24) {
        let before = project(&healthy(seed, size));
        let (edit, id) = insert(&before, before.next_id, &mut Dice::new(seed ^ 2));
        let Edit::Insert { lead, .. } = &edit else { unreachable!() };
        let old = rig_of(&before).lead(*lead).unwrap();
        let off_board = |jack: JackRef| rig_of(&before).device(jack.device).unwrap().is_off_board();
        let with = apply(&before, &edit).unwrap();
        let kept = rig_of(&with).lead(*lead).unwrap();
        prop_assert_eq!((&kept.cable, kept.length), (&old.cable, old.length));
        match (off_board(old.from), off_board(old.to)) {
            (true, _) => prop_assert_eq!((kept.from, kept.to.device), (old.from, id)),
            (false, true) => prop_assert_eq!((kept.from.device, kept.to), (id, old.to)),
            // Between floor units either may stay.
            (false, false) => prop_assert!(kept.from.device == id || kept.to.device == id),
        }
    }

    /// Removing a unit on the way closes the gap, and the off-board lead stays.
    #[test]
    fn remove_closes_the_gap(seed: u64, size in 3_usize..24, which: prop::sample::Index) {
        let before = project(&healthy(seed, size));
        let rig = rig_of(&before);
        let alone: Vec<&Device> = rig.devices.iter().filter(|d| stands_alone(rig, d)).collect();
        prop_assume!(!alone.is_empty());
        let gone = alone[which.index(alone.len())];
        let into = rig.lead_to(JackRef::new(gone.id, Jack::In)).unwrap();
        let out = rig.lead_from(JackRef::new(gone.id, Jack::Out)).unwrap();
        let edit = Edit::RemoveDevice { variant: before.variants[0].id, device: gone.id };
        let after = apply(&before, &edit).unwrap();
        prop_assert!(kinds(rig_of(&after)).is_subset(&kinds(rig)));
        let closing = rig_of(&after).lead_from(into.from).unwrap();
        prop_assert_eq!(closing.to, out.to);
        let off_board = |jack: JackRef| rig.device(jack.device).unwrap().is_off_board();
        if off_board(into.from) && !off_board(out.to) {
            prop_assert_eq!(closing.id, into.id);
        }
        if off_board(out.to) && !off_board(into.from) {
            prop_assert_eq!(closing.id, out.id);
        }
        // A test point stays on a lead that is there.
        prop_assert!(after.test_point.is_none_or(|point| rig_of(&after).lead(point.lead).is_some()));
    }

    /// Moving a unit keeps all devices and leads, and brings in no problem.
    #[test]
    fn move_keeps_everything(seed: u64, size in 3_usize..24, what: prop::sample::Index, to: prop::sample::Index) {
        let before = project(&healthy(seed, size));
        let rig = rig_of(&before);
        let device = rig.devices[what.index(rig.devices.len())].id;
        let onto = rig.leads[to.index(rig.leads.len())].id;
        let edit = Edit::Move { variant: before.variants[0].id, device, onto };
        if let Ok(after) = apply(&before, &edit) {
            prop_assert!(
                kinds(rig_of(&after)).is_subset(&kinds(rig)),
                "{:?} onto {:?}: {:?}", device, onto, problems(rig_of(&after))
            );
            let ids = |rig: &Rig| -> (BTreeSet<DeviceId>, BTreeSet<LeadId>) {
                (rig.devices.iter().map(|d| d.id).collect(), rig.leads.iter().map(|l| l.id).collect())
            };
            prop_assert_eq!(ids(rig_of(&after)), ids(rig));
        }
    }

    /// The same of switchers with what hangs in their loops, and of mixers with what is mixed in.
    #[test]
    fn move_keeps_what_hangs_beside(
        seed: u64,
        size in 3_usize..14,
        shape in 1_usize..7,
        what: prop::sample::Index,
        to: prop::sample::Index,
    ) {
        let before = project(&shaped(shape, seed, size));
        let rig = rig_of(&before);
        let boxes =
            rig.devices.iter().filter(|device| matches!(device.kind, Kind::Switcher(_) | Kind::Mixer(_) | Kind::MultiEffects(_)));
        let boxes: Vec<&Device> = boxes.collect();
        prop_assume!(!boxes.is_empty());
        let device = what.get(&boxes).id;
        let onto = rig.leads[to.index(rig.leads.len())].id;
        let edit = Edit::Move { variant: before.variants[0].id, device, onto };
        if let Ok(after) = apply(&before, &edit) {
            let circles = |rig: &Rig| problems(rig).iter().filter(|it| matches!(it, Problem::Circle { .. })).count();
            prop_assert!(circles(rig_of(&after)) <= circles(rig), "{:?} onto {:?}: a circle", device, onto);
            let ids = |rig: &Rig| -> BTreeSet<LeadId> { rig.leads.iter().map(|lead| lead.id).collect() };
            prop_assert_eq!(ids(rig_of(&after)), ids(rig));
            let beside = |rig: &Rig| -> Vec<(JackRef, JackRef)> {
                let own = |at: JackRef| at.device == device && !matches!(at.jack, Jack::In | Jack::Out);
                let hangs = rig.leads.iter().filter(|lead| own(lead.from) || own(lead.to));
                let mut ends: Vec<_> = hangs.map(|lead| (lead.from, lead.to)).collect();
                ends.sort_unstable();
                ends
            };
            let moved = beside(rig_of(&after));
            prop_assert!(beside(rig).iter().all(|ends| moved.iter().any(|other| other.0 == ends.0 || other.1 == ends.1)));
        }
    }

    /// Two devices that trade places twice stand where they stood; once brings in no
    /// problem, and every lead keeps its length and its cable.
    #[test]
    fn trading_places_twice_is_nothing(
        seed: u64,
        size in 3_usize..14,
        shape in 0_usize..7,
        one: prop::sample::Index,
        other: prop::sample::Index,
    ) {
        let before = project(&shaped(shape, seed, size));
        let rig = rig_of(&before);
        let (one, other) = (one.get(&rig.devices).id, other.get(&rig.devices).id);
        let edit = Edit::TradePlaces { variant: before.variants[0].id, one, other };
        if let Ok(after) = apply(&before, &edit) {
            prop_assert!(kinds(rig_of(&after)).is_subset(&kinds(rig)), "{one:?} {other:?}: {:?}", problems(rig_of(&after)));
            prop_assert_eq!(rig_of(&after).leads.len(), rig.leads.len());
            for (now, then) in rig_of(&after).leads.iter().zip(&rig.leads) {
                prop_assert_eq!((now.id, now.length, &now.cable), (then.id, then.length, &then.cable));
            }
            let held = |rig: &Rig, device, jack| {
                let jack = JackRef::new(device, jack);
                (rig.lead_to(jack).map(|lead| lead.id), rig.lead_from(jack).map(|lead| lead.id))
            };
            for jack in [Jack::In, Jack::Out] {
                prop_assert_eq!(held(rig_of(&after), one, jack), held(rig, other, jack));
                prop_assert_eq!(held(rig_of(&after), other, jack), held(rig, one, jack));
            }
            // Back again unless it mended something: what is broken isn't brought about.
            match apply(&after, &edit) {
                Ok(twice) => prop_assert_eq!(rig_of(&twice), rig),
                Err(_) => prop_assert!(problems(rig_of(&after)).len() < problems(rig).len()),
            }
        }
    }

    /// Where a lead may join two jacks it brings in no problem; where it may not since
    /// it would close a circle, it does close one.
    #[test]
    fn a_lead_that_may_join_brings_in_no_problem(
        seed: u64,
        size in 3_usize..12,
        shape in 0_usize..7,
        out: prop::sample::Index,
        a: prop::sample::Index,
        b: prop::sample::Index,
    ) {
        let whole = shaped(shape, seed, size);
        let mut rig = rig_of(&project(&whole)).clone();
        // One lead out of its jacks, so that there are free ones.
        let moved = rig.leads.remove(out.index(rig.leads.len()));
        let jacks: Vec<JackRef> = rig
            .devices
            .iter()
            .flat_map(|device| device.kind.jacks().iter().map(move |jack| JackRef::new(device.id, *jack)))
            .collect();
        let (a, b) = (*a.get(&jacks), *b.get(&jacks));
        let circles = |rig: &Rig| problems(rig).iter().any(|it| matches!(it, Problem::Circle { .. }));
        let joined = |from, to| {
            let mut with = rig.clone();
            with.leads.push(Lead { from, to, ..moved.clone() });
            with
        };
        match may_join(&rig, a, b, None) {
            Ok((from, to)) => {
                let after = joined(from, to);
                let wrong = |rig: &Rig| -> usize {
                    let told = problems(rig);
                    told.iter().filter(|it| matches!(it, Problem::TwoLeads { .. } | Problem::WrongWay { .. } | Problem::MissingJack { .. })).count()
                };
                prop_assert_eq!(wrong(&after), wrong(&rig));
                prop_assert!(!circles(&after) || circles(&rig), "{a:?} {b:?}");
            }
            Err(CantJoin::Circle(_)) => {
                let (from, to) = if a.jack.is_output() { (a, b) } else { (b, a) };
                prop_assert!(circles(&joined(from, to)), "{from:?} to {to:?} closes nothing");
            }
            Err(CantJoin::Taken(_)) => {
                let holds = |at: JackRef| rig.leads.iter().any(|lead| lead.from == at || lead.to == at);
                prop_assert!(holds(a) || holds(b));
            }
            Err(CantJoin::SameDirection { .. }) => prop_assert_eq!(a.jack.is_output(), b.jack.is_output()),
            Err(CantJoin::OneDevice(_)) => prop_assert_eq!(a.device, b.device),
            Err(CantJoin::NoJack) => prop_assert!(false, "the jacks are there"),
        }
    }

    /// Applying changes nothing that it was given, and does the same each time.
    #[test]
    fn apply_is_pure(seed: u64, size in 2_usize..16) {
        let before = project(&healthy(seed, size));
        let copy = before.clone();
        for edit in edits(&before, before.next_id, &mut Dice::new(seed ^ 3)) {
            let once = apply(&before, &edit);
            prop_assert!(before == copy, "{edit:?} changed what it was given");
            prop_assert!(apply(&before, &edit) == once);
        }
    }
}

/// A splitter's second side stays joined to it when the splitter is moved.
#[test]
fn a_moved_splitter_keeps_its_second_side() {
    let mut found = 0;
    for seed in 0..400 {
        let before = project(&healthy(seed, 10));
        let rig = rig_of(&before);
        let side = |rig: &Rig, id| rig.lead_from(JackRef::new(id, Jack::SecondOut)).cloned();
        for splitter in rig
            .devices
            .iter()
            .filter(|d| matches!(d.kind, Kind::Splitter(Splitter::Passive { .. } | Splitter::Buffered { .. })))
        {
            let Some(second) = side(rig, splitter.id) else { continue };
            for lead in &rig.leads {
                let edit = Edit::Move { variant: before.variants[0].id, device: splitter.id, onto: lead.id };
                if let Ok(after) = apply(&before, &edit) {
                    found += 1;
                    let kept = side(rig_of(&after), splitter.id);
                    assert_eq!(kept.as_ref(), Some(&second), "seed {seed}, onto {:?}", lead.id);
                }
            }
        }
    }
    assert!(found > 100, "only {found} moves");
}

/// Of a unit with two sides both gaps close, and it moves along a pair with both.
#[test]
fn both_sides_of_a_unit_are_taken_out_and_moved() {
    let rig = crate::pictures_stereo::two_amps();
    let before = Project::around(Arc::new(Variant::of(VariantId(900), "only", rig)), 1000);
    let (delay, reverb) = (DeviceId(4), DeviceId(5));
    let variant = before.variants[0].id;
    let to = |project: &Project, id: u64, jack: Jack| {
        let lead = rig_of(project).lead_from(JackRef::new(DeviceId(id), jack));
        lead.map(|lead| (lead.to.device.0, lead.to.jack))
    };
    let out = apply(&before, &Edit::RemoveDevice { variant, device: delay }).unwrap();
    assert_eq!(to(&out, 3, Jack::Out), Some((5, Jack::In)));
    assert_eq!(to(&out, 3, Jack::SecondOut), Some((5, Jack::SecondIn)));
    assert!(problems(rig_of(&out)).is_empty(), "{:?}", problems(rig_of(&out)));
    // The reverb before the delay: chorus, reverb, delay, amps.
    let onto = rig_of(&before).lead_from(JackRef::new(DeviceId(3), Jack::Out)).unwrap().id;
    let moved = apply(&before, &Edit::Move { variant, device: reverb, onto }).unwrap();
    for (jack, second) in [(Jack::Out, Jack::In), (Jack::SecondOut, Jack::SecondIn)] {
        assert_eq!(to(&moved, 3, jack), Some((5, second)));
        assert_eq!(to(&moved, 5, jack), Some((4, second)));
    }
    assert_eq!((to(&moved, 4, Jack::Out), to(&moved, 4, Jack::SecondOut)), (Some((6, Jack::In)), Some((7, Jack::In))));
    assert!(problems(rig_of(&moved)).is_empty(), "{:?}", problems(rig_of(&moved)));
    assert_eq!(rig_of(&moved).leads.len(), rig_of(&before).leads.len());
}
