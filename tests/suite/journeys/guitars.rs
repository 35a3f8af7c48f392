//! The whole guitar: opened on the canvas, its knobs and its selector turned there, pickups added in
//! the inspector, a string chosen in the plot.

use egui::accesskit::Role;
use egui::{Key, vec2};
use egui_kittest::Node;
use egui_kittest::kittest::NodeT;
use rigwright_core::rig::{Control, DeviceId, Kind, Position, PushPull, SwitchKey, SwitchRef};

use super::shown_peaks;
use crate::pictures_guitars::with;
use crate::pictures_stereo::setup;
use crate::window::Window;

const GUITAR: DeviceId = DeviceId(1);

fn window(part: &str) -> Window {
    setup("A guitar", with(part)).open()
}

fn opened(part: &str) -> Window {
    let mut window = window(part);
    let guitar = window.device("Guitar").rect();
    window.double_click_at(guitar.center());
    window
}

fn turn(window: &Window, control: Control) -> f64 {
    window.project().state.turn(GUITAR, control).get()
}

fn stands(window: &Window, key: SwitchKey) -> Option<Position> {
    window.project().state.positions.get(&SwitchRef { device: GUITAR, key }).copied()
}

#[test]
fn an_opened_guitar_is_turned_on_the_canvas_and_back() {
    let mut window = opened("two-humbucker-guitar");
    let before = window.project();
    window.click("both: pickups of Guitar");
    assert_eq!(stands(&window, SwitchKey::Pickups), Some(Position(1)));
    assert!(window.painted().iter().any(|words| words == "bridge and neck"), "{:?}", window.painted());
    let knob = window.named("volume of neck of Guitar").rect();
    window.drag(knob.center(), knob.center() + vec2(0.0, 400.0));
    assert_eq!(turn(&window, Control::VolumeOf(2)), 0.0);
    // The wipers are joined: both are silent.
    let told = "volume of neck of Guitar is at 0, and its wiper is a short for all pickups that are joined";
    assert!(window.painted().iter().any(|words| words.contains(told)), "{:?}", window.painted());
    window.command(Key::Z);
    assert_eq!(turn(&window, Control::VolumeOf(2)), 1.0, "one drag is one step");
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_click_beside_a_knob_leaves_the_guitar_selected() {
    let mut window = opened("three-single-coil-guitar");
    let before = window.project();
    let knob = window.named("volume of Guitar").rect();
    let free = vec2(knob.center().x, window.named("neck: pickups of Guitar").rect().center().y);
    window.click_at(free.to_pos2());
    window.assert_says("Pickups and what joins them");
    window.assert_is(&before);
}

#[test]
fn keys_turn_a_knob_of_an_opened_guitar() {
    let mut window = opened("three-single-coil-guitar");
    window.named("tone of Guitar").focus();
    window.run();
    for _ in 0..4 {
        window.press(Key::ArrowDown);
    }
    assert!((turn(&window, Control::Tone) - 0.8).abs() < 1e-9, "{}", turn(&window, Control::Tone));
    window.press(Key::ArrowUp);
    assert!((turn(&window, Control::Tone) - 0.85).abs() < 1e-9);
    assert_eq!(window.focused().as_deref(), Some("tone of Guitar"));
}

#[test]
fn space_and_the_circle_step_through_the_pickups() {
    let mut window = window("three-single-coil-guitar");
    window.click("Switch of Guitar");
    assert_eq!(stands(&window, SwitchKey::Pickups), Some(Position(1)));
    window.click_device("Guitar");
    window.press(Key::Space);
    assert_eq!(stands(&window, SwitchKey::Pickups), Some(Position(2)));
    window.assert_says("Guitar: middle");
}

/// Two alike side by side have half the inductance: the peak goes up.
#[test]
fn another_pickup_is_a_selector_with_three_positions() {
    let mut window = window("single-coil-guitar");
    let before = window.project();
    window.click("Figures");
    let alone = shown_peaks(&window);
    window.click_device("Guitar");
    window.find_and_click(|window| window.named("Pickups and what joins them"));
    window.find_and_click(|window| window.named("One more pickup"));
    let Kind::Guitar(guitar) = &window.variant(0).rig.devices[0].kind else { panic!("no guitar") };
    let wiring = guitar.pickup_wiring.as_ref().expect("two pickups");
    assert_eq!((wiring.pickups(), wiring.selector.len()), (2, 3));
    assert_eq!(guitar.pickup, wiring.others[0].pickup, "like the first");
    window.find_and_click(|window| window.list("bridge"));
    window.click("both");
    assert_eq!(stands(&window, SwitchKey::Pickups), Some(Position(1)));
    window.find_and_click(|window| window.named("One more push-pull"));
    let Kind::Guitar(guitar) = &window.variant(0).rig.devices[0].kind else { panic!("no guitar") };
    assert_eq!(guitar.pickup_wiring.as_ref().unwrap().push_pulls, [PushPull::InSeries]);
    let free = window.sheet().left_bottom() + vec2(60.0, -30.0);
    window.click_at(free);
    assert_ne!(shown_peaks(&window), alone);
    for _ in 0..3 {
        window.command(Key::Z);
    }
    window.assert_is(&before);
}

#[test]
fn a_position_that_joins_nothing_is_told() {
    let mut window = window("three-single-coil-guitar");
    window.click_device("Guitar");
    window.find_and_click(|window| window.named("One more position"));
    let Kind::Guitar(guitar) = &window.variant(0).rig.devices[0].kind else { panic!("no guitar") };
    assert_eq!(guitar.pickup_wiring.as_ref().unwrap().selector.len(), 6);
    // The last of its ticks of the first pickup is that of the new position.
    window.find_and_click(|window| {
        let is_tick = |node: &Node<'_>| {
            let node = node.accesskit_node();
            node.role() == Role::CheckBox && node.label().as_deref() == Some("bridge")
        };
        window.all_from("bridge").into_iter().filter(is_tick).last().expect("a tick")
    });
    window.click("Findings");
    window.assert_says("“position” of Guitar joins no pickup");
}

#[test]
fn what_the_pickups_hear_of_a_string_is_off_at_first_and_chosen_in_the_plot() {
    let mut window = window("three-single-coil-guitar");
    let list = |window: &Window| window.named("string that the pickups hear").rect().center();
    assert!(!window.says("an ideal string"));
    let at = list(&window);
    window.click_at(at);
    window.click("E2, an ideal string");
    window.assert_says("E2, an ideal string");
    window.assert_idle();
    window.click("Difference");
    assert!(!window.has("string that the pickups hear"));
}

/// A knob that a file has between two percents stays there, whatever shows it.
#[test]
fn a_knob_that_is_looked_at_stays_where_it_is() {
    let mut project = window("three-single-coil-guitar").project().as_ref().clone();
    let third = rigwright_core::units::Turn::of(1.0 / 3.0);
    project.state.turned.insert(rigwright_core::rig::Knob { device: GUITAR, control: Control::Volume }, third);
    let mut window = Window::of(&project);
    let before = window.project();
    window.click_device("Guitar");
    window.assert_idle();
    window.assert_is(&before);
}
