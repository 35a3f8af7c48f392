//! A save that fails: what was asked and typed is still there, the folder is
//! named, and so is the way out.

use egui::Key;
use rigwright::jobs::Pick;
use rigwright_core::file;

use crate::window::{Setup, Window};

const FIELD: &str = "Path of the file";
const QUESTION: &str = "Your changes aren't saved";

fn failing() -> Window {
    let mut window = Setup::file("/rigs/pub.ron", file::DEMO_BYTES).open();
    window.click("Switch of Compressor");
    window.host.fail_saves(Some("the disk is full"));
    window
}

#[test]
fn a_typed_path_is_still_there_with_what_is_wrong() {
    let mut window = Window::demo();
    window.click("Switch of Compressor");
    window.host.fail_saves(Some("that folder isn't there"));
    window.command(Key::S);
    window.fill(FIELD, "/gone/pit.ron");
    window.assert_says("“pit.ron” can't be saved in “/gone”: that folder isn't there. Choose another place.");
    assert_eq!(window.value(FIELD), "/gone/pit.ron");
    window.host.fail_saves(None);
    window.fill(FIELD, "/rigs/pit.ron");
    assert_eq!(window.file("/rigs/pit.ron").unwrap(), file::write(&window.project()).unwrap());
    assert!(!window.has(FIELD));
    window.assert_idle();
}

#[test]
fn a_save_that_fails_can_be_tried_again() {
    let mut window = failing();
    window.command(Key::S);
    window.assert_says(QUESTION);
    window.assert_says("“pub.ron” can't be saved in “/rigs”: the disk is full.");
    window.click("Try again");
    window.assert_says(QUESTION);
    window.host.fail_saves(None);
    window.click("Try again");
    assert!(!window.says(QUESTION));
    assert_eq!(window.file("/rigs/pub.ron").unwrap(), file::write(&window.project()).unwrap());
    window.assert_idle();
}

#[test]
fn another_place_can_be_chosen_and_then_it_goes_on() {
    let mut window = failing();
    let built = window.project();
    window.command(Key::N);
    window.click("Save");
    window.assert_says(QUESTION);
    window.host.fail_saves(None);
    window.host.will_pick(Pick::Path("/stick/pub.ron".into()));
    window.click("Choose another place");
    assert_eq!(window.file("/stick/pub.ron").unwrap(), file::write(&built).unwrap());
    assert_eq!(window.project().title, "Untitled rig");
    assert_eq!(window.host.file("/rigs/pub.ron").unwrap(), file::DEMO_BYTES);
    window.assert_idle();
}

#[test]
fn called_off_the_trouble_stays_said_and_nothing_goes_on_later() {
    let mut window = failing();
    let built = window.project();
    window.command(Key::N);
    window.click("Save");
    window.click("Cancel");
    window.assert_says("“pub.ron” can't be saved in “/rigs”: the disk is full.");
    window.host.fail_saves(None);
    window.command(Key::S);
    window.assert_is(&built);
    assert!(!window.says("the disk is full"));
    window.assert_idle();
}

#[test]
fn without_saving_it_can_go_on_all_the_same() {
    let mut window = failing();
    window.command(Key::N);
    window.click("Save");
    window.click("Don't save");
    assert_eq!(window.project().title, "Untitled rig");
    assert!(!window.says("Don't save"));
    window.assert_idle();
}

#[test]
fn the_bar_keeps_the_name_of_the_file() {
    let mut window = Setup::file("/rigs/pub.ron", file::DEMO_BYTES).open();
    window.assert_says("pub.ron");
    window.click("Switch of Compressor");
    window.assert_says("pub.ron: changed, not saved");
    window.command(Key::S);
    window.assert_says("pub.ron: saved 12:04");
    window.command(Key::N);
    assert!(!window.says("pub.ron"));
}
