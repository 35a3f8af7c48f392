//! Edits of power: all of each, or nothing.

use std::sync::Arc;

use crate::rig::{
    Adapter, Body, Connector, Device, DeviceId, Edit, EditError, Feed, FeedFrom, FeedId, Form, Kind, Mains, Need,
    Outlet, OutletRef, Power, PowerEdit, Problem, Project, Rig, Setting, SizeClass, Supply, Tap, Variant, VariantId,
    Way, ZeroVolt, apply, problems,
};
use crate::units::{Amperes, Grams, Metres, Price, Turn, Volts, Watts};

const RIG: VariantId = VariantId(100);
const SUPPLY: DeviceId = DeviceId(1);

fn need() -> Power {
    let way = Way::of([9.0, 9.0], Form::CentreNegative, [20.0, 20.0]);
    Power::Low(Need { ways: vec![way], ..Need::default() })
}

fn device(id: u64, power: Power, kind: Kind) -> Device {
    let body = Body { size: SizeClass::Compact, mass: Grams::of(300.0), price: Price::of(100.0) };
    Device {
        id: DeviceId(id),
        name: format!("Unit {id}"),
        part: String::new(),
        stays_on: false,
        switches: Default::default(),
        heard_to: None,
        effect: None,
        body,
        power,
        kind,
    }
}

fn supply(id: u64, power: Power) -> Device {
    let nine = Setting { volts: Volts::of(9.0), limit: Amperes::of(0.1), form: Form::CentreNegative, no_load: None };
    let outlet = |group| Outlet {
        settings: vec![nine, Setting { volts: Volts::of(18.0), ..nine }],
        chosen: 1,
        connector: Connector::Barrel21,
        zero_volt: ZeroVolt::Group(group),
        parallel: false,
    };
    let outlets = vec![outlet(1), outlet(2)];
    device(id, power, Kind::Supply(Supply { outlets, efficiency: Turn::of(0.8), ..Supply::default() }))
}

/// A supply with two outlets, a module with two, and three units.
fn project() -> Project {
    let mains = Mains {
        least: Volts::of(230.0),
        most: Volts::of(230.0),
        earthed: true,
        plug_top: false,
        draw: Watts::of(1.0),
        power_factor: Turn::FULL,
    };
    let buffer = |id| {
        let input = crate::rig::Input::of(crate::units::Ohms::of(1e6), crate::units::Farads::of(0.0));
        let (output, level) = (crate::units::Ohms::of(100.0), crate::units::Decibels::of(0.0));
        let stage = crate::rig::Stage::of(input, output, level);
        device(id, need(), Kind::Buffer(crate::rig::Buffer { stage, wiring: crate::units::Farads::of(0.0) }))
    };
    let devices = vec![supply(1, Power::Mains(mains)), supply(2, need()), buffer(3), buffer(4), buffer(5)];
    let rig = Rig { devices, ..Rig::default() };
    Project::around(Arc::new(Variant::of(RIG, "", rig)), 101)
}

fn done(project: &Project, edit: PowerEdit) -> Project {
    apply(project, &Edit::Power { variant: RIG, edit }).unwrap()
}

fn refused(project: &Project, edit: PowerEdit) -> EditError {
    apply(project, &Edit::Power { variant: RIG, edit }).unwrap_err()
}

fn rig(project: &Project) -> &Rig {
    &project.variants[0].rig
}

fn plugs(project: &Project, feed: u64) -> Vec<u64> {
    rig(project).feed(FeedId(feed)).unwrap().taps.iter().map(|tap| tap.device.0).collect()
}

fn at(outlet: u8) -> OutletRef {
    OutletRef::new(SUPPLY, outlet)
}

fn plug(device: u64, outlet: u8, feed: u64) -> PowerEdit {
    PowerEdit::PlugIn { device: DeviceId(device), outlet: at(outlet), feed: FeedId(feed) }
}

