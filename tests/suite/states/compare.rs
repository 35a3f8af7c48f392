//! The answer for all states, figure by figure, against every state by itself.

use rigwright_core::cascade::LineCache;
use rigwright_core::rig::DeviceId;
use rigwright_core::states::{Extreme, Jump, NoStates, Question, States, explore};

use super::brute::{Brute, extreme};
use crate::rigs::devices;

/// How far the two may be apart, in dB.
pub const ALLOWED_DB: f64 = 1e-9;

/// What was compared, so that a test can say that it wasn't empty.
#[derive(Debug, Default)]
pub struct Tally {
    /// Answers with sounding states.
    pub answers: usize,
    /// Questions to which both say that nothing sounds.
    pub silent: usize,
    /// States asked for one by one.
    pub states: usize,
    /// Jumps of units in the signal's way, and of units that only load it.
    pub jumps: (usize, usize),
    /// Jumps with all other switches off: heard, and silent.
    pub alone: (usize, usize),
    /// Switches that the target doesn't hear.
    pub unheard: usize,
    /// Mutes listed.
    pub mutes: usize,
    /// The worst difference, in dB.
    pub worst_db: f64,
}

impl Tally {
    fn near(&mut self, name: &str, ours: f64, theirs: f64) {
        let apart = (ours - theirs).abs();
        assert!(apart <= ALLOWED_DB, "{name}: {ours} dB against {theirs} dB");
        self.worst_db = self.worst_db.max(apart);
    }

    fn all_near(&mut self, name: &str, ours: &[f64], theirs: &[f64]) {
        assert_eq!(ours.len(), theirs.len(), "{name}");
        for (at, (ours, theirs)) in ours.iter().zip(theirs).enumerate() {
            self.near(&format!("{name} at point {at}"), *ours, *theirs);
        }
    }
}

/// Asks both and compares all that they say.
pub fn compare(name: &str, question: &Question, line_cache: &mut LineCache, tally: &mut Tally) {
    let brute = Brute::force(question, line_cache);
    let states = match (explore(question, line_cache), &brute) {
        (Err(NoStates::NoWay), None) => return tally.silent += 1,
        (Err(NoStates::Silent), Some(brute)) if brute.edge(true).is_none() => return tally.silent += 1,
        (Ok(states), Some(_)) => states,
        (answer, brute) => panic!("{name}: {answer:?}, and by itself {:?}", brute.as_ref().map(|b| b.edge(true))),
    };
    let brute = brute.expect("it was matched above");
    tally.answers += 1;
    tally.states += brute.levels.len();
    assert!(states.exact, "{name} isn't exact");
    edges(name, &states, &brute, tally);
    switches(name, &states, &brute, tally);
    let switch_states = 1_u64 << (brute.switches.len() - mutes(name, &states, &brute, tally));
    assert_eq!(states.switch_states.to_string(), switch_states.to_string(), "{name}");
    let note = match switch_states {
        1 => "one footswitch state, covered exactly".to_owned(),
        many => format!("{many} footswitch states, every one covered exactly"),
    };
    assert_eq!(states.note(), note, "{name}");
    assert!(states.different <= states.switch_states, "{name}: {} of {switch_states}", states.different);
}

fn edges(name: &str, states: &States, brute: &Brute, tally: &mut Tally) {
    for (highest, ours) in [(false, states.lowest_db()), (true, states.highest_db())] {
        let name = format!("{name}, {} edge", if highest { "highest" } else { "lowest" });
        tally.all_near(&name, ours, &brute.edge(highest).expect("a state that sounds"));
        for (at, db) in ours.iter().enumerate() {
            let on = if highest { states.highest_state(at) } else { states.lowest_state(at) };
            let alone = brute.levels[brute.state(&on)].as_ref();
            let alone = alone.unwrap_or_else(|| panic!("{name}: the state named is silent: {on:?}"));
            tally.near(&format!("{name}, state named at point {at}, {on:?}"), *db, alone[at]);
        }
    }
}

