//! What each switch does: the list on the screen, and whether it comes true when one steps on them.

use rigwright_core::rig::State;
use rigwright_core::units::hertz;

use super::{answers, device_id, is_on};
use crate::rigs::devices;
use crate::window::{Setup, Window};

#[test]
fn the_worst_jump_on_the_screen_happens_when_its_switches_are_stepped_on() {
    let mut window = Window::demo();
    window.click("Switches");
    window.assert_says("2048 footswitch states, every one covered exactly");
    window.assert_says("Switching Compressor on");
    let project = window.project();
    let compressor = device_id(&project.variants[0].rig, "Compressor");
    // The list says how far, where, and with which others on.
    let said = window.texts().into_iter().find(|text| text.contains(" dB up at ") && text.contains("Fuzz")).unwrap();
    let (db, rest) = said.split_once(" dB up at ").unwrap();
    let (place, company) = rest.split_once(", with ").unwrap();
    let names: Vec<&str> = company.strip_suffix(" on").unwrap().split(", ").collect();
    for name in &names {
        window.click(&format!("Switch of {name}"));
    }
    let without = answers(&window.project());
    window.click("Switch of Compressor");
    assert!(is_on(&window.project(), compressor));
    let with = answers(&window.project());
    // Half a step of the printed figure on either side.
    let grid = with[0].main().unwrap().curve.hz().to_vec();
    let at = grid.into_iter().find(|hz| hertz(*hz) == place).unwrap();
    let level =
        |answers: &[rigwright_core::response::Response]| answers[0].main().unwrap().level_at(at).decibels().unwrap();
    let happened = level(&with) - level(&without);
    assert_eq!(format!("{happened:.1}"), db, "{said}");
    window.assert_idle();
}

#[test]
fn a_switch_changes_no_answer_about_all_states() {
    let mut window = Window::demo();
    window.click("Switches");
    let list = |window: &Window| {
        let jump = |text: &String| text.contains(" dB ") && text.contains(", with ");
        window.texts().into_iter().filter(jump).collect::<Vec<_>>()
    };
    let before = list(&window);
    assert!(!before.is_empty());
    window.click("Switch of Wah");
    assert_ne!(window.project().state, State::default());
    assert_eq!(before, list(&window));
    window.assert_idle();
}

#[test]
fn a_click_on_a_jump_sets_the_switches_like_that_in_one_step() {
    // Tall enough to show the list without scrolling.
    let mut window = Setup { size: [1440.0, 1600.0], ..Setup::demo() }.open();
    window.click("Switches");
    let before = window.project();
    let said =
        window.texts().into_iter().find(|text| text.contains(" dB up at ") && text.contains("with Fuzz on")).unwrap();
    window.click(&said);
    let fuzz = device_id(&before.variants[0].rig, "Fuzz");
    assert_eq!(devices(&window.project().state.stepped_on(&before.variants[0].rig)), [fuzz]);
    window.command(egui::Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn of_all_switches_that_are_listed_it_is_said_what_they_do_to_the_peak() {
    let mut window = Setup { size: [1440.0, 3000.0], ..Setup::demo() }.open();
    window.click("Switches");
    let count = |window: &Window, beginnings: &[&str]| {
        let texts = window.texts().into_iter();
        texts.filter(|text| beginnings.iter().any(|beginning| text.starts_with(beginning))).count()
    };
    let told = |window: &Window| (count(window, &["Switching "]), count(window, &["Peak ", "The peak stays"]));
    assert_eq!(told(&window), (4, 4));
    let all = window.texts().into_iter().find(|text| text.starts_with("Show all ")).unwrap();
    window.click(&all);
    let (switches, peaks) = told(&window);
    assert_eq!(format!("Show all {switches}"), all);
    assert_eq!(peaks, switches);
}
