//! Wider rigs, every setting of every switch by itself, against the answer for all of them.

use std::collections::BTreeMap;
use std::sync::Arc;

use rigwright_core::cascade::{LineCache, levels};
use rigwright_core::file;
use rigwright_core::network::Sweep;
use rigwright_core::plan::{Origin, Plan, RouteRun, Spot, plan};
use rigwright_core::response::{Request, respond};
use rigwright_core::rig::{
    Device, DeviceId, Jack, JackRef, Kind, Position, Rig, Selector, State, Switch, SwitchRef, SwitchSetting,
};
use rigwright_core::states::{Extreme, Jump, NoStates, Question, States, Target, explore};
use rigwright_core::units::Level;

use super::compare::ALLOWED_DB;
use crate::generator::{Case, Dice, choices, joined, sends, several, stereo, wider, with_pickups, without_power};

/// The most states that are tried one by one.
const MOST: usize = 4096;

/// A state by the position of each switch that all states range over.
type Setting = Vec<Position>;

/// A number of dB, and how near another must come to it: a sum of ways that nearly
/// cancel is known as well as the sum of their magnitudes is.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Known {
    db: f64,
    within_db: f64,
}

impl Known {
    fn agrees(self, other: f64) -> bool {
        (self.db - other).abs() <= self.within_db
    }

    fn less(self, other: Self) -> Self {
        Self { db: self.db - other.db, within_db: self.within_db.max(other.within_db) }
    }
}

/// What arrives in every state; none where it is silent.
struct Brute {
    switches: Vec<Switch>,
    levels: BTreeMap<Setting, Option<Vec<Known>>>,
    /// What the set levels of units that are on add, of those that the signal to the target goes through.
    own_db: BTreeMap<Setting, BTreeMap<DeviceId, f64>>,
    /// In how many states the signal goes several ways at once.
    several: usize,
}

fn switches(rig: &Rig, question: &Question) -> Vec<Switch> {
    // What needs no power is switched without it, too: contacts, but not those behind a buffer.
    let by_hand = |device: &Device| match &device.kind {
        Kind::Selector(Selector::Outputs { buffer, .. }) => buffer.is_none(),
        kind => matches!(kind, Kind::Selector(_)),
    };
    let works = |device: &&Device| !question.unfed.contains(&device.id) || by_hand(device);
    rig.devices.iter().filter(works).flat_map(Device::all_switches).filter(Switch::varies).collect()
}

/// One state: the levels, none where silent, and the set levels on the signal's way
/// of units that it goes through whichever way it takes.
struct One {
    levels: Option<Vec<Known>>,
    own_db: BTreeMap<DeviceId, f64>,
    /// Whether the signal goes several ways at once.
    several: bool,
}

/// The start from which a signal comes to the target in a state.
fn start_of(question: &Question, settings: &[SwitchSetting]) -> Option<usize> {
    let state = question.controls.with(&question.rig, settings);
    let plan = plan(&question.rig, &question.controls).without_power(&question.unfed);
    let route = plan.route(&plan.runs(&state), &state, spot(question, &plan)?)?;
    match route.first()?.origin {
        Origin::Start(start) => Some(start),
        Origin::Output { .. } => None,
    }
}

/// Of several starts one is told, the same in all states.
fn level(question: &Question, settings: &[SwitchSetting], start: Option<usize>, line_cache: &mut LineCache) -> One {
    let nothing = || One { levels: None, own_db: BTreeMap::new(), several: false };
    let state = question.controls.with(&question.rig, settings);
    if start_of(question, settings) != start {
        return nothing();
    }
    let plan = plan(&question.rig, &question.controls).without_power(&question.unfed);
    let Some(spot) = spot(question, &plan) else { return nothing() };
    let runs = plan.runs(&state);
    let Some(route) = plan.route(&runs, &state, spot) else { return nothing() };
    let through = route.iter().filter_map(|route_run| match route_run.origin {
        // A unit's own level is set behind its inputs.
        Origin::Output { station, .. } if matches!(plan.stations[station].jack.jack, Jack::In | Jack::SecondIn) => {
            question.rig.device(plan.stations[station].device())
        }
        Origin::Output { .. } | Origin::Start(_) => None,
    });
    let own = |device: &Device| match &device.kind {
        Kind::MultiEffects(unit) => unit.patches.get(device.preset_called(&state)).map(|patch| patch.level.get()),
        kind => kind.pedal().filter(|_| device.is_on(&state)).map(|pedal| pedal.on.level.get()),
    };
    let own_db = through.filter_map(|device| Some((device.id, own(device)?))).collect();
    let several = route.iter().any(|route_run| route_run.adds_up);
    One { levels: at_target(question, &plan, (&state, &route), line_cache), own_db, several }
}

