//! The plot: which curves, from where, and what stands under the pointer.

use egui::vec2;
use rigwright_core::units::hertz;

use super::{answers, peak_line};
use crate::window::Window;

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
    let mut window = Window::demo();
    let at = window.list("Amp left").rect().center();
    window.click_at(at);
    window.click("Amp right");
    let expected: Vec<_> =
        answers(&window.project()).iter().map(|response| peak_line(&response.endpoints[1].at)).collect();
    assert_eq!(window.texts_from("Peak at "), expected);
    window.assert_idle();
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
