//! The search: every way of plugging in, the promising ones first, what can't
//! be better than the best so far cut off.
//!
//! A unit kind at a time gets a place or goes without. What prunes: places that
//! can stand for each other are tried once; a state reached before at no
//! greater cost isn't searched again; and a bound on what is still to come, from
//! matchings of units to outlets and to 0 Vs.

use std::collections::HashMap;

use super::allowance::Allowance;
use super::bound::{AtLeast, Groups, Reach, State};
use super::instance::{Draw, Instance, Level, Pair, Single, Socket, Type};
use super::matching::{self, Places};
use crate::power::Penalty;
use crate::power::company::Company;
use crate::rig::Form;
use crate::watch::{Stopped, Unwatched, Watch};

mod fits;
mod known;
mod price;
mod simple;

pub use self::simple::{price, straight_on};

/// A penalty as one number that compares as the penalty does.
pub type Cost = u128;

/// One unit that goes without.
pub const UNFED: Cost = 1 << 117;
/// One unit at another voltage.
const CHANGED: Cost = 1 << 106;
/// One noisy thing.
pub const NOISY: Cost = 1 << 93;
/// One place with less headroom than there is to be.
const TIGHT: Cost = 1 << 81;
/// One adapter.
const ADAPTER: Cost = 1 << 69;
/// One unit that shares.
const SHARING: Cost = 1 << 57;

/// More than any allocation costs.
pub const WORST: Cost = Cost::MAX;

pub fn penalty(cost: Cost) -> Penalty {
    let part = |one: Cost, next: Cost| ((cost % next) / one) as u32;
    Penalty {
        unfed: (cost / UNFED) as u32,
        changed: part(CHANGED, UNFED),
        noisy: part(NOISY, CHANGED),
        tight: part(TIGHT, NOISY),
        adapters: part(ADAPTER, TIGHT),
        sharing: part(SHARING, ADAPTER),
        microwatts: (cost % SHARING) as u64,
    }
}

/// A cost without its noise and all that weighs less.
pub fn before_noise(cost: Cost) -> Cost {
    cost - cost % CHANGED
}

/// A cost without its tight places and all that weighs less.
pub fn before_tight(cost: Cost) -> Cost {
    cost - cost % NOISY
}

/// A unit of a type plugged in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Move {
    Single(usize, Single),
    Pair(usize, Pair),
}

/// What a search found.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The best way and its cost, if there is one below the one to beat.
    pub best: Option<(Cost, Vec<Move>)>,
    /// Whether every other way was ruled out.
    pub proved: bool,
    /// Places looked at.
    pub nodes: u64,
}

/// How a search goes about it.
#[derive(Debug, Clone, Copy)]
pub struct Manner<'a> {
    /// Only what costs less than this counts.
    pub below: Cost,
    /// The first way is as good as the best.
    pub any: bool,
    /// Nothing counts but how many units go without.
    pub coarse: bool,
    /// It is known that nothing costs less than this.
    pub least: Cost,
    /// After so many places it gives up, and proves nothing.
    pub most_nodes: u64,
    /// And after so many steps.
    pub allowance: &'a Allowance<'a>,
}

/// What a place takes of the allowance whoever is left, in looks at a way. The bounds take more, since
/// they match each unit that is left with those before it.
const PLACE_STEPS: u64 = 20;

/// Places that a first guess, and a count of who goes without, may take.
const MOST_GUESSED: u64 = 2_000;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct SocketState {
    /// 0 free, else the setting's number and whether its poles are swapped.
    set: u8,
    swap: bool,
    plugs: u8,
    /// In a pair, or with a unit that wants it alone.
    closed: bool,
    digital: bool,
    analogue: bool,
    running: i64,
    start_up: i64,
}

