//! Where several ways to one place differ in delay their sum is a comb: points that
//! show it, and the frequencies at which next to nothing is left.

use super::maximum::maximum;
use crate::arrival::Probe;
use crate::cascade::LineCache;
use crate::network::{Sweep, Transfer};

/// So many points a period of the comb.
const EACH_PERIOD: f64 = 8.0;
/// The most points that are added: for 25 ms up to 20 kHz, for longer delays less far.
const MOST_POINTS: usize = 4096;
/// So many nulls are told.
const MOST_NULLS: usize = 5;
/// A null leaves less than a tenth of the power of all ways' magnitudes together.
const DEEP: f64 = 0.316;

/// How many seconds the first and the last of the ways arrive apart; 0 for one.
pub fn apart(probe: &Probe) -> f64 {
    let ways = probe.ways(&mut LineCache::new(Sweep::at(&[])));
    ways.map_or(0.0, |ways| ways.seconds_apart())
}

/// A sweep with as many points as a comb takes whose ways arrive so many seconds apart.
pub fn sweep(of: &Sweep, apart: f64) -> Sweep {
    let step = 1.0 / (EACH_PERIOD * apart);
    let (first, last) = (of.hz().first().copied(), of.hz().last().copied());
    let more = (1..=MOST_POINTS).map(|at| at as f64 * step);
    let inside = |hz: &f64| first.is_some_and(|first| *hz > first) && last.is_some_and(|last| *hz < last);
    let mut hz: Vec<f64> = of.hz().iter().copied().chain(more.filter(inside)).collect();
    hz.sort_by(f64::total_cmp);
    hz.dedup();
    Sweep::at(&hz)
}

/// The first frequencies in Hz at which the ways nearly cancel.
pub fn nulls(probe: &Probe, cache: &mut LineCache) -> Vec<f64> {
    let Some(ways) = probe.ways(cache) else { return Vec::new() };
    let part = |ways: &Transfer, at: usize| ways.at(at).map_or(0.0, |sum| sum.norm() / ways.magnitudes[at]);
    let parts: Vec<f64> = (0..cache.sweep().len()).map(|at| part(&ways, at)).collect();
    let hz = cache.sweep().hz();
    let left_at = |hz: f64| probe.ways(&mut LineCache::new(Sweep::at(&[hz]))).map_or(0.0, |ways| part(&ways, 0));
    let lowest = parts.windows(3).enumerate().filter(|(_, w)| w[1] < w[0] && w[1] <= w[2]);
    let near = lowest.map(|(at, _)| maximum(hz[at].ln(), hz[at + 2].ln(), 1e-7, |ln_hz| -left_at(ln_hz.exp())));
    near.filter(|(_, left)| -left < DEEP).map(|(ln_hz, _)| ln_hz.exp()).take(MOST_NULLS).collect()
}
