//! Numbers that are asked about, stepped, looked at while they are typed, and set back to
//! their defaults.

use egui::Key;
use rigwright_core::response::words::peak_change;
use rigwright_core::rig::{Edit, Kind, Lead, fields};
use rigwright_core::units::Farads;

use super::{answers, device_id, lead_between};
use crate::window::{Setup, Window};

const LENGTH: &str = "length of the lead";
const CAPACITANCE: &str = "capacitance a metre of the lead";
const RESISTANCE: &str = "pickup resistance of Guitar";

fn first_lead(window: &Window) -> Lead {
    let rig = &window.variant(0).rig;
    rig.lead(lead_between(rig, "Guitar", "Tuner").0).unwrap().clone()
}

/// The guitar's pickup resistance in ohms.
fn ohms(window: &Window) -> f64 {
    let Kind::Guitar(guitar) = &window.variant(0).rig.devices[0].kind else { panic!("no guitar") };
    guitar.pickup.resistance.get()
}

/// A tall window with the guitar selected, so that all its numbers are in sight.
fn guitar() -> Window {
    let mut window = Setup { size: [1440.0, 1600.0], ..Setup::demo() }.open();
    window.click_device("Guitar");
    window
}

/// Types over what a field holds, and goes on to nothing.
fn typed(window: &mut Window, field: &str, text: &str) {
    window.focus(field);
    window.command(Key::A);
    window.type_text(text);
}

