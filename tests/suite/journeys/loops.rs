//! A loop switcher, from the catalogue to a loop that is heard.

use std::sync::Arc;

use egui::Key;
use rigwright_core::file;
use rigwright_core::rig::{
    DeviceId, Jack, JackRef, Kind, Mixer, Polarity, Position, Project, Sound, SoundId, State, SwitchKey, SwitchRef,
    Variant, VariantId,
};

use super::device_id;
use crate::rigs;
use crate::window::{Setup, Window};

/// High enough for all that is said of a device.
fn tall() -> Window {
    Setup { size: [1440.0, 1500.0], ..Setup::file("/rigs/blank.ron", file::BLANK_BYTES) }.open()
}

/// A window as high, with a rig of three loops or fewer, its switcher selected.
fn with_switcher_selected(project: &Project) -> Window {
    let setup = Setup::file("/rigs/own.ron", file::write(project).unwrap());
    let mut window = Setup { size: [1440.0, 1500.0], ..setup }.open();
    let at = window.from("switcher, ").rect().left_center() + egui::vec2(14.0, 0.0);
    window.click_at(at);
    window
}

/// A guitar, the switcher of four loops, and an amp.
fn switcher(window: &mut Window) -> String {
    window.click("Insert a part on the lead from Guitar to Amp");
    window.type_text("loop switcher, 4");
    window.press(Key::Enter);
    let device = window.variant(0).rig.devices.last().unwrap().clone();
    assert!(matches!(device.kind, Kind::Switcher(_)), "{device:?}");
    device.name
}

#[test]
fn a_unit_in_a_loop_is_heard_while_the_loop_is_in() {
    let mut window = tall();
    let name = switcher(&mut window);
    let before = window.project();
    window.click("Put a patch lead in loop 2");
    let id = device_id(&window.variant(0).rig, &name);
    let send = JackRef::new(id, Jack::Send(2));
    let lead = window.variant(0).rig.lead_from(send).unwrap().clone();
    assert_eq!(lead.to, JackRef::new(id, Jack::Return(2)));
    assert!(!window.says("Put a patch lead in loop 2"), "it has one");
    window.click(&format!("Insert a part on the lead from send 2 of {name} to return 2 of {name}"));
    window.type_text("fuzz");
    window.press(Key::Enter);
    let fuzz = window.variant(0).rig.devices.last().unwrap().name.clone();
    let rig = window.variant(0).rig.clone();
    assert_eq!(rig.lead_from(send).unwrap().to.device, device_id(&rig, &fuzz));
    window.press(Key::Escape);
    window.click("Figures");
    let out = window.texts_from("Peak at ");
    window.click(&format!("Switch of {fuzz}"));
    assert_eq!(window.texts_from("Peak at "), out, "on, and its loop is out");
    window.click(&format!("Loop 2 of {name}"));
    let switch = SwitchRef { device: id, key: SwitchKey::Loop(2) };
    assert_eq!(window.project().state.positions.get(&switch), Some(&Position::ON));
    assert_ne!(window.texts_from("Peak at "), out, "its loop is in");
    window.assert_says(&format!("{name}: loop 2 in"));
    window.click(&format!("Loop 2 of {name}"));
    assert_eq!(window.texts_from("Peak at "), out, "out again");
    for _ in 0..5 {
        window.command(Key::Z);
    }
    assert_eq!(window.project(), before, "undone exactly");
    window.assert_idle();
}

#[test]
fn presets_are_named_called_and_changed_on_the_sheet() {
    let mut window = tall();
    let name = switcher(&mut window);
    for number in [1, 3] {
        window.click(&format!("Put a patch lead in loop {number}"));
    }
    window.click(&format!("Loop 3 of {name}"));
    window.click("a step on it");
    window.click("calls a preset");
    let id = device_id(&window.variant(0).rig, &name);
    let presets = |window: &Window| match &window.variant(0).rig.device(id).unwrap().kind {
        Kind::Switcher(inside) => inside.presets.clone(),
        other => panic!("{other:?}"),
    };
    let loops = |window: &Window, at: usize| presets(window)[at].loops.iter().copied().collect::<Vec<u8>>();
    assert_eq!(loops(&window, 0), [3], "what was in is the first preset");
    window.click("One more preset");
    window.click("Loop 1 in the preset “preset 2”");
    assert_eq!(loops(&window, 1), [1, 3]);
    window.click(&format!("preset of {name}"));
    window.click("preset 2");
    let switch = SwitchRef { device: id, key: SwitchKey::Preset };
    assert_eq!(window.project().state.positions.get(&switch), Some(&Position(1)));
    // On the sheet a loop of the preset that is called is put in or taken out.
    window.click(&format!("Loop 3 of preset “preset 2” of {name}"));
    assert_eq!((loops(&window, 0), loops(&window, 1)), (vec![3], vec![1]));
    window.command(Key::Z);
    assert_eq!(loops(&window, 1), [1, 3]);
    window.assert_idle();
}

