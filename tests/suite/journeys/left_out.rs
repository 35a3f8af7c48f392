//! Where an answer about a large rig ends before the rig does, the window says so.

use crate::large;
use crate::window::Window;

fn of(name: &str) -> Window {
    let (_, make) = large::all().into_iter().find(|(other, _)| *other == name).unwrap();
    Window::of(&make())
}

/// 4000 leads between two jacks close 3999 loops [S: cyclomatic].
#[test]
fn of_thousands_of_loops_it_is_said_how_many_are_told() {
    let mut window = of("4000 leads between two jacks");
    window.click("Power");
    window.run();
    window.assert_says("3999 possible causes of hum, the likeliest first.");
    window.assert_says("Told here are 100; there are 3899 more like them.");
    window.assert_says("3999 ground loops");
}

#[test]
fn of_hundreds_of_endpoints_it_is_said_how_many_arent_told() {
    let mut window = of("tree of 1000 devices");
    window.click("Figures");
    window.run();
    window.assert_says("more inputs of amps, DI boxes and interfaces are reached, and aren't told.");
}

#[test]
fn where_nobody_looked_for_what_mends_a_problem_that_is_said() {
    let mut window = of("daisy of 900");
    window.click("Power");
    window.run();
    window.assert_says("What mends others wasn't looked for: in so large a rig it would take too long.");
    window.assert_says("Not looked for, since 900 units want power");
    assert!(!window.has("Find the best allocation"));
}
