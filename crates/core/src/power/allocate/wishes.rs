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

use super::allowance::Allowance;
use super::search::{self, Cost, Manner, NOISY, WORST};
use super::terms::{InUse, Terms};
use super::{Best, Ground, MOST_NODES, answer};
use crate::power::question::{Allocation, Rules, Weight};
use crate::rig::{Device, Rig};
use crate::watch::{Part, Stopped, Watch};

/// Places of a search for what is quiet after which it gives up: its bounds
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
        let mut best = Found { cost: WORST, allocation: answer::nothing(self.units), proved: true };
        self.strictly(&strict, &mut best, &[quarter(0), quarter(1)])?;
        let loud = Terms { quiet: false, ..strict };
        if !loud.is_like(&strict) {
            // What is noisy as it is, for want of a quiet one, is to be beaten in all; else by what weighs more.
            let noisy = best.allocation.penalty.noisy > 0;
            let below = if noisy { best.cost } else { search::before_noise(best.cost) };
            self.wider(&loud, below, &mut best, &quarter(2))?;
        }
        let full = Terms { margin: false, ..loud };
        if !full.is_like(&loud) {
            self.wider(&full, search::before_tight(best.cost), &mut best, &quarter(3))?;
        }
        Ok(Allocation { proved: best.proved, ..best.allocation })
    }

    /// With all wishes held.
    fn strictly(&self, strict: &Terms<'_>, best: &mut Found, watches: &[Part<'_>; 2]) -> Result<(), Stopped> {
        let deaf = Rules { few_gains: Weight::Nothing, ..self.rules.clone() };
        let terms = Terms { rules: &deaf, ..*strict };
        let first = self.allowance.part(0.5);
        let all =
            Manner { below: WORST, any: false, coarse: false, least: 0, most_nodes: MOST_NODES, allowance: &first };
        let (ground, found) = self.search(&terms, all, &watches[0])?;
        best.proved = found.proved;
        let Some(way) = found.way else { return Ok(()) };
        let crowd = ground.crowd(&way, self.units, self.rules);
        if crowd == 0 {
            (best.cost, best.allocation) = (way.cost, self.allocation(&ground, &way));
            return Ok(());
        }
        if self.rules.few_gains == Weight::Wish {
            best.cost = way.cost + NOISY * Cost::from(crowd);
            best.allocation = self.allocation(&ground, &way);
            best.allocation.penalty = search::penalty(best.cost);
        }
        let least = if found.proved { way.cost } else { 0 };
        drop(ground);
        let second = self.allowance.part(0.5);
        let manner = Manner { below: best.cost, least, most_nodes: MOST_QUIET, allowance: &second, ..all };
        let (ground, found) = self.search(strict, manner, &watches[1])?;
        best.proved = found.proved;
        if let Some(way) = found.way {
            (best.cost, best.allocation) = (way.cost, self.allocation(&ground, &way));
            // Nothing costs less than the least, whatever wasn't looked at.
            best.proved |= way.cost <= least;
        }
        Ok(())
    }

    /// With fewer of them held.
    fn wider(&self, terms: &Terms<'_>, below: Cost, best: &mut Found, watch: &Part<'_>) -> Result<(), Stopped> {
        if below == 0 {
            return Ok(());
        }
        let third = self.allowance.part(0.7);
        let manner = Manner { below, any: false, coarse: false, least: 0, most_nodes: MOST_WEIGHED, allowance: &third };
        let (ground, found) = self.search(terms, manner, watch)?;
        best.proved &= found.proved;
        if let Some(way) = found.way {
            (best.cost, best.allocation) = (way.cost, self.allocation(&ground, &way));
        }
        Ok(())
    }

    fn search(&self, terms: &Terms<'_>, manner: Manner<'_>, watch: &Part<'_>) -> Result<(Ground, Best), Stopped> {
        let ground = Ground::of(self.skeleton, self.units, terms, &|_| false, manner.allowance);
        // What is drawn stays unless something better is found.
        let drawn = ground.drawn(self.rig, self.skeleton).filter(|way| way.cost < manner.below);
        let below = drawn.as_ref().map_or(manner.below, |way| way.cost);
        if drawn.is_some() && below <= manner.least {
            return Ok((ground, Best { way: drawn, proved: true }));
        }
        let mut found = ground.best(Manner { below, ..manner }, &|_| true, watch)?;
        found.way = found.way.or(drawn);
        Ok((ground, found))
    }

    fn allocation(&self, ground: &Ground, way: &super::Way) -> Allocation {
        ground.allocation(way, self.skeleton, self.units, self.in_use, self.rules)
    }
}