const FREE: SocketState = SocketState {
    set: 0,
    swap: false,
    plugs: 0,
    closed: false,
    digital: false,
    analogue: false,
    running: 0,
    start_up: 0,
};

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct DomainState {
    company: Company,
    /// A unit that wants it alone, or the upper end of a pair.
    closed: bool,
    /// Units of positive ground have it, on one lead.
    positive_ground: bool,
    /// An AC unit is on it, whose winding it is alone.
    alternating: bool,
    /// A digital unit that wants no analogue one here, and the other way round.
    no_analogue: bool,
    no_digital: bool,
}

impl DomainState {
    fn is_used(&self) -> bool {
        self.company.units() > 0
    }
}

struct Search<'a> {
    it: &'a Instance,
    manner: Manner<'a>,
    watch: &'a dyn Watch,
    sockets: Vec<SocketState>,
    domains: Vec<DomainState>,
    running: Vec<f64>,
    start_up: Vec<f64>,
    remaining: Vec<usize>,
    /// Units of each type that have a place.
    placed: Vec<usize>,
    cost: Cost,
    moves: Vec<Move>,
    best: Option<(Cost, Vec<Move>)>,
    below: Cost,
    nodes: u64,
    gave_up: bool,
    /// What a place takes of the allowance, for each type of which some are left.
    steps: Vec<u64>,
    /// Some units go without in any case.
    short: bool,
    /// Units that go without in any way at all; known before the search.
    floor: usize,
    known: HashMap<Box<[u32]>, Cost>,
    known_words: usize,
    groups: Groups,
    most: Vec<Most>,
    members: Vec<usize>,
    /// The heaviest weight that any socket has in each budget.
    heaviest: Vec<f64>,
    /// The parts of the work that lie behind, by depth.
    share: f64,
    done: f64,
}

/// Searches an instance, with so many units of each type.
pub fn search(it: &Instance, units: &[usize], manner: Manner<'_>, watch: &dyn Watch) -> Result<Outcome, Stopped> {
    manner.allowance.take(beginning(it));
    let mut search = Search::new(it, units, manner, watch);
    // Where only what feeds all is asked for, how many go without is no question.
    if !manner.coarse && !manner.any && manner.below > UNFED {
        search.floor = unfed_at_least(it, units, manner.allowance);
    }
    search.guess()?;
    search.dive()?;
    Ok(Outcome { best: search.best, proved: !search.gave_up, nodes: search.nodes })
}

/// What a place takes of an allowance: a look at each way of each type that has units left, and so
/// many looks more for the bounds.
fn steps(it: &Instance) -> Vec<u64> {
    it.types.iter().map(|kind| (kind.singles.len() + kind.pairs.len()) as u64).collect()
}

/// What it takes before a search begins, each way of plugging in looked at for its voltage and its most.
fn beginning(it: &Instance) -> u64 {
    PLACE_STEPS + 4 * it.size() as u64
}

/// The most that one unit can take, in whichever way it is fed.
#[derive(Debug, Clone, Copy, Default)]
struct Most {
    running: i64,
    start_up: i64,
    watts: f64,
    watts_start_up: f64,
}

impl Most {
    fn of(it: &Instance, kind: &Type) -> Self {
        let volts = |at: usize, setting: u8| it.sockets[at].settings[usize::from(setting)].volts;
        let singles = kind.singles.iter().map(|single| (single.draw, volts(single.socket, single.setting)));
        let pairs = kind
            .pairs
            .iter()
            .map(|pair| (pair.draw, volts(pair.first, pair.settings.0) + volts(pair.second, pair.settings.1)));
        singles.chain(pairs).fold(Self::default(), |most, (draw, volts)| Self {
            running: most.running.max(draw.running),
            start_up: most.start_up.max(draw.start_up),
            watts: most.watts.max(volts * draw.running as f64 * 1e-9),
            watts_start_up: most.watts_start_up.max(volts * draw.start_up as f64 * 1e-9),
        })
    }
}

