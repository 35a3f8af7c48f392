//! The lead equivalent: the metres of the guitar's own lead, straight into the
//! amp at the same knob positions, that put the peak at the same place.

use std::fmt;

use super::figures::{NoPeak, Peak, REFERENCE_HZ};
use super::minimise::zero;
use crate::cascade;
use crate::network::{Branch, Ladder, Line};
use crate::plan::{Hop, Origin, Plan, Run};
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

/// What the comparison needs.
pub struct Question<'a> {
    pub rig: &'a Rig,
    pub plan: &'a Plan,
    pub state: &'a State,
    pub first_hop: Hop,
    pub runs: &'a [Run],
    pub endpoint: Option<usize>,
    pub peak: &'a Result<Peak, NoPeak>,
}

pub fn lead_equivalent(question: &Question<'_>) -> Result<f64, NoEquivalent> {
    let Question { plan, state, first_hop, endpoint, .. } = *question;
    let Origin::Start(at) = first_hop.origin else {
        return Err(NoEquivalent::NoGuitarLead);
    };
    let start = plan.starts.get(at).ok_or(NoEquivalent::NoGuitarLead)?;
    let peak = question.peak.map_err(NoEquivalent::NoPeak)?;
    let (Some(wire), Some(endpoint), true) = (&start.wire, endpoint, start.is_instrument) else {
        return Err(NoEquivalent::NoGuitarLead);
    };
    let load = endpoint_load(plan, endpoint, state);
    let straight = |length: f64| {
        let mut ladder = start.source.clone();
        ladder.shunt(wire.plug.clone());
        ladder.line(Line { length: Metres::clamped(length), ..wire.line });
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
    if slope(LONGEST) > 0.0 {
        return Err(NoEquivalent::MoreThanLongest);
    }
    // A short lead on a lossy guitar can leave no peak at all, so the slope may
    // be negative at both ends: come down from the longest lead to the first
    // that peaks higher than the rig.
    let mut long = LONGEST;
    let shorter = loop {
        let next = if long > 0.05 { long * 0.8 } else { 0.0 };
        if slope(next) > 0.0 {
            break next;
        }
        if next == 0.0 {
            return Err(NoEquivalent::LessThanNoLead);
        }
        long = next;
    };
    let metres = zero(shorter, long, 1e-6, slope);
    let ladder = straight(metres);
    let lead_db = level(&ladder, peak.hz) - level(&ladder, REFERENCE_HZ);
    if (lead_db - peak.height_db).abs() > HEIGHT_DB {
        let loaded_by = if lead_db > peak.height_db { heaviest_load(question) } else { None };
        return Err(NoEquivalent::OtherHeight { rig_db: peak.height_db, lead_db, loaded_by });
    }
    Ok(metres)
}

fn endpoint_load(plan: &Plan, endpoint: usize, state: &State) -> Branch {
    use crate::plan::Through;
    let station = &plan.stations[endpoint];
    let hanging = match station.in_state(state) {
        // A DI box passes the run on and hangs on it; alone, it is the load.
        Some(Through::Pass { rungs, .. }) => rungs
            .rungs
            .iter()
            .find_map(|rung| if let crate::network::Rung::Shunt(branch) = rung { Some(branch.clone()) } else { None })
            .unwrap_or(Branch::Open),
        _ => station.load(state),
    };
    Branch::Parallel(vec![station.wiring.clone(), hanging]).simplified()
}

/// The device whose input takes most of the guitar's current, the endpoint left out.
fn heaviest_load(question: &Question<'_>) -> Option<String> {
    let run = question.runs.iter().find(|run| run.origin == question.first_hop.origin)?;
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
