//! The same envelope by this program and by numpy's brute force, timed in one
//! run on one machine: `cargo bench -p rigwright-tests --bench numpy`.
//!
//! Ours has the jumps of all units, with their curves, besides. Without python3
//! and numpy it says that it wasn't run.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use rigwright_core::cascade::Bank;
use rigwright_core::network::Sweep;
use rigwright_core::rig::Rig;
use rigwright_core::states::{Question, States, explore};
use serde_json::{Value, json};

mod row;

fn main() {
    println!("{:>5} {:>12} {:>12} {:>9} {:>14}", "units", "ours, ms", "numpy, ms", "ratio", "apart, dB");
    for (units, repeats) in [(8, 5), (12, 3), (16, 1)] {
        let question = row::question(units);
        let (states, ours) = timed(&question);
        match numpy(&question.rig, states.hz(), repeats) {
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
    let mut bank = Bank::new(Sweep::audio());
    let mut shortest = Duration::MAX;
    let mut last = None;
    for _ in 0..60 {
        let start = Instant::now();
        let states = explore(question, &mut bank);
        shortest = shortest.min(start.elapsed());
        last = states.ok();
    }
    (last.expect("the row sounds"), shortest)
}

/// What the script says, or why it can't be asked.
fn numpy(rig: &Rig, hz: &[f64], repeats: u32) -> Result<Value, String> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("references/brute_force.py");
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let mut child = Command::new(&python)
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|error| format!("{python} can't be started: {error}"))?;
    let told = row::described(rig, hz, repeats).to_string();
    if let Some(mut stdin) = child.stdin.take() {
        // A script that ended early says why on its error output.
        let _ = stdin.write_all(told.as_bytes());
    }
    let output = child.wait_with_output().map_err(|error| error.to_string())?;
    if !output.status.success() {
        let said = String::from_utf8_lossy(&output.stderr);
        let last = said.lines().last().unwrap_or("it said nothing").to_owned();
        return Err(format!("{python} with numpy is needed: {last}"));
    }
    serde_json::from_slice(&output.stdout).map_err(|error| json!(error.to_string()).to_string())
}
