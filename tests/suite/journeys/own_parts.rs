//! Parts of the player's own: kept from a device, found again in another rig, changed and
//! handed on; and nothing of anybody's is lost by that.

use std::sync::Arc;

use egui::Key;
use rigwright::desk::Start;
use rigwright::jobs::{Pick, TestHost};
use rigwright_core::file::{self, read_own_parts};
use rigwright_core::rig::{Device, OwnPart};

use super::{chain, device_id};
use crate::window::{Setup, Window};

const BLANK: &str = "/rigs/blank.ron";
const PLUS: &str = "Insert a part on the lead from Guitar to Amp";

/// One more window on a machine, with a guitar, a lead and an amp.
fn window_of(host: &Arc<TestHost>) -> Window {
    host.put_file(BLANK, file::BLANK_BYTES);
    Setup { host: Arc::clone(host), start: Start::File(BLANK.into()), ..Setup::demo() }.open()
}

/// What is kept on a machine.
fn kept(host: &TestHost) -> Vec<OwnPart> {
    read_own_parts(host.own_parts().unwrap_or_default().as_bytes()).unwrap_or_default()
}

fn names(host: &TestHost) -> Vec<String> {
    kept(host).into_iter().map(|part| part.name).collect()
}

/// Keeps a device of the rig under a name.
fn keep(window: &mut Window, device: &str, name: &str) {
    window.click_device(device);
    window.find_and_click(|window| window.from("Keep as my own part…"));
    window.fill("Name of the part", name);
}

/// A machine on which somebody kept a drive at 77 € as “Red box”.
fn with_red_box() -> Arc<TestHost> {
    let mut window = Window::demo();
    window.click_device("Mild drive");
    window.fill("price of Mild drive", "77");
    window.find_and_click(|window| window.from("Keep as my own part…"));
    assert_eq!(window.value("Name of the part"), "Mild drive");
    window.fill("Name of the part", "Red box");
    window.assert_says("“Red box” is one of your own parts now.");
    window.assert_idle();
    Arc::clone(&window.host)
}

fn device(window: &Window, name: &str) -> Device {
    let rig = &window.variant(0).rig;
    rig.device(device_id(rig, name)).unwrap().clone()
}

#[test]
fn a_device_that_is_kept_is_put_into_another_rig_with_its_own_price() {
    let host = with_red_box();
    let mut window = window_of(&host);
    window.click(PLUS);
    window.assert_says("my own parts");
    window.type_text("red");
    window.assert_says("Red box, yours, 77 €");
    window.press(Key::Enter);
    assert_eq!(chain(&window.variant(0).rig), ["Guitar", "Red box", "Amp"]);
    let made = device(&window, "Red box");
    assert_eq!((made.body.price.get(), &made.part), (77.0, &kept(&host)[0].key));
    window.assert_says("A part of yours, made from “Mild drive” of the catalogue");
    // What is changed goes back to the own part's number, and not to the catalogue's 120.
    window.fill("price of Red box", "80");
    window.find_and_click(|window| window.named("Back to the default of price of Red box: 77"));
    assert_eq!(device(&window, "Red box").body.price.get(), 77.0);
    // It is the first of those that were used last, and the list that finds anything has it too.
    window.click("Insert a part on the lead from Guitar to Red box");
    let texts = window.texts();
    let at = texts.iter().position(|text| text == "used last").unwrap_or_else(|| panic!("{texts:#?}"));
    assert!(texts[at + 1].starts_with("Red box, yours"), "{texts:#?}");
    window.press(Key::Escape);
    window.command(Key::K);
    window.type_text("red box");
    window.press(Key::ArrowDown);
    window.press(Key::ArrowUp);
    window.click("Red box, my own parts");
    assert!(window.variant(0).rig.devices.iter().any(|device| device.name == "Red box 2"));
    window.assert_idle();
}

#[test]
fn own_parts_are_found_by_what_they_are_and_what_they_need() {
    let mut window = window_of(&with_red_box());
    for (typed, found) in [("overdrive", true), ("true bypass drive", true), ("9 V", true), ("under 80 €", true)]
        .into_iter()
        .chain([("18 V", false), ("under 70 €", false), ("reverb", false)])
    {
        window.click(PLUS);
        window.type_text(typed);
        assert_eq!(window.says("Red box, yours"), found, "{typed}");
        assert_eq!(window.says("my own parts"), found, "{typed}");
        window.press(Key::Escape);
    }
    window.assert_idle();
}

#[test]
fn on_another_machine_the_device_keeps_its_numbers_and_says_whose_part_it_is_not() {
    let mut window = window_of(&with_red_box());
    window.click(PLUS);
    window.type_text("red box");
    window.press(Key::Enter);
    window.command(Key::S);
    let mut other = Setup::file("/rigs/theirs.ron", window.file(BLANK).unwrap()).open();
    other.click_device("Red box");
    other.assert_says("The part that it was made from isn't in this catalogue: it keeps its own numbers.");
    assert_eq!(device(&other, "Red box"), device(&window, "Red box"));
    assert!(other.all_from("Back to the default of price").is_empty());
    assert!(!window.says("isn't in this catalogue"));
}

