//! What the plot shows besides the curves: bands' edges and their states, answers
//! of before the last change, and what a change would give.

use std::sync::Arc;

use egui::Key;
use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{Edit, SwitchSetting, apply};
use rigwright_core::states::{Question, Target, explore};
use rigwright_core::units::hertz;

use super::{answers, device_id, is_on};
use crate::rigs::{devices, sixty_four_true_bypass};
use crate::window::{Setup, Window};

#[test]
fn the_edge_of_a_band_tells_its_state_and_lights_it() {
    let mut window = Setup { size: [1440.0, 900.0], ..Setup::demo() }.open();
    window.click("Curve of Buffer after the guitar");
    let plot = window.from("Level plot ").rect();
    let edge = |window: &Window| {
        window.painted().into_iter().find(|text| text.starts_with("lowest with ") || text.starts_with("highest with "))
    };
    // Down from the top at a low frequency: first the upper edge, then the fuzz's.
    let (mut told, mut there) = (Vec::new(), plot.center());
    for down in 0..60 {
        let at = plot.left_top() + egui::vec2(0.3 * plot.width(), plot.height() * f32::from(down as u8) / 60.0);
        window.harness.hover_at(at);
        window.run();
        if let Some(words) = edge(&window) {
            told.push(words);
            there = at;
        }
    }
    told.dedup();
    assert_eq!(told.len(), 2, "{told:?}");
    // What a low-impedance input takes is the same at all low frequencies.
    let project = window.project();
    let rig = &project.variants[0].rig;
    let fuzz = device_id(rig, "Fuzz");
    let target = Target::Endpoint(answers(&project)[0].endpoints[0].jack);
    let question =
        Question { rig: Arc::clone(rig), controls: project.state.clone(), target, unfed: Default::default() };
    let states = explore(&question, &mut LineCache::new(Sweep::audio())).unwrap();
    let at = states.hz().iter().position(|hz| *hz > 150.0).unwrap();
    let lowest = states.lowest_state(at);
    assert!(devices(&lowest).contains(&fuzz));
    assert_eq!(told[1], format!("lowest with {} units on", lowest.len()));
    assert!(!is_on(&window.project(), fuzz), "pointing changes nothing");
    // A click takes the state over, in one step.
    window.click_at(there);
    assert_eq!(window.project().state.stepped_on(rig), lowest);
    window.command(egui::Key::Z);
    window.assert_is(&project);
    window.harness.remove_cursor();
    window.run();
    assert_eq!(edge(&window), None);
    window.assert_idle();
}

#[test]
fn an_answer_of_before_the_last_change_is_marked() {
    let mut window = Window::of(&sixty_four_true_bypass());
    window.click("Compare");
    let jump = |window: &Window| window.texts().into_iter().find(|text| text.contains(": worst jump ")).unwrap();
    assert!(!jump(&window).contains("before the last change"));
    window.host.hold_work(true);
    let first = window.variant(0).rig.leads[0].clone();
    let name = |id| window.variant(0).rig.device(id).unwrap().name.clone();
    let (from, to) = (name(first.from.device), name(first.to.device));
    window.click_lead(&from, &to);
    window.fill("length of the lead", "9 m");
    window.press(Key::Escape);
    assert!(jump(&window).ends_with(", before the last change"), "{}", jump(&window));
    assert!(window.painted().iter().any(|text| text.ends_with("(before the last change)")));
    window.host.hold_work(false);
    window.run();
    assert!(!jump(&window).contains("before the last change"));
    window.assert_idle();
}

/// What a change would give stands beside what there is, in both views.
#[test]
fn a_unit_that_is_pointed_at_draws_the_curve_with_its_switch_the_other_way() {
    let mut window = Window::demo();
    let told = |window: &Window| window.painted().into_iter().find(|text| text.ends_with(", Compressor on"));
    assert_eq!(told(&window), None);
    let at = window.device("Compressor").rect().center();
    window.harness.hover_at(at);
    window.run();
    let project = window.project();
    let compressor = device_id(&project.variants[0].rig, "Compressor");
    let switched = apply(&project, &Edit::Switch(SwitchSetting::on(compressor))).unwrap();
    let peak = answers(&switched)[0].main().unwrap().peak.unwrap();
    assert_eq!(told(&window), Some(format!("{}, Compressor on", hertz(peak.hz))));
    window.harness.remove_cursor();
    window.run();
    assert_eq!(told(&window), None);
    window.assert_idle();
}
