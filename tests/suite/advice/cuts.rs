//! What buffers would leave, against rigs that really have them.

use std::collections::BTreeSet;
use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{Buffer, DeviceId, Edit, Jack, JackRef, Kind, Lead, LeadId, Rig, State, TestPoint};
use rigwright_core::states::{Cut, CutPlace, Cuts, NoCuts, Question, Target, cuts};
use rigwright_core::units::{Decibels, Farads, Turn};
use rigwright_core::watch::Unwatched;

use super::edited::{VARIANT, edited, explored, first_free, variant, worst_db};
use crate::generator::{Case, Dice, healthy, parts};
use crate::rigs::{device, input, stage};

/// How far the two may be apart, in dB.
const ALLOWED_DB: f64 = 1e-9;

fn cache() -> LineCache {
    LineCache::new(Sweep::logarithmic(20.0, 20_000.0, 12))
}

/// Endpoints, and points on three leads.
fn targets(rig: &Rig, dice: &mut Dice) -> Vec<Target> {
    let jacks = rig.devices.iter().flat_map(|device| device.kind.jacks().iter().map(move |jack| (device, *jack)));
    let ends = jacks.filter(|(device, jack)| device.kind.is_endpoint(*jack));
    let mut found: Vec<Target> = ends.map(|(device, jack)| Target::Endpoint(JackRef::new(device.id, jack))).collect();
    for _ in 0..3 {
        let lead = rig.leads[dice.below(rig.leads.len())].id;
        found.push(Target::Point(TestPoint { lead, along: Turn::of(dice.pick(&[0.0, 0.3, 1.0])) }));
    }
    found
}

/// A buffer of some make, at a lead: a full-blown one, so that nothing is zero by luck.
fn insert(dice: &mut Dice, lead: LeadId, id: u64) -> Edit {
    let mut stage = stage(dice.log(50e3, 10e6), dice.log(10.0, 20e3));
    stage.input = input(stage.input.resistance.get(), dice.log(1e-12, 1e-9));
    stage.level = Decibels::of(6.0 * dice.unit() - 3.0);
    let kind = Kind::Buffer(Buffer { stage, wiring: Farads::of(dice.log(1e-12, 1e-10)) });
    let free = JackRef::new(DeviceId(id), Jack::In);
    let patch =
        Lead { id: LeadId(id + 1), from: free, to: free, length: parts::length(dice), cable: parts::cable(dice) };
    Edit::Insert { variant: VARIANT, lead, device: Box::new(device(id, "buffer", kind)), patch: Box::new(patch) }
}

#[derive(Debug, Default)]
struct Tally {
    /// Rigs, and targets that sound.
    rigs: usize,
    answers: usize,
    silent: usize,
    too_many: usize,
    /// Places that have no row, since they aren't on the way.
    elsewhere: usize,
    singles: usize,
    pairs: usize,
    /// No switch heard.
    quiet: usize,
    kinds: BTreeSet<&'static str>,
    worst_db: f64,
}

struct Asked<'a> {
    name: String,
    rig: &'a Arc<Rig>,
    controls: &'a State,
    target: Target,
    edits: &'a [Edit],
}

