//! The Power screen in both looks.

use egui::{Key, vec2};
use rigwright_core::file;

use crate::pictures::{both, demo};
use crate::window::{Setup, Window};

/// In a window as large as most have, for there is much to see.
fn large(bytes: &'static [u8]) -> Setup {
    Setup { size: [1440.0, 900.0], ..Setup::file("/rigs/own.ron", bytes) }
}

fn power(window: &mut Window) {
    window.click("Power");
}

#[test]
fn the_demo_on_rails() {
    both("power", || large(file::DEMO_BYTES), power);
}

#[test]
fn a_daisy_lead() {
    both("power-daisy", || large(file::DAISY_BYTES), power);
}

#[test]
fn a_modular_supply() {
    both(
        "power-modular",
        || large(file::MODULAR_BYTES),
        |window| {
            power(window);
        },
    );
}

#[test]
fn a_shared_module_and_its_modules() {
    let setup = || Setup { size: [1440.0, 2600.0], ..large(file::MODULAR_BYTES) };
    both("power-modules", setup, power);
}

#[test]
fn a_unit_on_too_many_volts() {
    both(
        "power-danger",
        || Setup { size: [1440.0, 1100.0], ..large(file::DEMO_BYTES) },
        |window| {
            power(window);
            let unit = window.from("Mild drive, fed by").rect().center();
            let rail = window.from("Rail of Isolated supply, outlet 4").rect().center();
            window.drag(unit, rail);
        },
    );
}

/// While a finding is pointed at, what it is about is lit.
#[test]
fn a_finding_pointed_at() {
    both(
        "power-finding",
        || large(file::DEMO_BYTES),
        |window| {
            power(window);
            let below = window.named("Move Tuner to outlet 5 of Isolated supply").rect();
            window.harness.hover_at(below.left_top() + vec2(5.0, -8.0));
        },
    );
}

#[test]
fn a_unit_selected() {
    both(
        "power-unit",
        || large(file::DEMO_BYTES),
        |window| {
            power(window);
            let unit = window.from("Chorus, fed by").rect().center();
            window.click_at(unit);
        },
    );
}

#[test]
fn a_supply_selected() {
    both(
        "power-supply",
        || large(file::DEMO_BYTES),
        |window| {
            power(window);
            let unit = window.from("Isolated supply, supply").rect().center();
            window.click_at(unit);
        },
    );
}

#[test]
fn a_ground_loop_shown() {
    both("power-loop", || Setup { size: [1440.0, 1200.0], ..large(file::DEMO_BYTES) }, show_loop);
}

#[test]
fn the_same_loop_on_the_chain() {
    both("chain-loop", demo, |window| {
        show_loop(window);
        window.click("Chain");
    });
}

/// The loop by both amps' earths.
fn show_loop(window: &mut Window) {
    power(window);
    window.find_and_click(|window| window.from("Show the loop: Splitter → 6 m lead"));
}

#[test]
fn a_unit_under_way_to_another_rail() {
    both("power-drag", demo, |window| {
        power(window);
        let unit = window.from("Chorus, fed by").rect().center();
        let rail = window.from("Rail of Isolated supply, outlet 3").rect().center();
        window.hold(unit, rail + vec2(60.0, 0.0));
    });
}

#[test]
fn the_best_allocation_previewed() {
    both(
        "power-preview",
        || large(file::DEMO_BYTES),
        |window| {
            power(window);
            window.find_and_click(|window| window.named("Find the best allocation"));
            window.find_and_click(|window| window.named("Preview of the best allocation"));
        },
    );
}

#[test]
fn the_least_supply_previewed() {
    both(
        "power-least",
        || large(file::DEMO_BYTES),
        |window| {
            power(window);
            window.find_and_click(|window| window.named("Find the least supply"));
            window.find_and_click(|window| window.named("Preview of the least supply"));
        },
    );
}

#[test]
fn the_smallest_window_on_rails() {
    both("power-small", || Setup { size: [800.0, 560.0], ..large(file::DEMO_BYTES) }, power);
}

#[test]
fn rails_fitted() {
    both(
        "power-fit",
        || large(file::MODULAR_BYTES),
        |window| {
            power(window);
            window.press(Key::F);
        },
    );
}

#[test]
fn the_cautions() {
    both("cautions", demo, |window| {
        power(window);
        window.menu("Cautions…");
    });
}