#[test]
fn one_name_is_one_part_and_nothing_that_is_there_is_changed() {
    let host = with_red_box();
    let before = kept(&host);
    let mut window = Setup { host: Arc::clone(&host), ..Setup::demo() }.open();
    window.click_device("Chorus");
    window.find_and_click(|window| window.from("Keep as my own part…"));
    window.focus("Name of the part");
    window.command(Key::A);
    window.type_text("Red box");
    window.assert_says("There is one of that name, which stays: this one becomes “Red box 2”.");
    window.click("Keep it");
    assert_eq!(names(&host), ["Red box", "Red box 2"]);
    assert_eq!(kept(&host)[..1], before);
    // Nothing, and no name, keep nothing.
    window.find_and_click(|window| window.from("Keep as my own part…"));
    window.fill("Name of the part", " ");
    window.assert_says("Type a name first.");
    window.press(Key::Escape);
    assert_eq!(names(&host).len(), 2);
    window.assert_idle();
}

#[test]
fn two_windows_that_keep_at_once_keep_both() {
    let host = Arc::new(TestHost::new());
    let open = || Setup { host: Arc::clone(&host), ..Setup::demo() }.open();
    let (mut one, mut other) = (open(), open());
    keep(&mut one, "Chorus", "Red box");
    // The other window doesn't know of that yet.
    keep(&mut other, "Fuzz", "Red box");
    keep(&mut one, "Compressor", "Blue box");
    assert_eq!(names(&host), ["Red box", "Red box 2", "Blue box"]);
    // Each sees what the other did once the catalogue is opened.
    for window in [&mut one, &mut other] {
        window.click("Insert a part on the lead from Guitar to Tuner");
        window.run();
        for name in names(&host) {
            assert_eq!(window.all_from(&format!("{name}, yours")).len(), 1, "{name}");
        }
        window.press(Key::Escape);
    }
    // What one removes doesn't come back by what the other does.
    one.click("Insert a part on the lead from Guitar to Tuner");
    one.find_and_click(|window| window.named("Remove Red box 2"));
    one.click("Remove it");
    keep(&mut other, "Octave", "Green box");
    assert_eq!(names(&host), ["Red box", "Blue box", "Green box"]);
}

#[test]
fn an_own_part_is_renamed_priced_and_removed_by_keyboard() {
    let host = with_red_box();
    let mut window = window_of(&host);
    window.click(PLUS);
    window.focus("Rename Red box");
    window.press(Key::Enter);
    window.assert_says("Rename “Red box”");
    assert_eq!(window.focused().as_deref(), Some("Name of the part"));
    window.fill("Name of the part", "Crimson box");
    assert_eq!(names(&host), ["Crimson box"]);
    assert!(window.has("Find a part"), "the catalogue is still open");
    window.focus("Change its price Crimson box");
    window.press(Key::Space);
    window.fill("Price of the part", "lots");
    window.assert_says("“lots” is not understood here");
    window.fill("Price of the part", "1,500");
    window.assert_says("“1,500” can be 1.5 or 1500: type one of these.");
    window.fill("Price of the part", "88.5");
    assert_eq!(kept(&host)[0].body.price.get(), 88.5);
    window.assert_says("Crimson box, yours, ");
    window.focus("Remove Crimson box");
    window.press(Key::Enter);
    window.assert_says("Remove “Crimson box” from my own parts?");
    window.click("Keep it");
    assert_eq!(names(&host), ["Crimson box"]);
    window.focus("Remove Crimson box");
    window.press(Key::Enter);
    window.click("Remove it");
    assert!(names(&host).is_empty());
    assert!(!window.says("my own parts"), "{:#?}", window.texts());
    assert_eq!(chain(&window.variant(0).rig), ["Guitar", "Amp"], "no key went past the question");
}

#[test]
fn a_right_click_has_the_same() {
    let host = with_red_box();
    let mut window = window_of(&host);
    window.click(PLUS);
    let row = window.from("Red box, yours").rect().center();
    window.right_click_at(row);
    window.click("Change its price…");
    window.fill("Price of the part", "12");
    assert_eq!(kept(&host)[0].body.price.get(), 12.0);
    // And a device on the sheet.
    window.press(Key::Escape);
    let amp = window.device("Amp").rect().center();
    window.right_click_at(amp);
    window.click("Keep as my own part…");
    window.fill("Name of the part", "My amp");
    assert_eq!(names(&host), ["Red box", "My amp"]);
}

#[test]
fn an_own_part_is_dragged_out_of_the_catalogue() {
    let mut window = window_of(&with_red_box());
    window.click(PLUS);
    window.type_text("red box");
    let row = window.from("Red box, yours").rect().center();
    let goal = window.lead("Guitar", "Amp").rect().center();
    window.hold(row, goal);
    window.harness.drop_at(goal);
    window.run();
    assert_eq!(chain(&window.variant(0).rig), ["Guitar", "Red box", "Amp"]);
}

/// Chooses an entry of the submenu.
fn choose(window: &mut Window, entry: &str) {
    window.click("Rig");
    window.click("My own parts");
    let at = window.from(entry).rect().center();
    window.click_at(at);
}

