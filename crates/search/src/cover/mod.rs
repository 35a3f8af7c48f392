//! Covering: the cheapest selection of columns that meets all demands, proved.
//!
//! Branch and bound over how many of each column are taken. Demands say only
//! what is necessary: an [`Oracle`] says whether a selection that meets them
//! really does, and if not, what isn't covered by it, which becomes one more
//! demand. [textbook: constraints that are generated where they are violated]

use std::collections::BTreeMap;

use crate::allowance::Allowance;
use crate::answer::{Answer, LeftOut};
use crate::watch::{Still, Stopped, Watch};

mod program;
#[cfg(test)]
mod tests;

pub use self::program::{Cost, Instance, Row};
use self::program::{Relaxation, whole};

/// Nodes that are looked at for a selection to beat.
const MOST_FEW: u64 = 2_000;

/// Columns that a selection to beat has at most.
const MOST_TAKEN: usize = 12;

/// So many columns more are tried in vain before a selection to beat is good enough.
const MORE_TAKEN: usize = 3;

/// What the bound of a node takes of the allowance for each demand of each column.
const SIMPLEX_STEPS: usize = 4;

/// Nodes after which the watch is asked again.
const WATCHED: u64 = 16;

/// A demand that is open wants more than this.
const EPSILON: f64 = 1e-9;

/// Whether a selection really does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Verdict {
    /// It does.
    Feasible,
    /// It doesn't, and already so many items of each kind are too many for it.
    Infeasible(Vec<usize>),
    /// It isn't known.
    Unknown,
}

/// What knows more of selections than demands say.
pub trait Oracle {
    /// Whether so many of each column do.
    ///
    /// # Errors
    /// [`Stopped`] where the watch says so.
    fn verdict(&mut self, counts: &[usize], allowance: &Allowance<'_>, watch: &dyn Watch) -> Result<Verdict, Stopped>;

    /// What every selection has to give so that so many items of each kind are covered; all items, if none are named.
    fn row(&mut self, items: Option<&[usize]>, allowance: &Allowance<'_>) -> Row;

    /// Which columns, one more of them, can be of help to those items beside a selection that gives enough by that row.
    fn helps(&mut self, items: Option<&[usize]>, counts: &[usize], allowance: &Allowance<'_>) -> Vec<bool>;
}

/// How a search goes about it.
#[derive(Debug, Clone)]
pub struct Options<'a> {
    /// A selection that does, if one is known.
    pub known: Option<Vec<usize>>,
    /// After so many nodes it gives up.
    pub most_nodes: u64,
    /// And after so many steps.
    pub allowance: &'a Allowance<'a>,
}

struct Search<'a> {
    it: Instance,
    oracle: &'a mut dyn Oracle,
    options: Options<'a>,
    watch: &'a dyn Watch,
    counts: Vec<usize>,
    best: Option<(Cost, Vec<usize>)>,
    /// How many columns a selection may take while a good one to beat is looked for.
    most_taken: Option<usize>,
    /// Selections that don't do: the items that are too many, none if that isn't known.
    failed: BTreeMap<Vec<usize>, Option<Vec<usize>>>,
    left_out: LeftOut,
    nodes: u64,
    share: f64,
    done: f64,
}

/// The cheapest selection that does: how many of each column.
///
/// # Errors
/// [`Stopped`] where the watch says so.
pub fn solve(
    it: Instance,
    oracle: &mut dyn Oracle,
    options: Options<'_>,
    watch: &dyn Watch,
) -> Result<Answer<Vec<usize>, Cost>, Stopped> {
    let (root, columns) = (it.clone(), it.columns.len());
    let best = options.known.as_ref().map(|counts| (it.cost(counts), counts.clone()));
    let mut search = Search {
        it,
        oracle,
        options,
        watch,
        counts: vec![0; columns],
        best,
        most_taken: None,
        failed: BTreeMap::new(),
        left_out: LeftOut::NOTHING,
        nodes: 0,
        share: 1.0,
        done: 0.0,
    };
    search.few()?;
    search.share = 1.0 - search.done;
    search.dive(Cost::default(), &vec![true; columns])?;
    let proved = search.left_out.is_nothing();
    let (value, best) = search.best.unzip();
    let reached = value.unwrap_or(Cost::WORST);
    let bound = if proved { reached } else { at_least(&root) };
    let bound = if bound.total_cmp(&reached).is_gt() { reached } else { bound };
    Ok(Answer { best, value, bound, proved, left_out: search.left_out, nodes: search.nodes })
}

/// What any selection costs at least, by the linear relaxation.
fn at_least(it: &Instance) -> Cost {
    let first: Vec<f64> = it.costs.iter().map(|cost| cost.first).collect();
    let relaxation = Relaxation { demands: it.demands.clone(), columns: it.columns.clone() };
    relaxation.solve(&first).map_or(Cost::WORST, |(_, sum)| Cost { first: whole(sum).max(0.0), then: 0.0 })
}

impl Search<'_> {
    /// Columns that the selection in hand takes.
    fn taken(&self) -> usize {
        self.counts.iter().sum()
    }

