//! A drive that takes its time: an answer to a save belongs to the rig that was
//! saved, and nothing goes that isn't written yet.

use egui::{Key, ViewportCommand};
use rigwright::jobs::Pick;
use rigwright_core::file;

use super::settle;
use crate::window::{Setup, Window};

const STILL: &str = "Still saving";

/// A rig from a file, with one change that is being saved.
fn saving() -> Window {
    let mut window = Setup::file("/rigs/pub.ron", file::DEMO_BYTES).open();
    window.click("Switch of Compressor");
    window.host.hold_saves(true);
    window.command(Key::S);
    window.assert_says("pub.ron: saving…");
    window
}

fn let_it_save(window: &mut Window) {
    window.host.hold_saves(false);
    settle(window);
}

fn on_disk(window: &Window) -> String {
    window.file("/rigs/pub.ron").unwrap()
}

#[test]
fn a_late_answer_does_not_give_the_file_to_the_next_rig() {
    let mut window = saving();
    let sent = window.project();
    window.click("Switch of Wah");
    window.command(Key::N);
    window.click("Don't save");
    assert_eq!(window.project().title, "Untitled rig");
    let_it_save(&mut window);
    assert_eq!(on_disk(&window), file::write(&sent).unwrap());
    window.host.will_pick(Pick::Path("/rigs/new".into()));
    window.command(Key::S);
    assert_eq!(on_disk(&window), file::write(&sent).unwrap(), "the blank rig is no pub.ron");
    assert!(window.host.file("/rigs/new.ron").is_some());
    window.assert_idle();
}

#[test]
fn a_late_failure_after_another_rig_came_keeps_the_work() {
    let mut window = saving();
    let sent = window.project();
    window.click("Switch of Wah");
    window.command(Key::N);
    window.click("Don't save");
    window.host.fail_saves(Some("the disk is full"));
    let_it_save(&mut window);
    window.assert_says("“pub.ron” can't be saved in “/rigs”: the disk is full.");
    window.assert_says("Your changes to “pub.ron” that were set aside (Pit rig, spring tour)");
    window.host.fail_saves(None);
    window.click("Open it");
    window.assert_is(&sent);
    window.command(Key::S);
    assert_eq!(on_disk(&window), file::write(&sent).unwrap());
}

#[test]
fn what_is_being_saved_is_waited_for_and_then_it_goes_on() {
    let mut window = saving();
    let sent = window.project();
    window.command(Key::N);
    window.assert_says(STILL);
    window.assert_is(&sent);
    let_it_save(&mut window);
    assert_eq!(window.project().title, "Untitled rig");
    assert_eq!(on_disk(&window), file::write(&sent).unwrap());
    window.assert_idle();
}

#[test]
fn waiting_can_be_called_off_and_then_nothing_comes_later() {
    let mut window = saving();
    let sent = window.project();
    window.command(Key::N);
    window.click("Cancel");
    let_it_save(&mut window);
    window.assert_is(&sent);
    window.assert_says("pub.ron: saved 12:04");
    window.assert_idle();
}

#[test]
fn a_save_that_fails_while_something_waits_for_it_asks() {
    let mut window = saving();
    let sent = window.project();
    window.command(Key::N);
    window.host.fail_saves(Some("the disk is full"));
    let_it_save(&mut window);
    window.assert_is(&sent);
    assert!(!window.says(STILL));
    window.assert_says("Your changes aren't saved");
    window.host.fail_saves(None);
    window.click("Try again");
    assert_eq!(window.project().title, "Untitled rig", "and then it goes on");
    assert_eq!(on_disk(&window), file::write(&sent).unwrap());
}

#[test]
fn closing_waits_for_the_save() {
    let mut window = saving();
    let sent = window.project();
    assert!(!window.close());
    window.assert_says(STILL);
    window.host.hold_saves(false);
    let told = window.told();
    assert!(told.contains(&ViewportCommand::Close), "{told:?}");
    assert!(window.close());
    assert_eq!(on_disk(&window), file::write(&sent).unwrap());
    assert_eq!(window.host.kept(), None);
}

#[test]
fn closing_without_waiting_leaves_the_work_kept() {
    let mut window = saving();
    let sent = window.project();
    window.close();
    let told = window.click_told("Close without waiting");
    assert!(told.contains(&ViewportCommand::Close), "{told:?}");
    assert!(window.close());
    assert_eq!(window.host.kept().unwrap(), file::write(&sent).unwrap(), "the save may never be done");
    assert_eq!(window.host.kept_of().unwrap().path.unwrap(), std::path::Path::new("/rigs/pub.ron"));
}

