//! What is read and written.

mod kept;
mod refused;
mod since;
mod written;

use super::*;
use std::sync::Arc;

use crate::conductor::Gauge;
use crate::rig::{
    Adapter, Apart, Battery, CanvasPoint, Connector, Control, Country, DeviceId, Feed, FeedFrom, FeedId, Form,
    GroupLimit, Jack, KeptOrder, Kind, Knob, Mains, Need, Outlet, OutletRef, Position, Power, RowWidth, Setting, Sound,
    SoundId, State, Supply, SwitchKey, SwitchRef, Tap, TestPoint, Venue, Way, ZeroVolt,
};
use crate::units::{AmpereHours, Amperes, Decibels, Ohms, Turn, Volts, Watts};

fn blank_text() -> &'static str {
    std::str::from_utf8(BLANK_BYTES).unwrap()
}

/// The blank file with one thing in it changed.
fn changed(old: &str, new: &str) -> String {
    assert!(blank_text().contains(old), "the blank file has no {old}");
    blank_text().replacen(old, new, 1)
}

#[test]
fn the_blank_file_is_as_the_program_writes_it() {
    let blank = blank().unwrap();
    assert_eq!(write(&blank).unwrap(), blank_text());
    assert_eq!((blank.variants.len(), blank.next_id), (1, 5));
    assert_eq!(blank.title, crate::rig::UNTITLED);
    let rig = &blank.variants[0].rig;
    assert!(crate::rig::problems(rig).is_empty());
    let Kind::Amp(amp) = &rig.devices[1].kind else { panic!("the second device is the amp") };
    assert_eq!(amp.grid.unwrap().stopper, Ohms::of(34e3));
}

#[test]
fn the_demo_opens_and_is_written_with_the_same_bytes_each_time() {
    let demo = demo().unwrap();
    let once = write(&demo).unwrap();
    let again = read(once.as_bytes()).unwrap();
    assert_eq!(again, demo);
    assert_eq!(write(&again).unwrap(), once);
}