#[test]
fn a_comma_that_may_part_thousands_is_asked_about() {
    let mut window = guitar();
    let before = window.project();
    let (small, large) = (format!("1.5 MΩ: {RESISTANCE}"), format!("1.5 GΩ: {RESISTANCE}"));
    assert!(!window.has(&small));
    window.fill(RESISTANCE, "1,500M");
    window.assert_says("“1,500M” is");
    window.assert_is(&before);
    assert_eq!(window.focused().as_deref(), Some(small.as_str()), "the keyboard comes to the first of both");
    assert_ne!(window.value(RESISTANCE), "1,500M", "what isn't taken isn't shown as if it were");
    // The other one by the keyboard.
    window.press(Key::Tab);
    assert_eq!(window.focused().as_deref(), Some(large.as_str()));
    window.press(Key::Enter);
    // No resistance goes up to that, and so it is said.
    window.assert_is(&before);
    window.assert_says("a resistance can't be 1.5 GΩ");
    window.fill(RESISTANCE, "1,500k");
    window.press(Key::Enter);
    assert_eq!(ohms(&window), 1500.0);
    assert_eq!(window.value(RESISTANCE), "1.5 kΩ");
    assert!(!window.has(&small) && !window.has(&large), "answered, the question goes");
    assert_eq!(window.focused().as_deref(), Some(RESISTANCE));
    window.press(Key::Escape);
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn the_mouse_chooses_too_and_typing_on_takes_the_question_away() {
    let mut window = guitar();
    typed(&mut window, RESISTANCE, "1,500");
    let (small, large) = (format!("1.5 Ω: {RESISTANCE}"), format!("1.5 kΩ: {RESISTANCE}"));
    assert!(window.has(&small) && window.has(&large), "while it is being typed");
    window.type_text("0");
    assert!(!window.has(&small), "1,5000 is 1.5");
    window.press(Key::Backspace);
    window.find_and_click(|window| window.named(&large));
    assert_eq!(ohms(&window), 1500.0);
    assert!(!window.has(&large));
    window.assert_idle();
}

#[test]
fn escape_gives_the_question_up() {
    let mut window = guitar();
    let before = window.project();
    let large = format!("1.5 kΩ: {RESISTANCE}");
    window.fill(RESISTANCE, "1,500");
    window.press(Key::Escape);
    assert!(!window.has(&large));
    window.assert_is(&before);
    assert!(window.has(RESISTANCE), "the guitar is still selected");
    // And it doesn't outlive the field.
    window.fill(RESISTANCE, "1,500");
    window.click_device("Fuzz");
    window.click_device("Guitar");
    assert!(!window.has(&large));
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_question_can_be_typed_on() {
    let mut window = guitar();
    window.fill(RESISTANCE, "1,500");
    window.focus(RESISTANCE);
    assert_eq!(window.value(RESISTANCE), "1,500");
    window.press(Key::End);
    window.type_text(".0");
    window.press(Key::Enter);
    assert_eq!(ohms(&window), 1500.0);
}

#[test]
fn metres_with_one_figure_behind_are_asked_about() {
    let mut window = Window::demo();
    window.click_lead("Guitar", "Tuner");
    window.fill(LENGTH, "1 m 20");
    assert_eq!(first_lead(&window).length.get(), 1.2);
    window.fill(LENGTH, "5'6\"");
    assert_eq!(window.value(LENGTH), "1.6764 m");
    window.fill(LENGTH, "1 m 5");
    assert_eq!(window.value(LENGTH), "1.6764 m");
    window.click(&format!("1.05 m: {LENGTH}"));
    assert_eq!(first_lead(&window).length.get(), 1.05);
    window.assert_idle();
}

#[test]
fn a_field_without_a_list_asks_as_well() {
    let mut window = Setup { size: [1440.0, 1600.0], ..Setup::demo() }.open();
    window.find_and_click(|window| window.named("What may be changed …"));
    window.named("shortest lead").scroll_to_me();
    window.run();
    window.fill("shortest lead", "2,000");
    window.find_and_click(|window| window.named("2 m: shortest lead"));
    assert_eq!(window.value("shortest lead"), "2 m");
}

#[test]
fn page_keys_take_larger_steps_and_a_row_of_steps_is_one_undo() {
    let mut window = guitar();
    let before = window.project();
    window.fill(RESISTANCE, "5k");
    window.focus(RESISTANCE);
    window.press(Key::PageUp);
    assert_eq!(ohms(&window), 6.8e3, "E6");
    window.press(Key::PageDown);
    window.press(Key::PageDown);
    window.press(Key::ArrowUp);
    assert_eq!(ohms(&window), 3.6e3, "E24");
    window.press(Key::Tab);
    window.command(Key::Z);
    assert_eq!(ohms(&window), 5e3, "all steps back");
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_step_goes_on_from_what_is_typed() {
    let mut window = Window::demo();
    window.click_lead("Guitar", "Tuner");
    typed(&mut window, LENGTH, "3");
    window.press(Key::ArrowUp);
    assert_eq!(first_lead(&window).length.get(), 3.5);
    assert_eq!(window.value(LENGTH), "3.5 m");
}

#[test]
fn what_is_typed_shows_at_once_what_it_does_to_the_peak() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_lead("Guitar", "Tuner");
    assert!(window.harness.state().ghost().is_none());
    typed(&mut window, CAPACITANCE, "200p");
    let (variant, mut lead) = (window.variant(0).id, first_lead(&window));
    lead.cable.capacitance = rigwright_core::units::FaradsPerMetre::of(200e-12);
    let changed = rigwright_core::rig::apply(&before, &Edit::SetLead { variant, lead: Box::new(lead) }).unwrap();
    let ghost = window.harness.state().ghost().expect("a curve of what is typed").clone();
    assert_eq!(ghost.words, "capacitance a metre: 200 pF/m");
    assert_eq!(*ghost.response, answers(&changed)[0]);
    let (was, is) = (&answers(&before)[0], &answers(&changed)[0]);
    let line = peak_change(was.main().unwrap(), is.main().unwrap());
    assert!(line.starts_with("Peak 2.") && line.contains(" → "), "{line}");
    window.assert_says(&line);
    window.assert_is(&before);
    // The pointer rests on a unit meanwhile: what is typed goes before.
    let at = window.device("Compressor").rect().center();
    window.harness.hover_at(at);
    window.run();
    assert_eq!(window.harness.state().ghost().unwrap().words, "capacitance a metre: 200 pF/m");
    window.harness.remove_cursor();
    // Half a number has no curve, and neither has what nobody can read.
    window.type_text("x");
    assert!(window.harness.state().ghost().is_none());
    assert!(!window.says(&line));
    window.press(Key::Backspace);
    assert!(window.says(&line));
    window.press(Key::Escape);
    assert!(window.harness.state().ghost().is_none());
    assert!(!window.says(" → "));
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_number_that_no_signal_knows_shows_no_curve() {
    let mut window = guitar();
    window.named("price of Guitar").scroll_to_me();
    window.run();
    typed(&mut window, "price of Guitar", "1234");
    assert!(window.harness.state().ghost().is_none());
    assert!(!window.says("Peak stays"));
    window.press(Key::Enter);
    window.assert_idle();
}

#[test]
fn what_is_out_of_range_is_told_while_it_is_typed() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_lead("Guitar", "Tuner");
    typed(&mut window, LENGTH, "-3");
    window.assert_says("can't be −3 m");
    window.press(Key::Escape);
    assert!(!window.says("can't be −3 m"));
    window.assert_is(&before);
}

#[test]
fn back_to_the_default_is_one_step() {
    let mut window = Window::demo();
    window.click_lead("Guitar", "Tuner");
    let back = |window: &Window| window.texts_from("Back to the default of ");
    assert_eq!(back(&window), [""; 0]);
    let before = window.project();
    window.fill(CAPACITANCE, "80p");
    assert_eq!(back(&window), [format!("Back to the default of {CAPACITANCE}: 100 pF/m")]);
    let changed = window.project();
    // Pointed at, the button shows the curve; the keyboard does that, too.
    window.focus(&format!("Back to the default of {CAPACITANCE}: 100 pF/m"));
    assert_eq!(window.harness.state().ghost().unwrap().words, "capacitance a metre: 100 pF/m");
    window.press(Key::Enter);
    window.assert_is(&before);
    assert_eq!(back(&window), [""; 0]);
    window.command(Key::Z);
    window.assert_is(&changed);
    window.assert_idle();
}

#[test]
fn the_default_is_that_of_the_part_with_its_own_bypass() {
    let mut window = Setup { size: [1440.0, 1600.0], ..Setup::demo() }.open();
    window.click_device("Compressor");
    let before = window.project();
    // What only a buffered bypass has is the catalogue's as well.
    window.click("bypass");
    window.click("buffered bypass");
    let field = "input resistance, off of Compressor";
    let was = window.value(field);
    let id = device_id(&window.variant(0).rig, "Compressor");
    let sources = |window: &Window| window.texts().iter().filter(|text| *text == "set by you").count();
    let own = sources(&window);
    window.fill(field, "123k");
    assert_eq!(sources(&window), own + 1);
    window.click(&format!("Back to the default of {field}: {was}"));
    assert_eq!(window.value(field), was);
    assert_eq!(sources(&window), own);
    let listed = fields(window.variant(0).rig.device(id).unwrap());
    assert!(listed.iter().any(|field| field.path == "off.input.resistance"));
    window.command(Key::Z);
    window.command(Key::Z);
    window.command(Key::Z);
    window.assert_is(&before);
}

#[test]
fn what_a_unit_has_besides_begins_with_a_number_that_says_where_it_comes_from() {
    let mut window = Setup { size: [1440.0, 1800.0], ..Setup::demo() }.open();
    window.click_device("Compressor");
    let own = |window: &Window| window.texts().iter().filter(|text| *text == "set by you").count();
    let before = own(&window);
    window.click("its output is a level pot");
    let field = "level pot of Compressor";
    assert_eq!((window.value(field).as_str(), own(&window)), ("100 kΩ", before));
    window.fill(field, "500k");
    assert_eq!(own(&window), before + 1);
    window.find_and_click(|window| window.from(&format!("Back to the default of {field}: ")));
    assert_eq!((window.value(field).as_str(), own(&window)), ("100 kΩ", before));
    window.assert_idle();
}

#[test]
fn numbers_of_power_go_back_too() {
    let mut window = Setup { size: [1440.0, 1500.0], ..Setup::demo() }.open();
    window.click("Power");
    let at = window.from("Delay, fed by ").rect().center();
    window.click_at(at);
    let before = window.project();
    let field = "draws of Delay";
    let was = window.value(field);
    window.fill(field, "432m");
    let back = window.texts_from(&format!("Back to the default of {field}"));
    assert_eq!(back.len(), 1, "{:?}", window.texts());
    window.find_and_click(|window| window.named(&back[0]));
    assert_eq!(window.value(field), was);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_catalogue_number_typed_by_hand_is_the_catalogues() {
    let mut window = guitar();
    let Kind::Guitar(guitar) = &window.variant(0).rig.devices[0].kind else { panic!("no guitar") };
    let Some(tone) = &guitar.tone else { panic!("no tone") };
    let (field, before) = ("tone capacitor of Guitar", window.project());
    assert_ne!(tone.capacitor, Farads::of(10e-9));
    let was = window.value(field);
    window.fill(field, "10n");
    window.fill(field, &was.replace(" nF", "n"));
    window.assert_is(&before);
    assert_eq!(window.texts_from(&format!("Back to the default of {field}")), [""; 0]);
}
