//! Corners that random rigs meet seldom, each with the reason that it's here.

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{
    ActiveSource, Bypass, Control, DeviceId, Instrument, Jack, JackRef, Kind, Knob, Lead, LeadId, Pedal, Rig, Stage,
    TestPoint, Treadle, Tuner,
};
use rigwright_core::states::{NoStates, Question, Target, explore};
use rigwright_core::units::{Decibels, Farads, Ohms, Ratio, Turn};

use super::brute::question;
use super::compare::{Tally, compare};
use crate::rigs::{HB, amp, bare_cable, chain, device, input, on, real_cable, stage, true_bypass};

fn line_cache() -> LineCache {
    LineCache::new(Sweep::logarithmic(20.0, 20_000.0, 24))
}

fn pedal(bypass: Bypass, on: Stage, off: Stage) -> Pedal {
    Pedal::of(bypass, on, off, Farads::of(20e-12))
}

fn row(units: Vec<Kind>) -> Rig {
    let mut kinds = vec![("guitar", Kind::Guitar(HB.guitar()))];
    kinds.extend(units.into_iter().map(|unit| ("unit", unit)));
    kinds.push(("amp", amp(1e6, 100e-12)));
    let metres: Vec<f64> = (0..kinds.len() - 1).map(|at| [6.0, 0.3, 1.5, 0.2][at % 4]).collect();
    chain(kinds, &metres, &real_cable())
}

fn amp_of(rig: &Rig) -> Target {
    Target::Endpoint(JackRef::new(rig.devices[rig.devices.len() - 1].id, Jack::In))
}

fn agree(name: &str, question: &Question) -> Tally {
    let mut tally = Tally::default();
    compare(name, question, &mut line_cache(), &mut tally);
    tally
}

/// The halves of a buffered unit's jump have their extremes at different
/// frequencies; the units named must be those of the sum's.
#[test]
fn a_buffered_unit_between_units() {
    // Into a heavy input the guitar falls most where it is loaded least; out of a
    // feeble output the treble falls most where all the leads behind hang on it.
    for (ohms, farads, output) in [(68e3, 2e-9, 100e3), (20e3, 0.0, 500e3), (500e3, 500e-12, 50e3), (1e6, 3e-9, 250e3)]
    {
        let heavy = Stage::of(input(ohms, farads), Ohms::of(output), Decibels::of(3.0));
        let light = Stage { level: Decibels::of(-2.0), ..stage(1e6, 500.0) };
        let loading = |at: f64| Kind::Pedal(pedal(Bypass::True, stage(1e6 / at, 2e3 * at), stage(1e6, 1e3)));
        let buffered = Kind::Pedal(pedal(Bypass::Buffered, heavy, light));
        let rig = row(vec![loading(1.0), loading(30.0), buffered, loading(2.0), loading(40.0)]);
        let target = amp_of(&rig);
        assert_eq!(agree("buffered", &question(rig, target)).jumps, (5, 0));
    }
}

/// No state sounds through a unit whose input is a short: contexts with it on
/// are none, before another unit and behind it.
#[test]
fn a_short_for_an_input() {
    let short =
        || Kind::Pedal(pedal(Bypass::True, Stage { input: input(0.0, 0.0), ..stage(1e6, 1e3) }, stage(1e6, 1e3)));
    for at in 0..3 {
        let mut units = vec![true_bypass(20e-12), true_bypass(50e-12)];
        units.insert(at, short());
        let rig = row(units);
        let target = amp_of(&rig);
        let tally = agree("short", &question(rig, target));
        assert_eq!((tally.jumps, tally.unheard), ((2, 0), 1));
    }
}

/// A unit that is a short while off: others sound only among it on, and the
/// context that is named says so.
#[test]
fn a_short_while_off() {
    let dead = Stage { input: input(0.0, 0.0), ..stage(1e6, 1e3) };
    for at in 0..3 {
        let mut units = vec![true_bypass(20e-12), true_bypass(50e-12)];
        units.insert(at, Kind::Pedal(pedal(Bypass::Buffered, stage(500e3, 1e3), dead)));
        let rig = row(units);
        let target = amp_of(&rig);
        let tally = agree("dead while off", &question(rig, target));
        // With all off nothing comes through, so neither of the two is heard alone.
        assert_eq!((tally.jumps, tally.alone), ((2, 0), (0, 2)));
    }
}

/// A test point between units: those behind it load it, and one behind another
/// that is on does nothing at all, which is a context too.
#[test]
fn units_behind_a_test_point() {
    let rig = row(vec![true_bypass(20e-12), true_bypass(20e-12), true_bypass(20e-12)]);
    for along in [0.0, 0.4, 1.0] {
        let point = TestPoint { lead: LeadId(1002), along: Turn::of(along) };
        let question = question(rig.clone(), Target::Point(point));
        assert_eq!(agree("test point", &question).jumps, (1, 2));
        let states = explore(&question, &mut line_cache()).expect("a sound");
        let last = &states.jumps[2];
        assert!(last.rise.db >= 0.0 && last.fall.db <= 0.0, "{last:?}");
        // Three things can be behind the point, two before it [S: by-hand].
        assert_eq!(states.different.to_string(), "6");
    }
}

