//! Sounds: how everything stands, kept under a name, chosen back, changed, put in order.

use egui::{Key, Modifiers};
use egui_kittest::kittest::NodeT;
use rigwright_core::file;
use rigwright_core::rig::{Edit, SoundEdit, State, apply};

use super::{answers, device_id, is_on};
use crate::window::{Setup, Window};

/// The demo, tall enough to show the whole list, with the page of sounds open.
fn sounds() -> Window {
    let mut window = Setup { size: [1440.0, 1600.0], ..Setup::demo() }.open();
    window.click("Sounds");
    window
}

fn names(window: &Window) -> Vec<String> {
    window.project().sounds.iter().map(|sound| sound.name.clone()).collect()
}

/// The names of the units that are on, in the rig's order.
fn on(window: &Window) -> Vec<String> {
    let state = &window.project().state;
    let rig = &window.variant(0).rig;
    rig.devices.iter().filter(|device| device.is_on(state)).map(|device| device.name.clone()).collect()
}

#[test]
fn a_sound_is_kept_and_chosen_back_in_one_step() {
    let mut window = sounds();
    window.click("Switch of Wah");
    window.click("Switch of Delay");
    assert_eq!(window.value("Name of the next sound"), "Wah and Delay", "a name that is free");
    window.fill("Name of the next sound", "Second verse");
    let kept = window.project();
    assert_eq!(names(&window).last().map(String::as_str), Some("Second verse"));
    assert_eq!(kept.sounds.last().unwrap().state, kept.state);
    assert_eq!(kept.sounds.len(), 6);
    window.assert_says("As it stands now");

    for unit in ["Wah", "Fuzz", "Tremolo"] {
        window.click(&format!("Switch of {unit}"));
    }
    let changed = window.project();
    window.click("Sound Second verse");
    assert_eq!(on(&window), ["Wah", "Delay"]);
    window.assert_is(
        &apply(&changed, &Edit::Sound(SoundEdit::Recall { sound: kept.sounds[5].id, variant: changed.variants[0].id }))
            .unwrap(),
    );
    window.command(Key::Z);
    window.assert_is(&changed);
    window.assert_idle();
}

