//! The cheapest set of supplies, by branch and bound over how many of each.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::rows::Rows;
use super::simplex;
use super::tryout::{self, Tried};
use crate::power::allocate::Ground;
use crate::power::allocate::allowance::Allowance;
use crate::power::allocate::terms::Terms;
use crate::rig::{Device, DeviceId, Rig};
use crate::watch::{Stopped, Unwatched, Watch};

/// Sets looked at after which it gives up, and proves nothing.
const MOST_SETS: u64 = 200_000;

/// Sets looked at for a set to beat.
const MOST_FEW: u64 = 2_000;

/// Boxes that a set to beat has at most.
const MOST_BOXES: usize = 12;

/// So many boxes more are tried in vain before a set to beat is good enough.
const MORE_BOXES: usize = 3;

/// What the bound on a set takes of the allowance for each demand of each part.
const SIMPLEX_STEPS: usize = 4;

/// What it takes to see whether a set feeds one unit, the search left out.
const ONE_SET_STEPS: u64 = 500;

/// What a part or a set costs: of two, that with less of the first is the less, of equals that with less of the second.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Cost {
    /// What is to be the least; a whole number at or above zero.
    pub first: f64,
    /// What decides between equals; a whole number above zero.
    pub then: f64,
}

impl Cost {
    fn add(self, other: Self) -> Self {
        Self { first: self.first + other.first, then: self.then + other.then }
    }

    fn times(self, count: usize) -> Self {
        Self { first: self.first * count as f64, then: self.then * count as f64 }
    }

    fn total_cmp(&self, other: &Self) -> Ordering {
        self.first.total_cmp(&other.first).then(self.then.total_cmp(&other.then))
    }

    /// As one number, in which the first weighs more than any sum of the second.
    fn as_one(self) -> f64 {
        self.first * 1e8 + self.then
    }
}

/// What a set has to do.
pub struct Task<'a> {
    /// The rig with what is there already, modules fed as drawn.
    pub base: &'a Rig,
    /// One device of each part, its id to be replaced.
    pub parts: &'a [Device],
    /// What each costs.
    pub prices: &'a [Cost],
    pub units: &'a [&'a Device],
    pub terms: Terms<'a>,
    /// Ids from here on are free.
    pub first_free: u64,
    /// For all of it.
    pub allowance: &'a Allowance<'a>,
}

/// What was found.
pub struct Found {
    /// How many of each part, if any set does.
    pub counts: Option<Vec<usize>>,
    pub proved: bool,
}

struct Cover<'a> {
    task: &'a Task<'a>,
    watch: &'a dyn Watch,
    rows: Rows,
    counts: Vec<usize>,
    /// How many of each part can be of use.
    most: Vec<usize>,
    best: Option<(Cost, Vec<usize>)>,
    /// How many boxes a set may have while a good set to beat is looked for.
    most_boxes: Option<usize>,
    /// Sets that don't feed all units: those that are too many, none if that isn't known.
    failed: BTreeMap<Vec<usize>, Option<Vec<DeviceId>>>,
    proved: bool,
    sets: u64,
    share: f64,
    done: f64,
}

/// The cheapest set that feeds all units.
pub fn cover(task: &Task<'_>, mut rows: Rows, watch: &dyn Watch) -> Result<Found, Stopped> {
    let counts = vec![0; task.parts.len()];
    let counting = task.allowance.part(0.2);
    let most = task.parts.iter().enumerate().map(|(at, part)| rows.most_of(at, part, &counting)).collect();
    let mut cover = Cover {
        task,
        watch,
        rows,
        counts,
        most,
        best: None,
        most_boxes: None,
        failed: BTreeMap::new(),
        proved: true,
        sets: 0,
        share: 1.0,
        done: 0.0,
    };
    cover.one_box_a_unit()?;
    cover.few_boxes()?;
    cover.share = 1.0 - cover.done;
    cover.dive(Cost::default(), &vec![true; task.parts.len()])?;
    Ok(Found { counts: cover.best.map(|(_, counts)| counts), proved: cover.proved })
}

/// The rig with so many of each part added.
pub fn with_parts(base: &Rig, parts: &[Device], counts: &[usize], first_free: u64) -> Rig {
    let mut rig = base.clone();
    let mut id = first_free;
    for (part, count) in parts.iter().zip(counts) {
        for number in 1..=*count {
            let name = if *count == 1 { part.name.clone() } else { format!("{} {number}", part.name) };
            rig.devices.push(Device { id: DeviceId(id), name, ..part.clone() });
            id += 1;
        }
    }
    rig
}

