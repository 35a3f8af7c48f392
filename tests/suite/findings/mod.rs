//! Findings against worked values, brute force and their own fixes.

mod costs;
mod dull;
mod fuzz;
mod handling;
mod hot;
mod jump;
mod limits;
mod loading;
mod long_lead;
mod random;
mod sends;
mod silent;
mod stereo;
mod treadle;
mod useless;
mod wah;
mod wider;

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::diagnosis::{Diagnosis, Remedy, Rule};
use rigwright_core::findings::{FindingsQuestion, findings};
use rigwright_core::network::Sweep;
use rigwright_core::power::volts_in_use;
use rigwright_core::response::{Request, respond};
use rigwright_core::rig::{
    Bypass, Device, DeviceId, Edit, Kind, Pedal, Project, Rig, Variant, VariantId, apply, problems,
};
use rigwright_core::states::{self, States, Target, explore};
use rigwright_core::units::Farads;
use rigwright_core::watch::Unwatched;

use crate::rigs::stage;

const VARIANT: VariantId = VariantId(900_000);

/// A project around a rig, everything off and full up.
pub fn project(rig: Rig) -> Project {
    Project::around(Arc::new(Variant::of(VARIANT, "only", rig)), 900_001)
}

/// Where the findings of a project are asked for: the test point, or the first endpoint.
fn target(project: &Project) -> Option<Target> {
    let variant = &project.variants[0];
    if let Some(point) = project.test_point {
        return Some(Target::Point(point));
    }
    let response = respond(&Request::of(project, variant), &mut LineCache::new(Sweep::audio()));
    response.endpoints.first().map(|endpoint| Target::Endpoint(endpoint.jack))
}

fn all_states(project: &Project, target: Target, cache: &mut LineCache) -> Option<States> {
    let rig = Arc::clone(&project.variants[0].rig);
    explore(&states::Question { rig, controls: project.state.clone(), target, unfed: Default::default() }, cache).ok()
}

fn question(project: &Project, target: Target) -> FindingsQuestion {
    FindingsQuestion {
        variant: Arc::clone(&project.variants[0]),
        controls: project.state.clone(),
        target,
        limits: project.limits,
        volts: volts_in_use(&project.variants[0].rig),
        unfed: Default::default(),
    }
}

/// All findings of a project.
fn found(project: &Project) -> Vec<Diagnosis> {
    let Some(target) = target(project) else { return Vec::new() };
    let mut cache = LineCache::new(Sweep::audio());
    let states = all_states(project, target, &mut cache);
    findings(&question(project, target), states.as_ref(), &mut cache, &Unwatched).expect("nobody stops it")
}

fn of(project: &Project, rule: Rule) -> Vec<Diagnosis> {
    found(project).into_iter().filter(|finding| finding.rule == rule).collect()
}

/// The only finding of a rule.
#[track_caller]
fn only(project: &Project, rule: Rule) -> Diagnosis {
    let mut all = of(project, rule);
    assert_eq!(all.len(), 1, "{all:#?}");
    all.remove(0)
}

/// The project after a finding's fix of that beginning.
#[track_caller]
fn mended(project: &Project, finding: &Diagnosis, words: &str) -> Project {
    let fix = finding.remedies.iter().find(|fix| fix.words.starts_with(words));
    let fix = fix.unwrap_or_else(|| panic!("no fix “{words}…” in {:#?}", finding.remedies));
    remedied(project, fix)
}

/// The project after a remedy, which is one that the drawing can have.
#[track_caller]
fn remedied(project: &Project, remedy: &Remedy) -> Project {
    edited(project, remedy.edit.as_ref().expect("the drawing can have it"))
}

#[track_caller]
fn edited(project: &Project, edit: &Edit) -> Project {
    let after = apply(project, edit).expect("a fix can be done");
    assert!(problems(&after.variants[0].rig).len() <= problems(&project.variants[0].rig).len());
    after
}

fn device(project: &Project, id: u64) -> &Device {
    project.variants[0].rig.device(DeviceId(id)).expect("it is there")
}

/// A unit of some bypass, its input off and its input and output on in Ω; no capacitance of its own.
fn unit(bypass: Bypass, off: f64, on: f64, output: f64) -> Kind {
    Kind::Pedal(Pedal::of(bypass, stage(on, output), stage(off, 1e3), Farads::of(0.0)))
}

/// The number before a unit in a sentence: 6.4 in "takes 6.4 dB off".
#[track_caller]
fn number(text: &str, unit: &str) -> f64 {
    let found = numbers(text, unit);
    *found.first().unwrap_or_else(|| panic!("no number with {unit} in “{text}”"))
}

fn numbers(text: &str, unit: &str) -> Vec<f64> {
    let words: Vec<&str> = text.split([' ', '(']).collect();
    let is_unit = |word: &str| word.trim_end_matches(['.', ',', ':', ')']) == unit;
    let pairs = words.windows(2).filter(|pair| is_unit(pair[1]));
    pairs.filter_map(|pair| pair[0].replace('−', "-").trim_start_matches('+').parse().ok()).collect()
}

/// A frequency in a sentence, in Hz.
fn hertz_in(text: &str) -> Option<f64> {
    let kilo = numbers(text, "kHz").first().map(|khz| khz * 1e3);
    kilo.or_else(|| numbers(text, "Hz").first().copied())
}
