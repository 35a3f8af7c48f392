//! What mends a problem of power: changes that were tried out, the best first.

use std::cell::Cell;
use std::cmp::Ordering;

use super::check::{Check, Headroom, check};
use super::problem::{PowerFault, PowerProblem, RatingScope};
use crate::diagnosis::{Remedy, Severity};
use crate::rig::{
    Adapter, Connector, DeviceId, Feed, FeedFrom, FeedId, OutletRef, PowerEdit, Rig, VariantId, device_name,
    placeholder,
};
use crate::units::trimmed;

/// A change that mends something.
#[derive(Debug, Clone, PartialEq)]
pub struct Mend {
    /// What it does, as a button says it: "Move Mild drive to outlet 4".
    pub words: String,
    /// What is done, one after another.
    pub edits: Vec<PowerEdit>,
}

impl Mend {
    /// The same as a remedy of one variant.
    #[must_use]
    pub fn remedy(&self, variant: VariantId) -> Remedy {
        Remedy::of_power(self.words.as_str(), variant, &self.edits)
    }
}

/// How bad a rig's power is: dangers, things to act on, units without a feed, things to know.
type Score = [usize; 4];

/// A mend with what is left after it.
struct Tried {
    mend: Mend,
    score: Score,
    /// How many units share their 0 V with another after it.
    sharing: usize,
    /// The largest part of a rating that is used after it.
    fullest: f64,
}

/// So much is tried out for all problems of a rig: some fifty problems of 64
/// devices on 16 outlets, or one of a rig of hundreds.
const MOST_TRIED: u64 = 1 << 25;

/// So many mends are offered for one problem.
const OFFERED: usize = 2;

/// Looks for what mends a rig's problems of power.
pub struct Mender<'a> {
    rig: &'a Rig,
    headroom: &'a Headroom,
    check: &'a Check,
    /// How much may still be tried out.
    left: Cell<u64>,
    left_out: Cell<usize>,
}

impl<'a> Mender<'a> {
    /// For a rig and its check.
    #[must_use]
    pub fn new(rig: &'a Rig, headroom: &'a Headroom, check: &'a Check) -> Self {
        Self { rig, headroom, check, left: Cell::new(MOST_TRIED), left_out: Cell::new(0) }
    }

    /// Of how many problems and units without a feed nothing was looked for, the
    /// rig being too large for it.
    #[must_use]
    pub fn left_out(&self) -> usize {
        self.left_out.get()
    }

    /// These candidates, if there is still time to try them out.
    fn in_time(&self, candidates: impl FnOnce() -> Vec<Mend>) -> Vec<Mend> {
        let trial = self.trial();
        let found = if trial <= self.left.get() { Some(candidates()) } else { None };
        match found.and_then(|found| Some((self.left.get().checked_sub(trial * found.len() as u64)?, found))) {
            Some((left, found)) => {
                self.left.set(left);
                found
            }
            None => {
                self.left.set(0);
                self.left_out.set(self.left_out.get() + 1);
                Vec::new()
            }
        }
    }

    /// What trying out one change takes: what there is, each with each.
    fn trial(&self) -> u64 {
        let outlets: usize = self.rig.supplies().map(|(_, supply)| supply.outlets.len()).sum();
        let taps: usize = self.rig.feeds.iter().map(|feed| feed.taps.len()).sum();
        ((self.rig.devices.len() + outlets + taps) as u64).pow(2)
    }

    /// What mends a problem, the best first; nothing where no single change does.
    #[must_use]
    pub fn mends(&self, problem: &PowerProblem) -> Vec<Mend> {
        if let PowerFault::Unfed { device, at: None } = problem.what {
            return self.feeds(device);
        }
        let candidates = self.in_time(|| self.candidates(problem));
        let before = score(self.check);
        let gone = |after: &Check| !after.problems.iter().any(|other| same(&other.what, &problem.what));
        self.best(candidates, |after| gone(after) && score(after) < before)
    }

    /// Where a unit without a feed can be plugged in with nothing wrong that wasn't before.
    #[must_use]
    pub fn feeds(&self, device: DeviceId) -> Vec<Mend> {
        let before = score(self.check);
        let candidates = self.in_time(|| {
            let mut candidates = Vec::new();
            self.moves(device, "Plug", "in at", &mut candidates);
            candidates
        });
        self.best(candidates, |after| score(after)[..3] <= before[..3])
    }

    /// Where a unit could be alone on a 0 V that no mains earth is joined to, with
    /// nothing wrong that wasn't before.
    #[must_use]
    pub fn alone(&self, device: DeviceId) -> Vec<Mend> {
        let before = score(self.check);
        let zero_volts = &self.check.zero_volts;
        let free = |outlet: OutletRef| {
            zero_volts
                .of_outlet(self.rig, outlet)
                .is_some_and(|own| !zero_volts.is_earthed(own) && zero_volts.devices(own).is_empty())
        };
        let mut candidates = Vec::new();
        self.moves(device, "Move", "to", &mut candidates);
        candidates.retain(|mend| {
            mend.edits.iter().any(|edit| matches!(edit, PowerEdit::PlugIn { outlet, .. } if free(*outlet)))
        });
        self.best(candidates, |after| score(after) <= before)
    }

