//! The least supplies that feed a rig's units, of the whole catalogue, proved.

mod covering;
mod hosts;
mod search;
mod tryout;

use std::sync::Arc;

use rigwright_search::Allowance;
use rigwright_search::cover::Cost;

use super::allocate::terms::{self, InUse, Terms};
use super::allocate::{allocate_from, modules, units};
use super::question::{Allocation, AllocationQuestion, Rules, Weight};
use crate::parts::{Part, catalogue};
use crate::rig::{Device, DeviceId, Edit, FeedId, Id, Kind, Power, Rig, VariantId};
use crate::units::Price;
use crate::watch::{Part as Portion, Stopped, Watch};

/// What is to be the least; where two sets are equal in that, the cheaper is the less.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Least {
    /// Money; the catalogue's prices are invented.
    Money,
    /// Boxes to carry.
    Boxes,
    /// Wall sockets.
    MainsPlugs,
    /// Room on the board.
    BoardArea,
}

impl Least {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Money, Self::Boxes, Self::MainsPlugs, Self::BoardArea];

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Money => "least money",
            Self::Boxes => "fewest boxes",
            Self::MainsPlugs => "fewest mains plugs",
            Self::BoardArea => "least room on the board",
        }
    }
}

/// All that the least supplies depend on.
#[derive(Debug, Clone, PartialEq)]
pub struct LeastQuestion {
    /// The rig; how its units are fed now doesn't matter.
    pub rig: Arc<Rig>,
    /// The rules. A pair is always of one box here, and headroom is always kept: what is to be got had
    /// better be enough.
    pub rules: Rules,
    /// What is to be the least.
    pub least: Least,
    /// Whether the rig's own supplies stay and count for nothing, so that the answer says what to add.
    pub keep: bool,
    /// Whether batteries may be used.
    pub batteries: bool,
    /// The keys of the parts that may be used; none for the whole catalogue.
    pub parts: Option<Vec<String>>,
}

/// What a set of supplies comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Totals {
    /// In the project's currency; prices are invented.
    pub money: Price,
    /// Boxes, modules and plug-tops too.
    pub boxes: usize,
    /// Wall sockets.
    pub mains_plugs: usize,
    /// Room on the board in m².
    pub board_area: f64,
}

/// So many of one part of the catalogue.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bought {
    /// The part's key.
    pub part: String,
    /// How many.
    pub count: usize,
}

/// The least supplies, and how they feed the rig.
#[derive(Debug, Clone, PartialEq)]
pub struct LeastAnswer {
    /// What to get, in the catalogue's order; none if nothing feeds all units.
    pub bought: Option<Vec<Bought>>,
    /// What that comes to.
    pub totals: Totals,
    /// The rig with those supplies; those that stay feed what they fed.
    pub rig: Arc<Rig>,
    /// The best way of feeding its units then.
    pub allocation: Allocation,
    /// Units that nothing in the catalogue feeds under these rules; the answer leaves them out.
    pub hopeless: Vec<DeviceId>,
    /// Whether it is the least of those sets with which nothing is noisy; if not, there are none, and it is
    /// the least of all.
    pub quiet: bool,
    /// Whether it was proved that nothing less does.
    pub proved: bool,
    /// From here on what is new is numbered in `rig` and in the allocation.
    first_free: Id,
    new: Vec<DeviceId>,
    gone: Vec<DeviceId>,
}

/// Steps of an answer, of which the search for each kind of set takes half of what is left.
const MOST_STEPS: u64 = 140_000_000;

