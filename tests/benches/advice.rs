//! How long a search for something better takes: `cargo bench -p rigwright-tests --bench advice`.
//!
//! A rig is a guitar, units one behind another and an amp, with real leads of
//! different lengths between; 256 points.

use std::sync::Arc;

use divan::{Bencher, black_box};
use rigwright_core::cascade::Bank;
use rigwright_core::network::Sweep;
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{DeviceId, Edit, Jack, JackRef, Kind, Lead, LeadId, Project, Rig, State, Variant, VariantId, apply};
use rigwright_core::states::{Cut, Question, Target, cuts};
use rigwright_core::watch::Unwatched;

#[path = "../suite/rigs.rs"]
#[allow(dead_code, reason = "shared with the checks, which use more of it")]
mod rigs;

fn main() {
    divan::main();
}

const VARIANT: VariantId = VariantId(5000);

fn rig(units: usize) -> Rig {
    let mut kinds = vec![("guitar", Kind::Guitar(rigs::SC.guitar()))];
    kinds.extend((0..units).map(|_| ("unit", rigs::true_bypass(20e-12))));
    kinds.push(("amp", rigs::amp(1e6, 100e-12)));
    let mut metres: Vec<f64> = (0..=units).map(|at| 0.15 + 0.01 * at as f64).collect();
    metres[0] = 5.0;
    metres[units] = 6.0;
    rigs::chain(kinds, &metres, &rigs::real_cable())
}

fn project(rig: Rig) -> Project {
    let variant = Variant {
        id: VARIANT,
        name: "bench".into(),
        rig: Arc::new(rig),
        places: Default::default(),
        kept_orders: Default::default(),
    };
    Project {
        title: String::new(),
        notes: String::new(),
        currency: String::new(),
        variants: vec![Arc::new(variant)],
        sounds: Vec::new(),
        state: State::default(),
        test_point: None,
        limits: Default::default(),
        next_id: 5001,
    }
}

/// All places of one buffer and all pairs of them, by their worst jump alone.
#[divan::bench(args = [8, 16, 32, 64])]
fn cuts_of_all_pairs(bencher: Bencher<'_, '_>, units: usize) {
    let rig = rig(units);
    let target = Target::Endpoint(JackRef::new(DeviceId(units as u64 + 2), Jack::In));
    let question = Question { rig: Arc::new(rig.clone()), controls: State::default(), target };
    let project = project(rig.clone());
    let buffer = catalogue().part("buffer").expect("a buffer");
    let patch = catalogue().cable("patch-lead").expect("a patch lead");
    let mut bank = Bank::new(Sweep::audio());
    bencher.bench_local(|| {
        let rigs: Vec<Cut> = rig
            .leads
            .iter()
            .map(|lead| {
                let free = JackRef::new(DeviceId(6000), Jack::In);
                let patch = Lead {
                    id: LeadId(6001),
                    from: free,
                    to: free,
                    length: patch.default_length,
                    cable: patch.cable.clone(),
                };
                let edit = Edit::Insert {
                    variant: VARIANT,
                    lead: lead.id,
                    device: Box::new(buffer.device(DeviceId(6000))),
                    patch: Box::new(patch),
                };
                let edited = apply(&project, &edit).expect("the lead is there");
                Cut { device: DeviceId(6000), rig: Arc::clone(&edited.variants[0].rig) }
            })
            .collect();
        let found = cuts(black_box(&question), &rigs, &mut bank, &Unwatched).ok().expect("an answer");
        let places = found.places();
        let mut least = f64::INFINITY;
        for (at, a) in places.iter().enumerate() {
            for b in &places[at + 1..] {
                least = least.min(found.worst(&[*a, *b]).map_or(0.0, |worst| worst.db));
            }
        }
        least
    });
}
