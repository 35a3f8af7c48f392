//! The plot with more than one rig or sound in it, and what is compared.

use egui::{Key, Modifiers, vec2};

use crate::journeys::four_variants;
use crate::pictures::{both, demo, own};
use crate::window::Setup;

#[test]
fn six_variants_and_the_level_under_the_pointer() {
    both("variants", demo, |window| {
        for _ in 0..4 {
            window.press_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::D);
            let unit = window.variant(0).rig.devices[window.project().variants.len() + 2].name.clone();
            window.click_device(&unit);
            window.press(Key::Delete);
        }
        let plot = window.from("Level plot ").rect();
        window.harness.hover_at(plot.center() + vec2(200.0, 0.0));
    });
}

#[test]
fn the_page_of_sounds() {
    both("sounds", demo, |window| {
        window.click("Sounds");
        window.click("Sound Verse, clean");
        window.click("Switch of Chorus");
    });
}

#[test]
fn curves_of_sounds() {
    both("sound-curves", demo, |window| {
        window.click("Sounds");
        window.click("Show the curve of the sound Verse, clean");
        window.click("Show the curve of the sound Chorus, full");
        window.find_and_click(|window| window.named("Show the curve of the sound Solo"));
        let plot = window.from("Level plot ").rect();
        window.harness.hover_at(plot.center() + vec2(120.0, 0.0));
    });
}

#[test]
fn a_state_that_is_pointed_at() {
    both("lit", demo, |window| {
        window.click("Switch of Chorus");
        window.click("Switches");
        let said = window.texts().into_iter().find(|text| text.contains(" dB up at ") && text.contains("with Fuzz on"));
        let said = said.unwrap();
        window.named(&said).scroll_to_me();
        window.run();
        let line = window.named(&said).rect();
        window.harness.hover_at(line.left_center() + vec2(5.0, 0.0));
    });
}

#[test]
fn a_unit_that_stays_on_and_its_order() {
    both("stays-on", demo, |window| {
        window.click_device("Reverb");
        window.click("Stays on in every state");
        window.find_and_click(|window| window.named("Order"));
        window.find_and_click(|window| window.named("Keep Reverb before"));
        window.click("Compressor");
        let free = window.sheet().left_bottom() + vec2(60.0, -30.0);
        window.harness.hover_at(free);
    });
}

/// The table beside the bands, in the room that a small window has.
#[test]
fn two_variants_compared() {
    both("compare", demo, |window| window.click("Compare"));
}

/// Four bands, each told from the others by its hatching and its lines alone.
#[test]
fn four_variants_compared() {
    let setup = || Setup { size: [1440.0, 900.0], ..own(&four_variants()) };
    both("compare-four", setup, |window| window.click("Compare"));
}

#[test]
fn four_variants_as_differences() {
    both(
        "difference",
        || own(&four_variants()),
        |window| {
            window.click("Compare");
            window.click("Difference");
            window.find_and_click(|window| window.named("what the difference is from"));
            window.click("the guitar straight into the amp");
            let plot = window.from("Difference plot ").rect();
            window.harness.hover_at(plot.center() + vec2(-40.0, 20.0));
        },
    );
}