/// Searches the catalogue. First of all everybody is fed, then nothing is noisy
/// by its company on a 0 V, as far as the rules weigh that; only then does it
/// count what a set costs. Where no set is quiet, the least of all is the answer,
/// and its allocation says what is noisy there.
///
/// So many steps are taken, and no more; past them it is the least that was found, and isn't proved.
pub fn least(question: &LeastQuestion, watch: &dyn Watch) -> Result<LeastAnswer, Stopped> {
    let rules = Rules { across: false, ..question.rules.clone() };
    let old = |device: &&Device| device.kind.supply().is_some();
    let gone: Vec<DeviceId> = if question.keep {
        Vec::new()
    } else {
        question.rig.devices.iter().filter(old).map(|device| device.id).collect()
    };
    let base = without(&modules::skeleton(&question.rig, rules.headroom.tolerance), &gone);
    let offer = Offer::of(question, &base);
    // What a unit runs at now is for the allocation to keep, and no part of what a set costs.
    let nothing = InUse::new();
    let strict = Terms::strict(&rules, &nothing);
    let search = Portion { whole: watch, from: 0.0, to: 0.6 };
    let allowance = Allowance::of(MOST_STEPS);
    let mut found = offer.search(&strict, &allowance.part(0.5), &search)?;
    let mut quiet = true;
    let weighs = [rules.keep_apart, rules.few_gains].contains(&Weight::Wish);
    if found.counts.is_none() && weighs {
        let search = Portion { whole: watch, from: 0.6, to: 0.9 };
        let proved = found.proved;
        found = offer.search(&Terms { quiet: false, ..strict }, &allowance.part(0.5), &search)?;
        found.proved &= proved;
        quiet = false;
    }
    let Found { counts, hopeless, proved } = found;
    let (parts, fed) = (&offer.parts, counts.is_some());
    let counts = counts.unwrap_or_else(|| vec![0; parts.len()]);
    // Units that nothing feeds are no part of the question any more.
    let free = question.rig.first_free();
    let mut asked = search::with_parts(&base, parts, &counts, free);
    asked.devices.retain(|device| !hopeless.contains(&device.id));
    let last = Portion { whole: watch, from: 0.9, to: 1.0 };
    let in_use = terms::in_use(&question.rig, &rules);
    let mut allocation =
        allocate_from(&AllocationQuestion { rig: Arc::new(asked), rules }, &in_use, &allowance, &last)?;
    allocation.unfed.extend(&hopeless);
    let drawn = without(&question.rig, &gone);
    allocation.wrong.extend(wrong(&drawn, &base));
    let bought = offer.choice.iter().zip(&counts).filter(|(_, count)| **count > 0);
    let bought = bought.map(|(part, count)| Bought { part: part.key.clone(), count: *count }).collect();
    let number = counts.iter().sum::<usize>() as u64;
    Ok(LeastAnswer {
        bought: fed.then_some(bought),
        totals: totals(parts, &counts),
        rig: Arc::new(search::with_parts(&drawn, parts, &counts, free)),
        allocation,
        hopeless,
        quiet,
        proved,
        first_free: free,
        new: (free..free + number).map(DeviceId).collect(),
        gone,
    })
}

/// What can be had, and for whom.
struct Offer<'a> {
    base: &'a Rig,
    choice: Vec<&'static Part>,
    parts: Vec<Device>,
    prices: Vec<Cost>,
    units: Vec<Device>,
    first_free: Id,
}

/// What a search of the catalogue came to.
struct Found {
    /// How many of each part, if any set does.
    counts: Option<Vec<usize>>,
    /// Units that nothing feeds.
    hopeless: Vec<DeviceId>,
    proved: bool,
}

impl<'a> Offer<'a> {
    fn of(question: &LeastQuestion, base: &'a Rig) -> Self {
        let (choice, first_free): (Vec<&Part>, Id) = (choice(question), question.rig.first_free());
        let parts: Vec<Device> = choice.iter().map(|part| part.device(DeviceId(first_free))).collect();
        let prices = parts.iter().map(|part| price(part, question.least)).collect();
        let units = units(base).into_iter().cloned().collect();
        Self { base, choice, parts, prices, units, first_free }
    }

