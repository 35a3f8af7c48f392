//! The way out through the menu and the key.

use egui::{Key, ViewportCommand};
use rigwright_core::file;

use crate::window::{Setup, Window};

#[test]
fn the_key_for_closing_asks_the_desktop_to_close() {
    let mut window = Window::demo();
    window.press_with_told(egui::Modifiers::COMMAND, Key::Q, |told| {
        assert!(told.contains(&ViewportCommand::Close), "{told:?}");
    });
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
    assert_eq!(*window.project(), *before);
    assert!(!window.has("Find a part"));
    window.assert_says("Save your changes first?");
}

#[test]
fn the_window_is_named_after_the_rig_and_marks_what_is_not_saved() {
    let mut window = Window::demo();
    let title = |told: &[ViewportCommand]| {
        let titles = told.iter().filter_map(|command| match command {
            ViewportCommand::Title(title) => Some(title.clone()),
            _ => None,
        });
        titles.last()
    };
    let switch = window.named("Switch of Compressor").rect().center();
    window.harness.hover_at(switch);
    window.harness.drag_at(switch);
    window.harness.step();
    window.harness.drop_at(switch);
    window.harness.remove_cursor();
    let told = window.told();
    assert_eq!(title(&told).as_deref(), Some("• Pit rig, spring tour – Rigwright"));
    window.press_with_told(egui::Modifiers::COMMAND, Key::Z, |told| {
        assert_eq!(title(told).as_deref(), Some("Pit rig, spring tour – Rigwright"));
    });
}
