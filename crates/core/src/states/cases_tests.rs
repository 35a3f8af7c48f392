//! One switch that acts in two places, on a plan made by hand: no kind of device
//! has such a switch by itself.

use super::cases::{Cases, spot};
use super::evaluation::Found;
use super::{Target, evaluate};
use crate::cascade::LineCache;
use crate::file;
use crate::network::Sweep;
use crate::plan::{Plan, plan};
use crate::rig::{DeviceId, Jack, JackRef, State, SwitchRef};
use crate::watch::{Pace, Unwatched};

const IDEAL: &str = "input: (resistance: 1e6, capacitance: 0), output: 0, level:";

/// A source, two units at these levels while on, an interface: the units one behind
/// the other, or each in one of two ways that are mixed. One switch works both.
fn one_switch(levels_db: [f64; 2], ways: usize) -> Plan {
    let unit = |id: usize, db: f64| {
        format!(
            "(id: {id}, name: \"{id}\", body: (size: Mini, mass: 0, price: 0), kind: Pedal(bypass: True, \
             on: ({IDEAL} {db}), off: ({IDEAL} 0), wiring: 0)),"
        )
    };
    let lead = |id: usize, from: &str, to: &str| {
        format!(
            "(id: {id}, from: ({from}), to: ({to}), length: 0, cable: (name: \"\", capacitance: 0, resistance: 0, \
             inductance: 0, loss_tangent: 0, plug: 0)),"
        )
    };
    let body = "body: (size: Mini, mass: 0, price: 0)";
    let input = "(input: (resistance: 1e6, capacitance: 0), level: 0)";
    let devices = [
        format!("(id: 1, name: \"source\", {body}, kind: Active(instrument: Bass, output: 0, gain: 1)),"),
        format!("(id: 2, name: \"splitter\", {body}, kind: Splitter(Buffered(stage: ({IDEAL} 0), wiring: 0))),"),
        unit(3, levels_db[0]),
        unit(4, levels_db[1]),
        format!(
            "(id: 5, name: \"mixer\", {body}, kind: Mixer(Buffered(first: {input}, second: {input}, output: 0, wiring: 0))),"
        ),
        format!("(id: 6, name: \"end\", {body}, kind: Interface(input: (resistance: 1e6, capacitance: 0))),"),
    ];
    let joined = match ways {
        1 => vec![("1, Out", "3, In"), ("3, Out", "4, In"), ("4, Out", "6, In")],
        _ => vec![
            ("1, Out", "2, In"),
            ("2, Out", "3, In"),
            ("2, SecondOut", "4, In"),
            ("3, Out", "5, In"),
            ("4, Out", "5, SecondIn"),
            ("5, Out", "6, In"),
        ],
    };
    let jack = |at: &str| {
        let (device, jack) = at.split_once(", ").expect("a device and a jack");
        format!("device: {device}, jack: {jack}")
    };
    let leads = joined.iter().zip(11..).map(|((from, to), id)| lead(id, &jack(from), &jack(to)));
    let text = format!(
        "#![enable(implicit_some, unwrap_variant_newtypes)]\n(version: 4, sounds: [], variants: [(id: 9, name: \"\", devices: [{}], leads: [{}])])",
        devices.concat(),
        leads.collect::<String>()
    );
    let project = file::read(text.as_bytes()).unwrap_or_else(|error| panic!("{error}\n{text}"));
    let mut plan = plan(&project.variants[0].rig, &State::default());
    let first = SwitchRef::bypass(DeviceId(3));
    for station in plan.stations.iter_mut().filter(|station| station.device() == DeviceId(4)) {
        station.switch.iter_mut().for_each(|switch| switch.id = first);
    }
    plan
}

/// The lowest and the highest level of all states of a plan, in dB.
fn edges(plan: Plan) -> (f64, f64) {
    let mut line_cache = LineCache::new(Sweep::at(&[1000.0]));
    let target = Target::Endpoint(JackRef::new(DeviceId(6), Jack::In));
    let spot = spot(&plan, target).expect("the end is reached");
    let cases = Cases::in_plan(plan, spot, 1, u64::MAX);
    assert_eq!((cases.several.len(), cases.many), (1, 2), "one switch, in each of its positions");
    let mut all: Option<Found> = None;
    for number in 0..cases.many {
        let case = cases.case(number).unwrap_or_else(|why| panic!("{why:?}"));
        let (found, _) = evaluate(&case, &mut line_cache, &mut Pace::new(&Unwatched, 0)).expect("it is heard");
        match &mut all {
            Some(all) => all.take_in(found),
            None => all = Some(found),
        }
    }
    let found = all.expect("a case");
    (found.lowest.db[0], found.highest.db[0])
}

fn times(factor: f64) -> f64 {
    20.0 * factor.log10()
}

/// Twice and then half is as much as before, and neither alone is a state [S: sums].
#[test]
fn a_switch_that_adds_in_one_place_and_takes_in_a_later_one_has_no_band() {
    let (lowest, highest) = edges(one_switch([times(2.0), times(0.5)], 1));
    assert!(lowest.abs() < 1e-9 && highest.abs() < 1e-9, "{lowest} {highest}");
}

/// 1 + 1 and 2 + ½: 6.02 and 7.96 dB, and never 2 + 1 or 1 + ½, which are 9.54 and 3.52 dB [S: sums].
#[test]
fn a_switch_in_two_ways_that_are_mixed_has_two_sums() {
    let (lowest, highest) = edges(one_switch([times(2.0), times(0.5)], 2));
    assert!((lowest - 6.02).abs() < 0.005 && (highest - 7.96).abs() < 0.005, "{lowest} {highest}");
}
