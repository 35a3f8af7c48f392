//! How switches are worked: by foot or by hand, and an amp's channels.

use egui::Key;
use rigwright_core::rig::{Kind, Position, SwitchKey, SwitchRef, WorkedBy};

use super::device_id;
use crate::window::{Setup, Window};

fn tall() -> Window {
    Setup { size: [1440.0, 1700.0], ..Setup::demo() }.open()
}

fn states(window: &mut Window) -> String {
    window.press(Key::Escape);
    window.click("Switches");
    let said = window.texts().into_iter().find(|text| text.contains(" footswitch states")).unwrap();
    said.split(' ').next().unwrap().to_owned()
}

#[test]
fn an_amp_gets_channels_and_a_sound_remembers_one() {
    let mut window = tall();
    let before = window.project();
    let amp = device_id(&before.variants[0].rig, "Amp left");
    window.click_device("Amp left");
    window.click("has channels to switch between");
    window.click("channel of Amp left");
    window.click("lead");
    window.assert_says("Everything off, 12 switches; Amp left: lead");
    let channel = SwitchRef { device: amp, key: SwitchKey::Channel };
    assert_eq!(window.project().state.positions.get(&channel), Some(&Position(1)));
    // A third one, by its own name.
    window.click("One more channel");
    let id = window.from("Name of channel 3 of Amp left").rect();
    window.click_at(id.center());
    window.command(Key::A);
    window.type_text("solo");
    window.press(Key::Enter);
    let channels = |window: &Window| match &window.variant(0).rig.device(amp).unwrap().kind {
        Kind::Amp(amp) => amp.channels.iter().map(|channel| channel.name.clone()).collect::<Vec<_>>(),
        other => panic!("{other:?}"),
    };
    assert_eq!(channels(&window), ["clean", "lead", "solo"]);
    // 2048 states of the units, three of the amp for each.
    assert_eq!(states(&mut window), "6144");
    // A channel that goes leaves the state in hand at one that isn't there: told, kept, undone.
    window.click_device("Amp left");
    window.click("channel of Amp left");
    window.click("solo");
    window.click("Take out channel 1");
    window.press(Key::Escape);
    window.click("Findings");
    window.assert_says("The state in hand sets the channel of Amp left to position 3, and it has 2.");
    window.click("Forget that position");
    assert!(!window.says("to position 3"));
    window.assert_says("Everything off, 12 switches");
    window.command(Key::Z);
    window.command(Key::Z);
    assert!(!window.says("to position 3"));
    window.assert_says("Everything off, 12 switches; Amp left: solo");
    window.assert_idle();
}

#[test]
fn what_a_hand_works_is_no_state_and_stays_where_it_is() {
    let mut window = tall();
    let fuzz = device_id(&window.variant(0).rig, "Fuzz");
    assert_eq!(states(&mut window), "2048");
    window.click_device("Fuzz");
    window.click("How its switch works");
    window.click("worked by");
    window.click("a hand");
    window.assert_says("It stands where the state in hand or the sound has it, and all states hold it there.");
    let habit = |window: &Window| window.variant(0).rig.device(fuzz).unwrap().switches.get(&SwitchKey::Bypass).copied();
    assert_eq!(habit(&window).unwrap().worked_by, WorkedBy::Hand);
    assert_eq!(states(&mut window), "1024");
    // It is still there to be clicked, and a step on another leaves it alone.
    window.click("Switch of Fuzz");
    window.assert_says("On: Fuzz");
    assert_eq!(states(&mut window), "1024");
    let row = window.texts().into_iter().find(|text| text.starts_with("Switching ")).unwrap();
    assert!(!row.contains("Fuzz"), "{row}");
    // A foot's again: nothing is said of it any more.
    window.click_device("Fuzz");
    window.click("worked by");
    window.click("a foot");
    assert_eq!(habit(&window), None);
    assert_eq!(states(&mut window), "2048");
    window.assert_idle();
}
