//! What findings leave alone, and that they can be stopped.

use std::cell::Cell;

use rigwright_core::cascade::LineCache;
use rigwright_core::diagnosis::{Rule, Severity};
use rigwright_core::file;
use rigwright_core::findings::{findings, rules};
use rigwright_core::network::Sweep;
use rigwright_core::rig::{DeviceId, Rig, problems};
use rigwright_core::watch::{Stopped, Watch};

use super::{all_states, found, project, question, target};
use crate::generator::broken;

#[test]
fn nothing_is_said_of_nothing() {
    assert!(found(&project(Rig::default())).is_empty());
    let blank = file::blank().unwrap();
    assert!(found(&blank).is_empty(), "{:#?}", found(&blank));
}

/// A rig that can't be as drawn is left to its problems.
#[test]
fn a_broken_rig_is_not_judged() {
    let mut demo = file::demo().unwrap();
    assert!(!found(&demo).is_empty());
    let variant = std::sync::Arc::make_mut(&mut demo.variants[0]);
    let rig = std::sync::Arc::make_mut(&mut variant.rig);
    let mut twice = rig.leads[3].clone();
    twice.id = rigwright_core::rig::LeadId(777);
    rig.leads.push(twice);
    assert!(found(&demo).is_empty());
    // Whatever is plugged in where: nothing is said of it.
    let mut judged = 0;
    for seed in 0..300 {
        let case = broken(seed, 12);
        let mut project = crate::laws::rigs::project(&case);
        let as_drawn = problems(&project.variants[0].rig).is_empty();
        for point in [project.test_point, None] {
            project.test_point = point;
            assert!(found(&project).is_empty() || as_drawn, "seed {seed}");
        }
        judged += usize::from(!as_drawn);
    }
    assert!(judged > 200, "{judged}");
}

/// The demo, as the player of its story would read it.
#[test]
fn the_demo_says_what_its_notes_tell() {
    let demo = file::demo().unwrap();
    let all = found(&demo);
    let acts: Vec<Rule> = all.iter().filter(|f| f.severity == Severity::Act).map(|f| f.rule).collect();
    assert_eq!(acts, [rules::TONE_JUMP, rules::DULL_ALL_OFF]);
    assert!(all.is_sorted_by_key(|finding| finding.severity), "those to act on come first");
    // "The fuzz is the catch": whoever says “put a buffer first” says that the fuzz is behind it.
    let hides = |words: &str| words.contains("after the guitar's lead");
    for fix in all.iter().flat_map(|finding| &finding.remedies).filter(|fix| hides(&fix.words)) {
        assert!(fix.words.ends_with("but then Fuzz sees it and not the guitar"), "{}", fix.words);
    }
    // And in the second rig there is one, with the fuzz behind it.
    let mut second = demo.clone();
    second.variants.remove(0);
    let all = found(&second);
    assert_eq!(all.first().map(|finding| finding.rule), Some(rules::BUFFER_BEFORE_FUZZ));
    assert_eq!(all[0].about.devices[0], DeviceId(7));
}

/// Stops after so many looks.
struct Impatient(Cell<usize>);

impl Watch for Impatient {
    fn go_on(&self, done: f64) -> bool {
        assert!((0.0..=1.0).contains(&done));
        self.0.set(self.0.get().saturating_sub(1));
        self.0.get() > 0
    }
}

#[test]
fn it_stops_when_told_and_says_how_far_it_is() {
    let demo = file::demo().unwrap();
    let target = target(&demo).unwrap();
    let mut cache = LineCache::new(Sweep::audio());
    let states = all_states(&demo, target, &mut cache);
    let question = question(&demo, target);
    let mut ask = |looks: usize| findings(&question, states.as_ref(), &mut cache, &Impatient(Cell::new(looks)));
    let whole = ask(usize::MAX).unwrap();
    let mut stopped = 0;
    for looks in 1..40 {
        match ask(looks) {
            Err(Stopped) => stopped += 1,
            Ok(found) => assert_eq!(found, whole),
        }
    }
    assert!(stopped > 10, "{stopped}");
}
