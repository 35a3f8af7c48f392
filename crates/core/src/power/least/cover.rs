//! The cheapest set of supplies, by branch and bound over how many of each.

use super::rows::Rows;
use super::simplex;
use super::tryout::{self, Tried};
use crate::power::allocate::Ground;
use crate::power::question::Rules;
use crate::rig::{Device, DeviceId, Rig};
use crate::watch::{Stopped, Watch};

/// Sets looked at after which it gives up, and proves nothing.
const MOST_SETS: u64 = 200_000;

/// What a set has to do.
pub struct Task<'a> {
    /// The rig with what is there already, modules fed as drawn.
    pub base: &'a Rig,
    /// One device of each part, its id to be replaced.
    pub parts: &'a [Device],
    /// What each costs; above zero.
    pub prices: &'a [f64],
    pub units: &'a [&'a Device],
    pub rules: &'a Rules,
    /// Ids from here on are free.
    pub first_free: u64,
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
    best: Option<(f64, Vec<usize>)>,
    proved: bool,
    sets: u64,
    share: f64,
    done: f64,
}

/// The cheapest set that feeds all units.
pub fn cover(task: &Task<'_>, rows: Rows, watch: &dyn Watch) -> Result<Found, Stopped> {
    let counts = vec![0; task.parts.len()];
    let most = task.parts.iter().enumerate().map(|(at, part)| rows.most_of(at, part)).collect();
    let mut cover = Cover { task, watch, rows, counts, most, best: None, proved: true, sets: 0, share: 1.0, done: 0.0 };
    let allowed: Vec<bool> = vec![true; task.parts.len()];
    cover.one_box_a_unit()?;
    cover.dive(0.0, &allowed)?;
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
        let price = |set: &Vec<usize>| set.iter().map(|part| task.prices[*part]).sum::<f64>();
        sets.sort_by(|a, b| price(a).total_cmp(&price(b)));
        let mut counts = vec![0; task.parts.len()];
        for units in self.rows.types() {
            let Some(unit) = task.units.iter().find(|unit| units.contains(&unit.id)) else { continue };
            let none = Rig { feeds: Vec::new(), devices: Vec::new(), ..task.base.clone() };
            let mut feeds = false;
            for set in &sets {
                let mut chosen = vec![0; task.parts.len()];
                set.iter().for_each(|part| chosen[*part] += 1);
                let rig = with_parts(&none, task.parts, &chosen, task.first_free);
                if Ground::of(&rig, &[unit], task.rules, &|_| false).feeds(&|_| true, &Silent)? == Some(true) {
                    set.iter().for_each(|part| counts[*part] += units.len());
                    feeds = true;
                    break;
                }
            }
            if !feeds {
                return Ok(());
            }
        }
        let cost: f64 = counts.iter().zip(task.prices).map(|(count, price)| *count as f64 * price).sum();
        // Several of them may share the mains earth, where not all units may be.
        if matches!(self.tried(&counts)?, Tried::Feeds) {
            self.best = Some((cost, counts));
        }
        Ok(())
    }

    fn tried(&self, counts: &[usize]) -> Result<Tried, Stopped> {
        let task = self.task;
        let rig = with_parts(task.base, task.parts, counts, task.first_free);
        tryout::try_out(&rig, task.units, task.rules, &|id| id.0 >= task.first_free, &Silent)
    }

    /// What is still wanted of each row.
    fn wanted(&self) -> Vec<f64> {
        let given = |row: usize| {
            let each = self.counts.iter().zip(&self.rows.columns);
            each.map(|(count, column)| *count as f64 * column[row]).sum::<f64>()
        };
        self.rows.demands.iter().enumerate().map(|(row, demand)| demand - given(row)).collect()
    }

    fn dive(&mut self, cost: f64, allowed: &[bool]) -> Result<(), Stopped> {
        self.sets += 1;
        if self.sets > MOST_SETS {
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
        let prices: Vec<f64> = usable.iter().map(|part| self.task.prices[*part]).collect();
        let Some(weights) = simplex::weights(&demands, &columns, &prices) else {
            return Ok(());
        };
        let rest: f64 = weights.iter().zip(&demands).map(|(weight, demand)| weight * demand).sum();
        if self.is_no_better(cost + rest) {
            return Ok(());
        }
        // The row that weighs most; only what gives something towards it can help.
        let weight = |row: usize| weights[row] * wanted[row];
        let Some(row) = open.iter().copied().max_by(|a, b| weight(*a).total_cmp(&weight(*b)).then(b.cmp(a))) else {
            return Ok(());
        };
        let worth = |at: usize| -> f64 {
            let sum: f64 = columns[at].iter().zip(&weights).map(|(given, weight)| given * weight).sum();
            sum / prices[at]
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
    fn branch(&mut self, cost: f64, allowed: &[bool], parts: &[usize]) -> Result<(), Stopped> {
        let mut allowed = allowed.to_vec();
        let (share, done) = (self.share, self.done);
        self.share = share / parts.len().max(1) as f64;
        for (at, part) in parts.iter().enumerate() {
            self.done = done + self.share * at as f64;
            let next = cost + self.task.prices[*part];
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

    /// Whether nothing at that price or above beats the best; prices are whole numbers.
    fn is_no_better(&self, price: f64) -> bool {
        self.best.as_ref().is_some_and(|(best, _)| (price * (1.0 - 1e-12) - 1e-6).ceil() >= *best)
    }

    /// All rows are met: does the set really feed all units?
    fn try_out(&mut self, cost: f64, allowed: &[bool]) -> Result<(), Stopped> {
        let task = self.task;
        let conflict = match self.tried(&self.counts)? {
            Tried::Feeds => {
                self.best = Some((cost, self.counts.clone()));
                return Ok(());
            }
            // What can't be fed together is a row of its own, for here and everywhere else.
            Tried::Fails(units) => units,
            Tried::Unknown => {
                self.proved = false;
                task.units.iter().map(|unit| unit.id).collect()
            }
        };
        let kinds: Vec<usize> =
            self.rows.types().iter().map(|units| units.iter().filter(|unit| conflict.contains(unit)).count()).collect();
        let row = self.rows.add(&kinds);
        if self.wanted()[row] > 1e-9 {
            return self.dive(cost, allowed);
        }
        // It says nothing against this set, yet only a part that feeds some of those, or that takes a module
        // off another's hands, can help.
        let feeds: Vec<bool> = (0..allowed.len()).map(|part| self.rows.feeds_at_most(part, &kinds) > 0).collect();
        self.rows.forget();
        let hosts =
            |part: usize| (0..allowed.len()).any(|module| self.counts[module] > 0 && self.rows.hosts(part, module));
        let helps = |part: usize| allowed[part] && (feeds[part] || hosts(part) || self.rows.hosts_loose(part));
        let parts: Vec<usize> = (0..allowed.len()).filter(|part| helps(*part)).collect();
        let mut parts: Vec<(f64, usize)> = parts.into_iter().map(|part| (task.prices[part], part)).collect();
        parts.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        self.branch(cost, allowed, &parts.into_iter().map(|(_, part)| part).collect::<Vec<_>>())
    }
}

/// A try is short beside the whole search, and tells no progress of its own.
struct Silent;

impl Watch for Silent {
    fn go_on(&self, _done: f64) -> bool {
        true
    }
}
