//! Any state can be asked for, so that somebody else can go through all of them.

use rigwright_core::file;
use rigwright_core::rig::{Channel, Kind, Project, SwitchHabit, SwitchKey, WorkedBy};
use serde_json::Value;

use super::{Desk, fine, refused, rig_mut};

/// The demo with so many of its switched units free, the others staying as they are off.
fn few_switches(many: usize) -> Project {
    let mut project = file::demo().unwrap();
    project.variants.truncate(1);
    let rig = rig_mut(&mut project);
    let switched = rig.devices.iter_mut().filter(|device| device.has_switch());
    for device in switched.skip(many) {
        let key = device.kind.on_off_key().unwrap();
        device.switches.insert(key, SwitchHabit { worked_by: WorkedBy::Hand, ..SwitchHabit::default() });
    }
    project
}

fn report(desk: &Desk, name: &str, options: &[&str]) -> Value {
    let text = fine(&[&["report", name, "--json", "--at", "82,1k,3.5k,9k"], options].concat());
    let report: Value = serde_json::from_str(&text).unwrap();
    let _ = desk;
    report["variants"][0].clone()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|number| number.as_f64().unwrap()).collect()
}

/// "Wah=on,Fuzz=on"
fn asked(set: &Value) -> String {
    let each = set.as_object().unwrap().iter();
    each.map(|(switch, to)| format!("{switch}={}", to.as_str().unwrap())).collect::<Vec<_>>().join(",")
}

#[test]
fn all_states_one_by_one_have_the_edges_that_are_told() {
    let project = few_switches(6);
    let desk = Desk::new();
    let name = desk.save(&project);
    let told = report(&desk, &name, &[]);
    let states = &told["states"];
    let varying: Vec<&Value> =
        states["switches"].as_array().unwrap().iter().filter(|switch| switch["varies"] == true).collect();
    // The tuner mutes: left out, and no state.
    assert_eq!(states["left_out"][0]["switch"], "Tuner");
    assert_eq!((varying.len(), states["count"].as_str().unwrap()), (5, "32"));
    let (mut lowest, mut highest) = ([f64::INFINITY; 4], [f64::NEG_INFINITY; 4]);
    for mask in 0..32 {
        let on = varying.iter().enumerate().map(|(bit, switch)| {
            let at = mask >> bit & 1;
            format!("{}={}", switch["switch"].as_str().unwrap(), switch["positions"][at].as_str().unwrap())
        });
        let set = on.collect::<Vec<_>>().join(",");
        let one = report(&desk, &name, &["--set", &set]);
        let db = numbers(&one["endpoints"][0]["levels"]["db"]);
        for at in 0..4 {
            lowest[at] = lowest[at].min(db[at]);
            highest[at] = highest[at].max(db[at]);
        }
    }
    for at in 0..4 {
        let edges = &states["at"][at];
        assert!((edges["min_db"].as_f64().unwrap() - lowest[at]).abs() < 1e-9);
        assert!((edges["max_db"].as_f64().unwrap() - highest[at]).abs() < 1e-9);
        for (db, set) in [("min_db", "min_set"), ("max_db", "max_set")] {
            let one = report(&desk, &name, &["--set", &asked(&edges[set])]);
            let made = numbers(&one["endpoints"][0]["levels"]["db"])[at];
            assert!((edges[db].as_f64().unwrap() - made).abs() < 1e-9, "{set} at {}", edges["hz"]);
        }
    }
    // A jump's context with its switch in both positions, at a frequency of the program's own grid.
    let jump = &told["jumps"][0];
    assert_eq!((&jump["from"], &jump["to"], &jump["key"]), (&"off".into(), &"on".into(), &"bypass".into()));
    let level = |to: &str| {
        let others = asked(&jump["rise_set"]);
        let set = [others, format!("{}={to}", jump["switch"].as_str().unwrap())].join(",");
        let hz = jump["rise_hz"].as_f64().unwrap().to_string();
        let text = fine(&["report", &name, "--json", "--at", &hz, "--set", set.trim_start_matches(',')]);
        let report: Value = serde_json::from_str(&text).unwrap();
        numbers(&report["variants"][0]["endpoints"][0]["levels"]["db"])[0]
    };
    let rise = level("on") - level("off") - jump["level_db"].as_f64().unwrap();
    assert!((rise - jump["rise_db"].as_f64().unwrap()).abs() < 1e-9, "{rise} against {jump}");
}

