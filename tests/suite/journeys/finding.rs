//! One list that finds anything, pages of help, and how large all of the window is.

use std::sync::Arc;

use egui::{Key, Modifiers};
use egui_kittest::Node;
use egui_kittest::kittest::NodeT;
use rigwright::command::Command;
use rigwright::help::Topic;
use rigwright_core::terms::TERMS;

use super::{chain, device_id, is_on, lead_between};
use crate::rigs;
use crate::window::{Setup, Window};

const FIELD: &str = "Find anything";

/// Opens the list, types and presses Enter.
fn find(window: &mut Window, text: &str) {
    window.command(Key::K);
    window.type_text(text);
    window.press(Key::Enter);
}

#[test]
fn every_command_is_in_the_list_with_its_keys() {
    let mut window = Setup { size: [1440.0, 2400.0], ..Setup::demo() }.open();
    window.command(Key::K);
    assert_eq!(window.focused().as_deref(), Some(FIELD));
    for command in Command::ALL {
        let keys = command.keys().join(" or ");
        let name = if keys.is_empty() { command.name().to_owned() } else { format!("{}, {keys}", command.name()) };
        assert!(window.has(&name), "{name} in {:#?}", window.texts());
    }
    window.assert_says("Devices and leads");
    window.assert_says("Parts of the catalogue");
    window.press(Key::Escape);
    assert!(!window.has(FIELD));
    window.assert_idle();
}

#[test]
fn a_command_is_done_by_a_few_letters() {
    let mut window = Window::demo();
    let before = window.project();
    window.click("Switch of Compressor");
    find(&mut window, "und");
    assert!(!window.has(FIELD), "done, the list goes");
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn what_cannot_be_done_now_says_why_and_isn_t() {
    let mut window = Window::demo();
    let before = window.project();
    find(&mut window, "undo");
    assert!(window.has(FIELD), "nothing was done");
    window.assert_says("There is nothing to undo.");
    window.assert_is(&before);
    window.press(Key::Escape);
    window.assert_idle();
}

#[test]
fn arrows_walk_and_what_fits_best_stands_first() {
    let mut window = Window::demo();
    window.command(Key::F);
    window.type_text("fuzz");
    // The unit of that name before parts, and those before findings that tell of one.
    window.press(Key::ArrowDown);
    window.press(Key::ArrowUp);
    window.press(Key::Enter);
    assert_eq!(window.value("Name of the device"), "Fuzz");
    window.assert_idle();
}

#[test]
fn a_device_is_selected_and_shown_from_either_screen() {
    let mut window = Window::demo();
    window.click("Power");
    find(&mut window, "guitar");
    assert_eq!(window.value("Name of the device"), "Guitar", "it is on the Chain screen");
    assert!(window.has("Sheet with the rig as a circuit drawing"));
    let supply =
        window.variant(0).rig.devices.iter().find(|device| device.kind.supply().is_some()).unwrap().name.clone();
    find(&mut window, &supply);
    assert!(!window.has("Sheet with the rig as a circuit drawing"), "a supply is on the other one");
    assert_eq!(window.value("Name of the supply"), supply);
    window.assert_idle();
}

#[test]
fn a_lead_is_found_by_its_ends() {
    let mut window = Window::demo();
    find(&mut window, "lead guitar tuner");
    window.assert_says("620 pF in all, both plugs counted");
    assert!(window.has("length of the lead"));
    window.assert_idle();
}

#[test]
fn a_part_goes_onto_the_selected_lead_or_onto_the_sheet() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_lead("Guitar", "Tuner");
    window.command(Key::K);
    window.type_text("treble booster");
    let name = window.texts().into_iter().find(|text| text.ends_with(", drives") || text.ends_with(", fuzz"));
    let part = name.unwrap_or_else(|| panic!("{:?}", window.texts()));
    let part = part.rsplit_once(", ").unwrap().0.to_owned();
    window.press(Key::Enter);
    let rig = window.variant(0).rig.clone();
    assert_eq!(chain(&rig)[..3], ["Guitar", part.as_str(), "Tuner"]);
    assert_eq!(lead_between(&rig, "Guitar", &part).1, 6.0);
    window.command(Key::Z);
    window.assert_is(&before);
    // With no lead selected it is put on the sheet.
    window.press(Key::Escape);
    find(&mut window, "treble booster");
    let rig = window.variant(0).rig.clone();
    let id = device_id(&rig, &part);
    assert!(rig.leads.iter().all(|lead| lead.from.device != id && lead.to.device != id));
    assert_eq!(window.value("Name of the device"), part);
    window.assert_idle();
}

