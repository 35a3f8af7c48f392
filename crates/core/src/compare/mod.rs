//! Whole rigs side by side: what each amounts to at the target, what its worst
//! switch does, what it costs more than a base, and by how much their curves differ.

mod cost;
mod jump;
mod straight;

use std::sync::Arc;

use crate::cascade::LineCache;
use crate::response::{Minus3, NoEquivalent, NoMinus3, NoPeak, Peak, PointAnswer, Request, Response, respond};
use crate::rig::{Feeding, JackRef, Project, Rig, State, TestPoint, Variant, VariantId};
use crate::states::{MOST_STEPS, Question, Target};
use crate::units::Level;
use crate::watch::{Part, Stopped, Unwatched, Watch};

pub use cost::{Cost, Sum, cost, money};
pub use jump::{
    Heard, JUMPS_COUNTED, JumpQuestion, MOST_PEAKS, WorstJump, heard, peaks_within, worst_jump, worst_jump_within,
};
pub use straight::straight;

/// What the others are compared with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Against {
    /// A variant.
    Variant(VariantId),
    /// The guitar straight into the amp, with its own lead.
    Straight,
}

/// The figures of a curve, each with its reason where there is none.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// The peak.
    pub peak: Result<Peak, NoPeak>,
    /// The −3 dB point.
    pub minus3: Result<Minus3, NoMinus3>,
    /// Metres of the guitar's own lead that would sound like it.
    pub lead_equivalent: Result<f64, NoEquivalent>,
}

impl Figures {
    /// The figures of an answer.
    #[must_use]
    pub fn of(answer: &PointAnswer) -> Self {
        let PointAnswer { peak, minus3, lead_equivalent, .. } = answer;
        Self { peak: *peak, minus3: *minus3, lead_equivalent: lead_equivalent.clone() }
    }
}

/// One line of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparisonRow {
    /// The variant.
    pub variant: VariantId,
    /// Its figures at the target as everything stands; none where no signal gets there.
    pub figures: Option<Figures>,
    /// What its worst switch does, of what a player minds; none where no switch is heard, or nothing is.
    pub worst_jump: Option<WorstJump>,
    /// What it costs more than the base.
    pub cost: Cost,
}

impl ComparisonRow {
    /// The line of a variant, from its answers at the target, where there are any.
    #[must_use]
    pub fn of(variant: &Variant, base: &Rig, answer: Option<&PointAnswer>, worst_jump: Option<WorstJump>) -> Self {
        Self { variant: variant.id, figures: answer.map(Figures::of), worst_jump, cost: cost(&variant.rig, base) }
    }
}

/// How much higher one level is than another, in dB; silence has no difference to anything.
#[must_use]
pub fn difference(a: Level, b: Level) -> Option<f64> {
    Some(a.decibels()? - b.decibels()?)
}

/// The same for levels on one sweep, frequency by frequency.
#[must_use]
pub fn difference_db(a: &[Level], b: &[Level]) -> Vec<Option<f64>> {
    a.iter().zip(b).map(|(a, b)| difference(*a, *b)).collect()
}

/// One variant with its answers.
#[derive(Debug)]
pub struct Compared<'a> {
    /// The variant.
    pub variant: &'a Arc<Variant>,
    /// Its line of the table.
    pub row: ComparisonRow,
    /// Where its level is taken; none where no signal gets to an endpoint.
    pub target: Option<Target>,
    /// What arrives there.
    pub answer: Option<PointAnswer>,
}

/// All variants of a project side by side.
#[derive(Debug)]
pub struct Comparison<'a> {
    /// What they are compared with.
    pub against: Against,
    /// What arrives there: at the target, or at the endpoint of the straight lead.
    pub base: Option<PointAnswer>,
    /// The variants, in the project's order.
    pub variants: Vec<Compared<'a>>,
}

/// What the guitar straight into the amp is called.
pub const STRAIGHT: &str = "the guitar straight into the amp";

/// What a list of places is about where each rig's level is taken.
pub const LEVEL_TAKEN: &str = "where the level is taken";

/// The way that it wants: from such an instrument to such an end.
pub const STRAIGHT_WAY: &str = "from an instrument with a lead to an amp, a DI box or an interface";

/// Why nothing can be compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoComparison {
    /// The project has no such variant.
    NoSuchVariant,
    /// In no variant does a signal come from an instrument with a lead to an endpoint.
    NothingStraight,
    /// It was told to stop.
    Stopped,
}

fn go_on(watch: &dyn Watch, done: f64) -> Result<(), NoComparison> {
    if watch.go_on(done) { Ok(()) } else { Err(NoComparison::Stopped) }
}

