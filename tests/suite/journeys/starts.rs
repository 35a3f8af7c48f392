//! What the program remembers from one start to the next.

use std::sync::Arc;

use egui::{Key, Theme};
use rigwright::jobs::Pick;
use rigwright_core::file;

use crate::window::{Setup, Window};

const STRIP: &str = "This is an invented demo rig";

/// The same machine, later.
fn next_start(window: &Window) -> Window {
    Setup { host: Arc::clone(&window.host), ..Setup::demo() }.open()
}

#[test]
fn the_strip_of_other_starts_goes_away_for_good() {
    let mut window = Window::demo();
    window.assert_says(STRIP);
    assert!(next_start(&window).says(STRIP), "not before it is put away");
    window.click("Don't show this again");
    assert!(!window.says(STRIP));
    assert!(window.host.settings().unwrap().contains("starts_dismissed: true"));
    window.assert_idle();
    let mut window = next_start(&window);
    assert!(!window.says(STRIP));
    window.menu("Open the demo");
    assert!(!window.says(STRIP));
}

#[test]
fn the_strip_leads_to_a_file_of_ones_own() {
    let mut window = Window::demo();
    window.host.put_file("/rigs/mine.ron", file::BLANK_BYTES);
    window.host.will_pick(Pick::Path("/rigs/mine.ron".into()));
    window.click("A file of mine");
    assert_eq!(window.project().title, "Untitled rig");
    assert!(!window.says(STRIP));
}

#[test]
fn the_look_is_remembered() {
    let setup = Setup::demo().look("dark");
    let mut window = setup.open();
    assert_eq!(window.harness.ctx.theme(), Theme::Dark);
    window.click("Light");
    assert_eq!(window.harness.ctx.theme(), Theme::Light);
    assert!(window.has("Dark"), "the way back");
    assert_eq!(next_start(&window).harness.ctx.theme(), Theme::Light);
    window.assert_idle();
}

#[test]
fn files_of_late_are_in_the_menu_the_last_one_first() {
    let mut window = Window::demo();
    for name in ["a", "b"] {
        let path = format!("/rigs/{name}.ron");
        window.host.put_file(&path, file::BLANK_BYTES);
        window.host.will_pick(Pick::Path(path.into()));
        window.command(Key::O);
    }
    let mut window = next_start(&window);
    window.click("Rig");
    assert_eq!(window.texts_from("Open ").iter().filter(|text| text.ends_with(".ron")).count(), 2);
    let (a, b) = (window.from("Open a.ron").rect(), window.from("Open b.ron").rect());
    assert!(b.bottom() <= a.top());
}

#[test]
fn settings_that_cannot_be_read_cost_nothing() {
    let setup = Setup::demo();
    setup.host.put_settings("not settings at all");
    let mut window = setup.open();
    assert_eq!(window.project().title, "Pit rig, spring tour");
    // They are put aside and not written over, which is said once.
    window.assert_says("The settings couldn't be understood");
    assert_eq!(window.host.settings_aside().unwrap(), b"not settings at all");
    window.click("Put this away");
    window.click("Don't show this again");
    assert!(!window.says("The settings couldn't be understood"));
    window.assert_idle();
    let next = next_start(&window);
    assert!(!next.says("The settings couldn't be understood") && !next.says(STRIP));
    assert_eq!(window.host.settings_aside().unwrap(), b"not settings at all");
}

#[test]
fn two_windows_keep_each_others_files_of_late() {
    let mut window = Window::demo();
    // Another window opened a file meanwhile and was given another look.
    window.host.put_settings("(theme: \"light\", recent: [\"/rigs/theirs.ron\"])");
    window.host.put_file("/rigs/mine.ron", file::BLANK_BYTES);
    window.host.will_pick(Pick::Path("/rigs/mine.ron".into()));
    window.command(Key::O);
    let kept = rigwright::state::Settings::read(window.host.settings().unwrap().as_bytes()).unwrap();
    let names: Vec<_> = kept.recent.iter().map(|path| path.display().to_string()).collect();
    assert_eq!(names, ["/rigs/mine.ron", "/rigs/theirs.ron"]);
    assert_eq!(kept.theme, rigwright::state::Theme::Light);
    window.menu("Open theirs.ron");
    window.assert_says("“theirs.ron” can't be opened");
    window.assert_idle();
}
