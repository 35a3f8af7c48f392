//! The network code, and whole guitars, against tables of independent libraries (`references/`).

use std::collections::BTreeMap;

use rigwright_core::cascade::{LineCache, level_at, levels};
use rigwright_core::network::{Branch, Ladder, Line, Sweep};
use rigwright_core::rig::{Control, DeviceId, Guitar, Kind, Knob, State};
use rigwright_core::units::{
    Farads, FaradsPerMetre, Henries, HenriesPerMetre, LossTangent, Metres, Ohms, OhmsPerMetre, Turn,
};
use serde::Deserialize;

use crate::rigs::{amp, bare_cable, chain, db, response};

const TABLES: &str = include_str!("../references/skrf_tables.json");

/// What the README of the tables promises.
const ALLOWED_DB: f64 = 1e-6;

#[derive(Deserialize)]
struct Tables {
    hz: Vec<f64>,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    ladder: Vec<Element>,
    level_db: Vec<f64>,
}

#[derive(Deserialize)]
#[serde(rename_all = "snake_case")]
enum Element {
    Series(Part),
    Shunt(Part),
    Line { length_m: f64, ohm_per_m: f64, henry_per_m: f64, farad_per_m: f64, loss_tangent: f64 },
}

#[derive(Deserialize)]
#[serde(rename_all = "snake_case")]
enum Part {
    R(f64),
    L(f64),
    C(f64),
    InSeries(Vec<Part>),
    InParallel(Vec<Part>),
}

fn branch(part: &Part) -> Branch {
    let all = |parts: &[Part]| parts.iter().map(branch).collect();
    match part {
        Part::R(value) => Branch::Resistor(Ohms::of(*value)),
        Part::L(value) => Branch::Inductor(Henries::of(*value)),
        Part::C(value) => Branch::Capacitor(Farads::of(*value)),
        Part::InSeries(parts) => Branch::Series(all(parts)),
        Part::InParallel(parts) => Branch::Parallel(all(parts)),
    }
}

fn ladder(elements: &[Element]) -> Ladder {
    let mut ladder = Ladder::new();
    for element in elements {
        match element {
            Element::Series(part) => ladder.series(branch(part)),
            Element::Shunt(part) => ladder.shunt(branch(part)),
            Element::Line { length_m, ohm_per_m, henry_per_m, farad_per_m, loss_tangent } => {
                ladder.line(Line {
                    length: Metres::of(*length_m),
                    resistance: OhmsPerMetre::of(*ohm_per_m),
                    inductance: HenriesPerMetre::of(*henry_per_m),
                    capacitance: FaradsPerMetre::of(*farad_per_m),
                    loss_tangent: LossTangent::of(*loss_tangent),
                });
            }
        }
    }
    ladder
}

#[test]
fn levels_agree_with_scikit_rf() {
    let tables: Tables = serde_json::from_str(TABLES).expect("the tables are as their README says");
    assert_eq!(tables.cases.len(), 64);
    assert_eq!(tables.hz.len(), 34);
    // One cache for all cases: what is kept must not leak from one into the next.
    let mut cache = LineCache::new(Sweep::at(&tables.hz));
    let mut wrong = Vec::new();
    for case in &tables.cases {
        let ladder = ladder(&case.ladder);
        let end = ladder.rungs.len();
        let swept = levels(&ladder, end, &mut cache);
        // The end marked before its last rung: the same node if that one is a shunt.
        let ends_in_shunt = matches!(case.ladder.last(), Some(Element::Shunt(_)));
        let before_end = levels(&ladder, end - usize::from(ends_in_shunt), &mut cache);
        assert_eq!(case.level_db.len(), tables.hz.len(), "{}", case.name);
        for (at, (&hz, &expected)) in tables.hz.iter().zip(&case.level_db).enumerate() {
            let single = db(level_at(&ladder, end, hz));
            for got in [db(swept[at]), db(before_end[at]), single] {
                if (got - expected).abs() > ALLOWED_DB {
                    wrong.push(format!("{} at {hz} Hz: {got} against {expected}", case.name));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} levels are off:\n{}", wrong.len(), wrong.join("\n"));
}

const GUITARS: &str = include_str!("../references/lcapy_guitars.json");

#[derive(Deserialize)]
struct Guitars {
    hz: Vec<f64>,
    cases: Vec<Played>,
}

/// A guitar with some knobs turned, into 1 MΩ and 450 pF.
#[derive(Deserialize)]
struct Played {
    name: String,
    guitar: Guitar,
    /// By their names: "Volume", "VolumeOf 2".
    turned: BTreeMap<String, f64>,
    level_db: Vec<f64>,
}

fn control(name: &str) -> Control {
    let numbered = |name: &str| name.split_once(' ').map(|(_, number)| number.parse().expect("a pickup's number"));
    match name {
        "Volume" => Control::Volume,
        "Tone" => Control::Tone,
        "Blend" => Control::Blend,
        name if name.starts_with("VolumeOf") => Control::VolumeOf(numbered(name).expect("a number")),
        name => Control::ToneOf(numbered(name).expect("a number")),
    }
}

#[test]
fn guitars_of_several_pickups_agree_with_lcapy() {
    let tables: Guitars = serde_json::from_str(GUITARS).expect("the tables are as their README says");
    assert_eq!((tables.cases.len(), tables.hz.len()), (18, 11));
    let mut wrong = Vec::new();
    for case in &tables.cases {
        let kinds = vec![("guitar", Kind::Guitar(case.guitar.clone())), ("amp", amp(1e6, 450e-12))];
        let rig = chain(kinds, &[0.0], &bare_cable());
        let mut state = State::default();
        for (name, to) in &case.turned {
            state.turned.insert(Knob { device: DeviceId(1), control: control(name) }, Turn::of(*to));
        }
        let answer = response(&rig, &state);
        assert_eq!(case.level_db.len(), tables.hz.len(), "{}", case.name);
        for (&hz, &expected) in tables.hz.iter().zip(&case.level_db) {
            let got = db(answer.endpoints[0].at.level_at(hz));
            if (got - expected).abs() > ALLOWED_DB {
                wrong.push(format!("{} at {hz} Hz: {got} against {expected}", case.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{} levels are off:\n{}", wrong.len(), wrong.join("\n"));
}