fn switches(name: &str, states: &States, brute: &Brute, tally: &mut Tally) {
    for (at, jump) in states.jumps.iter().enumerate() {
        assert!(brute.switches.contains(&jump.device()), "{name}: {:?} has no switch", jump.device());
        let again = states.jumps[..at].iter().any(|other| other.switch == jump.switch);
        assert!(!again, "{name}: {:?} is listed twice", jump.device());
    }
    for &device in &brute.switches {
        let name = format!("{name}, switch of {device:?}");
        let differences = brute.differences(device);
        match states.jumps.iter().find(|jump| jump.device() == device) {
            Some(jump) => one_jump(&name, jump, &differences, brute, tally),
            // What isn't heard is not heard at all; what mutes leaves nothing to compare.
            None => {
                let heard = differences.iter().flatten().any(|db| *db != 0.0);
                assert!(!heard, "{name} has no jump and makes a difference");
                tally.unheard += 1;
            }
        }
    }
}

fn one_jump(name: &str, jump: &Jump, differences: &[Vec<f64>], brute: &Brute, tally: &mut Tally) {
    let own = brute.own_db(jump.device());
    for (highest, ours, end) in [(true, &jump.highest_db, &jump.rise), (false, &jump.lowest_db, &jump.fall)] {
        let name = format!("{name}, {}", if highest { "rise" } else { "fall" });
        let theirs = differences.iter().cloned().reduce(|a, b| extreme(&a, &b, highest));
        let theirs = theirs.unwrap_or_else(|| panic!("{name}: a jump where on and off never both sound"));
        let theirs: Vec<f64> = theirs.iter().map(|db| db - own).collect();
        tally.all_near(&name, ours, &theirs);
        let furthest = ours.iter().copied().reduce(|a, b| if highest { a.max(b) } else { a.min(b) });
        tally.near(&format!("{name}, extreme"), end.db, furthest.expect("a point"));
        tally.near(&format!("{name}, at its place"), end.db, ours[end.at]);
        reproduced(&name, jump.device(), end, own, brute, tally);
    }
    alone(name, jump, own, brute, tally);
    if brute.is_through(jump.device()) {
        tally.jumps.0 += 1;
    } else {
        tally.jumps.1 += 1;
    }
}

/// With the units on that are named and all others off, the switch does what is said.
fn reproduced(name: &str, device: DeviceId, end: &Extreme, own: f64, brute: &Brute, tally: &mut Tally) {
    assert!(!devices(&end.among).contains(&device), "{name}: a unit among itself");
    let others = brute.state(&end.among) & !brute.mask([device]);
    let difference = brute.difference(device, others);
    let difference = difference.unwrap_or_else(|| panic!("{name}: silent among {:?}", end.among));
    tally.near(&format!("{name}, among {:?}", end.among), end.db, difference[end.at] - own);
    let whole: Vec<f64> = difference.iter().map(|db| db - own).collect();
    tally.all_near(&format!("{name}, curve among {:?}", end.among), &end.curve_db, &whole);
}

/// With all others off the switch does what is said, or nothing is heard with it on or off.
fn alone(name: &str, jump: &Jump, own: f64, brute: &Brute, tally: &mut Tally) {
    match (&jump.alone_db, brute.difference(jump.device(), 0)) {
        (Some(ours), Some(theirs)) => {
            let theirs: Vec<f64> = theirs.iter().map(|db| db - own).collect();
            tally.all_near(&format!("{name}, alone"), ours, &theirs);
            tally.alone.0 += 1;
        }
        (None, None) => tally.alone.1 += 1,
        (ours, theirs) => panic!("{name}, alone: {ours:?} against {theirs:?}"),
    }
}

/// So many of the mutes have a switch; while one is on, nothing sounds.
fn mutes(name: &str, states: &States, brute: &Brute, tally: &mut Tally) -> usize {
    for device in devices(&states.mutes) {
        let bit = brute.mask([device]);
        let sounds = (0..brute.levels.len()).any(|mask| mask & bit != 0 && brute.levels[mask].is_some());
        assert!(!sounds, "{name}: {device:?} doesn't mute");
        assert!(states.jumps.iter().all(|jump| jump.device() != device), "{name}: {device:?} mutes and jumps");
    }
    tally.mutes += states.mutes.len();
    states.mutes.len()
}