#[test]
fn a_click_on_a_sound_brings_its_knobs_too_and_the_figures_follow() {
    let mut window = sounds();
    let before = window.project();
    window.click("Sound Underscore, quiet");
    let project = window.project();
    let quiet = before.sounds.iter().find(|sound| sound.name == "Underscore, quiet").unwrap();
    assert_eq!(project.state, quiet.state);
    assert!(!project.state.turned.is_empty());
    window.assert_says("Guitar volume at 60 %");
    let shown = window.harness.state().answers().get(project.variants[0].id).unwrap();
    assert_eq!(**shown, answers(&project)[0]);
    // The same sound again is no step.
    window.click("Sound Underscore, quiet");
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_sound_that_was_changed_since_says_so_and_takes_the_change() {
    let mut window = sounds();
    window.click("Sound Solo");
    assert!(!window.says("Changed since"));
    window.click("Switch of Chorus");
    window.assert_says("Changed since");
    let before = window.project();
    window.click("Keep the change");
    let solo = window.project().sounds[2].clone();
    assert_eq!((solo.name.as_str(), &solo.state), ("Solo", &before.state));
    assert_eq!((&solo.notes, solo.id), (&before.sounds[2].notes, before.sounds[2].id));
    assert!(!window.says("Changed since"));
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_says("Changed since");
    // Back before it was chosen, nothing came from it.
    window.command(Key::Z);
    window.command(Key::Z);
    assert_eq!(window.project().state, State::default());
    assert!(!window.says("Changed since"));
    window.assert_idle();
}

#[test]
fn a_sound_is_renamed_and_noted_each_in_one_step() {
    let mut window = sounds();
    let before = window.project();
    window.click("More of the sound Solo");
    window.focus("Name of the sound");
    window.command(Key::A);
    for letter in ["B", "i", "g"] {
        window.type_text(letter);
    }
    window.press(Key::Enter);
    assert_eq!(names(&window)[2], "Big");
    assert!(window.has("Sound Big"));
    let renamed = window.project();
    window.focus("Notes of the sound Big");
    window.command(Key::A);
    window.type_text("Patch 9");
    window.type_text(", loud");
    window.focus("Sound Big");
    assert_eq!(window.project().sounds[2].notes, "Patch 9, loud");
    window.command(Key::Z);
    window.assert_is(&renamed);
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn sounds_are_put_in_order_by_buttons_keys_and_the_mouse() {
    let mut window = sounds();
    let before = window.project();
    let order = ["Verse, clean", "Chorus, full", "Solo", "Underscore, quiet", "Tune"];
    assert_eq!(names(&window), order);
    window.click("More of the sound Tune");
    window.click("Move up");
    assert_eq!(names(&window), ["Verse, clean", "Chorus, full", "Solo", "Tune", "Underscore, quiet"]);
    window.click("Move down");
    assert_eq!(names(&window), order);

    window.focus("Sound Solo");
    window.press_with(Modifiers::ALT, Key::ArrowUp);
    window.press_with(Modifiers::ALT, Key::ArrowUp);
    assert_eq!(names(&window), ["Solo", "Verse, clean", "Chorus, full", "Underscore, quiet", "Tune"]);
    assert_eq!(window.focused().as_deref(), Some("Sound Solo"), "it keeps the keyboard");
    window.press_with(Modifiers::ALT, Key::ArrowUp);
    window.press_with(Modifiers::ALT, Key::ArrowDown);
    assert_eq!(names(&window), ["Verse, clean", "Solo", "Chorus, full", "Underscore, quiet", "Tune"]);

    let from = window.named("Sound Verse, clean").rect().center();
    let to = window.named("Sound Tune").rect().center() + egui::vec2(0.0, 80.0);
    window.drag(from, to);
    assert_eq!(names(&window), ["Solo", "Chorus, full", "Underscore, quiet", "Tune", "Verse, clean"]);
    assert_eq!(window.project().state, State::default(), "a drag chooses nothing");
    let (from, to) = (window.named("Sound Tune").rect().center(), window.named("Sound Solo").rect().center());
    window.drag(from, to - egui::vec2(0.0, 4.0));
    assert_eq!(names(&window)[..2], ["Tune", "Solo"]);
    // Dropped where it was, it is no step: five and three are taken back.
    for _ in 0..8 {
        window.command(Key::Z);
    }
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_sound_is_removed_and_comes_back_by_undo() {
    let mut window = sounds();
    let before = window.project();
    window.click("More of the sound Chorus, full");
    window.click("Remove it");
    assert_eq!(names(&window), ["Verse, clean", "Solo", "Underscore, quiet", "Tune"]);
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_sound_says_which_unit_this_rig_lacks_and_who_has_it() {
    let mut window = sounds();
    window.click("Variant Buffer after the guitar");
    window.click_device("Fuzz");
    window.press(Key::Delete);
    window.press(Key::Escape);
    window.assert_says("Asks for Fuzz, which this rig lacks (it is in All true bypass).");
    // It is chosen all the same, and in the other rig it is whole.
    window.click("Sound Solo");
    let fuzz = device_id(&window.variant(0).rig, "Fuzz");
    assert!(is_on(&window.project(), fuzz));
    window.click("Variant All true bypass");
    assert!(!window.says("which this rig lacks"));
    assert_eq!(on(&window), ["Fuzz", "Delay", "Reverb"]);
    window.assert_idle();
}

#[test]
fn the_curve_of_a_sound_is_the_rigs_when_it_is_chosen() {
    let mut window = sounds();
    window.click("Show the curve of the sound Solo");
    window.assert_idle();
    let shown = window.harness.state().sounds().curves().to_vec();
    assert_eq!(shown.iter().map(|curve| curve.name.as_str()).collect::<Vec<_>>(), ["Solo"]);
    assert!(window.has("Line of the sound Solo"), "its line in the plot has a name");
    assert!(
        window.from("Level plot ").accesskit_node().label().unwrap().contains(". Solo: "),
        "and so have its figures"
    );
    window.click("Show the curve of the sound Verse, clean");
    assert_eq!(window.harness.state().sounds().curves().len(), 2);
    window.click("Show the curve of the sound Verse, clean");
    window.click("Sound Solo");
    assert_eq!(*shown[0].response, answers(&window.project())[0]);
    window.click("Show the curve of the sound Solo");
    assert!(window.harness.state().sounds().curves().is_empty());
    assert!(window.all_from("Line of the sound ").is_empty());
}

#[test]
fn everything_of_the_page_has_a_name_and_tab_gets_there() {
    let mut window = sounds();
    window.click("More of the sound Solo");
    let unnamed = window.harness.unnamed_widgets();
    assert!(unnamed.is_empty(), "{unnamed:#?}");
    let mut wanted: Vec<String> = window.texts_from("Sound ");
    assert_eq!(wanted.len(), 5);
    let more = ["Name of the next sound", "Keep as a sound", "Name of the sound", "Notes of the sound Solo", "Move up"];
    wanted.extend(more.map(str::to_owned));
    wanted.extend(window.texts_from("Show the curve of the sound "));
    window.focus("Sounds");
    for _ in 0..60 {
        window.press(Key::Tab);
        let focused = window.focused();
        wanted.retain(|name| Some(name) != focused.as_ref());
    }
    assert!(wanted.is_empty(), "Tab never comes to {wanted:?}");
}

#[test]
fn sounds_are_in_the_file_with_their_order() {
    let demo = file::write(&file::demo().unwrap()).unwrap();
    let mut window = Setup { size: [1440.0, 1600.0], ..Setup::file("/rigs/own.ron", demo) }.open();
    window.click("Sounds");
    window.click("More of the sound Tune");
    window.click("Move up");
    window.fill("Name of the next sound", "All is quiet");
    window.command(Key::S);
    let written = file::read(window.file("/rigs/own.ron").unwrap().as_bytes()).unwrap();
    let names: Vec<&str> = written.sounds.iter().map(|sound| sound.name.as_str()).collect();
    assert_eq!(names, ["Verse, clean", "Chorus, full", "Solo", "Tune", "Underscore, quiet", "All is quiet"]);
}

#[test]
fn a_sound_is_made_in_its_own_way_in_one_rig() {
    let mut window = sounds();
    let before = window.project();
    window.click("Variant Buffer after the guitar");
    window.click("Sound Solo");
    window.click("Switch of Chorus");
    window.click("Sounds");
    window.click("Keep it for this rig only");
    window.assert_says("Made in its own way in this rig.");
    assert_eq!(window.project().sounds[2].state, before.sounds[2].state, "the other rig's is as it was");
    window.click("Variant All true bypass");
    window.click("Sound Solo");
    assert_eq!(on(&window), ["Fuzz", "Delay", "Reverb"]);
    assert!(!window.says("Made in its own way"));
    window.click("Variant Buffer after the guitar");
    window.click("Sound Solo");
    assert_eq!(on(&window), ["Fuzz", "Chorus", "Delay", "Reverb"]);
    // A copy of this rig makes it so, too.
    window.click("New variant from this one");
    assert_eq!(window.project().sounds[2].made_in.len(), 2);
    window.command(Key::Z);
    window.click("Variant Buffer after the guitar");
    // A later change of it is this rig's as well.
    window.click("Switch of Chorus");
    window.click("Keep the change");
    assert_eq!(window.project().sounds[2].made_in.len(), 1);
    window.click("As in the other rigs");
    assert!(window.project().sounds[2].made_in.is_empty());
    window.assert_idle();
}
