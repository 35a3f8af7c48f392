//! What an unfinished assignment costs at least, by counting slots.
//!
//! Items that can never share a slot, for they want another mode or another
//! colour beside them, need slots of their own. So each class of items requires
//! so many, and of the slots that some classes can reach there have to be enough
//! for all of them together. [textbook: Hall's condition, here with sets that
//! require several]

mod residual;

use self::residual::{Class, Residual};
use super::cost::Cost;
use super::instance::{Instance, Kind, Single};
use super::mix::Colour;
use crate::matching::{self, Places};

/// What a kind can reach in a state of the search.
#[derive(Debug, Clone, Copy, Default)]
pub struct Reach {
    /// Free slots that it fits alone.
    pub free: Places,
    /// Slots in use that it can join.
    pub open: Places,
    /// Slots that it can have as one of a pair.
    pub pair: Places,
    /// Whether some pair of it is of one group.
    pub pair_shares: bool,
    /// Groups that the second slot of a pair could close to others.
    pub closes: Places,
    /// Groups without members that it could have.
    pub groups: Places,
    /// All groups without members that a pair of it could take.
    pub pair_groups: Places,
}

impl Reach {
    pub fn is_nothing(&self) -> bool {
        self.free | self.open | self.pair == 0
    }

    /// Whether nothing but a pair is left for it.
    fn only_pairs(&self) -> bool {
        self.free | self.open == 0 && self.pair != 0
    }
}

/// With which other kinds a kind can share a slot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sharing {
    /// With none.
    Alone,
    /// With those of its class, and with those of several.
    Class(usize),
    /// With several classes whose items in a slot are of one colour.
    Several(Colour),
}

/// What doesn't change in a search.
pub struct Bounds {
    sharing: Vec<Sharing>,
    classes: Vec<Class>,
    /// The slots of each group.
    members: Vec<Places>,
    /// The least steady size of an item of each kind.
    least_steady: Vec<i64>,
    /// And its least peak.
    least_peak: Vec<i64>,
}

impl Bounds {
    pub fn of(it: &Instance) -> Self {
        let mut classes: Vec<(Colour, bool, Vec<u64>)> = Vec::new();
        let modes = |kind: &Kind| {
            // What the mode is tells which kinds can meet in a slot.
            let mut modes: Vec<u64> = kind
                .singles
                .iter()
                .map(|single| {
                    let mode = &it.slots[single.slot].modes[usize::from(single.mode)];
                    mode.quality * 2 + u64::from(single.flipped)
                })
                .collect();
            modes.sort_unstable();
            modes.dedup();
            modes
        };
        let mut sharing = Vec::new();
        for kind in &it.kinds {
            let modes = modes(kind);
            // Where a slot takes both colours, both are of one class.
            let colour = if it.mixes_colours { Colour::First } else { kind.member.colour };
            let exclusive = |single: &Single| it.slots[single.slot].modes[usize::from(single.mode)].exclusive;
            let exclusive = !kind.shares_exclusive && !kind.singles.is_empty() && kind.singles.iter().all(exclusive);
            sharing.push(if kind.alone_in_slot || exclusive || it.most_items == 1 {
                Sharing::Alone
            } else if modes.len() == 1 {
                let class = (colour, kind.sealed, modes);
                let known = classes.iter().position(|other| *other == class);
                Sharing::Class(known.unwrap_or_else(|| {
                    classes.push(class);
                    classes.len() - 1
                }))
            } else {
                Sharing::Several(colour)
            });
        }
        let steady = |kind: &Kind| kind.singles.iter().map(|single| single.size.steady).min().unwrap_or(0);
        let peak = |kind: &Kind| kind.singles.iter().map(|single| single.size.peak).min().unwrap_or(0);
        let least_steady: Vec<i64> = it.kinds.iter().map(steady).collect();
        let least_peak: Vec<i64> = it.kinds.iter().map(peak).collect();
        let class = |(number, (colour, ..)): (usize, &(Colour, bool, Vec<u64>))| {
            let sharing: &[Sharing] = &sharing;
            let kinds = || (0..sharing.len()).filter(move |kind| sharing[*kind] == Sharing::Class(number));
            let (mut by_steady, mut by_peak): (Vec<usize>, Vec<usize>) = (kinds().collect(), kinds().collect());
            by_steady.sort_by_key(|kind| least_steady[*kind]);
            by_peak.sort_by_key(|kind| least_peak[*kind]);
            let mut gives = vec![(0, 0); it.slots.len()];
            for single in kinds().flat_map(|kind| &it.kinds[kind].singles) {
                let mode = &it.slots[single.slot].modes[usize::from(single.mode)];
                let (steady, peak) = &mut gives[single.slot];
                (*steady, *peak) = (mode.steady.max(*steady), mode.peak.max(*peak));
            }
            Class { colour: *colour, by_steady, by_peak, gives }
        };
        let classes = classes.iter().enumerate().map(class).collect();
        let mut members = vec![0; it.groups.len()];
        for (at, slot) in it.slots.iter().enumerate() {
            members[slot.group] |= 1 << at;
        }
        Self { sharing, classes, members, least_steady, least_peak }
    }
}