#[test]
fn all_that_can_be_said_of_power_comes_back_as_it_was() {
    let mut project = blank().unwrap();
    let mut variant = (*project.variants[0]).clone();
    let rig = Arc::make_mut(&mut variant.rig);
    let way = Way::of([9.0, 18.0], Form::CentreNegative, [12.0, 30.0]);
    let ac = Way { form: Form::Alternating, ..way };
    rig.devices[0].power = Power::Low(Need {
        ways: vec![way, ac],
        connector: Connector::Jack35,
        digital: true,
        positive_ground: true,
        apart: Apart::Everybody,
        apart_must: true,
        heaters: true,
        transformer: false,
        shares_winding: true,
    });
    let mains = Mains {
        least: Volts::of(100.0),
        most: Volts::of(240.0),
        earthed: true,
        plug_top: true,
        draw: Watts::of(1.5),
        power_factor: Turn::of(0.6),
    };
    let setting = Setting {
        volts: Volts::of(9.0),
        limit: Amperes::of(0.3),
        form: Form::CentrePositive,
        no_load: Some(Volts::of(13.6)),
    };
    let outlet = |zero_volt, parallel| Outlet {
        settings: vec![setting, Setting { no_load: None, ..setting }],
        chosen: 2,
        connector: Connector::Barrel25,
        zero_volt,
        parallel,
    };
    let supply = Supply {
        outlets: vec![outlet(ZeroVolt::Inlet, true), outlet(ZeroVolt::Group(3), false)],
        total: Some(Watts::of(24.0)),
        groups: vec![GroupLimit { zero_volt: ZeroVolt::Group(3), limit: Watts::of(4.5) }],
        efficiency: Turn::of(0.8),
        passes: true,
    };
    let device = |id, power, supply: &Supply| crate::rig::Device {
        id: DeviceId(id),
        heard_to: None,
        effect: None,
        name: "Supply".to_owned(),
        part: String::new(),
        stays_on: false,
        switches: Default::default(),
        body: rig.devices[0].body,
        power,
        kind: Kind::Supply(supply.clone()),
    };
    let battery = Battery { volts: Volts::of(9.0), capacity: AmpereHours::of(0.55), draw: Amperes::of(0.001) };
    let more = [device(20, Power::Mains(mains), &supply), device(21, Power::Battery(battery), &Supply::default())];
    rig.devices.extend(more);
    let at = |outlet| OutletRef::new(DeviceId(20), outlet);
    let adapter = Adapter { swaps_poles: true, plug: Some(Connector::BatteryClip) };
    rig.feeds = vec![
        Feed {
            taps: vec![Tap { adapter, ..Tap::first(DeviceId(1)) }],
            ..Feed::straight(FeedId(30), at(1), DeviceId(1))
        },
        Feed {
            id: FeedId(31),
            from: FeedFrom::Series { lower: at(1), upper: at(2) },
            gauge: Gauge::Half,
            taps: vec![Tap::first(DeviceId(1)), Tap::next(DeviceId(2))],
        },
        Feed {
            id: FeedId(32),
            from: FeedFrom::Parallel { first: at(1), second: at(2) },
            gauge: Gauge::Awg28,
            taps: Vec::new(),
        },
    ];
    project.variants = vec![variant.into()];
    project.limits.headroom = Turn::of(0.7);
    (project.limits.voltage, project.limits.over_voltage) = (Turn::of(0.05), Turn::of(0.3));
    // Every country of the list, one of them with a voltage of its own.
    project.mains.volts = Volts::of(120.0);
    project.mains.tour = Country::ALL.iter().map(|country| Venue::of(*country)).collect();
    project.mains.tour[0].volts = Volts::of(208.0);
    project.next_id = 33;
    let text = write(&project).unwrap();
    assert_eq!(read(text.as_bytes()).unwrap(), project);
    assert_eq!(write(&read(text.as_bytes()).unwrap()).unwrap(), text);
    let gauges = text.replace("Awg28", "Awg99");
    assert!(read(gauges.as_bytes()).unwrap_err().to_string().contains("Awg99"));
    // A feed's id counts among those that are used, and is there once.
    let lifted = text.replace("next_id: 33,", "next_id: 0,");
    assert_eq!(read(lifted.as_bytes()).unwrap().next_id, 33);
    let twice = text.replace("id: 31,", "id: 30,");
    assert!(read(twice.as_bytes()).unwrap_err().to_string().contains("feed"));
}

#[test]
fn a_full_project_comes_back_as_it_was() {
    let mut project = blank().unwrap();
    let mut variant = (*project.variants[0]).clone();
    variant.places.insert(DeviceId(2), CanvasPoint { x: -12.5, y: 1e5 });
    project.variants = vec![variant.into()];
    project.notes = "two lines\nand a \"quote\", player's \\ own".to_owned();
    let switch = |device, key| SwitchRef { device: DeviceId(device), key };
    project.state.positions.insert(switch(2, SwitchKey::Channel), Position(3));
    project.state.positions.insert(switch(1, SwitchKey::Bypass), Position::ON);
    let knob = |control| Knob { device: DeviceId(1), control };
    project.state.turned.insert(knob(Control::Tone), Turn::of(1.0 / 3.0));
    project.state.turned.insert(knob(Control::Volume), Turn::CLOSED);
    project.test_point = Some(TestPoint { lead: crate::rig::LeadId(3), along: Turn::of(0.5) });
    let state = State { positions: [(switch(1, SwitchKey::Mute), Position::ON)].into(), ..State::default() };
    let made_in = [(project.variants[0].id, state.clone())].into();
    let (name, notes) = ("clean".to_owned(), "amp on 4".to_owned());
    project.sounds.push(Sound { id: SoundId(70), name, state, made_in, notes });
    project.next_id = 71;
    let mut variant = (*project.variants[0]).clone();
    Arc::make_mut(&mut variant.rig).devices[1].stays_on = true;
    variant.kept_orders.insert(KeptOrder { before: DeviceId(1), behind: DeviceId(2) });
    variant.row_width = Some(RowWidth::of(1587.5));
    project.variants = vec![variant.into()];
    project.limits.jump = Decibels::of(4.5);
    let text = write(&project).unwrap();
    assert!(text.contains("\n            (device: 1, control: Tone, to: 0.3333333333333333),\n"), "{text}");
    assert_eq!(read(text.as_bytes()).unwrap(), project);
    assert_eq!(write(&read(text.as_bytes()).unwrap()).unwrap(), text);
}

