//! Bounds from outside, where not all settings of ways that hold at once were looked at.

use super::NoStates;
use super::effort::Effort;
use super::envelope::{Search, weights};
use super::lanes::LANES;
use super::layout::Layout;
use super::path::Path;
use super::steps::{Bound, Rows, Steps};
use crate::cascade::LineCache;
use crate::watch::Pace;

/// What no state goes below or above, in dB at each frequency; without end where
/// nothing can be said.
#[derive(Debug, Clone, PartialEq)]
pub struct Bounds {
    /// No state is lower.
    pub lowest_db: Vec<f64>,
    /// No state is higher.
    pub highest_db: Vec<f64>,
}

impl Bounds {
    /// The bounds of what either is a bound of.
    pub fn and(mut self, other: &Self) -> Self {
        self.lowest_db.iter_mut().zip(&other.lowest_db).for_each(|(own, other)| *own = own.min(*other));
        self.highest_db.iter_mut().zip(&other.highest_db).for_each(|(own, other)| *own = own.max(*other));
        self
    }
}

/// The bounds of a path in whose layout each block that has too many choices is one choice that reaches as far.
pub fn bounds(
    path: &Path,
    layout: &Layout,
    line_cache: &mut LineCache,
    pace: &mut Pace<'_>,
) -> Result<Bounds, NoStates> {
    let points = line_cache.sweep().len();
    let steps = Steps::new(path, layout, line_cache);
    let weights = weights(layout);
    let mut losses = vec![[0.0; LANES]; layout.entries];
    let mut rows = Rows::default();
    let mut edge = |bound: Bound| -> Result<Vec<f64>, NoStates> {
        let mut search = Search::new(layout, &weights, bound == Bound::Above);
        for block in 0..points.div_ceil(LANES) {
            let width = (points - block * LANES).min(LANES);
            steps.losses(layout, block, bound, &mut rows, &mut losses);
            if bound == Bound::Above {
                losses.iter_mut().flatten().for_each(|loss| *loss = 1.0 / *loss);
            }
            search.look(&losses, width).ok_or(NoStates::Silent)?;
            pace.did(Effort::of_stretches(layout.entries).steps(width))?;
        }
        Ok(search.edge.db)
    };
    Ok(Bounds { lowest_db: edge(Bound::Below)?, highest_db: edge(Bound::Above)? })
}
