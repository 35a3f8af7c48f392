//! One run up to a place in it, and the figures of what arrives there.

use crate::cascade::{self, LineCache};
use crate::plan::{MarkedLadder, Origin, Plan, Spot};
use crate::response::{self, Minus3, NoMinus3, NoPeak, Peak};
use crate::rig::State;
use crate::units::Level;

/// One run up to a place in it.
pub struct Passage(MarkedLadder);

impl Passage {
    /// The run that begins at `origin`, up to `spot`, if it comes by there.
    pub fn new(plan: &Plan, state: &State, origin: Origin, spot: Spot) -> Option<Self> {
        plan.ladder(origin, state, spot).map(Self)
    }

    /// Level in dB from the run's EMF at `hz`.
    pub fn level_at(&self, hz: f64) -> Level {
        cascade::level_at(&self.0.ladder, self.0.mark, hz)
    }

    /// Its peak.
    pub fn peak(&self, cache: &mut LineCache) -> Result<Peak, NoPeak> {
        let levels = cascade::levels(&self.0.ladder, self.0.mark, cache);
        response::peak(cache.sweep().hz(), &levels, &|hz| self.level_at(hz))
    }

    /// Its −3 dB point.
    pub fn minus3(&self, cache: &mut LineCache) -> Result<Minus3, NoMinus3> {
        let levels = cascade::levels(&self.0.ladder, self.0.mark, cache);
        response::minus3(cache.sweep().hz(), &levels, &|hz| self.level_at(hz))
    }
}