fn heaviest(it: &Instance, budget: usize) -> f64 {
    let weights = it.sockets.iter().flat_map(|socket| &socket.budgets).filter(|(at, _)| *at == budget);
    weights.map(|(_, weight)| *weight).fold(0.0, f64::max)
}

/// Units of an instance that go without at least, with so many of each type:
/// as few as can be, or a bound if that takes too long.
pub fn unfed_at_least(it: &Instance, units: &[usize], allowance: &Allowance<'_>) -> usize {
    if !allowance.take(beginning(it)) {
        return units.iter().sum::<usize>() - placed_at_most(it, units, None);
    }
    let manner = Manner { below: WORST, any: false, coarse: true, least: 0, most_nodes: MOST_GUESSED, allowance };
    let mut search = Search::new(it, units, manner, &Unwatched);
    let choices = search.all_choices();
    let bound = search.at_least(&choices).unfed;
    // Nobody looks on, so nobody stops it.
    let looked = search.guess().and_then(|()| search.dive());
    match (looked, search.gave_up, &search.best) {
        (Ok(()), false, Some((cost, _))) => (cost / UNFED) as usize,
        _ => bound,
    }
}

/// Units of an instance that could have a socket if each looked at sockets
/// alone, one socket left out if one is named.
pub fn placed_at_most(it: &Instance, units: &[usize], but: Option<usize>) -> usize {
    let mut wants = Vec::new();
    for (kind, count) in it.types.iter().zip(units) {
        let singles = kind.singles.iter().fold(0, |sockets, single| sockets | 1 << single.socket);
        let both = |pair: &Pair| 1 << pair.first | 1 << pair.second;
        let sockets: Places = kind.pairs.iter().fold(singles, |sockets, pair| sockets | both(pair));
        wants.extend(std::iter::repeat_n(sockets, *count));
    }
    let room = |at: usize| if Some(at) == but { 0 } else { it.most_plugs };
    let room: Vec<u8> = (0..it.sockets.len()).map(room).collect();
    matching::most(&wants, &room)
}

/// What a node can do for a kind of unit.
#[derive(Default)]
struct Choices {
    singles: Vec<Single>,
    pairs: Vec<Pair>,
    reach: Reach,
    /// What a unit costs at least, if it is fed.
    least: Cost,
    /// What it costs more at least by a pair.
    extra: Cost,
}

impl Choices {
    fn len(&self) -> usize {
        self.singles.len() + self.pairs.len()
    }
}

impl<'a> Search<'a> {
    fn new(it: &'a Instance, units: &[usize], manner: Manner<'a>, watch: &'a dyn Watch) -> Self {
        let mut members = vec![0; it.domains.len()];
        for socket in &it.sockets {
            members[socket.domain] += 1;
        }
        let domains = it.domains.iter().map(|domain| DomainState { closed: domain.blocked, ..DomainState::default() });
        Self {
            it,
            manner,
            watch,
            sockets: vec![FREE; it.sockets.len()],
            domains: domains.collect(),
            running: vec![0.0; it.budgets.len()],
            start_up: vec![0.0; it.budgets.len()],
            remaining: units.to_vec(),
            placed: vec![0; units.len()],
            cost: if manner.coarse { 0 } else { TIGHT * Cost::from(it.tight.min(price::MOST_TIGHT)) },
            moves: Vec::new(),
            best: None,
            below: manner.below,
            nodes: 0,
            gave_up: false,
            steps: steps(it),
            short: false,
            floor: 0,
            known: HashMap::new(),
            known_words: 0,
            groups: Groups::of(it),
            most: it.types.iter().map(|kind| Most::of(it, kind)).collect(),
            members,
            heaviest: (0..it.budgets.len()).map(|at| heaviest(it, at)).collect(),
            share: 1.0,
            done: 0.0,
        }
    }