#[test]
fn closing_waits_also_for_a_save_of_the_rig_before() {
    let mut window = saving();
    window.command(Key::N);
    window.click("Go on without waiting");
    assert_eq!(window.project().title, "Untitled rig");
    assert!(!window.close());
    window.assert_says(STILL);
    window.host.hold_saves(false);
    assert!(window.told().contains(&ViewportCommand::Close));
}

#[test]
fn a_window_that_closes_while_a_copy_is_being_saved_waits() {
    let mut window = Setup::file("/rigs/pub.ron", file::DEMO_BYTES).open();
    window.host.hold_saves(true);
    window.menu("Save by typing a path");
    window.fill("Path of the file", "/rigs/copy.ron");
    assert!(!window.close(), "nothing is changed, and yet the copy would be lost");
    window.assert_says(STILL);
}

#[test]
fn a_save_answered_after_more_changes_saves_just_what_was_sent() {
    let mut window = saving();
    let sent = window.project();
    window.click("Switch of Wah");
    window.assert_says("pub.ron: changed, not saved");
    let_it_save(&mut window);
    window.assert_says("pub.ron: changed, not saved");
    assert_eq!(on_disk(&window), file::write(&sent).unwrap());
    assert_eq!(window.host.kept().unwrap(), file::write(&window.project()).unwrap(), "what came after is kept");
    window.command(Key::S);
    assert_eq!(on_disk(&window), file::write(&window.project()).unwrap());
    window.assert_idle();
}

#[test]
fn two_saves_on_their_way_are_no_change_by_somebody_else() {
    let mut window = saving();
    window.click("Switch of Wah");
    window.command(Key::S);
    assert_eq!(window.host.saves_held(), 2);
    let_it_save(&mut window);
    window.assert_says("pub.ron: saved 12:04");
    assert_eq!(on_disk(&window), file::write(&window.project()).unwrap());
    window.assert_idle();
}

#[test]
fn a_save_that_was_overtaken_says_nothing_new() {
    let mut window = Window::demo();
    window.click("Switch of Compressor");
    window.host.hold_saves(true);
    for (path, switch) in [("/rigs/first.ron", "Switch of Wah"), ("/rigs/second.ron", "Switch of Tremolo")] {
        window.menu("Save by typing a path");
        window.fill("Path of the file", path);
        window.click(switch);
    }
    window.command(Key::Z);
    window.host.save_the_last();
    window.run();
    window.assert_says("second.ron: saved 12:04");
    let_it_save(&mut window);
    window.assert_says("second.ron: saved 12:04");
    let built = window.project();
    assert!(window.close(), "all is saved");
    assert_eq!(window.file("/rigs/second.ron").unwrap(), file::write(&built).unwrap());
}

#[test]
fn what_waits_for_a_save_does_not_go_with_an_earlier_one() {
    let mut window = saving();
    window.click("Switch of Wah");
    let built = window.project();
    window.command(Key::N);
    window.click("Save");
    assert_eq!(window.host.saves_held(), 2);
    window.assert_is(&built);
    let_it_save(&mut window);
    assert_eq!(window.project().title, "Untitled rig");
    assert_eq!(on_disk(&window), file::write(&built).unwrap());
    assert!(!window.says("Save your changes first?"));
}

#[test]
fn a_slow_drive_is_not_sent_the_same_twice() {
    let mut window = saving();
    window.command(Key::S);
    window.command(Key::S);
    assert_eq!(window.host.saves_held(), 1);
    let_it_save(&mut window);
    window.assert_says("pub.ron: saved 12:04");
}

#[test]
fn a_late_answer_that_somebody_changed_the_file_keeps_the_work() {
    let mut window = saving();
    let sent = window.project();
    window.command(Key::N);
    window.click("Go on without waiting");
    window.host.put_file("/rigs/pub.ron", file::DAISY_BYTES);
    let_it_save(&mut window);
    assert_eq!(window.host.file("/rigs/pub.ron").unwrap(), file::DAISY_BYTES);
    window.assert_says("“pub.ron” was changed by another window or program. It wasn't replaced by what you saved.");
    window.assert_says("Your changes to “pub.ron” that were set aside");
    assert_eq!(window.host.left(), [file::write(&sent).unwrap().into_bytes()]);
}
