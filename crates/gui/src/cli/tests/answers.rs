//! The report: it says what the core says. Whether that is true is tested there.

use rigwright_core::cascade::LineCache;
use rigwright_core::file;
use rigwright_core::network::{Sweep, third_octaves_hz};
use rigwright_core::response::{Amount, Request, Response, RunAnswer, respond};
use rigwright_core::rig::{Control, DeviceId, Edit, Jack, JackRef, Kind, Knob, PowerEdit, Project, TestPoint, apply};
use rigwright_core::units::Turn;
use serde_json::Value;

use super::{Desk, fine, first_lead, plain, refused, rig_mut};
use rigwright_core::response::words::amount as amount_in_words;

fn answer(project: &Project, variant: usize) -> Response {
    respond(&Request::of(project, &project.variants[variant]), &mut LineCache::new(Sweep::audio()))
}

fn json(project: &Project, options: &[&str]) -> Value {
    let desk = Desk::new();
    let name = desk.save(project);
    let text = fine(&[&["report", &name, "--json"], options].concat());
    assert_eq!(text.lines().count(), 1);
    serde_json::from_str(&text).unwrap()
}

fn text(project: &Project, options: &[&str]) -> String {
    let desk = Desk::new();
    let name = desk.save(project);
    fine(&[&["report", &name], options].concat())
}

fn keys(value: &Value) -> Vec<&str> {
    let mut keys: Vec<&str> = value.as_object().unwrap().keys().map(String::as_str).collect();
    keys.sort_unstable();
    keys
}

/// Whether a JSON array holds these levels; its reader is off by a last bit at times.
fn holds(shown: &Value, levels: &[Option<f64>]) -> bool {
    let shown: Vec<Option<f64>> = serde_json::from_value(shown.clone()).unwrap();
    shown.len() == levels.len() && shown.iter().zip(levels).all(|(shown, level)| near(*shown, *level))
}

pub(super) fn near(shown: Option<f64>, number: Option<f64>) -> bool {
    match (shown, number) {
        (Some(shown), Some(number)) => (shown - number).abs() <= 1e-15 * number.abs(),
        (shown, number) => shown == number,
    }
}

/// Volume of the first guitar at zero.
fn volume_at_zero(project: &mut Project) {
    let rig = &project.variants[0].rig;
    let guitar = rig.devices.iter().find(|device| matches!(device.kind, Kind::Guitar(_))).unwrap().id;
    project.state.turned.insert(Knob { device: guitar, control: Control::Volume }, Turn::CLOSED);
}

#[test]
fn json_has_the_keys_that_others_rely_on() {
    let demo = file::demo().unwrap();
    let report = json(&demo, &[]);
    assert_eq!(keys(&report), ["title", "variants"]);
    assert_eq!(report["variants"].as_array().unwrap().len(), demo.variants.len());
    let variant = &report["variants"][0];
    let known = [
        "as_if_all_fed",
        "endpoints",
        "endpoints_left_out",
        "findings",
        "ground_loop_count",
        "ground_loops",
        "hum",
        "jumps",
        "name",
        "power",
        "problems",
        "runs",
        "sound",
        "sound_lacks",
        "states",
        "test_point",
        "unfed",
    ];
    assert_eq!(keys(variant), known);
    assert_eq!(keys(&variant["findings"][0]), ["fixes", "gives_up", "rule", "severity", "text", "why"]);
    assert!(variant["sound"].is_null());
    let endpoint = &variant["endpoints"][0];
    assert_eq!(keys(endpoint), ["jack", "lead_equivalent", "levels", "minus3_hz", "peak"]);
    assert_eq!(keys(&endpoint["levels"]), ["db", "hz"]);
    assert_eq!(keys(&endpoint["peak"]), ["db", "height_db", "hz"]);
    assert_eq!(keys(&endpoint["lead_equivalent"]), ["m", "reason"]);
    assert_eq!(keys(&variant["runs"][0]), ["ends", "farads", "from", "high_impedance", "leads", "text"]);
}

