//! The rules by which a drawn allocation is judged.

use super::check::{Check, Headroom, Load, TapCheck};
use super::loads::{self, Flow};
use super::problem::{PowerFault, PowerProblem, RatingScope};
use super::sharing;
use crate::rig::{
    Adapter, Device, DeviceId, Feed, FeedFrom, FeedId, Form, Need, OutletRef, Rig, Setting, unfed_devices,
};

/// The voltage up to which DC is safe to touch. [standard, memory, S: touch-voltage]
pub const MOST_DIRECT: f64 = 60.0;

/// All problems, the loudest first, else in the order of feeds and supplies.
pub fn problems(rig: &Rig, headroom: &Headroom, check: &Check, flow: &Flow) -> Vec<PowerProblem> {
    let mut judge = Judge { rig, headroom, check, flow, found: Vec::new() };
    for (at, feed) in rig.feeds.iter().enumerate() {
        judge.pair(feed);
        judge.daisy(feed);
        for (index, tap) in feed.taps.iter().enumerate() {
            let Some(figures) = check.feeds[at].taps.get(index) else { continue };
            if let Some(device) = rig.device(tap.device)
                && let Some(need) = device.power.need()
            {
                judge.tap(feed, device, need, figures, tap.adapter);
            }
        }
    }
    judge.found.extend(sharing::problems(rig, check));
    judge.loads();
    judge.unfed();
    judge.found.sort_by_key(|problem| problem.severity);
    judge.found
}

struct Judge<'a> {
    rig: &'a Rig,
    headroom: &'a Headroom,
    check: &'a Check,
    flow: &'a Flow,
    found: Vec<PowerProblem>,
}

