//! The best over several instances, of which one is to be chosen.

use super::{Cost, Instance, Options, Placement, greedy, solve};
use crate::answer::{Answer, LeftOut};
use crate::watch::{Part, Stopped, Watch};

/// Instances of which one is to be chosen.
pub trait Alternatives {
    /// How many there are.
    fn count(&self) -> usize;

    /// One of them, and how many items of each kind it is to place.
    fn alternative(&self, at: usize) -> (&Instance, Vec<usize>);
}

/// An assignment, and in which of the alternatives.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen {
    /// Which alternative.
    pub alternative: usize,
    /// The assignment.
    pub placements: Vec<Placement>,
}

/// The best of all alternatives. Each has its part of the allowance first; what
/// is over then goes to those that it wasn't enough for. Where it isn't proved
/// in the end, a greedy assignment is the answer if that is better.
///
/// # Errors
/// [`Stopped`] where the watch says so.
pub fn solve_any(
    alternatives: &dyn Alternatives,
    options: Options<'_>,
    watch: &dyn Watch,
) -> Result<Answer<Chosen, Cost>, Stopped> {
    let mut answer =
        Answer { best: None, value: None, bound: options.below, proved: true, left_out: LeftOut::NOTHING, nodes: 0 };
    let mut below = options.below;
    let mut left: Vec<usize> = (0..alternatives.count()).collect();
    let mut bounds = vec![options.below; left.len()];
    for round in 0..2 {
        let (from, to) = if round == 0 { (0.0, 0.9) } else { (0.9, 1.0) };
        let (half, count) = (Part { whole: watch, from, to }, left.len());
        let mut again = Vec::new();
        for (at, index) in std::mem::take(&mut left).into_iter().enumerate() {
            let part = Part::of(&half, at, count);
            if !part.go_on(0.0) {
                return Err(Stopped);
            }
            let share = options.allowance.part(1.0 / (count - at) as f64);
            let (instance, counts) = alternatives.alternative(index);
            let found = solve(instance, &counts, Options { below, allowance: &share, ..options }, &part)?;
            answer.nodes += found.nodes;
            bounds[index] = found.bound;
            if !found.proved && share.is_spent() {
                again.push(index);
            } else {
                answer.left_out = answer.left_out.or(found.left_out);
            }
            if let (Some(cost), Some(placements)) = (found.value, found.best) {
                below = cost;
                (answer.value, answer.best) = (Some(cost), Some(Chosen { alternative: index, placements }));
                if options.first || cost <= options.least {
                    answer.bound = if options.first { options.least } else { cost };
                    return Ok(answer);
                }
            }
        }
        left = again;
        if left.is_empty() || options.allowance.is_spent() {
            break;
        }
    }
    answer.left_out.past_steps |= !left.is_empty();
    answer.proved = answer.left_out.is_nothing();
    answer.bound = bounds.into_iter().fold(below, Cost::min);
    if !answer.proved && !options.first {
        improve(&mut answer, alternatives, Options { below, ..options });
    }
    Ok(answer)
}

/// Where there weren't steps enough: a greedy assignment, where that is better.
fn improve(answer: &mut Answer<Chosen, Cost>, alternatives: &dyn Alternatives, options: Options<'_>) {
    let index = answer.best.as_ref().map_or(0, |chosen| chosen.alternative);
    if index >= alternatives.count() {
        return;
    }
    let (instance, counts) = alternatives.alternative(index);
    if let Some((cost, placements)) = greedy(instance, &counts, options) {
        (answer.value, answer.best) = (Some(cost), Some(Chosen { alternative: index, placements }));
    }
}
