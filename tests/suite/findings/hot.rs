//! Levels that add up to too much.

use rigwright_core::diagnosis::Severity;
use rigwright_core::findings::rules;
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{
    ActiveSource, Bypass, Connector, DeviceId, Feed, FeedId, Form, Instrument, Kind, Outlet, OutletRef, Rig, Setting,
    Supply, ZeroVolt,
};
use rigwright_core::units::{Amperes, Decibels, Ohms, Ratio, Volts};

use super::{of, only, project, remedied, unit};
use crate::rigs::{SC, amp, bare_cable, buffer, chain};

fn boost(db: f64) -> Kind {
    let mut kind = unit(Bypass::True, 1e6, 1e9, 0.0);
    let Kind::Pedal(pedal) = &mut kind else { unreachable!() };
    pedal.on.level = Decibels::of(db);
    kind
}

/// Boosts of no output resistance into inputs that load nothing: levels add up as they are.
fn rig(boosts: &[f64]) -> Rig {
    let mut kinds = vec![("guitar", Kind::Guitar(SC.guitar()))];
    kinds.extend(boosts.iter().map(|db| ("boost", boost(*db))));
    kinds.extend([("delay", unit(Bypass::Buffered, 1e9, 1e9, 1e3)), ("amp", amp(1e6, 0.0))]);
    let leads = vec![0.0; kinds.len() - 1];
    chain(kinds, &leads, &bare_cable())
}

/// 1 V and 4 V are 20·log10(4) = 12.04 dB apart [S: levels-add].
#[test]
fn twelve_decibels_are_the_limit() {
    assert!(of(&project(rig(&[12.0])), rules::TOO_HOT).is_empty());
    let before = project(rig(&[12.1]));
    let finding = only(&before, rules::TOO_HOT);
    // 10^(12.1/20) = 4.027, told so that it isn't the 4 V that the input takes; 10^(12/20) = 3.981.
    assert_eq!(finding.text, "delay gets peaks of 4.03 V with boost on, and takes 4 V.");
    assert_eq!(finding.severity, Severity::Act);
    assert_eq!(finding.remedies[0].words, "Turn down boost to +12.0 dB: 3.98 V left");
    assert_eq!(finding.remedies[0].gives_up.as_deref(), Some("With it on you are that much quieter."));
    assert!(of(&remedied(&before, &finding.remedies[0]), rules::TOO_HOT).is_empty());
}

/// 10 and 8 dB are 18 dB, 7.943 V; the second boost's own input gets 3.16 V.
#[test]
fn levels_add_up() {
    let before = project(rig(&[10.0, 8.0]));
    let finding = only(&before, rules::TOO_HOT);
    assert_eq!(finding.text, "delay gets peaks of 7.9 V with boost and boost on, and takes 4 V.");
    assert_eq!(finding.about.devices, [4, 2, 3].map(DeviceId));
    // 18 − 12.04 rounded up is 6.0 dB less.
    assert_eq!(finding.remedies[0].words, "Turn down boost to +4.0 dB: 3.98 V left");
    assert!(of(&remedied(&before, &finding.remedies[0]), rules::TOO_HOT).is_empty());
}

#[test]
fn an_amp_is_meant_to_be_driven() {
    let kinds = vec![("guitar", Kind::Guitar(SC.guitar())), ("boost", boost(20.0)), ("amp", amp(1e6, 0.0))];
    assert!(of(&project(chain(kinds, &[5.0, 6.0], &bare_cable())), rules::TOO_HOT).is_empty());
}

/// An active instrument of gain 5: 5 V, and nothing to turn down.
#[test]
fn an_active_instrument() {
    let source = ActiveSource::of(Instrument::Bass, Ohms::of(0.0), Ratio::of(5.0));
    let kinds = vec![("bass", Kind::Active(source)), ("buffer", buffer(1e9, 100.0)), ("amp", amp(1e6, 0.0))];
    let finding = only(&project(chain(kinds, &[0.0, 0.0], &bare_cable())), rules::TOO_HOT);
    assert_eq!(finding.text, "buffer gets peaks of 5 V, and takes 4 V.");
    assert!(finding.remedies.is_empty());
}

