//! How long an answer takes: `cargo bench -p rigwright-tests`.
//!
//! A rig is a guitar, true-bypass units one behind another and an amp, with real
//! leads of different lengths between. All units are off: one run, the longest
//! that such a rig can have. "Kept" means that the cache holds the leads'
//! two-ports from the answer before, as it does while a player edits.

use std::sync::Arc;

use divan::{Bencher, black_box};
use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::plan::plan;
use rigwright_core::response::{Request, respond};
use rigwright_core::rig::{Edit, Lead, Project, Variant, VariantId, apply};
use rigwright_core::units::Metres;

#[path = "../suite/rigs.rs"]
#[allow(dead_code, reason = "shared with the checks, which use more of it")]
mod rigs;

const SIZES: [usize; 2] = [16, 64];

fn main() {
    divan::main();
}

fn project(devices: usize) -> Project {
    let mut kinds = vec![("guitar", rigwright_core::rig::Kind::Guitar(rigs::SC.guitar()))];
    kinds.extend((0..devices - 2).map(|_| ("unit", rigs::true_bypass(20e-12))));
    kinds.push(("amp", rigs::amp(1e6, 100e-12)));
    let mut metres: Vec<f64> = (0..devices - 1).map(|at| 0.15 + 0.01 * at as f64).collect();
    metres[0] = 5.0;
    metres[devices - 2] = 6.0;
    let rig = rigs::chain(kinds, &metres, &rigs::real_cable());
    let id = VariantId(5000);
    Project::around(Arc::new(Variant::of(id, "bench", rig)), 5001)
}

fn request(project: &Project) -> Request {
    Request::of(project, &project.variants[0])
}

/// The project with the lead in its middle a little longer each time.
fn stretched(project: &Project, step: &mut u32) -> Project {
    *step += 1;
    let leads = &project.variants[0].rig.leads;
    let lead =
        Lead { length: Metres::clamped(0.2 + 1e-4 * f64::from(*step % 10_000)), ..leads[leads.len() / 2].clone() };
    let edit = Edit::SetLead { variant: project.variants[0].id, lead: Box::new(lead) };
    apply(project, &edit).expect("the lead is there")
}

/// Plan, curve and figures; nothing changed since the last time.
#[divan::bench(args = SIZES)]
fn answer_kept(bencher: Bencher<'_, '_>, devices: usize) {
    let request = request(&project(devices));
    let mut cache = LineCache::new(Sweep::audio());
    let _ = respond(&request, &mut cache);
    bencher.bench_local(|| respond(black_box(&request), &mut cache));
}

/// The same with an empty cache each time.
#[divan::bench(args = SIZES)]
fn answer_cold(bencher: Bencher<'_, '_>, devices: usize) {
    let request = request(&project(devices));
    bencher.bench_local(|| respond(black_box(&request), &mut LineCache::new(Sweep::audio())));
}

/// The plan alone.
#[divan::bench(args = SIZES)]
fn plan_alone(bencher: Bencher<'_, '_>, devices: usize) {
    let project = project(devices);
    bencher.bench_local(|| plan(black_box(&project.variants[0].rig), &project.state));
}

/// The edit alone: one lead's length.
#[divan::bench(args = SIZES)]
fn edit_alone(bencher: Bencher<'_, '_>, devices: usize) {
    let project = project(devices);
    let mut step = 0;
    bencher.bench_local(|| stretched(black_box(&project), &mut step));
}

/// A lead is dragged longer: edit, plan and answer, the other leads kept.
#[divan::bench(args = SIZES)]
fn edit_and_answer_kept(bencher: Bencher<'_, '_>, devices: usize) {
    let project = project(devices);
    let mut cache = LineCache::new(Sweep::audio());
    let mut step = 0;
    let _ = respond(&request(&project), &mut cache);
    bencher.bench_local(|| {
        let next = stretched(black_box(&project), &mut step);
        respond(&request(&next), &mut cache)
    });
}

/// The same with an empty cache each time.
#[divan::bench(args = SIZES)]
fn edit_and_answer_cold(bencher: Bencher<'_, '_>, devices: usize) {
    let project = project(devices);
    let mut step = 0;
    bencher.bench_local(|| {
        let next = stretched(black_box(&project), &mut step);
        respond(&request(&next), &mut LineCache::new(Sweep::audio()))
    });
}