#[test]
fn a_unit_is_plugged_in_moved_and_unplugged() {
    let one = done(&project(), plug(3, 1, 200));
    assert_eq!(rig(&one).feed(FeedId(200)), Some(&Feed::straight(FeedId(200), at(1), DeviceId(3))));
    assert_eq!(one.next_id, 201);
    assert_eq!(rig(&one).unfed().map(|device| device.id.0).collect::<Vec<_>>(), [2, 4, 5]);
    // At an outlet with a lead it is one more plug of that lead.
    let two = done(&one, plug(4, 1, 201));
    assert_eq!(plugs(&two, 200), [3, 4]);
    assert!(rig(&two).feed(FeedId(201)).is_none());
    assert!(rig(&two).feed(FeedId(200)).unwrap().is_daisy());
    // Plugged in where it is, nothing changes but the ids that are used up.
    assert_eq!(rig(&done(&two, plug(4, 1, 202))), rig(&two));
    // Off to the other outlet, and back off the rails.
    let three = done(&two, plug(3, 2, 203));
    assert_eq!((plugs(&three, 200), plugs(&three, 203)), (vec![4], vec![3]));
    let four = done(&three, PowerEdit::Unplug(DeviceId(3)));
    assert!(rig(&four).feed(FeedId(203)).is_none());
    assert!(problems(rig(&four)).iter().all(|problem| !matches!(problem, Problem::FeedsNothing { .. })));
}

#[test]
fn the_rest_of_a_daisy_lead_stays_where_it_lies() {
    let taps = vec![Tap::first(DeviceId(3)), Tap::next(DeviceId(4)), Tap::next(DeviceId(5))];
    let feed = Feed { taps, ..Feed::straight(FeedId(200), at(1), DeviceId(3)) };
    let all = done(&project(), PowerEdit::AddFeed(Box::new(feed)));
    let less = done(&all, PowerEdit::Unplug(DeviceId(3)));
    let lengths: Vec<f64> = rig(&less).feed(FeedId(200)).unwrap().taps.iter().map(|tap| tap.length.get()).collect();
    // 0.5 m + 0.2 m to the plug that is now the first.
    assert_eq!(lengths, [0.7, 0.2]);
    // Its adapter goes with the unit.
    let adapter = Adapter { swaps_poles: true, plug: None };
    let mut swapped = rig(&all).feed(FeedId(200)).unwrap().clone();
    swapped.taps[1].adapter = adapter;
    swapped.taps[1].length = Metres::of(0.3);
    let moved = done(&done(&all, PowerEdit::SetFeed(Box::new(swapped))), plug(4, 2, 201));
    assert_eq!(rig(&moved).feed(FeedId(201)).unwrap().taps[0].adapter, adapter);
}

#[test]
fn what_goes_takes_its_feeds_along() {
    let pair = FeedFrom::Series { lower: at(1), upper: at(2) };
    let feed = Feed { from: pair, ..Feed::straight(FeedId(200), at(1), DeviceId(3)) };
    let fed = done(&project(), PowerEdit::AddFeed(Box::new(feed)));
    let without = |device| apply(&fed, &Edit::RemoveDevice { variant: RIG, device: DeviceId(device) }).unwrap();
    assert!(rig(&without(1)).feeds.is_empty());
    assert!(rig(&without(3)).feeds.is_empty());
    assert_eq!(rig(&without(4)).feeds.len(), 1);
    // A unit that takes nothing at a socket has no plug in it.
    let battery = PowerEdit::SetPower { device: DeviceId(3), power: Box::new(Power::Nothing) };
    let nothing = done(&fed, battery);
    assert!(rig(&nothing).feeds.is_empty());
    assert_eq!(rig(&nothing).device(DeviceId(3)).unwrap().power, Power::Nothing);
}

#[test]
fn an_outlet_is_set() {
    let set = done(&project(), PowerEdit::Choose { outlet: at(2), setting: 2 });
    assert_eq!(rig(&set).outlet(at(2)).unwrap().setting().unwrap().volts, Volts::of(18.0));
    assert_eq!(rig(&set).outlet(at(1)).unwrap().setting().unwrap().volts, Volts::of(9.0));
    for setting in [0, 3] {
        let edit = PowerEdit::Choose { outlet: at(2), setting };
        assert_eq!(refused(&project(), edit), EditError::NoSetting(at(2), setting));
    }
}

