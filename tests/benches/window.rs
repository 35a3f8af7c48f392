//! How long the window's frames take with rigs that no player has:
//! `cargo bench -p rigwright-tests --bench window`.
//!
//! Each file is opened by the real machine's threads, in folders of its own. Printed
//! are the time until it is in hand, until its curve is there and until all is worked
//! out or eight seconds are over, the longest frame until then, a frame at rest of both
//! screens, the middle and the longest frame while a unit is dragged over the sheet and
//! while the guitar's volume is turned, the longest frame while it is changed and saved
//! and how long that takes, how long the end takes while work goes on, and the memory
//! that the process has then. A word behind `--` picks the rigs whose name has it.

use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use egui::{Event, Modifiers, PointerButton, Pos2, Rect, Ui, UiBuilder, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use rigwright::desk::{Desk, Start};
use rigwright::jobs::RealHost;
use rigwright_core::file;
use rigwright_core::rig::{DeviceId, Jack, JackRef, Kind, Lead, LeadId, Project, Rig, Variant, VariantId};
use rigwright_core::units::Metres;
use rigwright_tests::Dice;

#[path = "../suite/rigs.rs"]
#[allow(dead_code, reason = "shared with the checks, which use more of it")]
mod rigs;

fn main() {
    let wanted = std::env::args().skip(1).find(|word| !word.starts_with('-')).unwrap_or_default();
    print!("{:>28}", "");
    for heading in ["opened", "curve", "all", "longest", "chain", "power", "drag", "to", "volume", "to"] {
        print!(" {heading:>9}");
    }
    for heading in ["in a save", "saved", "closed", "memory"] {
        print!(" {heading:>9}");
    }
    println!();
    for (name, project) in [
        ("64 devices", rigs::sixty_four()),
        ("998 true bypass", of(chain(998))),
        ("500 devices, 2000 leads", of(mesh(500, 2000))),
        ("1000 devices, 4000 leads", of(mesh(1000, 4000))),
        ("4000 leads in two jacks", of(mesh(2, 4000))),
        ("6 variants of 64 devices", variants(6)),
        ("64 variants of 64 devices", variants(64)),
    ] {
        if name.contains(&wanted) {
            told(name, &project);
        }
    }
}

fn told(name: &str, project: &Project) {
    let folder = tempfile::tempdir().expect("a folder for a while");
    let path = folder.path().join("large.ron");
    let text = file::write(project).expect("what it writes it can read");
    std::fs::write(&path, text).expect("a file in it");
    let mut harness = opened(folder.path(), &path);
    let devices = project.variants[0].rig.devices.len();
    let begun = Instant::now();
    let (mut longest, mut here, mut curve, mut all) = (Duration::ZERO, None, None, None);
    while begun.elapsed() < Duration::from_secs(8) {
        longest = longest.max(frame_of(&mut harness));
        let desk = harness.state();
        if here.is_none() && desk.project().variants[0].rig.devices.len() == devices {
            here = Some(begun.elapsed());
        }
        if here.is_some() && curve.is_none() && desk.answers().get(desk.project().variants[0].id).is_some() {
            curve = Some(begun.elapsed());
        }
        if here.is_some() && !desk.answers().is_computing() {
            all = Some(begun.elapsed());
            break;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    let chain = at_rest(&mut harness);
    harness.get_by_label("Power").click();
    harness.step();
    let power = at_rest(&mut harness);
    harness.get_by_label("Chain").click();
    // A click is a press and a release, a frame each, and then the screen changes.
    (0..4).for_each(|_| harness.step());
    let dragged = dragged(&mut harness);
    let turned = turned(&mut harness);
    let (in_a_save, saved) = saved(&mut harness, &path);
    let begun = Instant::now();
    drop(harness);
    let ms = |time: Duration| format!("{:.1} ms", time.as_secs_f64() * 1e3);
    let known = |time: Option<Duration>| time.map_or_else(|| "not yet".to_owned(), ms);
    print!("{name:>28}");
    for told in [here, curve, all] {
        print!(" {:>9}", known(told));
    }
    for told in [longest, chain, power] {
        print!(" {:>9}", ms(told));
    }
    for told in [dragged, turned] {
        let both = told.map_or([None, None], |(middle, longest)| [Some(middle), Some(longest)]);
        both.into_iter().for_each(|time| print!(" {:>9}", time.map_or_else(|| "none".to_owned(), ms)));
    }
    println!(" {:>9} {:>9} {:>9} {:>6.0} MB", ms(in_a_save), known(saved), ms(begun.elapsed()), megabytes());
}

/// Where something stands whose name has a part.
fn place(harness: &Harness<'_, Desk>, part: &str) -> Option<Rect> {
    let found = harness.query_all_by(|node| node.label().is_some_and(|label| label.contains(part)));
    found.map(|node| node.rect()).next()
}

/// The middle and the longest of the frames in which the pointer, pressed, goes from one place to another.
fn drawn(harness: &mut Harness<'_, Desk>, from: Pos2, to: Pos2) -> (Duration, Duration) {
    let button = |pos, pressed| Event::PointerButton {
        pos,
        button: PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    };
    harness.event(Event::PointerMoved(from));
    harness.step();
    harness.event(button(from, true));
    harness.step();
    let frames = (1..=40).map(|at| {
        harness.event(Event::PointerMoved(from + (to - from) * (at as f32 / 40.0)));
        frame_of(harness)
    });
    let mut frames: Vec<Duration> = frames.collect();
    frames.sort();
    harness.event(button(to, false));
    harness.step();
    (frames[20], frames[39])
}

/// While the second unit is dragged over the sheet and let go on free paper.
fn dragged(harness: &mut Harness<'_, Desk>) -> Option<(Duration, Duration)> {
    let from = place(harness, ", 2 of ")?.center();
    Some(drawn(harness, from, from + vec2(400.0, 150.0)))
}

/// While the guitar's volume is turned down and up.
fn turned(harness: &mut Harness<'_, Desk>) -> Option<(Duration, Duration)> {
    let guitar = place(harness, ", 1 of ")?.center();
    drawn(harness, guitar, guitar);
    (0..3).for_each(|_| harness.step());
    let volume = place(harness, "volume")?;
    Some(drawn(harness, volume.right_center() - vec2(10.0, 0.0), volume.left_center() + vec2(20.0, 0.0)))
}

/// The memory of this process, where Linux tells.
fn megabytes() -> f64 {
    let text = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = text.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    line.and_then(|line| line.split_whitespace().next()?.parse::<f64>().ok()).unwrap_or(0.0) / 1024.0
}

/// Changes the rig and saves it: the longest frame until the file holds it, and when it does.
fn saved(harness: &mut Harness<'_, Desk>, path: &Path) -> (Duration, Option<Duration>) {
    let before = std::fs::read(path).expect("the file that was opened");
    harness.get_by_label("Title of the project").focus();
    harness.step();
    harness.event(egui::Event::Text("x".to_owned()));
    harness.step();
    // One event and so one frame at a time.
    harness.event(egui::Event::Key {
        key: egui::Key::S,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: egui::Modifiers::COMMAND,
    });
    let (begun, mut longest) = (Instant::now(), Duration::ZERO);
    while begun.elapsed() < Duration::from_secs(8) {
        longest = longest.max(frame_of(harness));
        if std::fs::read(path).is_ok_and(|now| now != before) {
            return (longest, Some(begun.elapsed()));
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    (longest, None)
}

fn opened(folder: &Path, path: &Path) -> Harness<'static, Desk> {
    let (settings, state) = (folder.join("settings"), folder.join("state"));
    let host = RealHost::in_folders(Arc::new(|| {}), Some(settings), Some(state));
    let desk = Desk::new(Arc::new(host), Start::File(path.to_owned()));
    Harness::builder().with_size([1440.0, 900.0]).build_ui_state(show, desk)
}

fn show(ui: &mut Ui, desk: &mut Desk) {
    desk.logic(&ui.ctx().clone());
    let whole = UiBuilder::new().max_rect(ui.ctx().content_rect());
    ui.scope_builder(whole, |ui| desk.ui(ui));
}

fn frame_of(harness: &mut Harness<'_, Desk>) -> Duration {
    let begun = Instant::now();
    harness.step();
    begun.elapsed()
}

/// The middle one of some frames.
fn at_rest(harness: &mut Harness<'_, Desk>) -> Duration {
    let mut frames: Vec<Duration> = (0..9).map(|_| frame_of(harness)).collect();
    frames.sort();
    frames[4]
}

fn of(rig: Rig) -> Project {
    let mut project = file::blank().expect("the blank rig ships with the program");
    let variant = Arc::make_mut(&mut project.variants[0]);
    variant.id = VariantId(500_000);
    variant.rig = Arc::new(rig);
    project.next_id = 500_001;
    project
}

fn chain(units: usize) -> Rig {
    let mut kinds = vec![("guitar", Kind::Guitar(rigs::SC.guitar()))];
    kinds.extend((0..units).map(|_| ("unit", rigs::true_bypass(20e-12))));
    kinds.push(("amp", rigs::amp(1e6, 100e-12)));
    named(rigs::chain(kinds, &vec![0.15; units + 1], &rigs::real_cable()))
}

/// Leads from and to anywhere, several in a jack.
fn mesh(devices: usize, leads: usize) -> Rig {
    let mut rig = chain(devices.saturating_sub(2));
    let mut dice = Dice::new(1);
    let mut roll = |most: usize| dice.below(most) as u64 + 1;
    while rig.leads.len() < leads {
        let jack = |device: u64, jack: Jack| JackRef::new(DeviceId(device), jack);
        let (from, to) = (roll(devices - 1), roll(devices - 1) + 1);
        let id = LeadId(200_000 + rig.leads.len() as u64);
        let (from, to) = (jack(from, Jack::Out), jack(to, Jack::In));
        rig.leads.push(Lead { id, from, to, length: Metres::of(0.15), cable: rigs::real_cable() });
    }
    rig
}

/// No two alike: nobody is found in anybody's stead.
fn named(mut rig: Rig) -> Rig {
    for (at, device) in rig.devices.iter_mut().enumerate() {
        device.name = format!("{} {at}", device.name);
    }
    for (at, lead) in rig.leads.iter_mut().enumerate() {
        lead.id = LeadId(100_000 + at as u64);
    }
    rig
}

fn variants(count: u64) -> Project {
    let mut project = rigs::sixty_four();
    let first = (*project.variants[0]).clone();
    for at in 1..count {
        let mut rig = (*first.rig).clone();
        rig.leads[0].length = Metres::of(1.0 + at as f64 * 0.1);
        let id = VariantId(project.next_id);
        project.next_id += 1;
        project.variants.push(Arc::new(Variant {
            id,
            name: format!("night {at}"),
            rig: Arc::new(rig),
            ..first.clone()
        }));
    }
    project
}
