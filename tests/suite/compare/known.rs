//! Known rigs as comparisons: a straight lead, and what a buffer's cut changes.

use rigwright_core::cascade::LineCache;
use rigwright_core::compare::{Against, NoComparison, compare, straight};
use rigwright_core::network::Sweep;
use rigwright_core::rig::{Buffer, Control, DeviceId, Jack, JackRef, Kind, LeadId, Rig, State, TestPoint};
use rigwright_core::units::{Farads, Turn};

use super::{FIRST, compared, difference_at, project};
use crate::printed::{agrees, near};
use crate::rigs::{
    HB, Reference, SC, amp, bare_cable, buffer, chain, db, on, stage, straight as plain, true_bypass, turned,
};

const KHZ: [f64; 6] = [1.0, 2.0, 3.0, 4.0, 5.0, 8.0];

/// A board behind the 4.5 m lead of [S: whole-guitar]: whatever stands there, straight it is that rig.
fn board_behind(guitar: Reference) -> Rig {
    let kinds = vec![
        ("guitar", Kind::Guitar(guitar.guitar())),
        ("first", true_bypass(20e-12)),
        ("buffer", buffer(1e6, 100.0)),
        ("second", true_bypass(20e-12)),
        ("amp", amp(1e6, 0.0)),
    ];
    chain(kinds, &[4.5, 0.3, 0.3, 9.0], &bare_cable())
}

/// [S: whole-guitar]: levels at 100 Hz, 1, 3, 5, 10 kHz; peak in Hz and dB.
fn straight_is_known(guitar: Reference, levels: [&str; 5], peak: [&str; 2], closed: [&str; 2]) {
    let rig = board_behind(guitar);
    let endpoint = JackRef::new(DeviceId(5), Jack::In);
    let by_hand = plain(guitar.guitar(), 4.5);
    let found = straight(&rig, endpoint).expect("a way back");
    assert_eq!(found.devices, [rig.devices[0].clone(), rig.devices[4].clone()], "the same ids");
    assert_eq!((found.leads.len(), found.leads[0].id), (1, rig.leads[0].id));
    let project = project(vec![rig, by_hand]);
    // Switches of what isn't in the straight rig don't matter to it.
    for state in [State::default(), on(&[2, 4])] {
        let comparison = compared(&project, &state, Against::Straight);
        let base = comparison.base.as_ref().unwrap();
        for (hz, printed) in [100.0, 1e3, 3e3, 5e3, 10e3].into_iter().zip(levels) {
            agrees(db(base.level_at(hz)), printed);
            near(difference_at(&comparison, 1, hz).unwrap(), 0.0, 1e-12);
        }
        agrees(base.peak.unwrap().hz, peak[0]);
        agrees(base.peak.unwrap().db, peak[1]);
    }
    // Controls as they stand.
    let comparison = compared(&project, &turned(1, Control::Tone, 0.0), Against::Straight);
    let base = comparison.base.as_ref().unwrap();
    agrees(base.peak.unwrap().hz, closed[0]);
    agrees(base.peak.unwrap().db, closed[1]);
}

#[test]
fn the_straight_lead_is_what_is_left_of_a_board() {
    let single = ["−0.4251", "−0.0956", "2.562", "1.249", "−13.38"];
    straight_is_known(SC, single, ["3863", "3.458"], ["613.0", "4.418"]);
    let double = ["−0.3242", "0.4159", "5.582", "−4.698", "−19.32"];
    straight_is_known(HB, double, ["2975", "5.585"], ["457.3", "4.618"]);
}

/// [S: tone-jump]: 500 pF lead; 20 pF a unit; 45 pF a patch; 600 pF lead; amp 1 MΩ ∥ 100 pF.
fn board(guitar: Reference, first: Kind) -> Rig {
    let mut kinds = vec![("guitar", Kind::Guitar(guitar.guitar())), ("first", first)];
    kinds.extend(["second", "third", "fourth", "fifth"].map(|name| (name, true_bypass(20e-12))));
    kinds.push(("amp", amp(1e6, 100e-12)));
    chain(kinds, &[5.0, 0.45, 0.45, 0.45, 0.45, 6.0], &bare_cable())
}

/// "First unit on: 520 pF ∥ 1 M, gain 1, 1 kΩ out" is a buffer in its place.
fn cut() -> Kind {
    Kind::Buffer(Buffer { stage: stage(1e6, 1e3), wiring: Farads::of(20e-12) })
}

fn two_variants(guitar: Reference, printed: [&str; 6], peaks: [&str; 2]) {
    let project = project(vec![board(guitar, true_bypass(20e-12)), board(guitar, cut())]);
    let comparison = compared(&project, &State::default(), FIRST);
    for (khz, printed) in KHZ.into_iter().zip(printed) {
        agrees(difference_at(&comparison, 1, khz * 1e3).unwrap(), printed);
    }
    for (one, printed) in comparison.variants.iter().zip(peaks) {
        agrees(one.row.figures.as_ref().unwrap().peak.unwrap().hz, printed);
    }
}