/// Where levels are taken: the project's test point, or else the first endpoint.
/// A rig without the test point's lead has no answer then: its level somewhere
/// else would be no comparison.
#[must_use]
pub fn at_target(response: &Response, test_point: Option<TestPoint>) -> Option<&PointAnswer> {
    match test_point {
        Some(_) => response.test_point.as_ref(),
        None => response.endpoints.first().map(|endpoint| &endpoint.at),
    }
}

/// The guitar straight into the amp: that of the first variant in which a signal
/// comes from an instrument to the endpoint that `endpoint` names for it.
#[must_use]
pub fn first_straight(project: &Project, endpoint: impl Fn(&Variant) -> Option<JackRef>) -> Option<(VariantId, Rig)> {
    project.variants.iter().find_map(|variant| Some((variant.id, straight(&variant.rig, endpoint(variant)?)?)))
}

/// Compares all variants of a project in a state.
pub fn compare<'a>(
    project: &'a Project,
    state: &State,
    against: Against,
    cache: &mut LineCache,
) -> Result<Comparison<'a>, NoComparison> {
    compare_watched(project, state, against, cache, &Unwatched)
}

/// The same, for as long as `watch` lets it go on.
pub fn compare_watched<'a>(
    project: &'a Project,
    state: &State,
    against: Against,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Comparison<'a>, NoComparison> {
    compare_fed(project, &|_| state, against, Feeding::AllFed, cache, watch)
}

/// The same, each variant in its own state, units without power as if they were
/// fed or as they are.
pub fn compare_fed<'a, 's>(
    project: &'a Project,
    state: &dyn Fn(VariantId) -> &'s State,
    against: Against,
    feeding: Feeding,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Comparison<'a>, NoComparison> {
    // As many steps together as one takes at most by itself.
    let share = MOST_STEPS / project.variants.len().max(1) as u64;
    let request = |variant: &Variant| Request {
        state: state(variant.id).clone(),
        unfed: feeding.unfed(&variant.rig),
        ..Request::of(project, variant)
    };
    let parts = 2.0 * project.variants.len().max(1) as f64;
    let mut responses: Vec<Response> = Vec::with_capacity(project.variants.len());
    for variant in &project.variants {
        go_on(watch, responses.len() as f64 / parts)?;
        responses.push(respond(&request(variant), cache));
    }
    let first_of = |response: &Response| response.endpoints.first().map(|endpoint| endpoint.jack);
    let first_endpoint = |variant: &Variant| {
        let at = project.variants.iter().position(|other| other.id == variant.id)?;
        first_of(&responses[at])
    };
    let (rig, base) = match against {
        Against::Variant(id) => {
            let at = project.variants.iter().position(|variant| variant.id == id);
            let at = at.ok_or(NoComparison::NoSuchVariant)?;
            (Arc::clone(&project.variants[at].rig), at_target(&responses[at], project.test_point).cloned())
        }
        Against::Straight => {
            let found = first_straight(project, first_endpoint).ok_or(NoComparison::NothingStraight)?;
            let (rig, state) = (Arc::new(found.1), state(found.0).clone());
            let request = Request { rig: Arc::clone(&rig), state, test_point: None, unfed: Default::default() };
            let answer = respond(&request, cache).endpoints.into_iter().next().map(|endpoint| endpoint.at);
            (rig, answer)
        }
    };
    let mut variants = Vec::new();
    for (at, (variant, response)) in project.variants.iter().zip(&responses).enumerate() {
        let part = |at: usize| 0.5 + at as f64 / parts;
        go_on(watch, part(at))?;
        let answer = at_target(response, project.test_point).cloned();
        let target = match project.test_point {
            Some(point) => Some(Target::Point(point)),
            None => first_of(response).map(Target::Endpoint),
        };
        let worst = match target {
            Some(target) => {
                let states = Question {
                    rig: Arc::clone(&variant.rig),
                    controls: state(variant.id).clone(),
                    target,
                    unfed: feeding.unfed(&variant.rig),
                };
                let question = JumpQuestion { states, limits: project.limits };
                let watch = Part { whole: watch, from: part(at), to: part(at + 1) };
                worst_jump_within(share, &question, cache, &watch).map_err(|Stopped| NoComparison::Stopped)?
            }
            None => None,
        };
        let row = ComparisonRow::of(variant, &rig, answer.as_ref(), worst);
        variants.push(Compared { variant, row, target, answer });
    }
    Ok(Comparison { against, base, variants })
}

#[cfg(test)]
mod tests;
