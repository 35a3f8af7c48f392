//! Quantities as guitarists type them, and what is said to what can't be read.

use egui::Key;
use rigwright_core::rig::{Kind, Lead, Pedal};

use super::lead_between;
use crate::window::Window;

fn first_lead(window: &Window) -> Lead {
    let rig = &window.variant(0).rig;
    rig.lead(lead_between(rig, "Guitar", "Tuner").0).unwrap().clone()
}

fn compressor(window: &Window) -> Pedal {
    let rig = &window.variant(0).rig;
    let device = rig.devices.iter().find(|device| device.name == "Compressor").unwrap();
    let Kind::Pedal(pedal) = &device.kind else { panic!("{:?}", device.kind) };
    pedal.clone()
}

/// The field of the compressor's input resistance while on.
fn input_field(window: &Window) -> String {
    let fields = window.texts().into_iter().filter(|text| text.ends_with(" of Compressor"));
    let mut fields: Vec<String> = fields.filter(|text| text.contains("input resistance")).collect();
    fields.retain(|text| !text.contains("off"));
    assert_eq!(fields.len(), 1, "{:?}", window.texts());
    fields.remove(0)
}

#[test]
fn feet_become_metres() {
    let mut window = Window::demo();
    window.click_lead("Guitar", "Tuner");
    assert_eq!(window.value("length of the lead"), "6 m");
    window.fill("length of the lead", "20 ft");
    assert!((first_lead(&window).length.get() - 6.096).abs() < 1e-12);
    assert_eq!(window.value("length of the lead"), "6.096 m");
    window.assert_says("Lead from Guitar to Tuner, 6.1 m, 630 pF");
    window.command(Key::Z);
    assert_eq!(window.value("length of the lead"), "6 m");
    window.assert_idle();
}

#[test]
fn a_prefix_stands_for_the_point() {
    let mut window = Window::demo();
    window.click_device("Compressor");
    let field = input_field(&window);
    assert_eq!(window.value(&field), "470 kΩ");
    window.fill(&field, "4k7");
    assert_eq!(compressor(&window).on.input.resistance.get(), 4700.0);
    assert_eq!(window.value(&field), "4.7 kΩ");
    window.assert_says("set by you");
    window.fill(&field, "1M");
    assert_eq!(compressor(&window).on.input.resistance.get(), 1e6);
    window.assert_idle();
}

#[test]
fn tab_takes_what_was_typed_too() {
    let mut window = Window::demo();
    window.click_lead("Guitar", "Tuner");
    window.focus("length of the lead");
    window.command(Key::A);
    window.type_text("3");
    window.press(Key::Tab);
    assert_eq!(first_lead(&window).length.get(), 3.0);
    assert_eq!(window.focused().as_deref(), Some("capacitance a metre of the lead"));
}

#[test]
fn what_cannot_be_read_gets_a_sentence_with_an_example() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_lead("Guitar", "Tuner");
    window.fill("length of the lead", "a bit");
    window.assert_says("“a bit” is not understood here; type something like 6 m or 20 ft");
    window.assert_is(&before);
    assert_eq!(window.value("length of the lead"), "6 m");
    window.fill("length of the lead", "5");
    assert!(!window.says("is not understood here"), "mended, the sentence goes");
    window.assert_idle();
}

#[test]
fn a_number_out_of_range_gets_a_sentence() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_lead("Guitar", "Tuner");
    for text in ["-3", "1e300"] {
        let texts = window.texts().len();
        window.fill("length of the lead", text);
        window.assert_is(&before);
        assert!(window.texts().len() > texts || text != "-3", "a sentence: {:#?}", window.texts());
    }
    window.assert_idle();
}

#[test]
fn escape_gives_up_what_was_typed() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_lead("Guitar", "Tuner");
    window.focus("length of the lead");
    window.command(Key::A);
    window.type_text("12");
    window.press(Key::Escape);
    window.assert_is(&before);
    assert_eq!(window.value("length of the lead"), "6 m");
    window.assert_idle();
}

#[test]
fn a_sentence_about_one_device_is_not_shown_at_another() {
    let mut window = Window::demo();
    window.click_device("Compressor");
    let field = input_field(&window);
    window.fill(&field, "plenty");
    window.assert_says("“plenty” is not understood here");
    window.click_device("Fuzz");
    assert!(!window.says("is not understood here"));
    window.click_lead("Guitar", "Tuner");
    window.fill("length of the lead", "a bit");
    window.click_lead("Fuzz", "Octave");
    assert!(!window.says("is not understood here"));
}