    fn best_cost(&self) -> Option<Cost> {
        self.best.as_ref().map(|(cost, _)| *cost)
    }

    /// A better selection to beat, of as few columns as do: where some cost
    /// nothing of what is to be the least, large ones would be gone through for nothing.
    fn few(&mut self) -> Result<(), Stopped> {
        if self.it.costs.iter().all(|cost| cost.first > 0.0) {
            return Ok(());
        }
        let most = self.best.as_ref().map_or(MOST_TAKEN, |(_, counts)| counts.iter().sum::<usize>().min(MOST_TAKEN));
        let (before, left_out) = (self.nodes, self.left_out);
        let (mut known, mut better_at) = (self.best_cost(), None);
        for taken in 1..most {
            self.most_taken = Some(taken);
            // How many numbers of columns will be tried isn't known: each has a little of what is left.
            self.share = (1.0 - self.done) / 20.0;
            self.dive(Cost::default(), &vec![true; self.counts.len()])?;
            if self.best_cost() != known {
                (known, better_at) = (self.best_cost(), Some(taken));
            }
            if better_at.is_some_and(|at| taken >= at + MORE_TAKEN) || self.nodes - before > MOST_FEW {
                break;
            }
        }
        self.most_taken = None;
        // All of that is looked at once more.
        self.left_out = left_out;
        Ok(())
    }

    fn dive(&mut self, cost: Cost, allowed: &[bool]) -> Result<(), Stopped> {
        self.nodes += 1;
        let steps = self.it.demands.len() * allowed.len() * SIMPLEX_STEPS;
        if self.nodes > self.options.most_nodes {
            self.left_out.past_nodes = true;
            return Ok(());
        }
        if !self.options.allowance.take(steps as u64) {
            self.left_out.past_steps = true;
            return Ok(());
        }
        if self.nodes.is_multiple_of(WATCHED) && !self.watch.go_on(self.done) {
            return Err(Stopped);
        }
        let wanted = self.it.wanted(&self.counts);
        let open: Vec<usize> = (0..wanted.len()).filter(|row| wanted[*row] > EPSILON).collect();
        if open.is_empty() {
            return self.try_out(cost, allowed);
        }
        let usable: Vec<usize> = (0..allowed.len()).filter(|column| allowed[*column]).collect();
        // More than is wanted is worth no more than that, where no column takes any of it away.
        let only_gives = |row: usize| self.it.columns.iter().all(|column| column[row] >= 0.0);
        let most: Vec<f64> =
            (0..wanted.len()).map(|row| if only_gives(row) { wanted[row].max(0.0) } else { f64::INFINITY }).collect();
        let clipped = |column: usize| -> Vec<f64> {
            self.it.columns[column].iter().zip(&most).map(|(given, most)| given.min(*most)).collect()
        };
        let columns: Vec<Vec<f64>> = usable.iter().map(|column| clipped(*column)).collect();
        let costs: Vec<Cost> = usable.iter().map(|column| self.it.costs[*column]).collect();
        let Some(weights) = self.bound(cost, &wanted, &columns, &costs) else {
            return Ok(());
        };
        // The row that weighs most; only what gives something towards it can help.
        let weight = |row: usize| weights[row] * wanted[row];
        let Some(row) = open.iter().copied().max_by(|a, b| weight(*a).total_cmp(&weight(*b)).then(b.cmp(a))) else {
            return Ok(());
        };
        let worth = |at: usize| -> f64 {
            let sum: f64 = columns[at].iter().zip(&weights).map(|(given, weight)| given * weight).sum();
            sum / costs[at].as_one()
        };
        let mut branches: Vec<(f64, usize)> = usable
            .iter()
            .enumerate()
            .filter(|(_, column)| self.it.columns[**column][row] > EPSILON)
            .map(|(at, column)| (worth(at), *column))
            .collect();
        branches.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        self.branch(cost, allowed, &branches.into_iter().map(|(_, column)| column).collect::<Vec<_>>())
    }

