//! Loops of rigs whose number is known.

use super::*;
use crate::parts::catalogue;
use crate::rig::{
    Device, DeviceId, Feed, FeedId, Jack, JackRef, Kind, Lead, LeadId, Mains, Need, OutletRef, Power, Setting, Supply,
    Tap, Way, ZeroVolt,
};
use crate::rig::{Form, Outlet};
use crate::units::{Amperes, Metres, Turn, Volts, Watts};

const AMP: u64 = 7;
const SUPPLY: u64 = 20;

fn device(id: u64, part: &str, power: Power) -> Device {
    Device { power, ..catalogue().part(part).unwrap().device(DeviceId(id)) }
}

fn low(digital: bool) -> Power {
    let way = Way {
        least: Volts::of(9.0),
        most: Volts::of(9.0),
        form: Form::CentreNegative,
        running: Amperes::of(0.02),
        start_up: Amperes::of(0.02),
    };
    Power::Low(Need {
        ways: vec![way],
        connector: Default::default(),
        digital,
        positive_ground: false,
        apart_must: false,
        apart: Default::default(),
    })
}

fn mains(earthed: bool) -> Power {
    Power::Mains(Mains {
        least: Volts::of(230.0),
        most: Volts::of(230.0),
        earthed,
        plug_top: false,
        draw: Watts::of(50.0),
    })
}

fn lead(id: u64, from: (u64, Jack), to: u64) -> Lead {
    let cable = catalogue().cable("patch-lead").unwrap().cable.clone();
    let (from, to) = (JackRef::new(DeviceId(from.0), from.1), JackRef::new(DeviceId(to), Jack::In));
    Lead { id: LeadId(id), from, to, length: Metres::of(0.3), cable }
}

fn supply(outlets: impl Iterator<Item = ZeroVolt>, earthed: bool) -> Device {
    let setting = Setting { volts: Volts::of(9.0), limit: Amperes::of(0.5), form: Form::CentreNegative, no_load: None };
    let outlets = outlets.map(|zero_volt| Outlet {
        settings: vec![setting],
        chosen: 1,
        connector: Default::default(),
        zero_volt,
        parallel: false,
    });
    let kind = Kind::Supply(Supply { outlets: outlets.collect(), efficiency: Turn::of(0.8), ..Supply::default() });
    Device { kind, name: "Supply".to_owned(), ..device(SUPPLY, "mild-drive", mains(earthed)) }
}

/// physics.md E21: a guitar, five pedals, an earthed amp, the leads between them.
fn board(supply: Device, feeds: Vec<Feed>) -> Rig {
    let mut devices = vec![device(1, "single-coil-guitar", Power::Nothing)];
    devices.extend((2..AMP).map(|id| device(id, "mild-drive", low(false))));
    devices.push(device(AMP, "valve-amp", mains(true)));
    devices.push(supply);
    let leads = (1..AMP).map(|id| lead(100 + id, (id, Jack::Out), id + 1)).collect();
    Rig { devices, leads, feeds }
}

fn daisy() -> Vec<Feed> {
    let taps = (2..AMP).map(|id| if id == 2 { Tap::first(DeviceId(id)) } else { Tap::next(DeviceId(id)) }).collect();
    vec![Feed { taps, ..Feed::straight(FeedId(50), OutletRef::new(DeviceId(SUPPLY), 1), DeviceId(2)) }]
}

fn straight() -> Vec<Feed> {
    let feed =
        |id: u64| Feed::straight(FeedId(50 + id), OutletRef::new(DeviceId(SUPPLY), (id - 1) as u8), DeviceId(id));
    (2..AMP).map(feed).collect()
}

fn one() -> impl Iterator<Item = ZeroVolt> {
    std::iter::once(ZeroVolt::Inlet)
}

fn isolated() -> impl Iterator<Item = ZeroVolt> {
    (1..6).map(ZeroVolt::Group)
}

/// E21 [textbook: cyclomatic number], each sum as printed there.
#[test]
fn e21() {
    let shared = board(supply(one(), false), daisy());
    assert_eq!(ground_loops(&shared).len(), 12 - 9 + 1);
    let apart = board(supply(isolated(), false), straight());
    assert_eq!(ground_loops(&apart).len(), 0, "12 − 13 + 1");
    assert_eq!(ground_loops(&board(supply(one(), true), daisy())).len(), 5, "the supply is earthed too");
}