/// A file may say that presets work a switcher, and give it none.
#[test]
fn a_switcher_without_the_presets_that_work_it_is_left_as_it_is() {
    let mut project = file::blank().unwrap();
    let mut rig = crate::rigs::looped(2, 0);
    let Kind::Switcher(inside) = &mut rig.devices[2].kind else { panic!("a switcher") };
    inside.by_presets = true;
    project.variants = vec![Arc::new(Variant { rig: Arc::new(rig), ..(*project.variants[0]).clone() })];
    project.next_id = 10_000;
    let mut window = with_switcher_selected(&project);
    window.assert_says("puts one loop in or out");
    assert_eq!(*window.project(), project, "looking changes nothing");
    window.click("Loop 1 of switcher");
    window.assert_says("switcher: loop 1 in");
    window.assert_idle();
}

/// A sound that was kept on a plain board puts the loop in behind a switcher, and one
/// that was kept with the loop out stays so.
#[test]
fn a_sound_puts_the_loop_in_that_it_needs() {
    let mut project = file::blank().unwrap();
    let variant = (*project.variants[0]).clone();
    let looped = rigs::looped(2, 1);
    let mut board = looped.clone();
    board.devices.retain(|device| [1, 2, 11].contains(&device.id.0));
    board.leads.retain(|lead| [1001, 1002].contains(&lead.id.0));
    board.leads[0].to.device = DeviceId(11);
    board.leads[1].from.device = DeviceId(11);
    let other = Variant { id: VariantId(9000), name: "Loops".to_owned(), rig: Arc::new(looped), ..variant.clone() };
    project.variants = vec![Arc::new(Variant { rig: Arc::new(board), ..variant }), Arc::new(other)];
    project.next_id = 10_000;
    let bytes = file::write(&project).unwrap();
    let mut window = Setup { size: [1440.0, 1500.0], ..Setup::file("/rigs/two.ron", bytes) }.open();
    window.click("Switch of unit 11");
    window.click("Sounds");
    window.click("Keep as a sound");
    window.click("Switch of unit 11");
    window.click("Variant Loops");
    let switch = SwitchRef { device: DeviceId(3), key: SwitchKey::Loop(1) };
    let loop_1 = |window: &Window| window.project().state.positions.get(&switch).copied();
    assert_eq!(loop_1(&window), None);
    window.click("Sound unit 11");
    assert_eq!(loop_1(&window), Some(Position::ON), "{:?}", window.project().sounds);
    // The player has it out here: so it is kept for this rig.
    window.click("Loop 1 of switcher");
    window.click("Keep it for this rig only");
    window.assert_says("Made in its own way in this rig.");
    window.click("Variant First rig");
    window.click("Switch of unit 11");
    window.click("Variant Loops");
    window.click("Sound unit 11");
    assert_eq!(loop_1(&window), None);
    window.assert_idle();
}

