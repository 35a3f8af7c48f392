//! Each rule: where it speaks, where it is silent, and its sentence.

use super::*;
use crate::diagnosis::Severity;
use crate::power::{Headroom, PowerProblem, check};
use crate::rig::Adapter;

fn problems(rig: &Rig) -> Vec<PowerProblem> {
    check(rig, &Headroom::default()).problems
}

fn keys(rig: &Rig) -> Vec<&'static str> {
    problems(rig).iter().map(|problem| problem.what.key()).collect()
}

fn said(rig: &Rig) -> Vec<String> {
    problems(rig).iter().map(|problem| problem.words(rig)).collect()
}

/// One unit straight on an outlet of 500 mA.
fn one(outlet: Setting, need: Need) -> Rig {
    rig(vec![supply(1, mains(false), isolated(&[outlet])), unit(10, need)], vec![straight(50, at(1, 1), 10)])
}

fn of(volts: f64, form: Form) -> Setting {
    setting(volts, 500.0, form)
}

#[test]
fn what_destroys_is_the_loudest() {
    let high = one(of(18.0, CentreNegative), nine(12.0));
    assert_eq!(said(&high), ["Unit 10 wants 9 V at most and gets 18 V."]);
    assert_eq!(problems(&high)[0].severity, Severity::Danger);
    let reversed = one(of(9.0, CentrePositive), nine(12.0));
    assert_eq!(said(&reversed), ["Unit 10 gets its two poles the wrong way round."]);
    assert_eq!(problems(&reversed)[0].severity, Severity::Danger);
    let alternating = one(of(9.0, Alternating), nine(12.0));
    assert_eq!(said(&alternating), ["Unit 10 wants DC and gets 9 V AC."]);
    assert_eq!(problems(&alternating)[0].severity, Severity::Danger);
    // Both at once are both told.
    assert_eq!(keys(&one(of(18.0, CentrePositive), nine(12.0))), ["polarity-reversed", "voltage-too-high"]);
    // An adapter mends the poles, and breaks what was right.
    let swap = |rig: Rig| with(rig, |rig| rig.feeds[0].taps[0].adapter = Adapter { swaps_poles: true, plug: None });
    assert!(keys(&swap(reversed)).is_empty());
    assert_eq!(keys(&swap(one(of(9.0, CentreNegative), nine(12.0)))), ["polarity-reversed"]);
    let wants_ac = needs(vec![way(9.0, 9.0, Alternating, 50.0, 50.0)]);
    assert_eq!(keys(&one(of(9.0, CentreNegative), wants_ac.clone())), ["dc-into-ac"]);
    assert!(keys(&one(of(9.0, Alternating), wants_ac)).is_empty());
}

#[test]
fn a_voltage_fits_its_range_give_or_take_a_tenth() {
    let wide = || needs(vec![way(9.0, 18.0, CentreNegative, 10.0, 10.0)]);
    for (volts, expected) in [
        (8.0, vec!["voltage-too-low"]),
        (9.0, vec![]),
        (12.0, vec![]),
        (18.0, vec![]),
        (19.7, vec![]),
        (20.0, vec!["voltage-too-high"]),
    ] {
        assert_eq!(keys(&one(of(volts, CentreNegative), wide())), expected, "{volts} V");
    }
    // A set: 9 V or 18 V, and nothing between.
    let set = needs(vec![way(9.0, 9.0, CentreNegative, 10.0, 10.0), way(18.0, 18.0, CentreNegative, 8.0, 8.0)]);
    assert_eq!(keys(&one(of(12.0, CentreNegative), set.clone())), ["voltage-too-high"]);
    let at_eighteen = one(of(18.0, CentreNegative), set);
    assert!(keys(&at_eighteen).is_empty());
    // The draw is the one of the way it is fed.
    let running = check(&at_eighteen, &Headroom::default()).tap(DeviceId(10)).unwrap().running;
    assert!((running - 0.008).abs() < 1e-12);
}

#[test]
fn an_unregulated_adaptor_is_high_with_little_on_it() {
    // One "9 V" read 13.6 V unloaded. [S: no-load]
    let unregulated = |ma: f64| {
        let setting = Setting { no_load: Some(Volts::of(13.6)), ..setting(9.0, 300.0, CentreNegative) };
        one(setting, nine(ma))
    };
    assert_eq!(keys(&unregulated(10.0)), ["voltage-too-high"]);
    // 200 mA bring it down to 10.53 V, which is still too much; 250 mA to 9.77 V.
    assert_eq!(keys(&unregulated(200.0)), ["voltage-too-high"]);
    let loaded = with(unregulated(250.0), |rig| rig.devices[1].name = "Reverb".to_owned());
    assert_eq!(keys(&loaded), ["no-load-voltage", "over-headroom"]);
    assert_eq!(said(&loaded)[0], "Reverb wants 9 V at most, and its adaptor gives 13.6 V with nothing on it.");
}

