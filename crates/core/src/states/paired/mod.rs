//! What a switch that acts in several places does: the rig with it in one position
//! beside the rig with it in another, all other switches standing alike in both.
//!
//! Neither rig says by itself what the other ones may be: a switch that stands
//! on both ways is one switch. So both signals go on side by side, and where one has
//! passed a switch that the other is still to pass, its position goes along. What
//! counts is the level of the one less that of the other so far, from the least to the
//! greatest, wherever both have come equally far: all states at the price of few.

mod pairs;
mod walk;

use super::cases::{Case, Cases};
use super::jumps::{Extreme, Jump};
use super::lanes::{EQUAL_DB, LANES, Lanes, blocks, decibels, furthest_point, invert};
use super::layout::Layout;
use super::places::order;
use super::real::Real;
use super::steps::{Bound, Rows, Steps};
use super::{NoStates, known_choices};
use crate::cascade::LineCache;
use crate::rig::{Position, Switch};
use crate::watch::{Pace, Stopped};

use pairs::Pairs;
use walk::Walk;

/// The most steps of both rigs side by side that are looked at for one switch.
const MOST_PAIRED: usize = 1 << 20;

/// One of the cases in which all switches but one stand alike.
struct Alike<'c> {
    position: Position,
    case: Case<'c>,
    layout: Layout,
}

/// A rig with the switch in one position, evaluated at some frequencies.
struct Held<'c> {
    position: Position,
    case: &'c Case<'c>,
    layout: &'c Layout,
    steps: Steps,
    losses: Vec<Lanes>,
    gains: Vec<Lanes>,
}

/// The steps on a switch in every state; none where there are too many, or where not
/// all settings of a case are looked at.
pub fn jumps(
    cases: &Cases,
    real: &Real<'_>,
    switch: &Switch,
    line_cache: &mut LineCache,
    pace: &mut Pace<'_>,
) -> Result<Option<Vec<Jump>>, Stopped> {
    if !cases.complete {
        return Ok(None);
    }
    let mut rank = vec![0; cases.plan.stations.len()];
    order(&cases.plan).into_iter().enumerate().for_each(|(place, at)| rank[at] = place + 1);
    let mut found: Vec<Jump> = Vec::new();
    let mut room = MOST_PAIRED;
    for alike in cases.alike(switch.id) {
        let mut all: Vec<Alike<'_>> = Vec::new();
        for (position, number) in alike {
            match cases.case(number) {
                Ok(case) if case.groups.short().is_some() => return Ok(None),
                Ok(case) => {
                    let layout = case.groups.layout(0, &known_choices(&case, line_cache, pace)?);
                    all.push(Alike { position, case, layout });
                }
                Err(NoStates::Stopped) => return Err(Stopped),
                // Nothing is heard with the switch there.
                Err(NoStates::NoWay | NoStates::Silent) => {}
            }
        }
        let Some(new) = in_one_setting((cases, &all, &rank), real, switch, &mut room, line_cache, pace)? else {
            return Ok(None);
        };
        for jump in new {
            match found.iter_mut().find(|own| own.is_same_step(&jump)) {
                Some(own) => own.widen(jump),
                None => found.push(jump),
            }
        }
    }
    found.retain(|jump| jump.highest_db.iter().chain(&jump.lowest_db).any(|db| db.abs() > EQUAL_DB));
    Ok(Some(found))
}

/// The steps while the other switches that act in several places stand as they do in these cases.
fn in_one_setting(
    (cases, all, rank): (&Cases, &[Alike<'_>], &[usize]),
    real: &Real<'_>,
    switch: &Switch,
    room: &mut usize,
    line_cache: &mut LineCache,
    pace: &mut Pace<'_>,
) -> Result<Option<Vec<Jump>>, Stopped> {
    // What a start's own switch does goes past every station.
    let of_start = cases.plan.starts.iter().flat_map(|start| &start.switches).any(|own| own.id == switch.id);
    let is_place = |at: usize| of_start || cases.plan.stations[at].switch.is_some_and(|own| own.id == switch.id);
    let mut held: Vec<Held<'_>> = Vec::new();
    let mut walks: Vec<Walk<'_>> = Vec::new();
    for Alike { position, case, layout } in all {
        let path = &case.groups.paths[0];
        let none = || vec![[0.0; LANES]; layout.entries];
        let steps = Steps::new(path, layout, line_cache);
        held.push(Held { position: *position, case, layout, steps, losses: none(), gains: none() });
        walks.push(Walk::new(&case.plan, path, layout, rank, is_place));
    }
    let mut pairs: Vec<([usize; 2], Pairs, [Vec<f64>; 2])> = Vec::new();
    for before in 0..held.len() {
        for after in before + 1..held.len() {
            let Some(pair) = Pairs::new([&walks[before], &walks[after]], *room, pace)? else { return Ok(None) };
            *room -= pair.len();
            pairs.push(([before, after], pair, [Vec::new(), Vec::new()]));
        }
    }
    let points = line_cache.sweep().len();
    let mut rows = Rows::default();
    let mut ranges = Vec::new();
    for block in 0..blocks(points) {
        let width = points.saturating_sub(block * LANES).min(LANES);
        held.iter_mut().for_each(|held| held.evaluate(block, &mut rows));
        for ([before, after], pair, [highest_db, lowest_db]) in &mut pairs {
            let range = pair.range(&held[*before].losses, &held[*after].gains, &mut ranges);
            if range.is_any() {
                highest_db.extend(range.high[..width].iter().map(|ratio| decibels(*ratio)));
                lowest_db.extend(range.low[..width].iter().map(|ratio| decibels(*ratio)));
            }
            pace.did((pair.len() * width) as u64)?;
        }
    }
    let mut found = Vec::new();
    for ([before, after], pair, [highest_db, lowest_db]) in pairs {
        if lowest_db.is_empty() {
            continue;
        }
        let positions = (held[before].position, held[after].position);
        let mut extreme = |sign: f64, db: &[f64]| {
            let at = furthest_point(db, sign);
            [before, after].into_iter().for_each(|one| held[one].evaluate(at / LANES, &mut rows));
            let (losses, gains) = (&held[before].losses, &held[after].gains);
            let mut among = pair.furthest([&walks[before], &walks[after]], (losses, gains), at % LANES, sign)?;
            among.extend(held[before].case.moved.iter().filter(|set| set.switch != switch.id));
            among.extend(real.kept);
            among.sort_unstable();
            among.dedup();
            let curve_db = real.step(switch.id, positions, &among, line_cache)?;
            Some(Extreme { db: db[at], at, among, curve_db })
        };
        let (Some(rise), Some(fall)) = (extreme(1.0, &highest_db), extreme(-1.0, &lowest_db)) else { continue };
        found.push(Jump {
            switch: switch.id,
            from: positions.0,
            to: positions.1,
            is_whole: true,
            left_out_db: 0.0,
            has_level: false,
            contexts: pair.contexts(),
            exact: true,
            rise,
            fall,
            highest_db,
            lowest_db,
            alone_db: None,
        });
    }
    Ok(Some(found))
}

impl Held<'_> {
    /// The losses of all stretches at the frequencies of a block.
    fn evaluate(&mut self, block: usize, rows: &mut Rows) {
        self.steps.losses(self.layout, block, Bound::Exact, rows, &mut self.losses);
        invert(&self.losses, &mut self.gains);
    }
}