#[test]
fn own_parts_go_to_a_file_and_into_a_fresh_machine_once() {
    let host = with_red_box();
    let mut window = Setup { host: Arc::clone(&host), ..Setup::demo() }.open();
    keep(&mut window, "Chorus", "Blue box");
    host.will_pick(Pick::Path("/handed/mine".into()));
    choose(&mut window, "Save my own parts…");
    assert_eq!(host.suggested().unwrap(), "my own parts.ron");
    window.assert_says("Your own parts are in “mine.ron”.");
    let text = window.file("/handed/mine.ron").unwrap();
    assert_eq!(read_own_parts(text.as_bytes()).unwrap(), kept(&host));

    let fresh = Arc::new(TestHost::new());
    fresh.put_file("/got/theirs.ron", text);
    let mut window = window_of(&fresh);
    let rig = window.project();
    for said in ["2 parts were taken in.", "No part was taken in; 2 were there already."] {
        fresh.will_pick(Pick::Path("/got/theirs.ron".into()));
        choose(&mut window, "Take in parts from a file…");
        window.assert_says(said);
        assert_eq!(kept(&fresh), kept(&host));
    }
    window.assert_is(&rig);
    window.click(PLUS);
    window.type_text("red box");
    window.press(Key::Enter);
    assert_eq!(device(&window, "Red box").body.price.get(), 77.0);
    // On a desktop without dialogs the path is typed.
    choose(&mut window, "Save my own parts…");
    window.assert_says("Save my own parts to which file?");
    window.fill("Path of the file", "/got/theirs.ron");
    window.assert_says("There is a file of that name");
    window.click("Keep it");
    choose(&mut window, "Take in parts from a file…");
    window.fill("Path of the file", "/got/nothing.ron");
    window.assert_says("“nothing.ron” can't be opened: there is no such file.");
}

#[test]
fn a_file_of_parts_that_is_dropped_or_opened_is_taken_in_and_the_rig_stays() {
    let text = with_red_box().own_parts().unwrap();
    let mut window = window_of(&Arc::new(TestHost::new()));
    window.host.put_file("/got/theirs.ron", text);
    window.host.put_file("/rigs/demo.ron", file::DEMO_BYTES);
    // With work that isn't saved, and nothing is asked.
    window.click(PLUS);
    window.type_text("buffer");
    window.press(Key::Enter);
    let before = window.project();
    window.drop_files(&["/got/theirs.ron"]);
    window.assert_says("1 part was taken in.");
    assert!(!window.says("Save your changes first?"));
    window.assert_is(&before);
    // A rig is asked about all the same.
    window.drop_files(&["/rigs/demo.ron"]);
    window.assert_says("Save your changes first?");
    window.click("Don't save");
    assert_eq!(window.project().title, "Pit rig, spring tour");
    window.drop_files(&["/got/theirs.ron"]);
    window.assert_says("No part was taken in; 1 was there already.");
    window.host.will_pick(Pick::Path("/got/theirs.ron".into()));
    window.command(Key::O);
    window.assert_says("No part was taken in; 1 was there already.");
    assert_eq!(window.project().title, "Pit rig, spring tour");
    window.assert_idle();
}

#[test]
fn what_is_no_file_of_parts_is_refused_with_its_place() {
    let host = with_red_box();
    let before = host.own_parts();
    let mut window = window_of(&host);
    let broken = before.clone().unwrap().replacen("mass:", "mas:", 1);
    for (text, said) in [
        (String::from_utf8(file::BLANK_BYTES.to_vec()).unwrap(), "this is no file of own parts"),
        ("(own_parts: 7)".to_owned(), "these own parts are from a newer Rigwright (version 7"),
        (broken, "in “body” of the 1st part: “mas” doesn't belong here"),
    ] {
        host.put_file("/got/odd.ron", text);
        host.will_pick(Pick::Path("/got/odd.ron".into()));
        choose(&mut window, "Take in parts from a file…");
        window.assert_says("No parts are taken in from “odd.ron”: ");
        window.assert_says(said);
        assert_eq!(host.own_parts(), before);
    }
}

#[test]
fn a_damaged_file_is_put_aside_and_said_and_a_newer_one_stays() {
    let host = Arc::new(TestHost::new());
    host.put_own_parts("(own_parts: 1, parts: [(key:");
    let mut window = Setup { host: Arc::clone(&host), ..Setup::demo() }.open();
    window.assert_says("The file of your own parts can't be read (line 1, column ");
    assert_eq!(host.own_parts_aside().unwrap(), b"(own_parts: 1, parts: [(key:");
    keep(&mut window, "Chorus", "Blue box");
    assert_eq!(names(&host), ["Blue box"]);

    let newer = "(own_parts: 7, later: 1)";
    host.put_own_parts(newer);
    let mut window = Setup { host: Arc::clone(&host), ..Setup::demo() }.open();
    window.assert_says("Your own parts aren't kept: these own parts are from a newer Rigwright");
    keep(&mut window, "Chorus", "Blue box");
    assert_eq!(host.own_parts().as_deref(), Some(newer));
    window.assert_says("Your own parts aren't kept");
}
