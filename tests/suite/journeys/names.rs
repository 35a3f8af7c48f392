//! In every state of the screen all that can be used has a name, and nothing moves by itself.

use egui::Key;
use egui_kittest::kittest::NodeT;
use rigwright_core::file;

use super::half_finished;
use crate::window::{Setup, Window};

fn clicked(name: &str) -> Window {
    let mut window = Window::demo();
    window.click(name);
    window
}

fn lead_selected() -> Window {
    let mut window = Window::demo();
    window.click_lead("Guitar", "Tuner");
    window
}

fn pressed(key: Key) -> Window {
    let mut window = Window::demo();
    window.press(key);
    window
}

fn unsaved() -> Window {
    let mut window = clicked("Switch of Compressor");
    window.close();
    window
}

fn path_asked() -> Window {
    let mut window = Window::demo();
    window.command(Key::S);
    window
}

fn replace_asked() -> Window {
    let mut window = path_asked();
    window.host.put_file("/rigs/old.ron", "old");
    window.fill("Path of the file", "/rigs/old.ron");
    window
}

fn recovered() -> Window {
    let setup = Setup::demo();
    setup.host.put_left(file::BLANK_BYTES);
    setup.open()
}

fn variant_menu() -> Window {
    let mut window = Window::demo();
    window.named("Variant All true bypass").click_secondary();
    window.run();
    window
}

fn free_jack() -> Window {
    let mut window = lead_selected();
    window.press(Key::Delete);
    window.click_device("Tuner");
    window
}

fn found() -> Window {
    let mut window = Window::demo();
    window.command(Key::K);
    window
}

fn page_of_help() -> Window {
    let mut window = pressed(Key::F1);
    window.press(Key::Enter);
    window
}

fn typed(text: &str) -> Window {
    let mut window = lead_selected();
    window.fill("one plug of the lead", text);
    window
}

#[test]
fn all_that_can_be_used_has_a_name_and_the_window_rests() {
    type State = (&'static str, fn() -> Window);
    let states: [State; 17] = [
        ("the demo", Window::demo),
        ("a blank rig", Window::blank),
        ("the menu", || clicked("Rig")),
        ("a lead selected", lead_selected),
        ("the catalogue", || clicked("Insert a part on the lead from Guitar to Tuner")),
        ("a notice", || pressed(Key::T)),
        ("unsaved work", unsaved),
        ("a path to type", path_asked),
        ("a file to replace", replace_asked),
        ("what a crash left", recovered),
        ("a variant's menu", variant_menu),
        ("a free jack", free_jack),
        ("the list that finds anything", found),
        ("a page of help", page_of_help),
        ("a number with two readings", || typed("1,500")),
        ("a number with a way back", || typed("15p")),
        ("a half-finished rig", || Window::of(&half_finished())),
    ];
    let mut unnamed = Vec::new();
    for (words, open) in states {
        let mut window = open();
        unnamed.extend(window.harness.unnamed_widgets().into_iter().map(|widget| format!("{words}: {widget}")));
        window.assert_idle();
    }
    assert!(unnamed.is_empty(), "{unnamed:#?}");
}

#[test]
fn every_kind_of_device_in_the_panel_has_names_and_rests() {
    let mut window = Window::demo();
    let mut unnamed = Vec::new();
    let on_the_sheet = |device: &&rigwright_core::rig::Device| !device.kind.jacks().is_empty();
    for device in window.variant(0).rig.devices.iter().filter(on_the_sheet).map(|device| device.name.clone()) {
        window.click_device(&device);
        assert_eq!(window.value("Name of the device"), device);
        unnamed.extend(window.harness.unnamed_widgets().into_iter().map(|widget| format!("{device}: {widget}")));
        window.assert_idle();
    }
    assert!(unnamed.is_empty(), "{unnamed:#?}");
}

#[test]
fn every_part_of_the_catalogue_can_be_put_on_the_sheet_and_looked_at() {
    // Supplies are put on the sheet of rails.
    let parts = rigwright_core::parts::catalogue().parts.iter();
    for part in parts.filter(|part| part.kind.supply().is_none()) {
        let mut window = Window::blank();
        window.press(Key::I);
        window.type_text(&part.name);
        window.press(Key::Enter);
        let device = window.variant(0).rig.devices[2].clone();
        assert!(device.name.starts_with(&part.name), "{} for {}", device.name, part.name);
        assert!(window.has("Name of the device"));
        window.assert_idle();
    }
}

#[test]
fn every_device_lead_and_switch_is_found_by_its_name() {
    let window = Window::demo();
    let rig = &window.variant(0).rig;
    let drawn: Vec<_> = rig.devices.iter().filter(|device| !device.kind.jacks().is_empty()).collect();
    for device in &drawn {
        // In which order they are read is told elsewhere.
        let name = window.device(&device.name).accesskit_node().label().unwrap();
        assert!(name.contains(&format!(" of {}", drawn.len())), "{name}");
        assert_eq!(window.has(&format!("Switch of {}", device.name)), device.has_switch());
    }
    for lead in &rig.leads {
        let name = |id| &rig.device(id).unwrap().name;
        window.lead(name(lead.from.device), name(lead.to.device));
    }
}
