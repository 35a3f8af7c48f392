//! Several things at once: picked, banded, walked along, nudged, edited, copied between rigs
//! and windows.

use std::collections::BTreeSet;

use egui::{Event, Key, Modifiers, OutputCommand, PointerButton, Pos2, vec2};
use rigwright_core::file;
use rigwright_core::rig::{Bypass, Jack, JackRef, Rig};

use super::{chain, device_id, is_on};
use crate::window::Window;

fn middle(window: &Window, device: &str) -> Pos2 {
    window.device(device).rect().center()
}

/// What a key puts on the clipboard.
fn clipboard(window: &mut Window, key: Key) -> Option<String> {
    let modifiers = Modifiers::COMMAND;
    let event = |pressed| Event::Key { key, physical_key: None, pressed, repeat: false, modifiers };
    let mut found = None;
    for event in
        [Event::ModifiersChanged(modifiers), event(true), event(false), Event::ModifiersChanged(Modifiers::NONE)]
    {
        window.harness.event(event);
        window.harness.step();
        for command in &window.harness.output().platform_output.commands {
            if let OutputCommand::CopyText(text) = command {
                found = Some(text.clone());
            }
        }
    }
    window.run();
    found
}

fn paste(window: &mut Window, text: &str) {
    window.harness.event(Event::Paste(text.to_owned()));
    window.run();
}

fn names(rig: &Rig) -> BTreeSet<String> {
    rig.devices.iter().map(|device| device.name.clone()).collect()
}

#[test]
fn shift_clicks_pick_several_and_one_key_switches_them() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_device("Chorus");
    let (vibrato, octave) = (middle(&window, "Octave"), middle(&window, "Fuzz"));
    window.click_with(Modifiers::SHIFT, vibrato);
    window.click_with(Modifiers::SHIFT, octave);
    window.assert_says("3 devices");
    window.press(Key::Space);
    let rig = &window.variant(0).rig;
    for name in ["Chorus", "Octave", "Fuzz"] {
        assert!(is_on(&window.project(), device_id(rig, name)), "{name}");
    }
    window.command(Key::Z);
    window.assert_is(&before); // one step
    // A second click with Shift leaves one out again.
    window.click_with(Modifiers::SHIFT, octave);
    window.assert_says("2 devices");
    window.press(Key::Delete);
    let left = names(&window.variant(0).rig);
    assert!(!left.contains("Chorus") && !left.contains("Octave") && left.contains("Fuzz"));
    assert!(window.variant(0).rig.free_jacks().len() <= before.variants[0].rig.free_jacks().len());
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_rubber_band_selects_what_lies_in_it_and_the_middle_button_moves_the_sheet() {
    let mut window = Window::demo();
    let (one, other) = (middle(&window, "Compressor"), middle(&window, "Wah"));
    // From the paper below the one, to the other's symbol.
    let from = window.device("Compressor").rect().left_bottom() + vec2(3.0, 10.0);
    window.drag_with(PointerButton::Primary, from, other);
    window.assert_says("2 devices");
    assert_eq!(middle(&window, "Compressor"), one, "the sheet stays");
    let by = vec2(-60.0, 35.0);
    window.pan(other, other + by);
    let moved = middle(&window, "Compressor") - one;
    assert!((moved - by).length() < 8.0, "{moved:?}");
    window.assert_says("2 devices");
    // Dragging on empty paper moves the sheet for those who want that.
    window.click("Rig");
    window.find_and_click(|window| window.named("Sheet"));
    window.find_and_click(|window| window.from("Dragging on paper moves the sheet"));
    let start = middle(&window, "Compressor");
    let free = window.sheet().left_bottom() + vec2(60.0, -12.0);
    window.drag_with(PointerButton::Primary, free, free + vec2(50.0, -20.0));
    let moved = middle(&window, "Compressor") - start;
    assert!((moved - vec2(50.0, -20.0)).length() < 8.0, "{moved:?}");
    assert!(window.host.settings().unwrap().contains("paper_moves: true"));
}