#[test]
fn a_finding_is_shown_in_its_list_however_far_down() {
    let mut window = Window::demo();
    window.click("Switches");
    window.click_device("Fuzz");
    window.command(Key::K);
    // One that is folded away: only to know, of power or of a ground loop.
    let of = |text: &String| text.ends_with(", to know");
    window.type_text("loop");
    let listed: Vec<String> = window.texts().into_iter().filter(of).collect();
    assert!(!listed.is_empty(), "{:#?}", window.texts());
    let sentence = listed.last().unwrap().strip_suffix(", to know").unwrap().to_owned();
    window.find_and_click(|window| window.named(&format!("{sentence}, to know")));
    assert!(!window.has(FIELD));
    window.assert_says("Hide what there is to know of power and ground loops");
    let seen = window.texts().into_iter().filter(|text| *text == sentence).count();
    assert_eq!(seen, 1, "{:#?}", window.texts());
    assert!(!window.has("Name of the device"), "the list stands where the inspector was");
    for _ in 0..30 {
        window.harness.step();
    }
    let says = |node: &Node<'_>| {
        let node = node.accesskit_node();
        [node.label(), node.value()].iter().flatten().any(|text| *text == sentence)
    };
    let told = window.harness.root().children_recursive().find(says).unwrap().rect();
    let tab = window.named("Findings").rect();
    assert!(told.top() > tab.bottom() && told.bottom() < 900.0, "{told:?} is scrolled into sight below {tab:?}");
    window.assert_idle();
}

#[test]
fn help_comes_first_by_its_key_and_pages_are_read() {
    let mut window = Setup { size: [1440.0, 2400.0], ..Setup::demo() }.open();
    window.press(Key::F1);
    assert_eq!(window.focused().as_deref(), Some(FIELD));
    let texts = window.texts();
    let place = |words: &str| texts.iter().position(|text| text == words).unwrap_or_else(|| panic!("{words}"));
    assert!(place("Help") < place("Commands"));
    window.press(Key::Enter);
    window.assert_says(Topic::Drawing.title());
    window.assert_says("Every lead has a plus in its middle");
    assert_eq!(window.focused().as_deref(), Some("Back to the list"));
    window.press(Key::Enter);
    assert_eq!(window.focused().as_deref(), Some(FIELD));
    window.type_text("key card");
    window.press(Key::Enter);
    for command in Command::ALL.into_iter().filter(|command| !command.keys().is_empty()) {
        window.assert_says(&command.keys().join(" or "));
        window.assert_says(command.name());
    }
    window.press(Key::Escape);
    assert!(!window.has("Back to the list"));
    window.assert_idle();
}

#[test]
fn a_term_is_explained_by_its_name() {
    let mut window = Window::demo();
    let term = TERMS.iter().find(|term| term.name == "lead equivalent").unwrap();
    window.command(Key::K);
    window.type_text("lead equi");
    window.assert_says(&format!("{} {}", term.what, term.so));
    window.press(Key::Enter);
    window.assert_says(Topic::Terms.title());
    window.assert_says(term.so);
    window.press(Key::Escape);
    window.assert_idle();
}

#[test]
fn the_help_key_works_while_a_number_is_typed_and_takes_the_number() {
    let mut window = Window::demo();
    window.click_lead("Guitar", "Tuner");
    window.focus("length of the lead");
    window.command(Key::A);
    window.type_text("3");
    window.press(Key::F1);
    assert!(window.has(FIELD));
    window.press(Key::Escape);
    assert_eq!(lead_between(&window.variant(0).rig, "Guitar", "Tuner").1, 3.0);
}

#[test]
fn keys_are_the_lists_own_while_it_is_open() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_device("Compressor");
    window.command(Key::K);
    for key in [Key::Delete, Key::Space, Key::T, Key::I] {
        window.press(key);
    }
    window.press_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::D);
    window.assert_is(&before);
    assert!(!is_on(&before, device_id(&before.variants[0].rig, "Compressor")));
    window.press(Key::Escape);
    assert_eq!(window.value("Name of the device"), "Compressor", "Escape closes the list and no more");
}

#[test]
fn the_scale_is_chosen_by_key_by_the_menu_and_from_the_list_and_remembered() {
    let mut window = Window::demo();
    let zoom = |window: &Window| window.harness.ctx.zoom_factor();
    let kept = |window: &Window| window.host.settings().unwrap();
    window.command(Key::Plus);
    assert_eq!(zoom(&window), 1.25);
    assert!(kept(&window).contains("zoom: 1.25"), "{}", kept(&window));
    window.command(Key::Minus);
    window.command(Key::Minus);
    assert_eq!(zoom(&window), 0.75);
    window.command(Key::Minus);
    assert_eq!(zoom(&window), 0.75, "no smaller");
    window.command(Key::Num0);
    assert_eq!(zoom(&window), 1.0);
    find(&mut window, "scale 175");
    assert_eq!(zoom(&window), 1.75);
    assert!(kept(&window).contains("zoom: 1.75"));
    window.command(Key::Num0);
    window.click("Rig");
    window.click("Scale and look");
    window.click("Scale 150 %");
    assert_eq!(zoom(&window), 1.5);
    // The next window begins with it.
    let again = Setup { host: Arc::clone(&window.host), ..Setup::demo() }.open();
    assert_eq!(again.harness.ctx.zoom_factor(), 1.5);
}

#[test]
fn a_large_rig_is_searched_whole_and_listed_in_part() {
    let mut window = Window::of(&rigs::sixty_four());
    let last = window.variant(0).rig.devices.iter().map(|device| device.name.clone()).nth(50).unwrap();
    find(&mut window, &last);
    assert_eq!(window.value("Name of the device"), last);
    window.command(Key::K);
    window.type_text("lead");
    assert!(window.texts().iter().any(|text| text.starts_with("Devices and leads: ")), "{:#?}", window.texts());
}
