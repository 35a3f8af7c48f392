//! Rigs whose text takes longer than a frame may: it is made beside the window,
//! and all goes as with small ones.

use egui::{Key, ViewportCommand};
use rigwright_core::file;
use rigwright_core::rig::Project;

use super::busy::row_of_buffers;
use super::settle;
use crate::window::{Setup, Window};

const PATH: &str = "/rigs/large.ron";

fn opened() -> Window {
    let text = file::write(&row_of_buffers(600)).unwrap();
    Setup::file(PATH, text).open()
}

fn entitle(window: &mut Window, title: &str) {
    window.fill("Title of the project", title);
    window.press(Key::Escape);
}

fn on_disk(window: &Window) -> Project {
    file::read(&window.host.file(PATH).unwrap()).unwrap()
}

fn let_it_work(window: &mut Window) {
    window.host.hold_work(false);
    settle(window);
}

#[test]
fn saves_are_written_in_the_order_in_which_they_were_asked_for() {
    let mut window = opened();
    let before = on_disk(&window);
    window.host.hold_work(true);
    entitle(&mut window, "First");
    window.command(Key::S);
    window.assert_says("large.ron: saving…");
    assert_eq!(on_disk(&window), before, "its text is made in a frame");
    entitle(&mut window, "Second");
    window.command(Key::S);
    let_it_work(&mut window);
    assert_eq!(on_disk(&window), *window.project());
    assert_eq!(on_disk(&window).title, "Second");
    window.assert_says("large.ron: saved 12:04");
    assert!(!window.says("Somebody else"), "the second save finds what the first one left");
    window.assert_idle();
}

#[test]
fn what_was_saved_is_written_before_another_rig_comes() {
    let mut window = opened();
    window.host.hold_work(true);
    entitle(&mut window, "Saved");
    window.command(Key::S);
    entitle(&mut window, "Not saved");
    window.command(Key::N);
    window.click("Don't save");
    window.assert_says("Still saving");
    assert_eq!(window.project().title, "Not saved");
    let_it_work(&mut window);
    assert_eq!(on_disk(&window).title, "Saved");
    assert_eq!(window.project().title, "Untitled rig");
    window.assert_idle();
}

#[test]
fn going_on_without_waiting_waits_for_the_text() {
    let mut window = opened();
    window.host.hold_work(true);
    window.host.hold_saves(true);
    entitle(&mut window, "Saved");
    window.command(Key::S);
    window.command(Key::N);
    window.click("Go on without waiting");
    assert_eq!(window.project().title, "Saved");
    let_it_work(&mut window);
    assert_eq!(window.project().title, "Untitled rig", "it doesn't wait for the disk");
    window.host.hold_saves(false);
    settle(&mut window);
    assert_eq!(on_disk(&window).title, "Saved");
}

#[test]
fn closing_without_waiting_keeps_what_was_to_be_saved() {
    let mut window = opened();
    window.host.hold_work(true);
    entitle(&mut window, "Saved");
    window.command(Key::S);
    assert!(!window.close());
    window.assert_says("Still saving");
    let told = window.click_told("Close without waiting");
    assert!(told.contains(&ViewportCommand::Close), "{told:?}");
    assert!(window.close());
    assert!(window.host.kept().is_some_and(|kept| kept.contains("title: \"Saved\"")));
}

#[test]
fn a_text_that_cant_be_made_is_told_and_the_changes_stay_unsaved() {
    let mut window = opened();
    entitle(&mut window, "Changed");
    settle(&mut window);
    window.host.break_work(true);
    window.command(Key::S);
    window.assert_says("“large.ron” isn't saved");
    window.assert_says("changed, not saved");
    window.host.break_work(false);
    window.command(Key::S);
    settle(&mut window);
    assert_eq!(on_disk(&window).title, "Changed");
}

#[test]
fn the_other_windows_rig_is_opened_once_ones_own_is_set_aside() {
    let mut window = opened();
    entitle(&mut window, "Mine");
    window.host.put_file(PATH, file::write(&Project { title: "Theirs".to_owned(), ..row_of_buffers(600) }).unwrap());
    settle(&mut window);
    window.command(Key::S);
    settle(&mut window);
    window.host.hold_work(true);
    window.click("Open theirs");
    assert_eq!(window.project().title, "Mine");
    let_it_work(&mut window);
    settle(&mut window);
    assert_eq!(window.project().title, "Theirs");
    window.assert_says("Your changes to “large.ron” that were set aside (Mine)");
    window.click("Open it");
    settle(&mut window);
    assert_eq!(window.project().title, "Mine");
}
