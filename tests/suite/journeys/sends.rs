//! Sends and returns by hand: a multi-effects unit with a pedal of one's own in its loop and
//! with patches, an amp whose dry signal stays, and four leads between the two.

use egui::Key;
use rigwright_core::file;
use rigwright_core::rig::{DeviceId, Jack, JackRef, Kind, MultiEffects, Position, SwitchKey, SwitchRef, problems};

use super::{device_id, insert};
use crate::window::{Setup, Window};

/// High enough for all that is said of a device.
fn tall() -> Window {
    Setup { size: [1440.0, 1500.0], ..Setup::file("/rigs/blank.ron", file::BLANK_BYTES) }.open()
}

fn unit(window: &Window, id: DeviceId) -> MultiEffects {
    match &window.variant(0).rig.device(id).expect("it is there").kind {
        Kind::MultiEffects(unit) => unit.clone(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_pedal_in_the_loop_of_a_multi_effects_unit_is_heard_in_the_patch_that_has_it_in() {
    let mut window = tall();
    let blank = window.project();
    let name = insert(&mut window, "Guitar", "Amp", "multi-effects unit with a loop");
    let id = device_id(&window.variant(0).rig, &name);
    window.click("Put a patch lead in its loop");
    let drive = insert(&mut window, &format!("send of {name}"), &format!("return of {name}"), "mild drive");
    let rig = window.variant(0).rig.clone();
    let send = JackRef::new(id, Jack::Send(1));
    assert_eq!(rig.lead_from(send).expect("a lead").to.device, device_id(&rig, &drive));
    assert!(problems(&rig).is_empty(), "{:?}", problems(&rig));
    let at = window.device(&name).rect().left_center() + egui::vec2(14.0, 0.0);
    window.click_at(at);
    // A unit without patches has its loop in; so has the first patch.
    window.click("One more patch");
    window.click("One more patch");
    let patches = |window: &Window| unit(window, id).patches;
    assert!(patches(&window).iter().all(|patch| patch.loop_in));
    window.click("Loop in the patch “patch 2”");
    assert_eq!(patches(&window).iter().map(|patch| patch.loop_in).collect::<Vec<_>>(), [true, false]);
    window.fill(&format!("Name of patch 1 of {name}"), "dirty");
    window.press(Key::Enter);
    assert_eq!(patches(&window)[0].name, "dirty");
    window.assert_says(&format!("{name}: dirty"));
    window.click(&format!("patch of {name}"));
    window.click("patch 2");
    let switch = SwitchRef { device: id, key: SwitchKey::Patch };
    assert_eq!(window.project().state.positions.get(&switch), Some(&Position(1)));
    window.assert_says(&format!("{name}: patch 2"));
    // Each patch a sound, under its number.
    window.find_and_click(|window| window.named("Keep a sound for each patch"));
    let sounds = |window: &Window| window.project().sounds.iter().map(|sound| sound.name.clone()).collect::<Vec<_>>();
    assert_eq!(sounds(&window), ["1 dirty", "2 patch 2"]);
    assert!(!window.has("Keep a sound for each patch"), "each has one");
    window.command(Key::Z);
    assert!(sounds(&window).is_empty());
    // On the sheet the loop of the patch that is called is put in again.
    window.click(&format!("Loop of patch “patch 2” of {name}"));
    assert!(patches(&window)[1].loop_in);
    while window.project() != blank {
        let before = window.project();
        window.command(Key::Z);
        assert_ne!(window.project(), before, "undone to the blank rig");
    }
    window.assert_idle();
}

#[test]
fn an_amp_gets_a_loop_whose_dry_signal_stays() {
    let mut window = tall();
    let at = window.device("Amp").rect().center();
    window.click_at(at);
    window.click("a send and a return");
    window.click("its dry signal stays beside the loop: parallel");
    window.click("Put a patch lead in its loop");
    let delay = insert(&mut window, "send of Amp", "return of Amp", "compact digital delay");
    let rig = window.variant(0).rig.clone();
    assert!(problems(&rig).is_empty(), "{:?}", problems(&rig));
    // What is told of the amp is told of its power stage, too, from the send on.
    window.assert_says("dB from the pickup");
    window.click("where the level is taken");
    window.click("Amp, power stage");
    window.assert_says("dB from the send of Amp");
    let id = device_id(&rig, &delay);
    assert!(rig.lead_to(JackRef::new(id, Jack::In)).is_some_and(|lead| lead.from.jack == Jack::Send(1)));
    window.assert_idle();
}
