//! Whatever is told of power and of ground loops is a sentence about things that
//! are there, and what remedies it can be done.

use std::collections::BTreeMap;
use std::sync::Arc;

use rigwright_core::diagnosis::{Diagnosis, Severity, Subject, Warning};
use rigwright_core::ground::ground_loops;
use rigwright_core::hum::{self, hum};
use rigwright_core::power::{Headroom, check, diagnose};
use rigwright_core::rig::{Limits, Project, Variant, VariantId, apply};
use rigwright_core::watch::Unwatched;

use super::ground::wired;

fn is_whole(told: &Diagnosis, project: &Project, loops: usize) {
    let rig = &project.variants[0].rig;
    let text = &told.text;
    assert!(text.ends_with('.') && !text.ends_with("..") && !text.contains("  "), "{text}");
    assert!(
        !told.rule.key.is_empty() && told.rule.key.chars().all(|c| c.is_ascii_lowercase() || "-0123456789".contains(c))
    );
    assert!(told.about.devices.iter().all(|id| rig.device(*id).is_some()), "{text}: {:?}", told.about);
    assert!(told.about.leads.iter().all(|id| rig.lead(*id).is_some()), "{text}: {:?}", told.about);
    assert!(told.about.feeds.iter().all(|id| rig.feed(*id).is_some()), "{text}: {:?}", told.about);
    assert!(told.about.loops.iter().all(|at| *at < loops), "{text}: {:?}", told.about);
    assert_eq!(told.warning.is_some(), told.severity == Severity::Danger, "{text}");
    assert!(told.no_remedy.is_none() || told.remedies.is_empty(), "{text}");
    for remedy in &told.remedies {
        if let Some(edit) = &remedy.edit {
            let done = apply(project, edit);
            assert!(done.is_ok(), "{text}: {}: {done:?}", remedy.words);
        }
    }
}

#[test]
fn each_is_a_sentence_about_what_is_there_with_remedies_that_can_be_done() {
    let mut met: BTreeMap<(Subject, &str), usize> = BTreeMap::new();
    for seed in 0..300 {
        let (rig, next) = wired(seed);
        let headroom = Headroom::of(&Limits::default());
        let (loops, figures) = (ground_loops(&rig), check(&rig, &headroom));
        let variant = Arc::new(Variant::of(VariantId(next), "only", rig));
        let project = Project::around(Arc::clone(&variant), next + 1);
        let power = diagnose(&variant, &headroom, &figures, &Unwatched).expect("nobody stops it");
        assert_eq!(power.problems.len(), figures.problems.len());
        let once: Vec<&Diagnosis> = power.problems_once(&figures).collect();
        assert!(once.is_sorted_by_key(|told| told.severity), "seed {seed}: the loudest first");
        assert!(once.iter().all(|told| told.warning != Some(Warning::PlugInAbroad)), "there is no tour");
        let question = hum::HumQuestion { variant: &variant, loops: &loops, check: &figures, headroom: &headroom };
        for told in power.listed(&figures).chain(&hum(&question).told) {
            is_whole(told, &project, loops.len());
            assert_eq!(told.about.loops.is_empty(), told.rule.subject != Subject::Ground);
            *met.entry((told.rule.subject, told.rule.key)).or_default() += 1;
        }
    }
    // Rules of both kinds were met, so that each was tried.
    for (subject, rules) in [(Subject::Power, 5), (Subject::Ground, 3)] {
        let of = met.keys().filter(|(other, _)| *other == subject).count();
        assert!(of >= rules, "{subject:?}: {met:?}");
    }
}
