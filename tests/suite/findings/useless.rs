//! Buffers that change nothing, against every state by itself.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::diagnosis::{Diagnosis, Severity};
use rigwright_core::findings::rules;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{Bypass, DeviceId, Jack, JackRef, Kind, Project, Rig, State};
use rigwright_core::states::{Question, Target};
use rigwright_core::units::Decibels;

use super::{number, of, only, project, remedied, unit};
use crate::generator::healthy;
use crate::oracle::Netlist;
use crate::printed::agrees;
use crate::rigs::{SC, amp, bare_cable, buffer, chain, on, real_cable, true_bypass};
use crate::states::{Brute, switches};

fn two_buffers() -> Rig {
    let kinds = vec![
        ("guitar", Kind::Guitar(SC.guitar())),
        ("first", buffer(1e6, 100.0)),
        ("drive", true_bypass(20e-12)),
        ("second", buffer(1e6, 100.0)),
        ("amp", amp(1e6, 100e-12)),
    ];
    chain(kinds, &[5.0, 0.3, 0.3, 6.0], &real_cable())
}

/// The most that a level at the amp changes up to 10 kHz between two rigs, whatever
/// is on, by a nodal solve of each.
fn solved(before: &Rig, after: &Rig, drive: u64) -> f64 {
    let amp = JackRef::new(before.devices.last().unwrap().id, Jack::In);
    let frequencies = Sweep::audio().hz().iter().copied().filter(|hz| *hz <= 10e3).collect::<Vec<_>>();
    let of = |state: &State| {
        let [before, after] = [before, after].map(|rig| Netlist::of(rig, state, None));
        let level = |net: &Netlist, hz: f64| net.level_at_jack(amp, hz).expect("it sounds").db;
        frequencies.iter().map(|hz| (level(&before, *hz) - level(&after, *hz)).abs()).fold(0.0, f64::max)
    };
    of(&State::default()).max(of(&on(&[drive])))
}

/// The drive's 1 kΩ instead of the second buffer's 100 Ω on 6 m of lead: 0.01316 dB. [S: second-buffer]
#[test]
fn the_second_of_two() {
    let before = project(two_buffers());
    let finding = only(&before, rules::USELESS_BUFFER);
    assert_eq!(finding.text, "second changes nothing: 0.1 dB at most.");
    assert_eq!((finding.severity, finding.about.devices.as_slice()), (Severity::Know, [DeviceId(4)].as_slice()));
    let after = remedied(&before, &finding.remedies[0]);
    assert!(after.variants[0].rig.device(DeviceId(4)).is_none());
    assert!(of(&after, rules::USELESS_BUFFER).is_empty(), "the first is needed");
    // A tenth is how it is told; what is held against the player's limit is the change
    // itself, but for the loss of the lead that goes with the buffer, half a thousandth.
    let most = solved(&before.variants[0].rig, &after.variants[0].rig, 3);
    agrees(most, "0.01316");
    let within = |limit: f64| {
        let mut project = before.clone();
        project.limits.useless = Decibels::of(limit);
        of(&project, rules::USELESS_BUFFER).len()
    };
    assert_eq!((within(most + 1e-3), within(most - 1e-3)), (1, 0), "{most} dB");
}

#[test]
fn a_buffered_bypass_that_can_be_true() {
    let mut kind = unit(Bypass::Buffered, 1e6, 1e6, 1e3);
    let Kind::Pedal(pedal) = &mut kind else { unreachable!() };
    pedal.selectable = vec![Bypass::True, Bypass::Buffered];
    let rig = |first: Kind| {
        let kinds = vec![
            ("guitar", Kind::Guitar(SC.guitar())),
            ("first", first),
            ("reverb", kind.clone()),
            ("amp", amp(1e6, 0.0)),
        ];
        project(chain(kinds, &[5.0, 6.0, 6.0], &bare_cable()))
    };
    let before = rig(buffer(1e6, 100.0));
    let finding = only(&before, rules::USELESS_BUFFER);
    assert!(finding.text.starts_with("The buffered bypass of reverb changes nothing"), "{}", finding.text);
    assert!(of(&remedied(&before, &finding.remedies[0]), rules::USELESS_BUFFER).is_empty());
    // Behind a true-bypass unit it is what keeps the amp's lead off the guitar.
    assert!(of(&rig(true_bypass(20e-12)), rules::USELESS_BUFFER).is_empty());
}