#[test]
fn json_says_what_the_core_says_in_full() {
    let demo = file::demo().unwrap();
    let report = json(&demo, &[]);
    for (at, variant) in report["variants"].as_array().unwrap().iter().enumerate() {
        let core = answer(&demo, at);
        assert_eq!(variant["endpoints"].as_array().unwrap().len(), core.endpoints.len());
        for (shown, endpoint) in variant["endpoints"].as_array().unwrap().iter().zip(&core.endpoints) {
            let point = &endpoint.at;
            assert_eq!(shown["jack"], format!("{}, in", endpoint.name));
            let figures = [
                (&shown["peak"]["hz"], point.peak.as_ref().ok().map(|peak| peak.hz)),
                (&shown["peak"]["height_db"], point.peak.as_ref().ok().map(|peak| peak.height_db)),
                (&shown["minus3_hz"], point.minus3.as_ref().ok().map(|minus3| minus3.hz)),
                (&shown["lead_equivalent"]["m"], point.lead_equivalent.as_ref().ok().copied()),
            ];
            assert!(figures.iter().all(|(shown, number)| near(shown.as_f64(), *number)), "{shown}");
            let hz = third_octaves_hz();
            assert!(holds(&shown["levels"]["hz"], &hz.iter().copied().map(Some).collect::<Vec<_>>()));
            let db: Vec<Option<f64>> = hz.iter().map(|&hz| point.level_at(hz).decibels()).collect();
            assert!(holds(&shown["levels"]["db"], &db));
        }
        assert_eq!(variant["runs"].as_array().unwrap().len(), core.runs.len());
        for (shown, run) in variant["runs"].as_array().unwrap().iter().zip(&core.runs) {
            assert!(near(shown["farads"].as_f64(), Some(run.capacitance)));
            assert_eq!(shown["high_impedance"], run.high_impedance);
        }
    }
}

#[test]
fn frequencies_keep_the_order_in_which_they_were_asked() {
    let report = json(&plain(), &["--at", "5 kHz,82,2.4k"]);
    let levels = &report["variants"][0]["endpoints"][0]["levels"];
    assert_eq!(levels["hz"], serde_json::json!([5000.0, 82.0, 2400.0]));
    let core = answer(&plain(), 0);
    let expected = [5000.0, 82.0, 2400.0].map(|hz| core.endpoints[0].at.level_at(hz).decibels());
    assert!(holds(&levels["db"], &expected));
    let page = text(&plain(), &["--at", "5k,82.41"]);
    assert!(page.find("  5 kHz").unwrap() < page.find("82.41 Hz").unwrap());
}

#[test]
fn silence_is_null_with_a_reason() {
    let mut project = plain();
    volume_at_zero(&mut project);
    let report = json(&project, &["--at", "82,5k"]);
    let endpoint = &report["variants"][0]["endpoints"][0];
    assert_eq!(endpoint["levels"]["db"], serde_json::json!([null, null]));
    assert!(endpoint["peak"].is_null() && endpoint["minus3_hz"].is_null());
    assert_eq!(endpoint["peak_reason"], "nothing comes through");
    assert_eq!(endpoint["minus3_reason"], "nothing comes through");
    assert!(endpoint["lead_equivalent"]["m"].is_null() && endpoint["lead_equivalent"]["reason"].is_string());

    let page = text(&project, &["--at", "82"]);
    assert!(page.contains("none, because nothing comes through"));
    assert!(page.contains("volume of Guitar at 0 of 10"), "{page}");
    assert!(page.contains("silent"));
}

#[test]
fn a_test_point_is_named_by_its_lead() {
    let mut project = plain();
    let lead = first_lead(&project).id;
    project.test_point = Some(TestPoint { lead, along: Turn::of(0.5) });
    let report = json(&project, &["--at", "3k"]);
    let point = &report["variants"][0]["test_point"];
    assert_eq!(point["jack"], "on the lead from Guitar to Amp, half-way");
    let core = answer(&project, 0).test_point.unwrap();
    assert!(holds(&point["levels"]["db"], &[core.level_at(3000.0).decibels()]));
    assert!(text(&project, &[]).contains("\nTest point, on the lead from Guitar to Amp, half-way\n"));
}

