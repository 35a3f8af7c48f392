//! Two windows on one file, or another program at it: nobody's work is replaced unasked.

use egui::Key;
use rigwright::jobs::Pick;
use rigwright_core::file;

use super::settle;
use crate::window::{Setup, Window};

const QUESTION: &str = "Somebody else changed this file";
const CHANGED: &str = "“pub.ron” was changed by another window or program.";

fn opened() -> Window {
    Setup::file("/rigs/pub.ron", file::DEMO_BYTES).open()
}

/// A window with a change of its own, on a file that somebody else changed.
fn both_changed() -> Window {
    let mut window = opened();
    window.click("Switch of Compressor");
    window.host.put_file("/rigs/pub.ron", file::DAISY_BYTES);
    settle(&mut window);
    window
}

fn theirs() -> String {
    file::few_on_a_daisy().unwrap().title
}

fn on_disk(window: &Window) -> Vec<u8> {
    window.host.file("/rigs/pub.ron").unwrap()
}

#[test]
fn a_file_that_somebody_changed_is_opened_as_it_is_now_with_a_word() {
    let mut window = opened();
    window.host.put_file("/rigs/pub.ron", file::DAISY_BYTES);
    settle(&mut window);
    assert_eq!(window.project().title, theirs());
    window.assert_says(CHANGED);
    window.assert_says("It is opened as it is now.");
    window.click("Switch of Mild drive");
    window.command(Key::S);
    assert!(!window.says(QUESTION), "it is the one in hand now");
    assert_eq!(on_disk(&window), file::write(&window.project()).unwrap().into_bytes());
    window.assert_idle();
}

#[test]
fn with_changes_of_ones_own_it_is_said_at_once_and_asked_when_saving() {
    let mut window = both_changed();
    assert_eq!(window.project().title, "Pit rig, spring tour");
    window.assert_says(CHANGED);
    window.assert_says("Saving asks which to keep.");
    window.command(Key::S);
    window.assert_says(QUESTION);
    assert_eq!(on_disk(&window), file::DAISY_BYTES);
    window.click("Cancel");
    assert_eq!(on_disk(&window), file::DAISY_BYTES);
    window.assert_says("changed, not saved");
    window.assert_idle();
}

#[test]
fn mine_can_be_kept() {
    let mut window = both_changed();
    window.command(Key::S);
    window.click("Keep mine");
    assert_eq!(on_disk(&window), file::write(&window.project()).unwrap().into_bytes());
    window.assert_says("pub.ron: saved 12:04");
    window.assert_idle();
}

#[test]
fn keeping_mine_replaces_only_what_was_told_of() {
    let mut window = both_changed();
    window.command(Key::S);
    window.assert_says(QUESTION);
    window.host.put_file("/rigs/pub.ron", file::BLANK_BYTES);
    window.click("Keep mine");
    window.assert_says(QUESTION);
    assert_eq!(on_disk(&window), file::BLANK_BYTES);
}

#[test]
fn theirs_can_be_opened_and_mine_is_set_aside_and_not_lost() {
    let mut window = both_changed();
    let mine = window.project();
    window.command(Key::S);
    window.click("Open theirs");
    settle(&mut window);
    assert_eq!(window.project().title, theirs());
    assert!(!window.says("Save your changes first?"), "nothing more is asked");
    window.assert_says("Your changes to “pub.ron” that were set aside (Pit rig, spring tour), Tuesday 28 Nov 12:04.");
    assert_eq!(window.host.left(), [file::write(&mine).unwrap().into_bytes()], "a crash doesn't reach it");
    window.click("Open it");
    window.assert_is(&mine);
    window.command(Key::S);
    window.assert_says(QUESTION);
    window.assert_idle();
}

#[test]
fn if_theirs_cannot_be_read_mine_stays_in_hand() {
    let mut window = both_changed();
    let mine = window.project();
    window.command(Key::S);
    window.host.put_file("/rigs/pub.ron", "(version: 1, half a fi");
    window.click("Open theirs");
    settle(&mut window);
    window.assert_is(&mine);
    window.assert_says("“pub.ron” can't be opened: line 1");
    assert!(window.host.left().is_empty());
    assert!(window.host.kept().is_some());
}

#[test]
fn mine_can_be_saved_beside_theirs() {
    let mut window = both_changed();
    let mine = window.project();
    window.command(Key::N);
    window.click("Save");
    window.assert_says(QUESTION);
    window.host.will_pick(Pick::Path("/rigs/pub 2.ron".into()));
    window.click("Save beside");
    assert_eq!(window.host.suggested().unwrap(), "/rigs/pub 2.ron");
    assert_eq!(window.file("/rigs/pub 2.ron").unwrap(), file::write(&mine).unwrap());
    assert_eq!(on_disk(&window), file::DAISY_BYTES);
    assert_eq!(window.project().title, "Untitled rig", "and then it goes on");
}

