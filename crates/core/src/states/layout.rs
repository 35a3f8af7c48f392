//! Which stretches there are, and where each stands in a list of numbers.

use std::ops::Range;

use crate::rig::SwitchSetting;

use super::choice::Choice;
use super::path::{Path, Stand, Stop};

/// A device in a mode, or the start, or what hangs on the spot in one of its choices.
#[derive(Debug, Clone)]
pub struct Node {
    /// 0 is the start; stop s of the path is s + 1; the spot comes last.
    pub level: usize,
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
    /// Its entries, one for each combination of the side runs between.
    pub entries: Range<usize>,
}

/// A stretch, the side runs between being one combination of their choices.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// Node where it starts.
    pub from: usize,
    /// Node where it ends.
    pub to: usize,
    /// Which combination.
    pub combination: usize,
}

/// All stretches of a path. Entries are ordered by where a stretch starts, then
/// by where it ends, then by the combination, the nearest side run's choice
/// changing fastest.
#[derive(Debug)]
pub struct Layout {
    /// The nodes, in the signal's order: the start first, the spot's choices last.
    pub nodes: Vec<Node>,
    /// The stretches, in order.
    pub stretches: Vec<Stretch>,
    /// The choices of each side run, and the level that it hangs at, in order.
    pub legs: Vec<(usize, Vec<Choice>)>,
    /// The choices of what hangs on the spot.
    pub rest: Vec<Choice>,
    /// How many entries there are.
    pub entries: usize,
    /// The first node of each level, and one past the last node.
    levels: Vec<usize>,
    /// Of each level the switch that has been moved where the stretch goes on past it, if any.
    passing: Vec<Option<SwitchSetting>>,
    /// How many of these there are up to each level.
    passing_before: Vec<usize>,
    /// The stretches from each node but the spot's.
    rows: Vec<Range<usize>>,
    /// The stretch of each entry.
    stretch_of: Vec<u32>,
}

impl Layout {
    /// The layout of a path whose side runs have these choices.
    pub fn new(path: &Path, legs: Vec<(usize, Vec<Choice>)>, rest: Vec<Choice>) -> Self {
        let mut nodes = vec![Node { level: 0, stand: None, gain_db: path.gain_db, moved: Vec::new() }];
        let mut levels = vec![0];
        for (at, stop) in path.stops.iter().enumerate() {
            levels.push(nodes.len());
            for mode in &stop.modes {
                let moved = mode.stand.filter(|stand| stand.moved).map(|stand| stand.setting);
                let moved = moved.into_iter().collect();
                nodes.push(Node { level: at + 1, stand: mode.stand, gain_db: mode.gain_db, moved });
            }
        }
        let spot = path.stops.len() + 1;
        levels.push(nodes.len());
        let of_rest =
            |choice: &Choice| Node { level: spot, stand: None, gain_db: 0.0, moved: choice.moved().collect() };
        nodes.extend(rest.iter().map(of_rest));
        levels.push(nodes.len());
        let passed = |stop: &Stop| stop.pass.as_ref()?.0.filter(|stand| stand.moved).map(|stand| stand.setting);
        let passing: Vec<_> = [None].into_iter().chain(path.stops.iter().map(passed)).collect();
        let mut passing_before = vec![0];
        for moved in &passing {
            passing_before.push(passing_before.last().unwrap_or(&0) + usize::from(moved.is_some()));
        }
        let mut layout = Self {
            passing,
            passing_before,
            nodes,
            stretches: Vec::new(),
            legs,
            rest,
            entries: 0,
            levels,
            rows: Vec::new(),
            stretch_of: Vec::new(),
        };
        for from in 0..layout.spots().start {
            layout.add_row(path, from);
        }
        layout
    }

