//! Which stretches there are, and where each stands in a list of numbers.

use crate::arrival::{Choice, Stand};
use std::ops::Range;

use crate::rig::SwitchSetting;

use super::path::Path;
use super::routes::Routes;

/// A device in a mode, or the start, or what hangs on the spot in one of its choices.
#[derive(Debug, Clone)]
pub struct Node {
    /// 0 is the start; stop s of the path is s + 1; the spot comes last.
    pub level: usize,
    /// The level where a stretch from here comes first; of the spot, its own.
    pub to: usize,
    /// The switch's position that it takes; none for the start, the spot and what has no switch.
    pub stand: Option<Stand>,
    /// Level in dB between its input and its output; of the start, its own.
    pub gain_db: f64,
    /// Switches that have been moved when it is chosen.
    pub moved: Vec<SwitchSetting>,
}

/// A stretch between two nodes with nothing but what passes between them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stretch {
    /// Node where it starts.
    pub from: usize,
    /// Node where it ends.
    pub to: usize,
    /// Its entries, one for each way of rows between.
    pub entries: Range<usize>,
}

/// A stretch, what passes between being one of the ways that it can.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// Node where it starts.
    pub from: usize,
    /// Node where it ends.
    pub to: usize,
    /// Which row of those that come from there.
    pub row: usize,
}

/// A way on: which position of its stop's switch it takes, and what hangs on it.
#[derive(Debug)]
pub struct OnRoute {
    /// The switch's position, if it takes one.
    pub stand: Option<Stand>,
    /// The choices of each side run.
    pub side_runs: Vec<Vec<Choice>>,
}

/// All that comes of a row that begins at a level: how many rows there are at
/// each level behind it. Rows at a level are ordered by the way on that they
/// came by, then by the choice of its side runs, the first run's changing
/// fastest, then as they were at the level before.
#[derive(Debug)]
struct Spread {
    rows: Vec<u64>,
    /// Entries of the nodes at the levels before each.
    entries_before: Vec<usize>,
    /// The first of each level's rows in the list of how many switches are moved.
    first: Vec<usize>,
    /// How many switches are moved on the way of each row.
    moved: Vec<u32>,
}

/// All stretches of a path. Entries are ordered by where a stretch starts, then
/// by where it ends, then by the row.
#[derive(Debug)]
pub struct Layout {
    /// The nodes, in the signal's order: the start first, the spot's choices last.
    pub nodes: Vec<Node>,
    /// The stretches, in order.
    pub stretches: Vec<Stretch>,
    /// Which level leads on to which.
    pub routes: Routes,
    /// Of each route what it takes and what hangs on it.
    pub onward: Vec<OnRoute>,
    /// The choices of each block, with its level.
    pub blocks: Vec<(usize, Vec<Choice>)>,
    /// The choices of what hangs on the spot.
    pub rest: Vec<Choice>,
    /// How many entries there are.
    pub entries: usize,
    /// Whether no way parts.
    pub is_a_row: bool,
    /// Whether no side run hangs on it either.
    pub is_plain: bool,
    /// The first node of each level, and one past the last node.
    levels: Vec<usize>,
    /// What comes of a row that begins at each level; none at the start.
    spreads: Vec<Spread>,
    /// The stretches from each node but the spot's.
    rows: Vec<Range<usize>>,
    /// The stretch of each entry.
    stretch_of: Vec<u32>,
}