/// Items that require slots of their own.
#[derive(Debug, Clone, Copy, Default)]
struct Requirement {
    reach: Places,
    /// How many slots they require.
    needs: usize,
    /// So many items less, and they require one less.
    first: usize,
    /// From then on.
    next: usize,
    /// Slots that each item less saves.
    saves: usize,
}

/// A state as far as bounds look at it.
pub struct State<'a> {
    pub it: &'a Instance,
    pub reach: &'a [Reach],
    pub remaining: &'a [usize],
    /// What an item of each kind costs at least, if it is placed.
    pub costs: &'a [Cost],
    /// What it costs more at least by a pair.
    pub extras: &'a [Cost],
    /// Room for more items in each slot, none in those that are closed.
    pub room: &'a [u8],
    /// What is left of each slot's capacities, steady and for peaks; of its largest where it is free.
    pub left: &'a [(i64, i64)],
    /// Items that are known to go without.
    pub floor: usize,
}

impl State<'_> {
    /// The slots that no item is in.
    fn free(&self) -> Places {
        let free = (0..self.it.slots.len()).filter(|at| self.room[*at] == self.it.most_items);
        free.fold(0, |places, at| places | 1 << at)
    }
}

/// Items that go without at least, and items that share a slot and a group at least.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AtLeast {
    pub unplaced: usize,
    /// What those that are placed cost by themselves.
    pub cost: Cost,
    /// How many of each kind those may be.
    pub placed: Vec<usize>,
    /// Items beyond the first in their slots.
    pub sharing_slots: usize,
    /// Items beyond the first in their groups.
    pub sharing_groups: usize,
}

impl Bounds {
    pub fn bound(&self, state: &State<'_>) -> AtLeast {
        let mut kinds: Vec<usize> = (0..state.remaining.len()).filter(|kind| state.remaining[*kind] > 0).collect();
        // The cheapest first: the matching then places the cheapest that can be placed together.
        kinds.sort_unstable_by_key(|kind| state.costs[*kind]);
        let count: usize = kinds.iter().map(|kind| state.remaining[*kind]).sum();
        let forced: usize =
            kinds.iter().filter(|kind| state.reach[**kind].is_nothing()).map(|kind| state.remaining[*kind]).sum();
        let (mut wants, mut free, mut groups, mut costs) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        // Of each item that must have a pair: the slots that it takes beside its own, and whether it takes a second
        // group.
        let (mut taken, mut stacked) = (Vec::new(), 0_usize);
        // Those that are no members share no group.
        let mut aside = 0;
        for &kind in &kinds {
            let reach = &state.reach[kind];
            let is_member = !state.it.kinds[kind].aside;
            aside += if is_member { 0 } else { state.remaining[kind] };
            for _ in 0..state.remaining[kind] {
                wants.push(reach.free | reach.open | reach.pair);
                costs.push((state.costs[kind], kind));
                free.push(reach.free | reach.pair);
                if is_member {
                    groups.push(reach.groups);
                }
                if reach.only_pairs() {
                    taken.push(1);
                    free.push(reach.pair);
                    if !reach.pair_shares {
                        stacked += 1;
                        groups.push(reach.pair_groups);
                    }
                }
            }
        }
        let residuals: Vec<Residual> =
            self.classes.iter().filter_map(|class| Residual::of(self, class, state)).collect();
        // What those cost more that single slots aren't enough for.
        let mut extras = Vec::new();
        for residual in &residuals {
            let paired = residual.paired();
            extras.extend(std::iter::repeat_n(residual.extra, paired));
            free.extend(std::iter::repeat_n(residual.reach, paired * (residual.pair_takes - 1)));
            taken.extend(std::iter::repeat_n(residual.pair_takes - 1, paired));
            if !residual.pair_shares {
                groups.extend(std::iter::repeat_n(residual.pair_groups, paired));
                stacked += paired;
            }
        }
        let ones = vec![1; state.room.len().max(state.it.groups.len())];
        let matched = matching::placed(&wants, state.room);
        costs = costs.into_iter().zip(matched).filter(|(_, matched)| *matched).map(|(cost, _)| cost).collect();
        let mut placed = vec![0; state.remaining.len()];
        let by_matching = count - costs.len();
        let forced = forced + residuals.iter().map(Residual::without).sum::<usize>();
        let unplaced = by_matching.max(forced + self.by_requirements(state, &residuals)).max(state.floor.min(count));
        let left = count - unplaced.min(count);
        // Those that go without may be the ones that would have taken the most.
        let dropped = unplaced - forced.min(unplaced);
        taken.sort_unstable_by(|a, b| b.cmp(a));
        let slots = matching::most(&free, &ones).saturating_sub(taken.iter().skip(dropped).sum());
        let groups = matching::most(&groups, &ones).saturating_sub(stacked.saturating_sub(dropped));
        // Those that go without may be the dearest.
        extras.sort_unstable();
        extras.truncate(extras.len().saturating_sub(dropped));
        let mut cost = extras.into_iter().sum();
        for (one, kind) in costs.into_iter().take(left) {
            cost += one;
            placed[kind] += 1;
        }
        AtLeast {
            unplaced,
            cost,
            placed,
            sharing_slots: left.saturating_sub(slots),
            sharing_groups: left.saturating_sub(aside + groups),
        }
    }

