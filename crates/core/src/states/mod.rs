//! Every footswitch state at once: the envelope of levels, how many states
//! there are, and what each switch does among all settings of the others.
//!
//! A second reader of the plan. A unit that isolates cuts the signal's way into
//! passive stretches, and a stretch doesn't know what stands beyond its ends:
//! for n true-bypass units there are (n + 2)(n + 1)/2 stretches and not 2ⁿ
//! answers. Levels of a state are sums along a way of stretches, so extremes
//! over all states are shortest and longest ways.
//!
//! Ways may part and meet again: a switcher's loop is out, or in with a way of its
//! own. A stretch that comes to such a place goes on as one row for each way past
//! it. A switch that acts in several places at once, as presets do, is held in
//! each of its positions in turn.

mod alone;
mod audible_ways;
mod bounds;
mod cases;
#[cfg(test)]
mod cases_tests;
mod choice_settings;
mod contexts;
mod count;
mod cuts;
mod effort;
mod envelope;
mod evaluation;
mod forks;
mod groups;
mod heard;
mod jumps;
mod lanes;
mod layout;
mod paired;
mod path;
mod places;
mod real;
mod routes;
mod steps;
mod table;
pub mod words;

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::arrival::Choices;
use crate::cascade::LineCache;
use crate::network::Sweep;
use crate::rig::{Device, DeviceId, JackRef, Rig, State, Switch, SwitchRef, SwitchSetting, TestPoint};
use crate::units::counted;
use crate::watch::{Pace, Stopped, Unwatched, Watch};

use bounds::Bounds;
use cases::{Case, Cases, Seen};
use evaluation::Found;
use groups::{KnownChoices, Size};
use real::Real;

pub use count::Count;
pub use cuts::{Cut, CutPlace, Cuts, Glimpse, NoCuts, Worst, cuts, glimpse};
pub use evaluation::Counted;
pub use heard::{Furthest, heard_hz, worst_jump, worst_jump_db};
pub use jumps::{Extreme, Jump};

/// The most stretches that are kept, side runs' combinations counted. Past it
/// side runs are cut to fewer choices, and the answer says so.
pub const MOST_STRETCHES: usize = 16_384;
/// The most times that a row goes on from one stop to the next, where there are
/// side runs to be cut.
pub const MOST_CARRIED: u64 = 1 << 18;
/// The most choices of one side run.
pub const MOST_CHOICES: usize = 1024;
/// Up to so many steps every state is covered exactly: at 256 frequencies up to
/// 223 true-bypass units in a row. Past it switches are taken in groups, the
/// others being off, and the answer says that it is at least as wide.
pub const MOST_STEPS: u64 = 1 << 29;

/// Where the level is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// At an endpoint's input jack.
    Endpoint(JackRef),
    /// At a point of a lead.
    Point(TestPoint),
}

/// All that the answer depends on.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The rig.
    pub rig: Arc<Rig>,
    /// Where controls stand, and switches that no foot works; its footswitches don't matter.
    pub controls: State,
    /// Where the level is wanted.
    pub target: Target,
    /// The devices that get no power; none where all count as fed.
    pub unfed: BTreeSet<DeviceId>,
}

/// What an answer that isn't exact left out, the least of it first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Short {
    /// States of side runs.
    Sides,
    /// Settings of switches on ways that hold at once.
    Together,
    /// Settings of switches that act in several places.
    Several,
    /// Settings of switches of several groups at once.
    Groups,
    /// The same, and the jumps of some switches.
    Switches,
}

/// Why there is no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoStates {
    /// No signal can get there in any state.
    NoWay,
    /// Nothing comes through in any state: a volume at zero, a treadle at heel.
    Silent,
    /// The watch said stop.
    Stopped,
}

/// The answer for all states.
#[derive(Debug)]
pub struct States {
    sweep: Arc<Sweep>,
    stretches: usize,
    rows: usize,
    counted: Counted,
    lowest: envelope::Edge,
    highest: envelope::Edge,
    /// Positions of switches that silence the target; they are left out of all else.
    pub mutes: Vec<SwitchSetting>,
    /// The switches that all states range over, in the rig's order; those of the mutes aren't among them.
    pub switches: Vec<Switch>,
    /// States of all switches but the mutes'.
    pub switch_states: Count,
    /// States that differ for the target; others only turn what it doesn't hear.
    pub different: Count,
    /// Whether every state was looked at.
    pub exact: bool,
    /// Why not, if not.
    short: Option<Short>,
    /// What each switch does, in the order of the signal.
    pub jumps: Vec<Jump>,
    /// Switches that act in several places, and of whose jumps only some were looked
    /// at: they may go farther, or be missing.
    pub sampled: Vec<SwitchRef>,
    /// What no state goes beyond, where some settings of ways that hold at once weren't looked at.
    bounds: Option<Bounds>,
    /// From where to where jumps are minded at the target, in Hz.
    pub heard_hz: (f64, f64),
}

