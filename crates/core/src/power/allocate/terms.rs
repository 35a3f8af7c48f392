//! On what terms units are fed: which of the rules' wishes are held as if they were musts.

use std::collections::BTreeMap;

use rigwright_search::assignment::LAST_BIT;

use super::instance::milli;
use crate::power::loads;
use crate::power::question::{Rules, Weight};
use crate::rig::{DeviceId, Need, Rig};

/// The rated voltage at which each unit runs now, in mV.
pub type InUse = BTreeMap<DeviceId, i64>;

/// The rules, and how strictly they are held.
#[derive(Debug, Clone, Copy)]
pub struct Terms<'a> {
    pub rules: &'a Rules,
    /// What each unit runs at now, and is to stay at if that can be.
    pub in_use: &'a InUse,
    /// Nothing noisy, as far as the rules mind it.
    pub quiet: bool,
    /// The headroom is kept, as far as the rules mind it.
    pub margin: bool,
}

impl<'a> Terms<'a> {
    /// With all wishes kept.
    pub fn strict(rules: &'a Rules, in_use: &'a InUse) -> Self {
        Self { rules, in_use, quiet: true, margin: true }
    }

    /// With nothing kept but what must be.
    pub fn lax(rules: &'a Rules, in_use: &'a InUse) -> Self {
        Self { rules, in_use, quiet: false, margin: false }
    }

    /// Whether two on the same rules come to the same.
    pub fn is_like(&self, other: &Self) -> bool {
        let same = |weight: Weight, a: bool, b: bool| Self::holds(weight, a) == Self::holds(weight, b);
        let Rules { keep_apart, few_gains, margin, .. } = self.rules;
        [*keep_apart, *few_gains].iter().all(|weight| same(*weight, self.quiet, other.quiet))
            && same(*margin, self.margin, other.margin)
    }

    fn holds(weight: Weight, held: bool) -> bool {
        match weight {
            Weight::Nothing => false,
            Weight::Wish => held,
            Weight::Must => true,
        }
    }

    /// Whether a unit's wish to be apart is a must. What its maker says is no matter of the rules.
    pub fn keeps_apart(&self, need: &Need) -> bool {
        need.apart_must || Self::holds(self.rules.keep_apart, self.quiet)
    }

    /// Whether digital and analogue units may hang on one lead.
    pub fn mixes(&self) -> bool {
        !Self::holds(self.rules.keep_apart, self.quiet)
    }

    /// Whether a 0 V may have more gain on it than is quiet.
    pub fn allows_excess(&self) -> bool {
        !Self::holds(self.rules.few_gains, self.quiet)
    }

    /// Whether anything noisy can be there that is weighed.
    pub fn weighs_noise(&self) -> bool {
        !self.quiet && [self.rules.keep_apart, self.rules.few_gains].contains(&Weight::Wish)
    }

    /// The part of a rating that may be used.
    pub fn most_used(&self) -> f64 {
        let used = self.rules.headroom.used;
        if Self::holds(self.rules.margin, self.margin) { used } else { used.max(1.0) }
    }

    /// The part of a rating that may be used before it counts as tight.
    pub fn easily_used(&self) -> f64 {
        if self.rules.margin == Weight::Nothing { self.most_used() } else { self.rules.headroom.used }
    }
}

impl Terms<'_> {
    /// Whether a voltage is another than the one in use, both in mV: further off than a unit stands anyway.
    pub fn is_other(&self, in_use: i64, volts: i64) -> bool {
        (volts - in_use).abs() as f64 > in_use as f64 * self.rules.headroom.tolerance + LAST_BIT
    }
}

/// At what voltage each unit runs as it is drawn, if that is one that it takes and the rules keep it.
pub fn in_use(rig: &Rig, rules: &Rules) -> InUse {
    let flow = loads::flow(rig, rules.headroom.tolerance);
    let plugs = rig.feeds.iter().flat_map(|feed| feed.taps.iter().zip(flow.of(feed)));
    let running = plugs.filter(|(tap, at)| at.way.is_some() && !rules.released.contains(&tap.device));
    running.filter_map(|(tap, at)| Some((tap.device, milli(at.nominal?)))).collect()
}