fn spot(question: &Question, plan: &Plan) -> Option<Spot> {
    match question.target {
        Target::Endpoint(jack) => plan.stations.iter().position(|station| station.jack == jack).map(Spot::Input),
        Target::Point(point) => Some(Spot::Lead { lead: point.lead, along: point.along.get() }),
    }
}

/// The levels by ladders one behind another; where the signal goes several ways, as
/// a response has them, which a nodal solve holds.
fn at_target(
    question: &Question,
    plan: &Plan,
    (state, route): (&State, &[RouteRun]),
    line_cache: &mut LineCache,
) -> Option<Vec<Known>> {
    if route.iter().any(|route_run| route_run.adds_up) {
        let (rig, unfed) = (Arc::clone(&question.rig), question.unfed.clone());
        let test_point = match question.target {
            Target::Point(point) => Some(point),
            Target::Endpoint(_) => None,
        };
        let response = respond(&Request { rig, state: state.clone(), test_point, unfed }, line_cache);
        let at = match question.target {
            Target::Endpoint(jack) => response.endpoints.into_iter().find(|end| end.jack == jack)?.at,
            Target::Point(_) => response.test_point?,
        };
        let known = |(level, hz): (&Level, &f64)| {
            let all_db = at.magnitudes_at(*hz).decibels()?;
            // In a null next to nothing is left, and nobody says how little.
            let Some(db) = level.decibels() else { return Some(Known { db: all_db - 200.0, within_db: 60.0 }) };
            let above = all_db - db;
            Some(Known { db, within_db: ALLOWED_DB * 10f64.powf(above / 20.0).max(1.0) })
        };
        // A comb has points of its own between these.
        let asked = line_cache.sweep().hz();
        let both = at.curve.hz().iter().zip(at.curve.levels()).filter(|(hz, _)| asked.contains(hz));
        let (hz, levels): (Vec<f64>, Vec<Level>) = both.map(|(hz, level)| (*hz, *level)).unzip();
        return levels
            .iter()
            .any(|level| *level != Level::Silent)
            .then(|| levels.iter().zip(&hz).map(known).collect())?;
    }
    let mut sum = vec![Level::Decibels(0.0); line_cache.sweep().len()];
    for route_run in route {
        let marked = plan.ladder(route_run.origin, state, route_run.spot)?;
        for (sum, level) in sum.iter_mut().zip(levels(&marked.ladder, marked.mark, line_cache)) {
            *sum = sum.then(route_run.gain).then(level);
        }
    }
    sum.into_iter().map(|level| Some(Known { db: level.decibels()?, within_db: ALLOWED_DB })).collect()
}

impl Brute {
    fn force(question: &Question, line_cache: &mut LineCache) -> Self {
        let switches = switches(&question.rig, question);
        let mut all: Vec<Setting> = vec![Vec::new()];
        for switch in &switches {
            let more = |setting: &Setting| {
                let each = switch.all_positions().map(|position| [setting.clone(), vec![position]].concat());
                each.collect::<Vec<_>>()
            };
            all = all.iter().flat_map(more).collect();
        }
        let set = |setting: &Setting| -> Vec<SwitchSetting> {
            let each = switches.iter().zip(setting);
            each.map(|(switch, to)| SwitchSetting { switch: switch.id, to: *to }).collect()
        };
        let start = all.iter().filter_map(|setting| start_of(question, &set(setting))).min();
        let of = |setting: Setting| {
            let settings = set(&setting);
            (setting, level(question, &settings, start, line_cache))
        };
        let all: Vec<(Setting, _)> = all.into_iter().map(of).collect();
        let own_db = all.iter().map(|(setting, one)| (setting.clone(), one.own_db.clone())).collect();
        let several = all.iter().filter(|(_, one)| one.several).count();
        let levels = all.into_iter().map(|(setting, one)| (setting, one.levels)).collect();
        Self { switches, levels, own_db, several }
    }

