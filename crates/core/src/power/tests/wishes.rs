//! The order of wishes: what gives way to what, by hand.

use std::sync::Arc;

use super::*;
use crate::file;
use crate::power::{
    Allocation, AllocationQuestion, Cure, Headroom, Least, LeastQuestion, Noise, PowerFault, Relaxation, Rules, Weight,
    allocate, check, least,
};
use crate::watch::Unwatched;

fn ask(rig: &Rig, rules: &Rules) -> Allocation {
    allocate(&AllocationQuestion { rig: Arc::new(rig.clone()), rules: rules.clone() }, &Unwatched).unwrap()
}

/// A digital unit that wants to be apart from analogue ones.
fn digital(ma: f64) -> Need {
    with(nine(ma), |need| (need.digital, need.apart) = (true, Apart::OtherKind))
}

/// A unit of the catalogue's drives.
fn drive(id: u64) -> Device {
    Device { part: "mild-drive".to_owned(), ..unit(id, nine(10.0)) }
}

fn ids(numbers: &[u64]) -> Vec<DeviceId> {
    numbers.iter().map(|id| DeviceId(*id)).collect()
}

/// Four units on one adaptor of 9 V, 500 mA, one of them digital: 175 mA in all, and it works.
fn four_on_one() -> Rig {
    let one = outlet(ZeroVolt::Group(1), vec![setting(9.0, 500.0, CentreNegative)]);
    let units = [unit(10, nine(20.0)), unit(11, nine(15.0)), unit(12, nine(40.0)), unit(13, digital(100.0))];
    let devices = [supply(1, mains(false), vec![one])].into_iter().chain(units).collect();
    rig(devices, vec![daisy(50, at(1, 1), &[13, 12, 10, 11])])
}

#[test]
fn four_that_work_on_one_adaptor_stay_fed() {
    let found = ask(&four_on_one(), &Rules::default());
    assert_eq!((found.unfed.as_slice(), found.proved, &found.conflict), (&[][..], true, &None));
    // All four hear each other, and the lead is one for both kinds.
    assert_eq!(found.penalty.noisy, 5);
    let noisy: Vec<_> = found.noisy.iter().map(|noisy| (noisy.units.clone(), noisy.why)).collect();
    let all = ids(&[10, 11, 12, 13]);
    assert_eq!(noisy, [(all.clone(), Noise::Together), (all, Noise::OneLead)]);
    // Nothing is unplugged or moved.
    assert_eq!(found.edit(&four_on_one(), crate::rig::VariantId(900)), crate::rig::Edit::Batch(Vec::new()));
}

#[test]
fn the_students_board_stays_fed() {
    let project = file::few_on_a_daisy().unwrap();
    let found = ask(&project.variants[0].rig, &Rules::default());
    assert!(found.unfed.is_empty() && found.proved, "{found:?}");
}

/// Five drives among twenty-five units, most of whose outlets share one 0 V.
#[test]
fn the_large_modular_rig_can_be_quiet_and_that_is_proved() {
    let project = file::large_modular().unwrap();
    let found = ask(&project.variants[0].rig, &Rules::default());
    assert!(found.proved && found.unfed.is_empty() && found.changed.is_empty(), "{found:?}");
    assert_eq!((found.penalty.noisy, found.penalty.tight), (0, 0));
}

#[test]
fn what_the_player_says_must_be_is_kept() {
    let rules = Rules { keep_apart: Weight::Must, ..Rules::default() };
    let found = ask(&four_on_one(), &rules);
    assert_eq!((found.unfed.as_slice(), found.penalty.noisy), (&ids(&[13])[..], 0));
    let cures = found.conflict.unwrap().cures;
    assert!(cures.contains(&Cure::Relax(Relaxation::KeepApart)), "{cures:?}");
    let nothing = Rules { keep_apart: Weight::Nothing, ..Rules::default() };
    assert_eq!(ask(&four_on_one(), &nothing).penalty.noisy, 0);
}

#[test]
fn what_the_maker_says_must_be_is_kept_whatever_the_player_says() {
    let mut rig = four_on_one();
    if let Some(Power::Low(need)) = rig.devices.last_mut().map(|device| &mut device.power) {
        need.apart_must = true;
    }
    for keep_apart in Weight::ALL {
        let found = ask(&rig, &Rules { keep_apart, ..Rules::default() });
        assert_eq!((found.unfed.as_slice(), found.proved), (&ids(&[13])[..], true), "{keep_apart:?}");
    }
}

