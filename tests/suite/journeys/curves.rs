//! The plot: which curves, from where, and what stands under the pointer.

use egui::{Key, vec2};
use rigwright::jobs::Pick;
use rigwright_core::file;
use rigwright_core::rig::Project;
use rigwright_core::units::hertz;

use super::{answers, peak_line, shown_peaks};
use crate::window::Window;

/// A guitar, these parts and an amp at the end of a long lead; what has a switch is on.
fn built(parts: &[&str]) -> Project {
    let mut window = Window::blank();
    let mut behind = "Guitar".to_owned();
    for part in parts {
        window.click(&format!("Insert a part on the lead from {behind} to Amp"));
        window.type_text(part);
        window.press(Key::Enter);
        window.press(Key::Space);
        behind = window.value("Name of the device");
    }
    window.click_lead(&behind, "Amp");
    window.fill("length of the lead", "60 m");
    (*window.project()).clone()
}

fn read_out(window: &Window) -> String {
    window.texts_from("Level plot ").remove(0)
}

#[test]
fn the_legend_hides_a_curve_and_brings_it_back() {
    let mut window = Window::demo();
    let both = read_out(&window);
    assert!(both.contains("All true bypass: peak at") && both.contains("Buffer after the guitar: peak at"));
    let peaks = |window: &Window| {
        let painted = window.painted();
        let shown = |answer: &rigwright_core::response::Response| hertz(answer.main().unwrap().peak.unwrap().hz);
        answers(&window.project()).iter().map(shown).filter(|words| painted.contains(words)).count()
    };
    assert_eq!(peaks(&window), 2, "each peak is written beside its curve");
    window.click("Curve of All true bypass");
    assert!(!read_out(&window).contains("All true bypass") && read_out(&window).contains("Buffer after the guitar"));
    assert_eq!(peaks(&window), 1);
    window.click("Curve of Buffer after the guitar");
    assert_eq!(peaks(&window), 0);
    window.click("Curve of All true bypass");
    window.click("Curve of Buffer after the guitar");
    assert_eq!(read_out(&window), both);
    window.assert_idle();
}

#[test]
fn another_endpoint_is_chosen_and_the_figures_are_taken_there() {
    let mut window = Window::of(&built(&["active di", "mild drive"]));
    window.click("Figures");
    let endpoints = &answers(&window.project())[0].endpoints;
    let lines: Vec<_> = endpoints.iter().map(|endpoint| peak_line(&endpoint.at)).collect();
    assert!(lines.len() == 2 && lines[0] != lines[1], "the drive and the long lead tell in {lines:?}");
    assert_eq!(shown_peaks(&window), lines[..1]);
    window.find_and_click(|window| window.list(&endpoints[0].name));
    window.click("Amp");
    assert_eq!(shown_peaks(&window), lines[1..]);
    window.assert_idle();
}

#[test]
fn after_another_file_the_heading_still_names_where_the_curve_is_taken() {
    let mut window = Window::of(&built(&["active di", "active di"]));
    window.click("Figures");
    window.host.put_file("/rigs/two.ron", file::write(&built(&["active di", "mild drive"])).unwrap());
    let first = answers(&window.project())[0].endpoints[0].name.clone();
    window.find_and_click(|window| window.list(&first));
    window.click("Amp");
    window.host.will_pick(Pick::Path("/rigs/two.ron".into()));
    window.command(Key::O);
    window.click("Figures");
    let endpoints = &answers(&window.project())[0].endpoints;
    let named = endpoints.iter().find(|endpoint| !window.lists(&endpoint.name).is_empty()).unwrap();
    assert_eq!(shown_peaks(&window), [peak_line(&named.at)], "{}", named.name);
}

#[test]
fn a_rig_without_the_test_points_lead_is_not_shown_as_if_it_had_it() {
    let mut window = Window::demo();
    window.click("Figures");
    window.click("Variant Buffer after the guitar");
    // The first rig has no such lead.
    window.click_lead("Buffer", "Tuner");
    window.press(Key::T);
    window.assert_says("Level at the test point");
    let free = window.sheet().left_bottom() + vec2(60.0, -30.0);
    window.click_at(free);
    let answers = answers(&window.project());
    assert!(answers[0].test_point.is_none());
    let expected = peak_line(answers[1].test_point.as_ref().unwrap());
    assert_eq!(shown_peaks(&window), [expected], "the other curve is taken at its end, under this heading");
}

#[test]
fn under_the_pointer_the_level_of_every_curve_is_written() {
    let mut window = Window::demo();
    let plot = window.from("Level plot ").rect();
    window.harness.hover_at(plot.center());
    window.run();
    let levels = |window: &Window| -> Vec<String> {
        window.painted().into_iter().filter(|text| text.contains("dB  ")).collect()
    };
    let shown = levels(&window);
    assert_eq!(shown.len(), 2, "{:?}", window.painted());
    assert!(shown[0].ends_with("All true bypass") && shown[1].ends_with("Buffer after the guitar"), "{shown:?}");
    window.harness.hover_at(plot.center() + vec2(300.0, 0.0));
    window.run();
    assert_ne!(levels(&window), shown);
    window.harness.remove_cursor();
    window.run();
    assert!(levels(&window).is_empty());
    window.assert_idle();
}

#[test]
fn the_strings_notes_are_marked() {
    let window = Window::demo();
    let painted = window.painted();
    for note in ["E2", "A2", "D3", "G3", "B3", "E4"] {
        assert!(painted.iter().any(|text| text == note), "{note} in {painted:?}");
    }
    for mark in ["20 Hz", "100 Hz", "1 kHz", "10 kHz", "20 kHz"] {
        assert!(painted.iter().any(|text| text == mark), "{mark} in {painted:?}");
    }
}
