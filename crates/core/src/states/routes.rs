//! Which level of a path leads on to which, and in how many ways.

use std::ops::Range;

use super::path::Path;

/// A way on at which a stretch goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Route {
    /// The level that it leads on from.
    pub from: usize,
    /// The level that it leads to.
    pub to: usize,
    /// In how many ways: the choices of its side runs, together.
    pub choices: u64,
}

/// All of a path's.
#[derive(Debug)]
pub struct Routes {
    /// In the order of the levels that they lead on from.
    pub all: Vec<Route>,
    /// The routes to each level, as one list, and where each level's begin.
    incoming: Vec<u32>,
    begin: Vec<usize>,
}

impl Routes {
    /// Of a path whose exits, in order, have so many choices.
    pub fn new(path: &Path, choices: impl IntoIterator<Item = u64>) -> Self {
        let exits = path.stops.iter().enumerate().flat_map(|(at, stop)| stop.exits.iter().map(move |exit| (at, exit)));
        let all: Vec<Route> =
            exits.zip(choices).map(|((at, exit), choices)| Route { from: at + 1, to: exit.to, choices }).collect();
        let mut begin = vec![0; path.spot() + 2];
        all.iter().for_each(|route| begin[route.to + 1] += 1);
        (1..begin.len()).for_each(|level| begin[level] += begin[level - 1]);
        let mut next = begin.clone();
        let mut incoming = vec![0; all.len()];
        for (at, route) in all.iter().enumerate() {
            incoming[next[route.to]] = at as u32;
            next[route.to] += 1;
        }
        Self { all, incoming, begin }
    }

    /// The spot's level.
    pub fn spot(&self) -> usize {
        self.begin.len() - 2
    }

    /// The routes that lead on from a level.
    pub fn from(&self, level: usize) -> Range<usize> {
        let first = self.all.partition_point(|route| route.from < level);
        first..first + self.all[first..].iter().take_while(|route| route.from == level).count()
    }

    /// The routes that lead to a level, in order.
    pub fn to(&self, level: usize) -> impl Iterator<Item = (usize, &Route)> {
        let incoming = &self.incoming[self.begin[level]..self.begin[level + 1]];
        incoming.iter().map(|at| (*at as usize, &self.all[*at as usize]))
    }

    /// How many rows come to each level from `first` on, if one begins there.
    /// The list ends where none comes any farther.
    pub fn rows_from(&self, first: usize) -> Vec<u64> {
        let mut rows = vec![1_u64];
        let mut reach = first;
        for level in first + 1..=self.spot() {
            let last = rows[level - 1 - first];
            if last > 0 {
                reach = self.all[self.from(level - 1)].iter().map(|route| route.to).fold(reach, usize::max);
            }
            if level > reach {
                break;
            }
            let from = self.to(level).filter(|(_, route)| route.from >= first);
            let each = from.map(|(_, route)| rows[route.from - first].saturating_mul(route.choices));
            rows.push(each.fold(0, u64::saturating_add));
        }
        rows
    }
}
