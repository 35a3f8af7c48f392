//! Power on the command line: it says what the core says.

use rigwright_core::file;
use rigwright_core::ground::ground_loops;
use rigwright_core::parts::catalogue;
use rigwright_core::power::{Headroom, check};
use rigwright_core::rig::{
    Country, Device, DeviceId, Edit, FeedId, Lead, LeadId, MainsSupply, OutletRef, PowerEdit, Project, Venue, apply,
};
use serde_json::Value;

use super::answers::near;
use super::{Desk, call, fine, first_lead, plain, refused, rig_mut};
use crate::cli::Outcome;

fn json(project: &Project, options: &[&str]) -> Value {
    let desk = Desk::new();
    let name = desk.save(project);
    serde_json::from_str(&fine(&[&["power", &name, "--json"], options].concat())).unwrap()
}

fn named(project: &Project, name: &str) -> DeviceId {
    project.variants[0].rig.devices.iter().find(|device| device.name == name).unwrap().id
}

/// The demo with its mild drive, which takes 9 V, on the outlet that is set to 18 V.
fn broken() -> Project {
    let demo = file::demo().unwrap();
    let outlet = OutletRef::new(named(&demo, "Isolated supply"), 4);
    let device = named(&demo, "Mild drive");
    let edit = PowerEdit::PlugIn { device, outlet, feed: FeedId(demo.next_id) };
    apply(&demo, &Edit::Power { variant: demo.variants[0].id, edit }).unwrap()
}

#[test]
fn every_plug_and_outlet_of_the_demo_is_told_in_full() {
    let demo = file::demo().unwrap();
    let found = check(&demo.variants[0].rig, &Headroom::of(&demo.limits));
    let report = json(&demo, &[]);
    let power = &report["variants"][0]["power"];
    let taps = power["taps"].as_array().unwrap();
    let plugs: Vec<_> = found.feeds.iter().flat_map(|feed| &feed.taps).collect();
    assert_eq!(taps.len(), plugs.len());
    for (shown, plug) in taps.iter().zip(plugs) {
        assert!(near(shown["volts"].as_f64(), plug.volts), "{shown}");
        assert!(near(shown["drop"].as_f64(), Some(plug.drop)), "{shown}");
    }
    let supplies = power["supplies"].as_array().unwrap();
    assert_eq!(supplies.len(), found.supplies.len());
    for (shown, supply) in supplies.iter().zip(&found.supplies) {
        assert!(near(shown["taken"].as_f64(), Some(supply.volt_amperes)), "{shown}");
        assert!(near(shown["taken_w"].as_f64(), Some(supply.taken)), "{shown}");
        for (shown, outlet) in shown["outlets"].as_array().unwrap().iter().zip(&supply.outlets) {
            assert!(near(shown["load"]["running"].as_f64(), Some(outlet.load.running)), "{shown}");
            assert!(near(shown["load"]["limit"].as_f64(), outlet.load.limit), "{shown}");
        }
    }
    assert_eq!(power["problems"].as_array().unwrap().len(), found.problems.len());
    assert_eq!(power["proved"], true, "a rig of this size is allocated with every report");
    let loops = ground_loops(&demo.variants[0].rig);
    let shown = report["variants"][0]["ground_loops"].as_array().unwrap().clone();
    assert_eq!(shown.len(), loops.len());
    assert!(
        shown.iter().zip(&loops).all(|(shown, found)| shown["path"] == found.path && shown["rank"] == found.rank.key())
    );
}

#[test]
fn the_report_has_the_same() {
    let demo = file::demo().unwrap();
    let desk = Desk::new();
    let name = desk.save(&demo);
    let report: Value = serde_json::from_str(&fine(&["report", &name, "--json", "--at", "1k"])).unwrap();
    let power = json(&demo, &[]);
    for (at, variant) in report["variants"].as_array().unwrap().iter().enumerate() {
        assert_eq!(variant["power"], power["variants"][at]["power"]);
        assert_eq!(variant["ground_loops"], power["variants"][at]["ground_loops"]);
    }
    let text = fine(&["report", &name]);
    assert!(text.contains("Power: 246 W of the mains (250 VA) at 4 plugs, 240 W of it by amps and the like"), "{text}");
    assert!(text.contains("Ground loops: 11 possible causes of hum"), "{text}");
}

#[test]
fn a_large_rig_is_allocated_when_that_is_asked_for() {
    let rig = file::large_modular().unwrap();
    assert!(json(&rig, &[])["variants"][0]["power"]["proved"].is_null());
    let asked = json(&rig, &["--allocate"]);
    let power = &asked["variants"][0]["power"];
    assert_eq!(power["proved"], true);
    assert_eq!(power["allocation"]["unfed"].as_array().unwrap().len(), 0);
    assert!(power["allocation"]["text"].as_str().unwrap().starts_with("All 25 units are fed"));
}

