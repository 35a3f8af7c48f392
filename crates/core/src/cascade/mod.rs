//! Evaluating a ladder: the level at its mark, over a sweep or at one frequency.

mod bank;
mod single;

pub use bank::Bank;
pub use single::{level_at, transfer_at};

use crate::network::{Ladder, Onward, Row, Rung};
use crate::units::Level;

/// Levels in dB from the EMF at rung `mark` of a ladder, one a frequency of the
/// bank's sweep: 1/(A + B·Y), Y the admittance looking onward.
#[must_use]
pub fn levels(ladder: &Ladder, mark: usize, bank: &mut Bank) -> Vec<Level> {
    let mark = mark.min(ladder.rungs.len());
    let (before, after) = ladder.rungs.split_at(mark);
    let mut row = row_through(before, bank);
    row.hang(&onward(after, bank));
    row.levels()
}

/// The row behind these rungs, which an ideal EMF drives.
#[must_use]
pub fn row_through(rungs: &[Rung], bank: &mut Bank) -> Row {
    row_on(Row::ideal(bank.sweep().len()), rungs, bank)
}

/// A row carried on over these rungs.
#[must_use]
pub fn row_on(mut row: Row, rungs: &[Rung], bank: &mut Bank) -> Row {
    for rung in rungs {
        match rung {
            Rung::Series(branch) => row.series(branch, bank.sweep()),
            Rung::Shunt(branch) => row.shunt(branch, bank.sweep()),
            Rung::Line(line) => row.line(&bank.port(line)),
            Rung::Leg(leg) => row.hang(&onward(&leg.rungs, bank)),
        }
    }
    row
}

/// The admittance looking into these rungs from the left, their far end open.
#[must_use]
pub fn onward(rungs: &[Rung], bank: &mut Bank) -> Onward {
    onward_from(Onward::Open, rungs, bank)
}

/// The same with `seen` hanging on their far end.
#[must_use]
pub fn onward_from(mut seen: Onward, rungs: &[Rung], bank: &mut Bank) -> Onward {
    for rung in rungs.iter().rev() {
        seen = match rung {
            Rung::Series(branch) => seen.behind_series(branch, bank.sweep()),
            Rung::Shunt(branch) => seen.behind_shunt(branch, bank.sweep()),
            Rung::Line(line) => {
                let port = bank.port(line);
                seen.behind_line(&port, bank.sweep())
            }
            Rung::Leg(leg) => {
                let side = onward(&leg.rungs, bank);
                seen.beside(side)
            }
        };
    }
    seen
}