    fn edge(&self, highest: bool) -> Option<Vec<Known>> {
        self.levels.values().flatten().cloned().reduce(|a, b| extreme(&a, &b, highest))
    }

    /// The setting in which just these switches don't stand at their defaults.
    fn setting(&self, moved: &[SwitchSetting]) -> Setting {
        let of = |switch: &Switch| {
            let set = moved.iter().find(|set| set.switch == switch.id);
            set.map_or(switch.default, |set| set.to)
        };
        self.switches.iter().map(of).collect()
    }

    /// The levels after a step less those before it, the unit's own set level left
    /// out where the jump leaves it out.
    fn step(
        &self,
        to: &Setting,
        from: &Setting,
        (device, is_whole): (DeviceId, bool),
        (after, before): (&[Known], &[Known]),
    ) -> Vec<Known> {
        let own = |setting: &Setting| self.own_db[setting].get(&device).copied().filter(|_| !is_whole).unwrap_or(0.0);
        let own = own(to) - own(from);
        let less = |(after, before): (&Known, &Known)| {
            let Known { db, within_db } = after.less(*before);
            Known { db: db - own, within_db }
        };
        after.iter().zip(before).map(less).collect()
    }

    /// Levels after a step less levels before it, wherever both sound.
    fn differences(&self, switch: SwitchRef, (from, to): (Position, Position), is_whole: bool) -> Vec<Vec<Known>> {
        let at = self.switches.iter().position(|other| other.id == switch).expect("a switch that varies");
        let before = self.levels.iter().filter(|(setting, _)| setting[at] == from);
        let pairs = before.filter_map(|(setting, before)| {
            let mut other = setting.clone();
            other[at] = to;
            Some(self.step(
                &other,
                setting,
                (switch.device, is_whole),
                (self.levels[&other].as_ref()?, before.as_ref()?),
            ))
        });
        pairs.collect()
    }
}

fn extreme(a: &[Known], b: &[Known], highest: bool) -> Vec<Known> {
    a.iter().zip(b).map(|(a, b)| if (a.db > b.db) == highest { *a } else { *b }).collect()
}

fn near(name: &str, ours: &[f64], theirs: &[Known]) {
    assert_eq!(ours.len(), theirs.len(), "{name}");
    for (at, (ours, theirs)) in ours.iter().zip(theirs).enumerate() {
        assert!(theirs.agrees(*ours), "{name} at point {at}: {ours} dB against {theirs:?}");
    }
}

#[derive(Debug, Default)]
struct Tally {
    answers: usize,
    silent: usize,
    states: usize,
    jumps: usize,
    loops: usize,
    presets: usize,
    inexact_jumps: usize,
    unheard: usize,
    sampled: usize,
    /// States in which the signal goes several ways at once.
    several: usize,
    /// Jumps of units that have a level of their own in one of several ways.
    whole: usize,
}

fn compare(name: &str, question: &Question, tally: &mut Tally) {
    let mut line_cache = LineCache::new(Sweep::logarithmic(20.0, 20_000.0, 12));
    let many: usize = switches(&question.rig, question).iter().map(|switch| switch.positions).product();
    if many > MOST {
        return;
    }
    let brute = Brute::force(question, &mut line_cache);
    let name = &format!("{name}\n{}\nunfed {:?}\n", drawn(&question.rig), question.unfed);
    let states = match (explore(question, &mut line_cache), brute.edge(true)) {
        (Err(NoStates::NoWay | NoStates::Silent), None) => return tally.silent += 1,
        (Ok(states), Some(_)) => states,
        (answer, edge) => panic!("{name}: {answer:?}, and by itself {edge:?}"),
    };
    tally.answers += 1;
    tally.states += many;
    tally.several += brute.several;
    assert!(states.exact, "{name} isn't exact");
    for (highest, ours) in [(false, states.lowest_db()), (true, states.highest_db())] {
        let name = format!("{name}, {} edge", if highest { "highest" } else { "lowest" });
        near(&name, ours, &brute.edge(highest).expect("a state that sounds"));
        for (at, db) in ours.iter().enumerate() {
            let moved = if highest { states.highest_state(at) } else { states.lowest_state(at) };
            let named = brute.levels[&brute.setting(&moved)].as_ref();
            let named = named.unwrap_or_else(|| panic!("{name}: the state named is silent: {moved:?}"));
            near(&format!("{name}, named {moved:?}"), &[*db], &[named[at]]);
        }
    }
    jumps(name, &states, &brute, tally);
    for mute in &states.mutes {
        let at = brute.switches.iter().position(|switch| switch.id == mute.switch).expect("a switch that varies");
        let sounds = brute.levels.iter().any(|(setting, levels)| setting[at] == mute.to && levels.is_some());
        assert!(!sounds, "{name}: {mute:?} doesn't silence");
    }
}