#[test]
fn sounds_and_variants_are_chosen_by_name() {
    let demo = file::demo().unwrap();
    let sound = &demo.sounds[0];
    let variant = &demo.variants[1];
    let options = ["--sound", &sound.name.to_uppercase(), "--variant", &variant.name.to_uppercase(), "--at", "5k"];
    let report = json(&demo, &options);
    assert_eq!(report["variants"].as_array().unwrap().len(), 1);
    let shown = &report["variants"][0];
    assert_eq!(
        (&shown["name"], &shown["sound"]),
        (&Value::from(variant.name.clone()), &Value::from(sound.name.clone()))
    );
    let mut standing = demo.clone();
    standing.state = sound.state.clone();
    let core = answer(&standing, 1);
    let expected = [core.endpoints[0].at.level_at(5000.0).decibels()];
    assert!(holds(&shown["endpoints"][0]["levels"]["db"], &expected));
    assert!(text(&demo, &options).contains(&sound.name));
}

#[test]
fn what_a_sound_asks_for_in_vain_is_told() {
    let mut demo = file::demo().unwrap();
    let page = text(&demo, &["--sound", "Solo"]);
    assert!(!page.contains("Missing"), "{page}");
    for name in ["Fuzz", "Delay"] {
        let device = demo.variants[0].rig.devices.iter().find(|device| device.name == name).unwrap().id;
        let edit = Edit::RemoveDevice { variant: demo.variants[0].id, device };
        demo = apply(&demo, &edit).unwrap();
    }
    let told = |page: &str| -> Vec<String> {
        page.lines().filter_map(|line| line.strip_prefix("Missing")).map(|words| words.trim().to_owned()).collect()
    };
    // Only the rig that lacks them says so, and only of a sound.
    let words = "Asks for Fuzz and Delay, which this rig lacks (they are in Buffer after the guitar).";
    assert_eq!(told(&text(&demo, &["--sound", "Solo"])), [words]);
    assert!(told(&text(&demo, &["--sound", "Tune"])).is_empty());
    assert!(told(&text(&demo, &[])).is_empty());
    let lacks = |options: &[&str], at: usize| json(&demo, options)["variants"][at]["sound_lacks"].clone();
    assert_eq!(lacks(&["--sound", "Solo"], 0), serde_json::json!(["Fuzz", "Delay"]));
    assert_eq!(lacks(&["--sound", "Solo"], 1), serde_json::json!([]));
    assert_eq!(lacks(&[], 0), serde_json::json!([]));
}

#[test]
fn what_stays_on_is_told_beside_what_is_switched() {
    let mut demo = file::demo().unwrap();
    assert!(!text(&demo, &[]).contains("Stays on"));
    let reverb = rig_mut(&mut demo).devices.iter_mut().find(|device| device.name == "Reverb").unwrap();
    reverb.stays_on = true;
    let page = text(&demo, &["--variant", "All true bypass"]);
    let told: Vec<&str> = page.lines().filter(|line| line.contains("Stays on")).map(str::trim).collect();
    assert_eq!(told.len(), 1);
    assert!(told[0].ends_with("Reverb"), "{told:?}");
    assert!(page.contains("none of 11"), "{page}");
}

#[test]
fn names_that_arent_there_are_told_with_those_that_are() {
    let demo = file::demo().unwrap();
    let desk = Desk::new();
    let name = desk.save(&demo);
    let sentence = refused(&["report", &name, "--sound", "Encore"]);
    assert!(sentence.starts_with(&format!("There is no sound “Encore” in {name}; expected one of “")), "{sentence}");
    assert!(demo.sounds.iter().all(|sound| sentence.contains(&format!("“{}”", sound.name))));
    let sentence = refused(&["report", &name, "--variant", "Encore"]);
    assert!(demo.variants.iter().all(|variant| sentence.contains(&format!("“{}”", variant.name))));
    let name = desk.save(&plain());
    let sentence = refused(&["report", &name, "--sound", "Encore"]);
    assert_eq!(sentence, format!("There is no sound “Encore” in {name}; it holds no sounds at all."));
}