    /// Each branch takes one more of a column; those before it are taken no more.
    fn branch(&mut self, cost: Cost, allowed: &[bool], columns: &[usize]) -> Result<(), Stopped> {
        if self.most_taken.is_some_and(|most| self.taken() >= most) {
            return Ok(());
        }
        let mut allowed = allowed.to_vec();
        let (share, done) = (self.share, self.done);
        self.share = share / columns.len().max(1) as f64;
        for (at, column) in columns.iter().enumerate() {
            self.done = done + self.share * at as f64;
            let next = cost + self.it.costs[*column];
            if !self.is_no_better(next) && self.counts[*column] < self.it.most[*column] {
                self.counts[*column] += 1;
                self.dive(next, &allowed)?;
                self.counts[*column] -= 1;
            }
            allowed[*column] = false;
        }
        (self.share, self.done) = (share, done + share);
        Ok(())
    }

    /// The weights of the demands by which to go on; none if no selection from here on beats the best.
    fn bound(&self, cost: Cost, demands: &[f64], columns: &[Vec<f64>], costs: &[Cost]) -> Option<Vec<f64>> {
        let only = |of: fn(&Cost) -> f64| -> Vec<f64> { costs.iter().map(of).collect() };
        let mut relaxation = Relaxation { demands: demands.to_vec(), columns: columns.to_vec() };
        if let Some(most) = self.most_taken {
            relaxation.limit(most as f64 - self.taken() as f64, &vec![1.0; costs.len()]);
        }
        let both = only(|cost| cost.as_one());
        let Some((best, _)) = &self.best else {
            return relaxation.solve(&both).map(|(weights, _)| weights);
        };
        let first = only(|cost| cost.first);
        let least = cost.first + whole(relaxation.solve(&first)?.1);
        if least > best.first {
            return None;
        }
        if least < best.first {
            return relaxation.solve(&both).map(|(weights, _)| weights);
        }
        // Only an equal first can come, and the rest has to be had for what is left of it.
        relaxation.limit(best.first - cost.first, &first);
        let (weights, rest) = relaxation.solve(&only(|cost| cost.then))?;
        (cost.then + whole(rest) < best.then).then_some(weights)
    }

    /// Whether nothing at that cost or above beats the best.
    fn is_no_better(&self, cost: Cost) -> bool {
        self.best_cost().is_some_and(|best| cost.total_cmp(&best).is_ge())
    }

    /// All demands are met: does the selection really do?
    fn try_out(&mut self, cost: Cost, allowed: &[bool]) -> Result<(), Stopped> {
        let allowance = self.options.allowance;
        let items = match self.failed.get(&self.counts).cloned() {
            Some(items) => items,
            None => {
                let still = Still { whole: self.watch, done: self.done };
                let items = match self.oracle.verdict(&self.counts, &allowance.part(0.2), &still)? {
                    Verdict::Feasible => {
                        self.best = Some((cost, self.counts.clone()));
                        return Ok(());
                    }
                    Verdict::Infeasible(items) => Some(items),
                    Verdict::Unknown => None,
                };
                self.failed.insert(self.counts.clone(), items.clone());
                items
            }
        };
        self.left_out.undecided |= items.is_none();
        if allowance.is_spent() {
            self.left_out.past_steps = true;
            return Ok(());
        }
        // What can't be covered together is a demand of its own, for here and everywhere else.
        let row = self.oracle.row(items.as_deref(), allowance);
        let row = self.it.add_row(row);
        if self.it.wanted(&self.counts)[row] > EPSILON {
            return self.dive(cost, allowed);
        }
        // It says nothing against this selection, yet only some columns can help.
        let helps = self.oracle.helps(items.as_deref(), &self.counts, allowance);
        self.it.remove_last_row();
        let columns = (0..allowed.len()).filter(|column| allowed[*column] && helps[*column]);
        let mut columns: Vec<(Cost, usize)> = columns.map(|column| (self.it.costs[column], column)).collect();
        columns.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        self.branch(cost, allowed, &columns.into_iter().map(|(_, column)| column).collect::<Vec<_>>())
    }
}