fn jumps(name: &str, states: &States, brute: &Brute, tally: &mut Tally) {
    for switch in &brute.switches {
        for from in switch.all_positions() {
            for to in switch.all_positions().filter(|to| *to > from) {
                let name = format!("{name}, {:?} from {from:?} to {to:?}", switch.id);
                let same = |jump: &&Jump| (jump.switch, jump.from, jump.to) == (switch.id, from, to);
                let found = states.jumps.iter().find(same);
                let theirs = brute.differences(switch.id, (from, to), found.is_some_and(|jump| jump.is_whole));
                match found {
                    Some(jump) => one(&name, jump, &theirs, brute, tally),
                    None if states.sampled.contains(&switch.id) => tally.sampled += 1,
                    None => {
                        let heard = theirs.iter().flatten().any(|known| !known.agrees(0.0));
                        assert!(!heard, "{name} has no jump and makes a difference");
                        tally.unheard += 1;
                    }
                }
            }
        }
    }
}

fn one(name: &str, jump: &Jump, theirs: &[Vec<Known>], brute: &Brute, tally: &mut Tally) {
    tally.jumps += 1;
    tally.whole += usize::from(jump.is_whole && jump.switch.key == rigwright_core::rig::SwitchKey::Bypass);
    tally.loops += usize::from(matches!(jump.switch.key, rigwright_core::rig::SwitchKey::Loop(_)));
    tally.presets += usize::from(jump.switch.key == rigwright_core::rig::SwitchKey::Preset);
    // Settings in which the switch isn't heard at all may count, or not.
    let heard: Vec<Vec<Known>> =
        theirs.iter().filter(|curve| curve.iter().any(|known| known.db != 0.0)).cloned().collect();
    let is_near = |theirs: &[Vec<Known>]| {
        [(true, &jump.highest_db), (false, &jump.lowest_db)].into_iter().all(|(highest, ours)| {
            let all = theirs.iter().cloned().reduce(|a, b| extreme(&a, &b, highest));
            all.is_some_and(|all| ours.iter().zip(&all).all(|(a, b)| b.agrees(*a)))
        })
    };
    let theirs = if is_near(&heard) { &heard[..] } else { theirs };
    for (highest, ours, end) in [(true, &jump.highest_db, &jump.rise), (false, &jump.lowest_db, &jump.fall)] {
        let name = format!("{name}, {}", if highest { "rise" } else { "fall" });
        let all = theirs.iter().cloned().reduce(|a, b| extreme(&a, &b, highest));
        let all = all.unwrap_or_else(|| {
            panic!(
                "{name}: a jump where before and after never both sound: {:?} {:?} {}",
                jump.rise.db, jump.rise.among, jump.contexts
            )
        });
        if jump.exact {
            near(&name, ours, &all);
        } else {
            tally.inexact_jumps += 1;
            let inside = ours.iter().zip(&all).all(|(ours, all)| match highest {
                true => *ours <= all.db + all.within_db,
                false => *ours >= all.db - all.within_db,
            });
            assert!(inside, "{name}: wider than all states");
        }
        reproduced(&name, jump, end, brute);
    }
}

/// With the switches moved that are named and all others at rest, the step does what is said.
fn reproduced(name: &str, jump: &Jump, end: &Extreme, brute: &Brute) {
    assert!(end.among.iter().all(|setting| setting.switch != jump.switch), "{name}: a switch among itself");
    let at = |to: Position| {
        let moved: Vec<SwitchSetting> =
            end.among.iter().copied().chain([SwitchSetting { switch: jump.switch, to }]).collect();
        let setting = brute.setting(&moved);
        let level = brute.levels[&setting].clone();
        (setting, level.unwrap_or_else(|| panic!("{name}: silent among {:?}", end.among)))
    };
    let ((to, after), (from, before)) = (at(jump.to), at(jump.from));
    let whole = brute.step(&to, &from, (jump.device(), jump.is_whole), (&after, &before));
    near(&format!("{name}, curve among {:?}", end.among), &end.curve_db, &whole);
    near(&format!("{name}, extreme among {:?}", end.among), &[end.db], &[whole[end.at]]);
}