#[test]
fn a_switch_as_two_variants() {
    two_variants(SC, ["−0.787", "−3.439", "−0.089", "7.915", "10.01", "9.161"], ["2433", "3684"]);
    two_variants(HB, ["−1.568", "−3.508", "10.05", "10.79", "9.764", "8.604"], ["1831", "2824"]);
}

/// The first unit alone, with the board's capacitance behind it (4 patches of 45 pF, 4
/// units of 20 pF, 600 pF): its only jump is the board's, so its worst one is the board's largest.
#[test]
fn the_only_jump_is_the_worst_jump_of_its_switch() {
    for (guitar, printed, at) in [(SC, "10.01", 5e3), (HB, "10.79", 4e3)] {
        let kinds =
            vec![("guitar", Kind::Guitar(guitar.guitar())), ("first", true_bypass(20e-12)), ("amp", amp(1e6, 100e-12))];
        let project = project(vec![chain(kinds, &[5.0, 8.6], &bare_cable())]);
        let mut cache = LineCache::new(Sweep::at(&KHZ.map(|khz| khz * 1e3)));
        let comparison = compare(&project, &State::default(), FIRST, &mut cache).unwrap();
        let worst = comparison.variants[0].row.worst_jump.expect("a switch");
        agrees(worst.db, printed);
        assert_eq!((worst.device(), worst.hz, worst.exact), (DeviceId(2), at, true));
    }
}

#[test]
fn silence_has_no_difference() {
    let project = project(vec![board(SC, true_bypass(20e-12)), board(SC, cut())]);
    let comparison = compared(&project, &turned(1, Control::Volume, 0.0), FIRST);
    assert_eq!(difference_at(&comparison, 1, 1e3), None);
    assert!(comparison.variants.iter().all(|one| one.row.figures.as_ref().unwrap().peak.is_err()));
    assert!(comparison.variants.iter().all(|one| one.row.worst_jump.is_none()));
    let levels = comparison.base.as_ref().unwrap().curve.levels();
    let none = rigwright_core::compare::difference_db(levels, levels);
    assert_eq!(none, vec![None; levels.len()]);
}

#[test]
fn a_test_point_is_compared_where_a_rig_has_its_lead() {
    let mut second = board(SC, cut());
    second.leads[2].id = LeadId(7);
    let mut project = project(vec![board(SC, true_bypass(20e-12)), second]);
    project.test_point = Some(TestPoint { lead: LeadId(1003), along: Turn::of(0.5) });
    let comparison = compared(&project, &State::default(), FIRST);
    assert!(comparison.variants[0].answer.is_some());
    assert!(comparison.variants[1].answer.is_none() && comparison.variants[1].row.figures.is_none());
    assert_eq!(difference_at(&comparison, 1, 1e3), None);
    // The straight lead has no such point: it is taken at its end.
    let comparison = compared(&project, &State::default(), Against::Straight);
    assert!(difference_at(&comparison, 0, 1e3).is_some());
}

#[test]
fn where_nothing_can_be_compared_it_is_said() {
    let mut broken = board(SC, cut());
    broken.leads.remove(0);
    let project = project(vec![broken]);
    let ask = |against| compare(&project, &State::default(), against, &mut LineCache::new(Sweep::audio()));
    assert_eq!(ask(Against::Straight).unwrap_err(), NoComparison::NothingStraight);
    let other = Against::Variant(rigwright_core::rig::VariantId(5));
    assert_eq!(ask(other).unwrap_err(), NoComparison::NoSuchVariant);
    let comparison = ask(FIRST).unwrap();
    assert!(comparison.base.is_none() && comparison.variants[0].row.figures.is_none());
}

/// What stands behind an amp's send is another chain: its level is relative to the send.
#[test]
fn behind_a_send_nothing_is_straight() {
    use rigwright_core::rig::{Amp, EffectsLoop, Lead};
    let mut rig = plain(SC.guitar(), 4.5);
    let send = EffectsLoop::of(rigwright_core::units::Ohms::of(1e3), crate::rigs::input(1e5, 0.0));
    let Kind::Amp(Amp { effects_loop, .. }) = &mut rig.devices[1].kind else { panic!("an amp") };
    *effects_loop = Some(send);
    let own = rig.leads[0].clone();
    let (from, to) = (JackRef::new(DeviceId(2), Jack::Send(1)), JackRef::new(DeviceId(2), Jack::Return(1)));
    rig.leads.push(Lead { id: LeadId(1002), from, to, ..own });
    assert_eq!(straight(&rig, to), None);
    assert!(straight(&rig, JackRef::new(DeviceId(2), Jack::In)).is_some());
    assert_eq!(straight(&rig, JackRef::new(DeviceId(1), Jack::Out)), None, "no endpoint");
    assert_eq!(straight(&rig, JackRef::new(DeviceId(9), Jack::In)), None, "no device");
}