#[test]
fn of_a_great_many_loops_some_are_listed_and_all_counted() {
    let mut project = plain();
    let first = first_lead(&project).clone();
    rig_mut(&mut project).leads = (0..200).map(|at| Lead { id: LeadId(1000 + at), ..first.clone() }).collect();
    // 200 screens between two places: 200 − 2 + 1 [S: cyclomatic].
    let variant = &json(&project, &[])["variants"][0];
    assert_eq!(variant["ground_loop_count"], 199);
    assert_eq!(variant["ground_loops"].as_array().unwrap().len(), 100);
    let text = fine(&["power", &Desk::new().save(&project)]);
    assert!(text.contains("Ground loops: 199 possible causes of hum, the likeliest first\n"), "{text}");
    assert!(text.contains("  Told here are 100; there are 99 more like them.\n"), "{text}");
    let text = fine(&["power", &Desk::new().save(&file::demo().unwrap())]);
    assert!(!text.contains("Told here"), "{text}");
}

#[test]
fn a_rig_too_large_to_be_allocated_is_told() {
    let mut project = file::few_on_a_daisy().unwrap();
    let rig = rig_mut(&mut project);
    let (fed, others): (Vec<Device>, Vec<Device>) =
        rig.devices.drain(..).partition(|device| device.power.need().is_some() && device.kind.supply().is_none());
    let more = (0..101).map(|at| Device { id: DeviceId(5000 + at), ..fed[0].clone() });
    rig.devices = others.into_iter().chain(more).collect();
    let told = "not looked for, since 101 units want power; it is looked for in rigs of up to 100";
    let power = &json(&project, &["--allocate"])["variants"][0]["power"];
    assert_eq!(power["allocation_left_out"], told);
    assert!(power["allocation"].is_null() && power["proved"].is_null());
    let desk = Desk::new();
    let text = fine(&["power", &desk.save(&project), "--allocate"]);
    assert!(text.contains(&format!("\nBest allocation: {told}\n")), "{text}");
    assert!(!fine(&["power", &desk.save(&project)]).contains("Best allocation"));
}

#[test]
fn what_wishes_give_way_is_told_to_programs_and_people() {
    let daisy = file::few_on_a_daisy().unwrap();
    let report = json(&daisy, &["--allocate"]);
    let allocation = &report["variants"][0]["power"]["allocation"];
    assert_eq!(allocation["unfed"].as_array().unwrap().len(), 0);
    // Four units that hear each other on one lead for both kinds; 175 of 500 mA. By hand: 9 V × 175 mA.
    let penalty = serde_json::json!({
        "unfed": 0, "changed_voltage": 0, "noisy": 5, "over_headroom": 0, "adapters": 0, "sharing": 6,
        "microwatts": 1_575_000,
    });
    assert_eq!(allocation["penalty"], penalty);
    let why: Vec<&str> =
        allocation["noisy"].as_array().unwrap().iter().map(|one| one["why"].as_str().unwrap()).collect();
    assert_eq!(why, ["together", "one-lead"]);
    assert_eq!(allocation["noisy"][0]["units"].as_array().unwrap().len(), 4);
    let desk = Desk::new();
    let text = fine(&["power", &desk.save(&daisy)]);
    assert!(text.contains("Best allocation: All 4 units are fed, with no adapter.\n  Likely noisy: "), "{text}");
}

#[test]
fn power_tells_a_person_what_mends_a_danger() {
    let desk = Desk::new();
    let name = desk.save(&broken());
    let text = fine(&["power", &name]);
    let told = "  Danger: Mild drive wants 9 V at most and gets 18 V.\n    Why: Unplug it before you switch on: over-voltage can destroy it.\n    Fix: Move Mild drive to outlet 5 of Isolated supply\n";
    assert!(text.contains(told), "{text}");
    assert!(text.contains("  Never lift a mains earth to cure hum: "), "{text}");
    assert!(text.contains("  Between amp and speaker goes a speaker lead, never an instrument lead"), "{text}");
    assert!(text.ends_with("  Local codes and licensed electricians come first.\n"), "{text}");
}

