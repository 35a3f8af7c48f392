//! Loop switchers, where it can be counted on paper.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, respond};
use rigwright_core::rig::{
    DeviceId, Jack, JackRef, Kind, Lead, LeadId, Position, Preset, Rig, State, SwitchKey, SwitchRef, SwitchSetting,
    Switcher, TestPoint, problems,
};
use rigwright_core::states::{Jump, Question, States, Target, explore};
use rigwright_core::units::{Farads, Turn};

use crate::generator::Dice;
use crate::rigs::{amp, buffer, db, device, looped};

const AMP: u64 = 2;
const SWITCHER: u64 = 3;

fn question(rig: &Rig) -> Question {
    let target = Target::Endpoint(JackRef::new(DeviceId(AMP), Jack::In));
    Question { rig: Arc::new(rig.clone()), controls: State::default(), target, unfed: Default::default() }
}

fn ask(rig: &Rig, hz: &[f64]) -> States {
    explore(&question(rig), &mut LineCache::new(Sweep::at(hz))).expect("the guitar is heard")
}

fn inside(rig: &mut Rig) -> &mut Switcher {
    match &mut rig.devices[2].kind {
        Kind::Switcher(inside) => inside,
        other => panic!("{other:?}"),
    }
}

fn in_loop(number: u8) -> SwitchSetting {
    let switch = SwitchRef { device: DeviceId(SWITCHER), key: SwitchKey::Loop(number) };
    SwitchSetting { switch, to: Position::ON }
}

/// [S: loop-rows]
#[test]
fn rows_of_loops() {
    let answer = ask(&looped(8, 3), &[1000.0]);
    assert!(answer.exact);
    assert_eq!(answer.rows(), 4033);
    // 8 loops and 24 units, each out or in, off or on. [S: state-count]
    assert_eq!(answer.switch_states.to_string(), (1_u64 << 32).to_string());
    // Each loop is out, or in with its units in 8 settings that all are heard.
    assert_eq!(answer.different.to_string(), 9_u64.pow(8).to_string());
}

/// [S: loop-rows]: 36820 rows are past the cap of 16384.
#[test]
fn twelve_loops_of_two_are_past_the_cap_and_say_so() {
    let answer = ask(&looped(12, 2), &[100.0, 1000.0, 5000.0]);
    assert!(!answer.exact);
    assert!(answer.note().contains("at least this wide"), "{}", answer.note());
    assert!(answer.jumps.iter().all(|jump| !jump.exact));
    // Every switch is told of all the same.
    assert_eq!(answer.jumps.len(), 12 + 24);
}

/// Eight loops that hold a patch lead each: 2⁸ different states. [S: state-count]
#[test]
fn loops_with_nothing_but_a_patch() {
    let rig = looped(8, 0);
    let hz = [100.0, 1000.0, 3000.0, 10_000.0];
    let answer = ask(&rig, &hz);
    assert_eq!(answer.different.to_string(), "256");
    let mut line_cache = LineCache::new(Sweep::at(&hz));
    let mut all: Vec<Vec<f64>> = Vec::new();
    for mask in 0..256_u32 {
        let set: Vec<SwitchSetting> = (1..=8).filter(|n| mask >> (n - 1) & 1 == 1).map(in_loop).collect();
        let state = State::default().with(&rig, &set);
        let request = Request { rig: Arc::new(rig.clone()), state, test_point: None, unfed: Default::default() };
        let response = respond(&request, &mut line_cache);
        all.push(response.endpoints[0].at.curve.levels().iter().map(|level| db(*level)).collect());
    }
    for (at, hz) in hz.iter().enumerate() {
        let each = || all.iter().map(|levels| levels[at]);
        let (low, high) = (each().fold(f64::INFINITY, f64::min), each().fold(f64::NEG_INFINITY, f64::max));
        assert!((answer.lowest_db()[at] - low).abs() < 1e-9, "{hz} Hz: {} and {low}", answer.lowest_db()[at]);
        assert!((answer.highest_db()[at] - high).abs() < 1e-9, "{hz} Hz: {} and {high}", answer.highest_db()[at]);
        let mut levels: Vec<f64> = each().collect();
        levels.sort_by(f64::total_cmp);
        assert!(levels.windows(2).all(|pair| pair[1] - pair[0] > 1e-12), "{hz} Hz: two states alike");
    }
}