#[test]
fn what_a_hand_works_holds_and_varies_only_where_that_is_asked() {
    let project = few_switches(3);
    let desk = Desk::new();
    let name = desk.save(&project);
    let of = |options: &[&str]| {
        let states = report(&desk, &name, options)["states"].clone();
        (states["count"].as_str().unwrap().to_owned(), states["over"].as_str().unwrap().to_owned())
    };
    assert_eq!(of(&[]), ("4".to_owned(), "foot".to_owned()));
    let switched = project.variants[0].rig.devices.iter().filter(|device| device.has_switch()).count();
    assert_eq!(of(&["--vary", "hand"]), ((1_u64 << (switched - 1)).to_string(), "all".to_owned()));
    // It stands where the state in hand has it, whatever feet do.
    let fuzz = project.variants[0].rig.devices.iter().find(|device| device.name == "Fuzz").unwrap();
    let mut on = project.clone();
    on.state.positions.insert(fuzz.on_off().unwrap().id, rigwright_core::rig::Position::ON);
    let on = desk.put("on.ron", file::write(&on).unwrap());
    let lowest = |name: &str| numbers(&report(&desk, name, &[])["states"]["min_db"]);
    assert_ne!(lowest(&name), lowest(&on));
    let set = ["--set", "Compressor=on"];
    let with = |name: &str| numbers(&report(&desk, name, &set)["endpoints"][0]["levels"]["db"]);
    assert_ne!(with(&name), with(&on), "--set leaves it alone");
}

#[test]
fn a_set_that_cant_be_is_refused_with_what_can_be() {
    let desk = Desk::new();
    let mut project = few_switches(2);
    let rig = rig_mut(&mut project);
    for device in rig.devices.iter_mut().filter(|device| device.name == "Wah" || device.name == "Fuzz") {
        device.name = "Odd, one=two".to_owned();
    }
    if let Kind::Amp(amp) = &mut rig.devices.iter_mut().find(|device| device.name == "Amp left").unwrap().kind {
        amp.channels = ["clean", "crunch, loud", "lead"].map(Channel::named).into();
    }
    let name = desk.save(&project);
    let set = |text: &str| refused(&["report", &name, "--set", text]);
    assert!(set("Wahh=on").contains("there is no switch “Wahh” here; expected one of “Tuner”, "), "{}", set("Wahh=on"));
    let said = set("Compressor=loud");
    assert!(said.contains("After --set, “Compressor” has no position “loud”; it has “off” and “on”."), "{said}");
    let mut staying = project.clone();
    let reverb = rig_mut(&mut staying).devices.iter_mut().find(|device| device.name == "Reverb").unwrap();
    reverb.stays_on = true;
    let other = desk.put("staying.ron", file::write(&staying).unwrap());
    let said = refused(&["report", &other, "--set", "Reverb=off"]);
    assert!(said.contains("“Reverb” can't be set: it stays on in every state."), "{said}");
    assert!(set("Compressor=on,Compressor=off").contains("“Compressor” is set twice"));
    assert!(refused(&["report", &name, "--vary", "foot"]).contains("After --vary comes “hand”"));
    // Names that are shared have numbers, and may hold what stands between switches.
    let shared = report(&desk, &name, &[])["states"]["switches"].clone();
    let odd: Vec<&str> = shared.as_array().unwrap().iter().filter_map(|switch| switch["switch"].as_str()).collect();
    let odd = odd.into_iter().find(|name| name.starts_with("Odd, one=two #")).unwrap();
    let asked = format!("{odd}=on, Amp left = crunch, loud,Compressor=on");
    let text = fine(&["report", &name, "--set", &asked]);
    assert!(text.contains("On           Compressor, Odd, one=two (2 of 12;"), "{text}");
}

/// An amp's channel is a switch of three positions, and nothing that the guitar hears.
#[test]
fn an_amps_channel_is_counted_and_changes_no_level_before_it() {
    let desk = Desk::new();
    let plain = few_switches(3);
    let mut project = plain.clone();
    let rig = rig_mut(&mut project);
    let amp = rig.devices.iter_mut().find(|device| device.name == "Amp left").unwrap();
    let Kind::Amp(inside) = &mut amp.kind else { panic!("an amp") };
    inside.channels = ["clean", "crunch", "lead"].map(Channel::named).into();
    let (name, plain) = (desk.save(&project), desk.put("plain.ron", file::write(&plain).unwrap()));
    let [with, without] = [&name, &plain].map(|name| report(&desk, name, &[]));
    assert_eq!((&without["states"]["count"], &with["states"]["count"]), (&"4".into(), &"12".into()));
    assert_eq!(without["states"]["different"], with["states"]["different"]);
    assert_eq!(without["states"]["min_db"], with["states"]["min_db"]);
    assert_eq!(without["jumps"], with["jumps"]);
    let channel = with["states"]["switches"].as_array().unwrap().last().unwrap().clone();
    assert_eq!((&channel["switch"], &channel["key"]), (&"Amp left".into(), &"channel".into()));
    assert_eq!(channel["positions"], serde_json::json!(["clean", "crunch", "lead"]));
    // Turned by hand it is no state of its own.
    let rig = rig_mut(&mut project);
    let amp = rig.devices.iter_mut().find(|device| device.name == "Amp left").unwrap();
    amp.switches.insert(SwitchKey::Channel, SwitchHabit { worked_by: WorkedBy::Hand, ..SwitchHabit::default() });
    assert_eq!(report(&desk, &desk.save(&project), &[])["states"]["count"], "4");
}

