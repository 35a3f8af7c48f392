//! What arrives: levels at the endpoints and the test point in one state, the
//! figures of each curve, and what each run amounts to.

mod comb;
mod equivalent;
mod figures;
mod maximum;
mod moved;
mod root;
mod runs;
mod silence;
mod string_comb;
pub mod words;

use std::collections::BTreeSet;
use std::sync::Arc;

use num_complex::Complex64;

use crate::arrival::Probe;
use crate::cascade::LineCache;
use crate::network::{Sweep, third_octaves_hz};
use crate::plan::{Origin, Plan, Run, Spot, plan};
use crate::rig::{DeviceId, JackRef, Project, Rig, State, TestPoint, Variant, place_name};
use crate::units::Level;

pub use equivalent::NoEquivalent;
pub use figures::{Minus3, NoMinus3, NoPeak, Peak};
pub(crate) use figures::{minus3, peak};
pub use moved::MovedPeak;
pub use runs::{Amount, RunAnswer};
pub use silence::{Silencer, silencers};
pub use string_comb::{Heard, StringComb, string_comb};

/// All that a response depends on; two equal requests have one answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// The rig.
    pub rig: Arc<Rig>,
    /// Switches and controls.
    pub state: State,
    /// Where else the level is wanted, if the rig has that lead.
    pub test_point: Option<TestPoint>,
    /// The devices that get no power; none where all count as fed.
    pub unfed: BTreeSet<DeviceId>,
}

impl Request {
    /// The request for a variant of a project as everything stands.
    #[must_use]
    pub fn of(project: &Project, variant: &Variant) -> Self {
        let test_point = project.test_point.filter(|point| variant.rig.lead(point.lead).is_some());
        Self { rig: Arc::clone(&variant.rig), state: project.state.clone(), test_point, unfed: BTreeSet::new() }
    }
}

/// Levels over a sweep.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    sweep: Arc<Sweep>,
    levels: Vec<Level>,
}

impl Curve {
    /// Frequencies in Hz.
    #[must_use]
    pub fn hz(&self) -> &[f64] {
        self.sweep.hz()
    }

    /// Levels in dB from the source's EMF, as many.
    #[must_use]
    pub fn levels(&self) -> &[Level] {
        &self.levels
    }
}

/// A curve, its figures, and the means to ask for more.
#[derive(Debug, Clone, PartialEq)]
pub struct PointAnswer {
    /// The level over the sweep.
    pub curve: Curve,
    /// The peak, or why there is none.
    pub peak: Result<Peak, NoPeak>,
    /// The −3 dB point, or why there is none.
    pub minus3: Result<Minus3, NoMinus3>,
    /// The first frequencies in Hz at which several ways nearly cancel.
    pub nulls_hz: Vec<f64>,
    /// The lead that would sound like this rig, in metres, or why there is none.
    pub lead_equivalent: Result<f64, NoEquivalent>,
    /// Where the signal starts, whose EMF is 0 dB: an instrument's output, an amp's send.
    pub source: JackRef,
    probe: Probe,
}

impl PointAnswer {
    /// The level at `hz`, exactly and off the grid.
    #[must_use]
    pub fn level_at(&self, hz: f64) -> Level {
        self.probe.level_at(hz)
    }

    /// The voltage at `hz` over the source's EMF, its phase included; none for silence.
    #[must_use]
    pub fn transfer_at(&self, hz: f64) -> Option<Complex64> {
        self.probe.transfer_at(hz)
    }

    /// The magnitudes of all ways added up, as a level: what a sum near a null is
    /// weighed against. Of one way it is the level itself.
    #[must_use]
    pub fn magnitudes_at(&self, hz: f64) -> Level {
        self.probe.magnitudes_at(hz)
    }

    /// Levels at the third-octave centres from 20 Hz to 20 kHz.
    #[must_use]
    pub fn third_octaves(&self) -> Vec<(f64, Level)> {
        third_octaves_hz().into_iter().map(|hz| (hz, self.level_at(hz))).collect()
    }
}

/// What arrives at an endpoint.
#[derive(Debug, Clone, PartialEq)]
pub struct EndpointAnswer {
    /// The jack.
    pub jack: JackRef,
    /// The device's name.
    pub name: String,
    /// What arrives.
    pub at: PointAnswer,
}

/// All that is known of a rig in one state.
#[derive(Debug, Clone, PartialEq)]
pub struct Response {
    /// The endpoints that a signal reaches, in the signal's order; in a rig of
    /// hundreds of devices the first of them.
    pub endpoints: Vec<EndpointAnswer>,
    /// So many more it reaches, of which no level is told.
    pub endpoints_left_out: usize,
    /// What arrives at the test point, if one is set in this rig and a signal gets there.
    pub test_point: Option<PointAnswer>,
    /// What each run amounts to.
    pub runs: Vec<RunAnswer>,
}

