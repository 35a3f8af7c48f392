//! The way out through the menu and the key.

use egui::{Key, ViewportCommand};
use rigwright_core::file;

use crate::window::{Setup, Window};

#[test]
fn the_key_for_closing_asks_the_desktop_to_close() {
    let mut window = Window::demo();
    let told = window.command_told(Key::Q);
    assert!(told.contains(&ViewportCommand::Close), "{told:?}");
    assert!(window.close());
}

#[test]
fn while_a_question_is_open_no_key_does_anything_behind_it() {
    let mut window = Setup::file("/rigs/pub.ron", file::DEMO_BYTES).open();
    window.click("Switch of Compressor");
    window.click_device("Wah");
    let before = window.project();
    window.close();
    window.assert_says("Save your changes first?");
    for key in [Key::Delete, Key::Space, Key::I, Key::T] {
        window.press(key);
    }
    window.command(Key::Z);
    window.assert_is(&before);
    assert!(!window.has("Find a part"));
    window.assert_says("Save your changes first?");
}

#[test]
fn the_window_is_named_after_the_rig_and_marks_what_is_not_saved() {
    let mut window = Window::demo();
    let titles = |told: Vec<ViewportCommand>| -> Vec<String> {
        let title = |command| if let ViewportCommand::Title(title) = command { Some(title) } else { None };
        told.into_iter().filter_map(title).collect()
    };
    let told = window.click_told("Switch of Compressor");
    assert_eq!(titles(told), ["• Pit rig, spring tour – Rigwright"]);
    let told = window.command_told(Key::Z);
    assert_eq!(titles(told), ["Pit rig, spring tour – Rigwright"]);
}