impl Cover<'_> {
    /// A first set to beat: for each unit the cheapest box that feeds it by
    /// itself, and where that is a module, the cheapest box for the module.
    fn one_box_a_unit(&mut self) -> Result<(), Stopped> {
        let task = self.task;
        let mut order: Vec<usize> = (0..task.parts.len()).collect();
        order.sort_by(|a, b| task.prices[*a].total_cmp(&task.prices[*b]));
        let pairs = order.iter().flat_map(|a| order.iter().map(move |b| (*a, *b)));
        let mut sets: Vec<Vec<usize>> = order.iter().map(|part| vec![*part]).collect();
        sets.extend(pairs.map(|(a, b)| vec![a, b]));
        let price = |set: &Vec<usize>| set.iter().fold(Cost::default(), |sum, part| sum.add(task.prices[*part]));
        sets.sort_by(|a, b| price(a).total_cmp(&price(b)));
        let mut counts = vec![0; task.parts.len()];
        // What it can't say in its part of the allowance remains open.
        let allowance = task.allowance.part(0.4);
        for units in self.rows.types() {
            let Some(unit) = task.units.iter().find(|unit| units.contains(&unit.id)) else { continue };
            let none = Rig { feeds: Vec::new(), devices: Vec::new(), ..task.base.clone() };
            let mut feeds = false;
            for set in &sets {
                let mut chosen = vec![0; task.parts.len()];
                set.iter().for_each(|part| chosen[*part] += 1);
                let rig = with_parts(&none, task.parts, &chosen, task.first_free);
                if allowance.is_spent() {
                    return Ok(());
                }
                allowance.take(ONE_SET_STEPS);
                let ground = Ground::of(&rig, &[unit], &task.terms, &|_| false, &allowance);
                if ground.feeds(&|_| true, &allowance, &Unwatched)? == Some(true) {
                    set.iter().for_each(|part| counts[*part] += units.len());
                    feeds = true;
                    break;
                }
            }
            if !feeds {
                return Ok(());
            }
        }
        let each = counts.iter().zip(task.prices).map(|(count, price)| price.times(*count));
        let cost = each.fold(Cost::default(), Cost::add);
        // Several of them may share the mains earth, where not all units may be.
        if matches!(self.tried(&counts, &allowance)?, Tried::Feeds) {
            self.best = Some((cost, counts));
        }
        Ok(())
    }

    /// What a set comes to when it is tried.
    fn tried(&self, counts: &[usize], allowance: &Allowance<'_>) -> Result<Tried, Stopped> {
        let task = self.task;
        let rig = with_parts(task.base, task.parts, counts, task.first_free);
        let still = Still { watch: self.watch, done: self.done };
        tryout::try_out(&rig, task.units, &task.terms, &|id| id.0 >= task.first_free, allowance, &still)
    }

    /// Boxes of the set in hand.
    fn boxes(&self) -> usize {
        self.counts.iter().sum()
    }

    fn best_cost(&self) -> Option<Cost> {
        self.best.as_ref().map(|(cost, _)| *cost)
    }

    /// A better set to beat, of as few boxes as do: where some boxes cost
    /// nothing of what is to be the least, large sets would be gone through for nothing.
    fn few_boxes(&mut self) -> Result<(), Stopped> {
        if self.task.prices.iter().all(|price| price.first > 0.0) {
            return Ok(());
        }
        let most = self.best.as_ref().map_or(MOST_BOXES, |(_, counts)| counts.iter().sum::<usize>().min(MOST_BOXES));
        let (before, proved) = (self.sets, self.proved);
        let (mut known, mut better_at) = (self.best_cost(), None);
        for boxes in 1..most {
            self.most_boxes = Some(boxes);
            // How many numbers of boxes will be tried isn't known: each has a little of what is left.
            self.share = (1.0 - self.done) / 20.0;
            self.dive(Cost::default(), &vec![true; self.task.parts.len()])?;
            if self.best_cost() != known {
                (known, better_at) = (self.best_cost(), Some(boxes));
            }
            if better_at.is_some_and(|at| boxes >= at + MORE_BOXES) || self.sets - before > MOST_FEW {
                break;
            }
        }
        self.most_boxes = None;
        self.proved = proved;
        Ok(())
    }

    /// What is still wanted of each row.
    fn wanted(&self) -> Vec<f64> {
        let given = |row: usize| {
            let each = self.counts.iter().zip(&self.rows.columns);
            each.map(|(count, column)| *count as f64 * column[row]).sum::<f64>()
        };
        self.rows.demands.iter().enumerate().map(|(row, demand)| demand - given(row)).collect()
    }

    fn dive(&mut self, cost: Cost, allowed: &[bool]) -> Result<(), Stopped> {
        self.sets += 1;
        let steps = self.rows.demands.len() * allowed.len() * SIMPLEX_STEPS;
        if self.sets > MOST_SETS || !self.task.allowance.take(steps as u64) {
            self.proved = false;
            return Ok(());
        }
        if self.sets.is_multiple_of(16) && !self.watch.go_on(self.done) {
            return Err(Stopped);
        }
        let wanted = self.wanted();
        let open: Vec<usize> = (0..wanted.len()).filter(|row| wanted[*row] > 1e-9).collect();
        if open.is_empty() {
            return self.try_out(cost, allowed);
        }
        let demands: Vec<f64> = wanted.clone();
        let usable: Vec<usize> = (0..allowed.len()).filter(|part| allowed[*part]).collect();
        // More than is wanted is worth no more than that, where no part takes any of it away.
        let only_gives = |row: usize| self.rows.columns.iter().all(|column| column[row] >= 0.0);
        let most: Vec<f64> =
            (0..wanted.len()).map(|row| if only_gives(row) { wanted[row].max(0.0) } else { f64::INFINITY }).collect();
        let clipped = |part: usize| -> Vec<f64> {
            self.rows.columns[part].iter().zip(&most).map(|(given, most)| given.min(*most)).collect()
        };
        let columns: Vec<Vec<f64>> = usable.iter().map(|part| clipped(*part)).collect();
        let prices: Vec<Cost> = usable.iter().map(|part| self.task.prices[*part]).collect();
        let Some(weights) = self.bound(cost, &demands, &columns, &prices) else {
            return Ok(());
        };
        // The row that weighs most; only what gives something towards it can help.
        let weight = |row: usize| weights[row] * wanted[row];
        let Some(row) = open.iter().copied().max_by(|a, b| weight(*a).total_cmp(&weight(*b)).then(b.cmp(a))) else {
            return Ok(());
        };
        let worth = |at: usize| -> f64 {
            let sum: f64 = columns[at].iter().zip(&weights).map(|(given, weight)| given * weight).sum();
            sum / prices[at].as_one()
        };
        let mut branches: Vec<(f64, usize)> = usable
            .iter()
            .enumerate()
            .filter(|(_, part)| self.rows.columns[**part][row] > 1e-9)
            .map(|(at, part)| (worth(at), *part))
            .collect();
        branches.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        self.branch(cost, allowed, &branches.into_iter().map(|(_, part)| part).collect::<Vec<_>>())
    }

    /// Each branch takes one more of a part; those before it are taken no more.
    fn branch(&mut self, cost: Cost, allowed: &[bool], parts: &[usize]) -> Result<(), Stopped> {
        if self.most_boxes.is_some_and(|most| self.boxes() >= most) {
            return Ok(());
        }
        let mut allowed = allowed.to_vec();
        let (share, done) = (self.share, self.done);
        self.share = share / parts.len().max(1) as f64;
        for (at, part) in parts.iter().enumerate() {
            self.done = done + self.share * at as f64;
            let next = cost.add(self.task.prices[*part]);
            if !self.is_no_better(next) && self.counts[*part] < self.most[*part] {
                self.counts[*part] += 1;
                self.dive(next, &allowed)?;
                self.counts[*part] -= 1;
            }
            allowed[*part] = false;
        }
        (self.share, self.done) = (share, done + share);
        Ok(())
    }

    /// The weights of the demands by which to go on; none if no set from here on beats the best.
    fn bound(&self, cost: Cost, demands: &[f64], columns: &[Vec<f64>], prices: &[Cost]) -> Option<Vec<f64>> {
        let only = |of: fn(&Cost) -> f64| -> Vec<f64> { prices.iter().map(of).collect() };
        let mut program = Program { demands: demands.to_vec(), columns: columns.to_vec() };
        if let Some(most) = self.most_boxes {
            program.limit(most as f64 - self.boxes() as f64, &vec![1.0; prices.len()]);
        }
        let whole_price = only(|price| price.as_one());
        let Some((best, _)) = &self.best else {
            return program.solve(&whole_price).map(|(weights, _)| weights);
        };
        let first = only(|price| price.first);
        let least = cost.first + whole(program.solve(&first)?.1);
        if least > best.first {
            return None;
        }
        if least < best.first {
            return program.solve(&whole_price).map(|(weights, _)| weights);
        }
        // Only an equal first can come, and the rest has to be had for what is left of it.
        program.limit(best.first - cost.first, &first);
        let (weights, rest) = program.solve(&only(|price| price.then))?;
        (cost.then + whole(rest) < best.then).then_some(weights)
    }

    /// Whether nothing at that price or above beats the best.
    fn is_no_better(&self, price: Cost) -> bool {
        self.best_cost().is_some_and(|best| price.total_cmp(&best).is_ge())
    }

    /// All rows are met: does the set really feed all units?
    fn try_out(&mut self, cost: Cost, allowed: &[bool]) -> Result<(), Stopped> {
        let task = self.task;
        let known = self.failed.get(&self.counts).cloned();
        let conflict = match known {
            Some(conflict) => conflict,
            None => {
                let conflict = match self.tried(&self.counts, &task.allowance.part(0.2))? {
                    Tried::Feeds => {
                        self.best = Some((cost, self.counts.clone()));
                        return Ok(());
                    }
                    Tried::Fails(units) => Some(units),
                    Tried::Unknown => None,
                };
                self.failed.insert(self.counts.clone(), conflict.clone());
                conflict
            }
        };
        self.proved &= conflict.is_some();
        if task.allowance.is_spent() {
            self.proved = false;
            return Ok(());
        }
        // What can't be fed together is a row of its own, for here and everywhere else.
        let conflict = conflict.unwrap_or_else(|| task.units.iter().map(|unit| unit.id).collect());
        let kinds: Vec<usize> =
            self.rows.types().iter().map(|units| units.iter().filter(|unit| conflict.contains(unit)).count()).collect();
        let row = self.rows.add(&kinds, task.allowance);
        if self.wanted()[row] > 1e-9 {
            return self.dive(cost, allowed);
        }
        // It says nothing against this set, yet only a part that feeds some of those, or that takes a module
        // off another's hands, can help.
        let feeds: Vec<bool> =
            (0..allowed.len()).map(|part| self.rows.feeds_at_most(part, &kinds, task.allowance) > 0).collect();
        self.rows.forget();
        let hosts =
            |part: usize| (0..allowed.len()).any(|module| self.counts[module] > 0 && self.rows.hosts(part, module));
        let helps = |part: usize| allowed[part] && (feeds[part] || hosts(part) || self.rows.hosts_loose(part));
        let parts: Vec<usize> = (0..allowed.len()).filter(|part| helps(*part)).collect();
        let mut parts: Vec<(Cost, usize)> = parts.into_iter().map(|part| (task.prices[part], part)).collect();
        parts.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        self.branch(cost, allowed, &parts.into_iter().map(|(_, part)| part).collect::<Vec<_>>())
    }
}

/// Demands and what each part gives towards them, and limits on what is taken.
struct Program {
    demands: Vec<f64>,
    columns: Vec<Vec<f64>>,
}

impl Program {
    /// No more than so much in all of what each part takes.
    fn limit(&mut self, most: f64, takes: &[f64]) {
        self.demands.push(-most);
        self.columns.iter_mut().zip(takes).for_each(|(column, takes)| column.push(-takes));
    }

    /// A weight for each demand and limit, and the price below which they can't be met; none if they can't at all.
    fn solve(&self, prices: &[f64]) -> Option<(Vec<f64>, f64)> {
        let weights = simplex::weights(&self.demands, &self.columns, prices)?;
        let sum = weights.iter().zip(&self.demands).map(|(weight, demand)| weight * demand).sum();
        Some((weights, sum))
    }
}

/// The least whole number that is no less, but for rounding.
fn whole(bound: f64) -> f64 {
    (bound * (1.0 - 1e-12) - 1e-6).ceil()
}

/// A try tells no progress of its own, yet can be stopped.
struct Still<'a> {
    watch: &'a dyn Watch,
    done: f64,
}

impl Watch for Still<'_> {
    fn go_on(&self, _done: f64) -> bool {
        self.watch.go_on(self.done)
    }
}