#[test]
fn what_cannot_be_is_refused_whole() {
    let start = done(&project(), plug(3, 1, 200));
    let straight = |id, outlet, device| Box::new(Feed::straight(FeedId(id), outlet, DeviceId(device)));
    assert_eq!(refused(&start, PowerEdit::AddFeed(straight(200, at(2), 4))), EditError::IdTaken(200));
    assert_eq!(refused(&start, PowerEdit::AddFeed(straight(201, at(3), 4))), EditError::NoOutlet(at(3)));
    assert_eq!(refused(&start, PowerEdit::AddFeed(straight(201, at(0), 4))), EditError::NoOutlet(at(0)));
    assert_eq!(refused(&start, PowerEdit::AddFeed(straight(201, at(2), 9))), EditError::NoDevice(DeviceId(9)));
    let bare = Feed { taps: Vec::new(), ..*straight(201, at(2), 4) };
    assert_eq!(refused(&start, PowerEdit::AddFeed(Box::new(bare))), EditError::NoPlug(FeedId(201)));
    assert_eq!(refused(&start, PowerEdit::SetFeed(straight(201, at(2), 4))), EditError::NoFeed(FeedId(201)));
    assert_eq!(refused(&start, PowerEdit::RemoveFeed(FeedId(201))), EditError::NoFeed(FeedId(201)));
    assert_eq!(refused(&start, plug(9, 1, 201)), EditError::NoDevice(DeviceId(9)));
    assert_eq!(refused(&start, plug(4, 2, 200)), EditError::IdTaken(200));
    let unit = OutletRef::new(DeviceId(3), 1);
    let edit = PowerEdit::PlugIn { device: DeviceId(4), outlet: unit, feed: FeedId(201) };
    assert_eq!(refused(&start, edit), EditError::NoOutlet(unit));
    assert_eq!(refused(&start, PowerEdit::Choose { outlet: unit, setting: 1 }), EditError::NoOutlet(unit));
    // One bad edit of a batch, and none is done.
    let power = |edit| Edit::Power { variant: RIG, edit };
    let batch = Edit::Batch(vec![power(plug(4, 2, 201)), power(PowerEdit::RemoveFeed(FeedId(7)))]);
    assert_eq!(apply(&start, &batch), Err(EditError::NoFeed(FeedId(7))));
}

#[test]
fn feeds_that_can_not_be_as_drawn_are_told() {
    let mut broken = rig(&project()).clone();
    let straight = |id, outlet, device| Feed::straight(FeedId(id), outlet, DeviceId(device));
    broken.feeds = vec![
        straight(200, at(9), 3),
        straight(201, at(1), 77),
        straight(202, at(1), 3),
        straight(203, OutletRef::new(DeviceId(2), 1), 2),
        straight(204, at(2), 1),
        Feed { taps: Vec::new(), ..straight(205, OutletRef::new(DeviceId(2), 2), 3) },
    ];
    let said: Vec<String> = problems(&broken)
        .iter()
        .filter(|problem| !matches!(problem, Problem::NoInstrument | Problem::NotJoined { .. }))
        .map(ToString::to_string)
        .collect();
    assert_eq!(
        said,
        [
            "the supply lead from Unit 1 to Unit 3 is plugged into outlet 9 of Unit 1, which has no such outlet",
            "the supply lead from Unit 1 to device 77 is to feed device 77, which isn't there",
            "two supply leads are plugged into outlet 1 of Unit 1; an outlet takes one",
            "two supply leads are plugged into Unit 3; its socket takes one",
            "a supply lead is plugged into Unit 1, which has no socket for one",
            "the supply lead from Unit 2 has no plug that feeds anything",
            "power goes round in a circle: Unit 1",
            "power goes round in a circle: Unit 2",
        ]
    );
}