    /// All stretches from a node, as far as the signal can go on.
    fn add_row(&mut self, path: &Path, from: usize) {
        let row = self.stretches.len();
        let mut combinations = 1;
        for level in self.nodes[from].level + 1..self.levels.len() - 1 {
            for to in self.at_level(level) {
                let stretch = self.stretches.len() as u32;
                let entries = self.entries..self.entries + combinations;
                self.entries = entries.end;
                self.stretches.push(Stretch { from, to, entries });
                self.stretch_of.resize(self.entries, stretch);
            }
            if path.stops.get(level - 1).is_none_or(|stop| stop.pass.is_none()) {
                break;
            }
            combinations *= self.legs_at(level).map(<[Choice]>::len).product::<usize>();
        }
        self.rows.push(row..self.stretches.len());
    }

    /// The nodes of a level.
    pub fn at_level(&self, level: usize) -> Range<usize> {
        self.levels[level]..self.levels[level + 1]
    }

    /// The nodes of the spot: what hangs there in each of its choices.
    pub fn spots(&self) -> Range<usize> {
        self.at_level(self.levels.len() - 2)
    }

    /// The choices of the side runs that hang at a level.
    pub fn legs_at(&self, level: usize) -> impl Iterator<Item = &[Choice]> {
        self.legs_between(level - 1, level + 1)
    }

    /// Those of the side runs that hang between two levels, in order.
    fn legs_between(&self, after: usize, before: usize) -> impl Iterator<Item = &[Choice]> {
        let first = self.legs.partition_point(|(at, _)| *at <= after);
        let last = self.legs.partition_point(|(at, _)| *at < before);
        self.legs[first..last.max(first)].iter().map(|(_, choices)| &choices[..])
    }

    /// The stretches from a node, in order of where they end; none from the spot.
    pub fn from(&self, node: usize) -> &[Stretch] {
        self.rows.get(node).map_or(&[], |row| &self.stretches[row.clone()])
    }

    /// The entries of the stretch between two nodes, if no barrier stands between them.
    pub fn between(&self, from: usize, to: usize) -> Option<Range<usize>> {
        let row = self.from(from);
        Some(row.get(to.checked_sub(row.first()?.to)?)?.entries.clone())
    }

    /// The entries of all stretches from a node.
    pub fn entries_from(&self, node: usize) -> Range<usize> {
        let row = self.from(node);
        row.first().zip(row.last()).map_or(0..0, |(first, last)| first.entries.start..last.entries.end)
    }

    /// Where an entry is.
    pub fn place(&self, entry: usize) -> Place {
        let Stretch { from, to, entries } = &self.stretches[self.stretch_of[entry] as usize];
        Place { from: *from, to: *to, combination: entry - entries.start }
    }

    /// The switches that have been moved between the two nodes of a stretch: in
    /// the side runs there, and those that it goes past.
    pub fn moved_between(&self, place: Place) -> impl Iterator<Item = SwitchSetting> {
        let passed = self.passing[self.inside(place)].iter().flatten().copied();
        passed.chain(self.chosen(place).flat_map(Choice::moved))
    }

    /// How many these are.
    pub fn count_between(&self, place: Place) -> usize {
        let inside = self.inside(place);
        let passed = self.passing_before[inside.end] - self.passing_before[inside.start];
        passed + self.chosen(place).map(|choice| choice.moved().count()).sum::<usize>()
    }

    /// The levels between the two nodes of a stretch.
    fn inside(&self, place: Place) -> Range<usize> {
        let (from, to) = (self.nodes[place.from].level, self.nodes[place.to].level);
        from + 1..to.max(from + 1)
    }

    /// The choices in a combination of the side runs between two nodes.
    pub fn chosen(&self, place: Place) -> impl Iterator<Item = &Choice> {
        let (from, to) = (self.nodes[place.from].level, self.nodes[place.to].level);
        let mut combination = place.combination;
        self.legs_between(from, to).map(move |choices| {
            let choice = &choices[combination % choices.len()];
            combination /= choices.len();
            choice
        })
    }
}