/// A buffer at the input ends the guitar's run: it sees the same in every state.
#[test]
fn behind_an_input_buffer_the_guitar_sees_one_load() {
    let mut rig = looped(4, 1);
    let Kind::Buffer(of) = buffer(1e6, 100.0) else { panic!("a buffer") };
    inside(&mut rig).input = Some(of.stage);
    let lead = rig.leads[0].id;
    let target = Target::Point(TestPoint { lead, along: Turn::of(1.0) });
    let answer = explore(&Question { target, ..question(&rig) }, &mut LineCache::new(Sweep::at(&[3000.0])));
    let answer = answer.expect("the guitar is heard");
    assert_eq!(answer.lowest_db(), answer.highest_db());
    assert!(answer.jumps.is_empty());
}

/// An empty loop does nothing; one from which nothing comes back silences all, and is left out.
#[test]
fn empty_loops_and_dead_ones() {
    let mut rig = looped(2, 0);
    rig.leads.retain(|lead| lead.from.jack != Jack::Send(1));
    let answer = ask(&rig, &[1000.0]);
    assert!(answer.jumps.iter().all(|jump| jump.switch.key != SwitchKey::Loop(1)));
    assert_eq!(answer.different.to_string(), "2");
    let dead = rig.leads.iter_mut().find(|lead| lead.from.jack == Jack::Send(2)).expect("loop 2 has a lead");
    dead.to = JackRef::new(DeviceId(99), Jack::In);
    rig.devices.push(device(99, "other amp", amp(1e6, 0.0)));
    let answer = ask(&rig, &[1000.0]);
    assert_eq!(answer.mutes, [in_loop(2)]);
    assert_eq!(answer.different.to_string(), "1");
}

/// Presets: one switch that acts in every loop at once. Three of them with the
/// same units in have three ways each of them can stand, and no more.
#[test]
fn presets_range_over_their_loops() {
    let mut rig = looped(3, 1);
    let preset = |name: &str, loops: &[u8]| Preset { name: name.to_owned(), loops: loops.iter().copied().collect() };
    inside(&mut rig).presets = vec![preset("clean", &[]), preset("drive", &[1]), preset("solo", &[1, 2, 3])];
    inside(&mut rig).by_presets = true;
    let answer = ask(&rig, &[3000.0]);
    assert!(answer.exact);
    // 3 presets and 3 units. [S: state-count]
    assert_eq!(answer.switch_states.to_string(), "24");
    // None in; one in, off or on; three in, each off or on.
    assert_eq!(answer.different.to_string(), (1 + 2 + 8).to_string());
    let presets = answer.jumps.iter().filter(|jump| jump.switch.key == SwitchKey::Preset);
    let steps: Vec<(u8, u8)> = presets.map(|jump| (jump.from.0, jump.to.0)).collect();
    assert_eq!(steps, [(0, 1), (0, 2), (1, 2)]);
}

/// Three presets over four loops of three units: 2¹² settings of units for each, far more
/// than are solved one by one. Each step's furthest states are real ones, and no
/// other setting that is tried goes beyond them.
#[test]
fn steps_between_presets_range_over_all_states() {
    let mut rig = looped(4, 3);
    let preset = |name: &str, loops: &[u8]| Preset { name: name.to_owned(), loops: loops.iter().copied().collect() };
    inside(&mut rig).presets = vec![preset("clean", &[2]), preset("drive", &[1, 2]), preset("solo", &[2, 3, 4])];
    inside(&mut rig).by_presets = true;
    let hz = [300.0, 3000.0, 9000.0];
    let answer = ask(&rig, &hz);
    assert!(answer.exact && answer.sampled.is_empty());
    let presets: Vec<&Jump> = answer.jumps.iter().filter(|jump| jump.switch.key == SwitchKey::Preset).collect();
    assert_eq!(presets.len(), 3);
    assert!(presets.iter().all(|jump| jump.exact));
    let mut line_cache = LineCache::new(Sweep::at(&hz));
    let mut levels = |set: &[SwitchSetting]| -> Vec<f64> {
        let state = State::default().with(&rig, set);
        let request = Request { rig: Arc::new(rig.clone()), state, test_point: None, unfed: Default::default() };
        respond(&request, &mut line_cache).endpoints[0].at.curve.levels().iter().map(|level| db(*level)).collect()
    };
    let mut step = |jump: &Jump, among: &[SwitchSetting]| -> Vec<f64> {
        let mut at = |to| levels(&[among, &[SwitchSetting { switch: jump.switch, to }]].concat());
        let (before, after) = (at(jump.from), at(jump.to));
        after.iter().zip(&before).map(|(after, before)| after - before).collect()
    };
    let units: Vec<DeviceId> = rig.devices[3..].iter().map(|device| device.id).collect();
    assert_eq!(units.len(), 12);
    let mut dice = Dice::new(4_701);
    for jump in presets {
        for end in [&jump.rise, &jump.fall] {
            let whole = step(jump, &end.among);
            assert!((whole[end.at] - end.db).abs() < 1e-9, "{} dB, and by itself {}", end.db, whole[end.at]);
        }
        for _ in 0..200 {
            let on = units.iter().filter(|_| dice.chance(0.5));
            let among: Vec<SwitchSetting> =
                on.map(|id| SwitchSetting { switch: SwitchRef::bypass(*id), to: Position::ON }).collect();
            for (at, db) in step(jump, &among).into_iter().enumerate() {
                let (low, high) = (jump.lowest_db[at] - 1e-9, jump.highest_db[at] + 1e-9);
                assert!((low..=high).contains(&db), "{db} dB at {} Hz is beyond {low} to {high}", hz[at]);
            }
        }
        let found = jump.highest_db.iter().zip(&jump.lowest_db).any(|(high, low)| high - low > 0.1);
        assert!(found, "units that are on or off make no difference to {:?}", jump.switch);
    }
}

