//! How long all states take: `cargo bench -p rigwright-tests --bench states`.
//!
//! A rig is a guitar, true-bypass units one behind another and an amp, with real
//! leads of different lengths between; 256 points; the cache holds the leads'
//! two-ports, as it does while a player edits. The answer has the envelope with
//! its states, and the jumps of all units in every context, each with its whole
//! curve alone and at its largest rise and fall.
//!
//! Below the times stands the arithmetic's own limit: what was counted, and how
//! long the same number of products, comparisons and logarithms takes by itself.

use std::time::{Duration, Instant};

use divan::{Bencher, black_box};
use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::states::{explore, work};

mod bare;
mod row;

const SIZES: [usize; 4] = [8, 16, 32, 64];

fn main() {
    divan::main();
    limit();
}

/// Plan, stretches, envelope and all jumps.
#[divan::bench(args = SIZES)]
fn states_kept(bencher: Bencher<'_, '_>, units: usize) {
    let question = row::question(units);
    let mut cache = LineCache::new(Sweep::audio());
    let _ = explore(&question, &mut cache);
    bencher.bench_local(|| explore(black_box(&question), &mut cache));
}

/// Loops of so many units: 8 of 3 are 24 units and 4033 rows, 12 of 2 are past the cap.
#[divan::bench(args = [(4, 2), (8, 3), (12, 2)])]
fn loops_kept(bencher: Bencher<'_, '_>, (loops, units): (u8, usize)) {
    let question = row::looped(loops, units);
    let mut cache = LineCache::new(Sweep::audio());
    let _ = explore(&question, &mut cache);
    bencher.bench_local(|| explore(black_box(&question), &mut cache));
}

/// Two amps, stereo from the middle: what every state does at the left one.
#[divan::bench(args = [20, 40])]
fn two_amps_kept(bencher: Bencher<'_, '_>, units: usize) {
    let question = row::two_amps(units);
    let mut cache = LineCache::new(Sweep::audio());
    let states = explore(&question, &mut cache).expect("the guitar is heard");
    assert!(states.exact && states.switches.len() == units, "{}", states.note());
    bencher.bench_local(|| explore(black_box(&question), &mut cache));
}

/// The estimate alone, by which a window decides where the answer is worked out.
#[divan::bench(args = SIZES)]
fn work_alone(bencher: Bencher<'_, '_>, units: usize) {
    let question = row::question(units);
    bencher.bench_local(|| work(black_box(&question)));
}

/// The shortest of some times: what else the machine does can only add to it.
fn shortest(mut once: impl FnMut()) -> Duration {
    let time = |_| {
        let start = Instant::now();
        once();
        start.elapsed()
    };
    (0..60).map(time).min().unwrap_or_default()
}

fn limit() {
    println!("\nThe arithmetic's own limit: shortest of 60 times, in ms");
    println!(
        "{:>5} {:>9} {:>10} {:>10} {:>10} {:>10} {:>8} {:>8} {:>8} {:>6}",
        "units", "ours", "stretches", "contexts", "logarithms", "estimate", "bare", "of these", "of logs", "ratio"
    );
    for units in SIZES {
        let question = row::question(units);
        let mut cache = LineCache::new(Sweep::audio());
        let Ok(states) = explore(&question, &mut cache) else { continue };
        let counted = states.counted();
        let mut bare = bare::Bare::new();
        let ours = shortest(|| drop(black_box(explore(&question, &mut cache))));
        let all = shortest(|| bare.all(counted));
        let contexts = shortest(|| bare.contexts(counted.context_steps));
        let logarithms = shortest(|| bare.logarithms(counted.logarithms));
        let ms = |time: Duration| time.as_secs_f64() * 1e3;
        println!(
            "{units:>5} {:>9.3} {:>10} {:>10} {:>10} {:>10} {:>8.3} {:>8.3} {:>8.3} {:>6.2}",
            ms(ours),
            counted.stretch_steps,
            counted.context_steps,
            counted.logarithms,
            work(&question),
            ms(all),
            ms(contexts),
            ms(logarithms),
            ms(ours) / ms(all),
        );
    }
    println!("Stretches, contexts and logarithms are counted once for each of 256 frequencies.");
    println!("Bare: as many rows carried, products compared and logarithms, over arrays in the first cache;");
    println!("\"of these\" is what its contexts take, \"of logs\" its logarithms. The ratio is ours over bare.");
}
