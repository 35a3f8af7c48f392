//! Units without power, in curves and over all states.

use std::sync::Arc;

use super::*;
use crate::file;
use crate::network::Sweep;
use crate::response::peak_at;
use crate::rig::{Bypass, Device, Jack, Kind};
use crate::states::explore;
use crate::units::{Level, Turn};
use crate::watch::Unwatched;

/// The demo's first rig with these bypasses on the units that want a feed, and
/// all supply leads taken away.
fn unplugged(bypass: Bypass) -> Project {
    let mut project = file::demo().unwrap();
    let mut variant = (*project.variants[0]).clone();
    let rig = Arc::make_mut(&mut variant.rig);
    rig.feeds.clear();
    let wants = |device: &&mut Device| device.wants_feed();
    for device in rig.devices.iter_mut().filter(wants) {
        if let Kind::Pedal(pedal) = &mut device.kind {
            pedal.bypass = bypass;
        }
    }
    // What has no bypass goes on as if nobody had said what it takes.
    for device in rig.devices.iter_mut().filter(|device| !matches!(device.kind, Kind::Pedal(_))) {
        if device.wants_feed() {
            device.power = crate::rig::Power::Unknown;
        }
    }
    project.variants = vec![Arc::new(variant)];
    project.test_point = None;
    project
}

fn levels(project: &Project, state: &State, feeding: Feeding) -> Vec<Level> {
    let variant = &project.variants[0];
    let request = Request { state: state.clone(), unfed: feeding.unfed(&variant.rig), ..Request::of(project, variant) };
    let response = respond(&request, &mut LineCache::new(Sweep::audio()));
    response.endpoints[0].at.curve.levels().to_vec()
}

fn all_on(project: &Project) -> State {
    let on = project.variants[0].rig.devices.iter().filter(|device| device.has_switch() && device.wants_feed());
    let on: Vec<crate::rig::DeviceId> = on.map(|device| device.id).collect();
    State::default().with(&project.variants[0].rig, &project.variants[0].rig.all_turned_on(&on))
}

/// A mechanical switch stays as it is without power. [S: dead-run]
#[test]
fn true_bypass_without_power_is_off_and_its_switch_no_state() {
    let project = unplugged(Bypass::True);
    let (on, off) = (all_on(&project), State::default());
    assert!(on.positions.len() > 1);
    assert_ne!(levels(&project, &on, Feeding::AllFed), levels(&project, &off, Feeding::AllFed));
    assert_eq!(levels(&project, &on, Feeding::AsDrawn), levels(&project, &off, Feeding::AllFed));
    let rig = &project.variants[0].rig;
    let response = respond(&Request::of(&project, &project.variants[0]), &mut LineCache::new(Sweep::audio()));
    let target = Target::Endpoint(response.endpoints[0].jack);
    let states = |feeding: Feeding| {
        let question = Question { rig: Arc::clone(rig), controls: State::default(), target, unfed: feeding.unfed(rig) };
        explore(&question, &mut LineCache::new(Sweep::audio())).unwrap()
    };
    let (fed, unfed) = (states(Feeding::AllFed), states(Feeding::AsDrawn));
    assert_eq!(fed.switch_states.log2() - unfed.switch_states.log2(), on.positions.len() as f64);
    assert!(unfed.jumps.iter().all(|jump| !on.positions.contains_key(&jump.switch)), "a dead switch is heard nowhere");
}

/// An amplifying stage gives nothing without power. [S: dead-run]
#[test]
fn buffered_bypasses_without_power_silence_the_row() {
    let project = unplugged(Bypass::Buffered);
    let sounding = |levels: Vec<Level>| levels.into_iter().filter(|level| *level != Level::Silent).count();
    assert!(sounding(levels(&project, &State::default(), Feeding::AllFed)) > 0);
    for state in [State::default(), all_on(&project)] {
        assert_eq!(sounding(levels(&project, &state, Feeding::AsDrawn)), 0);
    }
    let against = Against::Variant(project.variants[0].id);
    let of = |feeding| {
        let cache = &mut LineCache::new(Sweep::audio());
        let off = State::default();
        let found = compare_fed(&project, &|_| &off, against, feeding, cache, &Unwatched).unwrap();
        sounding(found.base.unwrap().curve.levels().to_vec())
    };
    assert!(of(Feeding::AllFed) > 0);
    assert_eq!(of(Feeding::AsDrawn), 0);
}

/// A peak asked for by itself is the one that the whole answer has.
#[test]
fn a_peak_by_itself_is_that_of_the_whole_answer() {
    let project = file::demo().unwrap();
    let cache = &mut LineCache::new(Sweep::audio());
    let mut peaks = 0;
    for variant in &project.variants {
        for sound in &project.sounds {
            let request = Request { state: sound.state.clone(), ..Request::of(&project, variant) };
            let whole = respond(&request, cache);
            for endpoint in &whole.endpoints {
                assert_eq!(peak_at(&request, Some(endpoint.jack), cache), endpoint.at.peak.ok());
                peaks += usize::from(endpoint.at.peak.is_ok());
            }
            let lead = variant.rig.leads[1].id;
            let request = Request { test_point: Some(TestPoint { lead, along: Turn::of(0.5) }), ..request };
            let whole = respond(&request, cache).test_point.and_then(|at| at.peak.ok());
            assert_eq!(peak_at(&request, None, cache), whole);
            let nowhere = JackRef::new(crate::rig::DeviceId(999_999), Jack::In);
            assert_eq!(peak_at(&request, Some(nowhere), cache), None);
        }
    }
    assert!(peaks > 5, "{peaks}");
}
