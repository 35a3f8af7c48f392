//! Files that can't be opened: the sentence says which, where and why, and nothing is lost.

use egui::Key;
use rigwright::jobs::Pick;
use rigwright_core::file;

use crate::window::{Setup, Window};

/// A window that tries to open a file with these bytes over work in hand.
fn opening(bytes: impl Into<Vec<u8>>) -> Window {
    let mut window = Window::demo();
    let before = window.project();
    window.host.put_file("/rigs/wrong.ron", bytes);
    window.host.will_pick(Pick::Path("/rigs/wrong.ron".into()));
    window.command(Key::O);
    window.assert_is(&before);
    window
}

#[test]
fn a_broken_file_is_named_with_line_and_column() {
    let text = String::from_utf8(file::DEMO_BYTES.to_vec()).unwrap();
    let broken = text.replacen("length: 6.0", "length: six", 1);
    let line = broken.lines().position(|line| line.contains("length: six")).unwrap() + 1;
    let column = broken.lines().nth(line - 1).unwrap().find("six").unwrap() + 1;
    let mut window = opening(broken);
    window.assert_says(&format!("wrong.ron” can't be opened: line {line}, column {column}"));
    window.click("Put this away");
    assert!(!window.says("wrong.ron"));
    window.assert_idle();
}

#[test]
fn a_newer_file_is_refused_as_newer() {
    let window = opening("(version: 99, sauce: [secret])");
    window.assert_says("wrong.ron” can't be opened: this file is from a newer Rigwright");
}

#[test]
fn other_files_are_refused_in_words() {
    opening("").assert_says("wrong.ron” can't be opened: this file is empty");
    opening(b"\x89PNG\xff\xfe".as_slice()).assert_says("this is no text");
    opening("dear diary").assert_says("wrong.ron” can't be opened: ");
}

#[test]
fn a_file_given_at_the_start_that_is_broken_leaves_the_demo() {
    let window = Setup::file("/rigs/wrong.ron", "(version: 2, nonsense: 3)").open();
    assert_eq!(window.project().title, "Pit rig, spring tour");
    window.assert_says("wrong.ron” can't be opened: line 1, column ");
}

#[test]
fn a_file_given_at_the_start_that_is_not_there_is_said_once() {
    let mut setup = Setup::demo();
    setup.start = rigwright::desk::Start::File("/rigs/gone.ron".into());
    let window = setup.open();
    let notices = window.texts_from("“gone.ron” can't be opened");
    assert_eq!(notices.len(), 1, "{:?}", window.texts());
    assert_eq!(notices[0].matches("can't be opened").count(), 1, "{notices:?}");
}

#[test]
fn a_recent_file_that_is_gone_leaves_the_list_for_good() {
    let setup = Setup::demo();
    setup.host.put_settings("(theme: \"dark\", recent: [\"/rigs/gone.ron\", \"/rigs/here.ron\"])");
    setup.host.put_file("/rigs/here.ron", file::BLANK_BYTES);
    let mut window = setup.open();
    window.menu("Open gone.ron");
    window.assert_says("there is no such file");
    window.menu("Open here.ron");
    assert_eq!(window.project().title, "Untitled rig");
    assert!(!window.host.settings().unwrap().contains("gone.ron"));
}

#[test]
fn a_drive_that_does_not_answer_keeps_its_recent_file() {
    let setup = Setup::demo();
    setup.host.put_settings("(recent: [\"/drive/tour.ron\"])");
    let mut window = setup.open();
    window.host.fail_loads(Some("the drive that it is on doesn't answer"));
    window.menu("Open tour.ron");
    window.assert_says("“tour.ron” can't be opened: the drive that it is on doesn't answer.");
    assert!(window.host.settings().unwrap().contains("/drive/tour.ron"));
    // Nor is it dropped since it holds something else by now.
    window.host.fail_loads(None);
    window.host.put_file("/drive/tour.ron", "dear diary");
    window.menu("Open tour.ron");
    assert!(window.host.settings().unwrap().contains("/drive/tour.ron"));
    window.assert_idle();
}
