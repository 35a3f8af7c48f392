//! Evaluating a ladder: the level at its mark, over a sweep or at one frequency.

mod line_cache;
mod single;

pub use line_cache::LineCache;
pub use single::{level_at, transfer_at};

use crate::network::{ChainRow, Ladder, Rung, SeenAdmittance};
use crate::units::Level;

/// Levels in dB from the EMF at rung `mark` of a ladder, one a frequency of the
/// cache's sweep: 1/(A + B·Y), Y the admittance looking onward.
#[must_use]
pub fn levels(ladder: &Ladder, mark: usize, cache: &mut LineCache) -> Vec<Level> {
    let mark = mark.min(ladder.rungs.len());
    let (before, after) = ladder.rungs.split_at(mark);
    let mut row = row_through(before, cache);
    row.hang(&admittance_into(after, cache));
    row.levels()
}

/// The row behind these rungs, which an ideal EMF drives.
#[must_use]
pub fn row_through(rungs: &[Rung], cache: &mut LineCache) -> ChainRow {
    row_on(ChainRow::ideal(cache.sweep().len()), rungs, cache)
}

/// A row carried on over these rungs.
#[must_use]
pub fn row_on(mut row: ChainRow, rungs: &[Rung], cache: &mut LineCache) -> ChainRow {
    for rung in rungs {
        match rung {
            Rung::Series(branch) => row.series(branch, cache.sweep()),
            Rung::Shunt(branch) => row.shunt(branch, cache.sweep()),
            Rung::Line(line) => row.line(&cache.port(line)),
            Rung::Leg(leg) => row.hang(&admittance_into(&leg.rungs, cache)),
            Rung::Source(network) => row.source(&cache.source(network)),
        }
    }
    row
}

/// The admittance looking into these rungs from the left, their far end open.
#[must_use]
pub fn admittance_into(rungs: &[Rung], cache: &mut LineCache) -> SeenAdmittance {
    admittance_into_loaded(SeenAdmittance::Open, rungs, cache)
}

/// The same with `seen` hanging on their far end, as the next stretch's admittance.
#[must_use]
pub fn admittance_into_loaded(mut seen: SeenAdmittance, rungs: &[Rung], cache: &mut LineCache) -> SeenAdmittance {
    for rung in rungs.iter().rev() {
        seen = match rung {
            Rung::Series(branch) => seen.behind_series(branch, cache.sweep()),
            Rung::Shunt(branch) => seen.behind_shunt(branch, cache.sweep()),
            Rung::Line(line) => {
                let port = cache.port(line);
                seen.behind_line(&port, cache.sweep())
            }
            Rung::Leg(leg) => {
                let side = admittance_into(&leg.rungs, cache);
                seen.beside(side)
            }
            // Nothing is in front of it.
            Rung::Source(_) => SeenAdmittance::Open,
        };
    }
    seen
}
