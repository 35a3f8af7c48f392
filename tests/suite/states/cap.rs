//! Too many states of side runs: what is left out is said, and nothing is made up.

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{
    Bypass, DeviceId, Input, Interface, Jack, JackRef, Kind, Lead, LeadId, Pedal, Rig, Splitter,
};
use rigwright_core::states::{Question, States, Target, explore};
use rigwright_core::units::{Farads, Metres};

use super::brute::{Brute, question};
use crate::rigs::{HB, amp, device, input, real_cable, stage, true_bypass};

/// A rig that grows: devices are numbered from 1 and leads from 1001.
#[derive(Default)]
struct Growing(Rig);

impl Growing {
    fn add(&mut self, name: &str, kind: Kind) -> DeviceId {
        let id = self.0.devices.len() as u64 + 1;
        self.0.devices.push(device(id, name, kind));
        DeviceId(id)
    }

    /// Puts a device behind a jack.
    fn plug(&mut self, from: (DeviceId, Jack), name: &str, kind: Kind) -> DeviceId {
        let to = self.add(name, kind);
        let at = self.0.leads.len() as u64;
        self.0.leads.push(Lead {
            id: LeadId(1001 + at),
            from: JackRef::new(from.0, from.1),
            to: JackRef::new(to, Jack::In),
            length: Metres::of(0.3 + 0.05 * at as f64),
            cable: real_cable(),
        });
        to
    }
}

fn splitter() -> Kind {
    Kind::Splitter(Splitter::Passive { wiring: Farads::of(30e-12) })
}

fn listener(at: usize) -> Kind {
    let input: Input = input(1e6 / (1.0 + at as f64), 50e-12);
    Kind::Interface(Interface::of(input))
}

/// Units that load differently on and off, each with its own input.
fn unit(at: usize) -> Kind {
    let bypass = match at % 3 {
        0 => return true_bypass(20e-12),
        1 => Bypass::Buffered,
        _ => Bypass::AlwaysLoading,
    };
    Kind::Pedal(Pedal {
        bypass,
        selectable: Vec::new(),
        on: stage(50e3 + 30e3 * at as f64, 1e3),
        off: stage(1e6 / (1.0 + 0.1 * at as f64), 500.0),
        wiring: Farads::of(15e-12),
        level_pot: None,
        gain_by_source: None,
        without_power: None,
        stereo: None,
    })
}

/// A guitar, `near` units, a passive splitter, `far` units and the amp (the last
/// device); on the splitter's second side a row of splitters, with one unit
/// before a listener at each: 2 choices each, all of them independent.
pub fn tree(near: usize, far: usize, sides: usize) -> Question {
    let mut rig = Growing::default();
    let mut last = rig.add("guitar", Kind::Guitar(HB.guitar()));
    for at in 0..near {
        last = rig.plug((last, Jack::Out), "near", true_bypass(20e-12 + 1e-12 * at as f64));
    }
    let first = rig.plug((last, Jack::Out), "splitter", splitter());
    let mut side = (first, Jack::SecondOut);
    for at in 0..sides {
        let next = rig.plug(side, "side splitter", splitter());
        let unit = rig.plug((next, Jack::SecondOut), "side unit", unit(at));
        rig.plug((unit, Jack::Out), "listener", listener(at));
        side = (next, Jack::Out);
    }
    let mut last = (first, Jack::Out);
    for at in 0..far {
        last = (rig.plug(last, "far", unit(3 * at)), Jack::Out);
    }
    let amp = rig.plug(last, "amp", amp(1e6, 100e-12));
    question(rig.0, Target::Endpoint(JackRef::new(amp, Jack::In)))
}

fn line_cache() -> LineCache {
    LineCache::new(Sweep::logarithmic(20.0, 20_000.0, 6))
}

/// Never wider than the truth, and each state and context named is a real one.
pub fn within(question: &Question, states: &States) {
    let brute = Brute::force(question, &mut line_cache()).expect("a way");
    let (lowest, highest) = (brute.edge(false).expect("a sound"), brute.edge(true).expect("a sound"));
    for at in 0..lowest.len() {
        let (low, high) = (states.lowest_db()[at], states.highest_db()[at]);
        assert!(lowest[at] - 1e-9 <= low && low <= high && high <= highest[at] + 1e-9);
        for (db, on) in [(low, states.lowest_state(at)), (high, states.highest_state(at))] {
            let alone = brute.levels[brute.state(&on)].as_ref().expect("the state named sounds");
            assert!((alone[at] - db).abs() <= 1e-9, "{db} dB against {} dB", alone[at]);
        }
    }
    assert!(!states.jumps.is_empty());
    for jump in &states.jumps {
        let (own, differences) = (brute.own_db(jump.device()), brute.differences(jump.device()));
        for at in 0..lowest.len() {
            let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
            for difference in &differences {
                (low, high) = (low.min(difference[at] - own), high.max(difference[at] - own));
            }
            assert!(low - 1e-9 <= jump.lowest_db[at] && jump.highest_db[at] <= high + 1e-9, "{:?}", jump.device());
        }
        for end in [&jump.rise, &jump.fall] {
            let others = brute.state(&end.among) & !brute.mask([jump.device()]);
            let alone = brute.difference(jump.device(), others).expect("both sound")[end.at] - own;
            assert!((alone - end.db).abs() <= 1e-9, "{:?}: {} dB against {alone} dB", jump.device(), end.db);
        }
    }
}

fn check_cut(near: usize, far: usize, sides: usize) {
    let question = tree(near, far, sides);
    let states = explore(&question, &mut line_cache()).expect("the guitar is heard");
    assert!(!states.exact);
    assert!(states.note().contains("at least this wide"), "{}", states.note());
    // They are counted all the same.
    let all = 1_u64 << (near + far + sides);
    assert_eq!(states.switch_states.to_string(), all.to_string());
    within(&question, &states);
}

/// More than 4096 choices of one side run.
#[test]
fn a_side_run_of_too_many_choices_is_cut() {
    check_cut(0, 0, 13);
}

/// Few enough choices, but too many stretches when they stand beside units in the way.
#[test]
fn too_many_stretches_are_cut() {
    check_cut(2, 2, 11);
}

/// Right below the cap every state is covered.
#[test]
fn below_the_cap_all_is_exact() {
    let question = tree(1, 1, 8);
    let states = explore(&question, &mut line_cache()).expect("the guitar is heard");
    assert!(states.exact);
    // Near on, or off with 2⁸ side runs; then far on or off [S: by-hand]. Near on,
    // the side runs hang behind it and count again.
    assert_eq!(states.different.to_string(), "1024");
    let mut tally = super::compare::Tally::default();
    super::compare::compare("below the cap", &question, &mut line_cache(), &mut tally);
    assert_eq!(tally.jumps, (2, 8));
}

/// Far past the cap it still answers, and counts what it left out.
#[test]
fn forty_units_beside_one_another() {
    let states = explore(&tree(4, 4, 40), &mut line_cache()).expect("the guitar is heard");
    assert!(!states.exact);
    assert_eq!(states.switch_states.to_string(), (1_u64 << 48).to_string());
    assert_eq!(states.different, states.switch_states);
}
