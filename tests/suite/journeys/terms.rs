//! Words that explain themselves: under the pointer, with the keyboard, and read out.

use egui::{Rect, pos2, vec2};
use egui_kittest::kittest::NodeT;
use rigwright_core::terms::{Term, explained};

use crate::window::Window;

fn term(name: &str) -> &'static Term {
    explained(name).unwrap()
}

/// By which a term is found.
fn named(term: &Term) -> String {
    format!("What “{}” means", term.name)
}

/// Whether both sentences of a term are painted.
fn explains(window: &Window, term: &Term) -> bool {
    let painted = window.painted();
    [term.what, term.so].iter().all(|sentence| painted.iter().any(|text| text == sentence))
}

/// Rests the pointer on something until what it says has come up.
fn rest_on(window: &mut Window, place: Rect) {
    window.harness.hover_at(place.center());
    for _ in 0..8 {
        window.harness.step();
    }
}

fn take_away(window: &mut Window) {
    window.harness.remove_cursor();
    for _ in 0..4 {
        window.harness.step();
    }
}

fn figures() -> Window {
    let mut window = Window::demo();
    window.click("Figures");
    window
}

#[test]
fn a_term_of_the_figures_is_explained_under_the_pointer_and_gone_after_it() {
    let mut window = figures();
    for name in ["lead equivalent", "−3 dB point"] {
        let term = term(name);
        assert!(!explains(&window, term));
        let place = window.named(&named(term)).rect();
        rest_on(&mut window, place);
        assert!(explains(&window, term), "{name}: {:?}", window.painted());
        take_away(&mut window);
        assert!(!explains(&window, term));
    }
    window.assert_idle();
}

/// The zone lies over the very words.
#[test]
fn only_the_words_themselves_explain() {
    let mut window = figures();
    let term = term("lead equivalent");
    let place = window.named(&named(term)).rect();
    // “Sounds like”, and behind it a length.
    assert!((30.0..110.0).contains(&place.width()) && place.height() < 20.0, "{place}");
    rest_on(&mut window, place.translate(vec2(place.width() + 4.0, 0.0)));
    assert!(!explains(&window, term));
}

#[test]
fn the_keyboard_brings_it_up_and_a_screen_reader_has_it_as_the_description() {
    let mut window = figures();
    let term = term("lead equivalent");
    let described = window.named(&named(term)).accesskit_node().description();
    assert_eq!(described.as_deref(), Some(format!("{} {}", term.what, term.so).as_str()));
    window.focus(&named(term));
    assert_eq!(window.focused().as_deref(), Some(named(term).as_str()));
    assert!(explains(&window, term), "{:?}", window.painted());
    window.press(egui::Key::Tab);
    assert!(!explains(&window, term));
    window.assert_idle();
}

#[test]
fn brackets_peaks_and_bands_explain_themselves() {
    let mut window = Window::demo();
    for name in ["high impedance", "buffered", "peak", "all states"] {
        let term = term(name);
        let place = window.named(&named(term)).rect();
        rest_on(&mut window, place);
        assert!(explains(&window, term), "{name}: {:?}", window.painted());
        take_away(&mut window);
    }
}

/// However many sentences have it: one stop for the keyboard.
#[test]
fn each_term_is_one_stop() {
    let window = figures();
    let mut names = window.texts_from("What “");
    assert!(names.len() >= 4, "{names:?}");
    let all = names.len();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), all);
}

/// A finding says terms, and a click on one does what a click beside it does.
#[test]
fn a_click_on_a_term_in_a_finding_selects_what_it_is_about() {
    let mut window = Window::demo();
    let peak = term("peak");
    let sentence = {
        let mut nodes = window.harness.root().children_recursive();
        let begins =
            |text: Option<String>| text.is_some_and(|text| text.starts_with("Switching Compressor on moves the peak"));
        let found = nodes.find(|node| begins(node.accesskit_node().label()) || begins(node.accesskit_node().value()));
        found.expect("a finding about the peak").rect()
    };
    // Along its first line until the pointer is on the word.
    let places = (0_u8..40).map(|at| pos2(sentence.left() + 6.0 * f32::from(at) + 80.0, sentence.top() + 9.0));
    let on_it = places.filter(|place| place.x < sentence.right()).find(|place| {
        rest_on(&mut window, Rect::from_center_size(*place, vec2(2.0, 2.0)));
        let found = explains(&window, peak);
        take_away(&mut window);
        found
    });
    window.click_at(on_it.expect("the word explains itself"));
    assert_eq!(window.value("Name of the device"), "Compressor");
}
