//! A machine that takes its time: the last answer stays and is marked as such,
//! and nothing waits for it.

use egui::vec2;

use crate::rigs::sixty_four;
use crate::window::Window;

const OLD: &str = "As before the last change";

#[test]
fn a_large_rig_shows_its_curve_at_once_and_its_findings_when_they_are_there() {
    let mut window = Window::blank();
    window.host.hold_work(true);
    window.host.put_file("/rigs/large.ron", rigwright_core::file::write(&sixty_four()).unwrap());
    window.host.will_pick(rigwright::jobs::Pick::Path("/rigs/large.ron".into()));
    window.command(egui::Key::O);
    assert_eq!(window.variant(0).rig.devices.len(), 64);
    window.assert_says("Looking at every footswitch state");
    window.click("Figures");
    assert_eq!(
        super::shown_peaks(&window),
        super::peak_lines(&window.project()),
        "the curve's figures wait for nothing"
    );
    window.click("Findings");
    window.host.hold_work(false);
    // The states come first, and then what is found in them.
    window.run();
    assert!(!window.says("Looking at every footswitch state"));
    assert!(!window.says(OLD));
    window.assert_says("to know");
    window.assert_idle();
}

#[test]
fn after_an_edit_the_last_findings_stay_and_are_marked() {
    let mut window = Window::of(&sixty_four());
    window.assert_says("to know");
    assert!(!window.says(OLD));
    window.host.hold_work(true);
    let first = window.variant(0).rig.leads[0].clone();
    let name = |id| window.variant(0).rig.device(id).unwrap().name.clone();
    let (from, to) = (name(first.from.device), name(first.to.device));
    window.click_lead(&from, &to);
    window.fill("length of the lead", "9 m");
    window.press(egui::Key::Escape);
    window.assert_says(OLD);
    window.assert_says("to know");
    window.host.hold_work(false);
    window.run();
    assert!(!window.says(OLD), "{:?}", window.texts());
    window.assert_idle();
}

#[test]
fn moving_a_symbol_of_a_large_rig_works_nothing_out() {
    let mut window = Window::of(&sixty_four());
    let computed = window.harness.state().answers().computed();
    let unit = window.variant(0).rig.devices[5].name.clone();
    let at = window.device(&unit).rect().center();
    window.hold(at, at + vec2(30.0, 60.0));
    window.harness.drop_at(at + vec2(30.0, 60.0));
    window.run();
    assert_eq!(window.harness.state().answers().computed(), computed);
}
