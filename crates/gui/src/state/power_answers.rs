//! What the power of the rig in hand amounts to: loads, voltages, problems with
//! what remedies them, ground loops. Worked out when the rig changed.

use std::sync::Arc;

use rigwright_core::diagnosis::Diagnosis;
use rigwright_core::ground::{self, GroundLoop, ground_loops};
use rigwright_core::hum::{self, Hum, hum};
use rigwright_core::power::{
    Allocation, AllocationQuestion, Check, Headroom, LeastAnswer, LeastQuestion, PowerTold, allocate, check_at,
    diagnose, least,
};
use rigwright_core::rig::{DeviceId, MainsSupply, Rig, Variant};
use rigwright_core::watch::Watch;

use super::deferred::{Deferred, Halt, SameQuestion, Schedule, Shown};
use crate::jobs::{Host, Lane};

/// All that the answers depend on.
#[derive(Debug, Clone)]
pub struct PowerQuestion {
    /// The rig, in its variant.
    pub variant: Arc<Variant>,
    /// How much of a rating may be used.
    pub headroom: Headroom,
    /// The mains that it is played on.
    pub mains: MainsSupply,
}

impl SameQuestion for PowerQuestion {
    fn same(&self, other: &Self) -> bool {
        let rest = self.headroom == other.headroom && self.mains == other.mains;
        rest && self.variant.id == other.variant.id && same_rig(&self.variant.rig, &other.variant.rig)
    }
}

/// What a rig's power amounts to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PowerAnswer {
    /// Every figure.
    pub check: Check,
    /// The problems, with what remedies them.
    pub told: PowerTold,
    /// The ground loops, the likeliest first; of a great many not all.
    pub loops: Vec<GroundLoop>,
    /// How many there are.
    pub loop_count: usize,
    /// What to ask first, and the loops told with what breaks them.
    pub hum: Hum,
}

impl PowerAnswer {
    /// What there is to know of power, each thing once, the loudest first.
    pub fn listed(&self) -> impl Iterator<Item = &Diagnosis> {
        self.told.listed(&self.check)
    }

    /// That of it which is about a device.
    pub fn about(&self, device: DeviceId) -> impl Iterator<Item = &Diagnosis> {
        self.listed().filter(move |told| told.about.devices.contains(&device))
    }
}

/// Works an answer out; none where it was told to stop.
#[must_use]
pub fn answer(question: &PowerQuestion, watch: &dyn Watch) -> Option<PowerAnswer> {
    if !watch.go_on(0.0) {
        return None;
    }
    let PowerQuestion { variant, headroom, mains } = question;
    let rig = &variant.rig;
    let check = check_at(rig, headroom, mains);
    let loops = ground_loops(rig);
    let told = diagnose(variant, headroom, &check, watch).ok()?;
    let hum = hum(&hum::HumQuestion { variant, loops: &loops, check: &check, headroom });
    let loop_count = ground::count(rig);
    Some(PowerAnswer { told, loops, loop_count, hum, check })
}

/// Up to so many devices it is told at once; past it, beside the window.
const AT_ONCE: usize = 24;
/// Up to so many leads of the signal and of supplies, likewise.
const LEADS_AT_ONCE: usize = 100;

/// Whether what a rig's power amounts to is told at once, or beside the window.
pub fn is_told_at_once(rig: &Rig) -> bool {
    rig.devices.len() <= AT_ONCE && rig.leads.len() <= LEADS_AT_ONCE && rig.feeds.len() <= LEADS_AT_ONCE
}

impl SameQuestion for AllocationQuestion {
    fn same(&self, other: &Self) -> bool {
        self.rules == other.rules && same_rig(&self.rig, &other.rig)
    }
}

impl SameQuestion for LeastQuestion {
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
    check: Deferred<PowerQuestion, PowerAnswer>,
    allocation: Deferred<AllocationQuestion, Allocation>,
    least: Deferred<LeastQuestion, LeastAnswer>,
}

impl PowerAnswers {
    /// Sees to it that there is an answer, now or in a while; `at_once` where it is
    /// what the screen is about, and quick.
    pub fn refresh(&mut self, question: &PowerQuestion, at_once: bool, host: &dyn Host) {
        if self.check.question().is_some_and(|kept| kept.variant.id != question.variant.id) {
            self.check.forget();
        }
        if self.check.answers(question) || (at_once && is_told_at_once(&question.variant.rig)) {
            let work = || answer(question, &rigwright_core::watch::Unwatched).unwrap_or_default();
            return self.check.answer(question, work);
        }
        let asked = question.clone();
        let schedule = Schedule { host, lane: Lane::Answers, finish_running: true };
        self.check.ask(question, schedule, move |watch| answer(&asked, watch));
    }

    /// The last answer, and whether it is to the rig as it stands.
    #[must_use]
    pub fn shown(&self) -> Option<Shown<'_, PowerAnswer>> {
        self.check.shown()
    }

    /// Looks for the best allocation.
    pub fn seek(&mut self, question: &AllocationQuestion, host: &dyn Host) {
        let schedule = Schedule { host, lane: Lane::Searches, finish_running: false };
        let asked = question.clone();
        self.allocation.ask(question, schedule, move |watch| allocate(&asked, watch).ok());
    }

    /// Looks for the least supplies.
    pub fn seek_least(&mut self, question: &LeastQuestion, host: &dyn Host) {
        let schedule = Schedule { host, lane: Lane::Searches, finish_running: false };
        let asked = question.clone();
        self.least.ask(question, schedule, move |watch| least(&asked, watch).ok());
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
    pub fn allocation(&self, rig: &Arc<Rig>) -> Option<(&AllocationQuestion, Shown<'_, Allocation>)> {
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
    pub fn is_computing(&self) -> bool {
        self.check.progress().is_some() || self.seeking().is_some() || self.seeking_least().is_some()
    }

    /// How many answers were worked out in all.
    #[must_use]
    pub fn computed(&self) -> u64 {
        self.check.computed()
    }
}