/// Every endpoint and the test point of some rigs.
fn compare_all(cases: impl Iterator<Item = (u64, Case)>) -> Tally {
    let mut tally = Tally::default();
    for (seed, case) in cases {
        let mut dice = Dice::new(seed);
        let likely = if dice.chance(0.2) { 0.15 } else { 0.0 };
        let unfed = without_power(&case.rig, likely, &mut dice);
        let rig = Arc::new(case.rig);
        let ends = rig
            .devices
            .iter()
            .flat_map(|device| device.kind.endpoints().map(|jack| Target::Endpoint(JackRef::new(device.id, jack))));
        let points = case.point.map(Target::Point);
        for target in ends.chain(points) {
            let question =
                Question { rig: Arc::clone(&rig), controls: case.state.clone(), target, unfed: unfed.clone() };
            compare(&format!("seed {seed}, {target:?}"), &question, &mut tally);
        }
    }
    tally
}

const SIZES: [usize; 6] = [3, 5, 7, 9, 11, 13];

#[test]
fn five_hundred_wider_rigs_agree_with_brute_force() {
    let sizes = SIZES.into_iter().cycle();
    let tally = compare_all((50_000..50_500).zip(sizes).map(|(seed, size)| (seed, wider(seed, size))));
    assert!(tally.answers > 300 && tally.loops > 300 && tally.presets > 50 && tally.silent > 50, "{tally:?}");
    assert_eq!((tally.inexact_jumps, tally.sampled), (0, 0), "{tally:?}");
}

#[test]
fn five_hundred_rigs_with_several_ways_at_once_agree_with_brute_force() {
    let sizes = SIZES.into_iter().cycle();
    let tally = compare_all((90_000..90_500).zip(sizes).map(|(seed, size)| (seed, several(seed, size))));
    assert!(tally.answers > 900 && tally.several > 15_000 && tally.whole > 300 && tally.loops > 500, "{tally:?}");
    assert_eq!((tally.inexact_jumps, tally.sampled), (0, 0), "{tally:?}");
}

#[test]
fn three_hundred_rigs_with_sends_and_returns_agree_with_brute_force() {
    // A unit with patches in a loop, and an amp's own, have more settings than others.
    let sizes = [2, 3, 4, 5, 6, 7].into_iter().cycle();
    let tally = compare_all((140_000..140_300).zip(sizes).map(|(seed, size)| (seed, sends(seed, size))));
    assert!(tally.answers > 300 && tally.several > 500 && tally.loops > 100, "{tally:?}");
    assert_eq!((tally.inexact_jumps, tally.sampled), (0, 0), "{tally:?}");
}

#[test]
fn two_hundred_rigs_with_selectors_agree_with_brute_force() {
    let sizes = [2, 3, 4, 5, 6, 7].into_iter().cycle();
    let tally = compare_all((160_000..160_200).zip(sizes).map(|(seed, size)| (seed, choices(seed, size))));
    assert!(tally.answers > 200 && tally.several > 300, "{tally:?}");
    assert_eq!((tally.inexact_jumps, tally.sampled), (0, 0), "{tally:?}");
}

#[test]
fn two_hundred_and_fifty_rigs_that_turn_stereo_agree_with_brute_force() {
    let sizes = [2, 3, 4, 5, 6].into_iter().cycle();
    let tally = compare_all((180_000..180_250).zip(sizes).map(|(seed, size)| (seed, stereo(seed, size))));
    assert!(tally.answers > 250 && tally.several > 300, "{tally:?}");
    assert_eq!((tally.inexact_jumps, tally.sampled), (0, 0), "{tally:?}");
}

#[test]
fn a_hundred_and_fifty_rigs_whose_ways_feel_each_other_agree_with_brute_force() {
    let sizes = SIZES.into_iter().cycle();
    let tally = compare_all((120_000..120_150).zip(sizes).map(|(seed, size)| (seed, joined(seed, size))));
    assert!(tally.answers > 150 && tally.several > 2000 && tally.loops > 30, "{tally:?}");
    assert_eq!((tally.inexact_jumps, tally.sampled), (0, 0), "{tally:?}");
}

