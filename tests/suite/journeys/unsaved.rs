//! Unsaved work: every way out asks first, and every answer does what it says.

use egui::{Key, ViewportCommand};
use rigwright::jobs::Pick;
use rigwright_core::file;

use crate::window::{Setup, Window};

const QUESTION: &str = "Save your changes first?";

/// A rig from a file, with one change in it.
fn changed() -> Window {
    let mut window = Setup::file("/rigs/pub.ron", file::DEMO_BYTES).open();
    window.click("Switch of Compressor");
    window.assert_says("changed, not saved");
    window
}

fn saved(window: &Window) -> bool {
    window.file("/rigs/pub.ron").unwrap() == file::write(&window.project()).unwrap()
}

#[test]
fn closing_with_unsaved_work_asks_and_cancel_stays() {
    let mut window = changed();
    let before = window.project();
    assert!(!window.close());
    window.assert_says(QUESTION);
    window.assert_says("Closing without saving loses what you changed in “Pit rig, spring tour”.");
    window.click("Cancel");
    assert!(!window.says(QUESTION));
    window.assert_is(&before);
    assert!(!saved(&window));
    assert!(!window.close(), "it asks again");
    window.press(Key::Escape);
    assert!(!window.says(QUESTION), "Escape cancels");
    window.assert_idle();
}

#[test]
fn closing_with_save_saves_and_then_closes() {
    let mut window = changed();
    window.close();
    let built = window.project();
    let told = window.click_told("Save");
    assert!(told.contains(&ViewportCommand::Close), "{told:?}");
    assert_eq!(window.file("/rigs/pub.ron").unwrap(), file::write(&built).unwrap());
    assert!(window.close(), "the desktop's own close goes through");
    assert_eq!(window.host.kept(), None, "nothing is left to recover");
}

#[test]
fn closing_without_saving_closes_and_leaves_the_file_alone() {
    let mut window = changed();
    window.close();
    window.click("Don't save");
    assert!(window.close());
    assert_eq!(window.host.file("/rigs/pub.ron").unwrap(), file::DEMO_BYTES);
    assert_eq!(window.host.kept(), None);
}

#[test]
fn closing_with_nothing_unsaved_asks_nothing() {
    let mut window = Setup::file("/rigs/pub.ron", file::DEMO_BYTES).open();
    assert!(window.close());
    assert!(!window.says(QUESTION));
    let mut window = changed();
    window.command(Key::S);
    assert!(window.close());
    let mut window = changed();
    window.command(Key::Z);
    assert!(window.close(), "undone to what is saved is nothing to lose");
}

#[test]
fn new_asks_and_does_what_is_answered() {
    let mut window = changed();
    window.command(Key::N);
    window.assert_says("Going on without saving loses what you changed");
    window.click("Cancel");
    assert_eq!(window.project().title, "Pit rig, spring tour");
    window.command(Key::N);
    window.click("Don't save");
    assert_eq!(window.project().title, "Untitled rig");
    assert_eq!(window.host.file("/rigs/pub.ron").unwrap(), file::DEMO_BYTES);
    window.command(Key::Z);
    assert_eq!(window.project().title, "Untitled rig", "undo doesn't reach into another file");

    let mut window = changed();
    let built = window.project();
    window.command(Key::N);
    window.click("Save");
    assert_eq!(window.project().title, "Untitled rig");
    assert_eq!(window.file("/rigs/pub.ron").unwrap(), file::write(&built).unwrap());
    window.assert_idle();
}

#[test]
fn open_asks_and_then_asks_which() {
    let mut window = changed();
    window.host.put_file("/rigs/other.ron", file::BLANK_BYTES);
    window.command(Key::O);
    window.assert_says(QUESTION);
    window.host.will_pick(Pick::Cancelled);
    window.click("Don't save");
    assert_eq!(window.project().title, "Pit rig, spring tour", "no file was picked");
    window.assert_says("changed, not saved");
    window.command(Key::O);
    window.host.will_pick(Pick::Path("/rigs/other.ron".into()));
    window.click("Save");
    assert_eq!(window.project().title, "Untitled rig");
    window.assert_idle();
}

#[test]
fn save_of_what_has_no_file_yet_asks_where_and_then_goes_on() {
    let mut window = Window::demo();
    window.click("Switch of Compressor");
    let built = window.project();
    window.command(Key::N);
    window.host.will_pick(Pick::Cancelled);
    window.click("Save");
    window.assert_is(&built); // not saved, so nothing goes
    window.command(Key::N);
    window.host.will_pick(Pick::Path("/rigs/mine".into()));
    window.click("Save");
    assert_eq!(window.project().title, "Untitled rig");
    assert_eq!(window.file("/rigs/mine.ron").unwrap(), file::write(&built).unwrap());
}

#[test]
fn a_save_that_fails_keeps_the_project_and_says_why() {
    let mut window = changed();
    let built = window.project();
    window.host.fail_saves(Some("the disk is full"));
    window.command(Key::N);
    window.click("Save");
    window.assert_is(&built);
    window.assert_says("“pub.ron” can't be saved in “/rigs”: the disk is full.");
    window.assert_says("changed, not saved");
    assert_eq!(window.host.file("/rigs/pub.ron").unwrap(), file::DEMO_BYTES);
    assert!(window.host.kept().is_some(), "it stays kept against a crash");

    window.close();
    window.click("Save");
    assert!(!window.close(), "what isn't saved still asks");
    window.press(Key::Escape);
    window.host.fail_saves(None);
    window.command(Key::S);
    assert!(saved(&window));
    assert!(!window.says("is not saved"), "the trouble is over and its sentence gone");
    window.assert_idle();
}

#[test]
fn what_is_done_while_a_file_is_on_its_way_is_not_lost() {
    let mut window = Setup::file("/rigs/pub.ron", file::DEMO_BYTES).open();
    window.host.put_file("/rigs/other.ron", file::BLANK_BYTES);
    window.host.will_pick(Pick::Path("/rigs/other.ron".into()));
    window.host.hold(true);
    window.command(Key::O);
    window.click("Switch of Compressor");
    let built = window.project();
    window.host.hold(false);
    window.run();
    window.run();
    assert!(window.says(QUESTION) || *window.project() == *built, "the change is gone unasked");
}

#[test]
fn a_change_while_saving_stays_unsaved() {
    let mut window = changed();
    window.host.hold(true);
    window.command(Key::S);
    let sent = window.project();
    window.click("Switch of Wah");
    window.host.hold(false);
    window.run();
    window.assert_says("changed, not saved");
    assert_eq!(window.file("/rigs/pub.ron").unwrap(), file::write(&sent).unwrap());
    assert!(!window.close());
}
