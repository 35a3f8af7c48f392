//! Files that take their time to come: what was asked for last counts, and
//! nothing is asked twice.

use egui::Key;
use rigwright::jobs::Pick;
use rigwright_core::file;

use crate::window::{Setup, Window};

const QUESTION: &str = "Save your changes first?";

fn pub_and_other() -> Window {
    let window = Setup::file("/rigs/pub.ron", file::DEMO_BYTES).open();
    window.host.put_file("/rigs/other.ron", file::DAISY_BYTES);
    window.host.will_pick(Pick::Path("/rigs/other.ron".into()));
    window
}

fn other_title() -> String {
    file::few_on_a_daisy().unwrap().title
}

#[test]
fn after_dont_save_it_is_not_asked_again_when_the_file_comes() {
    let mut window = pub_and_other();
    window.click("Switch of Compressor");
    window.command(Key::O);
    window.click("Don't save");
    assert!(!window.says(QUESTION));
    assert_eq!(window.project().title, other_title());
    window.assert_idle();
}

#[test]
fn what_was_done_after_dont_save_is_asked_about() {
    let mut window = pub_and_other();
    window.click("Switch of Compressor");
    window.host.hold_loads(true);
    window.command(Key::O);
    window.click("Don't save");
    window.click("Switch of Wah");
    let built = window.project();
    window.host.hold_loads(false);
    window.run();
    window.assert_says(QUESTION);
    window.assert_is(&built);
    window.click("Cancel");
    window.assert_is(&built);
}

#[test]
fn dont_save_is_said_for_one_way_out_only() {
    let mut window = pub_and_other();
    window.click("Switch of Compressor");
    window.host.remove_file("/rigs/other.ron");
    window.command(Key::O);
    window.click("Don't save");
    window.assert_says("there is no such file");
    window.command(Key::N);
    window.assert_says(QUESTION);
    window.click("Cancel");
    assert!(!window.close());
    window.assert_says(QUESTION);
}

#[test]
fn dont_save_with_a_typed_path_is_not_asked_again_either() {
    let mut window = pub_and_other();
    window.click("Switch of Compressor");
    window.menu("Open by typing its path");
    window.click("Don't save");
    window.type_text("/rigs/other.ron");
    window.press(Key::Enter);
    assert!(!window.says(QUESTION));
    assert_eq!(window.project().title, other_title());
}

#[test]
fn a_late_file_of_an_earlier_question_does_not_come_over_a_new_rig() {
    let mut window = pub_and_other();
    window.host.hold_loads(true);
    window.command(Key::O);
    window.command(Key::N);
    assert_eq!(window.project().title, "Untitled rig");
    window.host.hold_loads(false);
    window.run();
    assert_eq!(window.project().title, "Untitled rig");
    window.assert_idle();
}

#[test]
fn a_file_that_takes_long_is_said_to_be_on_its_way_and_can_be_left_unopened() {
    let mut window = pub_and_other();
    let before = window.project();
    window.host.hold_loads(true);
    window.command(Key::O);
    assert!(!window.says("Opening"), "not at once");
    window.host.advance(0.5);
    window.run();
    window.assert_says("Opening “other.ron” …");
    window.click("Stop opening it");
    assert!(!window.says("Opening"));
    window.host.hold_loads(false);
    window.run();
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn of_two_files_that_are_asked_for_the_last_one_counts() {
    let mut window = pub_and_other();
    window.host.put_file("/rigs/last.ron", file::BLANK_BYTES);
    window.host.will_pick(Pick::Path("/rigs/last.ron".into()));
    window.host.hold_loads(true);
    window.command(Key::O);
    window.command(Key::O);
    window.host.hold_loads(false);
    window.run();
    assert_eq!(window.project().title, "Untitled rig");
    window.assert_says("last.ron");
}

#[test]
fn a_file_that_comes_while_something_is_asked_waits_for_the_answer() {
    let mut window = pub_and_other();
    window.host.hold_loads(true);
    window.command(Key::O);
    window.click("Switch of Compressor");
    let built = window.project();
    window.command(Key::N);
    window.assert_says("Going on without saving");
    window.host.hold_loads(false);
    window.run();
    window.assert_is(&built);
    window.click("Don't save");
    assert_eq!(window.project().title, "Untitled rig", "the question that was answered counts");
    window.run();
    assert_eq!(window.project().title, "Untitled rig");
}

#[test]
fn what_is_being_typed_when_a_file_comes_is_asked_about() {
    let mut window = pub_and_other();
    window.host.hold_loads(true);
    window.command(Key::O);
    window.focus("Title of the project");
    window.type_text("!");
    window.host.hold_loads(false);
    window.run();
    window.assert_says(QUESTION);
    assert!(window.project().title.contains('!'));
}

#[test]
fn a_typed_path_that_cannot_be_opened_can_be_typed_on() {
    let mut window = Window::demo();
    window.menu("Open by typing its path");
    window.type_text("/rigs/gone.ron");
    window.press(Key::Enter);
    window.assert_says("“gone.ron” can't be opened: there is no such file.");
    assert_eq!(window.value("Path of the file"), "/rigs/gone.ron");
    window.host.put_file("/rigs/here.ron", file::BLANK_BYTES);
    window.fill("Path of the file", "/rigs/here.ron");
    assert_eq!(window.project().title, "Untitled rig");
    window.assert_idle();
}
