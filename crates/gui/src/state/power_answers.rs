//! What the power of the rig in hand amounts to: loads, voltages, problems with
//! what mends them, ground loops. Worked out when the rig changed.

use std::collections::BTreeSet;
use std::sync::Arc;

use rigwright_core::ground::{self, GroundLoop, ground_loops};
use rigwright_core::hum::{self, Hum, hum};
use rigwright_core::power::{
    Allocation, Check, Headroom, LeastAnswer, LeastQuestion, Mend, Mender, PowerProblem, Question, What, allocate,
    check_at, least,
};
use rigwright_core::rig::{DeviceId, MainsSupply, Rig, Variant, VariantId};
use rigwright_core::watch::Watch;

use super::later::{Asked, Halt, How, Later, Shown};
use crate::jobs::{Host, Lane};

/// All that the answers depend on.
#[derive(Debug, Clone)]
pub struct PowerQuestion {
    /// Whose rig it is.
    pub variant: VariantId,
    /// The rig.
    pub rig: Arc<Rig>,
    /// How much of a rating may be used.
    pub headroom: Headroom,
    /// The mains that it is played on.
    pub mains: MainsSupply,
}

impl Asked for PowerQuestion {
    fn same(&self, other: &Self) -> bool {
        let rest = self.variant == other.variant && self.headroom == other.headroom && self.mains == other.mains;
        rest && same_rig(&self.rig, &other.rig)
    }
}

/// A problem with its words.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// The problem.
    pub problem: PowerProblem,
    /// One sentence with its number.
    pub words: String,
    /// What mends it, the best first.
    pub mends: Vec<Mend>,
}

/// What a rig's power amounts to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PowerAnswer {
    /// Every figure.
    pub check: Check,
    /// The problems, the loudest first.
    pub told: Vec<Told>,
    /// Units without a feed, and where each could be plugged in.
    pub unfed: Vec<(DeviceId, Vec<Mend>)>,
    /// Of so many problems and units without a feed nobody looked for what mends them.
    pub without_mends: usize,
    /// Units without a feed of which nobody looked where they could be plugged in.
    pub unlooked: BTreeSet<DeviceId>,
    /// The ground loops, the likeliest first; of a great many not all.
    pub loops: Vec<GroundLoop>,
    /// How many there are.
    pub loop_count: usize,
    /// What to ask first, and the loops told with what breaks them.
    pub hum: Hum,
}

impl PowerAnswer {
    /// The problems that are about a device.
    pub fn about(&self, device: DeviceId) -> impl Iterator<Item = &Told> {
        self.told.iter().filter(move |told| told.problem.what.devices().contains(&device))
    }
}

/// Works an answer out; none where it was told to stop.
#[must_use]
pub fn answer(question: &PowerQuestion, watch: &dyn Watch) -> Option<PowerAnswer> {
    if !watch.go_on(0.0) {
        return None;
    }
    let PowerQuestion { rig, headroom, mains, .. } = question;
    let check = check_at(rig, headroom, mains);
    let loops = ground_loops(rig);
    let mender = Mender::new(rig, headroom, &check);
    let steps = (check.problems.len() + check.unfed.len()).max(1);
    let mut done = 0;
    let mut on = || {
        done += 1;
        watch.go_on((done - 1) as f64 / steps as f64)
    };
    let mut told = Vec::new();
    for problem in to_tell(&check) {
        if !on() {
            return None;
        }
        told.push(Told { problem: *problem, words: problem.words(rig), mends: mender.mends(problem) });
    }
    let (mut unfed, mut unlooked) = (Vec::new(), BTreeSet::new());
    for device in &check.unfed {
        if !on() {
            return None;
        }
        let before = mender.left_out();
        unfed.push((*device, mender.feeds(*device)));
        if mender.left_out() > before {
            unlooked.insert(*device);
        }
    }
    // Of a variant its rig is enough.
    let variant = Arc::new(Variant {
        id: question.variant,
        name: String::new(),
        rig: Arc::clone(rig),
        places: Default::default(),
        kept_orders: Default::default(),
    });
    let hum = hum(&hum::Question { variant: &variant, loops: &loops, check: &check, headroom });
    let (without_mends, loop_count) = (mender.left_out(), ground::count(rig));
    Some(PowerAnswer { told, unfed, without_mends, unlooked, loops, loop_count, hum, check })
}

/// The problems that are told: each once, and units without a feed in a list of their own.
pub fn to_tell(check: &Check) -> impl Iterator<Item = &PowerProblem> {
    check.problems.iter().filter(|problem| !check.says_already(problem) && !is_unplugged(problem))
}

/// Whether it is a unit without a feed: those stand in a list of their own.
#[must_use]
pub fn is_unplugged(problem: &PowerProblem) -> bool {
    matches!(problem.what, What::Unfed { at: None, .. })
}

/// Up to so many devices it is told at once; past it, beside the window.
const AT_ONCE: usize = 24;
/// Up to so many leads of the signal and of supplies, likewise.
const LEADS_AT_ONCE: usize = 100;

fn is_told_at_once(rig: &Rig) -> bool {
    rig.devices.len() <= AT_ONCE && rig.leads.len() <= LEADS_AT_ONCE && rig.feeds.len() <= LEADS_AT_ONCE
}