/// With one preset the treadle is on the way, with the other inside what a junction joins:
/// what its switch does is told with its level or without it, and not half of each.
#[test]
fn a_unit_that_is_in_a_block_with_one_preset_and_before_it_with_the_other() {
    let tally = compare_all([(120_465, joined(120_465, 9))].into_iter());
    assert!(tally.answers > 0 && tally.whole > 0, "{tally:?}");
}

/// A splitter inside the first loop feeds the second loop's return as well: with the first
/// loop out and the second in, it hangs on the passive mixer behind, and what it has
/// plugged into the first return hangs on nothing. The dice made this rig.
#[test]
fn what_hangs_on_a_loop_feels_the_loops_that_are_out() {
    let project = file::read(include_bytes!("splitter_in_a_loop.ron")).unwrap();
    let rig = (*project.variants[0].rig).clone();
    let tally = compare_all([(0, Case { rig, state: project.state, point: None })].into_iter());
    assert!(tally.answers > 0 && tally.several > 0, "{tally:?}");
}

/// The next of them: every state is a nodal solve of its own.
#[test]
#[ignore = "takes ten minutes"]
fn three_hundred_and_fifty_more_agree() {
    let sizes = SIZES.into_iter().cycle().skip(150);
    let tally = compare_all((120_150..120_500).zip(sizes).map(|(seed, size)| (seed, joined(seed, size))));
    assert!(tally.answers > 350 && tally.several > 5000, "{tally:?}");
    assert_eq!((tally.inexact_jumps, tally.sampled), (0, 0), "{tally:?}");
}

/// A rig as text, for a look at one that fails.
pub fn drawn(rig: &Rig) -> String {
    let name = |jack: JackRef| format!("{}.{:?}", jack.device.0, jack.jack);
    let devices = rig.devices.iter().map(|device| {
        let more = match &device.kind {
            Kind::Switcher(inside) => format!("{inside:?}"),
            Kind::Mixer(inside) => format!("{inside:?}"),
            kind if kind.effects_loop().is_some() => format!("{kind:?}"),
            kind => kind.pedal().map_or(String::new(), |pedal| {
                format!(
                    "{:?} level {} stays {} {:?}",
                    pedal.bypass,
                    pedal.on.level.get(),
                    device.stays_on,
                    device.switches
                )
            }),
        };
        format!("{}: {} {more}", device.id.0, device.kind.noun())
    });
    let leads = rig.leads.iter().map(|lead| format!("{} -> {}", name(lead.from), name(lead.to)));
    devices.chain(leads).collect::<Vec<_>>().join("\n")
}

/// Guitars of several pickups, their selectors and push-pulls held as a sound has them, or ranged over too.
#[test]
fn a_hundred_and_fifty_rigs_with_guitars_of_several_pickups_agree_with_brute_force() {
    let sizes = [2, 3, 4, 5].into_iter().cycle();
    let kinds = [wider, several, joined, choices, stereo];
    let cases = (200_000..200_150).zip(sizes).map(|(seed, size): (u64, usize)| {
        let mut case = with_pickups(kinds[seed as usize % kinds.len()](seed, size), seed);
        let mut dice = Dice::new(seed ^ 0x77);
        if dice.chance(0.5) {
            case.rig = case.rig.all_by_foot();
        }
        let by_hand =
            case.rig.devices.iter().flat_map(Device::all_switches).filter(|one| one.id.key.is_on_instrument());
        let stands = by_hand.map(|switch| (switch.id, Position(dice.below(switch.positions) as u8)));
        case.state.positions.extend(stands.collect::<Vec<_>>());
        (seed, case)
    });
    let tally = compare_all(cases);
    assert!(tally.answers > 150 && tally.several > 300, "{tally:?}");
    assert_eq!((tally.inexact_jumps, tally.sampled), (0, 0), "{tally:?}");
}

/// An input of 0 Ω behind a lead shorts its side of a splitter no more than that lead lets it.
#[test]
fn a_short_behind_a_lead_silences_nothing_before_it() {
    let case = choices(200_108, 5);
    let rig = Arc::new(case.rig);
    let target = Target::Endpoint(JackRef::new(DeviceId(14), Jack::In));
    let question = Question { rig, controls: case.state, target, unfed: Default::default() };
    let mut tally = Tally::default();
    compare("a splitter of which one side is shorted", &question, &mut tally);
    assert_eq!((tally.answers, tally.inexact_jumps), (1, 0), "{tally:?}");
}
