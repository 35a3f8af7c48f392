//! Units of one colour that are still to be fed: how many sockets they need at least.

use super::{Group, Groups, State};
use crate::power::allocate::matching::{self, Places};
use crate::power::allocate::search::Cost;

/// Kinds of units that can share a socket with each other: they want the same voltage, form and company.
pub struct Colour {
    pub digital: bool,
    /// Which kinds, those that draw least first.
    pub by_running: Vec<usize>,
    /// The same, those that draw least at the start first.
    pub by_start_up: Vec<usize>,
    /// What each socket gives at most as they want it: running and at the start, nA.
    pub gives: Vec<(i64, i64)>,
}

/// What is left to feed of a colour, in a state of the search.
#[derive(Debug, Clone, Default)]
pub struct Crowd {
    pub digital: bool,
    count: usize,
    free: Places,
    open: Places,
    pair: Places,
    /// Free sockets that they use or take away.
    pub reach: Places,
    /// All 0 Vs not in use that a pair of it could take.
    pub pair_zero_volts: Places,
    /// Whether some pair of it leaves the second's 0 V alone.
    pub pair_shares: bool,
    /// 0 Vs that a pair of it could stand on; it takes all of one.
    uppers: Places,
    /// Free sockets that a pair takes away at least.
    pub pair_takes: usize,
    /// What a pair costs more at least than the least that a unit costs.
    pub extra: Cost,
    /// Units at most that single sockets feed.
    on_singles: usize,
    /// Units on sockets in use already, at most.
    on_open: usize,
    /// Units on each free socket at most, the roomiest first.
    on_free: Vec<usize>,
    /// nA left on each free socket, the strongest first.
    left: Vec<i64>,
    /// nA left on sockets in use.
    left_open: i64,
    /// nA that the so many hungriest least draw together, from none up.
    running: Vec<i64>,
}

impl Crowd {
    /// None if nobody of the colour is left who could be fed by a single socket.
    pub fn of(groups: &Groups, colour: &Colour, state: &State<'_>) -> Option<Self> {
        let mut crowd = Self { digital: colour.digital, extra: Cost::MAX, running: vec![0], ..Self::default() };
        let takes_part = |kind: &usize| {
            let reach = &state.reach[*kind];
            state.remaining[*kind] > 0 && !reach.is_nothing() && !reach.only_pairs()
        };
        for kind in colour.by_running.iter().copied().filter(takes_part) {
            let reach = &state.reach[kind];
            crowd.count += state.remaining[kind];
            crowd.free |= reach.free;
            crowd.open |= reach.open;
            if reach.pair != 0 {
                crowd.pair |= reach.pair;
                crowd.pair_zero_volts |= reach.pair_zero_volts;
                crowd.pair_shares |= reach.pair_shares;
                crowd.uppers |= reach.uppers;
                crowd.extra = crowd.extra.min(state.extras[kind]);
            }
            let mut sum = crowd.running.last().copied().unwrap_or(0);
            for _ in 0..state.remaining[kind] {
                sum += groups.least_running[kind];
                crowd.running.push(sum);
            }
        }
        if crowd.count == 0 {
            return None;
        }
        let smallest = |order: &[usize], draw: &[i64], left: i64, most: usize| {
            let (mut count, mut sum) = (0, 0);
            for kind in order.iter().copied().filter(takes_part) {
                for _ in 0..state.remaining[kind] {
                    sum += draw[kind];
                    if sum > left || count == most {
                        return count;
                    }
                    count += 1;
                }
            }
            count
        };
        let left = |at: usize| {
            let (gives, left) = (colour.gives[at], state.left[at]);
            (gives.0.min(left.0), gives.1.min(left.1))
        };
        let fits = |at: usize| {
            let (running, start_up) = left(at);
            let room = smallest(&colour.by_running, &groups.least_running, running, usize::from(state.room[at]));
            smallest(&colour.by_start_up, &groups.least_start_up, start_up, room)
        };
        crowd.on_open = matching::each(crowd.open).map(fits).sum();
        crowd.left_open = matching::each(crowd.open).map(|at| left(at).0).sum();
        crowd.on_free = matching::each(crowd.free).map(fits).collect();
        crowd.left = matching::each(crowd.free).map(|at| left(at).0).collect();
        crowd.on_free.sort_unstable_by(|a, b| b.cmp(a));
        crowd.left.sort_unstable_by(|a, b| b.cmp(a));
        crowd.on_singles = (0..=crowd.count).rev().find(|units| crowd.sockets(*units).is_some()).unwrap_or(0);
        crowd.reach = crowd.free | crowd.pair;
        crowd.pair_takes = 2;
        if crowd.uppers != 0 && !crowd.pair_shares {
            // All free sockets of the upper 0 V, and the lower one.
            let free = state.free();
            let members = || matching::each(crowd.uppers).map(|at| groups.members[at] & free);
            crowd.pair_takes = 1 + members().map(|places| places.count_ones() as usize).min().unwrap_or(1);
            crowd.reach |= members().fold(0, |all, places| all | places);
        }
        Some(crowd)
    }

    /// Free sockets that so many of the units need at least, one plug each; none if there aren't enough.
    fn sockets(&self, units: usize) -> Option<usize> {
        let (mut plugs, mut current) = (self.on_open, self.left_open);
        let mut sockets = 0;
        for (room, left) in self.on_free.iter().zip(&self.left) {
            if plugs >= units && current >= self.running[units] {
                return Some(sockets);
            }
            plugs += room;
            current += left;
            sockets += 1;
        }
        (plugs >= units && current >= self.running[units]).then_some(sockets)
    }

    /// Units that go without at least, whatever the others have.
    pub fn without(&self) -> usize {
        self.count - self.on_singles - self.paired()
    }

    /// Units that have a pair or nothing, those left out that can't even have that.
    pub fn paired(&self) -> usize {
        let most = match (self.pair, self.pair_shares) {
            (0, _) => 0,
            (_, true) => usize::MAX,
            (_, false) => self.uppers.count_ones() as usize,
        };
        (self.count - self.on_singles).min(most)
    }

    /// The group that they are, and plugs that are left over for units of several colours.
    pub fn group(&self, state: &State<'_>) -> (Group, usize) {
        let most_plugs = usize::from(state.it.most_plugs);
        let room: usize = matching::each(self.open).map(|at| usize::from(state.room[at])).sum();
        let reach = self.reach;
        if self.pair != 0 {
            let count = self.count - self.without();
            let takes = |units: usize| Some(self.sockets(units)? + self.pair_takes * (count - units));
            let needs = (0..=self.on_singles).filter_map(takes).min().unwrap_or(0);
            let group = Group { reach, needs, first: 1, next: 1, saves: self.pair_takes };
            return (group, self.free.count_ones() as usize * most_plugs + room);
        }
        let fed = self.on_singles;
        let over = fed.saturating_sub(room);
        let by_plugs = over.div_ceil(most_plugs);
        let needs = self.sockets(fed).unwrap_or(0);
        let spare = (needs * most_plugs + room).saturating_sub(fed);
        let group = if needs > by_plugs {
            // One unit less may be the one that needed them all.
            Group { reach, needs, first: 1, next: 1, saves: needs }
        } else {
            let first = if over == 0 { 0 } else { (over - 1) % most_plugs + 1 };
            Group { reach, needs, first, next: most_plugs, saves: 1 }
        };
        (group, spare)
    }
}
