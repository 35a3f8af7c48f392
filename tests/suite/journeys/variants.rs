//! Whole rigs side by side: copied, named, changed apart from each other, removed.

use egui::{Key, Modifiers};

use super::{chain, peak_lines};
use crate::window::Window;

fn secondary_click(window: &mut Window, name: &str) {
    window.named(name).click_secondary();
    window.run();
}

#[test]
fn a_new_variant_is_a_copy_with_the_same_ids_and_changes_alone() {
    let mut window = Window::demo();
    window.click("Figures");
    let before = window.project();
    window.click("New variant from this one");
    assert_eq!(window.project().variants.len(), 3);
    let (first, copy) = (window.variant(0), window.variant(2));
    assert_eq!(copy.rig, first.rig, "ids and all, so that sounds and switches mean the same");
    assert_ne!((copy.id, &copy.name), (first.id, &first.name));
    assert!(copy.name.starts_with("All true bypass"), "it tells where it comes from: {}", copy.name);
    assert!(window.has(&format!("Variant {}", copy.name)));

    window.click_device("Wah");
    window.press(Key::Delete);
    assert_eq!(chain(&window.variant(2).rig)[..4], ["Guitar", "Tuner", "Compressor", "Mild drive"], "it is in hand");
    assert_eq!(window.variant(0), first);
    assert_eq!(window.texts_from("Peak at "), peak_lines(&window.project()));

    window.command(Key::Z);
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_switch_is_the_same_switch_in_every_variant() {
    let mut window = Window::demo();
    window.press_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::D);
    window.click("Switch of Compressor");
    window.click("Variant Buffer after the guitar");
    window.assert_says("On: Compressor");
    assert!(window.has("Buffer, 2 of 19") || window.has("Buffer, 19 of 19"), "{:?}", window.texts());
    window.assert_idle();
}

#[test]
fn a_variant_is_renamed_and_the_whole_name_is_one_step() {
    let mut window = Window::demo();
    let before = window.project();
    secondary_click(&mut window, "Variant Buffer after the guitar");
    window.focus("Name of the variant");
    window.command(Key::A);
    for letter in ["W", "e", "t"] {
        window.type_text(letter);
    }
    window.press(Key::Enter);
    assert_eq!(window.variant(1).name, "Wet");
    window.press(Key::Escape);
    assert!(window.has("Variant Wet") && window.has("Curve of Wet"));
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_variant_is_removed_and_comes_back_by_undo() {
    let mut window = Window::demo();
    let before = window.project();
    secondary_click(&mut window, "Variant All true bypass");
    window.click("Remove this variant");
    assert_eq!(window.project().variants.len(), 1);
    assert!(window.has("Buffer, 2 of 19"), "the other one is in hand: {:?}", window.texts());
    secondary_click(&mut window, "Variant Buffer after the guitar");
    window.click("Remove this variant");
    assert_eq!(window.project().variants.len(), 1, "the last one stays");
    window.press(Key::Escape);
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_variant_is_taken_in_hand_by_the_keyboard() {
    let mut window = Window::demo();
    window.focus("Variant Buffer after the guitar");
    window.press(Key::Enter);
    assert!(window.has("Insert a part on the lead from Guitar to Buffer"));
    window.focus("Variant All true bypass");
    window.press(Key::Space);
    assert!(!window.has("Insert a part on the lead from Guitar to Buffer"));
}

#[test]
fn many_variants_still_fit_and_each_has_a_name_of_its_own() {
    let mut window = Window::demo();
    for _ in 0..10 {
        window.press_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::D);
    }
    let mut names: Vec<String> = window.project().variants.iter().map(|variant| variant.name.clone()).collect();
    assert_eq!(names.len(), 12);
    names.sort();
    names.dedup();
    assert_eq!(names.len(), 12);
    let screen = window.harness.ctx.content_rect();
    for name in &names {
        let chip = window.named(&format!("Variant {name}")).rect();
        assert!(screen.contains_rect(chip), "{name} at {chip}");
    }
    assert!(window.sheet().height() > 150.0, "the drawing keeps its room: {}", window.sheet());
    window.assert_idle();
}
