//! The same without a mouse, and what has a name.

use egui::{Key, Modifiers};

use super::*;

#[test]
fn everything_by_keyboard() {
    let mut window = Setup { size: [1440.0, 1500.0], ..Setup::demo() }.open();
    window.command(Key::Num2);
    window.assert_says("groups share no 0 V");
    let before = window.project();
    let mild = "Mild drive, fed by Daisy adaptor, 8.99 V, wants 9 V";
    window.focus(mild);
    // The adaptor is the last supply; one outlet before it is the fifth of the other.
    window.press_with(Modifiers::ALT, Key::ArrowUp);
    assert_eq!(fed_by(&window.variant(0).rig, "Mild drive"), Some(("Isolated supply".to_owned(), 5)));
    window.press_with(Modifiers::ALT, Key::ArrowUp);
    assert_eq!(fed_by(&window.variant(0).rig, "Mild drive"), Some(("Isolated supply".to_owned(), 4)));
    window.assert_says("Mild drive wants 9 V at most and gets 18 V.");
    window.press_with(Modifiers::ALT, Key::ArrowDown);
    window.press_with(Modifiers::ALT, Key::ArrowDown);
    assert_eq!(fed_by(&window.variant(0).rig, "Mild drive"), Some(("Daisy adaptor".to_owned(), 1)));
    window.press(Key::U);
    assert_eq!(fed_by(&window.variant(0).rig, "Mild drive"), None);
    for _ in 0..5 {
        window.command(Key::Z);
    }
    window.assert_is(&before);
    window.command(Key::Num1);
    assert!(window.device("Mild drive").rect().is_positive());
    window.assert_idle();
}

#[test]
fn delete_unplugs_a_unit_and_takes_a_supply_out() {
    let mut window = demo();
    let at = unit(&window, "Phaser");
    window.click_at(at);
    window.press(Key::Delete);
    let rig = window.variant(0).rig.clone();
    assert_eq!(fed_by(&rig, "Phaser"), None);
    assert!(rig.devices.iter().any(|device| device.name == "Phaser"), "the signal goes through it as before");
    let devices = rig.devices.len();
    // Not fed, there is nothing more to pull.
    window.press(Key::Delete);
    assert_eq!(window.variant(0).rig.devices.len(), devices);
    window.focus("Daisy adaptor, supply, 1 outlet, 1.32 VA");
    window.press(Key::Delete);
    assert_eq!(window.variant(0).rig.devices.len(), devices - 1);
    assert_eq!(fed_by(&window.variant(0).rig, "Wah"), None);
}

#[test]
fn the_list_in_the_panel_plugs_in_and_unplugs() {
    let mut window = demo();
    let before = window.project();
    let at = unit(&window, "Wah");
    window.click_at(at);
    window.click("What feeds Wah");
    window.click("Isolated supply, outlet 5, 9 V");
    assert_eq!(fed_by(&window.variant(0).rig, "Wah"), Some(("Isolated supply".to_owned(), 5)));
    window.click("What feeds Wah");
    window.click("nothing");
    assert_eq!(fed_by(&window.variant(0).rig, "Wah"), None);
    window.command(Key::Z);
    window.command(Key::Z);
    window.assert_is(&before);
}

#[test]
fn a_right_click_does_what_a_drag_does() {
    let mut window = demo();
    let at = unit(&window, "Wah");
    window.right_click_at(at);
    window.click("Plug in at Isolated supply, outlet 5, 9 V");
    assert_eq!(fed_by(&window.variant(0).rig, "Wah"), Some(("Isolated supply".to_owned(), 5)));
    let at = unit(&window, "Wah");
    window.right_click_at(at);
    window.click("Unplug");
    assert_eq!(fed_by(&window.variant(0).rig, "Wah"), None);
}

#[test]
fn a_unit_stays_selected_from_screen_to_screen() {
    let mut window = demo();
    let at = unit(&window, "Chorus");
    window.click_at(at);
    window.assert_says("It gets 9.00 V");
    window.click("Chain");
    assert_eq!(window.value("Name of the device"), "Chorus");
    window.click_device("Tremolo");
    window.click("Power");
    window.assert_says("What feeds Tremolo");
    window.press(Key::Escape);
    window.assert_says("Best allocation");
}

#[test]
fn a_supply_is_added_from_the_catalogue_and_nothing_else_is_offered() {
    let mut window = demo();
    let before = window.project();
    window.press(Key::I);
    window.assert_says("Add a supply, a module or a battery");
    assert!(!window.has("Mild drive"), "no pedal among supplies");
    window.type_text("small isolated");
    window.press(Key::Enter);
    let rig = window.variant(0).rig.clone();
    assert_eq!(rig.supplies().count(), 3);
    assert!(window.has("Rail of Small isolated supply, outlet 4, 9 V, DC, centre negative"));
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}