impl Asked for Question {
    fn same(&self, other: &Self) -> bool {
        self.rules == other.rules && same_rig(&self.rig, &other.rig)
    }
}

impl Asked for LeastQuestion {
    fn same(&self, other: &Self) -> bool {
        let rest = self.least == other.least && self.keep == other.keep && self.batteries == other.batteries;
        let new = self.parts == other.parts;
        rest && new && self.rules == other.rules && same_rig(&self.rig, &other.rig)
    }
}

/// Equality that looks at the pointers first.
fn same_rig(a: &Arc<Rig>, b: &Arc<Rig>) -> bool {
    Arc::ptr_eq(a, b) || a == b
}

/// The last answers about power.
#[derive(Debug, Default)]
pub struct PowerAnswers {
    check: Later<PowerQuestion, PowerAnswer>,
    allocation: Later<Question, Allocation>,
    least: Later<LeastQuestion, LeastAnswer>,
}

impl PowerAnswers {
    /// Sees to it that there is an answer, now or in a while.
    pub fn think(&mut self, question: &PowerQuestion, host: &dyn Host) {
        if self.check.question().is_some_and(|kept| kept.variant != question.variant) {
            self.check.forget();
        }
        if is_told_at_once(&question.rig) {
            let work = || answer(question, &rigwright_core::watch::Unwatched).unwrap_or_default();
            return self.check.answer(question, work);
        }
        let asked = question.clone();
        let how = How { host, lane: Lane::Answers, patient: true };
        self.check.ask(question, how, move |watch| answer(&asked, watch));
    }

    /// The last answer, and whether it is to the rig as it stands.
    #[must_use]
    pub fn shown(&self) -> Option<Shown<'_, PowerAnswer>> {
        self.check.shown()
    }

    /// Looks for the best allocation.
    pub fn seek(&mut self, question: &Question, host: &dyn Host) {
        let how = How { host, lane: Lane::Searches, patient: false };
        let asked = question.clone();
        self.allocation.ask(question, how, move |watch| allocate(&asked, watch).ok());
    }

    /// Looks for the least supplies.
    pub fn seek_least(&mut self, question: &LeastQuestion, host: &dyn Host) {
        let how = How { host, lane: Lane::Searches, patient: false };
        let asked = question.clone();
        self.least.ask(question, how, move |watch| least(&asked, watch).ok());
    }

    /// Calls searches off.
    pub fn stop_seeking(&mut self) {
        self.allocation.stop();
        self.least.stop();
    }

    /// Takes what searches found meanwhile.
    pub fn poll(&mut self) {
        self.allocation.poll();
        self.least.poll();
    }

    /// The best allocation that was found last, the rules it keeps, and whether
    /// it is for the rig as it stands.
    #[must_use]
    pub fn allocation(&self, rig: &Arc<Rig>) -> Option<(&Question, Shown<'_, Allocation>)> {
        let question = self.allocation.question()?;
        let shown = self.allocation.shown()?;
        let same = same_rig(&question.rig, rig);
        Some((question, Shown { old: !same, ..shown }))
    }

    /// The least supplies that were found last, what was asked, and whether that
    /// is for the rig as it stands.
    #[must_use]
    pub fn least(&self, rig: &Arc<Rig>) -> Option<(&LeastQuestion, Shown<'_, LeastAnswer>)> {
        let question = self.least.question()?;
        let shown = self.least.shown()?;
        let same = same_rig(&question.rig, rig);
        Some((question, Shown { old: !same, ..shown }))
    }

    /// How far the search for the least supplies is, from 0 to 1, while there is one.
    #[must_use]
    pub fn seeking_least(&self) -> Option<f64> {
        self.least.progress()
    }

    /// How far the search for an allocation is, from 0 to 1, while there is one.
    #[must_use]
    pub fn seeking(&self) -> Option<f64> {
        self.allocation.progress()
    }

    /// How far the answer is, from 0 to 1, while it is being worked out.
    #[must_use]
    pub fn progress(&self) -> Option<f64> {
        self.check.progress()
    }

    /// Calls off what is being worked out.
    pub fn call_off(&mut self) {
        self.check.call_off();
    }

    /// Whether it was called off.
    #[must_use]
    pub fn is_called_off(&self) -> bool {
        self.check.halt() == Some(Halt::CalledOff)
    }

    /// Works out after all what was called off.
    pub fn want_again(&mut self) {
        self.check.want_again();
    }

    /// Whether the work on the answer died, so that there will be none to the rig as it stands.
    #[must_use]
    pub fn died(&self) -> bool {
        self.check.died()
    }

    /// Whether the last search for an allocation died.
    #[must_use]
    pub fn seeking_died(&self) -> bool {
        self.allocation.died()
    }

    /// Whether the last search for the least supplies died.
    #[must_use]
    pub fn seeking_least_died(&self) -> bool {
        self.least.died()
    }

    /// Whether something is being worked out.
    #[must_use]
    pub fn is_thinking(&self) -> bool {
        self.check.progress().is_some() || self.seeking().is_some() || self.seeking_least().is_some()
    }

    /// How many answers were worked out in all.
    #[must_use]
    pub fn computed(&self) -> u64 {
        self.check.computed()
    }
}
