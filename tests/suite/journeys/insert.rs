//! A part from the catalogue onto a lead, by the mouse and by the keyboard; undo, save, reopen.

use egui::Key;
use rigwright::jobs::Pick;
use rigwright_core::file;

use super::{chain, lead_between, peak_lines};
use crate::window::Window;

/// What came of plugging a buffer in behind the guitar, whichever way.
#[track_caller]
fn buffer_is_in(window: &Window) {
    let rig = &window.variant(0).rig;
    assert_eq!(chain(rig)[..3], ["Guitar", "Buffer", "Tuner"]);
    assert_eq!(lead_between(rig, "Guitar", "Buffer").1, 6.0, "the long lead stays with the guitar");
    assert!(lead_between(rig, "Buffer", "Tuner").1 < 1.0, "a patch lead joins the floor units");
    assert_eq!(rig.devices.len(), 21);
}

#[test]
fn the_plus_on_a_lead_opens_the_catalogue_and_enter_plugs_in() {
    let mut window = Window::demo();
    window.click("Figures");
    let before = window.project();
    window.click("Insert a part on the lead from Guitar to Tuner");
    window.assert_says("Insert a part between Guitar and Tuner");
    assert!(window.named("Find a part").is_focused());
    window.type_text("buffer");
    window.press(Key::Enter);
    buffer_is_in(&window);
    let after = window.project();
    assert!(window.has("Name of the device"), "what is new is selected");
    assert_eq!(window.value("Name of the device"), "Buffer");

    window.command(Key::Z);
    window.assert_is(&before);
    window.press_with(egui::Modifiers::COMMAND | egui::Modifiers::SHIFT, Key::Z);
    window.assert_is(&after);
    assert!(window.texts_from("Peak at ").iter().eq(&peak_lines(&after)), "figures follow redo");
    window.assert_idle();
}

#[test]
fn the_keyboard_alone_does_the_same() {
    let mut window = Window::demo();
    window.focus("Lead from Guitar to Tuner, 6 m, 620 pF");
    window.press(Key::Enter);
    window.assert_says("620 pF in all, both plugs counted");
    window.press(Key::I);
    assert_eq!(window.value("Find a part"), "", "the key is not the first letter of the query");
    window.type_text("buffer");
    window.press(Key::ArrowDown);
    window.press(Key::ArrowUp);
    window.press(Key::Enter);
    buffer_is_in(&window);
    window.assert_idle();
}

#[test]
fn a_part_is_clicked_too() {
    let mut window = Window::demo();
    window.click("Insert a part on the lead from Guitar to Tuner");
    window.type_text("buffer");
    // The name is on the chip of a variant, too; the catalogue stands before that.
    window.click("Buffer");
    buffer_is_in(&window);
}

#[test]
fn escape_leaves_the_catalogue_and_nothing_is_changed() {
    let mut window = Window::demo();
    let before = window.project();
    window.click("Insert a part on the lead from Guitar to Tuner");
    window.type_text("buffer");
    window.press(Key::Escape);
    assert!(!window.has("Find a part"));
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_query_that_finds_nothing_says_what_to_try() {
    let mut window = Window::demo();
    window.click("Insert a part on the lead from Guitar to Tuner");
    window.type_text("theremin orchestra");
    window.assert_says("No part goes by that name");
    window.press(Key::Enter);
    assert!(window.has("Find a part"), "Enter on nothing leaves the catalogue open");
    window.assert_idle();
}

#[test]
fn saved_and_opened_again_it_is_the_same_project_and_the_same_bytes() {
    let mut window = Window::demo();
    window.click("Insert a part on the lead from Guitar to Tuner");
    window.type_text("buffer");
    window.press(Key::Enter);
    let built = window.project();
    window.host.will_pick(Pick::Path("/rigs/tour.ron".into()));
    window.host.set_clock("21:30");
    window.command(Key::S);
    assert!(window.host.suggested().unwrap().to_lowercase().starts_with("pit"), "a name to begin with");
    assert_eq!(window.file("/rigs/tour.ron").unwrap(), file::write(&built).unwrap());
    window.assert_says("saved 21:30");

    // Something else in between, so that opening has something to do.
    window.menu("New rig");
    assert_eq!(window.project().title, "Untitled rig");
    window.host.will_pick(Pick::Path("/rigs/tour.ron".into()));
    window.command(Key::O);
    window.assert_is(&built);
    assert_eq!(window.host.settings().map(|text| text.contains("tour.ron")), Some(true), "a recent file");
    window.command(Key::S);
    assert_eq!(window.file("/rigs/tour.ron").unwrap(), file::write(&built).unwrap());
    window.assert_idle();
}
