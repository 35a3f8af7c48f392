//! What can be asked of a search for supplies, and what it answers.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::check::Headroom;
use crate::rig::{
    Adapter, DeviceId, Edit, Feed, FeedFrom, FeedId, Id, OutletRef, PowerEdit, Rig, Tap, VariantId, placeholder,
};

/// How much a wish weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Weight {
    /// It doesn't matter.
    Nothing,
    /// It is kept where that leaves nobody without power.
    #[default]
    Wish,
    /// A unit rather goes without than that it isn't kept.
    Must,
}

impl Weight {
    /// All of them, the lightest first.
    pub const ALL: [Self; 3] = [Self::Nothing, Self::Wish, Self::Must];
}

/// The rules that an allocation keeps. Right voltage, right kind of current,
/// ratings, no shorts, one unit to an AC winding, and positive ground on a lead
/// of its own are always kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Rules {
    /// How much of what is rated may be used.
    pub headroom: Headroom,
    /// Adapters for polarity and plug may be used.
    pub adapters: bool,
    /// Two outlets may be put in series, or in parallel where their maker allows it.
    pub pairs: bool,
    /// The two outlets of a pair may be of two boxes.
    pub across: bool,
    /// So many plugs may hang on one daisy lead; with 1 there are none.
    pub most_plugs: u8,
    /// Units are kept apart as they want, and digital ones from analogue ones on a lead.
    pub keep_apart: Weight,
    /// Few drives, fuzzes and compressors, and little gain, on one 0 V.
    pub few_gains: Weight,
    /// The headroom is kept. Ratings are, in any case.
    pub margin: Weight,
    /// Outlets may be set to another voltage.
    pub selectors: bool,
    /// Units that are to have an outlet of their own.
    pub own_outlet: BTreeSet<DeviceId>,
    /// Units that are to have a 0 V of their own.
    pub isolated: BTreeSet<DeviceId>,
    /// Units that may run at another voltage than now; all others keep theirs where that can be.
    pub released: BTreeSet<DeviceId>,
}

impl Default for Rules {
    /// All that helps, and up to five plugs on a lead. [practice, S: too-large]
    fn default() -> Self {
        Self {
            headroom: Headroom::default(),
            adapters: true,
            pairs: true,
            across: true,
            most_plugs: 5,
            keep_apart: Weight::Wish,
            few_gains: Weight::Wish,
            margin: Weight::Wish,
            selectors: true,
            own_outlet: BTreeSet::new(),
            isolated: BTreeSet::new(),
            released: BTreeSet::new(),
        }
    }
}

/// All that an allocation depends on. Modules stay where they are plugged in;
/// one that hangs nowhere is plugged in where it helps, without an adapter, but
/// not on a module that is fed by a plain plug itself.
#[derive(Debug, Clone, PartialEq)]
pub struct AllocationQuestion {
    /// The rig with its supplies. How its units are fed now matters only as far as each keeps its voltage.
    pub rig: Arc<Rig>,
    /// The rules.
    pub rules: Rules,
}

/// What an allocation costs in comfort, compared from the first number on: this
/// is the order of wishes. What could destroy something, or doesn't work, is no
/// allocation at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Penalty {
    /// Units that go without.
    pub unfed: u32,
    /// Units that run at another voltage than now, though nobody released them.
    pub changed: u32,
    /// What is likely noisy: units on a 0 V with one that should be apart, leads with digital and analogue
    /// units, and of drives, fuzzes and compressors on one 0 V those beyond the second, one at least where
    /// all on it have more than about 40 dB of gain together.
    pub noisy: u32,
    /// Outlets, groups and supplies that carry more than the headroom allows.
    pub tight: u32,
    /// Adapters, and the special leads of pairs.
    pub adapters: u32,
    /// Units beyond the first on each lead, and beyond the first on each 0 V: each can close a ground loop.
    pub sharing: u32,
    /// What all units together take, in µW.
    pub microwatts: u64,
}

/// One lead of an allocation.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// Where it begins.
    pub from: FeedFrom,
    /// What its outlets are set to, counted from 1.
    pub settings: Vec<(OutletRef, u8)>,
    /// What it feeds, the hungriest first.
    pub plugs: Vec<(DeviceId, Adapter)>,
}

/// The best way to feed a rig's units from its supplies.
#[derive(Debug, Clone, PartialEq)]
pub struct Allocation {
    /// The leads, by their outlets.
    pub placed: Vec<Placed>,
    /// Drawn leads of modules that get something wrong there, and are unplugged.
    pub wrong: Vec<FeedId>,
    /// Units that go without, in the rig's order.
    pub unfed: Vec<DeviceId>,
    /// Units that run at another voltage than before, in the rig's order.
    pub changed: Vec<Changed>,
    /// What is likely noisy, by its 0 V and leads.
    pub noisy: Vec<Noisy>,
    /// What it costs in comfort.
    pub penalty: Penalty,
    /// Whether nothing better is possible, every other way having been ruled out.
    pub proved: bool,
    /// What stands in the way, if not all units can be fed; none where modules alone are too much for what
    /// feeds them.
    pub conflict: Option<Conflict>,
}

/// A unit that an allocation runs at another voltage than before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Changed {
    /// Which.
    pub device: DeviceId,
    /// The rated voltage of what fed it, in V.
    pub was: f64,
    /// Of what feeds it then, in V.
    pub now: f64,
}

/// Units that together are likely noisy.
#[derive(Debug, Clone, PartialEq)]
pub struct Noisy {
    /// Which, in the rig's order.
    pub units: Vec<DeviceId>,
    /// Why.
    pub why: Noise,
}