#[test]
fn space_held_down_moves_the_sheet_and_switches_nothing() {
    let mut window = Window::demo();
    window.click_device("Chorus");
    let before = window.project();
    let start = middle(&window, "Chorus");
    let key = |pressed| Event::Key {
        key: Key::Space,
        physical_key: None,
        pressed,
        repeat: false,
        modifiers: Modifiers::NONE,
    };
    window.harness.event(key(true));
    window.drag_with(PointerButton::Primary, start, start + vec2(-70.0, 20.0));
    window.harness.event(key(false));
    window.run();
    window.assert_is(&before);
    let moved = middle(&window, "Chorus") - start;
    assert!((moved - vec2(-70.0, 20.0)).length() < 8.0, "{moved:?}");
    window.press(Key::Space);
    assert!(is_on(&window.project(), device_id(&window.variant(0).rig, "Chorus")));
}

#[test]
fn arrows_walk_along_the_signal_and_shift_nudges() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_device("Guitar");
    let variant = window.variant(0);
    let order = chain(&variant.rig);
    for name in &order[1..6] {
        window.press(Key::ArrowRight);
        window.assert_says("Lead from");
        window.press(Key::ArrowRight);
        assert_eq!(window.value("Name of the device"), *name);
    }
    window.press(Key::ArrowLeft);
    window.press(Key::ArrowLeft);
    assert_eq!(window.value("Name of the device"), order[4]);
    let start = middle(&window, order[4]);
    for _ in 0..3 {
        window.press_with(Modifiers::SHIFT, Key::ArrowDown);
    }
    let nudged = window.variant(0);
    assert_eq!(nudged.places.len(), 1);
    assert_eq!(nudged.rig, before.variants[0].rig);
    assert!(middle(&window, order[4]).y > start.y);
    window.command(Key::Z);
    window.assert_is(&before); // all nudges are one step
    window.assert_idle();
}

#[test]
fn several_are_dragged_together_and_edited_together() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_device("Mild drive");
    let (mild, hard) = (middle(&window, "Mild drive"), middle(&window, "Hard drive"));
    window.click_with(Modifiers::SHIFT, hard);
    window.drag(hard, hard + vec2(0.0, 120.0));
    assert_eq!(window.variant(0).places.len(), 2);
    assert_eq!(window.variant(0).rig, before.variants[0].rig);
    let [now_mild, now_hard] = [middle(&window, "Mild drive"), middle(&window, "Hard drive")];
    assert!(((now_hard - now_mild) - (hard - mild)).length() < 3.0, "they stay as they stood to each other");
    window.command(Key::Z);
    window.assert_is(&before);
    window.find_and_click(|window| window.named("bypass of all selected"));
    window.find_and_click(|window| window.named("buffered bypass"));
    let rig = &window.variant(0).rig;
    let bypass = |name: &str| rig.device(device_id(rig, name)).unwrap().kind.pedal().unwrap().bypass;
    assert_eq!([bypass("Mild drive"), bypass("Hard drive")], [Bypass::Buffered; 2]);
    window.command(Key::Z);
    window.assert_is(&before);
    let fields = window.texts_from("on: input");
    assert!(!fields.is_empty() || window.has("mass of all selected"));
    window.fill("price of all selected", "77");
    let rig = &window.variant(0).rig;
    let price = |name: &str| rig.device(device_id(rig, name)).unwrap().body.price.get();
    assert_eq!([price("Mild drive"), price("Hard drive")], [77.0; 2]);
    window.command(Key::Z);
    window.assert_is(&before);
}