impl Judge<'_> {
    fn tell(&mut self, feed: Option<FeedId>, what: PowerFault) {
        self.found.push(PowerProblem::new(what, feed));
    }

    fn setting(&self, outlet: OutletRef) -> Option<&Setting> {
        self.rig.outlet(outlet)?.setting()
    }

    fn tap(&mut self, feed: &Feed, device: &Device, need: &Need, tap: &TapCheck, adapter: Adapter) {
        let id = Some(feed.id);
        if let Some(outlet) = feed.from.outlets().next().and_then(|outlet| self.rig.outlet(outlet)) {
            let plug = adapter.plug.unwrap_or(outlet.connector);
            if plug != need.connector {
                self.tell(id, PowerFault::WrongPlug { device: device.id, plug, socket: need.connector });
            }
        }
        let Some(volts) = tap.volts else { return };
        let alike = |form: Form| need.ways.iter().any(|way| way.form == form);
        let any_direct = need.ways.iter().any(|way| way.form.is_dc());
        if !need.ways.is_empty() && !alike(tap.form) {
            match (tap.form.is_dc(), any_direct) {
                (true, true) => self.tell(id, PowerFault::Reversed { device: device.id }),
                (false, _) => self.tell(id, PowerFault::AlternatingIntoDirect { device: device.id, volts }),
                (true, false) => {
                    self.tell(id, PowerFault::DirectIntoAlternating { device: device.id, burns: need.transformer });
                }
            }
        }
        // Of a form that it doesn't take, any of its ways says what it stands.
        let ways: Vec<_> = need.ways.iter().filter(|way| way.form == tap.form || !alike(tap.form)).collect();
        if ways.is_empty() || ways.iter().any(|way| way.takes(volts, self.headroom.tolerance)) {
            self.no_load(feed, device, need, tap);
            return;
        }
        // Between two ranges it is too high for the lower: the louder of the two.
        let lower = ways.iter().filter(|way| way.most.get() < volts).map(|way| way.most.get()).fold(0.0, f64::max);
        if lower > 0.0 {
            let destroys = need.digital || volts > lower * (1.0 + self.headroom.destroys) + LAST_BIT;
            self.tell(id, PowerFault::TooHigh { device: device.id, volts, most: lower, destroys });
        } else {
            let least = ways.iter().map(|way| way.least.get()).fold(f64::INFINITY, f64::min);
            self.tell(id, PowerFault::TooLow { device: device.id, volts, least });
        }
    }

    fn no_load(&mut self, feed: &Feed, device: &Device, need: &Need, tap: &TapCheck) {
        // Loaded, an unregulated adaptor may come to a way that its rating doesn't say.
        let loaded = tap.volts.and_then(|volts| loads::way(need, volts, tap.form, self.headroom.tolerance));
        let Some(way) = tap.way.or(loaded).and_then(|at| need.ways.get(at)) else { return };
        let Some(no_load) = self.flow.source(feed.from, &self.flow.no_load) else { return };
        let most = way.most.get();
        if no_load > most && !way.takes(no_load, self.headroom.tolerance) {
            self.tell(Some(feed.id), PowerFault::NoLoadTooHigh { device: device.id, no_load, most });
        }
    }

    fn pair(&mut self, feed: &Feed) {
        let id = Some(feed.id);
        let volts = self.flow.source(feed.from, &self.flow.volts);
        let direct = feed.from.outlets().any(|outlet| self.setting(outlet).is_some_and(|s| s.form.is_dc()));
        if let Some(volts) = volts.filter(|volts| direct && *volts > MOST_DIRECT) {
            self.tell(id, PowerFault::OverSixty { volts });
        }
        match feed.from {
            FeedFrom::One(_) => {}
            FeedFrom::Series { lower, upper } => {
                let zero_volts = &self.check.zero_volts;
                let below = zero_volts.of_outlet(self.rig, lower);
                let above = zero_volts.of_outlet(self.rig, upper);
                let short = match (below, above) {
                    (Some(below), Some(above)) => {
                        below == above
                            || zero_volts.is_earthed(above)
                            || !zero_volts.devices(above).is_empty()
                            || self.is_upper_elsewhere(feed, above)
                    }
                    _ => false,
                };
                if short {
                    self.tell(id, PowerFault::SeriesShort { lower, upper });
                }
                let (a, b) = (self.setting(lower).map(|s| s.form), self.setting(upper).map(|s| s.form));
                if a.zip(b).is_some_and(|(a, b)| a != b || !a.is_dc()) {
                    self.tell(id, PowerFault::UnequalPair { first: lower, second: upper });
                }
            }
            FeedFrom::Parallel { first, second } => {
                let allowed =
                    [first, second].iter().all(|outlet| self.rig.outlet(*outlet).is_none_or(|there| there.parallel));
                if !allowed {
                    self.tell(id, PowerFault::ParallelNotAllowed { first, second });
                }
                let alike = |a: &Setting, b: &Setting| a.volts == b.volts && a.form == b.form && a.no_load == b.no_load;
                let unequal = match (self.setting(first), self.setting(second)) {
                    (Some(a), Some(b)) => !alike(a, b),
                    _ => false,
                };
                if unequal || first == second {
                    self.tell(id, PowerFault::UnequalPair { first, second });
                }
            }
        }
    }

    /// Whether another pair stands on the same upper 0 V.
    fn is_upper_elsewhere(&self, feed: &Feed, above: super::zero_volts::Return) -> bool {
        self.rig.feeds.iter().filter(|other| other.id != feed.id).any(|other| match other.from {
            FeedFrom::Series { upper, .. } => self.check.zero_volts.of_outlet(self.rig, upper) == Some(above),
            _ => false,
        })
    }

    fn daisy(&mut self, feed: &Feed) {
        let units: Vec<(&Device, &Need, Adapter)> = feed
            .taps
            .iter()
            .filter_map(|tap| {
                let device = self.rig.device(tap.device)?;
                Some((device, device.power.need()?, tap.adapter))
            })
            .collect();
        let Some((first, _, adapter)) = units.first() else { return };
        if let Some((other, ..)) = units.iter().find(|(.., other)| other.swaps_poles != adapter.swaps_poles) {
            self.tell(Some(feed.id), PowerFault::DaisyPolarity { device: first.id, with: other.id });
        }
        let of_kind = |digital: bool| units.iter().find(|(_, need, _)| need.digital == digital);
        if let (Some((digital, ..)), Some((analogue, ..))) = (of_kind(true), of_kind(false)) {
            self.tell(Some(feed.id), PowerFault::DaisyDigital { device: digital.id, with: analogue.id });
        }
    }

    /// Where nobody has drawn a supply, nobody has forgotten to plug in.
    fn unfed(&mut self) {
        if self.check.supplies.is_empty() {
            return;
        }
        let unfed = unfed_devices(self.rig);
        let told = |id: &DeviceId| {
            self.found.iter().any(|problem| matches!(problem.what, PowerFault::NoPowerIn { supply } if supply == *id))
        };
        let untold: Vec<DeviceId> = unfed.iter().copied().filter(|id| !told(id)).collect();
        for device in untold {
            let feed = self.rig.feed_to(device);
            let mut supplies = feed.into_iter().flat_map(|feed| feed.from.outlets()).map(|outlet| outlet.supply);
            let at = supplies.find(|supply| unfed.contains(supply));
            self.tell(feed.map(|feed| feed.id), PowerFault::Unfed { device, at });
        }
    }

    fn loads(&mut self) {
        let mut found = Vec::new();
        for supply in &self.check.supplies {
            let loaded = supply.outlets.iter().any(|outlet| !outlet.devices.is_empty());
            if loaded && !supply.fed {
                found.push(PowerFault::NoPowerIn { supply: supply.supply });
            }
            let outlets = supply.outlets.iter().map(|outlet| (RatingScope::Outlet(outlet.outlet), outlet.load));
            let groups =
                supply.groups.iter().map(|group| (RatingScope::Group(supply.supply, group.zero_volt), group.load));
            let total = (RatingScope::Total(supply.supply), supply.total);
            let rated: Vec<(RatingScope, Load)> = outlets.chain(groups).chain([total]).collect();
            found.extend(rated.iter().filter_map(|(scope, load)| judge(*scope, load, self.headroom.used)));
            found.extend(surge(&rated));
        }
        for what in found {
            self.tell(None, what);
        }
    }
}