    fn steps_of_place(&self) -> u64 {
        let left = self.remaining.iter().zip(&self.steps).filter(|(count, _)| **count > 0);
        let (units, looks) = left.fold((0, 0), |(units, looks), (count, steps)| (units + *count as u64, looks + steps));
        PLACE_STEPS + self.sockets.len() as u64 + looks + units * (5 + units / 4)
    }

    fn finished(&self) -> bool {
        let enough = |(cost, _): &(Cost, Vec<Move>)| self.manner.any || *cost <= self.manner.least;
        self.gave_up || self.best.as_ref().is_some_and(enough)
    }

    /// Where not all can be fed, a first way of feeding those that the bound
    /// would feed: a good one to beat.
    fn guess(&mut self) -> Result<(), Stopped> {
        let choices = self.all_choices();
        let at_least = self.at_least(&choices);
        self.short = at_least.unfed > 0;
        if at_least.unfed == 0 || UNFED * at_least.unfed as Cost >= self.below {
            return Ok(());
        }
        let manner = Manner { below: self.below, any: true, most_nodes: MOST_GUESSED, ..self.manner };
        let mut found = search(self.it, &at_least.fed, manner, self.watch)?;
        if let Some((cost, _)) = &mut found.best {
            let without = self.remaining.iter().sum::<usize>() - at_least.fed.iter().sum::<usize>();
            *cost += UNFED * without as Cost;
            if *cost < self.below {
                self.below = *cost;
                self.best = found.best;
            }
        }
        Ok(())
    }

    fn dive(&mut self) -> Result<(), Stopped> {
        self.nodes += 1;
        if self.nodes > self.manner.most_nodes || !self.manner.allowance.take(self.steps_of_place()) {
            self.gave_up = true;
            return Ok(());
        }
        if self.nodes.is_multiple_of(256) && !self.watch.go_on(self.done) {
            return Err(Stopped);
        }
        if self.remaining.iter().all(|count| *count == 0) {
            if self.cost < self.below {
                self.below = self.cost;
                self.best = Some((self.cost, self.moves.clone()));
            }
            return Ok(());
        }
        if self.is_known() {
            return Ok(());
        }
        let choices = self.all_choices();
        if self.simple_bound(&choices) >= self.below || self.bound(&choices) >= self.below {
            return Ok(());
        }
        let Some(kind) = self.next_kind(&choices) else { return Ok(()) };
        self.branch(kind, &choices[kind])
    }

    /// The kind with the fewest places first, of equals the hungriest; or the lightest, if it is the hungry that go without.
    fn next_kind(&self, choices: &[Choices]) -> Option<usize> {
        let draws = |kind: usize| choices[kind].singles.iter().map(|single| single.draw.running);
        let hunger = |kind: usize| draws(kind).max().unwrap_or(0) * if self.short { 1 } else { -1 };
        let open = (0..choices.len()).filter(|kind| self.remaining[*kind] > 0);
        // A pair is a last resort: however many there are, they count as one place.
        // Those of which only two go together on a 0 V take its room from each other: they come early.
        let places = |kind: usize| {
            let singles = &choices[kind].singles;
            let few = !self.it.crowds && self.it.types[kind].guest.stage;
            let singles = if few { self.zero_volts_of(singles) / 2 } else { singles.len() };
            singles + usize::from(!choices[kind].pairs.is_empty())
        };
        // Who makes noise comes before those that would have to hear it.
        let quiet = |kind: usize| self.weighs_noise() && !self.it.types[kind].guest.digital;
        open.min_by_key(|kind| (places(*kind), quiet(*kind), hunger(*kind), *kind))
    }

    /// How many 0 Vs some places have.
    fn zero_volts_of(&self, singles: &[Single]) -> usize {
        let all = singles.iter().fold(0, |all: Places, single| all | 1 << self.it.sockets[single.socket].domain);
        all.count_ones() as usize
    }

