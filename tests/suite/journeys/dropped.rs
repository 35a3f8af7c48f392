//! Files that are dropped on the window.

use rigwright_core::file;

use crate::window::{Setup, Window};

fn with_files() -> Window {
    let window = Setup::file("/rigs/pub.ron", file::DEMO_BYTES).open();
    window.host.put_file("/rigs/a.ron", file::BLANK_BYTES);
    window.host.put_file("/rigs/b.ron", file::DEMO_BYTES);
    window
}

#[test]
fn a_file_that_is_dropped_opens() {
    let mut window = with_files();
    window.drop_files(&["/rigs/a.ron"]);
    assert_eq!(window.project().title, "Untitled rig");
    assert!(!window.says("were dropped"));
    window.assert_idle();
}

#[test]
fn of_several_the_first_opens_and_that_is_said() {
    let mut window = with_files();
    window.drop_files(&["/rigs/a.ron", "/rigs/b.ron", "/rigs/c.ron"]);
    assert_eq!(window.project().title, "Untitled rig");
    window.assert_says("Of 3 files that were dropped “a.ron” is opened: one rig is open at a time.");
    window.drop_files(&["/rigs/b.ron"]);
    assert_eq!(window.project().title, "Pit rig, spring tour");
    assert!(!window.says("were dropped"));
}

#[test]
fn unsaved_work_is_asked_about_first() {
    let mut window = with_files();
    window.click("Switch of Compressor");
    let before = window.project();
    window.drop_files(&["/rigs/a.ron", "/rigs/b.ron"]);
    window.assert_says("Save your changes first?");
    window.assert_is(&before);
    // A second one doesn't take the question's place.
    window.drop_files(&["/rigs/b.ron"]);
    window.assert_says("A question is open: answer it, then drop the file once more.");
    window.click("Cancel");
    window.assert_is(&before);
    window.drop_files(&["/rigs/a.ron"]);
    window.click("Don't save");
    assert_eq!(window.project().title, "Untitled rig");
    assert!(!window.says("were dropped"), "that was another time");
}

#[test]
fn what_is_no_rig_is_told() {
    let mut window = with_files();
    window.host.put_file("/rigs/cat.jpg", [0xff, 0xd8, 0xff]);
    let before = window.project();
    window.drop_files(&["/rigs/cat.jpg"]);
    window.assert_says("“cat.jpg” can't be opened");
    window.assert_is(&before);
    window.drop_files(&["/rigs/gone.ron"]);
    window.assert_says("“gone.ron” can't be opened: there is no such file.");
}

#[test]
fn while_a_file_hangs_over_the_window_it_is_said_what_letting_go_does() {
    let mut window = with_files();
    let hovered = egui::HoveredFile { path: Some("/rigs/a.ron".into()), ..Default::default() };
    window.harness.input_mut().hovered_files.push(hovered);
    window.harness.step();
    window.assert_says("Let go to open “a.ron”.");
    window.harness.input_mut().hovered_files.clear();
    window.run();
    assert!(!window.says("Let go to open"));
}