#[test]
fn a_sentence_goes_when_escape_gives_the_field_up() {
    let mut window = Window::demo();
    window.click_lead("Guitar", "Tuner");
    window.fill("length of the lead", "a bit");
    window.focus("length of the lead");
    window.press(Key::Escape);
    assert!(!window.says("is not understood here"));
}

#[test]
fn the_arrow_keys_step_through_the_values_of_a_shop() {
    let mut window = Window::demo();
    window.click_device("Compressor");
    let field = input_field(&window);
    window.focus(&field);
    window.press(Key::ArrowUp);
    let ohms = |window: &Window| compressor(window).on.input.resistance.get();
    assert_eq!(ohms(&window).round(), 510e3);
    window.press(Key::ArrowDown);
    window.press(Key::ArrowDown);
    assert_eq!(ohms(&window).round(), 430e3);
    assert!(window.named(&field).is_focused(), "the focus stays");
}

#[test]
fn what_is_typed_into_a_field_is_no_command() {
    let mut window = Window::demo();
    window.click_lead("Guitar", "Tuner");
    let before = window.project();
    window.focus("length of the lead");
    for key in [Key::T, Key::I, Key::F, Key::Minus, Key::Space] {
        window.press(key);
    }
    assert!(!window.has("Find a part"));
    assert_eq!(window.project().test_point, None);
    window.press(Key::Escape);
    window.assert_is(&before);
}

#[test]
fn names_are_typed_over_and_each_is_one_step() {
    let mut window = Window::demo();
    let before = window.project();
    window.focus("Title of the project");
    window.command(Key::A);
    for letter in ["T", "o", "u", "r"] {
        window.type_text(letter);
    }
    window.press(Key::Enter);
    assert_eq!(window.project().title, "Tour");
    window.click_device("Wah");
    window.fill("Name of the device", "Sweep");
    assert!(window.has("Sweep, 4 of 18, wah"));
    window.command(Key::Z);
    assert!(window.has("Wah, 4 of 18"));
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_click_elsewhere_takes_what_was_typed() {
    let mut window = Window::demo();
    window.click_lead("Guitar", "Tuner");
    window.focus("length of the lead");
    window.command(Key::A);
    window.type_text("3");
    window.click_device("Fuzz");
    assert_eq!(first_lead(&window).length.get(), 3.0);
    assert_eq!(window.value("Name of the device"), "Fuzz");
}

/// Empties a field first, as many do, and then types.
fn emptied_and_typed(window: &mut Window, field: &str, text: &str) {
    window.focus(field);
    window.command(Key::A);
    window.press(Key::Backspace);
    window.type_text(text);
    window.press(Key::Enter);
}

#[test]
fn a_name_may_be_empty_on_the_way_to_another() {
    let mut window = Window::demo();
    emptied_and_typed(&mut window, "Title of the project", "Tour");
    assert_eq!(window.project().title, "Tour");
    window.click_device("Wah");
    emptied_and_typed(&mut window, "Name of the device", "Sweep");
    assert_eq!(window.variant(0).rig.devices[3].name, "Sweep");
    window.named("Variant All true bypass").click_secondary();
    window.run();
    emptied_and_typed(&mut window, "Name of the variant", "Dry");
    assert_eq!(window.variant(0).name, "Dry");
}

#[test]
fn a_name_left_empty_stays_as_it_was() {
    let mut window = Window::demo();
    let before = window.project();
    emptied_and_typed(&mut window, "Title of the project", "");
    assert!(!window.project().title.is_empty());
    window.command(Key::Z);
    window.assert_is(&before);
}

#[test]
fn saving_takes_what_is_typed_though_the_field_still_has_the_focus() {
    let mut window = crate::window::Setup::file("/rigs/pub.ron", rigwright_core::file::DEMO_BYTES).open();
    window.click_lead("Guitar", "Tuner");
    window.focus("length of the lead");
    window.command(Key::A);
    window.type_text("3");
    window.command(Key::S);
    let saved = window.host.file("/rigs/pub.ron").unwrap();
    assert_eq!(lead_between(&rigwright_core::file::read(&saved).unwrap().variants[0].rig, "Guitar", "Tuner").1, 3.0);
    assert!(!window.says("changed, not saved"));
    window.assert_idle();
}
