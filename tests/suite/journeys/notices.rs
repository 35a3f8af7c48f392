//! What is only to know folds by itself; trouble stays until it is put away.

use std::time::Duration;

use egui::{Key, ViewportId};
use rigwright::jobs::Pick;

use crate::window::Window;

const WORD: &str = "Select a lead first; the test point goes there.";

/// A window that has said which lead it wants.
fn told() -> Window {
    let mut window = Window::demo();
    window.press(Key::T);
    window.assert_says(WORD);
    window
}

fn after(window: &mut Window, seconds: f64) {
    window.host.advance(seconds);
    window.run();
}

/// When the window wants its next frame.
fn delay(window: &Window) -> Duration {
    window.harness.output().viewport_output[&ViewportId::ROOT].repaint_delay
}

#[test]
fn what_is_only_to_know_folds_after_eight_seconds() {
    let mut window = told();
    after(&mut window, 7.5);
    window.assert_says(WORD);
    // The window comes back by itself, just when it is due.
    assert_eq!(delay(&window), Duration::from_millis(500));
    after(&mut window, 0.5);
    assert!(!window.says(WORD));
    assert_eq!(delay(&window), Duration::MAX);
}

#[test]
fn what_is_said_again_stands_as_long_again() {
    let mut window = told();
    after(&mut window, 7.5);
    window.press(Key::T);
    after(&mut window, 7.5);
    window.assert_says(WORD);
    after(&mut window, 0.5);
    assert!(!window.says(WORD));
}

#[test]
fn it_stays_while_it_is_pointed_at_or_its_button_has_the_keyboard() {
    let mut window = told();
    let words = window.named("Put this away").rect();
    window.harness.hover_at(words.left_center() - egui::vec2(30.0, 0.0));
    window.run();
    after(&mut window, 60.0);
    window.assert_says(WORD);
    window.harness.remove_cursor();
    window.run();
    window.focus("Put this away");
    after(&mut window, 60.0);
    window.assert_says(WORD);
    window.press(Key::Escape);
    after(&mut window, 7.5);
    window.assert_says(WORD);
    after(&mut window, 0.5);
    assert!(!window.says(WORD));
}

#[test]
fn trouble_stays_until_it_is_put_away() {
    let mut window = Window::demo();
    window.host.put_file("/rigs/wrong.ron", "dear diary");
    window.host.will_pick(Pick::Path("/rigs/wrong.ron".into()));
    window.command(Key::O);
    let trouble = "wrong.ron” can't be opened";
    window.assert_says(trouble);
    after(&mut window, 3600.0);
    window.assert_says(trouble);
    assert_eq!(delay(&window), Duration::MAX, "nothing moves while it stands");
    window.click("Put this away");
    assert!(!window.says(trouble));
}
