//! One state in which the signal goes several ways at once: what arrives is the sum of all.

use std::sync::Arc;

use super::{Begin, Choices, Goal, MOST_COMBINATIONS};
use crate::cascade::LineCache;
use crate::network::Transfer;
use crate::plan::{Origin, Plan, Spot};
use crate::rig::State;
use crate::units::Level;
use crate::watch::{Pace, Unwatched};

/// All ways of a signal to a spot in one state.
#[derive(Debug, Clone, PartialEq)]
pub struct Superposition {
    /// The plan, every switch held.
    plan: Arc<Plan>,
    origin: Origin,
    spot: Spot,
}

impl Superposition {
    /// From an EMF of a plan, a start's or that behind an output, to a spot, in a state.
    pub fn of(plan: &Plan, state: &State, origin: Origin, spot: Spot) -> Self {
        let mut plan = plan.clone();
        for station in &mut plan.stations {
            if let Some(switch) = station.switch {
                station.hold(state.position(&switch));
            }
        }
        for start in &mut plan.starts {
            (start.source, start.level) = (start.in_state(state).0.clone(), start.in_state(state).1);
            start.choices.clear();
        }
        Self { plan: Arc::new(plan), origin, spot }
    }

    /// The voltage at the spot over the EMF, a start's level worked in, over a cache's sweep; none for silence.
    pub fn transfer(&self, line_cache: &mut LineCache) -> Option<Transfer> {
        let level = match self.origin {
            Origin::Start(start) => self.plan.starts.get(start)?.level,
            Origin::Output { .. } => Level::Decibels(0.0),
        };
        let Level::Decibels(db) = level else { return None };
        let mut pace = Pace::new(&Unwatched, 0);
        let goal = Goal::Spot(self.spot);
        let mut choices = Choices::to(goal, &self.plan, line_cache, MOST_COMBINATIONS, &mut pace);
        let found = match self.origin {
            Origin::Start(start) => choices.of_start(start),
            Origin::Output { station, .. } => choices.of_block(Begin::Outputs(station)),
        };
        let mut transfer = found.ok()?.into_iter().find_map(|choice| choice.transfer)?;
        let gain = 10f64.powf(db / 20.0);
        transfer.scale(|_| gain.into());
        Some(transfer)
    }

    /// The level there at each frequency of a cache's sweep.
    pub fn levels(&self, line_cache: &mut LineCache) -> Vec<Level> {
        let points = line_cache.sweep().len();
        let Some(transfer) = self.transfer(line_cache) else { return vec![Level::Silent; points] };
        let level = |at: usize| transfer.at(at).map_or(Level::Silent, |sum| Level::from_power_ratio(sum.norm_sqr()));
        (0..points).map(level).collect()
    }
}
