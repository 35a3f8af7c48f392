//! What arrives at a point in one state, over one way or over several at once.

use std::f64::consts::TAU;
use std::sync::Arc;

use num_complex::Complex64;

use super::superposition::Superposition;
use crate::cascade::{self, LineCache};
use crate::network::{Sweep, Transfer};
use crate::plan::{MarkedLadder, Origin, Plan, RouteRun};
use crate::rig::{NO_LATENCY, Polarity, State};
use crate::units::{Level, Seconds};

/// The way of a signal to a point: all that a level needs.
#[derive(Debug, Clone, PartialEq)]
pub enum Probe {
    /// One way, as ladders one behind another.
    Row(Arc<Vec<Stretch>>),
    /// Several ways at once.
    Sum(Superposition),
}

/// One ladder of a way.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    marked: MarkedLadder,
    /// The level of what comes before it.
    gain: Level,
    /// 1 or −1.
    sign: f64,
    latency: Seconds,
}

impl Probe {
    /// The way that these runs of a route make, in a state; none where one of them isn't.
    pub fn new(plan: &Plan, state: &State, route_runs: &[RouteRun]) -> Option<Self> {
        if route_runs.iter().any(|route_run| route_run.adds_up) {
            let (origin, spot) = (route_runs.first()?.origin, route_runs.last()?.spot);
            return Some(Self::Sum(Superposition::of(plan, state, origin, spot)));
        }
        let stretch = |route_run: &RouteRun| {
            let marked = plan.ladder(route_run.origin, state, route_run.spot)?;
            let (polarity, latency) = match route_run.origin {
                Origin::Output { station, .. } => plan.stations[station].delay(state),
                Origin::Start(_) => (Polarity::Same, NO_LATENCY),
            };
            Some(Stretch { marked, gain: route_run.gain, sign: polarity.sign(), latency })
        };
        let stretches: Option<Vec<Stretch>> = route_runs.iter().map(stretch).collect();
        Some(Self::Row(Arc::new(stretches?)))
    }

    /// The level there at `hz`.
    pub fn level_at(&self, hz: f64) -> Level {
        match self {
            Self::Row(stretches) => stretches.iter().fold(Level::Decibels(0.0), |sum, Stretch { marked, gain, .. }| {
                sum.then(*gain).then(cascade::level_at(&marked.ladder, marked.mark, hz))
            }),
            Self::Sum(_) => self.transfer_at(hz).map_or(Level::Silent, |sum| Level::from_power_ratio(sum.norm_sqr())),
        }
    }

    /// The voltage there over the start's EMF; none for silence.
    pub fn transfer_at(&self, hz: f64) -> Option<Complex64> {
        match self {
            Self::Row(stretches) => stretches.iter().try_fold(Complex64::new(1.0, 0.0), |product, stretch| {
                let ratio = stretch.sign * 10f64.powf(stretch.gain.decibels()? / 20.0);
                let late = Complex64::from_polar(ratio, -TAU * hz * stretch.latency.get());
                Some(product * late * cascade::transfer_at(&stretch.marked.ladder, stretch.marked.mark, hz)?)
            }),
            Self::Sum(all) => all.transfer(&mut LineCache::new(Sweep::at(&[hz])))?.at(0),
        }
    }

    /// The magnitudes of all ways added up, as a level; of one way the level itself.
    pub fn magnitudes_at(&self, hz: f64) -> Level {
        match self {
            Self::Row(_) => self.level_at(hz),
            Self::Sum(all) => {
                let transfer = all.transfer(&mut LineCache::new(Sweep::at(&[hz])));
                transfer.map_or(Level::Silent, |transfer| Level::from_ratio(transfer.magnitudes[0]))
            }
        }
    }

    /// All ways together over a cache's sweep, where there are several at once.
    pub fn ways(&self, line_cache: &mut LineCache) -> Option<Transfer> {
        match self {
            Self::Row(_) => None,
            Self::Sum(all) => all.transfer(line_cache),
        }
    }

    /// The levels there over a cache's sweep.
    pub fn levels(&self, line_cache: &mut LineCache) -> Vec<Level> {
        let stretches = match self {
            Self::Row(stretches) => stretches,
            Self::Sum(all) => return all.levels(line_cache),
        };
        let mut sum = vec![Level::Decibels(0.0); line_cache.sweep().len()];
        for Stretch { marked, gain, .. } in stretches.iter() {
            let levels = cascade::levels(&marked.ladder, marked.mark, line_cache);
            for (sum, level) in sum.iter_mut().zip(levels) {
                *sum = sum.then(*gain).then(level);
            }
        }
        sum
    }
}