/// A tuner that mutes is listed apart; where it only loads it is a switch like any.
#[test]
fn a_tuner_that_mutes() {
    for bypass in [Bypass::True, Bypass::Buffered, Bypass::AlwaysLoading] {
        let tuner =
            Kind::Tuner(Tuner::Through { pedal: pedal(bypass, stage(500e3, 1e3), stage(1e6, 1e3)), mutes: true });
        let rig = row(vec![true_bypass(20e-12), tuner, true_bypass(20e-12)]);
        let target = amp_of(&rig);
        let tally = agree("muting tuner", &question(rig.clone(), target));
        assert_eq!((tally.mutes, tally.jumps), (1, (2, 0)));
        let before = Target::Point(TestPoint { lead: LeadId(1001), along: Turn::of(0.5) });
        assert_eq!(agree("before the tuner", &question(rig, before)).mutes, 0);
    }
}

/// A volume or a treadle at zero leaves nothing to say; full up it does.
#[test]
fn volume_and_treadle_at_zero() {
    let wiring = Farads::of(20e-12);
    let taper = rigwright_core::rig::Taper::Linear;
    let treadle = Kind::Treadle(Treadle::BufferedVolume { stage: stage(1e6, 1e3), taper, wiring });
    let rig = row(vec![true_bypass(20e-12), treadle, true_bypass(20e-12)]);
    for (device, control) in [(1, Control::Volume), (3, Control::Treadle)] {
        let target = amp_of(&rig);
        let mut question = question(rig.clone(), target);
        assert_eq!(agree("full up", &question).answers, 1);
        question.controls.turned.insert(Knob { device: DeviceId(device), control }, Turn::CLOSED);
        assert_eq!(explore(&question, &mut line_cache()).expect_err("nothing sounds"), NoStates::Silent);
        assert_eq!(agree("at zero", &question).silent, 1);
    }
}

/// An instrument whose gain is zero is silent, and not cut off.
#[test]
fn an_instrument_without_gain() {
    let mut rig = row(vec![true_bypass(20e-12)]);
    rig.devices[0].kind = Kind::Active(ActiveSource::of(Instrument::Bass, Ohms::of(1e3), Ratio::of(0.0)));
    let target = amp_of(&rig);
    let question = question(rig, target);
    assert_eq!(explore(&question, &mut line_cache()).expect_err("nothing sounds"), NoStates::Silent);
    assert_eq!(agree("no gain", &question).silent, 1);
}

/// Switches of the state that is asked with don't matter; nor does a unit that
/// no lead leads to.
#[test]
fn the_states_own_switches_are_not_read() {
    let mut rig = row(vec![true_bypass(20e-12), true_bypass(20e-12)]);
    let target = amp_of(&rig);
    rig.devices.push(device(90, "spare", true_bypass(20e-12)));
    let mut asked = question(rig, target);
    let off = explore(&asked, &mut line_cache()).expect("a sound");
    asked.controls = on(&[2, 3]);
    let stepped = explore(&asked, &mut line_cache()).expect("a sound");
    assert_eq!(
        (off.lowest_db(), off.highest_db(), &off.jumps),
        (stepped.lowest_db(), stepped.highest_db(), &stepped.jumps)
    );
    // The spare one is counted among the switches and heard nowhere.
    assert_eq!((off.switch_states.to_string(), off.different.to_string()), ("8".into(), "4".into()));
    assert_eq!(agree("a spare unit", &asked).unheard, 1);
}

/// Where levels are equal the simplest state is named: none on where nothing differs.
#[test]
fn equal_levels_name_the_state_with_fewest_on() {
    // Two units alike, behind which nothing loads: either makes the same edge.
    let rig = chain(
        vec![
            ("guitar", Kind::Guitar(HB.guitar())),
            ("buffer", crate::rigs::buffer(1e6, 0.0)),
            ("unit", Kind::Pedal(pedal(Bypass::True, stage(1e6, 0.0), stage(1e6, 0.0)))),
            ("unit", Kind::Pedal(pedal(Bypass::True, stage(1e6, 0.0), stage(1e6, 0.0)))),
            ("amp", amp(1e6, 0.0)),
        ],
        &[3.0, 1.0, 1.0, 1.0],
        &bare_cable(),
    );
    let target = amp_of(&rig);
    let states = explore(&question(rig, target), &mut line_cache()).expect("a sound");
    for at in 0..states.hz().len() {
        assert!(states.lowest_state(at).is_empty() && states.highest_state(at).is_empty());
    }
    // So are the contexts in which a switch does as much as in any other.
    for jump in &states.jumps {
        assert!(jump.rise.among.is_empty() && jump.fall.among.is_empty(), "{jump:?}");
    }
}

/// A lead into a jack that is no input: the signal ends there.
#[test]
fn half_finished_rigs_have_answers_where_a_signal_gets() {
    let mut rig = row(vec![true_bypass(20e-12), true_bypass(20e-12)]);
    rig.leads.pop();
    let lead: &Lead = &rig.leads[1];
    let target = Target::Point(TestPoint { lead: lead.id, along: Turn::of(0.7) });
    assert_eq!(agree("no amp", &question(rig, target)).jumps, (1, 1));
}