#[test]
fn loads_are_held_against_ratings() {
    let on = |ma: f64, start: f64| {
        one(setting(9.0, 100.0, CentreNegative), needs(vec![way(9.0, 9.0, CentreNegative, ma, start)]))
    };
    assert!(keys(&on(80.0, 100.0)).is_empty());
    assert_eq!(said(&on(81.0, 81.0)), ["Outlet 1 of Unit 1 carries 81 of 100 mA, more than 80 %."]);
    assert_eq!(said(&on(80.0, 140.0)), ["Outlet 1 of Unit 1 is over its rating at start-up: 140 of 100 mA."]);
    assert_eq!(said(&on(104.0, 140.0)), ["Outlet 1 of Unit 1 is over its rating: 104 of 100 mA."]);
    let relaxed = Headroom { used: 1.0, ..Headroom::default() };
    assert!(check(&on(100.0, 100.0), &relaxed).problems.is_empty());
    // Two outlets of 100 mA, and 1 W in all: 60 + 60 mA at 9 V are 1.08 W.
    let two = isolated(&[setting(9.0, 100.0, CentreNegative), setting(9.0, 100.0, CentreNegative)]);
    let brick = with(supply(1, mains(false), two), |device| {
        let Kind::Supply(supply) = &mut device.kind else { unreachable!() };
        supply.total = Some(Watts::of(1.0));
        supply.groups = vec![crate::rig::GroupLimit { zero_volt: ZeroVolt::Group(2), limit: Watts::of(0.5) }];
    });
    let devices = vec![brick, unit(10, nine(60.0)), unit(11, nine(60.0))];
    let rig = rig(devices, vec![straight(50, at(1, 1), 10), straight(51, at(1, 2), 11)]);
    assert_eq!(
        said(&rig),
        ["Group 2 of Unit 1 is over its rating: 540 of 500 mW.", "Unit 1 is over its rating: 1.08 of 1 W."]
    );
}

#[test]
fn series_wants_isolated_outlets() {
    let high = |id| unit(id, needs(vec![way(18.0, 18.0, CentreNegative, 50.0, 50.0)]));
    let brick = |zero_volts: [ZeroVolt; 3], earthed| {
        let outlets =
            zero_volts.into_iter().map(|zero_volt| outlet(zero_volt, vec![of(9.0, CentreNegative)])).collect();
        supply(1, mains(earthed), outlets)
    };
    use ZeroVolt::{Group, Inlet};
    let pair = |zero_volts, earthed, third: bool| {
        let mut feeds = vec![series(50, at(1, 1), at(1, 2), 10)];
        let mut devices = vec![brick(zero_volts, earthed), high(10)];
        if third {
            feeds.push(straight(51, at(1, 3), 11));
            devices.push(unit(11, nine(5.0)));
        }
        keys(&rig(devices, feeds))
    };
    assert!(pair([Group(1), Group(2), Group(3)], true, true).is_empty());
    assert_eq!(pair([Group(1), Group(1), Group(2)], false, false), ["series-short"]);
    // The middle's 0 V is in use by another unit, or is the earth.
    assert_eq!(pair([Group(1), Group(2), Group(2)], false, true), ["series-short"]);
    assert!(pair([Group(1), Group(2), Group(1)], false, true).is_empty());
    assert_eq!(pair([Group(1), Inlet, Group(2)], true, false), ["series-short"]);
    assert!(pair([Inlet, Group(1), Group(2)], true, false).is_empty());
    let short =
        rig(vec![brick([Group(1), Group(1), Group(1)], false), high(10)], vec![series(50, at(1, 1), at(1, 2), 10)]);
    assert_eq!(said(&short), ["Outlets 1 and 2 of Unit 1 in series are a short."]);
    assert_eq!(problems(&short)[0].severity, Severity::Danger);
}

#[test]
fn pairs_are_of_equals_and_stay_under_60_volts() {
    let outlets = isolated(&[of(9.0, CentreNegative), of(12.0, CentreNegative), of(9.0, CentrePositive)]);
    let rig_of = |feed: Feed, need: Need, parallel: bool| {
        let mut outlets = outlets.clone();
        outlets.iter_mut().for_each(|outlet| outlet.parallel = parallel);
        rig(vec![supply(1, mains(false), outlets), unit(10, need)], vec![feed])
    };
    assert_eq!(keys(&rig_of(parallel(50, at(1, 1), at(1, 2), 10), nine(5.0), true))[1..], ["unequal-pair"]);
    assert_eq!(keys(&rig_of(parallel(50, at(1, 1), at(1, 3), 10), nine(5.0), true)), ["unequal-pair"]);
    let sum = needs(vec![way(21.0, 21.0, CentreNegative, 5.0, 5.0)]);
    assert!(keys(&rig_of(series(50, at(1, 1), at(1, 2), 10), sum.clone(), false)).is_empty());
    assert_eq!(
        keys(&rig_of(series(50, at(1, 1), at(1, 3), 10), nine(5.0), false)),
        ["voltage-too-high", "unequal-pair"]
    );
    let equal = isolated(&[of(9.0, CentreNegative), of(9.0, CentreNegative)]);
    let not_allowed =
        rig(vec![supply(1, mains(false), equal), unit(10, nine(5.0))], vec![parallel(50, at(1, 1), at(1, 2), 10)]);
    assert_eq!(said(&not_allowed), ["Outlets 1 and 2 of Unit 1 may not be put in parallel."]);
    let tall = isolated(&[of(48.0, CentreNegative), of(24.0, CentreNegative)]);
    let tower = needs(vec![way(72.0, 72.0, CentreNegative, 5.0, 5.0)]);
    let over = rig(vec![supply(1, mains(false), tall), unit(10, tower)], vec![series(50, at(1, 1), at(1, 2), 10)]);
    assert_eq!(said(&over), ["A supply lead carries 72 V, more than 60 V DC."]);
}

