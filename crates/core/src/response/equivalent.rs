//! The lead equivalent: the metres of the guitar's own lead, straight into the
//! amp at the same knob positions, that put the peak at the same place.

use std::fmt;

use super::figures::{NoPeak, Peak, REFERENCE_HZ};
use super::maximum::maximum;
use super::root::root;
use crate::cascade;
use crate::network::{Branch, Ladder, Line};
use crate::plan::{Origin, Plan, RouteRun, Run};
use crate::rig::{Rig, State};
use crate::units::{Level, Metres};

/// The longest lead that is looked at, in metres.
const LONGEST: f64 = 100.0;
/// A lead counts as the equivalent only if its peak is this near in height.
const HEIGHT_DB: f64 = 1.0;

/// Why a rig sounds like no lead.
#[derive(Debug, Clone, PartialEq)]
pub enum NoEquivalent {
    /// The curve has no peak to compare.
    NoPeak(NoPeak),
    /// The signal doesn't start at a passive guitar, or it has no lead, or no endpoint follows.
    NoGuitarLead,
    /// The lead that puts the peak there makes it another height.
    OtherHeight {
        /// The rig's peak above its level at 200 Hz.
        rig_db: f64,
        /// The lead's.
        lead_db: f64,
        /// The unit whose input loads the guitar most, if that is why.
        loaded_by: Option<String>,
    },
    /// Even without any lead the peak would be lower than the rig's.
    LessThanNoLead,
    /// Not even 100 m put the peak so low.
    MoreThanLongest,
}

impl fmt::Display for NoEquivalent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPeak(why) => write!(f, "there is no peak to compare: {why}"),
            Self::NoGuitarLead => f.write_str("it takes a passive guitar with a lead, and something to plug it into"),
            Self::OtherHeight { rig_db, lead_db, loaded_by } => {
                write!(
                    f,
                    "a lead that moves the peak there would leave it {lead_db:.1} dB high, and it is {rig_db:.1} dB"
                )?;
                match loaded_by {
                    Some(unit) => write!(f, ": {unit} loads the guitar"),
                    None => Ok(()),
                }
            }
            Self::LessThanNoLead => f.write_str("the peak is higher than with no lead at all"),
            Self::MoreThanLongest => f.write_str("not even 100 m of lead put the peak so low"),
        }
    }
}

/// All that the lead equivalent of one target depends on.
pub struct EquivalentQuestion<'a> {
    /// The rig.
    pub rig: &'a Rig,
    /// Its plan.
    pub plan: &'a Plan,
    /// Where switches and controls stand.
    pub state: &'a State,
    /// The first run on the way to the target.
    pub first_run: RouteRun,
    /// All runs in that state.
    pub runs: &'a [Run],
    /// The station of the endpoint that the guitar is plugged straight into for comparison.
    pub endpoint: Option<usize>,
    /// The peak at the target, or why there is none.
    pub peak: &'a Result<Peak, NoPeak>,
}

/// The lead in m that, from the guitar straight into the endpoint, puts the peak
/// at the same frequency; or why there is none.
pub fn lead_equivalent(question: &EquivalentQuestion<'_>) -> Result<f64, NoEquivalent> {
    let EquivalentQuestion { plan, state, first_run, endpoint, .. } = *question;
    let Origin::Start(at) = first_run.origin else {
        return Err(NoEquivalent::NoGuitarLead);
    };
    let start = plan.starts.get(at).ok_or(NoEquivalent::NoGuitarLead)?;
    let peak = question.peak.map_err(NoEquivalent::NoPeak)?;
    let (Some(wire), Some(endpoint), true) = (&start.wire, endpoint, start.is_instrument) else {
        return Err(NoEquivalent::NoGuitarLead);
    };
    let own = wire.line.ok_or(NoEquivalent::NoGuitarLead)?;
    let load = endpoint_load(plan, endpoint, state);
    let straight = |length: f64| {
        let mut ladder = start.source.clone();
        ladder.shunt(wire.plug.clone());
        ladder.line(Line { length: Metres::clamped(length), ..own });
        ladder.shunt(wire.plug.clone());
        ladder.shunt(load.clone());
        ladder
    };
    let level = |ladder: &Ladder, hz: f64| match cascade::level_at(ladder, ladder.rungs.len(), hz) {
        Level::Decibels(db) => db,
        Level::Silent => f64::NAN,
    };
    // Where the straight lead's curve rises through the rig's peak, its own peak lies above.
    let slope = |length: f64| {
        let ladder = straight(length);
        let step = 1e-4;
        level(&ladder, peak.hz * (1.0 + step)) - level(&ladder, peak.hz * (1.0 - step))
    };
    // Length and peak don't always go one against the other: a shorter lead on
    // a lossy guitar also means a lower Q, and from some length down the peak
    // comes down again. So every length that puts it there is found, and the one
    // that comes nearest in height is the equivalent.
    let height = |length: f64| {
        let ladder = straight(length);
        level(&ladder, peak.hz) - level(&ladder, REFERENCE_HZ)
    };
    let lengths = matching_lengths(&slope);
    let off_by = |length: f64| (height(length) - peak.height_db).abs();
    let Some(metres) = lengths.into_iter().min_by(|a, b| off_by(*a).total_cmp(&off_by(*b))) else {
        return Err(if slope(LONGEST) > 0.0 { NoEquivalent::MoreThanLongest } else { NoEquivalent::LessThanNoLead });
    };
    if off_by(metres) > HEIGHT_DB {
        let lead_db = height(metres);
        let loaded_by = if lead_db > peak.height_db { heaviest_load(question) } else { None };
        return Err(NoEquivalent::OtherHeight { rig_db: peak.height_db, lead_db, loaded_by });
    }
    Ok(metres)
}

