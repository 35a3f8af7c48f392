//! What sockets have, and the sums that they count against.

use std::collections::BTreeMap;

use rigwright_search::assignment::{Budget, LAST_BIT, Mode};

use super::{Level, milli, nano};
use crate::power::allocate::terms::Terms;
use crate::power::check::Load;
use crate::power::loads::{self, Flow};
use crate::power::zero_volts::ZeroVolts;
use crate::rig::{Device, DeviceId, Form, OutletRef, Power, Rig, Supply, ZeroVolt};

/// Where a budget comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Source {
    Total(DeviceId),
    Group(DeviceId, ZeroVolt),
    Inlet(OutletRef),
}

pub struct Builder<'a> {
    rig: &'a Rig,
    pub flow: Flow,
    terms: &'a Terms<'a>,
    pub budgets: Vec<Budget>,
    index: BTreeMap<Source, usize>,
    /// Some module can't even idle.
    pub impossible: bool,
}

impl<'a> Builder<'a> {
    pub fn of(rig: &'a Rig, flow: Flow, terms: &'a Terms<'a>) -> Self {
        Self { rig, flow, terms, budgets: Vec::new(), index: BTreeMap::new(), impossible: false }
    }

    /// What a socket gives in each setting.
    pub fn levels(&self, at: OutletRef) -> Vec<(Level, Mode)> {
        let Some(device) = self.rig.device(at.supply) else { return Vec::new() };
        let (Some(supply), Some(outlet)) = (device.kind.supply(), self.rig.outlet(at)) else { return Vec::new() };
        let level = |(position, setting): (usize, &crate::rig::Setting)| {
            let (volts, no_load) = if supply.passes {
                let known = |table: &BTreeMap<OutletRef, Option<f64>>| table.get(&at).copied().flatten();
                (known(&self.flow.nominal).unwrap_or(0.0), known(&self.flow.no_load).unwrap_or(0.0))
            } else {
                (setting.volts.get(), setting.no_load.unwrap_or(setting.volts).get())
            };
            let may = self.terms.rules.selectors || position + 1 == usize::from(outlet.chosen);
            let limit = if may { setting.limit.get() } else { 0.0 };
            let mode = Mode {
                steady: nano(limit * self.terms.most_used()),
                easy: nano(limit * self.terms.easily_used()),
                peak: nano(limit),
                factor: volts,
                quality: milli(volts) as u64 * 4 + setting.form as u64,
                exclusive: setting.form == Form::Alternating,
            };
            (Level { volts, no_load, form: setting.form, may }, mode)
        };
        outlet.settings.iter().enumerate().map(level).collect()
    }

    /// What a watt at an outlet counts against.
    pub fn budgets_of(&mut self, at: OutletRef) -> Vec<(usize, f64)> {
        let (mut found, mut here) = (BTreeMap::new(), BTreeMap::from([(at, 1.0)]));
        // What two ways bring to one outlet goes on from there as one.
        for _ in 0..=self.rig.devices.len() {
            let mut above = BTreeMap::new();
            for (at, watts) in here {
                self.climb(at, watts, &mut found, &mut above);
            }
            here = above;
        }
        found.into_iter().collect()
    }

    /// Counts what an outlet gives, and what its supply takes of those above.
    fn climb(
        &mut self,
        at: OutletRef,
        watts: f64,
        found: &mut BTreeMap<usize, f64>,
        above: &mut BTreeMap<OutletRef, f64>,
    ) {
        let rig = self.rig;
        let Some(device) = rig.device(at.supply) else { return };
        let Some(supply) = device.kind.supply() else { return };
        let zero_volt = rig.outlet(at).map(|outlet| outlet.zero_volt);
        for group in supply.groups.iter().filter(|group| Some(group.zero_volt) == zero_volt) {
            let index = self.budget(Source::Group(device.id, group.zero_volt), group.limit.get());
            *found.entry(index).or_default() += watts;
        }
        if let Some(total) = supply.total {
            let index = self.budget(Source::Total(device.id), total.get());
            *found.entry(index).or_default() += watts;
        }
        let (Power::Low(_), Some(feed)) = (&device.power, rig.feed_to(device.id)) else { return };
        let Some(volts) = self.flow.source(feed.from, &self.flow.nominal).filter(|volts| *volts > 0.0) else { return };
        let amperes = watts / supply.efficiency.get() / volts;
        for (outlet, part) in loads::shares(rig, feed.from) {
            let limit = rig.outlet(outlet).and_then(|there| there.setting()).map_or(0.0, |s| s.limit.get());
            let index = self.budget(Source::Inlet(outlet), limit);
            *found.entry(index).or_default() += amperes * part;
            let volts = self.flow.nominal.get(&outlet).copied().flatten().unwrap_or(0.0);
            *above.entry(outlet).or_default() += volts * amperes * part;
        }
    }

    /// A budget, less what modules take of it for themselves.
    fn budget(&mut self, source: Source, limit: f64) -> usize {
        if let Some(index) = self.index.get(&source) {
            return *index;
        }
        let supply = match source {
            Source::Total(id) | Source::Group(id, _) => id,
            Source::Inlet(outlet) => outlet.supply,
        };
        let mut taken = (0.0, 0.0);
        for (outlet, load) in self.flow.outlets.iter().filter(|(outlet, _)| outlet.supply == supply) {
            let counts = match source {
                Source::Total(_) => true,
                Source::Group(_, zero_volt) => self.rig.outlet(*outlet).is_some_and(|o| o.zero_volt == zero_volt),
                Source::Inlet(inlet) => inlet == *outlet,
            };
            let volts = match source {
                Source::Inlet(_) => 1.0,
                _ => self.flow.nominal.get(outlet).copied().flatten().unwrap_or(0.0),
            };
            if counts {
                taken = (taken.0 + volts * load.0, taken.1 + volts * load.1);
            }
        }
        let of = |part: f64| limit * part - taken.0;
        let (running, easy) = (of(self.terms.most_used()), of(self.terms.easily_used()));
        let budget = Budget { steady: running, peak: limit - taken.1, easy };
        self.impossible |= budget.steady < -LAST_BIT || budget.peak < -LAST_BIT;
        self.budgets.push(budget);
        self.index.insert(source, self.budgets.len() - 1);
        self.budgets.len() - 1
    }

    /// Places that carry more than the headroom allows before any unit is there.
    pub fn tight(&self, zero_volts: &ZeroVolts) -> u32 {
        let easy = self.terms.easily_used();
        if self.rig.feeds.is_empty() || self.terms.most_used() <= easy {
            return 0;
        }
        let over = |load: &Load| load.limit.is_some_and(|limit| load.running > limit * easy + LAST_BIT);
        let of = |(device, supply): (&Device, &Supply)| {
            let figures = loads::supply_check(self.rig, device, supply, &self.flow, zero_volts);
            let outlets = figures.outlets.iter().map(|outlet| outlet.load);
            let loads = outlets.chain(figures.groups.iter().map(|group| group.load)).chain([figures.total]);
            loads.filter(over).count() as u32
        };
        self.rig.supplies().map(of).sum()
    }
}