#[test]
fn noise_is_avoided_where_nobody_goes_without_for_it() {
    // A second outlet for the digital one; by plugs alone five would fit the first.
    let mut rig = four_on_one();
    rig.devices.push(supply(2, mains(false), isolated(&[setting(9.0, 150.0, CentreNegative)])));
    let found = ask(&rig, &Rules::default());
    assert_eq!((found.penalty.unfed, found.penalty.noisy), (0, 0));
    let alone = found.placed.iter().find(|lead| lead.from == FeedFrom::One(at(2, 1))).unwrap();
    assert_eq!(alone.plugs.iter().map(|(unit, _)| *unit).collect::<Vec<_>>(), ids(&[13]));
}

/// Two outlets: 9 V of 100 mA and 18 V of 100 mA. A unit that takes 9 to 18 V runs at 18 V now.
fn at_eighteen() -> Rig {
    let outlets = isolated(&[setting(9.0, 100.0, CentreNegative), setting(18.0, 100.0, CentreNegative)]);
    let wide = unit(10, needs(vec![way(9.0, 18.0, CentreNegative, 20.0, 20.0)]));
    rig(vec![supply(1, mains(false), outlets), wide, unit(11, nine(10.0))], vec![straight(50, at(1, 2), 10)])
}

#[test]
fn a_unit_keeps_the_voltage_that_it_runs_at_unless_it_is_released() {
    // By watts alone it would be fed 9 V: 0.18 W and not 0.36 W.
    let found = ask(&at_eighteen(), &Rules::default());
    assert_eq!((found.penalty.changed, found.changed.len()), (0, 0));
    assert!(found.placed.iter().any(|lead| lead.from == FeedFrom::One(at(1, 2)) && lead.plugs[0].0 == DeviceId(10)));
    let released = Rules { released: [DeviceId(10)].into(), most_plugs: 1, ..Rules::default() };
    let alone = Rig { devices: at_eighteen().devices[..2].to_vec(), ..at_eighteen() };
    let found = ask(&alone, &released);
    assert_eq!((found.penalty.changed, found.placed[0].from), (0, FeedFrom::One(at(1, 1))));
}

#[test]
fn where_it_cannot_keep_it_the_answer_says_what_it_was() {
    // Another unit takes nothing but 18 V: everybody fed comes first.
    let mut rig = at_eighteen();
    rig.devices[2] = unit(11, needs(vec![way(18.0, 18.0, CentreNegative, 60.0, 60.0)]));
    let rules = Rules { most_plugs: 1, pairs: false, ..Rules::default() };
    let found = ask(&rig, &rules);
    assert_eq!((found.penalty.unfed, found.penalty.changed), (0, 1));
    let changed = found.changed[0];
    assert_eq!((changed.device, changed.was, changed.now), (DeviceId(10), 18.0, 9.0));
}

#[test]
fn the_voltage_in_use_weighs_more_than_noise() {
    // At 18 V it shares a 0 V with a digital unit; at 9 V it would have one of its own.
    let mut outlets = isolated(&[setting(18.0, 100.0, CentreNegative), setting(9.0, 100.0, CentreNegative)]);
    outlets.push(outlet(ZeroVolt::Group(1), vec![setting(9.0, 200.0, CentreNegative)]));
    let wide = unit(10, needs(vec![way(9.0, 18.0, CentreNegative, 20.0, 20.0)]));
    let devices = vec![supply(1, mains(false), outlets), wide, unit(11, digital(120.0))];
    let drawn = rig(devices, vec![straight(50, at(1, 1), 10)]);
    let found = ask(&drawn, &Rules { pairs: false, ..Rules::default() });
    assert_eq!((found.penalty.unfed, found.penalty.changed, found.penalty.noisy), (0, 0, 2));
    let released = Rules { released: [DeviceId(10)].into(), pairs: false, ..Rules::default() };
    assert_eq!(ask(&drawn, &released).penalty.noisy, 0);
}

