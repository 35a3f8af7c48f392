//! Advice for rigs with switchers and with several ways at once: what it says of a
//! suggestion is what comes of it.

use std::sync::Arc;

use rigwright_core::advice::{AdviceQuestion, Wishes, advise};
use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{Device, JackRef, Project, apply};
use rigwright_core::states::{Target, worst_jump};
use rigwright_core::watch::Unwatched;

use super::edited::explored;
use crate::findings::project;
use crate::generator::{several, wider};

/// The first endpoint that gives a sound.
fn target(project: &Project) -> Option<Target> {
    let ends = project.variants[0].rig.devices.iter().flat_map(|device: &Device| {
        let jacks = device.kind.jacks().iter().filter(|jack| device.kind.is_endpoint(**jack));
        jacks.map(|jack| Target::Endpoint(JackRef::new(device.id, *jack)))
    });
    ends.into_iter().next()
}

#[test]
fn suggestions_for_rigs_with_switchers_and_mixers_are_what_they_say() {
    let (mut told, mut checked) = (0, 0);
    for (seed, case) in (0..80).map(|seed| (seed, several(seed, 5))).chain((0..80).map(|seed| (seed, wider(seed, 6)))) {
        let project = project(case.rig);
        let Some(target) = target(&project) else { continue };
        let variant = &project.variants[0];
        let controls = case.state.held(&variant.rig);
        let wishes = Wishes::default();
        let question =
            AdviceQuestion { variant: Arc::clone(variant), controls, target, wishes, limits: project.limits };
        let mut cache = LineCache::new(Sweep::audio());
        let advice = advise(&question, &mut cache, &Unwatched).expect("nobody stops it");
        for suggestion in &advice.suggestions {
            told += 1;
            let next = apply(&project, &suggestion.edit)
                .unwrap_or_else(|why| panic!("seed {seed}, {}: {why}", suggestion.words));
            let rig = next.variants[0].rig.fuzzes_held_off(&question.limits);
            let Some((db, ..)) = suggestion.after.worst_jump else { continue };
            let Some(states) =
                explored(&rig, &question.controls, target, &mut cache).ok().filter(|states| states.exact)
            else {
                continue;
            };
            checked += 1;
            let afresh = worst_jump(&states).map_or(0.0, |worst| worst.db.abs());
            assert!((db - afresh).abs() < 1e-6, "seed {seed}, {}: {db} dB, afresh {afresh} dB", suggestion.words);
        }
    }
    assert!(told > 20 && checked > 10, "{told} told, {checked} checked");
}
