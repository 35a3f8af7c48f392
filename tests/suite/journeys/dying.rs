//! Work that dies by a fault of the program: the window lives and says so, and
//! doesn't ask the same again.

use egui::Key;
use rigwright::jobs::Pick;
use rigwright_core::file;

use crate::rigs::sixty_four;
use crate::window::Window;

/// In the notice, once.
const NOTICE: &str = "Something couldn't be worked out: this program failed half-way";
/// Where the answer would stand.
const DIED: &str = "This couldn't be worked out: the program failed half-way";

/// A rig whose states are worked out beside the window, which fails.
fn broken() -> Window {
    let mut window = Window::blank();
    window.host.put_file("/rigs/large.ron", file::write(&sixty_four()).unwrap());
    window.host.hold_work(true);
    window.host.will_pick(Pick::Path("/rigs/large.ron".into()));
    window.command(Key::O);
    window.host.break_work(true);
    window.host.hold_work(false);
    window.run();
    window
}

#[test]
fn work_that_dies_is_told_of_once_and_not_begun_again() {
    let mut window = broken();
    assert_eq!(window.variant(0).rig.devices.len(), 64);
    window.assert_says(NOTICE);
    window.assert_says(DIED);
    assert!(!window.says("Looking at every footswitch state"));
    window.click("Switches");
    window.assert_says(DIED);
    window.click("Findings");
    window.click("Put this away");
    let computed = window.harness.state().answers().computed();
    window.assert_idle();
    assert_eq!(window.harness.state().answers().computed(), computed, "it is asked again");
    assert!(!window.says(NOTICE));
}

#[test]
fn another_question_is_worked_out_again() {
    let mut window = broken();
    window.click("Put this away");
    window.host.break_work(false);
    let first = window.variant(0).rig.leads[0].clone();
    let name = |id| window.variant(0).rig.device(id).unwrap().name.clone();
    let (from, to) = (name(first.from.device), name(first.to.device));
    window.click_lead(&from, &to);
    window.fill("length of the lead", "9 m");
    window.press(Key::Escape);
    window.run();
    assert!(!window.says(DIED) && !window.says(NOTICE), "{:?}", window.texts());
    window.assert_says("to know");
    window.assert_idle();
}

#[test]
fn a_search_that_dies_says_so_in_its_place() {
    let mut window = Window::demo();
    window.host.break_work(true);
    window.find_and_click(|window| window.named("Look for something better"));
    window.run();
    window.assert_says(NOTICE);
    window.assert_says(DIED);
    assert!(!window.has("Stop looking"));
    window.assert_idle();
}

#[test]
fn power_that_cant_be_added_up_says_so() {
    let mut window = broken();
    window.assert_says(NOTICE);
    window.click("Put this away");
    window.click("Power");
    // It died where its findings are listed among others, and isn't begun again here.
    assert!(!window.says(NOTICE));
    window.assert_says(DIED);
    assert!(!window.says("Adding up loads and voltages"));
    window.assert_idle();
}

#[test]
fn a_file_whose_reading_dies_leaves_what_is_open() {
    let mut window = Window::demo();
    let before = window.project();
    window.host.break_work(true);
    window.host.put_file("/rigs/blank.ron", file::BLANK_BYTES);
    window.host.will_pick(Pick::Path("/rigs/blank.ron".into()));
    window.command(Key::O);
    window.assert_is(&before);
    window.assert_says(NOTICE);
    window.host.break_work(false);
    window.host.will_pick(Pick::Path("/rigs/blank.ron".into()));
    window.command(Key::O);
    assert_eq!(window.project().title, "Untitled rig");
    window.assert_idle();
}