#[test]
fn places_past_any_drawing_are_written_so_that_they_open() {
    let mut project = blank().unwrap();
    let mut variant = (*project.variants[0]).clone();
    variant.places.insert(DeviceId(1), CanvasPoint { x: f64::NAN, y: f64::INFINITY });
    project.variants = vec![variant.into()];
    let back = read(write(&project).unwrap().as_bytes()).unwrap();
    assert_eq!(back.variants[0].places[&DeviceId(1)], CanvasPoint { x: 0.0, y: 1e6 });
}

#[test]
fn what_is_empty_may_be_left_out_and_the_next_id_is_lifted() {
    let text = "(version: 1, variants: [(id: 7, name: \"bare\")])";
    let project = read(text.as_bytes()).unwrap();
    assert_eq!((project.currency.as_str(), project.next_id), ("€", 8));
    assert!(project.variants[0].rig.devices.is_empty());
    for line in ["notes: \"\",", "test_point: None,", "places: [],", "state: (positions: [], turned: []),"] {
        let out = changed(line, "").replace("next_id: 5,", "");
        assert_eq!(read(out.as_bytes()).unwrap(), blank().unwrap());
    }
}

#[test]
fn what_a_person_or_an_editor_may_write_differently_opens() {
    let same = [
        format!("\u{feff}{}", blank_text()),
        blank_text().replace('\n', "\r\n"),
        changed("(\n", "// my rig\nProject(\n").replace("id: 3,", "id: 3, /* the long one */"),
        changed("eddy_loss: 1e6", "eddy_loss: Some(1000000)"),
        // The version needn't come first to be found first.
        changed("version: 4,", "").replace("next_id: 5,", "next_id: 5, version: 4,"),
    ];
    for text in same {
        assert_eq!(read(text.as_bytes()).unwrap(), blank().unwrap(), "{text}");
    }
}

#[test]
fn one_device_in_two_variants_is_as_it_should_be() {
    let mut project = blank().unwrap();
    let mut copy = (*project.variants[0]).clone();
    copy.id = crate::rig::VariantId(5);
    project.variants.push(copy.into());
    assert_eq!(read(write(&project).unwrap().as_bytes()).unwrap().next_id, 6);
}

#[test]
fn a_rig_that_cannot_work_opens_all_the_same() {
    let project = read(changed("device: 2, jack: In", "device: 99, jack: SecondIn").as_bytes()).unwrap();
    assert_eq!(project.variants[0].rig.leads[0].to.jack, Jack::SecondIn);
    assert!(!crate::rig::problems(&project.variants[0].rig).is_empty());
}

#[test]
fn no_slip_of_a_key_and_no_cut_does_more_than_be_refused() {
    for (at, _) in blank_text().char_indices() {
        let (before, after) = blank_text().split_at(at);
        let _ = read(before.as_bytes());
        let rest = after.chars().as_str().get(1..).unwrap_or_default();
        for slip in ["", "(", "]", "\"", "-", "#", "'", "\\", "e9"] {
            if let Ok(project) = read(format!("{before}{slip}{rest}").as_bytes()) {
                let text = write(&project).unwrap();
                assert_eq!(write(&read(text.as_bytes()).unwrap()).unwrap(), text);
            }
        }
    }
}