#[test]
fn headroom_gives_way_before_anybody_goes_without_and_ratings_never_do() {
    // 90 of 100 mA: more than 80 %, and it works. 110 mA don't.
    for (ma, unfed) in [(90.0, 0), (110.0, 1)] {
        let devices =
            vec![supply(1, mains(false), isolated(&[setting(9.0, 100.0, CentreNegative)])), unit(10, nine(ma))];
        let found = ask(&rig(devices.clone(), Vec::new()), &Rules::default());
        assert_eq!((found.penalty.unfed, found.penalty.tight), (unfed, 1 - unfed), "{ma} mA");
        let must = Rules { margin: Weight::Must, ..Rules::default() };
        assert_eq!(ask(&rig(devices, Vec::new()), &must).penalty.unfed, 1);
    }
}

#[test]
fn little_noise_weighs_more_than_headroom_and_headroom_more_than_adapters() {
    // The digital unit fits the small outlet without headroom, or the large one in analogue company.
    let outlets = isolated(&[setting(9.0, 500.0, CentreNegative), setting(9.0, 110.0, CentreNegative)]);
    let devices = vec![supply(1, mains(false), outlets), unit(10, nine(120.0)), unit(11, digital(100.0))];
    let found = ask(&rig(devices, Vec::new()), &Rules { pairs: false, ..Rules::default() });
    assert_eq!((found.penalty.noisy, found.penalty.tight), (0, 1));
    // 90 of 100 mA as it comes, or 90 of 500 mA by an adapter that swaps the poles.
    let outlets = isolated(&[setting(9.0, 100.0, CentreNegative), setting(9.0, 500.0, CentrePositive)]);
    let devices = vec![supply(1, mains(false), outlets), unit(10, nine(90.0))];
    let found = ask(&rig(devices, Vec::new()), &Rules { pairs: false, ..Rules::default() });
    assert_eq!((found.penalty.tight, found.penalty.adapters), (0, 1));
}

/// Three or more drives, fuzzes or compressors on one 0 V are likely noisy. [S: shared-noise]
#[test]
fn drives_are_spread_over_zero_volts_before_they_crowd_one() {
    let three = || vec![drive(10), drive(11), drive(12)];
    let group = |zero_volt| outlet(zero_volt, vec![setting(9.0, 100.0, CentreNegative)]);
    let two = vec![group(ZeroVolt::Group(1)), group(ZeroVolt::Group(1)), group(ZeroVolt::Group(2))];
    let devices = [supply(1, mains(false), two)].into_iter().chain(three()).collect();
    assert_eq!(ask(&rig(devices, Vec::new()), &Rules::default()).penalty.noisy, 0);
    let one = supply(1, mains(false), vec![group(ZeroVolt::Group(1))]);
    let crowd = rig([one].into_iter().chain(three()).collect(), Vec::new());
    let found = ask(&crowd, &Rules::default());
    assert_eq!((found.penalty.unfed, found.penalty.noisy), (0, 1));
    assert_eq!(found.noisy[0].why, Noise::Gain { stages: 3, gain: 0.0 });
    let must = Rules { few_gains: Weight::Must, ..Rules::default() };
    assert_eq!(ask(&crowd, &must).penalty.unfed, 1);
    // The check of what is drawn says the same.
    let drawn = rig(crowd.devices, vec![daisy(50, at(1, 1), &[10, 11, 12])]);
    let told = check(&drawn, &Headroom::default()).problems;
    assert!(told.iter().any(|p| matches!(p.what, PowerFault::MuchGain { stages: 3, .. })), "{told:?}");
}

#[test]
fn two_units_of_positive_ground_share_a_lead_and_nothing_else_does() {
    let positive = |id| unit(id, with(nine(1.0), |need| need.positive_ground = true));
    let one = |earthed| {
        let zero_volt = if earthed { ZeroVolt::Inlet } else { ZeroVolt::Group(1) };
        supply(1, mains(true), vec![outlet(zero_volt, vec![setting(9.0, 100.0, CentreNegative)])])
    };
    let fed = |devices| ask(&rig(devices, Vec::new()), &Rules::default()).penalty.unfed;
    assert_eq!(fed(vec![one(false), positive(10), positive(11)]), 0);
    assert_eq!(fed(vec![one(false), positive(10), unit(11, nine(1.0))]), 1);
    assert_eq!(fed(vec![one(true), positive(10), positive(11)]), 2);
    // On two outlets of one 0 V they would join what those give through their screens.
    let outlets = vec![outlet(ZeroVolt::Group(1), vec![setting(9.0, 100.0, CentreNegative)]); 2];
    let rules = Rules { most_plugs: 1, ..Rules::default() };
    let two = rig(vec![supply(1, mains(false), outlets), positive(10), positive(11)], Vec::new());
    assert_eq!(ask(&two, &rules).penalty.unfed, 1);
}