/// E21: a second earthed amp on five isolated outlets is one loop, by two earths.
#[test]
fn a_second_earthed_amp_is_a_loop() {
    let mut rig = board(supply(isolated(), false), straight());
    let mut splitter = device(30, "mild-drive", Power::Nothing);
    splitter.kind =
        catalogue().parts.iter().find(|part| part.kind.jacks().contains(&Jack::SecondOut)).unwrap().kind.clone();
    rig.devices.push(splitter);
    rig.devices.push(device(31, "valve-amp", mains(true)));
    rig.leads.pop();
    rig.leads.extend([
        lead(200, (6, Jack::Out), 30),
        lead(201, (30, Jack::Out), AMP),
        lead(202, (30, Jack::SecondOut), 31),
    ]);
    let loops = ground_loops(&rig);
    assert_eq!(loops.len(), 1);
    assert_eq!(loops[0].rank, Rank::TwoEarths);
    assert_eq!(loops[0].devices(), [DeviceId(AMP), DeviceId(30), DeviceId(31)].into());
    assert_eq!(loops[0].leads().len(), 2);
    assert!(loops[0].path.contains("mains earth of the building"), "{}", loops[0].path);
    assert!(loops[0].cures.iter().all(|cure| !cure.words(&rig).contains("earth")), "{:?}", loops[0].cures);
    // One of the two on a class II supply of its own: no loop.
    rig.devices.last_mut().unwrap().power = mains(false);
    assert_eq!(ground_loops(&rig).len(), 0);
}

#[test]
fn a_digital_unit_on_a_shared_return_ranks_before_small_loops() {
    let mut rig = board(supply(one(), false), daisy());
    assert!(ground_loops(&rig).iter().all(|each| each.rank == Rank::Local));
    rig.devices[3].power = low(true);
    let loops = ground_loops(&rig);
    assert!(loops.iter().all(|each| each.rank == Rank::WithDigital), "they all go by the shared 0 V");
    let digital = rig.devices[3].id;
    let through = loops.iter().find(|each| each.devices().contains(&digital)).unwrap();
    assert_eq!(through.cures[0], Cure::IsolatedOutlet(digital));
}

#[test]
fn a_transformer_breaks_the_path_of_screens() {
    let mut rig = board(supply(one(), false), daisy());
    let before = ground_loops(&rig).len();
    let transformer = catalogue()
        .parts
        .iter()
        .find(|part| matches!(part.kind, Kind::DirectBox(crate::rig::DirectBox::Transformer { .. })));
    rig.devices[3].kind = transformer.unwrap().kind.clone();
    assert_eq!(ground_loops(&rig).len(), before - 1);
}

#[test]
fn a_module_shares_the_return_of_what_feeds_it() {
    // Two outlets of one isolated group each; on the first hangs a distributor, on it two units.
    let mut rig = board(supply(isolated(), false), Vec::new());
    let mut module = supply([ZeroVolt::Inlet, ZeroVolt::Inlet].into_iter(), false);
    module.id = DeviceId(21);
    module.power = low(false);
    rig.devices.push(module);
    let at = |supply, outlet| OutletRef::new(DeviceId(supply), outlet);
    rig.feeds = vec![
        Feed::straight(FeedId(60), at(SUPPLY, 1), DeviceId(21)),
        Feed::straight(FeedId(61), at(21, 1), DeviceId(2)),
        Feed::straight(FeedId(62), at(21, 2), DeviceId(3)),
        Feed::straight(FeedId(63), at(SUPPLY, 2), DeviceId(4)),
    ];
    let loops = ground_loops(&rig);
    assert_eq!(loops.len(), 1, "{loops:?}");
    assert_eq!(loops[0].devices(), [DeviceId(2), DeviceId(3), DeviceId(SUPPLY)].into());
}

#[test]
fn every_listed_loop_is_a_closed_path() {
    let rig = board(supply(one(), true), daisy());
    let wiring = wiring::wiring(&rig);
    for each in ground_loops(&rig) {
        for (at, (place, link)) in each.steps.iter().enumerate() {
            let edge = wiring.links.iter().position(|other| other == link).unwrap();
            let (a, b) = wiring.graph.edges()[edge];
            let next = each.steps[(at + 1) % each.steps.len()].0;
            let ends = [wiring.places[a], wiring.places[b]];
            assert!(ends == [*place, next] || ends == [next, *place], "{}", each.path);
        }
        assert!(each.path.matches(" → ").count() == 2 * each.steps.len(), "{}", each.path);
    }
}

#[test]
fn a_guitar_lead_is_never_to_be_lifted() {
    for rig in [board(supply(one(), true), daisy()), board(supply(one(), false), daisy())] {
        for each in ground_loops(&rig) {
            assert!(!each.cures.contains(&Cure::ScreenAtOneEnd(LeadId(101))), "{}", each.path);
            // True-bypass units all the way: every lead is the guitar's.
            assert!(!each.cures.iter().any(|cure| matches!(cure, Cure::ScreenAtOneEnd(_))), "{}", each.path);
        }
    }
}
