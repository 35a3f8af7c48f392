//! Looking around: zoom, pan, panels. None of it changes the project.

use std::collections::BTreeSet;

use egui::{Event, Key, Modifiers, MouseWheelSource, MouseWheelUnit, Pos2, Rect, TouchPhase, vec2};

use crate::window::{Setup, Window};

fn width(window: &Window) -> f32 {
    window.device("Chorus").rect().width()
}

/// Turns the wheel over a place, away from the person.
fn wheel(window: &mut Window, at: Pos2, lines: f32) {
    window.harness.hover_at(at);
    window.harness.event(Event::MouseWheel {
        unit: MouseWheelUnit::Line,
        delta: vec2(0.0, lines),
        phase: TouchPhase::Move,
        source: MouseWheelSource::Wheel,
        modifiers: Modifiers::NONE,
    });
    window.run();
    for _ in 0..20 {
        window.harness.step();
    }
    window.harness.remove_cursor();
    window.run();
}

#[test]
fn the_keys_zoom_from_the_whole_rig_on() {
    let mut window = Window::demo();
    let fitted = width(&window);
    window.press(Key::Plus);
    assert!(width(&window) > 1.2 * fitted, "{} after {fitted}", width(&window));
    window.press(Key::Minus);
    window.press(Key::Minus);
    assert!(width(&window) < 0.9 * fitted);
    window.press(Key::F);
    assert!((width(&window) - fitted).abs() < 0.1);
    window.assert_idle();
}

#[test]
fn the_wheel_zooms_where_the_pointer_is() {
    let mut window = Window::demo();
    let (before, fitted) = (window.device("Chorus").rect().center(), width(&window));
    wheel(&mut window, before, 3.0);
    assert!(width(&window) > 1.05 * fitted);
    assert!(window.device("Chorus").rect().center().distance(before) < 3.0, "it stays under the pointer");
    window.assert_is(&rigwright_core::file::demo().unwrap());
    window.assert_idle();
}

#[test]
fn the_wheel_over_a_panel_leaves_the_drawing_alone() {
    let mut window = Window::demo();
    let before = window.device("Chorus").rect();
    let plot = window.from("Level plot ").rect().center();
    wheel(&mut window, plot, 3.0);
    window.click_device("Guitar");
    let field = window.named("Name of the device").rect().center();
    wheel(&mut window, field, -3.0);
    assert_eq!(window.device("Chorus").rect(), before);
}

#[test]
fn close_up_a_device_shows_its_values() {
    let mut window = Window::demo();
    window.click("Switch of Compressor");
    let compressor = window.device("Compressor").rect().center();
    let shown = |window: &Window| window.painted().iter().filter(|text| text.contains("470 kΩ")).count();
    assert_eq!(shown(&window), 0);
    for _ in 0..4 {
        wheel(&mut window, compressor, 4.0);
    }
    assert!(shown(&window) > 0, "{:?}", window.painted());
    window.assert_idle();
}

/// Selects every device in turn; the panels shall stay where they are.
fn furniture(size: [f32; 2]) {
    let mut window = Setup { size, ..Setup::demo() }.open();
    let plot = |window: &Window| window.from("Level plot ").rect();
    let before = plot(&window);
    let mut moved = Vec::new();
    let on_the_sheet = |device: &&rigwright_core::rig::Device| !device.kind.jacks().is_empty();
    for device in window.variant(0).rig.devices.iter().filter(on_the_sheet).map(|device| device.name.clone()) {
        window.click_device(&device);
        if plot(&window) != before {
            moved.push((device, plot(&window)));
        }
    }
    assert!(moved.is_empty(), "the plot was at {before}, and is with these selected at {moved:#?}");
}

#[test]
fn selecting_this_and_that_leaves_the_panels_where_they_are() {
    furniture([1440.0, 900.0]);
}

#[test]
fn in_a_small_window_too() {
    furniture([1024.0, 700.0]);
    furniture([800.0, 560.0]);
}

#[test]
fn panels_keep_their_places_whatever_there_is_to_say() {
    let mut window = Window::demo();
    let sheet = window.sheet();
    window.click("Switch of Compressor");
    assert_eq!(window.sheet(), sheet);
    // Many names in a row would push the drawing down.
    for device in ["Wah", "Mild drive", "Hard drive", "Fuzz", "Octave"] {
        window.click(&format!("Switch of {device}"));
    }
    assert_eq!(window.sheet(), sheet);
}

/// The names of the pages beside the plot.
const PAGES: [&str; 5] = ["Findings", "Figures", "Switches", "Sounds", "Compare"];

#[test]
fn the_pages_stand_on_one_line_where_there_is_room() {
    for (size, lines) in [([1440.0, 900.0], 1), ([1024.0, 700.0], 1), ([800.0, 560.0], 2)] {
        let mut window = Setup { size, ..Setup::demo() }.open();
        for page in PAGES {
            window.click(page);
            let tabs: Vec<Rect> = PAGES.iter().map(|page| window.named(page).rect()).collect();
            let tops: BTreeSet<i32> = tabs.iter().map(|tab| tab.top().round() as i32).collect();
            assert_eq!(tops.len(), lines, "{page} at {size:?}: {tabs:?}");
            for (at, tab) in tabs.iter().enumerate() {
                assert!(tab.right() <= size[0] - 20.0, "{page} at {size:?}: {tab:?} is cut off");
                assert!(!tabs[..at].iter().any(|other| other.intersects(*tab)), "{page} at {size:?}");
                // Wide enough to be hit, and told from the next.
                assert!(tab.height() >= 20.0 && tab.width() >= 50.0, "{tab:?}");
            }
        }
    }
}

/// In the lowest window that there is, every entry of the menu can be scrolled to.
#[test]
fn the_menu_scrolls_where_the_window_is_low() {
    let mut window = Setup { size: [800.0, 560.0], ..Setup::demo() }.open();
    window.click("Switch of Compressor");
    window.click("Rig");
    let height = window.harness.ctx.content_rect().height();
    assert!(window.named("Open the demo").rect().bottom() > height, "it is too long for this window");
    window.find_and_click(|window| window.named("Open the demo"));
    window.assert_says("Save your changes first?");
}