#[test]
fn positive_ground_stands_alone() {
    let positive = with(nine(1.0), |need| need.positive_ground = true);
    let two = |zero_volts: [ZeroVolt; 2], earthed| {
        let outlets =
            zero_volts.into_iter().map(|zero_volt| outlet(zero_volt, vec![of(9.0, CentreNegative)])).collect();
        let devices = vec![supply(1, mains(earthed), outlets), unit(10, positive.clone()), unit(11, nine(5.0))];
        rig(devices, vec![straight(50, at(1, 1), 10), straight(51, at(1, 2), 11)])
    };
    use ZeroVolt::{Group, Inlet};
    assert!(keys(&two([Group(1), Group(2)], true)).is_empty());
    assert_eq!(said(&two([Group(1), Group(1)], false)), ["Unit 10 has positive ground and shares a 0 V with Unit 11."]);
    assert_eq!(said(&two([Inlet, Group(1)], true)), ["Unit 10 has positive ground and its 0 V is the mains earth."]);
    assert!(keys(&two([Inlet, Group(1)], false)).is_empty());
}

#[test]
fn daisy_leads_and_shared_0_v_keep_kinds_apart() {
    let digital = with(nine(100.0), |need| (need.digital, need.apart) = (true, Apart::OtherKind));
    let adaptor = || supply(1, mains(false), isolated(&[of(9.0, CentreNegative)]));
    let mixed =
        rig(vec![adaptor(), unit(10, nine(5.0)), unit(11, digital.clone())], vec![daisy(50, at(1, 1), &[10, 11])]);
    assert_eq!(keys(&mixed), ["daisy-digital", "keep-apart"]);
    assert!(problems(&mixed).iter().all(|problem| problem.severity == Severity::Know));
    let alike = with(mixed.clone(), |rig| rig.devices[1] = unit(10, digital.clone()));
    assert!(keys(&alike).is_empty());
    // Separate sockets do not prove isolation. [S: isolation]
    let sockets = vec![outlet(ZeroVolt::Group(1), vec![of(9.0, CentreNegative)]); 2];
    let shared = with(mixed, |rig| {
        rig.devices[0] = supply(1, mains(false), sockets);
        rig.feeds = vec![straight(50, at(1, 1), 10), straight(51, at(1, 2), 11)];
    });
    assert_eq!(said(&shared), ["Unit 11 is to be kept apart from Unit 10 and shares its 0 V."]);
    let plus = needs(vec![way(9.0, 9.0, CentrePositive, 5.0, 5.0)]);
    let both =
        with(rig(vec![adaptor(), unit(10, nine(5.0)), unit(11, plus)], vec![daisy(50, at(1, 1), &[10, 11])]), |rig| {
            rig.feeds[0].taps[1].adapter.swaps_poles = true
        });
    assert_eq!(keys(&both), ["daisy-polarity"]);
}

#[test]
fn plugs_that_look_alike_are_told_apart() {
    let wide = with(nine(5.0), |need| need.connector = Connector::Barrel25);
    let alike = one(of(9.0, CentreNegative), wide);
    assert_eq!(said(&alike), ["Unit 10 has a socket for “barrel, 5.5 × 2.5 mm” and gets “barrel, 5.5 × 2.1 mm”."]);
    assert!(problems(&alike)[0].why().starts_with("The two look alike"));
    let adapter = Adapter { swaps_poles: false, plug: Some(Connector::Barrel25) };
    assert!(keys(&with(alike, |rig| rig.feeds[0].taps[0].adapter = adapter)).is_empty());
}

#[test]
fn a_module_without_power_feeds_nothing() {
    let module = supply(1, Power::Low(nine(10.0)), isolated(&[of(9.0, CentreNegative)]));
    let rig = rig(vec![module, unit(10, nine(5.0)), unit(11, nine(5.0))], vec![straight(50, at(1, 1), 10)]);
    let silent = "its electronics are silent, so nothing comes through";
    assert_eq!(
        said(&rig),
        [
            "Unit 1 feeds units, and nothing feeds it.".to_owned(),
            format!("Unit 10 hangs on Unit 1, to which no power comes: {silent}."),
            format!("Unit 11 is not fed: {silent}."),
        ]
    );
    assert_eq!(check(&rig, &Headroom::default()).unfed, [DeviceId(1), DeviceId(11)]);
}