    fn best(&self, candidates: Vec<Mend>, wanted: impl Fn(&Check) -> bool) -> Vec<Mend> {
        let tried = candidates.into_iter().filter_map(|mend| {
            let after = check(&PowerEdit::tried(&mend.edits, self.rig).ok()?, self.headroom);
            wanted(&after).then(|| Tried {
                score: score(&after),
                sharing: sharing(&after),
                fullest: fullest(&after),
                mend,
            })
        });
        let mut tried: Vec<Tried> = tried.collect();
        // Stable: of two that leave as much, the one that was thought of first.
        tried.sort_by(|a, b| {
            let size = a.mend.edits.len().cmp(&b.mend.edits.len());
            let full = a.fullest.partial_cmp(&b.fullest).unwrap_or(Ordering::Equal);
            a.score.cmp(&b.score).then(a.sharing.cmp(&b.sharing)).then(size).then(full)
        });
        tried.truncate(OFFERED);
        tried.into_iter().map(|tried| tried.mend).collect()
    }

    fn candidates(&self, problem: &PowerProblem) -> Vec<Mend> {
        let mut found = Vec::new();
        match problem.what {
            // No plug of a supply changes the mains, and most supplies ride through milliseconds.
            PowerFault::MainsTooHigh { .. } | PowerFault::MainsTooLow { .. } | PowerFault::Surge { .. } => {
                return found;
            }
            PowerFault::Over { scope, .. } | PowerFault::StartUp { scope, .. } | PowerFault::Tight { scope, .. } => {
                for device in self.on(scope) {
                    self.moves(device, "Move", "to", &mut found);
                }
            }
            PowerFault::NoPowerIn { supply } => self.moves(supply, "Plug", "in at", &mut found),
            PowerFault::Unfed { device, .. } => self.moves(device, "Move", "to", &mut found),
            PowerFault::SeriesShort { .. } | PowerFault::ParallelNotAllowed { .. } | PowerFault::UnequalPair { .. } => {
                self.part(problem, &mut found);
            }
            PowerFault::OverSixty { .. } => self.part(problem, &mut found),
            _ => {
                for device in problem.what.devices() {
                    self.adapters(device, &problem.what, &mut found);
                    self.choices(device, &mut found);
                    self.moves(device, "Move", "to", &mut found);
                }
            }
        }
        if problem.severity == Severity::Danger
            && let Some(device) = problem.what.devices().first()
            && self.rig.feed_to(*device).is_some()
        {
            let words = format!("Unplug {}", self.name(*device));
            found.push(Mend { words, edits: vec![PowerEdit::Unplug(*device)] });
        }
        found
    }

    /// The units whose currents count against a rating.
    fn on(&self, scope: RatingScope) -> Vec<DeviceId> {
        let Some(supply) = self.check.supply(scope.supply()) else { return Vec::new() };
        let outlets = supply.outlets.iter().filter(|outlet| match scope {
            RatingScope::Outlet(wanted) => outlet.outlet == wanted,
            RatingScope::Group(_, zero_volt) => {
                self.rig.outlet(outlet.outlet).is_some_and(|there| there.zero_volt == zero_volt)
            }
            RatingScope::Total(_) => true,
        });
        outlets.flat_map(|outlet| outlet.devices.iter().copied()).collect()
    }

    /// A unit plugged in at another outlet; at one with nothing on it also with another of its voltages.
    fn moves(&self, device: DeviceId, verb: &str, to: &str, found: &mut Vec<Mend>) {
        let now = self.rig.feed_to(device);
        let name = self.name(device);
        for (supply, outlets) in self.rig.supplies().filter(|(supply, _)| supply.id != device) {
            for (number, outlet) in (1..=u8::MAX).zip(&outlets.outlets) {
                let at = OutletRef::new(supply.id, number);
                if now.is_some_and(|feed| feed.from.outlets().any(|from| from == at)) {
                    continue;
                }
                let plug_in = PowerEdit::PlugIn { device, outlet: at, feed: FeedId(placeholder(0)) };
                let place = self.outlet(at);
                found.push(Mend { words: format!("{verb} {name} {to} {place}"), edits: vec![plug_in.clone()] });
                if self.rig.feed_from(at).is_some() {
                    continue;
                }
                for (setting, there) in (1..=u8::MAX).zip(&outlet.settings).filter(|(n, _)| *n != outlet.chosen) {
                    let choose = PowerEdit::Choose { outlet: at, setting };
                    let volts = trimmed(there.volts.get(), 4);
                    let words = format!("{verb} {name} {to} {place}, set to {volts} V");
                    found.push(Mend { words, edits: vec![choose, plug_in.clone()] });
                }
            }
        }
    }

