//! A question of assignment in plain numbers: items, slots, and what they may share.

use super::cost::Cost;
use super::mix::{Colour, Ease, Member};

/// Sizes are whole numbers; what one is in what budgets count.
pub const GRAIN: f64 = 1e-9;

/// So many of size are one of what budgets count.
pub const SIZES_IN_ONE: f64 = 1e9;

/// A sum that equals its capacity on paper is within it.
pub const LAST_BIT: f64 = 1e-9;

/// Items that are alike in all that matters.
#[derive(Debug, Clone, Default)]
pub struct Kind {
    /// The ways into one slot; those into one slot and mode stand together, in the order of the slots.
    pub singles: Vec<Single>,
    /// The ways into two.
    pub pairs: Vec<Pair>,
    /// Takes a slot, and is no member of its group.
    pub aside: bool,
    /// What it is to others in its group.
    pub member: Member,
    /// Shares a slot with nobody.
    pub alone_in_slot: bool,
    /// Shares a group with nobody.
    pub alone_in_group: bool,
    /// Never shares a group with the other colour.
    pub strict: bool,
    /// Shares a group with its like alone, all of them in one slot.
    pub sealed: bool,
    /// May share the group of a mode that is exclusive.
    pub shares_exclusive: bool,
    /// Only kinds of one number are exchanged for each other.
    pub exchange: usize,
    /// Kinds of which each item's place would do for an item of this one, for no more. Found by
    /// [`Instance::find_symmetries`].
    pub heavier: Vec<usize>,
}

/// One way of putting an item into one slot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Single {
    /// Which slot.
    pub slot: usize,
    /// In which of its modes.
    pub mode: u8,
    /// All items in a slot are flipped or none is.
    pub flipped: bool,
    /// How much it takes of the slot.
    pub size: Size,
    /// What that costs by itself.
    pub cost: Cost,
}

/// One way of putting an item into two slots, which nobody shares then.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// The slot whose group the item is a member of.
    pub first: usize,
    /// The other; where its group is another, that is closed to all others.
    pub second: usize,
    /// The modes of both.
    pub modes: (u8, u8),
    /// Whether it is flipped.
    pub flipped: bool,
    /// How much it takes.
    pub size: Size,
    /// The part of that in each slot.
    pub shares: (f64, f64),
    /// What that costs by itself.
    pub cost: Cost,
}

/// How much an item takes, of two kinds of capacity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Size {
    /// Of the steady capacity.
    pub steady: i64,
    /// Of the capacity for peaks.
    pub peak: i64,
}

/// What takes items.
#[derive(Debug, Clone)]
pub struct Slot {
    /// What it can be to its items; all of them have it in one mode.
    pub modes: Vec<Mode>,
    /// The group of slots that it belongs to.
    pub group: usize,
    /// The budgets that its items count against, and the weight of each.
    pub budgets: Vec<(usize, f64)>,
    /// Only slots of one number are exchanged for each other.
    pub exchange: usize,
    /// Slots of one number can stand for each other. Found by [`Instance::find_symmetries`].
    pub symmetry: usize,
}

/// What a slot is to its items.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mode {
    /// Its steady capacity.
    pub steady: i64,
    /// Up to here it isn't tight.
    pub easy: i64,
    /// Its capacity for peaks.
    pub peak: i64,
    /// How much one of size counts against budgets.
    pub factor: f64,
    /// Modes of one number are the same to all items, but for their capacities. Below 2⁶².
    pub quality: u64,
    /// The first item in it has its group for itself.
    pub exclusive: bool,
}

/// A sum over several slots that may not be passed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Budget {
    /// Of steady sizes.
    pub steady: f64,
    /// Of peaks.
    pub peak: f64,
    /// Up to here it isn't tight; below zero where it is in any case.
    pub easy: f64,
}

/// Slots whose items are members of one group.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Group {
    /// No item may be a member.
    pub closed: bool,
}

/// The whole question. How many items there are of each kind is said with it.
#[derive(Debug, Clone)]
pub struct Instance {
    /// The kinds of items.
    pub kinds: Vec<Kind>,
    /// The slots, at most [`MOST_PLACES`](crate::matching::MOST_PLACES).
    pub slots: Vec<Slot>,
    /// The groups, as many at most.
    pub groups: Vec<Group>,
    /// The budgets.
    pub budgets: Vec<Budget>,
    /// Items that one slot takes, at least one.
    pub most_items: u8,
    /// Whether both colours may be in one slot.
    pub mixes_colours: bool,
    /// Whether a slot with both is a conflict.
    pub minds_mixed: bool,
    /// What goes together in a group without conflict.
    pub ease: Ease,
    /// Whether more than that may be in a group.
    pub allows_excess: bool,
    /// Whether conflicts are counted at all.
    pub weighs_conflicts: bool,
    /// Modes and budgets that are tight before any item is placed.
    pub tight: u32,
}

