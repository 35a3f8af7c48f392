//! What is told of rigs that no player has: counts are right, lists end and say
//! so, and nothing takes more than is stated.

use std::collections::BTreeSet;

use rigwright_core::cascade::LineCache;
use rigwright_core::diagnosis::Severity;
use rigwright_core::findings::{self, MOST_WORK, findings, findings_within, rules};
use rigwright_core::ground::{self, MOST_TOLD, Rank, ground_loops};
use rigwright_core::network::Sweep;
use rigwright_core::power::{Headroom, TooLarge, check, diagnose, too_large};
use rigwright_core::response::{MOST_STATIONS, Request, respond};
use rigwright_core::rig::{Jack, JackRef, Kind, Problem, Project, Rig, State, problems};
use rigwright_core::states::{Question, Target, explore};
use rigwright_core::watch::Unwatched;

use crate::large::{self, chain};
use crate::rigs::buffer;

fn rig(name: &str) -> Project {
    let (_, make) = large::all().into_iter().find(|(other, _)| *other == name).expect("a rig of that name");
    make()
}

/// A chain of 900 units, each on the one daisy lead of an earthed supply, and an earthed amp.
#[test]
fn loops_are_counted_and_the_likeliest_told() {
    let project = rig("daisy of 900");
    let rig = &project.variants[0].rig;
    // 901 screens, 900 returns and two earths; 902 devices with a signal, a 0 V
    // and the earth: 1803 − 904 + 1 [S: cyclomatic].
    assert_eq!(ground::count(rig), 900);
    let loops = ground_loops(rig);
    assert_eq!(loops.len(), MOST_TOLD);
    assert_eq!(loops.iter().filter(|one| one.rank == Rank::TwoEarths).count(), 1);
    assert!(loops.iter().all(|one| one.rank != Rank::Local), "a digital unit is on the daisy lead");
    // Independent of one another: none has only links that others have too.
    let mut seen = BTreeSet::new();
    for one in loops.iter().filter(|one| one.rank != Rank::TwoEarths) {
        let links: Vec<_> = one.steps.iter().map(|(_, link)| *link).collect();
        assert!(links.iter().any(|link| seen.insert(*link)), "{}", one.path);
    }
}

/// Two jacks with thousands of leads: each but the first is a problem at either end, and closes a loop.
#[test]
fn thousands_of_leads_in_two_jacks() {
    let project = rig("4000 leads between two jacks");
    let rig = &project.variants[0].rig;
    let found = problems(rig);
    assert_eq!(found.iter().filter(|problem| matches!(problem, Problem::TwoLeads { .. })).count(), 2 * 3999);
    assert_eq!(found.len(), 2 * 3999);
    let first = rig.leads[0].id;
    assert!(found.iter().all(|problem| matches!(problem, Problem::TwoLeads { leads: (a, _), .. } if *a == first)));
    assert_eq!((ground::count(rig), ground_loops(rig).len()), (3999, MOST_TOLD));
}

#[test]
fn of_hundreds_of_endpoints_the_first_are_told() {
    let project = rig("tree of 1000 devices");
    let rig = &project.variants[0].rig;
    let request = Request { rig: rig.clone(), state: State::default(), test_point: None, unfed: Default::default() };
    let answer = respond(&request, &mut LineCache::new(Sweep::logarithmic(20.0, 20_000.0, 6)));
    let amps = rig.devices.iter().filter(|device| matches!(device.kind, Kind::Amp(_))).count();
    assert!(amps > 300, "{amps}");
    assert_eq!(answer.endpoints.len() + answer.endpoints_left_out, amps);
    // Once for each of them over every station there is, the guitar being none.
    assert_eq!(answer.endpoints.len(), MOST_STATIONS / (rig.devices.len() - 1));
}