/// A buffer that is set louder does something.
#[test]
fn the_limit_is_the_players() {
    let mut rig = two_buffers();
    let Kind::Buffer(second) = &mut rig.devices[3].kind else { unreachable!() };
    second.stage.level = Decibels::of(0.6);
    let mut louder = project(rig);
    assert!(of(&louder, rules::USELESS_BUFFER).is_empty());
    louder.limits.useless = Decibels::of(0.7);
    assert_eq!(only(&louder, rules::USELESS_BUFFER).text, "second changes nothing: 0.7 dB at most.");
}

/// The most that a fix changes at any endpoint in any state, up to 10 kHz.
fn by_brute_force(before: &Project, after: &Project, cache: &mut LineCache) -> f64 {
    let rig = |project: &Project| Arc::clone(&project.variants[0].rig);
    let ends = rig(before);
    let jacks = ends.devices.iter().flat_map(|device| device.kind.jacks().iter().map(move |jack| (device, *jack)));
    let mut most: f64 = 0.0;
    for (device, jack) in jacks.filter(|(device, jack)| device.kind.is_endpoint(*jack)) {
        let target = Target::Endpoint(JackRef::new(device.id, jack));
        let ask = |project: &Project, cache: &mut LineCache| {
            Brute::force(
                &Question { rig: rig(project), controls: project.state.clone(), target, unfed: Default::default() },
                cache,
            )
        };
        let (Some(before), Some(after)) = (ask(before, cache), ask(after, cache)) else { continue };
        assert_eq!(before.switches, after.switches);
        for (before, after) in before.levels.iter().zip(&after.levels) {
            let (Some(before), Some(after)) = (before, after) else { continue };
            most = before.iter().zip(after).map(|(before, after)| (before - after).abs()).fold(most, f64::max);
        }
    }
    most
}

/// In no state does any level change by more than is said, on random rigs with buffers in them.
#[test]
fn no_state_changes_by_more_than_is_said() {
    let mut cache = LineCache::new(Sweep::logarithmic(20.0, 10_000.0, 40));
    let (mut told, mut inside, mut heard) = (0, 0, 0);
    for seed in 40_000..41_200 {
        let mut case = healthy(seed, 4 + (seed % 7) as usize);
        case.point = None;
        // Buffers of the better sort, and bypasses that can be chosen.
        for device in &mut case.rig.devices {
            if let Kind::Buffer(buffer) = &mut device.kind {
                buffer.stage = crate::rigs::stage(1e6, 100.0);
            }
            if let Some(pedal) = device.kind.pedal_mut() {
                pedal.selectable = vec![Bypass::True, Bypass::Buffered];
                if seed % 2 == 0 {
                    (pedal.bypass, pedal.off) = (Bypass::Buffered, crate::rigs::stage(1e6, 100.0));
                }
            }
        }
        if switches(&case.rig).len() > 8 {
            continue;
        }
        let before = crate::laws::rigs::project(&case);
        for finding in of(&before, rules::USELESS_BUFFER) {
            let after = remedied(&before, &finding.remedies[0]);
            let most = by_brute_force(&before, &after, &mut cache);
            let said = number(&finding.text, "dB");
            // A patch lead that goes with a buffer counts as a plain capacitance.
            assert!(most <= said + 0.02, "seed {seed}: {most} dB, {finding:#?}");
            // Rounded up to a tenth, and no further, unless the input that changes most is one that no amp hears.
            heard += usize::from(most > said - 0.12);
            told += 1;
            inside += usize::from(finding.text.starts_with("The buffered"));
        }
    }
    assert!(told > 60 && inside > 30 && told > inside + 10 && 10 * heard > 9 * told, "{told} {inside} {heard}");
}

/// A switch that is found useless is one whose finding says which.
#[test]
fn several_are_told_to_go_one_at_a_time() {
    let kinds = vec![
        ("guitar", Kind::Guitar(SC.guitar())),
        ("first", buffer(1e6, 100.0)),
        ("second", buffer(1e6, 100.0)),
        ("third", buffer(1e6, 100.0)),
        ("amp", amp(1e6, 100e-12)),
    ];
    let all: Vec<Diagnosis> = of(&project(chain(kinds, &[5.0, 0.3, 0.3, 6.0], &real_cable())), rules::USELESS_BUFFER);
    assert!(all.len() > 1 && all.iter().all(|finding| finding.why.contains("one at a time")), "{all:#?}");
}