    /// The steps for a kind, the cheapest first; of equals where the least is left over.
    fn in_order(&self, kind: usize, choices: &Choices) -> Vec<(Cost, i64, Move)> {
        let mut order: Vec<(Cost, i64, Move)> = Vec::with_capacity(choices.len());
        for single in &choices.singles {
            let socket = &self.it.sockets[single.socket];
            let level = &socket.settings[usize::from(single.setting)];
            let left = level.usable - self.sockets[single.socket].running - single.draw.running;
            let step = Move::Single(kind, *single);
            order.push((self.whole_cost_of(&step), left, step));
        }
        for pair in &choices.pairs {
            let step = Move::Pair(kind, *pair);
            order.push((self.whole_cost_of(&step), 0, step));
        }
        order.sort_by_key(|(cost, left, _)| (*cost, *left));
        order
    }

    fn branch(&mut self, kind: usize, choices: &Choices) -> Result<(), Stopped> {
        let order = self.in_order(kind, choices);
        let parts = (order.len() + 1) as f64;
        let (share, done) = (self.share, self.done);
        self.share = share / parts;
        for (cost, _, step) in order {
            self.apply_and_dive(cost, step)?;
            self.done += self.share;
            if self.finished() {
                return Ok(());
            }
        }
        self.go_without(kind)?;
        (self.share, self.done) = (share, done + share);
        Ok(())
    }

    /// All that are left of a kind go without: which of them makes no
    /// difference. So do all that are heavier, since one of this kind could
    /// have the place of any of those, for no more.
    fn go_without(&mut self, kind: usize) -> Result<(), Stopped> {
        let heavier = &self.it.types[kind].heavier;
        if heavier.iter().any(|heavy| self.placed[*heavy] > 0) {
            return Ok(());
        }
        let kinds = || heavier.iter().chain([&kind]).copied();
        let kept: Vec<usize> = kinds().map(|kind| std::mem::take(&mut self.remaining[kind])).collect();
        let without = UNFED * kept.iter().sum::<usize>() as Cost;
        self.cost += without;
        if self.cost < self.below {
            self.dive()?;
        }
        self.cost -= without;
        kinds().zip(kept).for_each(|(kind, count)| self.remaining[kind] = count);
        Ok(())
    }

    fn apply_and_dive(&mut self, cost: Cost, step: Move) -> Result<(), Stopped> {
        let (kind, sockets) = match step {
            Move::Single(kind, single) => (kind, [single.socket, single.socket]),
            Move::Pair(kind, pair) => (kind, [pair.first, pair.second]),
        };
        let kept_sockets = sockets.map(|at| self.sockets[at]);
        let places = sockets.map(|at| self.it.sockets[at].domain);
        let kept_domains = places.map(|at| self.domains[at]);
        self.put(step);
        self.load(step, 1.0);
        self.remaining[kind] -= 1;
        self.placed[kind] += 1;
        self.cost += cost;
        self.moves.push(step);
        self.dive()?;
        self.moves.pop();
        self.cost -= cost;
        self.placed[kind] -= 1;
        self.remaining[kind] += 1;
        self.load(step, -1.0);
        for i in [1, 0] {
            self.sockets[sockets[i]] = kept_sockets[i];
            self.domains[places[i]] = kept_domains[i];
        }
        Ok(())
    }

    fn put(&mut self, step: Move) {
        let it = self.it;
        match step {
            Move::Single(kind, single) => {
                let kind = &it.types[kind];
                let socket = &mut self.sockets[single.socket];
                socket.set = single.setting + 1;
                socket.swap = single.swap;
                socket.plugs += 1;
                socket.closed |= kind.solo;
                socket.digital |= kind.guest.digital;
                socket.analogue |= !kind.guest.digital;
                socket.running += single.draw.running;
                socket.start_up += single.draw.start_up;
                self.enter(single.socket, single.setting, kind);
            }
            Move::Pair(kind, pair) => {
                for (at, setting) in [(pair.first, pair.settings.0), (pair.second, pair.settings.1)] {
                    self.sockets[at] = SocketState { set: setting + 1, plugs: 1, closed: true, ..FREE };
                }
                let (first, second) = (it.sockets[pair.first].domain, it.sockets[pair.second].domain);
                self.enter(pair.first, pair.settings.0, &it.types[kind]);
                if second != first {
                    self.domains[second].closed = true;
                }
            }
        }
    }