impl States {
    /// Frequencies in Hz.
    #[must_use]
    pub fn hz(&self) -> &[f64] {
        self.sweep.hz()
    }

    /// The lowest level of any state at each frequency, in dB.
    #[must_use]
    pub fn lowest_db(&self) -> &[f64] {
        &self.lowest.db
    }

    /// The highest.
    #[must_use]
    pub fn highest_db(&self) -> &[f64] {
        &self.highest.db
    }

    /// What no state goes below and above, in dB at each frequency, where some settings
    /// of ways that hold at once weren't looked at and a bound is known. Without end
    /// where nothing can be said.
    #[must_use]
    pub fn bounds_db(&self) -> Option<(&[f64], &[f64])> {
        self.bounds.as_ref().map(|bounds| (&bounds.lowest_db[..], &bounds.highest_db[..]))
    }

    /// The switches that are moved in the state that is lowest at a frequency's index.
    #[must_use]
    pub fn lowest_state(&self, at: usize) -> Vec<SwitchSetting> {
        self.lowest.state(at)
    }

    /// The switches that are moved in the state that is highest at a frequency's index.
    #[must_use]
    pub fn highest_state(&self, at: usize) -> Vec<SwitchSetting> {
        self.highest.state(at)
    }

    /// How many passive stretches there are, each side run counted once.
    #[must_use]
    pub fn stretches(&self) -> usize {
        self.stretches
    }

    /// How many rows these are: each way of what passes between two ends counted.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// What the answer took.
    #[must_use]
    pub fn counted(&self) -> Counted {
        self.counted
    }

    /// Whether there were too many switches to go through all their settings.
    #[must_use]
    pub fn in_groups(&self) -> bool {
        matches!(self.short, Some(Short::Groups | Short::Switches))
    }

    /// What to say of the answer: exact, or at least this wide.
    #[must_use]
    pub fn note(&self) -> String {
        let all = match counted(&self.switch_states).as_str() {
            "1" if self.exact => return "one footswitch state, covered exactly".to_owned(),
            "1" => "one footswitch state".to_owned(),
            all => format!("{all} footswitch states"),
        };
        let why = match self.short {
            None => return format!("{all}, every one covered exactly"),
            Some(Short::Several) => "since not every setting of the switches that act in several places was looked at",
            Some(Short::Sides) => "since not every side run's states were looked at",
            Some(Short::Together) => "since not every setting was looked at where the signal goes several ways at once",
            Some(Short::Groups) => "since so many switches were looked at in groups, all others off",
            Some(Short::Switches) => "since of so many switches only some were looked at, all others off",
        };
        format!("{all}; at least this wide, {why}")
    }
}

impl From<Stopped> for NoStates {
    fn from(_: Stopped) -> Self {
        Self::Stopped
    }
}

/// Looks at every footswitch state of a rig.
pub fn explore(question: &Question, line_cache: &mut LineCache) -> Result<States, NoStates> {
    explore_watched(question, line_cache, &Unwatched)
}

/// The same, for as long as `watch` lets it go on; it is asked every few milliseconds.
pub fn explore_watched(question: &Question, line_cache: &mut LineCache, watch: &dyn Watch) -> Result<States, NoStates> {
    explore_within(MOST_STEPS, question, line_cache, watch)
}

