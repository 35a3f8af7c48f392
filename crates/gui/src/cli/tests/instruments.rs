//! Two instruments in one mixer: each is told by itself.

use std::sync::Arc;

use rigwright_core::file;
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{Device, DeviceId, Jack, JackRef, Kind, Lead, LeadId, Project, Rig, Variant};
use serde_json::Value;

use super::{Desk, fine, refused};

/// The demo's guitar and a bass with electronics, mixed into the demo's amp.
fn mixed() -> Project {
    let mut project = file::demo().unwrap();
    let demo = Arc::clone(&project.variants[0].rig);
    let of = |wanted: fn(&Kind) -> bool| demo.devices.iter().find(|device| wanted(&device.kind)).unwrap().clone();
    let (guitar, amp) = (of(|kind| matches!(kind, Kind::Guitar(_))), of(|kind| matches!(kind, Kind::Amp(_))));
    let part = |wanted: fn(&Kind) -> bool, id: u64, name: &str| {
        let part = catalogue().parts.iter().find(|part| wanted(&part.kind)).unwrap();
        Device { name: name.to_owned(), ..part.device(DeviceId(id)) }
    };
    let bass = part(|kind| matches!(kind, Kind::Active(_)), 901, "Bass");
    let mixer = part(|kind| matches!(kind, Kind::Mixer(_)), 902, "Mixer");
    let lead = |id: u64, from: (DeviceId, Jack), to: (DeviceId, Jack)| {
        let (from, to) = (JackRef::new(from.0, from.1), JackRef::new(to.0, to.1));
        Lead { id: LeadId(id), from, to, ..demo.leads[0].clone() }
    };
    let leads = vec![
        lead(911, (guitar.id, Jack::Out), (mixer.id, Jack::In)),
        lead(912, (bass.id, Jack::Out), (mixer.id, Jack::SecondIn)),
        lead(913, (mixer.id, Jack::Out), (amp.id, Jack::In)),
    ];
    let rig = Rig { devices: vec![guitar, bass, mixer, amp], leads, feeds: Vec::new() };
    let first = (*project.variants[0]).clone();
    project.variants = vec![Arc::new(Variant { rig: Arc::new(rig), ..first })];
    (project.sounds, project.test_point) = (Vec::new(), None);
    project.state = Default::default();
    project.next_id = 1000;
    project
}

#[test]
fn each_instrument_is_told_by_itself() {
    let project = mixed();
    let (desk, guitar) = (Desk::new(), project.variants[0].rig.devices[0].name.clone());
    let name = desk.save(&project);
    let report = |options: &[&str]| {
        let text = fine(&[&["report", &name, "--json", "--at", "100,3k"], options].concat());
        serde_json::from_str::<Value>(&text).unwrap()["variants"][0].clone()
    };
    let first = report(&[]);
    assert_eq!(first["states"]["source"], guitar.as_str());
    let (own, bass) = (report(&["--source", &guitar]), report(&["--source", "bass"]));
    assert_eq!(first["endpoints"], own["endpoints"], "where nobody says, the first of them is played");
    assert_eq!(bass["states"]["source"], "Bass");
    let db = |of: &Value, at: usize| of["endpoints"][0]["levels"]["db"][at].as_f64().unwrap();
    // The guitar's coil and lead peak at 3 kHz; the bass's electronics drive the same lead flat.
    assert!(db(&own, 1) - db(&own, 0) > 3.0 && (db(&bass, 1) - db(&bass, 0)).abs() < 0.1);
    assert_eq!((&bass["states"]["over"], &bass["states"]["outer_max_db"]), (&"foot".into(), &Value::Null));
}

#[test]
fn an_instrument_that_isnt_there_is_told_with_those_that_are() {
    let project = mixed();
    let desk = Desk::new();
    let name = desk.save(&project);
    let guitar = &project.variants[0].rig.devices[0].name;
    let said = refused(&["report", &name, "--source", "Lute"]);
    assert!(
        said.starts_with("There is no instrument “Lute” in ")
            && said.ends_with(&format!("expected one of “{guitar}”, “Bass”.")),
        "{said}"
    );
}