#[test]
fn a_copy_is_a_text_that_another_window_and_a_file_take() {
    let mut window = Window::demo();
    window.click_device("Mild drive");
    let hard = middle(&window, "Hard drive");
    window.click_with(Modifiers::SHIFT, hard);
    let text = clipboard(&mut window, Key::C).unwrap();
    let piece = file::read(text.as_bytes()).unwrap();
    assert_eq!((piece.variants[0].rig.devices.len(), piece.variants[0].rig.leads.len()), (2, 1));
    // In another window, on the lead between guitar and amp.
    let mut other = Window::blank();
    let before = other.project();
    let rig = &other.variant(0).rig;
    let [from, to] = [rig.leads[0].from.device, rig.leads[0].to.device].map(|id| rig.device(id).unwrap().name.clone());
    other.click_lead(&from, &to);
    paste(&mut other, &text);
    let rig = &other.variant(0).rig;
    assert_eq!(chain(rig), [from.as_str(), "Mild drive", "Hard drive", to.as_str()]);
    other.assert_says("2 devices");
    other.command(Key::Z);
    other.assert_is(&before);
    // Loose, where no lead is selected.
    other.press(Key::Escape);
    paste(&mut other, &text);
    let rig = &other.variant(0).rig;
    assert!(rig.lead_to(JackRef::new(device_id(rig, "Mild drive"), Jack::In)).is_none());
    paste(&mut other, "a shopping list");
    other.assert_says("What is on the clipboard can't be put into a rig");
}

#[test]
fn cut_and_duplicate_and_everything() {
    let mut window = Window::demo();
    let before = window.project();
    let count = before.variants[0].rig.devices.len();
    window.click_device("Chorus");
    window.command(Key::D);
    assert!(names(&window.variant(0).rig).contains("Chorus 2"));
    window.command(Key::Z);
    window.assert_is(&before);
    window.click_device("Chorus");
    let text = clipboard(&mut window, Key::X).unwrap();
    assert!(!names(&window.variant(0).rig).contains("Chorus"));
    paste(&mut window, &text);
    assert!(names(&window.variant(0).rig).contains("Chorus"));
    window.command(Key::Z);
    window.command(Key::Z);
    window.assert_is(&before);
    window.command(Key::A);
    window.assert_says(&format!("{count} devices"));
    window.command(Key::D);
    assert_eq!(window.variant(0).rig.devices.len(), 2 * count);
    window.command(Key::Z);
    window.assert_is(&before);
    window.press(Key::Escape);
    assert!(!window.has("Selected"));
}

#[test]
fn notes_are_dragged_copied_and_taken_out_with_devices() {
    let mut window = Window::demo();
    window.press(Key::Escape);
    window.press(Key::N);
    window.type_text("Check the plug");
    let free = window.sheet().left_bottom() + vec2(60.0, -20.0);
    window.click_at(free);
    let note = window.variant(0).notes[0].clone();
    let before = window.project();
    let place = |window: &Window| window.named("Note: Check the plug").rect().center();
    // One of each, dragged by the note: both move, in one step.
    window.click_device("Chorus");
    let (chorus, leaf) = (middle(&window, "Chorus"), place(&window));
    window.click_with(Modifiers::SHIFT, leaf);
    window.assert_says("1 device and 1 note");
    window.drag(leaf, leaf + vec2(-30.0, 24.0));
    let moved = window.variant(0).notes[0].clone();
    assert!(moved.at.x < note.at.x && moved.at.y > note.at.y);
    let by = |from: Pos2, to: Pos2| (to - from).round();
    assert_eq!(by(leaf, place(&window)), by(chorus, middle(&window, "Chorus")));
    assert_eq!(by(leaf, place(&window)), vec2(-30.0, 24.0));
    window.command(Key::Z);
    window.assert_is(&before);
    // Copied, and put into another variant.
    let text = clipboard(&mut window, Key::C).unwrap();
    window.assert_says("1 device and 1 note are copied.");
    window.click("Variant Buffer after the guitar");
    paste(&mut window, &text);
    assert_eq!(window.variant(1).notes.len(), 1);
    assert_eq!(window.variant(1).rig.devices.len(), before.variants[1].rig.devices.len() + 1);
    window.command(Key::Z);
    window.assert_is(&before);
    // Everything is everything.
    window.click("Variant All true bypass");
    window.command(Key::A);
    window.press(Key::Delete);
    assert!(window.variant(0).notes.is_empty() && window.variant(0).rig.devices.is_empty());
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}
