//! All stretches, both edges and all jumps, block after block of frequencies.

use super::NoStates;
use super::audible_ways::AudibleWays;
use super::bounds::Bounds;
use super::effort::Effort;
use super::envelope::{Edge, Search, weights};
use super::jumps::{Evaluated, Jump, JumpSearch};
use super::lanes::{LANES, invert};
use super::layout::Layout;
use super::path::Path;
use super::steps::{Bound, Rows, Steps};
use super::table::Table;
use crate::cascade::LineCache;
use crate::watch::Pace;

/// What was found.
#[derive(Debug)]
pub struct Found {
    /// The lowest level of any state.
    pub lowest: Edge,
    /// The highest.
    pub highest: Edge,
    /// What each switch does.
    pub jumps: Vec<Jump>,
    /// What it took.
    pub counted: Counted,
    /// What no state goes beyond, where that is known.
    pub bounds: Option<Bounds>,
}

/// What an answer took, for a benchmark to compare with bare arithmetic.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counted {
    /// Stretches, each combination of the side runs between and each frequency counted.
    pub stretch_steps: u64,
    /// Contexts of all switches, each frequency counted.
    pub context_steps: u64,
    /// Logarithms.
    pub logarithms: u64,
}

impl Counted {
    /// Nothing yet.
    pub const NOTHING: Self = Self { stretch_steps: 0, context_steps: 0, logarithms: 0 };

    /// Both together.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self {
            stretch_steps: self.stretch_steps.saturating_add(other.stretch_steps),
            context_steps: self.context_steps.saturating_add(other.context_steps),
            logarithms: self.logarithms.saturating_add(other.logarithms),
        }
    }
}

/// Looks at every stretch of a path.
pub fn evaluate(
    path: &Path,
    layout: &Layout,
    line_cache: &mut LineCache,
    pace: &mut Pace<'_>,
) -> Result<Found, NoStates> {
    let points = line_cache.sweep().len();
    let steps = Steps::new(path, layout, line_cache);
    let mut table = Table::new(layout.entries, points);
    let mut rows = Rows::default();
    steps.losses(layout, 0, Bound::Exact, &mut rows, table.block_mut(0));
    let audible_ways = AudibleWays::of(layout, &table);
    if !audible_ways.is_any() {
        return Err(NoStates::Silent);
    }
    let dead: Vec<usize> = dead(layout, &audible_ways);
    let mut gains = vec![[0.0; LANES]; layout.entries];
    let weights = weights(layout);
    let (mut lowest, mut highest) = (Search::new(layout, &weights, false), Search::new(layout, &weights, true));
    let mut jump_search = JumpSearch::new(layout, points, pace)?;
    for block in 0..table.blocks() {
        let width = table.width(block);
        let losses = table.block_mut(block);
        if block > 0 {
            steps.losses(layout, block, Bound::Exact, &mut rows, losses);
        }
        dead.iter().for_each(|entry| losses[*entry] = [f64::NAN; LANES]);
        invert(losses, &mut gains);
        highest.look(&gains, width).ok_or(NoStates::Silent)?;
        lowest.look(losses, width).ok_or(NoStates::Silent)?;
        pace.did(Effort::of_stretches(layout.entries).steps(width))?;
        jump_search.look(&gains, losses, width, pace)?;
    }
    let contexts = jump_search.contexts();
    let jumps = jump_search.jumps(Evaluated { layout, table: &table, audible_ways: &audible_ways }, pace)?;
    // Both edges; of each jump its extremes, the curves there, and itself alone.
    let curves = 2 + jumps.iter().map(|jump| 4 + usize::from(jump.alone_db.is_some())).sum::<usize>();
    let all = |each: usize| (each as u64).saturating_mul(points as u64);
    let counted = Counted { stretch_steps: all(layout.entries), context_steps: all(contexts), logarithms: all(curves) };
    Ok(Found { lowest: lowest.edge, highest: highest.edge, jumps, counted, bounds: None })
}

/// Entries at nodes that no state sounds through: what happens there is no context of anything.
fn dead(layout: &Layout, audible_ways: &AudibleWays) -> Vec<usize> {
    let dead = layout.stretches.iter().filter(|at| !audible_ways.goes_by(at.from) || !audible_ways.goes_by(at.to));
    dead.flat_map(|stretch| stretch.entries.clone()).collect()
}
