//! From a blank rig to a saved one of three units with the mouse unplugged.

use egui::{Key, Modifiers};
use rigwright::jobs::Pick;
use rigwright_core::file;

use super::chain;
use crate::window::Window;

/// Tab until something has the keyboard whose name begins like this.
#[track_caller]
fn tab_to(window: &mut Window, start: &str) {
    for _ in 0..120 {
        window.press(Key::Tab);
        if window.focused().is_some_and(|name| name.starts_with(start)) {
            return;
        }
    }
    panic!("Tab never comes to “{start}”");
}

#[test]
fn a_rig_of_three_units_is_drawn_and_saved_by_keys_alone() {
    let mut window = Window::demo();
    window.command(Key::N);
    assert_eq!(window.variant(0).rig.devices.len(), 2);
    tab_to(&mut window, "Guitar, 1 of 2");
    for part in ["tuner, true", "hard-clipping", "hall reverb"] {
        window.press(Key::I);
        window.type_text(part);
        window.press(Key::Enter);
    }
    let rig = &window.variant(0).rig;
    let names = chain(rig);
    assert_eq!((names.len(), names[0], names[1], names[4]), (5, "Guitar", "Tuner, true bypass", "Amp"));
    assert_eq!(names[3], "Hall reverb");
    // What was put in last is selected: its switch is stepped on, and it goes and comes back.
    window.press(Key::Space);
    assert!(super::is_on(&window.project(), super::device_id(&window.variant(0).rig, "Hall reverb")));
    window.press(Key::Delete);
    assert_eq!(window.variant(0).rig.devices.len(), 4);
    window.command(Key::Z);
    assert_eq!(window.variant(0).rig.devices.len(), 5);
    window.host.will_pick(Pick::Path("/rigs/first.ron".into()));
    window.command(Key::S);
    let saved = window.file("/rigs/first.ron").unwrap();
    assert_eq!(file::read(saved.as_bytes()).unwrap(), *window.project());
    window.assert_idle();
}

#[test]
fn what_has_the_keyboard_is_seen_also_late_in_the_order() {
    let mut window = Window::demo();
    let mut seen = std::collections::BTreeSet::new();
    for _ in 0..160 {
        window.press(Key::Tab);
        let Some(name) = window.focused() else { continue };
        if !seen.insert(name.clone()) {
            continue;
        }
        let rect = window.named_focus();
        let whole = window.harness.ctx.content_rect();
        assert!(whole.intersects(rect), "“{name}” has the keyboard at {rect:?}, out of sight");
    }
    assert!(seen.len() > 60, "only {} things have the keyboard", seen.len());
    // And back the same way.
    window.press_with(Modifiers::SHIFT, Key::Tab);
    assert!(window.focused().is_some());
}
