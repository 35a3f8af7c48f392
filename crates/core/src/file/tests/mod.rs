//! What is read and written.

mod refused;

use super::*;
use std::sync::Arc;

use crate::rig::{Control, DeviceId, Jack, KeptOrder, Kind, Knob, Place, Sound, SoundId, State, TestPoint};
use crate::units::{Decibels, Ohms, Turn};

fn blank_text() -> &'static str {
    std::str::from_utf8(BLANK_BYTES).unwrap()
}

/// The blank file with one thing in it changed.
fn changed(old: &str, new: &str) -> String {
    assert!(blank_text().contains(old), "the blank file has no {old}");
    blank_text().replacen(old, new, 1)
}

#[test]
fn the_blank_file_is_as_the_program_writes_it() {
    let blank = blank().unwrap();
    assert_eq!(write(&blank), blank_text());
    assert_eq!((blank.variants.len(), blank.next_id), (1, 5));
    let rig = &blank.variants[0].rig;
    assert!(crate::rig::problems(rig).is_empty());
    let Kind::Amp(amp) = &rig.devices[1].kind else { panic!("the second device is the amp") };
    assert_eq!(amp.grid.unwrap().stopper, Ohms::of(34e3));
}

#[test]
fn the_demo_opens_and_is_written_with_the_same_bytes_each_time() {
    let demo = demo().unwrap();
    let once = write(&demo);
    let again = read(once.as_bytes()).unwrap();
    assert_eq!(again, demo);
    assert_eq!(write(&again), once);
}

/// A file that the first version of the program saved, kept as it was.
const DEMO_V1: &[u8] = include_bytes!("../../../../../tests/files/demo-v1.ron");

#[test]
fn a_file_of_version_1_opens_as_what_it_was() {
    let text = std::str::from_utf8(DEMO_V1).unwrap();
    assert!(text.contains("version: 1,"));
    let old = read(DEMO_V1).unwrap();
    // What version 1 couldn't say is as it was understood then.
    assert_eq!(old.limits, crate::rig::Limits::default());
    for variant in &old.variants {
        assert!(variant.kept_orders.is_empty());
        assert!(variant.rig.devices.iter().all(|device| !device.stays_on));
    }
    // Saved now it is a file of today's version, and says the same.
    let saved = write(&old);
    assert!(saved.contains("version: 2,"));
    assert_eq!(read(saved.as_bytes()).unwrap(), old);
    assert_eq!((old.variants.len(), old.variants[0].rig.devices.len(), old.sounds.len()), (2, 17, 5));
    let refused = read(text.replacen("part: ", "stays_on: true, part: ", 1).as_bytes()).unwrap_err().to_string();
    assert!(refused.contains("stays_on"), "{refused}");
}

#[test]
fn a_full_project_comes_back_as_it_was() {
    let mut project = blank().unwrap();
    let mut variant = (*project.variants[0]).clone();
    variant.places.insert(DeviceId(2), Place { x: -12.5, y: 1e5 });
    project.variants = vec![variant.into()];
    project.notes = "two lines\nand a \"quote\", player's \\ own".to_owned();
    project.state.on.extend([DeviceId(2), DeviceId(1)]);
    let knob = |control| Knob { device: DeviceId(1), control };
    project.state.turned.insert(knob(Control::Tone), Turn::of(1.0 / 3.0));
    project.state.turned.insert(knob(Control::Volume), Turn::CLOSED);
    project.test_point = Some(TestPoint { lead: crate::rig::LeadId(3), along: Turn::of(0.5) });
    let state = State { on: [DeviceId(1)].into(), ..State::default() };
    project.sounds.push(Sound { id: SoundId(70), name: "clean".to_owned(), state, notes: "amp on 4".to_owned() });
    project.next_id = 71;
    let mut variant = (*project.variants[0]).clone();
    Arc::make_mut(&mut variant.rig).devices[1].stays_on = true;
    variant.kept_orders.insert(KeptOrder { before: DeviceId(1), behind: DeviceId(2) });
    project.variants = vec![variant.into()];
    project.limits.jump = Decibels::of(4.5);
    let text = write(&project);
    assert!(text.contains("\n            (device: 1, control: Tone, to: 0.3333333333333333),\n"), "{text}");
    assert_eq!(read(text.as_bytes()).unwrap(), project);
    assert_eq!(write(&read(text.as_bytes()).unwrap()), text);
}

#[test]
fn places_past_any_drawing_are_written_so_that_they_open() {
    let mut project = blank().unwrap();
    let mut variant = (*project.variants[0]).clone();
    variant.places.insert(DeviceId(1), Place { x: f64::NAN, y: f64::INFINITY });
    project.variants = vec![variant.into()];
    let back = read(write(&project).as_bytes()).unwrap();
    assert_eq!(back.variants[0].places[&DeviceId(1)], Place { x: 0.0, y: 1e6 });
}

#[test]
fn what_is_empty_may_be_left_out_and_the_next_id_is_lifted() {
    let text = "(version: 1, variants: [(id: 7, name: \"bare\")])";
    let project = read(text.as_bytes()).unwrap();
    assert_eq!((project.currency.as_str(), project.next_id), ("€", 8));
    assert!(project.variants[0].rig.devices.is_empty());
    for line in ["notes: \"\",", "test_point: None,", "places: [],", "state: (on: [], turned: []),"] {
        let out = changed(line, "").replace("next_id: 5,", "");
        assert_eq!(read(out.as_bytes()).unwrap(), blank().unwrap());
    }
}

#[test]
fn what_a_person_or_an_editor_may_write_differently_opens() {
    let same = [
        format!("\u{feff}{}", blank_text()),
        blank_text().replace('\n', "\r\n"),
        changed("(\n", "// my rig\nProject(\n").replace("id: 3,", "id: 3, /* the long one */"),
        changed("eddy_loss: 1e6", "eddy_loss: Some(1000000)"),
        // The version needn't come first to be found first.
        changed("version: 2,", "").replace("next_id: 5,", "next_id: 5, version: 2,"),
    ];
    for text in same {
        assert_eq!(read(text.as_bytes()).unwrap(), blank().unwrap(), "{text}");
    }
}

#[test]
fn one_device_in_two_variants_is_as_it_should_be() {
    let mut project = blank().unwrap();
    let mut copy = (*project.variants[0]).clone();
    copy.id = crate::rig::VariantId(5);
    project.variants.push(copy.into());
    assert_eq!(read(write(&project).as_bytes()).unwrap().next_id, 6);
}

#[test]
fn a_rig_that_cannot_work_opens_all_the_same() {
    let project = read(changed("device: 2, jack: In", "device: 99, jack: SecondIn").as_bytes()).unwrap();
    assert_eq!(project.variants[0].rig.leads[0].to.jack, Jack::SecondIn);
    assert!(!crate::rig::problems(&project.variants[0].rig).is_empty());
}

#[test]
fn no_slip_of_a_key_and_no_cut_does_more_than_be_refused() {
    for (at, _) in blank_text().char_indices() {
        let (before, after) = blank_text().split_at(at);
        let _ = read(before.as_bytes());
        let rest = after.chars().as_str().get(1..).unwrap_or_default();
        for slip in ["", "(", "]", "\"", "-", "#", "'", "\\", "e9"] {
            if let Ok(project) = read(format!("{before}{slip}{rest}").as_bytes()) {
                let text = write(&project);
                assert_eq!(write(&read(text.as_bytes()).unwrap()), text);
            }
        }
    }
}
