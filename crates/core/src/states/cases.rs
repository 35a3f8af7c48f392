//! Switches that act in several places at once, held in each of their settings in turn.
//!
//! All states are those of each setting, so levels, and the jumps of all other
//! switches, are exact where every setting was looked at. What such a switch
//! itself does is told by two settings side by side: `paired`.

use std::borrow::Cow;
use std::collections::BTreeSet;

use super::count::{Count, different};
use super::envelope::Edge;
use super::groups::Groups;
use super::jumps::Jump;
use super::path::path;
use super::places::settle;
use super::{MOST_STEPS, NoStates, Question, Short, Target};
use crate::plan::{Plan, Spot, plan};
use crate::rig::{Position, Switch, SwitchRef, SwitchSetting};
use crate::watch::Pace;

/// The most settings of such switches that are looked at.
const MOST_CASES: usize = 4096;

/// One setting of the switches that act in several places.
pub struct Case<'a> {
    /// Where all of them stand.
    pub setting: Vec<SwitchSetting>,
    /// Those that don't stand at their defaults.
    pub moved: Vec<SwitchSetting>,
    /// The plan in it.
    pub plan: Cow<'a, Plan>,
    /// The ways to the target.
    pub groups: Groups,
    /// States that differ for the target.
    pub different: Count,
    /// Positions of the other switches that silence the target by themselves.
    pub mutes: Vec<SwitchSetting>,
}

/// All of them, made one by one: there may be thousands.
pub struct Cases {
    /// The plan in which nothing is held.
    pub plan: Plan,
    /// Where the level is wanted.
    pub spot: Spot,
    /// The switches that act in several places.
    pub several: Vec<Switch>,
    /// How many settings of theirs are looked at.
    pub many: usize,
    /// Whether these are all.
    pub complete: bool,
    points: usize,
    /// The work that each may be.
    most: u64,
}

impl Cases {
    /// The cases of a question; together they are no more work than `most`, or not much.
    pub fn of(question: &Question, points: usize, most: u64) -> Result<Self, NoStates> {
        let plan = plan(&question.rig, &question.controls).without_power(&question.unfed);
        let spot = spot(&plan, question.target)?;
        Ok(Self::in_plan(plan.of_one_start(spot), spot, points, most))
    }

    /// The cases in a plan.
    pub fn in_plan(mut plan: Plan, spot: Spot, points: usize, most: u64) -> Self {
        let mut several = settle(&mut plan, spot);
        several.extend(plan.felt_starts(spot).flat_map(|start| start.switches.clone()));
        let settings: usize = several.iter().map(|switch| switch.positions).fold(1, usize::saturating_mul);
        let many = settings.min(MOST_CASES);
        let most = most.min(MOST_STEPS) / many as u64;
        Self { plan, spot, several, many, complete: many == settings, points, most }
    }

    /// One of them; the first has all at their defaults.
    pub fn case(&self, number: usize) -> Result<Case<'_>, NoStates> {
        let setting = setting(&self.several, number);
        let mut plan = Cow::Borrowed(&self.plan);
        if !setting.is_empty() {
            let held = plan.to_mut();
            for at in &setting {
                let here = held.stations.iter_mut().filter(|one| one.switch.is_some_and(|own| own.id == at.switch));
                here.for_each(|station| station.hold(at.to));
                held.starts.iter_mut().for_each(|start| start.hold(*at));
            }
            settle(held, self.spot);
        }
        let path = path(&plan, self.spot)?;
        let different = different(&plan, &path);
        let mutes = path.mutes.clone();
        let groups = Groups::within(&plan, path, self.points, self.most);
        let moved = moved(&self.several, &setting);
        Ok(Case { setting, moved, plan, groups, different, mutes })
    }

    /// The first in which a signal gets to the target, and its number; why none, where there is none.
    pub fn first(&self, pace: &mut Pace<'_>) -> Result<(usize, Case<'_>), NoStates> {
        let mut why = NoStates::NoWay;
        for number in 0..self.many {
            match self.case(number) {
                Ok(case) => return Ok((number, case)),
                Err(NoStates::Silent) => why = NoStates::Silent,
                Err(_) => {}
            }
            pace.did(self.plan.stations.len() as u64 * STATION)?;
        }
        Err(why)
    }

    /// What all of them take, in steps, by one of them.
    pub fn steps(&self, case: &Case<'_>) -> u64 {
        // Any two positions of a switch are looked at side by side, in each setting of the others.
        let pairs: usize = self.several.iter().map(|switch| self.many * (switch.positions - 1) / 2).sum();
        case.groups.steps.saturating_mul((self.many + pairs) as u64)
    }

    /// The cases in which a switch has its positions while the others stand alike: for
    /// each setting of the others so many numbers as the switch has positions, in
    /// their order. None where a switch isn't one of those that act in several places.
    pub fn alike(&self, switch: SwitchRef) -> Vec<Vec<(Position, usize)>> {
        let Some(place) = self.several.iter().position(|other| other.id == switch) else { return Vec::new() };
        let own = &self.several[place];
        let stride: usize = self.several[..place].iter().map(|other| other.positions).product();
        let all = own.positions * stride;
        let first = (0..self.many).filter(|number| number % all < stride);
        let each = first.map(|first| {
            let number = |at: usize| first + at * stride;
            let mut found: Vec<(Position, usize)> =
                ordered(own).into_iter().enumerate().map(|(at, to)| (to, number(at))).collect();
            found.sort_unstable();
            found
        });
        each.collect()
    }
}