/// Every length from 0 to the longest at which `slope` is zero.
fn matching_lengths(slope: &impl Fn(f64) -> f64) -> Vec<f64> {
    let mut grid = vec![0.0];
    grid.extend((0..).map(|step| 0.05 * 1.25_f64.powi(step)).take_while(|length| *length < LONGEST));
    grid.push(LONGEST);
    let slopes: Vec<f64> = grid.iter().map(|length| slope(*length)).collect();
    let mut found = Vec::new();
    // The ends count if the zero lies less than a millimetre outside.
    for (end, inward) in [(0.0, 1e-3), (LONGEST, LONGEST - 1e-3)] {
        let at = slope(end);
        if at.abs() <= (slope(inward) - at).abs() {
            found.push(end);
        }
    }
    for at in 1..grid.len() {
        if (slopes[at] > 0.0) != (slopes[at - 1] > 0.0) {
            found.push(root(grid[at - 1], grid[at], 1e-6, slope));
        }
    }
    // Two zeros near one another hide between three negative neighbours.
    for at in 1..grid.len() - 1 {
        let (left, top, right) = (slopes[at - 1], slopes[at], slopes[at + 1]);
        if top <= 0.0 && top >= left && top >= right {
            let (length, highest) = maximum(grid[at - 1], grid[at + 1], 1e-4, slope);
            if highest > 0.0 {
                found.push(root(grid[at - 1], length, 1e-6, slope));
                found.push(root(length, grid[at + 1], 1e-6, slope));
            } else if highest > -1e-9 {
                found.push(length);
            }
        }
    }
    found
}

fn endpoint_load(plan: &Plan, endpoint: usize, state: &State) -> Branch {
    use crate::plan::Behaviour;
    let station = &plan.stations[endpoint];
    let hanging = match station.in_state(state) {
        // A DI box passes the run on and hangs on it; alone, it is the load.
        Some(Behaviour::Pass { rungs, .. }) => rungs
            .rungs
            .iter()
            .find_map(|rung| if let crate::network::Rung::Shunt(branch) = rung { Some(branch.clone()) } else { None })
            .unwrap_or(Branch::Open),
        _ => station.load(state),
    };
    Branch::Parallel(vec![station.wiring.clone(), hanging]).simplified()
}

/// The device whose input takes most of the guitar's current, the endpoint left out.
fn heaviest_load(question: &EquivalentQuestion<'_>) -> Option<String> {
    let run = question.runs.iter().find(|run| run.origin == question.first_run.origin)?;
    let ours = |at: &usize| Some(*at) != question.endpoint;
    let heaviest = run
        .passed
        .iter()
        .chain(&run.ends)
        .filter(|at| ours(at))
        .map(|&at| (at, endpoint_load(question.plan, at, question.state).conductance()))
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    if heaviest.1 <= 0.0 {
        return None;
    }
    let device = question.plan.stations[heaviest.0].device();
    question.rig.device(device).map(|device| device.name.clone())
}
