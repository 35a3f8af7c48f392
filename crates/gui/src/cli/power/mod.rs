//! What is said of a rig's power: gathered, as text and as JSON.

mod json;
mod text;

use std::sync::Arc;

use rigwright_core::diagnosis::Severity;
use rigwright_core::ground::{self, GroundLoop, ground_loops};
use rigwright_core::hum::{self, Hum, hum};
use rigwright_core::power::{
    Allocation, AllocationQuestion, Check, Headroom, PowerTold, Rules, TooLarge, allocate, check_at, diagnose,
    too_large, words,
};
use rigwright_core::rig::{MainsSupply, Project, Rig, Variant};
use rigwright_core::watch::{Unwatched, Watch};

use super::{Aside, open, refuse, stopped};

pub use json::{Hummed, Loop, Power};
pub use text::{lines, loop_lines};

/// What `rigwright power` was asked for.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PowerArguments {
    /// The file.
    pub file: std::path::PathBuf,
    /// For programs and not for people.
    pub json: bool,
    /// The best allocation, too.
    pub allocate: bool,
}

/// What is known of one variant's power.
#[derive(Debug)]
pub struct PowerReport<'a> {
    /// The rig.
    pub rig: &'a Rig,
    /// The mains that it is played on.
    pub mains: MainsSupply,
    /// Every figure.
    pub check: Check,
    /// The problems, the loudest first, with what remedies each.
    pub told: PowerTold,
    /// The ground loops, the likeliest first.
    pub loops: Vec<GroundLoop>,
    /// How much of what is rated may be used.
    pub headroom: Headroom,
    /// How many there are; of a great many not all are listed.
    pub loop_count: usize,
    /// What to ask first, and the loops told with what breaks them.
    pub hum: Hum,
    /// The best allocation, if it was looked for.
    pub allocation: Option<(Allocation, Vec<String>)>,
    /// Why it wasn't looked for, though it was asked for.
    pub too_large: Option<TooLarge>,
}

/// Up to so many devices the best allocation is a part of every report; past it, it may take its time.
const AT_ONCE: usize = 24;

/// Gathers a variant's power.
pub fn gather<'a>(project: &Project, variant: &'a Arc<Variant>, wanted: bool) -> PowerReport<'a> {
    let rig: &Rig = &variant.rig;
    let headroom = Headroom::of(&project.limits);
    let check = check_at(rig, &headroom, &project.mains);
    // Nobody is there to stop it.
    let told = diagnose(variant, &headroom, &check, &Unwatched).unwrap_or_default();
    let small = rig.devices.len() <= AT_ONCE && rig.supplies().next().is_some();
    let too_large = too_large(rig).filter(|_| wanted);
    let allocation = ((wanted || small) && too_large.is_none()).then(|| best(project, variant)).flatten();
    let (loops, loop_count) = (ground_loops(rig), ground::count(rig));
    let hum = hum(&hum::HumQuestion { variant, loops: &loops, check: &check, headroom: &headroom });
    PowerReport {
        rig,
        mains: project.mains.clone(),
        told,
        loops,
        hum,
        loop_count,
        headroom,
        allocation,
        too_large,
        check,
    }
}

fn best(project: &Project, variant: &Arc<Variant>) -> Option<(Allocation, Vec<String>)> {
    let rules = Rules { headroom: Headroom::of(&project.limits), ..Rules::default() };
    let question = AllocationQuestion { rig: Arc::clone(&variant.rig), rules };
    // Nobody is there to stop it.
    let found = allocate(&question, &Unwatched).ok()?;
    let edit = found.edit(&variant.rig, variant.id);
    let after = rigwright_core::rig::apply(project, &edit).ok()?;
    let after = &after.variant(variant.id)?.rig;
    let changes = words::changes(&variant.rig, after, &edit);
    Some((found, changes))
}

/// The sentences of what there is to act on, for `check`.
pub fn to_act_on(project: &Project, variant: &Variant) -> Vec<String> {
    let found = check_at(&variant.rig, &Headroom::of(&project.limits), &project.mains);
    let loud = found.problems.iter().filter(|problem| problem.severity != Severity::Know);
    loud.map(|problem| problem.told(&variant.rig).text).collect()
}

/// What `rigwright power` prints, and the code to end with.
pub fn run(asked: &PowerArguments, watch: &dyn Watch) -> Result<(String, i32), Aside> {
    let project = open::project(&asked.file)?;
    let mut reports: Vec<(&str, PowerReport<'_>)> = Vec::new();
    for variant in &project.variants {
        if !watch.go_on(reports.len() as f64 / project.variants.len() as f64) {
            return stopped();
        }
        reports.push((variant.name.as_str(), gather(&project, variant, asked.allocate)));
    }
    let text = if asked.json {
        json::render(&project.title, &reports)
            .or_else(|error| refuse(format!("The report can't be written as JSON: {error}.")))?
    } else {
        text::render(&project.title, &reports)
    };
    Ok((text, super::FINE))
}