    fn enter(&mut self, socket: usize, setting: u8, kind: &Type) {
        if kind.module {
            return;
        }
        let alternating = self.form(socket, setting) == Form::Alternating && !kind.shares_winding;
        let domain = &mut self.domains[self.it.sockets[socket].domain];
        domain.company.join(&kind.guest);
        domain.closed |= kind.alone;
        domain.positive_ground |= kind.positive_ground;
        domain.alternating |= alternating;
        domain.no_analogue |= kind.guest.digital && kind.apart;
        domain.no_digital |= !kind.guest.digital && kind.apart;
    }

    fn load(&mut self, step: Move, sign: f64) {
        let it = self.it;
        let mut add = |socket: usize, setting: u8, draw: &Draw, part: f64| {
            let socket = &it.sockets[socket];
            let watts = |current: i64| socket.watts(setting, current, part) * sign;
            for (budget, weight) in &socket.budgets {
                self.running[*budget] += watts(draw.running) * weight;
                self.start_up[*budget] += watts(draw.start_up) * weight;
            }
        };
        match step {
            Move::Single(_, single) => add(single.socket, single.setting, &single.draw, 1.0),
            Move::Pair(_, pair) => {
                add(pair.first, pair.settings.0, &pair.draw, pair.shares.0);
                add(pair.second, pair.settings.1, &pair.draw, pair.shares.1);
            }
        }
    }

    /// What the rest costs at least, each kind by itself.
    fn simple_bound(&self, choices: &[Choices]) -> Cost {
        let each = |kind: usize| if self.remaining[kind] == 0 { 0 } else { choices[kind].least };
        let rest = (0..choices.len()).map(|kind| each(kind) * self.remaining[kind] as Cost);
        self.cost + rest.sum::<Cost>()
    }

    /// The same, with what places there are for all of them together.
    fn bound(&self, choices: &[Choices]) -> Cost {
        let AtLeast { unfed, cost, leads, zero_volts, .. } = self.at_least(choices);
        let sharing = if self.manner.coarse { 0 } else { SHARING * (leads + zero_volts) as Cost };
        self.cost + UNFED * unfed as Cost + cost + sharing
    }

    fn at_least(&self, choices: &[Choices]) -> AtLeast {
        let it = self.it;
        let reach: Vec<Reach> = choices.iter().map(|choices| choices.reach).collect();
        let room = |state: &SocketState| if state.closed { 0 } else { it.most_plugs.saturating_sub(state.plugs) };
        let room: Vec<u8> = self.sockets.iter().map(room).collect();
        let sockets = || it.sockets.iter().zip(&self.sockets);
        let most = |socket: &Socket, of: fn(&Level) -> i64| socket.settings.iter().map(of).max().unwrap_or(0);
        let left = sockets().map(|(socket, state)| match state.set {
            0 => (most(socket, |level| level.usable), most(socket, |level| level.limit)),
            set => {
                let level = &socket.settings[usize::from(set) - 1];
                (level.usable - state.running, level.limit - state.start_up)
            }
        });
        let left: Vec<(i64, i64)> = left.collect();
        let costs: Vec<Cost> = choices.iter().map(|choices| choices.least).collect();
        let extras: Vec<Cost> = choices.iter().map(|choices| choices.extra).collect();
        // Those that went without so far count towards the fewest that ever do.
        let floor = self.floor.saturating_sub((self.cost / UNFED) as usize);
        let remaining = &self.remaining;
        let state =
            State { it, reach: &reach, remaining, costs: &costs, extras: &extras, room: &room, left: &left, floor };
        self.groups.bound(&state)
    }
}
