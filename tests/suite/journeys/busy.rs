//! A machine that takes its time: the last answer stays and is marked as such,
//! and nothing waits for it.

use std::sync::Arc;

use egui::pos2;
use egui_kittest::kittest::NodeT;
use rigwright_core::rig::{DeviceId, Kind, Lead, LeadId, Project, VariantId};

use crate::rigs::{self, sixty_four};
use crate::window::Window;

const OLD: &str = "As before the last change";

#[test]
fn a_large_rig_shows_its_curve_at_once_and_its_findings_when_they_are_there() {
    let mut window = Window::blank();
    window.host.hold_work(true);
    window.host.put_file("/rigs/large.ron", rigwright_core::file::write(&sixty_four()).unwrap());
    window.host.will_pick(rigwright::jobs::Pick::Path("/rigs/large.ron".into()));
    window.command(egui::Key::O);
    assert_eq!(window.variant(0).rig.devices.len(), 64);
    window.assert_says("Looking at every footswitch state");
    window.click("Figures");
    assert_eq!(
        super::shown_peaks(&window),
        super::peak_lines(&window.project()),
        "the curve's figures wait for nothing"
    );
    window.click("Findings");
    window.host.hold_work(false);
    // The states come first, and then what is found in them.
    window.run();
    assert!(!window.says("Looking at every footswitch state"));
    assert!(!window.says(OLD));
    window.assert_says("to know");
    window.assert_idle();
}

#[test]
fn after_an_edit_the_last_findings_stay_and_are_marked() {
    let mut window = Window::of(&sixty_four());
    window.assert_says("to know");
    assert!(!window.says(OLD));
    window.host.hold_work(true);
    let first = window.variant(0).rig.leads[0].clone();
    let name = |id| window.variant(0).rig.device(id).unwrap().name.clone();
    let (from, to) = (name(first.from.device), name(first.to.device));
    window.click_lead(&from, &to);
    window.fill("length of the lead", "9 m");
    window.press(egui::Key::Escape);
    window.assert_says(OLD);
    window.assert_says("to know");
    window.host.hold_work(false);
    window.run();
    assert!(!window.says(OLD), "{:?}", window.texts());
    window.assert_idle();
}

#[test]
fn moving_a_symbol_of_a_large_rig_works_nothing_out() {
    let mut window = Window::of(&sixty_four());
    let computed = window.harness.state().answers().computed();
    let unit = window.variant(0).rig.devices[5].name.clone();
    let at = window.device(&unit).rect().center();
    // To the middle between two rows, where no lead is.
    let symbols = window
        .all_from("")
        .into_iter()
        .filter(|node| node.accesskit_node().label().is_some_and(|name| name.contains(" of 64")));
    let rows: Vec<f32> = symbols.map(|node| node.rect().center().y).collect();
    let next = rows.into_iter().filter(|y| *y > at.y + 4.0).fold(f32::INFINITY, f32::min);
    window.drag(at, pos2(at.x + 3.0, 0.5 * (at.y + next)));
    assert_eq!(window.variant(0).places.len(), 1);
    assert_eq!(window.harness.state().answers().computed(), computed);
}

/// A guitar, buffers one behind another and an amp: larger than any curve that is told at once.
fn very_large() -> Project {
    row_of_buffers(800)
}

pub fn row_of_buffers(count: usize) -> Project {
    let mut kinds = vec![("Guitar", Kind::Guitar(rigs::SC.guitar()))];
    kinds.extend((0..count).map(|_| ("Buffer", rigs::buffer(1e6, 100.0))));
    kinds.push(("Amp", rigs::amp(1e6, 100e-12)));
    let mut rig = rigs::chain(kinds, &vec![0.15; count + 1], &rigs::bare_cable());
    rig.leads.iter_mut().zip(10_000..).for_each(|(lead, id)| lead.id = LeadId(id));
    let mut project = rigwright_core::file::blank().unwrap();
    let variant = Arc::make_mut(&mut project.variants[0]);
    (variant.id, variant.rig) = (VariantId(20_000), Arc::new(rig));
    project.next_id = 20_001;
    project
}

#[test]
fn a_very_large_rig_is_drawn_at_once_and_its_curve_comes_when_it_is_there() {
    let mut window = Window::blank();
    window.host.hold_work(true);
    window.host.put_file("/rigs/large.ron", rigwright_core::file::write(&very_large()).unwrap());
    window.host.will_pick(rigwright::jobs::Pick::Path("/rigs/large.ron".into()));
    window.command(egui::Key::O);
    let id = window.variant(0).id;
    assert_eq!(window.variant(0).rig.devices.len(), 802);
    assert!(window.has("Guitar, 1 of 802"), "it is drawn");
    assert!(window.harness.state().answers().get(id).is_none(), "its curve is worked out in a frame");
    // It says how far it is, and can be stopped; then nothing is worked out.
    for _ in 0..4 {
        window.harness.step();
    }
    window.click("Stop");
    window.assert_says("Stopped before it was all worked out.");
    window.host.hold_work(false);
    window.run();
    assert!(window.harness.state().answers().get(id).is_none());
    window.assert_idle();
    window.click("Go on");
    window.run();
    assert!(window.harness.state().answers().get(id).is_some_and(|response| response.endpoints.len() == 1));
    assert!(!window.says("Stopped before"));
    window.assert_idle();
}

#[test]
fn the_curve_of_before_the_last_change_is_marked() {
    let mut window = Window::of(&very_large());
    window.click("Figures");
    window.assert_says("down at");
    assert!(!window.says(OLD));
    window.host.hold_work(true);
    // So small in the drawing that nobody hits it, but by its name.
    let lead = window.texts().into_iter().find(|text| text.starts_with("Lead from Guitar to Buffer")).unwrap();
    window.named(&lead).click_accesskit();
    window.run();
    window.fill("length of the lead", "9 m");
    window.press(egui::Key::Escape);
    window.assert_says(OLD);
    window.host.hold_work(false);
    window.run();
    assert!(!window.says(OLD), "{:?}", window.texts());
    window.assert_idle();
}

#[test]
fn a_long_list_is_shown_a_stretch_at_a_time() {
    let mut project = rigwright_core::file::blank().unwrap();
    let variant = Arc::make_mut(&mut project.variants[0]);
    let rig = Arc::make_mut(&mut variant.rig);
    let lead = rig.leads[0].clone();
    // Leads from nowhere to nowhere: each is a problem or two.
    for at in 0..70 {
        let gone = |id| rigwright_core::rig::JackRef { device: DeviceId(5_000 + id), ..lead.from };
        rig.leads.push(Lead { id: LeadId(1_000 + at), from: gone(2 * at), to: gone(2 * at + 1), ..lead.clone() });
    }
    project.next_id = 10_000;
    let count = rigwright_core::rig::problems(&project.variants[0].rig).len();
    assert!(count > 40);
    let mut window = Window::of(&project);
    window.assert_says("To fix");
    let mut left = count - 40;
    while left > 0 {
        let button = format!("Show more: {left} left");
        window.find_and_click(|window| window.named(&button));
        left = left.saturating_sub(40);
    }
    assert!(!window.says("Show more"));
    window.assert_idle();
}
