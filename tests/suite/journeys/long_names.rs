//! Fields for names take no more than a name can have.

use rigwright_core::rig::LONGEST_NAME;

use crate::window::Window;

#[test]
fn a_field_takes_no_more_than_a_name_can_have() {
    let mut window = Window::blank();
    let typed = "ä".repeat(LONGEST_NAME + 50);
    let fits = "ä".repeat(LONGEST_NAME);
    window.fill("Title of the project", &typed);
    assert_eq!(window.project().title, fits);
    window.click_device("Guitar");
    window.fill("Name of the device", &typed);
    assert!(window.variant(0).rig.devices.iter().any(|device| device.name == fits));
    window.press(egui::Key::Escape);
    window.click("Sounds");
    window.fill("Name of the next sound", &typed);
    assert_eq!(window.project().sounds[0].name, fits);
    assert!(!window.says("can't be done"), "{:?}", window.texts());
}

/// The copy's name is made of the first one's, and fits as well.
#[test]
fn a_copy_of_a_long_name_is_made_and_can_be_told_from_it() {
    let mut project = rigwright_core::file::blank().unwrap();
    std::sync::Arc::make_mut(&mut project.variants[0]).name = "v".repeat(LONGEST_NAME);
    let mut window = Window::of(&project);
    window.press_with(egui::Modifiers::COMMAND | egui::Modifiers::SHIFT, egui::Key::D);
    assert_eq!(window.project().variants.len(), 2);
    let name = window.variant(1).name.clone();
    assert!(name.ends_with("… 2") && name.chars().count() == LONGEST_NAME, "{name}");
}
