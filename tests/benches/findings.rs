//! How long findings take: `cargo bench -p rigwright-tests --bench findings`.
//!
//! The rigs are those of the `states` benchmark: a guitar, true-bypass units one
//! behind another and an amp. All states are known before, as they are in the
//! window; the findings include every fix, tried out.

use std::sync::Arc;

use divan::{Bencher, black_box};
use rigwright_core::cascade::LineCache;
use rigwright_core::file;
use rigwright_core::findings::{FindingsQuestion, findings};
use rigwright_core::network::Sweep;
use rigwright_core::power::volts_in_use;
use rigwright_core::response::{Request, respond};
use rigwright_core::rig::{DeviceId, Jack, JackRef, Kind, State, Variant, VariantId};
use rigwright_core::states::{self, States, Target, explore};
use rigwright_core::watch::Unwatched;

#[path = "../suite/rigs.rs"]
#[allow(dead_code, reason = "shared with the checks, which use more of it")]
mod rigs;

fn main() {
    divan::main();
}

/// A chain with a buffer in its middle, which is one more thing to try out.
fn board(units: usize) -> FindingsQuestion {
    let mut kinds = vec![("guitar", Kind::Guitar(rigs::SC.guitar()))];
    kinds.extend((0..units).map(|at| {
        if at == units / 2 { ("buffer", rigs::buffer(1e6, 100.0)) } else { ("unit", rigs::true_bypass(20e-12)) }
    }));
    kinds.push(("amp", rigs::amp(1e6, 100e-12)));
    chain(kinds)
}

/// All true bypass: the most states that a board of so many units can have.
fn true_bypass(units: usize) -> FindingsQuestion {
    let mut kinds = vec![("guitar", Kind::Guitar(rigs::SC.guitar()))];
    kinds.extend((0..units).map(|_| ("unit", rigs::true_bypass(20e-12))));
    kinds.push(("amp", rigs::amp(1e6, 100e-12)));
    chain(kinds)
}

fn chain(kinds: Vec<(&str, Kind)>) -> FindingsQuestion {
    let last = kinds.len() as u64;
    let mut metres: Vec<f64> = (1..last).map(|at| 0.15 + 0.01 * at as f64).collect();
    metres[0] = 5.0;
    let end = metres.len() - 1;
    metres[end] = 6.0;
    let rig = rigs::chain(kinds, &metres, &rigs::real_cable());
    let variant = Variant {
        id: VariantId(5000),
        name: "bench".into(),
        rig: Arc::new(rig),
        places: Default::default(),
        row_width: None,
        kept_orders: Default::default(),
        notes: Vec::new(),
    };
    FindingsQuestion {
        variant: Arc::new(variant),
        controls: State::default(),
        target: Target::Endpoint(JackRef::new(DeviceId(last), Jack::In)),
        limits: Default::default(),
        volts: Default::default(),
        unfed: Default::default(),
    }
}

/// The demo's first rig: sixteen devices, a fuzz among them.
fn demo() -> FindingsQuestion {
    let project = file::demo().expect("the demo opens");
    let variant = Arc::clone(&project.variants[0]);
    let mut cache = LineCache::new(Sweep::audio());
    let response = respond(&Request::of(&project, &variant), &mut cache);
    let target = Target::Endpoint(response.endpoints[0].jack);
    let (limits, volts) = (project.limits, volts_in_use(&variant.rig));
    FindingsQuestion { variant, controls: project.state, target, limits, volts, unfed: Default::default() }
}

fn all_states(question: &FindingsQuestion, cache: &mut LineCache) -> Option<States> {
    let question = states::Question {
        rig: Arc::clone(&question.variant.rig),
        controls: question.controls.clone(),
        target: question.target,
        unfed: Default::default(),
    };
    explore(&question, cache).ok()
}

fn bench(bencher: Bencher<'_, '_>, question: FindingsQuestion) {
    let mut cache = LineCache::new(Sweep::audio());
    let states = all_states(&question, &mut cache);
    bencher.bench_local(|| findings(black_box(&question), states.as_ref(), &mut cache, &Unwatched));
}

#[divan::bench]
fn of_the_demo(bencher: Bencher<'_, '_>) {
    bench(bencher, demo());
}

#[divan::bench(args = [8, 16, 32, 64])]
fn of_a_board_with_a_buffer(bencher: Bencher<'_, '_>, units: usize) {
    bench(bencher, board(units));
}

#[divan::bench(args = [8, 16, 32, 64])]
fn of_all_true_bypass(bencher: Bencher<'_, '_>, units: usize) {
    bench(bencher, true_bypass(units));
}
