//! The same without a mouse, and what has a name.

use egui::Key;

use super::*;

#[test]
fn everything_by_keyboard() {
    let mut window = Setup { size: [1440.0, 1500.0], ..Setup::demo() }.open();
    window.command(Key::Num2);
    window.assert_says("0 V in ");
    let before = window.project();
    let mild = "Mild drive, fed by Daisy adaptor, 8.99 V, wants 9 V";
    window.focus(mild);
    // The adaptor is the last supply; one outlet before it is the fifth of the other.
    window.press(Key::PageUp);
    assert_eq!(fed_by(&window.variant(0).rig, "Mild drive"), Some(("Isolated supply".to_owned(), 5)));
    window.press(Key::PageUp);
    assert_eq!(fed_by(&window.variant(0).rig, "Mild drive"), Some(("Isolated supply".to_owned(), 4)));
    window.assert_says("Mild drive wants 9 V at most and gets 18 V.");
    window.press(Key::PageDown);
    window.press(Key::PageDown);
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
    window.focus("Daisy adaptor, supply, 1 outlet, 1.32 W");
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

/// What a person does before the screen is looked at.
type Steps = (&'static str, fn(&mut Window));

#[test]
fn all_that_can_be_used_on_rails_has_a_name_and_the_window_rests() {
    let states: [Steps; 9] = [
        ("the rails", |_| {}),
        ("a unit selected", |window| {
            let at = unit(window, "Chorus");
            window.click_at(at);
        }),
        ("an amp selected", |window| {
            let at = unit(window, "Amp left");
            window.click_at(at);
        }),
        ("a supply selected, an outlet open", |window| {
            window.focus("Isolated supply, supply, 5 outlets, 4.48 W");
            window.click("Outlet 4");
        }),
        ("the cautions", |window| window.menu("Cautions…")),
        ("voltages to choose", |window| window.click("Voltage of Isolated supply, outlet 4")),
        ("a unit's menu", |window| {
            let at = unit(window, "Chorus");
            window.right_click_at(at);
        }),
        ("rules and a preview", |window| {
            window.find_and_click(|window| window.named("Rules and wishes…"));
            window.find_and_click(|window| window.named("Find the best allocation"));
            window.find_and_click(|window| window.named("Preview of the best allocation"));
        }),
        ("a unit of which nobody has said anything", |window| {
            let at = unit(window, "Chorus");
            window.click_at(at);
            window.click("Say what Chorus takes");
        }),
    ];
    let mut unnamed = Vec::new();
    for (words, steps) in states {
        let mut window = demo();
        steps(&mut window);
        unnamed.extend(window.harness.unnamed_widgets().into_iter().map(|widget| format!("{words}: {widget}")));
        window.assert_idle();
    }
    assert!(unnamed.is_empty(), "{unnamed:#?}");
}

#[test]
fn wishes_are_kept_by_the_best_allocation() {
    let mut window = demo();
    window.find_and_click(|window| window.named("Rules and wishes…"));
    window.find_and_click(|window| window.named("An outlet of their own for drives"));
    window.find_and_click(|window| window.named("Find the best allocation"));
    window.find_and_click(|window| window.named("Take the best allocation"));
    let rig = window.variant(0).rig.clone();
    for drive in ["Mild drive", "Hard drive"] {
        assert_eq!(rig.feed_to(device_id(&rig, drive)).unwrap().taps.len(), 1, "{drive} hangs alone");
    }
}
