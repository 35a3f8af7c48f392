//! What an unfinished allocation costs at least, by counting places.
//!
//! Units that can never share a socket, for they want another voltage or
//! another kind of company, need sockets of their own. So each group of units
//! needs so many, and of the sockets that some groups can reach there have to
//! be enough for all of them together. [textbook: Hall's condition, here with
//! groups that need several]

mod crowd;

use self::crowd::{Colour, Crowd};
use super::instance::{Instance, Type};
use super::matching::{self, Places};
use super::search::Cost;
use crate::rig::Form;

/// What a kind of unit can reach in a state of the search.
#[derive(Debug, Clone, Copy, Default)]
pub struct Reach {
    /// Free sockets that it fits alone.
    pub free: Places,
    /// Sockets in use that it can join.
    pub open: Places,
    /// Sockets that it can have as one of a pair.
    pub pair: Places,
    /// Whether some pair of it leaves the second's 0 V alone.
    pub pair_shares: bool,
    /// 0 Vs that the upper one of a pair could have, for nobody else then.
    pub uppers: Places,
    /// 0 Vs not in use that it could have.
    pub zero_volts: Places,
    /// All 0 Vs not in use that a pair of it could take.
    pub pair_zero_volts: Places,
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

/// How a kind of unit stands to others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Company {
    /// It shares a socket with nobody.
    Solo,
    /// It shares with those of its colour, and with those of any.
    Colour(usize),
    /// It could share with several colours, digital or not.
    Any(bool),
}

/// What doesn't change in a search.
pub struct Groups {
    company: Vec<Company>,
    colours: Vec<Colour>,
    /// The sockets of each 0 V.
    members: Vec<Places>,
    /// nA that a kind draws at least.
    least_running: Vec<i64>,
    /// The same at the start.
    least_start_up: Vec<i64>,
}

impl Groups {
    pub fn of(it: &Instance) -> Self {
        let mut colours: Vec<(bool, bool, Vec<u64>)> = Vec::new();
        let volts = |kind: &Type| {
            // Voltage and form tell which kinds can meet on a socket.
            let mut modes: Vec<u64> = kind
                .singles
                .iter()
                .map(|single| {
                    let level = &it.sockets[single.socket].settings[usize::from(single.setting)];
                    (level.volts * 1e3).round() as u64 * 8 + level.form as u64 * 2 + u64::from(single.swap)
                })
                .collect();
            modes.sort_unstable();
            modes.dedup();
            modes
        };
        let mut company = Vec::new();
        for kind in &it.types {
            let modes = volts(kind);
            // On leads that take both, digital and analogue are of one colour.
            let digital = kind.guest.digital && !it.mixes;
            let alternating = |single: &super::instance::Single| {
                it.sockets[single.socket].settings[usize::from(single.setting)].form == Form::Alternating
            };
            let winding = !kind.shares_winding && !kind.singles.is_empty() && kind.singles.iter().all(alternating);
            company.push(if kind.solo || winding || it.most_plugs == 1 {
                Company::Solo
            } else if modes.len() == 1 {
                let colour = (digital, kind.positive_ground, modes);
                let known = colours.iter().position(|other| *other == colour);
                Company::Colour(known.unwrap_or_else(|| {
                    colours.push(colour);
                    colours.len() - 1
                }))
            } else {
                Company::Any(digital)
            });
        }
        let running = |kind: &Type| kind.singles.iter().map(|single| single.draw.running).min().unwrap_or(0);
        let start_up = |kind: &Type| kind.singles.iter().map(|single| single.draw.start_up).min().unwrap_or(0);
        let least_running: Vec<i64> = it.types.iter().map(running).collect();
        let least_start_up: Vec<i64> = it.types.iter().map(start_up).collect();
        let colour = |(number, (digital, ..)): (usize, &(bool, bool, Vec<u64>))| {
            let company: &[Company] = &company;
            let kinds = || (0..company.len()).filter(move |kind| company[*kind] == Company::Colour(number));
            let (mut by_running, mut by_start_up): (Vec<usize>, Vec<usize>) = (kinds().collect(), kinds().collect());
            by_running.sort_by_key(|kind| least_running[*kind]);
            by_start_up.sort_by_key(|kind| least_start_up[*kind]);
            let mut gives = vec![(0, 0); it.sockets.len()];
            for single in kinds().flat_map(|kind| &it.types[kind].singles) {
                let level = &it.sockets[single.socket].settings[usize::from(single.setting)];
                let (running, start_up) = &mut gives[single.socket];
                (*running, *start_up) = (level.usable.max(*running), level.limit.max(*start_up));
            }
            Colour { digital: *digital, by_running, by_start_up, gives }
        };
        let colours = colours.iter().enumerate().map(colour).collect();
        let mut members = vec![0; it.domains.len()];
        for (at, socket) in it.sockets.iter().enumerate() {
            members[socket.domain] |= 1 << at;
        }
        Self { company, colours, members, least_running, least_start_up }
    }
}