/// Bridge rectifiers joined by screens short through their diodes. [S: winding]
#[test]
fn an_ac_winding_feeds_one_unit() {
    let hum = |id| unit(id, needs(vec![way(9.0, 9.0, Alternating, 100.0, 100.0)]));
    let winding = |count, zero_volt: fn(u8) -> ZeroVolt| {
        let outlets = (0..count).map(|at| outlet(zero_volt(at), vec![setting(9.0, 1000.0, Alternating)]));
        supply(1, mains(false), outlets.collect())
    };
    let fed = |supply| ask(&rig(vec![supply, hum(10), hum(11)], Vec::new()), &Rules::default()).penalty.unfed;
    assert_eq!(fed(winding(1, ZeroVolt::Group)), 1);
    assert_eq!(fed(winding(2, |_| ZeroVolt::Group(1))), 1);
    assert_eq!(fed(winding(2, ZeroVolt::Group)), 0);
    // A DC unit on the 0 V of the winding joins the two as well, and so does the mains earth.
    let outlets = |zero_volt| {
        let direct = outlet(zero_volt, vec![setting(9.0, 100.0, CentreNegative)]);
        vec![outlet(zero_volt, vec![setting(9.0, 1000.0, Alternating)]), direct]
    };
    let unfed = |zero_volt, units: Vec<Device>| {
        let devices = [supply(1, mains(true), outlets(zero_volt))].into_iter().chain(units).collect();
        ask(&rig(devices, Vec::new()), &Rules::default()).penalty.unfed
    };
    assert_eq!(unfed(ZeroVolt::Group(1), vec![hum(10), unit(11, nine(10.0))]), 1);
    assert_eq!(unfed(ZeroVolt::Group(1), vec![hum(10)]), 0);
    assert_eq!(unfed(ZeroVolt::Inlet, vec![hum(10)]), 1);
    // Where both makers allow it, two share one.
    let shares = |id| {
        let both = needs(vec![way(9.0, 9.0, Alternating, 100.0, 100.0)]);
        unit(id, with(both, |need| need.shares_winding = true))
    };
    let two = |units: Vec<Device>| {
        let devices = [winding(1, ZeroVolt::Group)].into_iter().chain(units).collect();
        ask(&rig(devices, Vec::new()), &Rules::default()).penalty.unfed
    };
    assert_eq!((two(vec![shares(10), shares(11)]), two(vec![shares(10), hum(11)])), (0, 1));
}

/// Of the catalogue's supplies one of eight outlets on one 0 V costs less than one with outlets apart.
#[test]
fn the_least_supply_keeps_drives_off_one_zero_volt() {
    let asked = |few_gains, parts: &[&str]| {
        let rig = Arc::new(rig((10..14).map(drive).collect(), Vec::new()));
        let parts = Some(parts.iter().map(|key| (*key).to_owned()).collect());
        let rules = Rules { few_gains, ..Rules::default() };
        let question = LeastQuestion { rig, rules, least: Least::Money, keep: false, batteries: false, parts };
        least(&question, &Unwatched).unwrap()
    };
    let both = ["shared-eight", "isolated-five"];
    let bought = |answer: &crate::power::LeastAnswer| answer.bought.as_ref().unwrap()[0].part.clone();
    let quiet = asked(Weight::Wish, &both);
    assert_eq!((bought(&quiet).as_str(), quiet.quiet, quiet.proved), ("isolated-five", true, true));
    assert_eq!(quiet.allocation.penalty.noisy, 0);
    let cheap = asked(Weight::Nothing, &both);
    assert_eq!(bought(&cheap), "shared-eight");
    assert!(cheap.totals.money < quiet.totals.money);
    // Where there is nothing else, it is the least of all and says what is noisy.
    let only = asked(Weight::Wish, &both[..1]);
    assert_eq!((bought(&only).as_str(), only.quiet, only.proved), ("shared-eight", false, true));
    assert_eq!(only.allocation.penalty.noisy, 2);
    assert_eq!(asked(Weight::Must, &both[..1]).bought, None);
}