#[test]
fn the_limits_are_the_players() {
    let mut project = project(rig(&[12.1]));
    project.limits.input_peak = Volts::of(4.1);
    assert!(of(&project, rules::TOO_HOT).is_empty());
    project.limits.guitar_peak = Volts::of(1.1);
    assert_eq!(of(&project, rules::TOO_HOT).len(), 1);
}

/// An instrument's own peak counts, and the limit only where it says none [S: instrument-peaks].
#[test]
fn each_instrument_has_its_own_peak() {
    let with = |peak: Option<f64>, db: f64| {
        let mut rig = rig(&[db]);
        let Kind::Guitar(guitar) = &mut rig.devices[0].kind else { unreachable!() };
        guitar.peak = peak.map(Volts::of);
        of(&project(rig), rules::TOO_HOT)
    };
    // 2 V and 4 V are 6.02 dB apart [S: levels-add].
    assert!(with(Some(2.0), 6.0).is_empty());
    let found = with(Some(2.0), 6.1);
    assert_eq!(found[0].text, "delay gets peaks of 4.04 V with boost on, and takes 4 V.");
    assert!(found[0].why.starts_with("Set levels add up: peaks of 2 V from the instrument are lifted by 6.1 dB"));
    assert!(with(None, 6.1).is_empty());
}

/// A unit gives about half of its supply less 0.5 V [S: unit-headroom]: at 9 V 4 V, which
/// an input takes, at 18 V 8.5 V, which it doesn't.
#[test]
fn no_unit_gives_more_than_its_supply_lets_it() {
    let fed = |volts: f64| {
        let mut rig = rig(&[20.0]);
        // What the catalogue's boost takes: 9 to 18 V.
        let boost = catalogue().part("clean-boost").expect("the catalogue has one");
        let ways = &boost.power.need().expect("it takes power").ways;
        assert_eq!((ways[0].least, ways[0].most), (Volts::of(9.0), Volts::of(18.0)));
        rig.devices[1].power = boost.power.clone();
        let setting =
            Setting { volts: Volts::of(volts), limit: Amperes::of(0.1), form: Form::CentreNegative, no_load: None };
        let outlet = Outlet {
            settings: vec![setting],
            chosen: 1,
            connector: Connector::Barrel21,
            zero_volt: ZeroVolt::Group(1),
            parallel: false,
        };
        let supply = Supply { outlets: vec![outlet], ..Supply::default() };
        rig.devices.push(crate::rigs::device(50, "supply", Kind::Supply(supply)));
        rig.feeds.push(Feed::straight(FeedId(77), OutletRef::new(DeviceId(50), 1), DeviceId(2)));
        project(rig)
    };
    assert!(of(&fed(9.0), rules::TOO_HOT).is_empty());
    let before = fed(18.0);
    let finding = only(&before, rules::TOO_HOT);
    assert_eq!(finding.text, "delay gets peaks of 8.5 V with boost on, and takes 4 V.");
    // What it is set to has to come down by more than the 8.5 V show: 20 dB to 12 dB.
    assert_eq!(finding.remedies[0].words, "Turn down boost to +12.0 dB: 3.98 V left");
    assert!(of(&remedied(&before, &finding.remedies[0]), rules::TOO_HOT).is_empty());
    // Unfed, it counts as fed with the least that it takes; of what nobody knows, nothing is taken away.
    let mut unfed = fed(18.0);
    let variant = std::sync::Arc::make_mut(&mut unfed.variants[0]);
    std::sync::Arc::make_mut(&mut variant.rig).feeds.clear();
    assert!(of(&unfed, rules::TOO_HOT).is_empty());
    assert_eq!(
        only(&project(rig(&[20.0])), rules::TOO_HOT).text,
        "delay gets peaks of 10 V with boost on, and takes 4 V."
    );
}