    /// Items that go without for want of slots.
    fn by_requirements(&self, state: &State<'_>, residuals: &[Residual]) -> usize {
        let requirements = self.requirements(state, residuals);
        let mut unions: Vec<Places> = vec![0];
        for requirement in &requirements {
            for at in 0..unions.len() {
                let union = unions[at] | requirement.reach;
                if !unions.contains(&union) && unions.len() < 64 {
                    unions.push(union);
                }
            }
        }
        let free = state.free();
        unions
            .into_iter()
            .map(|union| short(&requirements, union, (union & free).count_ones() as usize))
            .max()
            .unwrap_or(0)
    }

    fn requirements(&self, state: &State<'_>, residuals: &[Residual]) -> Vec<Requirement> {
        let most_items = usize::from(state.it.most_items);
        let mut requirements = Vec::new();
        let mut any = [(0_usize, 0 as Places, 0 as Places); 2];
        for (kind, reach) in state.reach.iter().enumerate() {
            let count = state.remaining[kind];
            if count == 0 || reach.is_nothing() {
                continue;
            }
            let all = reach.free | reach.pair;
            if reach.only_pairs() {
                requirements.push(Requirement { reach: all, needs: 2 * count, first: 1, next: 1, saves: 2 });
                continue;
            }
            match self.sharing[kind] {
                Sharing::Alone => {
                    requirements.push(Requirement { reach: all, needs: count, first: 1, next: 1, saves: 1 })
                }
                // The class has one for all its kinds.
                Sharing::Class(_) => {}
                Sharing::Several(colour) => {
                    let (n, free, open) = &mut any[colour as usize];
                    (*n, *free, *open) = (*n + count, *free | all, *open | reach.open);
                }
            }
        }
        let mut slack = [0_usize; 2];
        for residual in residuals {
            let (requirement, spare) = residual.requirement(state);
            slack[residual.colour as usize] += spare;
            requirements.push(requirement);
        }
        for (colour, (count, free, open)) in any.into_iter().enumerate().filter(|(_, any)| any.0 > 0) {
            let room: usize = matching::each(open).map(|at| usize::from(state.room[at])).sum();
            // Slots that other classes have in use are counted as slack and as room: more than there is.
            let over = count.saturating_sub(slack[colour] + room);
            let first = if over == 0 { 0 } else { (over - 1) % most_items + 1 };
            requirements.push(Requirement {
                reach: free,
                needs: over.div_ceil(most_items),
                first,
                next: most_items,
                saves: 1,
            });
        }
        requirements
    }
}

/// Items that go without if the requirements within a union have so many free slots.
fn short(requirements: &[Requirement], union: Places, free: usize) -> usize {
    let within = || requirements.iter().filter(|requirement| requirement.reach & !union == 0 && requirement.needs > 0);
    let needs: usize = within().map(|requirement| requirement.needs).sum();
    let Some(mut missing) = needs.checked_sub(free).filter(|missing| *missing > 0) else { return 0 };
    // The cheapest way to need fewer: pairs first, then what one item saves, then the rest.
    let mut steps: Vec<(usize, usize)> = Vec::new();
    for requirement in within() {
        if requirement.saves > 1 {
            steps.extend(std::iter::repeat_n((1, requirement.saves), requirement.needs.div_ceil(requirement.saves)));
        } else {
            steps.push((requirement.first, 1));
            steps.extend(std::iter::repeat_n((requirement.next, 1), requirement.needs - 1));
        }
    }
    steps.sort_unstable_by_key(|(items, saves)| (*items, std::cmp::Reverse(*saves)));
    let mut items = 0;
    for (cost, saves) in steps {
        if missing == 0 {
            break;
        }
        items += cost;
        missing = missing.saturating_sub(saves);
    }
    items
}