    /// The cheapest set on some terms.
    fn search(&self, terms: &Terms<'_>, allowance: &Allowance<'_>, watch: &dyn Watch) -> Result<Found, Stopped> {
        let (base, parts) = (self.base, &self.parts);
        let all: Vec<&Device> = self.units.iter().collect();
        let problem = |units: &[&Device]| covering::Covering::of(base, parts, &self.prices, units, terms, allowance);
        let mut covering = problem(&all);
        let hopeless = covering.hopeless();
        let rest: Vec<&Device> = all.into_iter().filter(|unit| !hopeless.contains(&unit.id)).collect();
        if !hopeless.is_empty() {
            covering = problem(&rest);
        }
        covering.demand(base, parts, &rest, terms, &allowance.part(0.3));
        let first_free = self.first_free;
        let task = search::Task { base, parts, units: &rest, terms: *terms, first_free, allowance };
        let found = search::search(&task, covering, watch)?;
        Ok(Found { counts: found.best, hopeless, proved: found.proved })
    }
}

impl LeastAnswer {
    /// The edit that gives a rig these supplies and feeds it by them: one batch.
    #[must_use]
    pub fn edit(&self, variant: VariantId) -> Edit {
        let gone = self.gone.iter().map(|device| Edit::RemoveDevice { variant, device: *device });
        let new = self.new.iter().filter_map(|id| self.rig.device(*id));
        let added = new.map(|device| Edit::AddDevice { variant, device: Box::new(device.clone()), place: None });
        let fed = self.allocation.edit_numbered(&self.rig, variant, self.first_free + self.new.len() as u64);
        Edit::Batch(gone.chain(added).chain([fed]).collect()).with_placeholders(self.first_free)
    }
}

/// A rig as it is once devices are taken out, and the leads from them.
fn without(rig: &Rig, gone: &[DeviceId]) -> Rig {
    let mut left = rig.clone();
    left.devices.retain(|device| !gone.contains(&device.id));
    left.feeds.retain(|feed| feed.from.outlets().all(|outlet| !gone.contains(&outlet.supply)));
    for feed in &mut left.feeds {
        feed.taps.retain(|tap| !gone.contains(&tap.device));
    }
    left.feeds.retain(|feed| !feed.taps.is_empty());
    left
}

/// Drawn leads of modules that were plugged in wrongly, and so aren't part of the question.
fn wrong(drawn: &Rig, base: &Rig) -> Vec<FeedId> {
    let is_module = |id: DeviceId| drawn.device(id).is_some_and(|device| device.kind.supply().is_some());
    let feeds = drawn.feeds.iter().filter(|feed| feed.taps.iter().any(|tap| is_module(tap.device)));
    feeds.filter(|feed| base.feed(feed.id).is_none()).map(|feed| feed.id).collect()
}

/// The parts that may be used: of those that ship with the program, and none of the player's own, so that
/// two machines answer alike.
fn choice(question: &LeastQuestion) -> Vec<&'static Part> {
    let may = |part: &&Part| {
        let named = question.parts.as_ref().is_none_or(|keys| keys.contains(&part.key));
        let battery = matches!(part.power, Power::Battery(_));
        named && (question.batteries || !battery) && matches!(part.kind, Kind::Supply(_))
    };
    catalogue().parts.iter().filter(may).collect()
}

fn area(part: &Device) -> f64 {
    part.body.size.metres().map_or(0.0, |[width, length, _]| width * length)
}

/// What is to be the least, then money; of sets at one price, the one with fewer boxes.
fn price(part: &Device, least: Least) -> Cost {
    let cents = (part.body.price.get() * 100.0).round();
    let plugs = if matches!(part.power, Power::Mains(_)) { 1.0 } else { 0.0 };
    let (first, then) = match least {
        Least::Money => (cents, 1.0),
        Least::Boxes => (1.0, cents + 1.0),
        Least::MainsPlugs => (plugs, cents + 1.0),
        Least::BoardArea => ((area(part) * 1e6).round(), cents + 1.0),
    };
    Cost { first, then }
}

fn totals(parts: &[Device], counts: &[usize]) -> Totals {
    let sum = |of: &dyn Fn(&Device) -> f64| -> f64 {
        parts.iter().zip(counts).map(|(part, count)| of(part) * *count as f64).sum()
    };
    Totals {
        money: Price::clamped(sum(&|part| part.body.price.get())),
        boxes: counts.iter().sum(),
        mains_plugs: sum(&|part| if matches!(part.power, Power::Mains(_)) { 1.0 } else { 0.0 }) as usize,
        board_area: sum(&area),
    }
}