/// Why units together are likely noisy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Noise {
    /// They share a 0 V, and some of them should be apart.
    Together,
    /// Digital and analogue ones hang on one lead.
    OneLead,
    /// Much gain on one 0 V.
    Gain {
        /// Drives, fuzzes and compressors among them.
        stages: u16,
        /// All their levels above 0 dB together, in dB.
        gain: f64,
    },
}

/// Units that can't all be fed, while any one of them less can.
#[derive(Debug, Clone, PartialEq)]
pub struct Conflict {
    /// Which, in the rig's order.
    pub units: Vec<DeviceId>,
    /// What would let all units be fed; the smallest set to leave out comes first.
    pub cures: Vec<Cure>,
    /// Whether it was proved that they can't, and that any one less can.
    pub proved: bool,
}

/// Something after which every unit that is left can be fed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Cure {
    /// These units go without; where the allocation is proved, no smaller number of them would do.
    LeaveOut(Vec<DeviceId>),
    /// One rule less.
    Relax(Relaxation),
}

/// A rule that can be given up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Relaxation {
    /// Allow adapters.
    Adapters,
    /// Allow pairs of outlets.
    Pairs,
    /// Allow up to five plugs on a lead.
    Daisy,
    /// Let the player's wishes for own outlets and own 0 V go.
    Wishes,
    /// Let digital and analogue units share a 0 V, though the player said never.
    KeepApart,
    /// Let many drives and much gain share a 0 V, though the player said never.
    FewGains,
    /// Use ratings to the full, though the player said never.
    Headroom,
}

impl Relaxation {
    /// All of them, the mildest first.
    pub const ALL: [Self; 7] =
        [Self::Adapters, Self::Pairs, Self::Daisy, Self::Wishes, Self::KeepApart, Self::FewGains, Self::Headroom];

    /// The rules without it; none if they are the same.
    #[must_use]
    pub fn of(self, rules: &Rules) -> Option<Rules> {
        let mut relaxed = rules.clone();
        match self {
            Self::Adapters => relaxed.adapters = true,
            Self::Pairs => relaxed.pairs = true,
            Self::Daisy => relaxed.most_plugs = relaxed.most_plugs.max(Rules::default().most_plugs),
            Self::Wishes => {
                relaxed.own_outlet.clear();
                relaxed.isolated.clear();
            }
            Self::KeepApart => relaxed.keep_apart = relaxed.keep_apart.min(Weight::Wish),
            Self::FewGains => relaxed.few_gains = relaxed.few_gains.min(Weight::Wish),
            Self::Headroom => relaxed.margin = relaxed.margin.min(Weight::Wish),
        }
        (relaxed != *rules).then_some(relaxed)
    }
}

impl Placed {
    /// The feed that it is, under an id.
    #[must_use]
    pub fn feed(&self, id: FeedId) -> Feed {
        let plug = |(at, (device, adapter)): (usize, &(DeviceId, Adapter))| {
            let tap = if at == 0 { Tap::first(*device) } else { Tap::next(*device) };
            Tap { adapter: *adapter, ..tap }
        };
        Feed { id, from: self.from, gauge: Feed::USUAL_GAUGE, taps: self.plugs.iter().enumerate().map(plug).collect() }
    }

    /// Whether a rig is fed like this already.
    fn is_drawn(&self, rig: &Rig) -> bool {
        let alike = |feed: &&Feed| {
            feed.from == self.from
                && feed.taps.len() == self.plugs.len()
                && self.plugs.iter().all(|(device, adapter)| {
                    feed.taps.iter().any(|tap| tap.device == *device && tap.adapter == *adapter)
                })
        };
        rig.feeds.iter().any(|feed| alike(&feed))
    }
}

impl Allocation {
    /// The edit that feeds a rig like this: one batch. Leads that are right
    /// already stay as they are, lengths and all.
    #[must_use]
    pub fn edit(&self, rig: &Rig, variant: VariantId) -> Edit {
        self.edit_numbered(rig, variant, placeholder(0))
    }

    /// The same, new leads numbered from `first` on.
    pub(super) fn edit_numbered(&self, rig: &Rig, variant: VariantId, first: Id) -> Edit {
        let power = |edit| Edit::Power { variant, edit };
        let is_module = |tap: &Tap| rig.device(tap.device).is_some_and(|device| device.kind.supply().is_some());
        let stays = |feed: &Feed| self.placed.iter().any(|placed| placed.from == feed.from && placed.is_drawn(rig));
        let mut edits = Vec::new();
        for feed in rig.feeds.iter().filter(|feed| !stays(feed)) {
            let modules: Vec<Tap> = feed.taps.iter().filter(|tap| is_module(tap)).copied().collect();
            if modules.is_empty() || self.wrong.contains(&feed.id) {
                edits.push(power(PowerEdit::RemoveFeed(feed.id)));
            } else if modules.len() < feed.taps.len() {
                // Units leave the lead that feeds a module.
                edits.push(power(PowerEdit::SetFeed(Box::new(Feed { taps: modules, ..feed.clone() }))));
            }
        }
        let set = self.placed.iter().flat_map(|placed| &placed.settings);
        let changed = set.filter(|(outlet, setting)| rig.outlet(*outlet).is_some_and(|there| there.chosen != *setting));
        edits.extend(changed.map(|(outlet, setting)| power(PowerEdit::Choose { outlet: *outlet, setting: *setting })));
        let new = self.placed.iter().filter(|placed| !placed.is_drawn(rig));
        edits.extend(
            (first..).zip(new).map(|(id, placed)| power(PowerEdit::AddFeed(Box::new(placed.feed(FeedId(id)))))),
        );
        Edit::Batch(edits)
    }
}
