//! Whole ways through the window, each from what a person does to what comes of it:
//! in the project, on the screen and on the disk.

mod bands;
mod busy;
mod by_keyboard;
mod closing;
mod compare;
mod crash;
mod curves;
mod dragging;
mod dropped;
mod dying;
mod effects;
mod elsewhere;
mod everyone;
mod exports;
mod finding;
mod first_rig;
mod guitars;
mod insert;
mod jumps;
mod knobs;
mod large_files;
mod late_files;
mod left_out;
mod long_names;
mod looking;
mod loops;
mod mending;
mod mending_tone;
mod menus;
mod names;
mod needs;
mod not_saved;
mod notices;
mod numbers;
mod on_paper;
mod own_parts;
mod paths;
mod pointing;
mod power;
mod refused;
mod selecting;
mod sends;
mod slow_saves;
mod sounds;
mod starts;
mod stays_on;
mod stereo;
mod swapping;
mod switch_habits;
mod switches;
mod taking_out;
mod terms;
mod test_point;
mod too_much;
mod typing;
pub mod unfed;
mod unsaved;
mod variants;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::response::{PointAnswer, Request, Response, respond};
use rigwright_core::rig::{DeviceId, LeadId, Project, Rig};
use rigwright_core::units::hertz;

use crate::window::Window;

pub use compare::four_variants;
pub use mending::half_finished;

/// Frame after frame, until the machine has answered what its answers led to.
fn settle(window: &mut Window) {
    for _ in 0..4 {
        window.run();
    }
}

/// What the core says about each variant, computed afresh.
fn answers(project: &Project) -> Vec<Response> {
    let fresh = |variant| respond(&Request::of(project, variant), &mut LineCache::new(Sweep::audio()));
    project.variants.iter().map(|variant| fresh(variant)).collect()
}

/// The line in which the screen gives a peak, or says why there is none.
fn peak_line(answer: &PointAnswer) -> String {
    match answer.peak {
        Ok(peak) => format!("Peak at {}, {:.1} dB above 200 Hz", hertz(peak.hz), peak.height_db),
        Err(why) => format!("No peak: {why}"),
    }
}

/// The lines of that kind on the screen.
fn shown_peaks(window: &Window) -> Vec<String> {
    let texts = window.texts().into_iter();
    texts.filter(|text| text.starts_with("Peak at ") || text.starts_with("No peak: ")).collect()
}

/// What the core gives for all variants, in their order.
fn peak_lines(project: &Project) -> Vec<String> {
    answers(project).iter().map(|response| peak_line(response.main().unwrap())).collect()
}

/// The devices from the first instrument on, along the first output of each.
fn chain(rig: &Rig) -> Vec<&str> {
    let mut names = vec![rig.devices[0].name.as_str()];
    let mut at = rig.devices[0].id;
    while let Some(lead) = rig.leads.iter().find(|lead| lead.from.device == at) {
        at = lead.to.device;
        names.push(rig.device(at).map_or("nothing", |device| &device.name));
        assert!(names.len() <= rig.devices.len(), "a circle: {names:?}");
    }
    names
}

/// The same, to keep.
pub fn chain_of(rig: &Rig) -> Vec<String> {
    chain(rig).into_iter().map(str::to_owned).collect()
}

fn device_id(rig: &Rig, name: &str) -> DeviceId {
    rig.devices.iter().find(|device| device.name == name).unwrap().id
}

/// Whether a unit is on as everything stands.
fn is_on(project: &Project, device: DeviceId) -> bool {
    let found = project.variants.iter().find_map(|variant| variant.rig.device(device));
    found.is_some_and(|device| device.is_on(&project.state))
}

/// Puts the part that is found by these words on a lead of the first variant; its name.
fn insert(window: &mut Window, from: &str, to: &str, words: &str) -> String {
    window.click(&format!("Insert a part on the lead from {from} to {to}"));
    window.type_text(words);
    window.press(egui::Key::Enter);
    window.variant(0).rig.devices.last().expect("a device").name.clone()
}

/// The lead between two devices, and its metres.
fn lead_between(rig: &Rig, from: &str, to: &str) -> (LeadId, f64) {
    let ends = (device_id(rig, from), device_id(rig, to));
    let lead = rig.leads.iter().find(|lead| (lead.from.device, lead.to.device) == ends).unwrap();
    (lead.id, lead.length.get())
}
