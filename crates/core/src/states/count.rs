//! How many states there are, and how many are kept.

use std::fmt;

use num_bigint::BigUint;

use super::choice::Choice;
use super::path::{Path, Rest};
use crate::plan::{Plan, Through, Wire};

/// A number of states: it outgrows every machine number.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Count(BigUint);

impl Count {
    /// 2ⁿ.
    #[must_use]
    pub fn power_of_two(n: usize) -> Self {
        Self(BigUint::from(1_u8) << n)
    }

    /// Its logarithm to base 2.
    #[must_use]
    pub fn log2(&self) -> f64 {
        let bits = self.0.bits();
        if bits == 0 {
            return f64::NEG_INFINITY;
        }
        // The top 64 bits hold all that a double can.
        let shift = bits.saturating_sub(64);
        let top = (&self.0 >> shift).iter_u64_digits().next().unwrap_or(0);
        (top as f64).log2() + shift as f64
    }
}

impl fmt::Display for Count {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// The ways from the start to the spot, side runs' choices multiplied in,
/// whether or not all of them are looked at.
pub fn different(plan: &Plan, path: &Path) -> Count {
    // So many settings of what lies before the signal's way in the next stretch.
    let mut ways = BigUint::from(1_u8);
    for stop in &path.stops {
        let isolated = &ways * stop.modes.len();
        let passed = stop.pass.as_ref().map_or(BigUint::ZERO, |_| ways * runs(plan, &stop.legs));
        ways = isolated + passed;
    }
    Count(match &path.rest {
        Rest::Wire(wire) => ways * runs(plan, [wire]),
        Rest::Station(at) => ways * station(plan, *at),
    })
}

/// How many things these side runs can be.
fn runs<'a>(plan: &Plan, wires: impl IntoIterator<Item = &'a Wire>) -> BigUint {
    wires.into_iter().filter_map(|wire| wire.to).map(|at| station(plan, at)).product()
}

fn station(plan: &Plan, at: usize) -> BigUint {
    let here = &plan.stations[at];
    let choices = here.alternatives.iter().map(|alternative| match alternative.through {
        Through::Isolate { .. } | Through::End { .. } => BigUint::from(1_u8),
        Through::Pass { .. } => runs(plan, here.outs.iter().filter_map(|(_, wire)| wire.as_ref())),
    });
    choices.sum()
}

/// Cuts the choices of side runs until all stretches fit; whether any was cut.
pub fn cut_to_fit(path: &Path, legs: &mut [(usize, Vec<Choice>)], rest: &mut Vec<Choice>) -> bool {
    let mut cut = false;
    while stretches(path, legs, rest.len()) > super::MOST_STRETCHES {
        let widest =
            legs.iter_mut().map(|(_, choices)| choices).chain([&mut *rest]).max_by_key(|choices| choices.len());
        match widest {
            Some(choices) if choices.len() > 1 => {
                let half = choices.len().div_ceil(2);
                choices.truncate(half);
                cut = true;
            }
            _ => break,
        }
    }
    cut
}

/// How many stretches a path has, combinations of side runs counted.
fn stretches(path: &Path, legs: &[(usize, Vec<Choice>)], rest: usize) -> usize {
    let mut nodes: Vec<(usize, usize)> = vec![(0, 1)];
    nodes.extend(path.stops.iter().enumerate().map(|(at, stop)| (at + 1, stop.modes.len())));
    nodes.push((path.stops.len() + 1, rest));
    let mut total: usize = 0;
    for (from, many) in &nodes {
        let mut combinations: usize = 1;
        for (to, ends) in nodes.iter().filter(|(to, _)| to > from) {
            total = total.saturating_add(many.saturating_mul(*ends).saturating_mul(combinations));
            if path.stops.get(to - 1).is_none_or(|stop| stop.pass.is_none()) {
                break;
            }
            for (_, choices) in legs.iter().filter(|(level, _)| level == to) {
                combinations = combinations.saturating_mul(choices.len());
            }
        }
    }
    total
}
