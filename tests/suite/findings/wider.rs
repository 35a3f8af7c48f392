//! Findings in rigs with loop switchers.

use rigwright_core::cascade::LineCache;
use rigwright_core::findings::rules;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{DeviceId, Jack, JackRef, Kind, Lead, LeadId, Rig, apply};

use super::{all_states, found, project, target};
use crate::generator::{Case, several, wider};
use crate::rigs::{buffer, device, looped};

/// A buffer in a lead of the looped rig, a patch lead between it and the switcher.
fn with_a_buffer(mut rig: Rig, at: usize) -> Rig {
    rig.devices.push(device(90, "buffer", buffer(1e6, 100.0)));
    let (old, patch) = (rig.leads[at].clone(), rig.leads[2].length);
    let behind = old.from.device != DeviceId(1);
    rig.leads[at].to = JackRef::new(DeviceId(90), Jack::In);
    rig.leads[at].length = if behind { patch } else { old.length };
    let length = if behind { old.length } else { patch };
    rig.leads.push(Lead { id: LeadId(3000), from: JackRef::new(DeviceId(90), Jack::Out), length, ..old });
    rig
}

fn useless(rig: Rig) -> bool {
    found(&project(rig)).iter().any(|finding| finding.rule == rules::USELESS_BUFFER)
}

/// Before the loops of a switcher without buffers a buffer keeps them off the
/// guitar; behind a switcher's own buffer it does nothing.
#[test]
fn a_buffer_before_a_switcher_is_of_use_and_one_behind_its_buffer_is_not() {
    assert!(!useless(with_a_buffer(looped(3, 2), 0)), "it stands between the guitar and the loops");
    let mut buffered = looped(3, 2);
    let Kind::Switcher(inside) = &mut buffered.devices[2].kind else { panic!("a switcher") };
    let Kind::Buffer(own) = buffer(1e6, 100.0) else { panic!("a buffer") };
    (inside.input, inside.output) = (Some(own.stage), Some(own.stage));
    assert!(useless(with_a_buffer(buffered.clone(), 1)), "100 Ω drive the lead with it and without");
    assert!(useless(with_a_buffer(buffered, 0)), "it ends the guitar's run where the switcher does");
}

/// Everything that is found has a sentence, and each fix can be done; what is told
/// to be useless can go, and no state sounds otherwise by more than the limit.
fn every_finding_stands(cases: impl Iterator<Item = (u64, Case)>) -> (usize, usize) {
    let (mut findings, mut gone) = (0, 0);
    for (seed, case) in cases {
        let project = project(case.rig);
        let Some(target) = target(&project) else { continue };
        let mut cache = LineCache::new(Sweep::logarithmic(40.0, 5000.0, 24));
        let before = all_states(&project, target, &mut cache);
        for finding in found(&project) {
            findings += 1;
            assert!(finding.text.ends_with('.'), "seed {seed}: {}", finding.text);
            for fix in &finding.remedies {
                let after = apply(&project, fix.edit.as_ref().expect("the drawing can have it"));
                let after = after.unwrap_or_else(|why| panic!("seed {seed}: {}: {why}", fix.words));
                let (Some(before), Some(after)) = (&before, all_states(&after, target, &mut cache)) else { continue };
                if finding.rule != rules::USELESS_BUFFER || !before.exact || !after.exact {
                    continue;
                }
                gone += 1;
                let limit = project.limits.useless.get() + 1e-6;
                for (ours, theirs) in
                    [(before.lowest_db(), after.lowest_db()), (before.highest_db(), after.highest_db())]
                {
                    let apart = ours.iter().zip(theirs).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
                    assert!(apart <= limit, "seed {seed}: {}: {apart} dB", finding.text);
                }
            }
        }
    }
    (findings, gone)
}

const SIZES: [usize; 4] = [4, 6, 8, 10];

#[test]
fn every_finding_in_wider_rigs_stands() {
    let sizes = SIZES.into_iter().cycle();
    let (findings, gone) =
        every_finding_stands((70_000..70_300).zip(sizes).map(|(seed, size)| (seed, wider(seed, size))));
    assert!(findings > 400 && gone > 2, "{findings} findings, {gone} useless buffers");
}

#[test]
fn every_finding_in_rigs_with_several_ways_at_once_stands() {
    let sizes = SIZES.into_iter().cycle();
    let (findings, gone) =
        every_finding_stands((80_000..80_300).zip(sizes).map(|(seed, size)| (seed, several(seed, size))));
    assert!(findings > 400, "{findings} findings, {gone} useless buffers");
}
