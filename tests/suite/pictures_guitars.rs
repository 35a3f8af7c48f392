//! Guitars of several pickups in both looks, against the pictures that are kept: on the sheet, opened,
//! and in the inspector.

use rigwright_core::rig::{Jack, Rig};

use crate::pictures::both;
use crate::pictures_stereo::{rig, setup};
use crate::window::Setup;

/// A guitar of the catalogue, a drive, an amp.
pub fn with(part: &str) -> Rig {
    use Jack::{In, Out};
    let parts = [(part, "Guitar"), ("mild-drive", "Mild drive"), ("valve-amp", "Amp")];
    rig(&parts, &[((0, Out), (1, In), 6.0), ((1, Out), (2, In), 3.0)])
}

#[test]
fn a_guitar_of_two_humbuckers_opened() {
    both(
        "guitar-opened",
        || setup("Two humbuckers", with("two-humbucker-guitar")),
        |window| {
            let guitar = window.device("Guitar").rect();
            window.double_click_at(guitar.center());
            window.click("both: pickups of Guitar");
        },
    );
}

#[test]
fn a_guitar_in_series_opened() {
    both(
        "guitar-in-series",
        || setup("In series", with("series-switch-guitar")),
        |window| {
            let guitar = window.device("Guitar").rect();
            window.double_click_at(guitar.center());
            window.click("both: pickups of Guitar");
            window.click("in series: push-pull 1 of Guitar");
            window.click("neck turned over: push-pull 2 of Guitar");
        },
    );
}

#[test]
fn a_guitar_of_three_pickups_in_the_inspector() {
    let setup = || Setup { size: [1024.0, 1700.0], ..setup("Three pickups", with("three-single-coil-guitar")) };
    both("guitar-selected", setup, |window| window.click_device("Guitar"));
}

#[test]
fn what_two_pickups_hear_of_the_lowest_string() {
    both(
        "guitar-string",
        || setup("A string", with("three-single-coil-guitar")),
        |window| {
            window.click("Switch of Guitar");
            let list = window.named("string that the pickups hear").rect().center();
            window.click_at(list);
            window.click("E2, an ideal string");
        },
    );
}
