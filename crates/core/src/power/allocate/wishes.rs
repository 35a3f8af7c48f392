//! The best by the order of wishes, looked for with fewer and fewer of them held as musts.
//!
//! What is best with all of them held can only be beaten by what weighs more
//! than any of those given up: by a unit fed more, or kept at its voltage. Mostly
//! there is nothing of that to be had, and the wide search that counts noise and
//! tight places isn't even begun.
//!
//! First of all the gain on each 0 V isn't listened to. What is best then is
//! mostly quiet; and if it isn't, nothing that is quiet costs less, so that one
//! that costs as much is the best without a look at the rest.

use rigwright_search::assignment::{Cost, Options};
use rigwright_search::{Allowance, Answer, LeftOut};

use super::answer;
use super::model::{MOST_NODES, Model, Solution};
use super::terms::{InUse, Terms};
use crate::power::question::{Allocation, Rules, Weight};
use crate::rig::{Device, Rig};
use crate::watch::{Part, Stopped, Watch};

/// Nodes of a search for what is quiet after which it gives up: its bounds
/// don't see gain that is still to come.
const MOST_QUIET: u64 = 300_000;

/// The same of a search that counts noise and tight places.
const MOST_WEIGHED: u64 = 60_000;

/// What is asked.
pub struct Seeker<'a> {
    /// As it is drawn.
    pub rig: &'a Rig,
    pub rules: &'a Rules,
    pub in_use: &'a InUse,
    pub skeleton: &'a Rig,
    pub units: &'a [&'a Device],
    /// For all of it.
    pub allowance: &'a Allowance<'a>,
}

/// The best so far.
struct Found {
    cost: Cost,
    allocation: Allocation,
    proved: bool,
}

impl Seeker<'_> {
    /// The best of all.
    pub fn best(&self, watch: &dyn Watch) -> Result<Allocation, Stopped> {
        let strict = Terms::strict(self.rules, self.in_use);
        let quarter = |at: usize| Part { whole: watch, from: at as f64 / 4.0, to: (at + 1) as f64 / 4.0 };
        let mut best = Found { cost: Cost::WORST, allocation: answer::nothing(self.units), proved: true };
        self.strictly(&strict, &mut best, &[quarter(0), quarter(1)])?;
        let loud = Terms { quiet: false, ..strict };
        if !loud.is_like(&strict) {
            // What is noisy as it is, for want of a quiet one, is to be beaten in all; else by what weighs more.
            let noisy = best.allocation.penalty.noisy > 0;
            let below = if noisy { best.cost } else { best.cost.before_conflicts() };
            self.wider(&loud, below, &mut best, &quarter(2))?;
        }
        let full = Terms { margin: false, ..loud };
        if !full.is_like(&loud) {
            self.wider(&full, best.cost.before_tight(), &mut best, &quarter(3))?;
        }
        Ok(Allocation { proved: best.proved, ..best.allocation })
    }

    /// With all wishes held.
    fn strictly(&self, strict: &Terms<'_>, best: &mut Found, watches: &[Part<'_>; 2]) -> Result<(), Stopped> {
        let deaf = Rules { few_gains: Weight::Nothing, ..self.rules.clone() };
        let terms = Terms { rules: &deaf, ..*strict };
        let first = self.allowance.part(0.5);
        let all = Options { most_nodes: MOST_NODES, ..Options::all(&first) };
        let (model, found) = self.search(&terms, all, &watches[0])?;
        best.proved = found.proved;
        let Some(solution) = found.best else { return Ok(()) };
        let excess = model.excess(&solution, self.units, self.rules);
        if excess == 0 {
            (best.cost, best.allocation) = (solution.cost, self.allocation(&model, &solution));
            return Ok(());
        }
        if self.rules.few_gains == Weight::Wish {
            best.cost = solution.cost + Cost::CONFLICT * excess as usize;
            best.allocation = self.allocation(&model, &solution);
            best.allocation.penalty = answer::penalty(best.cost);
        }
        let least = if found.proved { solution.cost } else { Cost::ZERO };
        drop(model);
        let second = self.allowance.part(0.5);
        let options = Options { below: best.cost, least, most_nodes: MOST_QUIET, allowance: &second, ..all };
        let (model, found) = self.search(strict, options, &watches[1])?;
        best.proved = found.proved;
        if let Some(solution) = found.best {
            (best.cost, best.allocation) = (solution.cost, self.allocation(&model, &solution));
            // Nothing costs less than the least, whatever wasn't looked at.
            best.proved |= solution.cost <= least;
        }
        Ok(())
    }

    /// With fewer of them held.
    fn wider(&self, terms: &Terms<'_>, below: Cost, best: &mut Found, watch: &Part<'_>) -> Result<(), Stopped> {
        if below == Cost::ZERO {
            return Ok(());
        }
        let third = self.allowance.part(0.7);
        let options = Options { below, most_nodes: MOST_WEIGHED, ..Options::all(&third) };
        let (model, found) = self.search(terms, options, watch)?;
        best.proved &= found.proved;
        if let Some(solution) = found.best {
            (best.cost, best.allocation) = (solution.cost, self.allocation(&model, &solution));
        }
        Ok(())
    }

    fn search(
        &self,
        terms: &Terms<'_>,
        options: Options<'_>,
        watch: &Part<'_>,
    ) -> Result<(Model, Answer<Solution, Cost>), Stopped> {
        let model = Model::of(self.skeleton, self.units, terms, &|_| false, options.allowance);
        // What is drawn stays unless something better is found.
        let drawn = model.drawn(self.rig, self.skeleton).filter(|solution| solution.cost < options.below);
        let value = drawn.as_ref().map(|solution| solution.cost);
        let below = value.unwrap_or(options.below);
        if drawn.is_some() && below <= options.least {
            let left_out = LeftOut::NOTHING;
            return Ok((model, Answer { best: drawn, value, bound: below, proved: true, left_out, nodes: 0 }));
        }
        let mut found = model.best(Options { below, ..options }, &|_| true, watch)?;
        if found.best.is_none() {
            (found.best, found.value) = (drawn, value);
        }
        Ok((model, found))
    }

    fn allocation(&self, model: &Model, solution: &Solution) -> Allocation {
        model.allocation(solution, self.skeleton, self.units, self.in_use, self.rules)
    }
}