/// A source of 10 kΩ and 1 nF: at 1/(2πRC) half the voltage is in phase and as
/// much lags by a quarter, 1/(1 + j) = ½ − ½j. [S: corner]
#[test]
fn a_level_has_its_phase_where_that_is_asked() {
    let desk = Desk::new();
    let mut project = file::blank().unwrap();
    let rig = rig_mut(&mut project);
    let (first, last) = (rig.devices[0].id, rig.devices.last().unwrap().id);
    use rigwright_core::rig::{ActiveSource, Instrument};
    use rigwright_core::units::{
        Farads, FaradsPerMetre, HenriesPerMetre, LossTangent, Metres, Ohms, OhmsPerMetre, Ratio,
    };
    rig.devices.retain(|device| device.id == first || device.id == last);
    rig.devices[0].kind = Kind::Active(ActiveSource::of(Instrument::Guitar, Ohms::of(10e3), Ratio::of(1.0)));
    let Kind::Amp(amp) = &mut rig.devices[1].kind else { panic!("an amp") };
    (amp.grid, amp.input.resistance, amp.input.capacitance) = (None, Ohms::of(1e9), Farads::of(0.0));
    rig.leads.truncate(1);
    let lead = &mut rig.leads[0];
    lead.to.device = last;
    lead.length = Metres::of(1.0);
    lead.cable.capacitance = FaradsPerMetre::of(1e-9);
    lead.cable.resistance = OhmsPerMetre::of(0.0);
    lead.cable.inductance = HenriesPerMetre::of(0.0);
    lead.cable.loss_tangent = LossTangent::of(0.0);
    lead.cable.plug = Farads::of(0.0);
    let name = desk.save(&project);
    let hz = (1.0 / (2.0 * std::f64::consts::PI * 10e3 * 1e-9)).to_string();
    let text = fine(&["report", &name, "--json", "--complex", "--at", &hz]);
    let report: Value = serde_json::from_str(&text).unwrap();
    let levels = &report["variants"][0]["endpoints"][0]["levels"];
    let (re, im, db) = (numbers(&levels["re"])[0], numbers(&levels["im"])[0], numbers(&levels["db"])[0]);
    // The input of 1 GΩ takes 10 kΩ / 1 GΩ of it.
    assert!((re - 0.5).abs() < 1e-5 && (im + 0.5).abs() < 1e-5, "{re} {im}");
    assert!((10.0 * (re * re + im * im).log10() - db).abs() < 1e-12);
    let text = fine(&["report", &name, "--json", "--at", &hz]);
    let plain: Value = serde_json::from_str(&text).unwrap();
    assert!(plain["variants"][0]["endpoints"][0]["levels"].get("re").is_none());
}

/// A step between two positions of which neither is at rest: its peak is told from the one to the other, as
/// each of them has it by itself.
#[test]
fn a_step_between_positions_moves_the_peak_from_the_one_to_the_other() {
    let mut project = file::demo().unwrap();
    project.variants.truncate(1);
    project.sounds.clear();
    let rig = rig_mut(&mut project);
    let part = rigwright_core::parts::catalogue().part("three-single-coil-guitar").unwrap();
    let guitar = rig.devices.iter_mut().find(|device| matches!(device.kind, Kind::Guitar(_))).unwrap();
    let name = guitar.name.clone();
    guitar.kind = part.kind.clone();
    // Nothing else is switched.
    for device in rig.devices.iter_mut().filter(|device| device.has_switch()) {
        let key = device.kind.on_off_key().unwrap();
        device.switches.insert(key, SwitchHabit { worked_by: WorkedBy::Controller, ..SwitchHabit::default() });
    }
    let desk = Desk::new();
    let file = desk.save(&project);
    let peak = |position: &str| {
        let page = fine(&["report", &file, "--set", &format!("{name}={position}")]);
        let line = page.lines().find(|line| line.trim_start().starts_with("Peak ")).unwrap().to_owned();
        line.split_whitespace().skip(1).take(2).collect::<Vec<_>>().join(" ").trim_end_matches(',').to_owned()
    };
    let (both, alone) = (peak("bridge and middle"), peak("middle"));
    assert_ne!(both, alone);
    let page = fine(&["report", &file, "--vary", "hand"]);
    let step = format!("{name}, bridge and middle to middle ");
    let row = page.lines().find(|line| line.contains(&step)).expect("a row for the step");
    assert!(row.contains(&format!("{both} to {alone}")), "{row}, and {both}, {alone}");
}
