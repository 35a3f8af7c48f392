//! The guitar's knobs: one turn is one step, however many frames it takes.

use egui::{Key, vec2};
use rigwright_core::rig::{Control, Knob};

use super::{device_id, peak_lines, shown_peaks};
use crate::window::Window;

fn volume(window: &Window) -> f64 {
    let guitar = device_id(&window.variant(0).rig, "Guitar");
    window.project().state.turn(guitar, Control::Volume).get()
}

#[test]
fn a_slider_dragged_over_many_frames_is_one_step_of_undo() {
    let mut window = Window::demo();
    window.click_device("Guitar");
    let before = window.project();
    let slider = window.slider("volume").rect();
    window.drag(slider.right_center() - vec2(8.0, 0.0), slider.center());
    let halfway = volume(&window);
    assert!((0.2..0.8).contains(&halfway), "{halfway}");
    assert_eq!(window.project().variants, before.variants);
    let slider = window.slider("volume").rect();
    window.drag(slider.center(), slider.left_center() + vec2(20.0, 0.0));
    assert!(volume(&window) < halfway);

    window.command(Key::Z);
    assert_eq!(volume(&window), halfway, "two drags are two steps");
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn volume_at_zero_is_silence_in_words() {
    let mut window = Window::demo();
    window.click("Figures");
    window.click_device("Guitar");
    let slider = window.slider("volume").rect();
    window.drag(slider.right_center() - vec2(8.0, 0.0), slider.left_center() - vec2(30.0, 0.0));
    assert_eq!(volume(&window), 0.0);
    window.assert_says("Guitar volume at 0 %");
    // A click on free sheet selects nothing, and the figures come back.
    let free = window.sheet().left_bottom() + vec2(60.0, -30.0);
    window.click_at(free);
    assert_eq!(window.texts_from("No peak: "), ["No peak: nothing comes through"; 2]);
    assert_eq!(window.texts_from("No 3 dB point: "), ["No 3 dB point: nothing comes through"; 2]);
    assert!(window.texts_from("Level plot ")[0].contains("no peak, nothing comes through"));
    assert!(!window.says("NaN") && !window.says("inf"));
    window.assert_idle();
}

#[test]
fn the_arrow_keys_turn_a_knob_too() {
    let mut window = Window::demo();
    window.click_device("Guitar");
    window.slider("volume").focus();
    window.run();
    for _ in 0..5 {
        window.press(Key::ArrowLeft);
    }
    assert!(volume(&window) < 1.0);
    let guitar = device_id(&window.variant(0).rig, "Guitar");
    for _ in 0..60 {
        window.press(Key::ArrowRight);
    }
    let knob = Knob { device: guitar, control: Control::Volume };
    assert!(!window.project().state.turned.contains_key(&knob), "full up is not listed");
    assert!(window.slider("volume").is_focused());
}

#[test]
fn the_tone_knob_moves_the_figures() {
    let mut window = Window::demo();
    window.click("Figures");
    let before = peak_lines(&window.project());
    window.click_device("Guitar");
    let slider = window.slider("tone").rect();
    window.drag(slider.right_center() - vec2(8.0, 0.0), slider.left_center() + vec2(8.0, 0.0));
    let free = window.sheet().left_bottom() + vec2(60.0, -30.0);
    window.click_at(free);
    let after = peak_lines(&window.project());
    assert_ne!(after, before);
    assert_eq!(shown_peaks(&window), after);
}
