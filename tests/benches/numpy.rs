//! The same envelope by this program and by numpy's brute force, timed in one
//! run on one machine: `cargo bench -p rigwright-tests --bench numpy`.
//!
//! Ours has the jumps of all units, with their curves, besides. Without python3
//! and numpy it says that it wasn't run.

use std::time::{Duration, Instant};

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::states::{Question, States, explore};
use serde_json::Value;

mod row;
mod script;

fn main() {
    println!("{:>5} {:>12} {:>12} {:>9} {:>14}", "units", "ours, ms", "numpy, ms", "ratio", "apart, dB");
    for (units, repeats) in [(8, 5), (12, 3), (16, 1)] {
        let question = row::question(units);
        let (states, ours) = timed(&question);
        match script::ask("brute_force.py", "numpy", &row::described(&question.rig, states.hz(), repeats)) {
            Ok(theirs) => tell(units, &states, ours, &theirs),
            Err(why) => {
                println!("not run: {why}");
                return;
            }
        }
    }
    println!("Shortest times. Numpy goes through all 2^n states for the envelope alone; ours tells the jumps besides.");
}

fn tell(units: usize, states: &States, ours: Duration, theirs: &Value) {
    let seconds = theirs["seconds"].as_f64().unwrap_or(f64::NAN);
    let curve =
        |key: &str| -> Vec<f64> { theirs[key].as_array().into_iter().flatten().filter_map(Value::as_f64).collect() };
    let apart = |ours: &[f64], theirs: Vec<f64>| {
        assert_eq!(ours.len(), theirs.len(), "as many frequencies");
        ours.iter().zip(theirs).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
    };
    let apart = apart(states.lowest_db(), curve("lowest_db")).max(apart(states.highest_db(), curve("highest_db")));
    assert!(apart < 1e-9, "the two envelopes are {apart} dB apart");
    let ms = ours.as_secs_f64() * 1e3;
    println!("{units:>5} {ms:>12.3} {:>12.1} {:>9.0} {apart:>14.1e}", seconds * 1e3, seconds * 1e3 / ms);
}

fn timed(question: &Question) -> (States, Duration) {
    let mut cache = LineCache::new(Sweep::audio());
    let mut shortest = Duration::MAX;
    let mut last = None;
    for _ in 0..60 {
        let start = Instant::now();
        let states = explore(question, &mut cache);
        shortest = shortest.min(start.elapsed());
        last = states.ok();
    }
    (last.expect("the row sounds"), shortest)
}