/// A loop that is silent while it is in is told, by what is plugged in; one that ends at a tuner or an amp is meant so.
#[test]
fn dead_loops_are_told() {
    let told = |rig: &Rig| -> Vec<String> { problems(rig).iter().map(ToString::to_string).collect() };
    let rig = looped(3, 1);
    assert_eq!(told(&rig), [""; 0]);
    let without = |jack: Jack| {
        let mut rig = rig.clone();
        let gone = JackRef::new(DeviceId(SWITCHER), jack);
        rig.leads.retain(|lead| lead.from != gone && lead.to != gone);
        rig
    };
    let silent = "loop 2 is silent while it is in";
    let back = told(&without(Jack::Return(2)));
    assert_eq!(back, [format!("what leaves by send 2 of switcher doesn't come back by return 2: {silent}")]);
    let send = told(&without(Jack::Send(2)));
    let expected = format!("a lead comes to return 2 of switcher and none leaves by send 2: {silent}");
    assert!(send.contains(&expected), "{send:?}");
    // The unit that nothing leads to is told besides.
    assert_eq!(send.len(), 2, "{send:?}");
}

/// More ways through a loop than a machine number counts: 2⁶⁴ settings of its units.
#[test]
fn a_loop_of_sixty_four_units() {
    let answer = ask(&looped(1, 64), &[1000.0]);
    assert!(answer.exact);
    // Out, or in with each unit off or on. [S: state-count]
    assert_eq!(answer.different.to_string(), ((1_u128 << 64) + 1).to_string());
    assert_eq!(answer.jumps.len(), 65);
    assert!(answer.jumps.iter().all(|jump| jump.exact && jump.rise.db >= jump.fall.db));
}

/// Behind a test point on the guitar's lead hang 2³² settings of loops: each place is looked at once.
#[test]
fn a_test_point_before_many_loops() {
    let mut rig = looped(16, 0);
    // A second switcher behind the first: its loops take the numbers of leads from 2001 on.
    let second = Switcher::of(16, Farads::of(2e-12), Farads::of(30e-12));
    rig.devices.push(device(50, "second", Kind::Switcher(second)));
    let into_amp = rig.leads.iter_mut().find(|lead| lead.to.device == DeviceId(AMP)).expect("a lead to the amp");
    into_amp.to = JackRef::new(DeviceId(50), Jack::In);
    let patch = rig.leads[2].clone();
    let mut plug = |id: u64, from: Jack, to: (u64, Jack)| {
        let [from, to] = [(50, from), to].map(|(device, jack)| JackRef::new(DeviceId(device), jack));
        rig.leads.push(Lead { id: LeadId(id), from, to, ..patch.clone() });
    };
    (1..=16).for_each(|number| plug(2000 + u64::from(number), Jack::Send(number), (50, Jack::Return(number))));
    plug(2100, Jack::Out, (AMP, Jack::In));
    let target = Target::Point(TestPoint { lead: rig.leads[0].id, along: Turn::of(0.5) });
    let answer = explore(&Question { target, ..question(&rig) }, &mut LineCache::new(Sweep::at(&[3000.0])));
    let answer = answer.expect("the guitar is heard");
    // [S: state-count]
    assert_eq!(answer.different.to_string(), (1_u64 << 32).to_string());
    assert!(!answer.exact && answer.lowest_db()[0] < answer.highest_db()[0]);
}