impl Instance {
    /// Ways, of all kinds together.
    #[must_use]
    pub fn size(&self) -> usize {
        self.kinds.iter().map(|kind| kind.singles.len() + kind.pairs.len()).sum()
    }

    /// Looks for slots that can stand for each other and for kinds that weigh on
    /// others. Ways that are taken away later are taken from all kinds alike.
    pub fn find_symmetries(&mut self) {
        self.find_alike_slots();
        let heavier: Vec<Vec<usize>> = self.kinds.iter().map(|light| self.heavier_than(light)).collect();
        self.kinds.iter_mut().zip(heavier).for_each(|(kind, heavier)| kind.heavier = heavier);
    }

    /// Slots can stand for each other if all about them is the same, and either
    /// they are of one group or each has one that nothing else has.
    fn find_alike_slots(&mut self) {
        let members = self.slots_of_groups();
        let mut firsts: Vec<usize> = Vec::new();
        for at in 0..self.slots.len() {
            let alike = |other: usize| {
                let (a, b) = (&self.slots[at], &self.slots[other]);
                let single = |slot: &Slot| members[slot.group] == 1;
                let group =
                    a.group == b.group || (single(a) && single(b) && self.groups[a.group] == self.groups[b.group]);
                group && a.exchange == b.exchange && a.modes == b.modes && a.budgets == b.budgets
            };
            let known = firsts.iter().position(|first| alike(*first));
            self.slots[at].symmetry = known.unwrap_or_else(|| {
                firsts.push(at);
                firsts.len() - 1
            });
        }
    }

    /// How many slots each group has.
    pub(super) fn slots_of_groups(&self) -> Vec<usize> {
        let mut members = vec![0; self.groups.len()];
        for slot in &self.slots {
            members[slot.group] += 1;
        }
        members
    }

    /// Kinds that are the same to others and can be nowhere where this one couldn't, taking less somewhere.
    fn heavier_than(&self, light: &Kind) -> Vec<usize> {
        let traits = |kind: &Kind| {
            let own = (kind.alone_in_slot, kind.alone_in_group, kind.sealed, kind.shares_exclusive);
            (kind.aside, kind.member, kind.strict, own, kind.exchange)
        };
        let less = |a: (Size, Cost), b: (Size, Cost)| a.0.is_within(&b.0) && a.1 <= b.1;
        let single = |a: &Single, b: &Single| {
            Single { size: b.size, cost: b.cost, ..*a } == *b && less((a.size, a.cost), (b.size, b.cost))
        };
        let pair = |a: &Pair, b: &Pair| {
            Pair { size: b.size, cost: b.cost, ..*a } == *b && less((a.size, a.cost), (b.size, b.cost))
        };
        let covers = |light: &Kind, heavy: &Kind| {
            // Both stand in one order, so one walk over both finds all that is in both.
            let (mut singles, mut pairs) = (light.singles.iter(), light.pairs.iter());
            heavy.singles.iter().all(|there| singles.any(|own| single(own, there)))
                && heavy.pairs.iter().all(|there| pairs.any(|own| pair(own, there)))
        };
        let is_heavier = |heavy: &Kind| traits(light) == traits(heavy) && covers(light, heavy) && !covers(heavy, light);
        (0..self.kinds.len()).filter(|at| is_heavier(&self.kinds[*at])).collect()
    }
}

impl Kind {
    /// Whether its items are of the first colour.
    #[must_use]
    pub fn is_first(&self) -> bool {
        self.member.colour == Colour::First
    }
}

impl Slot {
    /// What a part of a size counts against a budget of weight 1.
    #[must_use]
    pub fn weighed(&self, mode: u8, size: i64, part: f64) -> f64 {
        self.modes[usize::from(mode)].factor * size as f64 * GRAIN * part
    }
}

impl Size {
    /// Whether it is no more than another in anything.
    #[must_use]
    pub fn is_within(&self, other: &Self) -> bool {
        self.steady <= other.steady && self.peak <= other.peak
    }
}
