//! Loops of rigs whose number is known.

use super::*;
use crate::parts::catalogue;
use crate::rig::{
    Desk, Device, DeviceId, Feed, FeedId, Jack, JackRef, Kind, Lead, LeadId, Mains, Need, OutletRef, Power, Setting,
    Supply, Tap, Way, ZeroVolt,
};
use crate::rig::{Form, Outlet};
use crate::units::{Amperes, Metres, Turn, Volts, Watts};

const AMP: u64 = 7;
const SUPPLY: u64 = 20;

fn device(id: u64, part: &str, power: Power) -> Device {
    Device { power, ..catalogue().part(part).unwrap().device(DeviceId(id)) }
}

fn low(digital: bool) -> Power {
    let way = Way::of([9.0, 9.0], Form::CentreNegative, [20.0, 20.0]);
    Power::Low(Need { ways: vec![way], digital, ..Need::default() })
}

fn mains(earthed: bool) -> Power {
    Power::Mains(Mains {
        least: Volts::of(230.0),
        most: Volts::of(230.0),
        earthed,
        plug_top: false,
        draw: Watts::of(50.0),
        power_factor: Turn::FULL,
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

/// [S: cyclomatic]: a guitar, five pedals, an earthed amp, the leads between them.
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

/// [S: cyclomatic], each sum as printed there.
#[test]
fn loops_of_known_boards() {
    let shared = board(supply(one(), false), daisy());
    assert_eq!(ground_loops(&shared).len(), 12 - 9 + 1);
    let apart = board(supply(isolated(), false), straight());
    assert_eq!(ground_loops(&apart).len(), 0, "12 − 13 + 1");
    assert_eq!(ground_loops(&board(supply(one(), true), daisy())).len(), 5, "the supply is earthed too");
}

/// A 0 V is called by the outlets that share it, not by the one that stands for it.
#[test]
fn a_shared_zero_volt_is_called_by_its_outlets() {
    let way = |zero_volts: Vec<ZeroVolt>| {
        let rig = board(supply(zero_volts.into_iter(), false), straight());
        ground_loops(&rig).first().map(|found| found.path.clone()).unwrap_or_default()
    };
    let (a, b) = (ZeroVolt::Group(1), ZeroVolt::Group(2));
    assert!(way(vec![a; 5]).contains("→ 0 V of Supply →"), "{}", way(vec![a; 5]));
    let some = way(vec![a, a, a, b, ZeroVolt::Group(3)]);
    assert!(some.contains("→ 0 V of Supply, outlets 1, 2 and 3 →"), "{some}");
    assert_eq!(way(isolated().collect()), "");
}

/// [S: cyclomatic]: a second earthed amp on five isolated outlets is one loop, by two earths.
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
fn a_radio_link_breaks_the_path_of_screens() {
    let mut rig = board(supply(one(), false), daisy());
    let before = ground_loops(&rig).len();
    let set = catalogue().parts.iter().find(|part| matches!(part.kind, Kind::Wireless(_)));
    rig.devices[3].kind = set.unwrap().kind.clone();
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
        for (at, (node, link)) in each.steps.iter().enumerate() {
            let edge = wiring.links.iter().position(|other| other == link).unwrap();
            let (a, b) = wiring.graph.edges()[edge];
            let next = each.steps[(at + 1) % each.steps.len()].0;
            let ends = [wiring.nodes[a], wiring.nodes[b]];
            assert!(ends == [*node, next] || ends == [next, *node], "{}", each.path);
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

/// Two earthed amps behind a buffered splitter, 6 m and 9 m away, on isolated outlets.
fn two_amps() -> Rig {
    let mut rig = board(supply(isolated(), false), straight());
    let splitter = catalogue().part("buffered-splitter").unwrap().kind.clone();
    rig.devices.push(Device { kind: splitter, ..device(30, "mild-drive", low(false)) });
    rig.devices.push(device(31, "valve-amp", mains(true)));
    rig.leads.pop();
    let long = |lead: Lead, length: f64| Lead { length: Metres::of(length), ..lead };
    rig.leads.extend([
        lead(200, (6, Jack::Out), 30),
        long(lead(201, (30, Jack::Out), AMP), 6.0),
        long(lead(202, (30, Jack::SecondOut), 31), 9.0),
    ]);
    rig
}

/// With the screen cut the whole voltage between the earths stands in that amp's
/// input. [S: screen-one-end]
#[test]
fn a_screen_is_never_to_be_cut_where_the_loop_goes_by_two_earths() {
    let rig = two_amps();
    let loops = ground_loops(&rig);
    assert_eq!(loops.len(), 1);
    assert_eq!(loops[0].rank, Rank::TwoEarths);
    let cut = |cure: &Cure| matches!(cure, Cure::ScreenAtOneEnd(_));
    assert!(!loops[0].cures.iter().any(cut), "{:?}", loops[0].cures);
}

#[test]
fn nothing_is_ever_to_be_done_to_a_patch_lead() {
    for mut rig in [board(supply(one(), true), daisy()), board(supply(one(), false), daisy()), two_amps()] {
        // A buffer at the head, so that the leads behind it are driven by a low impedance.
        rig.devices[1].kind = catalogue().part("buffer").unwrap().kind.clone();
        for each in ground_loops(&rig) {
            for cure in &each.cures {
                if let Cure::Transformer(lead) | Cure::BufferAndTransformer(lead) | Cure::ScreenAtOneEnd(lead) = cure {
                    assert!(rig.lead(*lead).unwrap().length >= Metres::of(1.0), "{}", cure.words(&rig));
                }
            }
        }
    }
}

/// The through jack is the input's own contact: only the desk's side stands apart.
#[test]
fn a_di_joins_its_through_jack_to_its_input() {
    for part in ["active-di", "transformer-di"] {
        let mut rig = board(supply(one(), false), daisy());
        let before = ground_loops(&rig).len();
        rig.devices[3].kind = catalogue().part(part).unwrap().kind.clone();
        assert_eq!(ground_loops(&rig).len(), before, "{part}");
    }
}

#[test]
fn for_two_earths_one_distribution_comes_first_and_then_a_transformer() {
    let rig = two_amps();
    let [each] = &ground_loops(&rig)[..] else { panic!("one loop") };
    assert_eq!(each.likelihood, Likelihood::Likely);
    assert!((each.length - 15.0).abs() < 1e-12, "{}", each.length);
    let distribution = Cure::OneDistribution(Link::Earth(DeviceId(AMP)), Link::Earth(DeviceId(31)));
    assert_eq!(each.cures, [distribution, Cure::Transformer(LeadId(201))]);
    // The patch lead's 0.12 Ω/m, a quarter of it the screen's: 0.18 and 0.27 Ω [S: shared-earth], so 24 and 36 % of the voltage.
    let why = each.why.as_deref().unwrap();
    assert!(why.contains("about 36 % in the lead") && why.contains("about 24 % in the lead"), "{why}");
}

/// Send and return of an amp with a delay between them: two screens side by side, a low impedance in each.
#[test]
fn a_one_end_screen_is_offered_beside_a_second_one() {
    let mut rig = board(supply(isolated(), false), straight());
    let amp = rig.devices.iter_mut().find(|device| device.id == DeviceId(AMP)).unwrap();
    let with_loop = catalogue().parts.iter().find(|part| part.kind.jacks().contains(&Jack::Return(1))).unwrap();
    amp.kind = with_loop.kind.clone();
    rig.devices.push(device(30, "buffer", low(false)));
    let send = Lead { length: Metres::of(6.0), ..lead(200, (AMP, Jack::Send(1)), 30) };
    let mut back = Lead { length: Metres::of(6.0), ..lead(201, (30, Jack::Out), AMP) };
    back.to.jack = Jack::Return(1);
    rig.leads.extend([send, back]);
    let [each] = &ground_loops(&rig)[..] else { panic!("one loop") };
    assert_eq!((each.rank, each.likelihood), (Rank::Local, Likelihood::Possible));
    assert!(each.cures.iter().any(|cure| matches!(cure, Cure::ScreenAtOneEnd(_))), "{:?}", each.cures);
    // A short one is let be, and so is a lead without a second one beside it.
    rig.leads.iter_mut().for_each(|lead| lead.length = Metres::of(0.4));
    let [each] = &ground_loops(&rig)[..] else { panic!("one loop") };
    assert_eq!((each.likelihood, each.cures.len()), (Likelihood::Seldom, 0), "{:?}", each.cures);
}

/// Under 1 m seldom, over 3 m possible, by two earths likely. [S: loop-likelihood]
#[test]
fn loops_are_ranked_by_the_length_of_their_way() {
    for (patch, wanted) in [(0.3, Likelihood::Seldom), (1.5, Likelihood::Sometimes), (3.5, Likelihood::Possible)] {
        let mut rig = board(supply(one(), false), daisy());
        rig.leads.iter_mut().for_each(|lead| lead.length = Metres::of(patch));
        for each in ground_loops(&rig) {
            // Between two plugs of the daisy lead lie 0.2 m.
            assert!((each.length - patch - 0.2).abs() < 1e-12, "{} m: {}", each.length, each.path);
            assert_eq!(each.likelihood, wanted, "{}", each.path);
        }
    }
    // The longest stands first among equals.
    let mut rig = board(supply(one(), false), daisy());
    rig.leads[3].length = Metres::of(0.7);
    let lengths: Vec<f64> = ground_loops(&rig).iter().map(|each| each.length).collect();
    assert!(lengths.is_sorted_by(|a, b| a >= b) && lengths[0] > lengths[1], "{lengths:?}");
}

/// Behind the isolated board a DI box before the amp, its XLR in a desk.
fn with_di(part: &str, desk: Desk, lifted: Option<bool>) -> Rig {
    let mut rig = board(supply(isolated(), false), straight());
    let mut di = device(30, part, Power::Nothing);
    let Kind::DirectBox(direct) = &mut di.kind else { panic!("a DI box") };
    direct.to_desk_mut().desk = desk;
    if let Some(lifted) = lifted {
        direct.to_desk_mut().lifted = lifted;
    }
    rig.devices.push(di);
    rig.leads.pop();
    rig.leads.extend([lead(200, (6, Jack::Out), 30), lead(201, (30, Jack::Out), AMP)]);
    rig
}

/// An earthed amp and an earthed desk are a loop, unless the lift is set or the
/// sides of a transformer are apart. [S: gives-up]
#[test]
fn the_loop_by_amp_and_desk_is_found() {
    let loops = |part: &str, desk, lifted| ground_loops(&with_di(part, desk, lifted));
    let [each] = &loops("active-di", Desk::Earthed, None)[..] else { panic!("one loop") };
    assert_eq!((each.rank, each.likelihood), (Rank::TwoEarths, Likelihood::Likely));
    assert!(each.text.contains(" and the desk are both earthed"), "{}", each.text);
    assert!(each.path.contains("XLR lead → the desk → earth in the mains lead of the desk"), "{}", each.path);
    assert_eq!(each.cures[0], Cure::GroundLift(DeviceId(30)));
    assert_eq!(each.cures[1], Cure::OneDistribution(Link::Earth(DeviceId(AMP)), Link::DeskEarth));
    for none in [
        loops("active-di", Desk::Earthed, Some(true)),
        loops("active-di", Desk::NotEarthed, None),
        loops("active-di", Desk::Nowhere, None),
        loops("transformer-di", Desk::Earthed, None),
    ] {
        assert_eq!(none.len(), 0, "{none:?}");
    }
    // A transformer's sides are joined by its switch.
    assert_eq!(loops("transformer-di", Desk::Earthed, Some(false)).len(), 1);
}

#[test]
fn two_di_boxes_on_one_board_close_a_loop_by_the_desk() {
    let mut rig = with_di("active-di", Desk::NotEarthed, None);
    let mut second = rig.devices.last().unwrap().clone();
    second.id = DeviceId(31);
    rig.devices.push(second);
    rig.leads.pop();
    rig.leads.extend([lead(201, (30, Jack::Out), 31), lead(202, (31, Jack::Out), AMP)]);
    let [each] = &ground_loops(&rig)[..] else { panic!("one loop") };
    assert_eq!(each.rank, Rank::Local);
    assert!(matches!(each.cures[0], Cure::GroundLift(_)), "{:?}", each.cures);
}

#[test]
fn an_interface_on_an_earthed_computer_is_earthed() {
    let mut rig = two_amps();
    let interface = device(31, "interface-hi-z", mains(false));
    *rig.devices.last_mut().unwrap() = interface;
    assert_eq!(ground_loops(&rig).len(), 0);
    let Kind::Interface(inside) = &mut rig.devices.last_mut().unwrap().kind else { panic!() };
    inside.earthed_computer = true;
    let [each] = &ground_loops(&rig)[..] else { panic!("one loop") };
    assert_eq!(each.rank, Rank::TwoEarths);
    assert!(each.text.contains("the computer of Recording interface"), "{}", each.text);
}

#[test]
fn a_transformer_breaks_the_path_of_screens() {
    for part in ["line-transformer", "instrument-transformer"] {
        let mut rig = board(supply(one(), false), daisy());
        let before = ground_loops(&rig).len();
        rig.devices[3].kind = catalogue().part(part).unwrap().kind.clone();
        assert_eq!(ground_loops(&rig).len(), before - 1, "{part}");
    }
}