/// A dry way beside a wet one, drawn from the catalogue and by pulling one lead.
#[test]
fn two_ways_at_once_are_drawn_in_a_few_steps() {
    let mut window = tall();
    let mut insert = |lead: &str, part: &str| {
        window.click(&format!("Insert a part on the lead from {lead}"));
        window.type_text(part);
        window.press(Key::Enter);
        window.variant(0).rig.devices.last().unwrap().name.clone()
    };
    let splitter = insert("Guitar to Amp", "buffered splitter");
    let mixer = insert(&format!("{splitter} to Amp"), "mixer");
    let drive = insert(&format!("{splitter} to {mixer}"), "mild drive");
    window.press(Key::Escape);
    window.click("Figures");
    let one_way = window.texts_from("Peak at ");
    let from = window.named(&format!("Free jack: second out of {splitter}")).rect().center();
    let to = window.named(&format!("Free jack: second in of {mixer}")).rect().center();
    window.drag(from, to);
    let rig = window.variant(0).rig.clone();
    let second = rig.lead_from(JackRef::new(device_id(&rig, &splitter), Jack::SecondOut)).unwrap();
    assert_eq!(second.to, JackRef::new(device_id(&rig, &mixer), Jack::SecondIn));
    assert!(!window.says("To fix"), "{:?}", window.texts());
    window.press(Key::Escape);
    window.click("Figures");
    let both = window.texts_from("Peak at ");
    assert_eq!(one_way.len(), 1);
    assert_eq!(both, one_way, "two alike ways are louder, and the curve has the same form");
    window.click("Switches");
    window.assert_says("2 footswitch states, every one covered exactly.");
    assert!(!window.says(&format!("Switching {drive} on")), "behind a buffer no lead loads the guitar");
    window.click_device(&mixer);
    window.find_and_click(|window| window.lists("same polarity").remove(1));
    window.click("inverted polarity");
    let rig = window.variant(0).rig.clone();
    let Kind::Mixer(Mixer::Buffered { first, second, .. }) =
        &rig.devices.iter().find(|device| device.name == mixer).unwrap().kind
    else {
        panic!("the mixer")
    };
    assert_eq!((first.polarity, second.polarity), (Polarity::Same, Polarity::Inverted));
    window.press(Key::Escape);
    window.click("Figures");
    assert_ne!(window.texts_from("Peak at "), both, "the same signal twice, one of them turned over");
    window.assert_idle();
}

/// The unit that was in the second loop is in the first one then, and is heard as before: in
/// the state in hand, by its preset's name and in a sound.
#[test]
fn a_loop_is_moved_before_another_with_all_that_belongs_to_it() {
    let mut project = file::blank().unwrap();
    let rig = rigs::looped(3, 1);
    let units: Vec<DeviceId> =
        (1..=3).map(|number| rig.lead_from(JackRef::new(DeviceId(3), Jack::Send(number))).unwrap().to.device).collect();
    let variant = (*project.variants[0]).clone();
    let mut state = State::default();
    state.positions.insert(SwitchRef { device: DeviceId(3), key: SwitchKey::Loop(2) }, Position::ON);
    let mut with_first = state.clone();
    with_first.positions.insert(SwitchRef { device: units[0], key: SwitchKey::Bypass }, Position::ON);
    project.sounds = vec![
        Sound::of(SoundId(5000), "Second loop alone", state.clone()),
        Sound::of(SoundId(5001), "Second loop, and the unit in the first", with_first),
    ];
    project.state = state;
    project.variants = vec![Arc::new(Variant { rig: Arc::new(rig), ..variant })];
    project.next_id = 10_000;
    let mut window = with_switcher_selected(&project);
    let before = window.project();
    let around = |window: &Window, unit: DeviceId| window.variant(0).rig.loops_around(unit);
    assert_eq!(around(&window, units[1]), [(DeviceId(3), 2)]);
    window.click("Loop 2 earlier");
    let after = window.project();
    assert_eq!(around(&window, units[1]), [(DeviceId(3), 1)]);
    assert_eq!(around(&window, units[0]), [(DeviceId(3), 2)]);
    assert_eq!(around(&window, units[2]), [(DeviceId(3), 3)]);
    let is_in = |project: &Project, state: &State| -> Vec<bool> {
        let switcher = project.variants[0].rig.device(DeviceId(3)).unwrap();
        (1..=3).map(|number| switcher.is_loop_in(number, state)).collect()
    };
    assert_eq!(is_in(&before, &before.state), [false, true, false]);
    assert_eq!(is_in(&after, &after.state), [true, false, false]);
    let made = |project: &Project, sound: usize| project.sounds[sound].realise(&project.variants[0]).state;
    assert_eq!(is_in(&after, &made(&after, 0)), [true, false, false]);
    // A loop that nobody asked for but the unit in it goes along as well.
    assert_eq!(is_in(&before, &made(&before, 1)), [true, true, false]);
    assert_eq!(is_in(&after, &made(&after, 1)), [true, true, false]);
    assert!(!window.has("Loop 1 earlier") && !window.has("Loop 3 later"), "past the ends there is no place");
    window.command(Key::Z);
    assert_eq!(window.project(), before, "one step");
    window.assert_idle();
}