/// The same in so many steps, or not many more: what is exact in fewer is exact.
pub fn explore_within(
    most: u64,
    question: &Question,
    line_cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<States, NoStates> {
    line_cache.next_generation();
    let cases = Cases::of(question, line_cache.sweep().len(), most)?;
    let (number, first) = cases.first(&mut Pace::new(watch, 0))?;
    let mut pace = Pace::new(watch, cases.steps(&first));
    pace.did(0)?;
    let (mut all, mut size, mut seen): (Option<Found>, _, _) = (None, Size::default(), Seen::default());
    let others = (number + 1..cases.many).filter_map(|number| cases.case(number).ok());
    for case in std::iter::once(first).chain(others) {
        let found = evaluate(&case, line_cache, &mut pace);
        let silent = matches!(found, Err(NoStates::Silent));
        if !silent {
            let (mut found, own) = found?;
            cases::note(&case.moved, [&mut found.lowest, &mut found.highest], &mut found.jumps);
            size = size.and(own);
            match &mut all {
                Some(all) => all.take_in(found),
                None => all = Some(found),
            }
        }
        seen.take_in(case);
    }
    let mut found = all.ok_or(NoStates::Silent)?;
    let several_short = (!cases.complete).then_some(Short::Several);
    let short = seen.short.max(several_short);
    let different = seen.different.iter().sum();
    let mutes = seen.mutes(&cases);
    let is_mute = |setting: SwitchSetting| mutes.contains(&setting);
    // A switch is left out where no two of its positions are heard.
    let left = |switch: &Switch| {
        switch.all_positions().filter(|to| !is_mute(SwitchSetting { switch: switch.id, to: *to })).count()
    };
    let fed = question.rig.devices.iter().filter(|device| !question.unfed.contains(&device.id));
    let switches = fed.flat_map(Device::all_switches).filter(Switch::varies);
    let switches: Vec<Switch> = switches.filter(|switch| left(switch) > 1).collect();
    let several: Vec<Switch> = cases.several.iter().filter(|switch| left(switch) > 1).copied().collect();
    let all = question.rig.devices.iter().flat_map(Device::all_switches).filter(Switch::varies);
    let kept = all.filter(|switch| left(switch) == 1).filter_map(|switch| {
        let to = switch.all_positions().find(|to| !is_mute(SwitchSetting { switch: switch.id, to: *to }))?;
        (to != switch.default).then_some(SwitchSetting { switch: switch.id, to })
    });
    let kept: Vec<SwitchSetting> = kept.collect();
    let real = Real::new(question, &cases, &kept);
    let mut sampled = Vec::new();
    for switch in &several {
        let jumps = match paired::jumps(&cases, &real, switch, line_cache, &mut pace)? {
            Some(jumps) => jumps,
            None => {
                let (jumps, exact) = real.jumps(switch, (&several, &switches), line_cache, &mut pace)?;
                sampled.extend((!exact).then_some(switch.id));
                jumps
            }
        };
        for mut jump in jumps {
            jump.alone_db = real.step(jump.switch, (jump.from, jump.to), &[], line_cache);
            found.jumps.push(jump);
        }
    }
    for jump in &mut found.jumps {
        let pedal = question.rig.device(jump.device()).and_then(|device| device.kind.pedal());
        jump.has_level &= pedal.is_some_and(|pedal| pedal.on.level.get() != 0.0);
    }
    if short.is_some() {
        found.jumps.iter_mut().for_each(|jump| jump.exact = false);
    }
    Ok(States {
        sweep: line_cache.shared_sweep(),
        stretches: size.stretches,
        rows: size.rows,
        counted: found.counted,
        lowest: found.lowest,
        highest: found.highest,
        switch_states: Count::product(switches.iter().map(left)),
        switches,
        different,
        exact: short.is_none(),
        short,
        jumps: found.jumps,
        sampled,
        bounds: found.bounds.filter(|_| short == Some(Short::Together)),
        heard_hz: heard_hz(&question.rig, question.target),
        mutes,
    })
}

/// Looks at all states of one case; so large it was.
fn evaluate(case: &Case<'_>, line_cache: &mut LineCache, pace: &mut Pace<'_>) -> Result<(Found, Size), NoStates> {
    let Case { plan, groups, .. } = case;
    let mut known = known_choices(case, line_cache, pace)?;
    let (mut found, size) = groups.evaluate(&known, line_cache, pace)?;
    found.bounds = match groups.short() {
        None => {
            let (lowest_db, highest_db) = (found.lowest.db.clone(), found.highest.db.clone());
            Some(Bounds { lowest_db, highest_db })
        }
        Some(Short::Together) => {
            let mut is_known = true;
            for (begin, block) in groups.blocks().0 {
                let mut choices = Choices::to(block.goal, plan, line_cache, block.most, pace);
                let all = choices.reach(begin)?;
                is_known &= all.is_some();
                known.blocks.insert(begin, all.into_iter().collect());
            }
            if is_known { Some(groups.bounds(&known, line_cache, pace)?) } else { None }
        }
        _ => None,
    };
    Ok((found, size))
}

/// What hangs on the ways of one case, and what lies in its blocks.
fn known_choices(case: &Case<'_>, line_cache: &mut LineCache, pace: &mut Pace<'_>) -> Result<KnownChoices, Stopped> {
    let Case { plan, groups, .. } = case;
    let path = &groups.paths[0];
    let (hanging, most_of_rest) = groups.kept();
    let mut choices = Choices::new(plan, line_cache, MOST_CHOICES, pace);
    let mut known = KnownChoices::default();
    for (lead, (wire, kept)) in hanging {
        let mut found = choices.of_wire(wire)?;
        found.truncate(kept);
        known.side_runs.insert(lead, found);
    }
    known.rest = choices.of_rest(&path.rest)?;
    known.rest.truncate(most_of_rest);
    let (inside, most) = groups.blocks();
    for (begin, block) in inside {
        let mut choices = Choices::to(block.goal, plan, line_cache, block.most, pace);
        let mut found = choices.of_block(begin)?;
        found.retain(|choice| choice.transfer.as_ref().is_some_and(|transfer| !transfer.is_silent()));
        found.truncate(most);
        known.blocks.insert(begin, found);
    }
    Ok(known)
}

/// How much work an answer on the program's own grid is, in steps of a few
/// nanoseconds' tenths; 0 where there is none. It costs microseconds itself, so
/// that a window can ask before it decides to answer at once.
#[must_use]
pub fn work(question: &Question) -> u64 {
    let Ok(cases) = Cases::of(question, Sweep::AUDIO_POINTS, MOST_STEPS) else { return 0 };
    cases.first(&mut Pace::new(&Unwatched, 0)).map_or(0, |(_, case)| cases.steps(&case))
}
