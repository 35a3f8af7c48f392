//! A desktop without file dialogs: the path is typed, and nothing is written over unasked.

use egui::Key;
use rigwright_core::file;

use crate::window::Window;

const FIELD: &str = "Path of the file";

#[test]
fn without_a_dialog_open_asks_for_the_path() {
    let mut window = Window::demo();
    window.host.put_file("/rigs/other.ron", file::BLANK_BYTES);
    window.command(Key::O);
    window.assert_says("Open which file?");
    assert!(window.named(FIELD).is_focused(), "it can be typed into at once");
    window.type_text("/rigs/other.ron");
    window.press(Key::Enter);
    assert_eq!(window.project().title, "Untitled rig");
    assert!(!window.has(FIELD));
    window.assert_idle();
}

#[test]
fn without_a_dialog_save_asks_for_the_path_and_before_replacing() {
    let mut window = Window::demo();
    window.click("Switch of Compressor");
    window.host.put_file("/rigs/old.ron", "precious");
    window.command(Key::S);
    window.assert_says("Save to which file?");
    assert!(window.value(FIELD).ends_with(".ron"), "a name to begin with");
    window.fill(FIELD, "/rigs/old.ron");
    window.assert_says("There is a file of that name");
    window.assert_says("Saving replaces /rigs/old.ron.");
    assert_eq!(window.file("/rigs/old.ron").unwrap(), "precious");
    window.click("Keep it");
    assert_eq!(window.file("/rigs/old.ron").unwrap(), "precious");
    window.assert_says("changed, not saved");

    window.command(Key::S);
    window.fill(FIELD, "/rigs/old.ron");
    window.click("Replace it");
    assert_eq!(window.file("/rigs/old.ron").unwrap(), file::write(&window.project()).unwrap());
    window.assert_says("saved 12:04");
    window.assert_idle();
}

#[test]
fn saving_to_its_own_file_by_path_asks_too_but_plain_save_does_not() {
    let mut window = Window::demo();
    window.menu("Save by typing a path");
    window.fill(FIELD, "/rigs/new.ron");
    window.click("Switch of Compressor");
    window.command(Key::S);
    assert!(!window.says("There is a file of that name"));
    assert_eq!(window.file("/rigs/new.ron").unwrap(), file::write(&window.project()).unwrap());
}

#[test]
fn an_empty_path_is_asked_for_again() {
    let mut window = Window::demo();
    window.menu("Open by typing its path");
    window.press(Key::Enter);
    window.assert_says("Type where the file is, such as rigs/pub.ron.");
    assert!(window.has(FIELD));
    window.click("Cancel");
    assert!(!window.has(FIELD));
    window.assert_idle();
}

#[test]
fn a_file_that_is_not_there_is_said_and_nothing_is_lost() {
    let mut window = Window::demo();
    let before = window.project();
    window.menu("Open by typing its path");
    window.type_text("/rigs/gone.ron");
    window.press(Key::Enter);
    window.assert_says("gone.ron");
    window.assert_says("there is no such file");
    window.assert_is(&before);
}

#[test]
fn save_and_go_works_without_dialogs() {
    let mut window = Window::demo();
    window.click("Switch of Compressor");
    let built = window.project();
    window.command(Key::N);
    window.click("Save");
    window.fill(FIELD, "/rigs/mine.ron");
    assert_eq!(window.project().title, "Untitled rig");
    assert_eq!(window.file("/rigs/mine.ron").unwrap(), file::write(&built).unwrap());

    // Backed out of, the new rig doesn't come later, with some other save.
    window.click("Insert a part on the lead from Guitar to Amp");
    window.type_text("buffer");
    window.press(Key::Enter);
    window.command(Key::N);
    window.click("Save");
    window.click("Cancel");
    window.menu("Save by typing a path");
    window.fill(FIELD, "/rigs/second.ron");
    assert_eq!(window.variant(0).rig.devices.len(), 3);
}
