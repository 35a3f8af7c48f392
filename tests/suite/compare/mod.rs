//! Rigs side by side: against the laws of the circuit, against worked values,
//! against an independent solve and against every state by itself.

mod independent;
mod known;
mod law;
mod money;

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::compare::{Against, Comparison, compare};
use rigwright_core::file;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{Project, Rig, State, Variant, VariantId};

/// A project of these rigs, named "first", "second" and so on; variants 901, 902, ….
fn project(rigs: Vec<Rig>) -> Project {
    let mut project = file::blank().unwrap();
    let names = ["first", "second", "third", "fourth", "fifth"];
    let variant = |(at, rig): (usize, Rig)| Arc::new(Variant::of(VariantId(901 + at as u64), names[at], rig));
    project.variants = rigs.into_iter().enumerate().map(variant).collect();
    project.state = State::default();
    project.test_point = None;
    project
}

const FIRST: Against = Against::Variant(VariantId(901));

fn compared<'a>(project: &'a Project, state: &State, against: Against) -> Comparison<'a> {
    compare(project, state, against, &mut LineCache::new(Sweep::audio())).expect("there is a base")
}

/// How much higher a variant is than the base, in dB.
fn difference_at(comparison: &Comparison<'_>, variant: usize, hz: f64) -> Option<f64> {
    let (own, base) = (comparison.variants[variant].answer.as_ref()?, comparison.base.as_ref()?);
    rigwright_core::compare::difference(own.level_at(hz), base.level_at(hz))
}
