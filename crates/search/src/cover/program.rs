//! Demands, and columns that give towards them.

use std::cmp::Ordering;
use std::ops::Add;

use crate::simplex;

/// What a column or a selection costs: of two, that with less of the first is
/// the less, of equals that with less of the second.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Cost {
    /// What is to be the least; a whole number at or above zero.
    pub first: f64,
    /// What decides between equals; a whole number above zero.
    pub then: f64,
}

impl Cost {
    /// More than any selection costs.
    pub const WORST: Self = Self { first: f64::INFINITY, then: f64::INFINITY };

    /// So many times as much.
    #[must_use]
    pub fn times(self, count: usize) -> Self {
        Self { first: self.first * count as f64, then: self.then * count as f64 }
    }

    /// Which is the less.
    #[must_use]
    pub fn total_cmp(&self, other: &Self) -> Ordering {
        self.first.total_cmp(&other.first).then(self.then.total_cmp(&other.then))
    }

    /// As one number, in which the first weighs more than any sum of the second.
    #[must_use]
    pub fn as_one(self) -> f64 {
        self.first * 1e8 + self.then
    }
}

impl Add for Cost {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self { first: self.first + other.first, then: self.then + other.then }
    }
}

/// What is asked: so many of each column that all demands are met at the least cost.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Instance {
    /// What has to be given at least, row after row.
    pub demands: Vec<f64>,
    /// What one of each column gives towards each demand, or takes from it.
    pub columns: Vec<Vec<f64>>,
    /// What one of each column costs.
    pub costs: Vec<Cost>,
    /// How many of each column can be of use.
    pub most: Vec<usize>,
}

impl Instance {
    /// What a selection costs.
    #[must_use]
    pub fn cost(&self, counts: &[usize]) -> Cost {
        let each = counts.iter().zip(&self.costs).map(|(count, cost)| cost.times(*count));
        each.fold(Cost::default(), Cost::add)
    }

    /// What is still wanted of each demand beside a selection; below zero where more than that is given.
    #[must_use]
    pub fn wanted(&self, counts: &[usize]) -> Vec<f64> {
        let given = |row: usize| {
            let each = counts.iter().zip(&self.columns);
            each.map(|(count, column)| *count as f64 * column[row]).sum::<f64>()
        };
        self.demands.iter().enumerate().map(|(row, demand)| demand - given(row)).collect()
    }

    /// One demand more, and what each column gives towards it; its row.
    pub fn add_row(&mut self, row: Row) -> usize {
        self.demands.push(row.demand);
        self.columns.iter_mut().zip(row.gives).for_each(|(column, given)| column.push(given));
        self.demands.len() - 1
    }

    /// Takes the last demand away again.
    pub fn remove_last_row(&mut self) {
        self.demands.pop();
        self.columns.iter_mut().for_each(|column| {
            column.pop();
        });
    }

    /// Demands that are met by themselves, or that another asks at least as much as, go.
    pub fn remove_implied_rows(&mut self) {
        let count = self.demands.len();
        let column = |row: usize| self.columns.iter().map(move |column| column[row]);
        let implied = |row: usize, by: usize| {
            // Enough of the other's is enough of this one's.
            self.demands[by] >= self.demands[row] && column(by).zip(column(row)).all(|(b, a)| b <= a)
        };
        let is_needless = |row: usize| {
            let met = self.demands[row] <= 0.0 && column(row).all(|value| value >= 0.0);
            let same = |by: usize| implied(by, row);
            met || (0..count).any(|by| by != row && implied(row, by) && (by < row || !same(by)))
        };
        let keep: Vec<bool> = (0..count).map(|row| !is_needless(row)).collect();
        let filter = |values: &Vec<f64>| -> Vec<f64> {
            values.iter().zip(&keep).filter(|(_, keep)| **keep).map(|(value, _)| *value).collect()
        };
        self.demands = filter(&self.demands);
        for column in &mut self.columns {
            *column = filter(column);
        }
    }
}

/// One demand, and what each column gives towards it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Row {
    /// What has to be given at least.
    pub demand: f64,
    /// By how much one of each column helps.
    pub gives: Vec<f64>,
}

/// The linear relaxation: demands, what each column gives towards them, and limits on what is taken.
pub struct Relaxation {
    pub demands: Vec<f64>,
    pub columns: Vec<Vec<f64>>,
}

impl Relaxation {
    /// No more than so much in all of what each column takes.
    pub fn limit(&mut self, most: f64, takes: &[f64]) {
        self.demands.push(-most);
        self.columns.iter_mut().zip(takes).for_each(|(column, takes)| column.push(-takes));
    }

    /// A weight for each demand and limit, and the cost below which they can't be met; none if they can't at all.
    pub fn solve(&self, costs: &[f64]) -> Option<(Vec<f64>, f64)> {
        let weights = simplex::weights(&self.demands, &self.columns, costs)?;
        let sum = weights.iter().zip(&self.demands).map(|(weight, demand)| weight * demand).sum();
        Some((weights, sum))
    }
}

/// The least whole number that is no less, but for rounding.
pub fn whole(bound: f64) -> f64 {
    (bound * (1.0 - 1e-12) - 1e-6).ceil()
}