    /// The outlet that feeds a unit set to another voltage.
    fn choices(&self, device: DeviceId, found: &mut Vec<Mend>) {
        for at in self.rig.feed_to(device).into_iter().flat_map(|feed| feed.from.outlets()) {
            let Some(outlet) = self.rig.outlet(at) else { continue };
            for (setting, there) in (1..=u8::MAX).zip(&outlet.settings).filter(|(n, _)| *n != outlet.chosen) {
                let words = format!("Set {} to {} V", self.outlet(at), trimmed(there.volts.get(), 4));
                found.push(Mend { words, edits: vec![PowerEdit::Choose { outlet: at, setting }] });
            }
        }
    }

    /// An adapter before a unit, or none.
    fn adapters(&self, device: DeviceId, what: &PowerFault, found: &mut Vec<Mend>) {
        let name = self.name(device);
        let mut put = |words: String, change: &dyn Fn(Adapter) -> Adapter| {
            let Some(feed) = self.rig.feed_to(device) else { return };
            let mut feed: Feed = feed.clone();
            for tap in feed.taps.iter_mut().filter(|tap| tap.device == device) {
                tap.adapter = change(tap.adapter);
            }
            found.push(Mend { words, edits: vec![PowerEdit::SetFeed(Box::new(feed))] });
        };
        match *what {
            PowerFault::Reversed { device: at } if at == device => {
                let swaps = self.adapter(device).is_some_and(|adapter| adapter.swaps_poles);
                let words = match swaps {
                    true => format!("Take the adapter that swaps the poles away from {name}"),
                    false => format!("Put an adapter that swaps the poles before {name}"),
                };
                put(words, &|adapter| Adapter { swaps_poles: !swaps, ..adapter });
            }
            PowerFault::WrongPlug { device: at, socket, .. } if at == device => {
                let own = self.rig.feed_to(device).and_then(|feed| self.connector(feed));
                let plug = (own != Some(socket)).then_some(socket);
                let words = match plug {
                    Some(plug) => format!("Put an adapter before {name} that ends in “{}”", plug.name()),
                    None => format!("Take the adapter away from {name}"),
                };
                put(words, &|adapter| Adapter { plug, ..adapter });
            }
            _ => {}
        }
    }

    /// A pair taken apart: the lead begins at one outlet only.
    fn part(&self, problem: &PowerProblem, found: &mut Vec<Mend>) {
        let Some(feed) = problem.feed.and_then(|id| self.rig.feed(id)) else { return };
        for outlet in feed.from.outlets() {
            let alone = Feed { from: FeedFrom::One(outlet), ..feed.clone() };
            let words = format!("Take the pair apart and stay on {}", self.outlet(outlet));
            found.push(Mend { words, edits: vec![PowerEdit::SetFeed(Box::new(alone))] });
        }
    }

    fn adapter(&self, device: DeviceId) -> Option<Adapter> {
        let taps = &self.rig.feed_to(device)?.taps;
        taps.iter().find(|tap| tap.device == device).map(|tap| tap.adapter)
    }

    fn connector(&self, feed: &Feed) -> Option<Connector> {
        feed.from.outlets().next().and_then(|outlet| self.rig.outlet(outlet)).map(|outlet| outlet.connector)
    }

    fn name(&self, device: DeviceId) -> String {
        device_name(self.rig, device)
    }

    /// "outlet 4", and of which supply where there are several.
    fn outlet(&self, outlet: OutletRef) -> String {
        let several = self.rig.supplies().count() > 1;
        let one = self.rig.device(outlet.supply).and_then(|d| d.kind.supply()).is_some_and(|s| s.outlets.len() == 1);
        match (several, one) {
            (true, true) => self.name(outlet.supply),
            (true, false) => format!("outlet {} of {}", outlet.outlet, self.name(outlet.supply)),
            (false, _) => format!("outlet {}", outlet.outlet),
        }
    }
}

fn score(check: &Check) -> Score {
    let plugs = || check.problems.iter().filter(|problem| !problem.what.is_of_mains());
    let unfed = |problem: &&PowerProblem| matches!(problem.what, PowerFault::Unfed { .. });
    let count = |severity| plugs().filter(|problem| problem.severity == severity && !unfed(problem)).count();
    let behind = plugs().filter(|problem| matches!(problem.what, PowerFault::Unfed { at: Some(_), .. })).count();
    [count(Severity::Danger), count(Severity::Act), check.unfed.len() + behind, count(Severity::Know)]
}

fn sharing(check: &Check) -> usize {
    check.zero_volts.all().map(|(_, devices)| devices.len()).filter(|count| *count > 1).sum()
}

fn fullest(check: &Check) -> f64 {
    let outlets = check.supplies.iter().flat_map(|supply| &supply.outlets);
    outlets.map(|outlet| outlet.load.part()).fold(0.0, f64::max)
}

/// Whether two are about the same thing, whatever their figures.
fn same(a: &PowerFault, b: &PowerFault) -> bool {
    let scope = |what: &PowerFault| match *what {
        PowerFault::Over { scope, .. } | PowerFault::StartUp { scope, .. } | PowerFault::Tight { scope, .. } => {
            Some(scope)
        }
        _ => None,
    };
    match (scope(a), scope(b)) {
        (Some(a), Some(b)) => a == b,
        (None, None) => a.key() == b.key() && a.devices().first() == b.devices().first(),
        _ => false,
    }
}