/// A group of units that needs sockets of its own.
#[derive(Debug, Clone, Copy, Default)]
struct Group {
    reach: Places,
    /// Sockets that it needs.
    needs: usize,
    /// So many units less, and it needs one less.
    first: usize,
    /// From then on.
    next: usize,
    /// Sockets that each unit less saves.
    saves: usize,
}

/// A state as far as bounds look at it.
pub struct State<'a> {
    pub it: &'a Instance,
    pub reach: &'a [Reach],
    pub remaining: &'a [usize],
    /// What a unit of each kind costs at least, if it is fed.
    pub costs: &'a [Cost],
    /// What it costs more at least by a pair.
    pub extras: &'a [Cost],
    /// Free plugs of each socket in use, none of those that are closed.
    pub room: &'a [u8],
    /// nA left on each socket, running and at the start, with its strongest setting where it is free.
    pub left: &'a [(i64, i64)],
    /// Units that are known to go without.
    pub floor: usize,
}

impl State<'_> {
    /// The sockets that nobody is on.
    fn free(&self) -> Places {
        let free = (0..self.it.sockets.len()).filter(|at| self.room[*at] == self.it.most_plugs);
        free.fold(0, |places, at| places | 1 << at)
    }
}

/// Units that go without at least, and units that share a lead and a 0 V at least.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AtLeast {
    pub unfed: usize,
    /// Of those that are fed.
    pub cost: Cost,
    /// Which those may be: of which kinds.
    pub fed: Vec<usize>,
    pub leads: usize,
    pub zero_volts: usize,
}

impl Groups {
    pub fn bound(&self, state: &State<'_>) -> AtLeast {
        let mut kinds: Vec<usize> = (0..state.remaining.len()).filter(|kind| state.remaining[*kind] > 0).collect();
        // The cheapest first: the matching then feeds the cheapest that can be fed together.
        kinds.sort_unstable_by_key(|kind| state.costs[*kind]);
        let count: usize = kinds.iter().map(|kind| state.remaining[*kind]).sum();
        let forced: usize =
            kinds.iter().filter(|kind| state.reach[**kind].is_nothing()).map(|kind| state.remaining[*kind]).sum();
        let (mut wants, mut free, mut zero_volts, mut costs) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        // Of each unit that must have a pair: the sockets that it takes beside its own, and whether it takes a second 0 V.
        let (mut taken, mut stacked) = (Vec::new(), 0_usize);
        for &kind in &kinds {
            let reach = &state.reach[kind];
            for _ in 0..state.remaining[kind] {
                wants.push(reach.free | reach.open | reach.pair);
                costs.push((state.costs[kind], kind));
                free.push(reach.free | reach.pair);
                zero_volts.push(reach.zero_volts);
                if reach.only_pairs() {
                    taken.push(1);
                    free.push(reach.pair);
                    if !reach.pair_shares {
                        stacked += 1;
                        zero_volts.push(reach.pair_zero_volts);
                    }
                }
            }
        }
        let crowds: Vec<Crowd> = self.colours.iter().filter_map(|colour| Crowd::of(self, colour, state)).collect();
        // What those cost more that single sockets aren't enough for.
        let mut extras = Vec::new();
        for crowd in &crowds {
            let paired = crowd.paired();
            extras.extend(std::iter::repeat_n(crowd.extra, paired));
            free.extend(std::iter::repeat_n(crowd.reach, paired * (crowd.pair_takes - 1)));
            taken.extend(std::iter::repeat_n(crowd.pair_takes - 1, paired));
            if !crowd.pair_shares {
                zero_volts.extend(std::iter::repeat_n(crowd.pair_zero_volts, paired));
                stacked += paired;
            }
        }
        let ones = vec![1; state.room.len().max(state.it.domains.len())];
        let placed = matching::placed(&wants, state.room);
        costs = costs.into_iter().zip(placed).filter(|(_, placed)| *placed).map(|(cost, _)| cost).collect();
        let mut fed_kinds = vec![0; state.remaining.len()];
        let by_matching = count - costs.len();
        let forced = forced + crowds.iter().map(Crowd::without).sum::<usize>();
        let unfed = by_matching.max(forced + self.by_groups(state, &crowds)).max(state.floor.min(count));
        let fed = count - unfed.min(count);
        // Those that go without may be the ones that would have taken the most.
        let dropped = unfed - forced.min(unfed);
        taken.sort_unstable_by(|a, b| b.cmp(a));
        let leads = matching::most(&free, &ones).saturating_sub(taken.iter().skip(dropped).sum());
        let returns = matching::most(&zero_volts, &ones).saturating_sub(stacked.saturating_sub(dropped));
        // Those that go without may be the dearest.
        extras.sort_unstable();
        extras.truncate(extras.len().saturating_sub(dropped));
        let mut cost = extras.into_iter().sum();
        for (one, kind) in costs.into_iter().take(fed) {
            cost += one;
            fed_kinds[kind] += 1;
        }
        AtLeast {
            unfed,
            cost,
            fed: fed_kinds,
            leads: fed.saturating_sub(leads),
            zero_volts: fed.saturating_sub(returns),
        }
    }