impl Layout {
    /// The layout of a path whose exits' side runs, in order, have these choices, and whose blocks have these.
    pub fn new(path: &Path, side_runs: Vec<Vec<Vec<Choice>>>, blocks: Vec<Vec<Choice>>, rest: Vec<Choice>) -> Self {
        let spot = path.spot();
        let mut nodes = vec![Node { level: 0, to: 1, stand: None, gain_db: path.gain_db, moved: Vec::new() }];
        let mut levels = vec![0];
        let mut choices = blocks.into_iter();
        let mut blocks = Vec::new();
        let chosen = |choice: &Choice, level: usize, to: usize| Node {
            level,
            to,
            stand: None,
            gain_db: 0.0,
            moved: choice.moved().collect(),
        };
        for (at, stop) in path.stops.iter().enumerate() {
            levels.push(nodes.len());
            for mode in &stop.modes {
                let moved = mode.stand.filter(|stand| stand.moved).map(|stand| stand.setting);
                let moved = moved.into_iter().collect();
                let (stand, gain_db) = (mode.stand, mode.gain_db);
                nodes.push(Node { level: at + 1, to: mode.to, stand, gain_db, moved });
            }
            if let Some(block) = &stop.block {
                let own = choices.next().unwrap_or_default();
                nodes.extend(own.iter().map(|choice| chosen(choice, at + 1, block.to)));
                blocks.push((at + 1, own));
            }
        }
        levels.push(nodes.len());
        nodes.extend(rest.iter().map(|choice| chosen(choice, spot, spot)));
        levels.push(nodes.len());
        let together = |side_runs: &Vec<Vec<Choice>>| side_runs.iter().map(|choices| choices.len() as u64).product();
        let routes = Routes::new(path, side_runs.iter().map(together));
        let stands = path.stops.iter().flat_map(|stop| stop.exits.iter().map(|exit| exit.stand));
        let onward: Vec<OnRoute> =
            stands.zip(side_runs).map(|(stand, side_runs)| OnRoute { stand, side_runs }).collect();
        let is_a_row = path.is_a_row();
        let is_plain = is_a_row && onward.iter().all(|one| one.side_runs.is_empty());
        let mut layout = Self {
            nodes,
            stretches: Vec::new(),
            routes,
            onward,
            blocks,
            rest,
            entries: 0,
            is_a_row,
            is_plain,
            levels,
            spreads: Vec::new(),
            rows: Vec::new(),
            stretch_of: Vec::new(),
        };
        layout.spreads = (1..=spot).map(|level| layout.spread(level)).collect();
        for from in 0..layout.spots().start {
            layout.add_row(from);
        }
        layout
    }

    fn spread(&self, first: usize) -> Spread {
        let rows = self.routes.rows_from(first);
        let (mut entries_before, mut begin, mut moved) = (Vec::new(), Vec::new(), Vec::new());
        let mut entries = 0;
        for (at, count) in rows.iter().enumerate() {
            let level = first + at;
            entries_before.push(entries);
            entries += *count as usize * self.at_level(level).len();
            begin.push(moved.len());
            if at == 0 {
                moved.push(0);
                continue;
            }
            for (number, route) in self.routes.to(level).filter(|(_, route)| route.from >= first) {
                let before = begin[route.from - first]..begin[route.from - first] + rows[route.from - first] as usize;
                for choice in 0..route.choices as usize {
                    let more = self.moved_on(number, choice).count() as u32;
                    moved.extend_from_within(before.clone());
                    let new = moved.len() - before.len();
                    moved[new..].iter_mut().for_each(|count| *count += more);
                }
            }
        }
        Spread { rows, entries_before, first: begin, moved }
    }

    /// All stretches from a node, as far as the signal can go on.
    fn add_row(&mut self, from: usize) {
        let row = self.stretches.len();
        let first = self.nodes[from].to;
        for at in 0..self.spreads[first - 1].rows.len() {
            let rows = self.spreads[first - 1].rows[at] as usize;
            if rows == 0 {
                continue;
            }
            for to in self.at_level(first + at) {
                let stretch = self.stretches.len() as u32;
                let entries = self.entries..self.entries + rows;
                self.entries = entries.end;
                self.stretches.push(Stretch { from, to, entries });
                self.stretch_of.resize(self.entries, stretch);
            }
        }
        self.rows.push(row..self.stretches.len());
    }

    /// The nodes of a level.
    pub fn at_level(&self, level: usize) -> Range<usize> {
        self.levels[level]..self.levels[level + 1]
    }

    /// The choices at a level at which a block is, or the spot.
    pub fn choices_at(&self, level: usize) -> Option<&[Choice]> {
        let block = self.blocks.iter().find(|(at, _)| *at == level).map(|(_, choices)| &choices[..]);
        block.or_else(|| (level == self.spot()).then_some(&self.rest[..]))
    }

    /// The spot's level.
    pub fn spot(&self) -> usize {
        self.routes.spot()
    }

    /// The nodes of the spot: what hangs there in each of its choices.
    pub fn spots(&self) -> Range<usize> {
        self.at_level(self.spot())
    }

