//! How many states there are.

use crate::arrival::Rest;
use std::collections::BTreeMap;
use std::fmt;

use num_bigint::BigUint;

use super::path::Path;
use crate::plan::{Behaviour, Plan, Wire};

/// A number of states: it outgrows every machine number.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Count(BigUint);

impl Count {
    /// 2ⁿ.
    #[must_use]
    pub fn power_of_two(n: usize) -> Self {
        Self(BigUint::from(1_u8) << n)
    }

    /// The product of how many positions switches have.
    #[must_use]
    pub fn product(positions: impl IntoIterator<Item = usize>) -> Self {
        Self(positions.into_iter().map(BigUint::from).product())
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

impl<'a> std::iter::Sum<&'a Count> for Count {
    fn sum<I: Iterator<Item = &'a Count>>(counts: I) -> Self {
        Self(counts.map(|count| &count.0).sum())
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
    // So many settings of what lies before each level lead the signal there.
    let mut known = BTreeMap::new();
    let mut ways = vec![BigUint::ZERO; path.spot() + 1];
    ways[1] = BigUint::from(1_u8);
    for (at, stop) in path.stops.iter().enumerate() {
        let here = std::mem::take(&mut ways[at + 1]);
        stop.modes.iter().for_each(|mode| ways[mode.to] += &here);
        stop.block.iter().for_each(|block| ways[block.to] += &here * &block.all.0);
        stop.exits.iter().for_each(|exit| ways[exit.to] += &here * runs(plan, &exit.side_runs, &mut known));
    }
    let ways = std::mem::take(&mut ways[path.spot()]);
    Count(match &path.rest {
        Rest::Wire(wire) => ways * runs(plan, [wire], &mut known),
        Rest::Station(at) => ways * station(plan, *at, &mut known),
        Rest::Inside => ways,
    })
}

/// How many things each station can be that was counted.
type Known = BTreeMap<usize, BigUint>;

/// How many things these side runs can be together.
fn runs<'a>(plan: &Plan, wires: impl IntoIterator<Item = &'a Wire>, known: &mut Known) -> BigUint {
    wires.into_iter().filter_map(|wire| wire.to).map(|at| station(plan, at, known)).product()
}

/// Several ways may lead to a station, and 2ⁿ by way of n others: each is counted once.
fn station(plan: &Plan, at: usize, known: &mut Known) -> BigUint {
    if let Some(all) = known.get(&at) {
        return all.clone();
    }
    let here = &plan.stations[at];
    let choices = here.alternatives.iter().map(|alternative| match alternative.behaviour {
        Behaviour::Isolate { .. } | Behaviour::End { .. } => BigUint::from(1_u8),
        Behaviour::Pass { .. } => runs(plan, here.wires(alternative).map(|(_, wire)| wire), known),
    });
    let all: BigUint = choices.sum();
    known.insert(at, all.clone());
    all
}
