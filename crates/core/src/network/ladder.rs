//! A ladder: rungs from an EMF at the left to an open end at the right.

use std::sync::Arc;

use super::{Branch, Line, SourceNetwork};

/// One step of a ladder.
#[derive(Debug, Clone, PartialEq)]
pub enum Rung {
    /// A branch in the signal's way.
    Series(Branch),
    /// A branch from the signal to 0 V.
    Shunt(Branch),
    /// A lead.
    Line(Line),
    /// A side run that hangs on this point and comes back to it only as a load.
    Leg(Ladder),
    /// In place of the bare EMF at the left, and so the first rung of all: a network of several EMFs.
    Source(Arc<SourceNetwork>),
}

/// Rungs in the order in which the signal meets them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ladder {
    /// The rungs.
    pub rungs: Vec<Rung>,
}

impl Ladder {
    /// No rung yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a branch in the signal's way; a short adds nothing.
    pub fn series(&mut self, branch: Branch) {
        match branch.simplified() {
            Branch::Short => {}
            branch => self.rungs.push(Rung::Series(branch)),
        }
    }

    /// Adds a branch to 0 V; an open one adds nothing.
    pub fn shunt(&mut self, branch: Branch) {
        match branch.simplified() {
            Branch::Open => {}
            branch => self.rungs.push(Rung::Shunt(branch)),
        }
    }

    /// Adds a lead.
    pub fn line(&mut self, line: Line) {
        self.rungs.push(Rung::Line(line));
    }

    /// Adds a side run; one with no rung adds nothing.
    pub fn leg(&mut self, ladder: Self) {
        if !ladder.rungs.is_empty() {
            self.rungs.push(Rung::Leg(ladder));
        }
    }

    /// Puts a network in the place of the EMF, where no rung is yet.
    pub fn source(&mut self, network: SourceNetwork) {
        self.rungs.insert(0, Rung::Source(Arc::new(network)));
    }

    /// Adds all rungs of another ladder.
    pub fn extend(&mut self, other: &Self) {
        self.rungs.extend(other.rungs.iter().cloned());
    }

    /// All capacitance from the signal to 0 V, in F; series branches don't count, nor what is inside a source.
    #[must_use]
    pub fn capacitance(&self) -> f64 {
        self.rungs
            .iter()
            .map(|rung| match rung {
                Rung::Series(_) | Rung::Source(_) => 0.0,
                Rung::Shunt(branch) => branch.capacitance(),
                Rung::Line(line) => line.total_capacitance(),
                Rung::Leg(ladder) => ladder.capacitance(),
            })
            .sum()
    }
}