#[test]
fn the_page_is_aligned_by_characters() {
    let mut project = plain();
    rig_mut(&mut project).devices[1].name = "Ämp “drüben”".to_owned();
    let page = text(&project, &["--at", "82,2k,20k"]);
    let lines: Vec<&str> = page.lines().collect();
    let heading = lines.iter().position(|line| line.trim() == "Ämp “drüben”, in" && line.starts_with("   ")).unwrap();
    let width = lines[heading].chars().count();
    assert!(lines[heading + 1..heading + 4].iter().all(|line| line.chars().count() == width), "{page}");
    assert!(page.contains("Guitar → Ämp “drüben”"));
    assert!(lines.iter().all(|line| line.trim_end() == *line));
}

#[test]
fn names_cant_break_out_of_their_line() {
    let mut project = plain();
    project.title = "two\nlines \u{1b}[31m".to_owned();
    rig_mut(&mut project).devices[1].name = "amp\u{1b}]0;x\u{7}".to_owned();
    let page = text(&project, &[]);
    assert!(page.starts_with("two lines \u{fffd}[31m\n"));
    assert!(page.chars().all(|c| c == '\n' || !c.is_control()));
    json(&project, &[]);
}

#[test]
fn what_a_run_amounts_to_in_words() {
    let run = |capacitance, amount| RunAnswer {
        from: JackRef::new(DeviceId(1), Jack::Out),
        ends: vec![],
        leads: vec![],
        passed: vec![],
        high_impedance: false,
        capacitance,
        amount,
    };
    let said = |capacitance, amount| amount_in_words(&run(capacitance, amount));
    assert_eq!(said(1.4304e-9, Amount::Lead { metres: 14.304 }), "1.43 nF, as much as 14.3 m of its lead");
    let driven = |fall_db| Amount::Driven { ohms: 470.0, fall_db };
    assert_eq!(said(740e-12, driven(Some(-0.02))), "470 Ω drives 740 pF, flat to 20 kHz");
    assert_eq!(said(22e-9, driven(Some(-1.24))), "470 Ω drives 22 nF, −1.2 dB at 20 kHz");
    assert_eq!(said(740e-12, driven(None)), "470 Ω drives 740 pF, silent");
}

#[test]
fn a_rig_without_switches_has_no_table_of_them() {
    let desk = Desk::new();
    let file = desk.save(&rigwright_core::file::blank().unwrap());
    let report = fine(&["report", &file]);
    assert!(report.contains("no unit has a switch"), "{report}");
    assert!(!report.contains("What each switch does"), "{report}");
    // With a unit that has one there is.
    let demo = desk.save(&rigwright_core::file::demo().unwrap());
    assert!(fine(&["report", &demo]).contains("What each switch does: 2048 footswitch states"));
}

/// The demo's delay has a buffered bypass: off its supply, nothing comes through it. [S: dead-run]
#[test]
fn who_is_not_fed_is_named_and_silent_only_as_drawn() {
    let demo = file::demo().unwrap();
    let (variant, delay) =
        (demo.variants[0].id, demo.variants[0].rig.devices.iter().find(|d| d.name == "Delay").unwrap().id);
    let unplugged = apply(&demo, &Edit::Power { variant, edit: PowerEdit::Unplug(delay) }).unwrap();
    assert!(!text(&demo, &[]).contains("Not fed"));
    assert!(text(&unplugged, &[]).contains("Delay; taken as if it were fed\n"));
    assert!(text(&unplugged, &["--power", "as-drawn"]).contains("Delay; taken as drawn, without power\n"));
    let of_first = |options: &[&str]| json(&unplugged, options)["variants"][0].clone();
    let (fed, drawn) = (of_first(&[]), of_first(&["--power", "as-drawn"]));
    for (told, all_fed) in [(&fed, true), (&drawn, false)] {
        assert_eq!(told["unfed"], serde_json::json!(["Delay"]));
        assert_eq!(told["as_if_all_fed"], all_fed);
    }
    let db = |told: &Value| told["endpoints"][0]["levels"]["db"].as_array().unwrap().clone();
    assert_eq!(db(&fed), db(&json(&demo, &[])["variants"][0]), "as if nothing had been pulled");
    assert!(!db(&drawn).is_empty() && db(&drawn).iter().all(Value::is_null), "{:?}", db(&drawn));
}
