//! A kill at any moment loses at most the last seconds.

use egui::Key;
use rigwright::jobs::{Content, LeftStatus, Origin};
use rigwright_core::file;

use super::settle;
use crate::window::{Setup, Window};

const STRIP: &str = "Unsaved work";

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
    window.click("Open it");
    assert_eq!(file::write(&window.project()).unwrap(), left_behind());
    assert!(!window.says(STRIP));
    window.assert_says("Save it if you want to keep it");
    assert_eq!(window.host.kept().unwrap(), left_behind(), "a second crash loses nothing");
    assert_eq!(window.host.left(), Vec::<Vec<u8>>::new(), "and it is not offered twice");
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
    assert_eq!(window.host.left(), Vec::<Vec<u8>>::new());
    assert_eq!(window.project().title, "Pit rig, spring tour");
    window.assert_idle();
}

#[test]
fn not_answered_it_is_offered_again_at_the_next_start() {
    let mut window = after_a_crash();
    assert!(window.close());
    assert_eq!(window.host.left().len(), 1);
}

#[test]
fn what_cannot_be_read_says_so_and_keeps_the_work_in_hand() {
    let setup = Setup::demo();
    setup.host.put_left("(version: 1, half a fi");
    let mut window = setup.open();
    window.click("Open it");
    window.assert_says("What an earlier session left can't be read: line 1");
    assert_eq!(window.project().title, "Pit rig, spring tour");
    window.click("Drop it");
    assert!(!window.says(STRIP));
}

#[test]
fn opening_what_was_left_asks_about_unsaved_work_first() {
    let mut window = after_a_crash();
    window.click("Switch of Compressor");
    window.click("Open it");
    window.assert_says("Save your changes first?");
    window.click("Don't save");
    assert_eq!(window.project().title, "Rescued");
}

/// Work on a file that was opened as the demo.
fn of_a_file() -> Origin {
    let base = Some(Content::of(file::DEMO_BYTES));
    Origin { title: "Rescued".to_owned(), path: Some("/rigs/pub.ron".into()), base }
}

fn after_a_crash_on_a_file(on_disk: &[u8]) -> Window {
    let setup = Setup::demo();
    setup.host.put_file("/rigs/pub.ron", on_disk);
    setup.host.put_left_of(of_a_file(), LeftStatus::Unsaved, left_behind());
    setup.open()
}

#[test]
fn it_is_said_of_which_file_and_rig_it_is_and_since_when() {
    let mut window = after_a_crash_on_a_file(file::DEMO_BYTES);
    window.assert_says("Unsaved work on “pub.ron” (Rescued), Tuesday 28 Nov 12:04.");
    window.click("Open it");
    window.assert_says("This is unsaved work on “pub.ron”. Save it if you want to keep it.");
    window.assert_says("pub.ron: changed, not saved");
    window.command(Key::S);
    assert_eq!(window.file("/rigs/pub.ron").unwrap(), left_behind(), "saving goes to its file unasked");
    assert_eq!(window.host.kept(), None);
    window.assert_idle();
}

#[test]
fn before_it_goes_into_a_file_that_was_changed_since_it_is_asked_once() {
    let mut window = after_a_crash_on_a_file(file::BLANK_BYTES);
    window.click("Open it");
    settle(&mut window);
    window.assert_says("“pub.ron” was changed by another window or program. Saving asks which to keep.");
    window.command(Key::S);
    window.assert_says("Somebody else changed this file");
    assert_eq!(window.host.file("/rigs/pub.ron").unwrap(), file::BLANK_BYTES);
    window.click("Keep mine");
    assert_eq!(window.file("/rigs/pub.ron").unwrap(), left_behind());
    window.click("Switch of Compressor");
    window.command(Key::S);
    assert_eq!(window.file("/rigs/pub.ron").unwrap(), file::write(&window.project()).unwrap(), "once");
    window.assert_idle();
}

#[test]
fn what_is_kept_says_where_it_belongs() {
    let mut window = Setup::file("/rigs/pub.ron", file::DEMO_BYTES).open();
    window.click("Switch of Compressor");
    let kept = window.host.kept_of().unwrap();
    assert_eq!(kept, Origin { title: "Pit rig, spring tour".to_owned(), ..of_a_file() });
}

#[test]
fn all_that_was_left_is_offered_and_answered_one_by_one() {
    let setup = Setup::demo();
    for (name, title) in [("a", "First"), ("b", "Second"), ("c", "Third"), ("d", "Fourth")] {
        let mut project = file::demo().unwrap();
        project.title = title.to_owned();
        let origin = Origin { title: title.to_owned(), path: Some(format!("/rigs/{name}.ron").into()), base: None };
        setup.host.put_left_of(origin, LeftStatus::Unsaved, file::write(&project).unwrap());
    }
    let mut window = setup.open();
    window.assert_says("Unsaved work on “a.ron” (First)");
    window.assert_says("There is more: 3 of 4 are shown.");
    assert!(!window.says("d.ron"));
    window.click("Drop it, 1 of 4");
    window.assert_says("Unsaved work on “d.ron” (Fourth)");
    window.click("Open it, 2 of 3");
    assert_eq!(window.project().title, "Third");
    assert_eq!(window.host.left().len(), 2);
    window.assert_says("Unsaved work on “b.ron” (Second)");
    window.assert_says("Unsaved work on “d.ron” (Fourth)");
    window.assert_idle();
}

#[test]
fn in_a_low_window_it_is_offered_one_by_one_and_the_rig_keeps_its_room() {
    let setup = Setup { size: [800.0, 560.0], ..Setup::demo() };
    for name in ["a", "b"] {
        let origin = Origin { title: name.to_owned(), path: Some(format!("/rigs/{name}.ron").into()), base: None };
        setup.host.put_left_of(origin, LeftStatus::Unsaved, left_behind());
    }
    let mut window = setup.open();
    window.assert_says("There is more: 1 of 2 are shown.");
    let sheet = window.from("Sheet with the rig").rect();
    assert!(sheet.height() > 100.0, "the sheet is {sheet:?}");
    window.click("Drop it, 1 of 2");
    window.assert_says("Unsaved work on “b.ron”");
}

#[test]
fn work_that_is_older_than_its_file_is_not_called_unsaved() {
    let setup = Setup::demo();
    setup.host.put_left_of(of_a_file(), LeftStatus::FileIsNewer, left_behind());
    let window = setup.open();
    assert!(!window.says(STRIP));
    window.assert_says("Older work on “pub.ron” (Rescued), Tuesday 28 Nov 12:04; that file was changed later.");
}