impl Asked<'_> {
    fn question(&self) -> Question {
        Question {
            rig: Arc::clone(self.rig),
            controls: self.controls.clone(),
            target: self.target,
            unfed: Default::default(),
        }
    }

    fn compare(&self, cuts: &Cuts, places: &[CutPlace], cache: &mut LineCache, tally: &mut Tally) {
        let edits = places.iter().map(|place| self.edits[place.cut].clone()).collect();
        let rig = edited(&variant((**self.rig).clone()), &Edit::Batch(edits)).expect("both leads are there");
        let states = explored(&rig.rig, self.controls, self.target, cache).expect("it sounds with a buffer too");
        assert!(states.exact, "{}", self.name);
        let (ours, theirs) = (cuts.worst(places), worst_db(&states));
        let name = format!("{}, {places:?}: {ours:?} against {theirs:?}", self.name);
        match (ours, theirs) {
            (Some(ours), Some(theirs)) => {
                let apart = (ours.db - theirs).abs();
                assert!(apart <= ALLOWED_DB, "{name}");
                tally.worst_db = tally.worst_db.max(apart);
                // The unit and the frequency that are named make that jump.
                let jump = states.jumps.iter().find(|jump| jump.switch == ours.switch);
                let jump = jump.unwrap_or_else(|| panic!("{name}: no such jump"));
                let there = jump.highest_db[ours.at].max(-jump.lowest_db[ours.at]);
                assert!((there - theirs).abs() <= ALLOWED_DB, "{name}: {there} dB there");
            }
            (None, None) => tally.quiet += 1,
            _ => panic!("{name}"),
        }
    }
}

fn look_at(seed: u64, case: &Case, pairs: usize, tally: &mut Tally) {
    if case.rig.leads.is_empty() {
        return;
    }
    let mut dice = Dice::new(seed ^ 0xc075);
    let mut cache = cache();
    let rig = Arc::new(case.rig.clone());
    let free = first_free(&rig);
    tally.rigs += 1;
    tally.kinds.extend(rig.devices.iter().map(|device| device.kind.noun()));
    let edits: Vec<Edit> =
        rig.leads.iter().enumerate().map(|(at, lead)| insert(&mut dice, lead.id, free + 2 * at as u64)).collect();
    let rigs: Vec<Cut> = edits
        .iter()
        .enumerate()
        .map(|(at, edit)| Cut {
            device: DeviceId(free + 2 * at as u64),
            rig: Arc::clone(&edited(&variant(case.rig.clone()), edit).expect("the lead is there").rig),
        })
        .collect();
    for target in targets(&rig, &mut dice) {
        let name = format!("seed {seed}, {target:?}");
        let asked = Asked { name, rig: &rig, controls: &case.state, target, edits: &edits };
        let found = match cuts(&asked.question(), &rigs, &mut cache, &Unwatched) {
            Ok(found) => found,
            Err(NoCuts::NoStates(why)) => {
                assert_eq!(explored(&rig, &case.state, target, &mut cache).err(), Some(why), "{}", asked.name);
                tally.silent += 1;
                continue;
            }
            Err(NoCuts::TooMany) => {
                tally.too_many += 1;
                continue;
            }
            Err(NoCuts::Stopped) => panic!("nobody stopped it"),
        };
        tally.answers += 1;
        let places = found.places();
        tally.elsewhere += rigs.len() - places.len();
        asked.compare(&found, &[], &mut cache, tally);
        for place in places {
            asked.compare(&found, &[*place], &mut cache, tally);
            tally.singles += 1;
        }
        for _ in 0..pairs {
            if places.len() < 2 {
                break;
            }
            let (a, b) = (dice.pick(places), dice.pick(places));
            if a != b {
                asked.compare(&found, &[a, b], &mut cache, tally);
                tally.pairs += 1;
            }
        }
    }
}

/// Whatever makes a rig: every kind of unit, side runs, test points, shorts.
#[test]
fn cuts_leave_what_rigs_with_buffers_do() {
    let mut tally = Tally::default();
    for (seed, size) in (40_000..40_400).zip([2, 3, 4, 6, 8, 10, 12, 14].into_iter().cycle()) {
        look_at(seed, &healthy(seed, size), 6, &mut tally);
    }
    println!("{tally:?}");
    assert!(tally.rigs > 390 && tally.kinds.len() == 19, "{tally:?}");
    assert!(tally.answers > 800 && tally.silent > 50 && tally.elsewhere > 1000, "{tally:?}");
    assert!(tally.singles > 3000 && tally.pairs > 2000 && tally.quiet > 500, "{tally:?}");
}
