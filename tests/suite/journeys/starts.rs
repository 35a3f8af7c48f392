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

/// Whoever has changed something needs no line that says how to begin; but nothing moves under the hand.
#[test]
fn the_strip_goes_with_the_first_change_and_stays_away() {
    let mut window = Window::demo();
    window.assert_says(STRIP);
    let sheet = window.sheet();
    window.click("Switch of Compressor");
    assert_eq!(window.sheet(), sheet);
    assert!(window.host.settings().unwrap().contains("starts_dismissed: true"));
    window.command(Key::Z);
    window.click("Power");
    assert!(!window.says(STRIP), "for good");
    window.click("Chain");
    assert!(!window.says(STRIP));
    assert!(!next_start(&window).says(STRIP));
    window.assert_idle();
}

const CARDS: [&str; 5] = [
    "New rig. ",
    "Open the demo. ",
    "A few units on a daisy lead. ",
    "A large board on a modular supply. ",
    "One multi-effects unit. ",
];

#[test]
fn a_rig_to_start_from_is_chosen_by_its_picture() {
    let mut window = Window::demo();
    window.click("Start from…");
    for card in CARDS {
        assert_eq!(window.all_from(card).len(), 1, "{card}: {:?}", window.texts());
    }
    let card = window.from(CARDS[3]).rect().center();
    window.click_at(card);
    assert_eq!(window.project().title, file::large_modular().unwrap().title);
    assert!(!window.has("Back to the rig"));
    window.assert_idle();
}

/// By the keyboard alone: the menu's command is found, arrows walk over the cards, Enter takes one.
#[test]
fn a_rig_to_start_from_is_chosen_by_keys() {
    let mut window = Window::demo();
    let open = |window: &mut Window| {
        window.command(Key::K);
        window.type_text("start from");
        window.press(Key::Enter);
    };
    open(&mut window);
    let focused = |window: &Window| window.focused().unwrap_or_default();
    assert!(focused(&window).starts_with(CARDS[0]), "{}", focused(&window));
    window.press(Key::ArrowRight);
    assert!(focused(&window).starts_with(CARDS[1]), "{}", focused(&window));
    window.press(Key::ArrowDown);
    assert!(focused(&window).starts_with(CARDS[4]), "{}", focused(&window));
    window.press(Key::ArrowLeft);
    assert!(focused(&window).starts_with(CARDS[3]), "{}", focused(&window));
    window.press(Key::Tab);
    assert!(focused(&window).starts_with(CARDS[4]), "{}", focused(&window));
    window.press(Key::Escape);
    assert!(window.all_from(CARDS[0]).is_empty());
    assert_eq!(window.project().title, "Pit rig, spring tour", "nothing was opened");
    open(&mut window);
    window.press(Key::Tab);
    window.press(Key::Tab);
    window.press(Key::Enter);
    assert_eq!(window.project().title, file::few_on_a_daisy().unwrap().title);
    window.assert_idle();
}

#[test]
fn a_start_asks_about_unsaved_work() {
    let mut window = Setup::file("/rigs/pub.ron", file::DEMO_BYTES).open();
    window.click("Switch of Compressor");
    let before = window.project();
    window.menu("Start from…");
    window.press(Key::Enter);
    window.assert_says("Save your changes first?");
    window.click("Cancel");
    window.assert_is(&before);
    window.menu("Start from…");
    window.press(Key::Enter);
    window.click("Don't save");
    assert_eq!(window.project().title, "Untitled rig");
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