/// What a station costs a case in which nothing is heard, in steps.
const STATION: u64 = 256;

/// What all cases that were looked at have in common.
#[derive(Default)]
pub struct Seen {
    /// States that differ for the target.
    pub different: Vec<Count>,
    /// Positions that silence the target in each of them.
    mutes: Option<BTreeSet<SwitchSetting>>,
    /// Positions of the switches that act in several places in which there is something to hear.
    heard: BTreeSet<SwitchSetting>,
    /// What wasn't looked at in one of them.
    pub short: Option<Short>,
}

impl Seen {
    /// Takes in one that was looked at.
    pub fn take_in(&mut self, case: Case<'_>) {
        let own: BTreeSet<SwitchSetting> = case.mutes.into_iter().collect();
        self.mutes = Some(match self.mutes.take() {
            Some(kept) => kept.intersection(&own).copied().collect(),
            None => own,
        });
        self.heard.extend(case.setting);
        self.different.push(case.different);
        self.short = self.short.max(case.groups.short());
    }

    /// Positions that silence the target by themselves, if these are all cases.
    pub fn mutes(self, cases: &Cases) -> Vec<SwitchSetting> {
        let all = cases
            .several
            .iter()
            .flat_map(|switch| switch.all_positions().map(|to| SwitchSetting { switch: switch.id, to }));
        let silent = all.filter(|at| cases.complete && !self.heard.contains(at)).collect::<Vec<_>>();
        self.mutes.into_iter().flatten().chain(silent).collect()
    }
}

/// Where the level is wanted in a plan.
pub fn spot(plan: &Plan, target: Target) -> Result<Spot, NoStates> {
    match target {
        Target::Endpoint(jack) => {
            let at = plan.stations.iter().position(|station| station.jack == jack).ok_or(NoStates::NoWay)?;
            Ok(Spot::Input(at))
        }
        Target::Point(point) => Ok(Spot::Lead { lead: point.lead, along: point.along.get() }),
    }
}

/// A switch's positions, the default first.
fn ordered(switch: &Switch) -> Vec<Position> {
    let mut order: Vec<Position> = switch.all_positions().collect();
    order.sort_by_key(|to| (*to != switch.default, *to));
    order
}

/// The settings by number; the first has all at their defaults.
pub fn setting(switches: &[Switch], mut number: usize) -> Vec<SwitchSetting> {
    let mut found = Vec::new();
    for switch in switches {
        let order = ordered(switch);
        found.push(SwitchSetting { switch: switch.id, to: order[number % order.len()] });
        number /= order.len();
    }
    found
}

/// Those of some settings that aren't the switches' defaults.
pub fn moved(switches: &[Switch], settings: &[SwitchSetting]) -> Vec<SwitchSetting> {
    let both = switches.iter().zip(settings);
    both.filter(|(switch, set)| switch.default != set.to).map(|(_, set)| *set).collect()
}

/// Notes of an edge and of jumps that they belong to a case.
pub fn note(moved: &[SwitchSetting], edges: [&mut Edge; 2], jumps: &mut [Jump]) {
    if moved.is_empty() {
        return;
    }
    edges.into_iter().for_each(|edge| edge.among(moved));
    for end in jumps.iter_mut().flat_map(|jump| [&mut jump.rise, &mut jump.fall]) {
        end.among.extend(moved);
        end.among.sort_unstable();
    }
}