impl Response {
    /// Where the curves are taken: the test point, or else the first endpoint.
    #[must_use]
    pub fn main(&self) -> Option<&PointAnswer> {
        self.test_point.as_ref().or_else(|| self.endpoints.first().map(|endpoint| &endpoint.at))
    }
}

/// Stations that levels are worked out over, once for each endpoint: a rig of
/// 1000 devices has levels at 8 endpoints, one of 90 devices at all that it can have.
pub const MOST_STATIONS: usize = 8192;

/// The response of a rig in a state.
///
/// `cache` keeps what doesn't change from one request to the next; its sweep is
/// the answer's, a comb's own points coming in between. Half-finished rigs get
/// every answer that can be given.
#[must_use]
pub fn respond(request: &Request, cache: &mut LineCache) -> Response {
    cache.next_generation();
    let plan = plan(&request.rig, &request.state).without_power(&request.unfed);
    let runs = plan.runs(&request.state);
    let reached: BTreeSet<usize> = runs.iter().flat_map(|run| run.passed.iter().chain(&run.ends)).copied().collect();
    let mut endpoints = Vec::new();
    let ends: Vec<usize> = reached.into_iter().filter(|&at| plan.stations[at].is_endpoint).collect();
    let told = ends.len().min((MOST_STATIONS / plan.stations.len().max(1)).max(1));
    for &at in &ends[..told] {
        let jack = plan.stations[at].jack;
        let name = place_name(&request.rig, jack);
        if let Some(at) = answer(request, &plan, &runs, Spot::Input(at), Some(at), cache) {
            endpoints.push(EndpointAnswer { jack, name, at });
        }
    }
    let test_point = request.test_point.and_then(|point| {
        let spot = Spot::Lead { lead: point.lead, along: point.along.get() };
        answer(request, &plan, &runs, spot, ends.first().copied(), cache)
    });
    let runs = runs::amounts(&request.rig, &plan, &runs, &request.state);
    Response { endpoints, endpoints_left_out: ends.len() - told, test_point, runs }
}

/// The peak of what arrives at an endpoint, or with none given at the request's
/// test point, and nothing else: who asks that of many states needs no more.
/// None where no signal gets there, or there is no peak.
#[must_use]
pub fn peak_at(request: &Request, endpoint: Option<JackRef>, cache: &mut LineCache) -> Option<Peak> {
    cache.next_generation();
    let plan = plan(&request.rig, &request.state).without_power(&request.unfed);
    let runs = plan.runs(&request.state);
    let spot = match endpoint {
        Some(jack) => {
            let at = plan.stations.iter().position(|station| station.jack == jack)?;
            let reaches = |run: &Run| run.passed.contains(&at) || run.ends.contains(&at);
            Spot::Input(runs.iter().any(reaches).then_some(at)?)
        }
        None => {
            let point = request.test_point?;
            Spot::Lead { lead: point.lead, along: point.along.get() }
        }
    };
    let probe = Probe::new(&plan, &request.state, &plan.route(&runs, &request.state, spot)?)?;
    if comb::apart(&probe) > 0.0 {
        return None;
    }
    let levels = probe.levels(cache);
    figures::peak(cache.sweep().hz(), &levels, &|hz: f64| probe.level_at(hz)).ok()
}

/// The answer at a spot; `endpoint` is the station that a straight lead would go to.
fn answer(
    request: &Request,
    plan: &Plan,
    runs: &[Run],
    spot: Spot,
    endpoint: Option<usize>,
    cache: &mut LineCache,
) -> Option<PointAnswer> {
    let route_runs = plan.route(runs, &request.state, spot)?;
    let probe = Probe::new(plan, &request.state, &route_runs)?;
    let apart = comb::apart(&probe);
    let mut fine = (apart > 0.0).then(|| LineCache::new(comb::sweep(cache.sweep(), apart)));
    let cache = fine.as_mut().unwrap_or(cache);
    let levels = probe.levels(cache);
    let level_at = |hz: f64| probe.level_at(hz);
    let hz = cache.sweep().hz();
    let (peak, minus3) = match apart > 0.0 {
        true => (Err(NoPeak::Comb { apart }), Err(NoMinus3::Comb { apart })),
        false => (figures::peak(hz, &levels, &level_at), figures::minus3(hz, &levels, &level_at)),
    };
    let nulls_hz = comb::nulls(&probe, cache);
    let lead_equivalent = equivalent::lead_equivalent(&equivalent::EquivalentQuestion {
        rig: &request.rig,
        plan,
        state: &request.state,
        first_run: *route_runs.first()?,
        runs,
        endpoint,
        peak: &peak,
    });
    let curve = Curve { sweep: cache.shared_sweep(), levels };
    let first = route_runs.first()?;
    let source = match first.origin {
        Origin::Start(start) => plan.starts.get(start)?.jack,
        Origin::Output { station, .. } => plan.stations.get(station)?.jack,
    };
    Some(PointAnswer { curve, peak, minus3, nulls_hz, lead_equivalent, source, probe })
}
