//! What is written on the sheet: labels that are typed over, notes and arrows; the overview,
//! and what a file's name does to a rig without one.

use egui::{Key, Modifiers, vec2};
use rigwright::jobs::Pick;
use rigwright_core::file;

use super::device_id;
use crate::window::Window;

#[test]
fn a_click_on_a_leads_words_types_another_length_and_shows_what_that_does() {
    let mut window = Window::demo();
    let before = window.project();
    window.click("Length of the lead from Guitar to Tuner");
    assert!(window.has("New length of the lead from Guitar to Tuner"));
    window.type_text("12");
    window.assert_says("peak");
    window.press(Key::Enter);
    let rig = &window.variant(0).rig;
    let lead = rig.leads.iter().find(|lead| lead.from.device == device_id(rig, "Guitar")).unwrap();
    assert_eq!(lead.length.get(), 12.0);
    assert!(!window.has("New length of the lead from Guitar to Tuner"));
    window.command(Key::Z);
    window.assert_is(&before);
    // Escape gives it up, and keeps the lead selected.
    window.click("Length of the lead from Guitar to Tuner");
    window.type_text("99");
    window.press(Key::Escape);
    window.assert_is(&before);
    window.assert_says("Lead from Guitar to Tuner");
    window.assert_idle();
}

#[test]
fn a_name_is_typed_over_by_a_double_click_or_by_f2() {
    let mut window = Window::demo();
    let before = window.project();
    let name = window.device("Chorus").rect();
    window.double_click_at(name.center_top() + vec2(0.0, 0.78 * name.height()));
    window.type_text("Shimmer");
    window.press(Key::Enter);
    let chorus = device_id(&before.variants[0].rig, "Chorus");
    assert_eq!(window.variant(0).rig.device(chorus).unwrap().name, "Shimmer");
    window.press(Key::F2);
    window.type_text("Swirl");
    window.press(Key::Enter);
    assert_eq!(window.variant(0).rig.device(chorus).unwrap().name, "Swirl");
    window.command(Key::Z);
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_note_is_put_typed_dragged_pointed_and_taken_out() {
    let mut window = Window::demo();
    let before = window.project();
    let computed = window.harness.state().answers().computed();
    window.press(Key::Escape);
    window.press(Key::N);
    window.type_text("Buy a spare");
    let free = window.sheet().left_bottom() + vec2(60.0, -20.0);
    window.click_at(free);
    let note = window.variant(0).notes[0].clone();
    assert_eq!((note.text.as_str(), note.arrow), ("Buy a spare", None));
    let at = window.named("Note: Buy a spare").rect().center();
    window.drag(at, at + vec2(80.0, 30.0));
    let moved = window.variant(0).notes[0].clone();
    assert!(moved.at.x > note.at.x && moved.at.y > note.at.y);
    window.click("An arrow");
    let head = window.named("Arrow of the note: Buy a spare").rect().center();
    window.drag(head, head + vec2(-40.0, 25.0));
    let pointed = window.variant(0).notes[0].arrow.unwrap();
    assert!(pointed.x < moved.at.x);
    assert_eq!(window.harness.state().answers().computed(), computed, "nothing is computed from a note");
    let text = file::write(&window.project()).unwrap();
    assert_eq!(file::read(text.as_bytes()).unwrap(), *window.project());
    window.press(Key::Delete);
    assert!(window.variant(0).notes.is_empty());
    let steps = std::iter::from_fn(|| (*window.project() != *before).then(|| window.command(Key::Z)));
    assert!(steps.take(12).count() >= 5, "put, typed, moved, an arrow, pointed, taken out");
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_rig_larger_than_the_sheet_has_an_overview_that_moves_it() {
    let mut window = Window::demo();
    assert!(!window.has("Overview of the whole rig"));
    for _ in 0..5 {
        window.press(Key::Plus);
    }
    let overview = window.named("Overview of the whole rig").rect();
    let first = window.device("Guitar").rect().center();
    window.drag(overview.center(), overview.left_center() + vec2(8.0, 0.0));
    let moved = window.device("Guitar").rect().center();
    assert!(moved.x > first.x + 100.0, "{first:?} {moved:?}");
    // What is walked to comes into sight.
    window.press(Key::Escape);
    for _ in 0..17 {
        window.press(Key::ArrowRight);
    }
    let name = window.value("Name of the device");
    let shown = window.device(&name).rect().center();
    assert!(window.sheet().contains(shown), "{name} at {shown:?}");
    // Zoomed to it, it is larger.
    window.press(Key::F);
    let small = window.device(&name).rect().height();
    window.press_with(Modifiers::SHIFT, Key::F);
    assert!(window.device(&name).rect().height() > small);
    window.assert_idle();
}

/// A double click on what a run amounts to selects the units and leads in it.
#[test]
fn a_run_is_selected_by_its_words() {
    let mut window = Window::demo();
    let before = window.project();
    let runs = window.all_from("Run: ");
    let at = runs.first().expect("the demo's runs are told").rect().center();
    window.double_click_at(at);
    window.assert_says("leads");
    window.assert_is(&before);
}

#[test]
fn the_first_file_gives_an_unnamed_rig_its_name() {
    let mut window = Window::demo();
    window.command(Key::N);
    window.host.will_pick(Pick::Path("/rigs/Pub nights.ron".into()));
    window.command(Key::S);
    assert_eq!(window.project().title, "Pub nights");
    let saved = window.file("/rigs/Pub nights.ron").unwrap();
    assert_eq!(file::read(saved.as_bytes()).unwrap().title, "Pub nights");
    // A rig that has a name keeps that.
    let mut window = Window::demo();
    let title = window.project().title.clone();
    window.host.will_pick(Pick::Path("/rigs/other.ron".into()));
    window.command(Key::S);
    assert_eq!(window.project().title, title);
}