#[test]
fn beside_works_without_dialogs_too() {
    let mut window = both_changed();
    window.command(Key::S);
    window.click("Save beside");
    assert_eq!(window.value("Path of the file"), "/rigs/pub 2.ron");
    window.press(Key::Enter);
    assert_eq!(window.file("/rigs/pub 2.ron").unwrap(), file::write(&window.project()).unwrap());
    window.assert_says("pub 2.ron: saved 12:04");
}

#[test]
fn a_change_that_was_not_noticed_is_found_when_saving() {
    let mut window = opened();
    window.click("Switch of Compressor");
    // The window has no keyboard, and so nothing is watched.
    window.harness.input_mut().focused = false;
    window.run();
    assert_eq!(window.host.watched(), None);
    window.host.put_file("/rigs/pub.ron", file::DAISY_BYTES);
    settle(&mut window);
    assert!(!window.says(CHANGED));
    window.click("Save");
    settle(&mut window);
    window.assert_says(QUESTION);
    assert_eq!(on_disk(&window), file::DAISY_BYTES);
}

#[test]
fn coming_back_to_the_window_looks_at_the_file() {
    let mut window = opened();
    window.harness.input_mut().focused = false;
    window.run();
    window.host.put_file("/rigs/pub.ron", file::DAISY_BYTES);
    settle(&mut window);
    assert_eq!(window.project().title, "Pit rig, spring tour");
    window.harness.input_mut().focused = true;
    settle(&mut window);
    assert_eq!(window.project().title, theirs());
    assert!(window.host.watched().is_some());
}

#[test]
fn what_was_put_away_is_not_said_again_on_coming_back() {
    let mut window = both_changed();
    window.click("Put this away");
    for focused in [false, true] {
        window.harness.input_mut().focused = focused;
        settle(&mut window);
    }
    assert!(!window.says(CHANGED));
    window.host.put_file("/rigs/pub.ron", file::BLANK_BYTES);
    settle(&mut window);
    window.assert_says(CHANGED);
}

#[test]
fn a_file_that_is_gone_is_made_anew_and_that_is_said() {
    let mut window = opened();
    window.host.remove_file("/rigs/pub.ron");
    window.run();
    window.assert_says("“pub.ron” is no longer there. Saving makes it anew.");
    assert!(!window.close(), "what is in hand is in no file");
    window.press(Key::Escape);
    window.command(Key::S);
    window.assert_says("“pub.ron” was gone, and is made anew.");
    assert_eq!(on_disk(&window), file::write(&window.project()).unwrap().into_bytes());
    window.assert_idle();
}

#[test]
fn a_file_that_was_gone_for_a_moment_is_as_if_nothing_had_been() {
    let mut window = opened();
    window.host.remove_file("/rigs/pub.ron");
    settle(&mut window);
    window.assert_says("pub.ron: changed, not saved");
    window.host.put_file("/rigs/pub.ron", file::DEMO_BYTES);
    settle(&mut window);
    assert!(!window.says("no longer there"));
    assert!(window.close());
}

#[test]
fn a_save_of_ones_own_is_no_news() {
    let mut window = opened();
    window.click("Switch of Compressor");
    window.command(Key::S);
    window.run();
    assert!(!window.says(CHANGED));
    window.assert_says("pub.ron: saved 12:04");
    window.command(Key::Z);
    assert_ne!(on_disk(&window), file::write(&window.project()).unwrap().into_bytes(), "and undo goes on behind it");
}

#[test]
fn the_same_rig_in_other_writing_is_no_news() {
    let mut window = opened();
    let mut text = file::DEMO_BYTES.to_vec();
    text.extend_from_slice(b"\n// a word of one's own\n");
    window.host.put_file("/rigs/pub.ron", text);
    settle(&mut window);
    assert!(!window.says(CHANGED));
    window.click("Switch of Compressor");
    window.command(Key::S);
    assert!(!window.says(QUESTION));
    window.assert_says("pub.ron: saved 12:04");
}

#[test]
fn a_file_that_is_half_written_leaves_what_is_on_the_screen() {
    let mut window = opened();
    let before = window.project();
    window.host.put_file("/rigs/pub.ron", &file::DEMO_BYTES[..200]);
    settle(&mut window);
    window.assert_is(&before);
    window.assert_says("It can't be read now: line");
    window.command(Key::S);
    window.assert_says(QUESTION);
}

#[test]
fn what_is_being_typed_is_not_taken_away() {
    let mut window = opened();
    window.focus("Title of the project");
    window.type_text("!");
    window.host.put_file("/rigs/pub.ron", file::DAISY_BYTES);
    settle(&mut window);
    window.press(Key::Enter);
    window.run();
    assert!(window.project().title.contains('!'), "{}", window.project().title);
    window.assert_says("Saving asks which to keep.");
}