#[test]
fn check_ends_with_1_on_what_there_is_to_act_on() {
    let desk = Desk::new();
    let name = desk.save(&broken());
    let (outcome, out, _) = call(&["check", &name]);
    assert_eq!(outcome, Outcome::Exit(1));
    assert!(out.contains("All true bypass: Mild drive wants 9 V at most and gets 18 V.\n"), "{out}");
    // What is only to be known is no reason, and neither is a rig that nobody has drawn supplies for.
    for project in [file::few_on_a_daisy().unwrap(), plain()] {
        let name = desk.save(&project);
        assert!(!call(&["check", &name]).1.contains("daisy lead"));
    }
    let demo = file::demo().unwrap();
    let edit = PowerEdit::Unplug(named(&demo, "Chorus"));
    let unplugged = apply(&demo, &Edit::Power { variant: demo.variants[0].id, edit }).unwrap();
    let name = desk.save(&unplugged);
    let (outcome, out, _) = call(&["check", &name]);
    assert_eq!(outcome, Outcome::Exit(1));
    assert!(
        out.contains(
            "All true bypass: Chorus is not fed: its true bypass lets the signal pass, and it can't be switched on.\n"
        ),
        "{out}"
    );
}

/// The demo on tour in Japan, its adaptor's lead on one unit of a battery more.
#[test]
fn mains_on_tour_and_batteries_are_told_to_people_and_programs() {
    let mut demo = file::demo().unwrap();
    let mains = MainsSupply { tour: vec![Venue::of(Country::Japan)], ..demo.mains };
    demo = apply(&demo, &Edit::SetMains(Box::new(mains))).unwrap();
    let variant = demo.variants[0].id;
    let battery = Box::new(catalogue().part("battery-9v").unwrap().device(DeviceId(demo.next_id)));
    let (device, outlet) = (named(&demo, "Fuzz"), OutletRef::new(battery.id, 1));
    let feed = FeedId(demo.next_id + 1);
    let edits = vec![
        Edit::AddDevice { variant, device: battery, place: None },
        Edit::Power { variant, edit: PowerEdit::PlugIn { device, outlet, feed } },
    ];
    demo = apply(&demo, &Edit::Batch(edits)).unwrap();
    let desk = Desk::new();
    let name = desk.save(&demo);
    let text = fine(&["power", &name]);
    assert!(text.contains("  Mains: 230 V at home, 100 V in Japan\n"), "{text}");
    // Amps for 220-240 V get too little there; supplies for 100-240 V don't mind.
    assert!(
        text.contains("  To act on: Amp left takes 220 V of the mains at least and gets 100 V in Japan.\n"),
        "{text}"
    );
    assert!(!text.contains("Isolated supply takes"), "{text}");
    // 0.5 mA: 550 mAh, of them 0.6-1.1, and a quarter of that down to 8.1 V.
    let lasts =
        "lasts 170-300 h down to 8.1 V, the least that what hangs on it is made for, and 660-1200 h until it is empty";
    assert!(text.contains(lasts), "{text}");
    assert!(text.contains("A plug left in a unit's input empties its battery"), "{text}");
    assert!(call(&["check", &name]).1.contains("gets 100 V in Japan."));
    let power = &json(&demo, &[])["variants"][0]["power"];
    assert_eq!(power["mains"][0]["country"], Value::Null);
    assert_eq!((&power["mains"][1]["country"], &power["mains"][1]["volts"]), (&"Japan".into(), &100.0.into()));
    let battery = &power["batteries"][0];
    assert!(near(battery["hours_least"].as_f64(), Some(165.0)), "{battery}");
    assert!(near(battery["hours_most"].as_f64(), Some(302.5)), "{battery}");
    assert!(near(battery["hours"].as_f64(), Some(233.75)), "{battery}");
    assert!(near(battery["until_volts"].as_f64(), Some(8.1)), "{battery}");
    assert!(near(battery["empty_hours_least"].as_f64(), Some(660.0)), "{battery}");
    let low = power["problems"].as_array().unwrap().iter().filter(|told| told["rule"] == "mains-too-low").count();
    assert_eq!(low, 2, "both amps");
    // Two amps of 240 W in all, and supplies of 4.48 and 1.31 W whose power factor is 0.6.
    let (watts, apparent) = (power["mains_w"].as_f64().unwrap(), power["mains_va"].as_f64().unwrap());
    assert!((apparent - (240.0 + (watts - 240.0) / 0.6)).abs() < 1e-9, "{watts} {apparent}");
}

#[test]
fn what_is_asked_wrongly_is_told() {
    let told = refused(&["power"]);
    assert_eq!(told, "A file is expected: rigwright power FILE.");
    let told = refused(&["power", "a.ron", "--at", "1k"]);
    assert_eq!(told, "There is no option “--at” here; rigwright power FILE knows --allocate, --json and --help.");
}