    /// How many rows of one that begins at `first` come to a level.
    pub fn rows_at(&self, first: usize, level: usize) -> usize {
        let rows = self.spreads.get(first.wrapping_sub(1)).map_or(&[][..], |spread| &spread.rows);
        rows.get(level.wrapping_sub(first)).map_or(0, |rows| *rows as usize)
    }

    /// The first entry of what comes from a node to the nodes of a level.
    pub fn entries_at(&self, from: usize, level: usize) -> usize {
        let first = self.nodes[from].to;
        let before = self.spreads[first - 1].entries_before.get(level - first).copied().unwrap_or(0);
        self.entries_from(from).start + before
    }

    /// The stretches from a node, in order of where they end; none from the spot.
    pub fn from(&self, node: usize) -> &[Stretch] {
        self.rows.get(node).map_or(&[], |row| &self.stretches[row.clone()])
    }

    /// The entries of the stretch between two nodes, if there is one.
    pub fn between(&self, from: usize, to: usize) -> Option<Range<usize>> {
        let row = self.from(from);
        // No barrier and no parting between: the stretches stand one after another.
        let at = to.checked_sub(row.first()?.to)?;
        let stretch = match row.get(at) {
            Some(stretch) if stretch.to == to => stretch,
            _ => &row[row.binary_search_by_key(&to, |stretch| stretch.to).ok()?],
        };
        Some(stretch.entries.clone())
    }

    /// The entries of all stretches from a node.
    pub fn entries_from(&self, node: usize) -> Range<usize> {
        let row = self.from(node);
        row.first().zip(row.last()).map_or(0..0, |(first, last)| first.entries.start..last.entries.end)
    }

    /// Where an entry is.
    pub fn place(&self, entry: usize) -> Place {
        let Stretch { from, to, entries } = &self.stretches[self.stretch_of[entry] as usize];
        Place { from: *from, to: *to, row: entry - entries.start }
    }

    /// The switches that have been moved where a route is taken in one of its choices.
    fn moved_on(&self, route: usize, choice: usize) -> impl Iterator<Item = SwitchSetting> {
        let OnRoute { stand, side_runs } = &self.onward[route];
        let passed = stand.filter(|stand| stand.moved).map(|stand| stand.setting);
        passed.into_iter().chain(chosen(side_runs, choice).flat_map(|choice| choice.moved()))
    }

    /// The switches that have been moved between the two nodes of a stretch: in
    /// the side runs there, and those that it goes past.
    pub fn moved_between(&self, place: Place) -> impl Iterator<Item = SwitchSetting> {
        self.taken(place).flat_map(|(route, choice)| self.moved_on(route, choice))
    }

    /// How many these are.
    pub fn count_between(&self, place: Place) -> usize {
        let first = self.nodes[place.from].to;
        let Spread { first: begin, moved, .. } = &self.spreads[first - 1];
        moved[begin[self.nodes[place.to].level - first] + place.row] as usize
    }

    /// The routes that a row takes and the choice on each, the last first.
    fn taken(&self, place: Place) -> impl Iterator<Item = (usize, usize)> {
        let first = self.nodes[place.from].to;
        let mut at = (self.nodes[place.to].level, place.row);
        std::iter::from_fn(move || {
            let (level, mut row) = at;
            if level == first {
                return None;
            }
            for (number, route) in self.routes.to(level).filter(|(_, route)| route.from >= first) {
                let before = self.rows_at(first, route.from);
                let all = before * route.choices as usize;
                if row < all {
                    at = (route.from, row % before);
                    return Some((number, row / before));
                }
                row -= all;
            }
            None
        })
    }

    /// Of the rows that come to a level from a row that begins at `first`, those
    /// that came by one route stand from here on.
    pub fn by_route(&self, first: usize, number: usize) -> usize {
        let level = self.routes.all[number].to;
        let before = self.routes.to(level).filter(|(other, route)| *other < number && route.from >= first);
        before.map(|(_, route)| self.rows_at(first, route.from) * route.choices as usize).sum()
    }
}

/// The choices of side runs in one of their combinations, the first changing fastest.
pub fn chosen(side_runs: &[Vec<Choice>], mut choice: usize) -> impl Iterator<Item = &Choice> {
    side_runs.iter().map(move |choices| {
        let one = &choices[choice % choices.len()];
        choice /= choices.len();
        one
    })
}