/// A sum of loads that is equal to a rating on paper is not over it.
const LAST_BIT: f64 = 1e-9;

fn judge(scope: RatingScope, load: &Load, used: f64) -> Option<PowerFault> {
    let Load { running, start_up, lasting, limit } = *load;
    let limit = limit?;
    if running > limit + LAST_BIT {
        Some(PowerFault::Over { scope, running, limit, start_up })
    } else if lasting > limit + LAST_BIT {
        Some(PowerFault::StartUp { scope, start_up: lasting, limit })
    } else if running > limit * used + LAST_BIT {
        Some(PowerFault::Tight { scope, running, limit, used })
    } else {
        None
    }
}

/// Ratings that only milliseconds of start-up go past: the place where they do
/// so most, and how many more there are.
fn surge(rated: &[(RatingScope, Load)]) -> Option<PowerFault> {
    let over = |load: &Load| {
        let limit = load.limit.filter(|limit| *limit > 0.0)?;
        (load.start_up > limit + LAST_BIT && load.lasting <= limit + LAST_BIT).then(|| load.start_up / limit)
    };
    let mut over: Vec<(f64, &(RatingScope, Load))> =
        rated.iter().filter_map(|found| Some((over(&found.1)?, found))).collect();
    // Stable: of two alike, the first.
    over.sort_by(|a, b| b.0.total_cmp(&a.0));
    let (_, (scope, load)) = over.first()?;
    Some(PowerFault::Surge { scope: *scope, start_up: load.start_up, limit: load.limit?, more: over.len() - 1 })
}