/// As many ways at once as a file holds: answered in a stack of two megabytes, all
/// blocks by themselves where they stand in turn, and cut short, which is said, where
/// they stand one in another.
#[test]
fn ways_within_ways_are_answered_as_far_as_they_are_looked_at() {
    for (name, exact) in [
        ("330 splitters and mixers in turn", true),
        ("330 splitters and mixers one in another", false),
        ("a way of 990 units beside one without", false),
    ] {
        let project = rig(name);
        let rig = &project.variants[0].rig;
        let request =
            Request { rig: rig.clone(), state: State::default(), test_point: None, unfed: Default::default() };
        let answer = respond(&request, &mut LineCache::new(Sweep::logarithmic(20.0, 20_000.0, 6)));
        assert_eq!(answer.endpoints.len(), 1, "{name}");
        let amp = rig.devices.iter().find(|device| matches!(device.kind, Kind::Amp(_))).expect("an amp").id;
        let target = Target::Endpoint(JackRef::new(amp, Jack::In));
        let asked = Question { rig: rig.clone(), controls: State::default(), target, unfed: Default::default() };
        let states =
            explore(&asked, &mut LineCache::new(Sweep::at(&[1000.0]))).unwrap_or_else(|why| panic!("{name}: {why:?}"));
        assert_eq!(states.exact, exact, "{name}: {}", states.note());
        assert!(exact || states.note().contains("several ways at once"), "{name}: {}", states.note());
    }
}

fn question(rig: Rig) -> findings::FindingsQuestion {
    let amp = rig.devices.last().expect("an amp").id;
    let project = large::project("", vec![rig]);
    findings::FindingsQuestion {
        variant: project.variants[0].clone(),
        controls: State::default(),
        target: Target::Endpoint(JackRef::new(amp, Jack::In)),
        limits: project.limits,
        volts: Default::default(),
        unfed: Default::default(),
    }
}

#[test]
fn findings_are_looked_for_up_to_a_size_and_past_it_that_is_said() {
    let cache = &mut LineCache::new(Sweep::audio());
    let large = findings(&question(chain(998, |_| buffer(1e6, 100.0))), None, cache, &Unwatched).expect("let go on");
    let [only] = large.as_slice() else { panic!("{} findings", large.len()) };
    assert_eq!((only.rule, only.severity), (rules::TOO_LARGE, Severity::Know));
    assert!(only.text.contains("999 inputs"), "{}", only.text);
    // 240 buffers are judged: each by itself does nothing that the one beside it doesn't.
    let judged = question(chain(240, |_| buffer(1e6, 100.0)));
    let found = findings(&judged, None, cache, &Unwatched).expect("let go on");
    assert!(found.iter().all(|one| one.rule != rules::TOO_LARGE));
    assert_eq!(found.iter().filter(|one| one.rule == rules::USELESS_BUFFER).count(), 240);
    // In fewer steps they aren't, and the sentence says why.
    let small = findings_within(MOST_WORK / 64, &judged, None, cache, &Unwatched).expect("let go on");
    assert_eq!(small.iter().map(|one| one.rule).collect::<Vec<_>>(), [rules::TOO_LARGE]);
    assert!(small[0].why.contains("by itself"), "{}", small[0].why);
}

#[test]
fn mends_are_tried_out_for_as_many_problems_as_there_is_time_for() {
    let project = rig("daisy of 900");
    let (variant, headroom) = (&project.variants[0], Headroom::default());
    let check = check(&variant.rig, &headroom);
    assert!(check.problems.len() > 100, "{}", check.problems.len());
    let told = diagnose(variant, &headroom, &check, &Unwatched).expect("nobody stops it");
    assert_eq!(told.problems.len(), check.problems.len(), "each is told");
    assert!((1..check.problems.len()).contains(&told.without_remedies), "{}", told.without_remedies);
}

#[test]
fn the_best_allocation_is_looked_for_up_to_a_size() {
    assert_eq!(too_large(&rig("daisy of 900").variants[0].rig), Some(TooLarge::Units(900)));
    let shipped = rigwright_core::file::large_modular().expect("it opens");
    assert!(shipped.variants.iter().all(|variant| too_large(&variant.rig).is_none()));
}
