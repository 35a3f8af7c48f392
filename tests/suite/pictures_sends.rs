//! Sends and returns in both looks, against the pictures that are kept.

use egui::vec2;
use rigwright_core::file;

use crate::pictures::both;
use crate::window::Setup;

fn own() -> Setup {
    Setup { size: [1280.0, 1000.0], ..Setup::file("/rigs/one-box.ron", file::MULTI_EFFECTS_BYTES) }
}

#[test]
fn a_multi_effects_unit_that_is_selected() {
    both(
        "multi-effects-selected",
        || Setup { size: [1280.0, 1300.0], ..own() },
        |window| {
            let at = window.device("Multi-effects").rect().left_center() + vec2(14.0, 0.0);
            window.click_at(at);
        },
    );
}

#[test]
fn four_leads_between_a_unit_and_an_amp() {
    both("four-leads", own, |window| {
        window.click("Variant Four leads to the amp");
        window.click("Sounds");
        window.click("Sound Lead");
    });
}
