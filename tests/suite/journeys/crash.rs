//! A kill at any moment loses at most the last seconds.

use egui::Key;
use rigwright_core::file;

use crate::window::{Setup, Window};

const STRIP: &str = "An earlier session ended without saving its work.";

fn left_behind() -> String {
    let mut project = file::demo().unwrap();
    project.title = "Rescued".to_owned();
    file::write(&project).unwrap()
}

fn after_a_crash() -> Window {
    let setup = Setup::demo();
    setup.host.put_left(left_behind());
    setup.open()
}

#[test]
fn every_change_is_kept_within_two_seconds() {
    let mut window = Window::demo();
    assert_eq!(window.host.kept(), None, "nothing is changed yet");
    window.click("Switch of Compressor");
    assert_eq!(window.host.kept().unwrap(), file::write(&window.project()).unwrap());
    let first = window.host.kept();
    window.host.advance(0.5);
    window.click("Switch of Wah");
    assert_eq!(window.host.kept(), first, "not on every frame");
    window.host.advance(1.5);
    window.run();
    assert_eq!(window.host.kept().unwrap(), file::write(&window.project()).unwrap());
    window.assert_idle();
}

#[test]
fn a_drag_of_a_knob_writes_now_and_then_and_ends_kept() {
    let mut window = Window::demo();
    window.click_device("Guitar");
    let slider = window.slider("volume").rect();
    window.drag(slider.right_center() - egui::vec2(8.0, 0.0), slider.center());
    window.host.advance(2.0);
    window.run();
    assert_eq!(window.host.kept().unwrap(), file::write(&window.project()).unwrap());
}

#[test]
fn what_is_saved_is_no_longer_kept() {
    let mut window = Setup::file("/rigs/pub.ron", file::DEMO_BYTES).open();
    window.click("Switch of Compressor");
    assert!(window.host.kept().is_some());
    window.command(Key::S);
    assert_eq!(window.host.kept(), None);
}

#[test]
fn what_a_crash_left_is_offered_and_opens_as_unsaved() {
    let mut window = after_a_crash();
    window.assert_says(STRIP);
    window.click("Open what it left");
    assert_eq!(file::write(&window.project()).unwrap(), left_behind());
    assert!(!window.says(STRIP));
    window.assert_says("Save it if you want to keep it");
    assert_eq!(window.host.kept().unwrap(), left_behind(), "a second crash loses nothing");
    assert_eq!(window.host.left(), None, "and it is not offered twice");
    assert!(!window.close(), "it is in no file yet, so closing asks");
    window.assert_says("Save your changes first?");
    window.press(Key::Escape);
    window.assert_idle();
}

#[test]
fn turned_down_it_is_gone() {
    let mut window = after_a_crash();
    window.click("Drop it");
    assert!(!window.says(STRIP));
    assert_eq!(window.host.left(), None);
    assert_eq!(window.project().title, "Pit rig, spring tour");
    window.assert_idle();
}

#[test]
fn not_answered_it_is_offered_again_at_the_next_start() {
    let mut window = after_a_crash();
    assert!(window.close());
    assert!(window.host.left().is_some());
}

#[test]
fn what_cannot_be_read_says_so_and_keeps_the_work_in_hand() {
    let setup = Setup::demo();
    setup.host.put_left("(version: 1, half a fi");
    let mut window = setup.open();
    window.click("Open what it left");
    window.assert_says("What an earlier session left can't be read: line 1");
    assert_eq!(window.project().title, "Pit rig, spring tour");
    window.click("Drop it");
    assert!(!window.says(STRIP));
}

#[test]
fn opening_what_was_left_asks_about_unsaved_work_first() {
    let mut window = after_a_crash();
    window.click("Switch of Compressor");
    window.click("Open what it left");
    window.assert_says("Save your changes first?");
    window.click("Don't save");
    assert_eq!(window.project().title, "Rescued");
}
