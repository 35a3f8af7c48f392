//! A half-finished rig gets every answer that can be given, and says what is to be mended.

use std::sync::Arc;

use egui::Key;
use rigwright::widgets::more::STRETCH;
use rigwright_core::file;
use rigwright_core::rig::{DeviceId, Jack, JackRef, Lead, LeadId, Project, Variant, VariantId, problems};

use super::peak_lines;
use crate::generator::{broken, healthy};
use crate::window::Window;

/// The blank rig with a second guitar that goes nowhere, an amp that nothing
/// reaches, and a lead into a jack that isn't there.
pub fn half_finished() -> Project {
    let mut project = file::blank().unwrap();
    let mut rig = (*project.variants[0].rig).clone();
    let more = [(0, 20, "Spare guitar"), (1, 21, "Spare amp")];
    for (like, id, name) in more {
        let device = rig.devices[like].clone();
        rig.devices.push(rigwright_core::rig::Device { id: DeviceId(id), name: name.to_owned(), ..device });
    }
    let end = |device, jack| JackRef::new(DeviceId(device), jack);
    let lead = rig.leads[0].clone();
    rig.leads.push(Lead { id: LeadId(30), from: end(20, Jack::Out), to: end(21, Jack::SecondIn), ..lead.clone() });
    rig.leads.push(Lead { id: LeadId(31), to: end(99, Jack::In), ..lead });
    let variant = Arc::make_mut(&mut project.variants[0]);
    variant.rig = Arc::new(rig);
    project.next_id = 100;
    project
}

#[test]
fn problems_are_said_beside_the_answers_that_there_are() {
    let project = half_finished();
    let mut window = Window::of(&project);
    window.click("Figures");
    window.assert_is(&project);
    assert_eq!(window.texts_from("Peak at "), peak_lines(&project));
    window.click("Findings");
    window.assert_says("To fix");
    let found = problems(&project.variants[0].rig);
    assert!(found.len() >= 4, "{found:?}");
    for problem in found {
        window.assert_says(&problem.to_string());
    }
    window.assert_idle();
}

#[test]
fn a_second_lead_in_a_jack_is_taken_away_by_its_button() {
    let project = half_finished();
    let mut window = Window::of(&project);
    let leads = |window: &Window| window.variant(0).rig.leads.iter().map(|lead| lead.id.0).collect::<Vec<_>>();
    let before = leads(&window);
    assert!(before.contains(&31));
    assert!(!window.says("Nothing to act on"), "{:?}", window.texts());
    window.click("Take the second lead away");
    assert_eq!(leads(&window), before.iter().copied().filter(|id| *id != 31).collect::<Vec<_>>());
    assert!(!window.says("a jack takes one"), "{:?}", window.texts());
    window.command(Key::Z);
    window.assert_is(&project);
    window.assert_idle();
}

#[test]
fn a_guitar_alone_is_no_mistake_that_stops_anything() {
    let mut window = Window::blank();
    window.click_device("Amp");
    window.press(Key::Delete);
    window.assert_says("No signal gets to an amp, a DI box or an interface yet.");
    window.assert_says("nothing is plugged into Guitar; join it to an amp, a DI box or an interface");
    window.click_device("Guitar");
    window.press(Key::Delete);
    assert!(window.variant(0).rig.devices.is_empty());
    window.assert_says("there is no guitar, bass or other instrument to start from");
    window.press(Key::I);
    window.type_text("guitar");
    window.press(Key::Enter);
    assert_eq!(window.variant(0).rig.devices.len(), 1, "from nothing to something");
    for _ in 0..3 {
        window.command(Key::Z);
    }
    window.assert_is(&file::blank().unwrap());
    window.assert_idle();
}

#[test]
fn a_circle_is_named() {
    let mut window = Window::blank();
    for (onto, part) in [("Amp", "buffer"), ("Amp", "drive")] {
        let from = if part == "buffer" { "Guitar".to_owned() } else { "Buffer".to_owned() };
        window.click(&format!("Insert a part on the lead from {from} to {onto}"));
        window.type_text(part);
        window.press(Key::Enter);
    }
    let drive = window.variant(0).rig.devices.last().unwrap().name.clone();
    for (from, to) in [("Guitar", "Buffer"), (&drive, "Amp")] {
        window.click_lead(from, to);
        window.press(Key::Delete);
    }
    let from = window.named(&format!("Free jack: out of {drive}")).rect().center();
    let to = window.named("Free jack: in of Buffer").rect().center();
    let before = window.project();
    // It is said while the lead is held over the jack, and letting go there does nothing.
    window.hold(from, to);
    let said = "the signal would come back to Buffer and go round in a circle";
    assert!(window.painted().iter().any(|text| text == said), "{:?}", window.painted());
    window.harness.drop_at(to);
    window.run();
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_circle_in_a_file_is_named() {
    let mut project = rigwright_core::file::blank().unwrap();
    let variant = std::sync::Arc::make_mut(&mut project.variants[0]);
    let rig = std::sync::Arc::make_mut(&mut variant.rig);
    let part =
        |key: &str, id| rigwright_core::parts::catalogue().part(key).unwrap().device(rigwright_core::rig::DeviceId(id));
    let (first, second) = (part("buffer", 900), part("buffer", 901));
    let jack = |device: &rigwright_core::rig::Device, jack| rigwright_core::rig::JackRef::new(device.id, jack);
    let lead = |id, from, to| rigwright_core::rig::Lead {
        id: rigwright_core::rig::LeadId(id),
        from,
        to,
        ..rig.leads[0].clone()
    };
    let there = lead(902, jack(&first, Jack::Out), jack(&second, Jack::In));
    let back = lead(903, jack(&second, Jack::Out), jack(&first, Jack::In));
    rig.leads.extend([there, back]);
    rig.devices.extend([first, second]);
    project.next_id = 904;
    let window = Window::of(&project);
    window.assert_says("the signal goes round in a circle");
}

#[test]
fn every_lead_can_be_taken_hold_of_a_broken_one_first_of_all() {
    let project = half_finished();
    let window = Window::of(&project);
    let leads = window.all_from("Lead from ").len();
    assert_eq!(leads, project.variants[0].rig.leads.len(), "what is to be mended can't be selected or unplugged");
}

/// Random rigs, broken ones among them: each remedy that the drawing can have is a button of
/// that name on the page of findings.
#[test]
fn every_remedy_has_its_button() {
    let mut buttons = 0;
    for seed in 0..30 {
        let case = if seed % 2 == 0 { broken(seed, 8) } else { healthy(seed, 8) };
        let mut project = file::blank().unwrap();
        project.variants = vec![Arc::new(Variant::of(VariantId(900), "random", case.rig))];
        project.next_id = project.first_free();
        let window = Window::of(&project);
        let answers = window.harness.state().answers();
        let drawn = answers.drawn().into_iter().flat_map(|shown| shown.answer.all());
        let told = answers.findings().into_iter().flat_map(|shown| shown.answer.iter());
        for told in drawn.take(STRETCH).chain(told.take(STRETCH)) {
            for remedy in told.remedies.iter().filter(|remedy| remedy.edit.is_some()) {
                assert!(window.has(&remedy.words), "{} of “{}”, seed {seed}", remedy.words, told.text);
                buttons += 1;
            }
        }
    }
    assert!(buttons > 40, "{buttons}");
}