    /// Units that go without for want of sockets.
    fn by_groups(&self, state: &State<'_>, crowds: &[Crowd]) -> usize {
        let groups = self.groups(state, crowds);
        let mut unions: Vec<Places> = vec![0];
        for group in &groups {
            for at in 0..unions.len() {
                let union = unions[at] | group.reach;
                if !unions.contains(&union) && unions.len() < 64 {
                    unions.push(union);
                }
            }
        }
        let free = state.free();
        unions.into_iter().map(|union| short(&groups, union, (union & free).count_ones() as usize)).max().unwrap_or(0)
    }

    fn groups(&self, state: &State<'_>, crowds: &[Crowd]) -> Vec<Group> {
        let most_plugs = usize::from(state.it.most_plugs);
        let mut groups = Vec::new();
        let mut any = [(0_usize, 0 as Places, 0 as Places); 2];
        for (kind, reach) in state.reach.iter().enumerate() {
            let count = state.remaining[kind];
            if count == 0 || reach.is_nothing() {
                continue;
            }
            let all = reach.free | reach.pair;
            if reach.only_pairs() {
                groups.push(Group { reach: all, needs: 2 * count, first: 1, next: 1, saves: 2 });
                continue;
            }
            match self.company[kind] {
                Company::Solo => groups.push(Group { reach: all, needs: count, first: 1, next: 1, saves: 1 }),
                // Those are a crowd.
                Company::Colour(_) => {}
                Company::Any(digital) => {
                    let (n, free, open) = &mut any[usize::from(digital)];
                    (*n, *free, *open) = (*n + count, *free | all, *open | reach.open);
                }
            }
        }
        let mut slack = [0_usize; 2];
        for crowd in crowds {
            let (group, spare) = crowd.group(state);
            slack[usize::from(crowd.digital)] += spare;
            groups.push(group);
        }
        for (digital, (count, free, open)) in any.into_iter().enumerate().filter(|(_, any)| any.0 > 0) {
            let room: usize = matching::each(open).map(|at| usize::from(state.room[at])).sum();
            // Sockets that other colours have in use are counted as slack and as room: more than there is.
            let over = count.saturating_sub(slack[digital] + room);
            let first = if over == 0 { 0 } else { (over - 1) % most_plugs + 1 };
            groups.push(Group { reach: free, needs: over.div_ceil(most_plugs), first, next: most_plugs, saves: 1 });
        }
        groups
    }
}

/// Units that go without if the groups within a union have so many free sockets.
fn short(groups: &[Group], union: Places, free: usize) -> usize {
    let within = || groups.iter().filter(|group| group.reach & !union == 0 && group.needs > 0);
    let needs: usize = within().map(|group| group.needs).sum();
    let Some(mut missing) = needs.checked_sub(free).filter(|missing| *missing > 0) else { return 0 };
    // The cheapest way to need fewer: pairs first, then what one unit saves, then the rest.
    let mut steps: Vec<(usize, usize)> = Vec::new();
    for group in within() {
        if group.saves > 1 {
            steps.extend(std::iter::repeat_n((1, group.saves), group.needs.div_ceil(group.saves)));
        } else {
            steps.push((group.first, 1));
            steps.extend(std::iter::repeat_n((group.next, 1), group.needs - 1));
        }
    }
    steps.sort_unstable_by_key(|(units, saves)| (*units, std::cmp::Reverse(*saves)));
    let mut units = 0;
    for (cost, saves) in steps {
        if missing == 0 {
            break;
        }
        units += cost;
        missing = missing.saturating_sub(saves);
    }
    units
}
