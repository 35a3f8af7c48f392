//! What the rigs amount to, computed when something changed and not each frame.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rigwright_core::advice::{self, Advice};
use rigwright_core::cascade::LineCache;
use rigwright_core::compare::{JumpQuestion, WorstJump, worst_jump};
use rigwright_core::diagnosis::Diagnosis;
use rigwright_core::drawn::{Drawn, drawn};
use rigwright_core::findings;
use rigwright_core::network::Sweep;
use rigwright_core::power::volts_in_use;
use rigwright_core::response::{NoPeak, Request, Response, respond, silencers, words};
use rigwright_core::rig::{Device, JackRef, Project, Rig, VariantId};
use rigwright_core::states::{self, NoStates, Question, States, Target};
use rigwright_core::watch::{Unwatched, Watch};

use super::deferred::{Deferred, Halt, Schedule, Shown};
use super::same_question::{DrawnQuestion, SilenceQuestion, narrowed};
use super::{Fed, Peaks, SetInVain};
use crate::jobs::{Host, Lane};

/// What a variant's footswitch states amount to, or why there is no telling.
pub type AllStates = Result<States, NoStates>;

/// The last answers for one variant, the question they answer, and what speeds up the next one.
#[derive(Debug)]
struct Kept {
    request: Request,
    response: Deferred<Request, Response>,
    cache: LineCache,
    states: Deferred<Question, AllStates>,
    /// Why nothing comes through, where nothing does.
    silence: Deferred<SilenceQuestion, String>,
    worst_jump: Deferred<JumpQuestion, Option<WorstJump>>,
}

/// The last answer for each variant.
#[derive(Debug, Default)]
pub struct Answers {
    kept: BTreeMap<VariantId, Kept>,
    /// Who gets no power, and whether that counts.
    pub fed: Fed,
    /// Switches that are set and that the rig in hand hasn't.
    pub set_in_vain: SetInVain,
    /// What switches of the variant in hand do to the peak, as far as that is wanted.
    pub peaks: Peaks,
    /// What is drawn wrong in the variant in hand.
    drawn: Deferred<DrawnQuestion, Drawn>,
    findings: Deferred<findings::FindingsQuestion, Vec<Diagnosis>>,
    advice: Deferred<advice::AdviceQuestion, Advice>,
    /// What was computed for variants that are gone.
    computed_for_gone: u64,
}

/// What is wanted besides the curves, and of which rig.
pub struct WantedAnswers<'a> {
    /// The project as it stands.
    pub project: &'a Project,
    /// The variant in hand.
    pub showing: VariantId,
    /// Where a variant's level is wanted if there is no test point.
    pub endpoint: &'a dyn Fn(&Response) -> Option<JackRef>,
    /// Whether rigs are compared, so that each one's worst jump is wanted.
    pub compares: bool,
    /// Of so many switches, the furthest first, it is wanted what they do to the peak.
    pub peaks: usize,
    /// Who has the threads.
    pub host: &'a dyn Host,
}

/// Up to so many steps all states are told at once: they take about two
/// milliseconds. Past it they are worked out beside the window.
const AT_ONCE: u64 = 3_000_000;
/// Up to so many devices and leads, counted once for each endpoint, a curve is told at once.
const CURVE_AT_ONCE: usize = 1_500;
/// All variants together, the one in hand first: a frame's worth. The others'
/// are worked out beside the window, and marked as old meanwhile.
pub const CURVES_AT_ONCE: usize = 300;

/// How much work a curve and its figures are.
pub fn weight(rig: &Rig) -> usize {
    let is_end = |device: &&Device| device.kind.jacks().iter().any(|jack| device.kind.is_endpoint(*jack));
    let ends = rig.devices.iter().filter(is_end).count();
    (rig.devices.len() + rig.leads.len()) * ends.max(1)
}

/// Whether a rig's curve is told at once, or beside the window.
pub fn is_quick(rig: &Rig) -> bool {
    weight(rig) <= CURVE_AT_ONCE
}

/// Whether all states are told at once. How much work they are isn't counted where even that takes long.
fn told_at_once(question: &Question) -> bool {
    is_quick(&question.rig) && states::work(question) <= AT_ONCE
}

/// A curve without what speeds up the next one.
pub fn respond_afresh(request: &Request) -> Response {
    respond(request, &mut LineCache::new(Sweep::audio()))
}

impl Kept {
    fn of(request: Request) -> Self {
        let (response, states, worst_jump) = (Deferred::default(), Deferred::default(), Deferred::default());
        let (cache, silence) = (LineCache::new(Sweep::audio()), Deferred::default());
        Self { request, response, cache, states, silence, worst_jump }
    }

    /// Sees to it that the curve is there, now or in a while; how much of what can be done now it was.
    fn respond(&mut self, left: usize, host: &dyn Host) -> usize {
        if self.response.answers(&self.request) {
            self.response.answer(&self.request, || respond_afresh(&self.request));
            return 0;
        }
        let weight = weight(&self.request.rig);
        if weight <= left {
            let cache = &mut self.cache;
            self.response.answer(&self.request, || respond(&self.request, cache));
            return weight;
        }
        let schedule = Schedule { host, lane: Lane::Answers, finish_running: true };
        let asked = self.request.clone();
        self.response.ask(&self.request, schedule, move |_| Some(respond_afresh(&asked)));
        0
    }

    /// Sees to it that it is known why nothing comes through where levels are taken.
    fn find_silencers(&mut self, endpoint: Option<JackRef>) {
        let answer = self.response.shown().filter(|shown| !shown.old).and_then(|shown| match self.request.test_point {
            Some(_) => shown.answer.test_point.as_ref(),
            None => shown.answer.endpoints.iter().find(|one| Some(one.jack) == endpoint).map(|one| &one.at),
        });
        if answer.is_none_or(|answer| answer.peak != Err(NoPeak::Silent)) {
            return self.silence.forget();
        }
        let endpoint = endpoint.filter(|_| self.request.test_point.is_none());
        let question = SilenceQuestion { request: self.request.clone(), endpoint };
        self.silence.answer(&question, || {
            words::silent_because(&silencers(&question.request, question.endpoint), &question.request.rig)
        });
    }

    /// How much was computed for it.
    fn computed(&self) -> u64 {
        self.response.computed() + self.states.computed() + self.worst_jump.computed()
    }

    /// How far the work on it is, from 0 to 1, while there is some.
    fn progress(&self) -> Option<f64> {
        self.response.progress().or_else(|| self.states.progress()).or_else(|| self.worst_jump.progress())
    }

    fn explore(&mut self, question: &Question, host: &dyn Host) {
        if self.states.answers(question) || (!self.states.knows(question) && told_at_once(question)) {
            return self.states.answer(question, || states::explore(question, &mut self.cache));
        }
        let schedule = Schedule { host, lane: Lane::Answers, finish_running: true };
        let asked = question.clone();
        self.states.ask(question, schedule, move |watch| {
            let found = states::explore_watched(&asked, &mut LineCache::new(Sweep::audio()), watch);
            (!matches!(found, Err(NoStates::Stopped))).then_some(found)
        });
    }

    /// Sees to it that the worst jump is known: from all states, where they tell it.
    fn jump(&mut self, question: &JumpQuestion, host: &dyn Host) {
        if question.all_states_tell() {
            return match self.states.shown().filter(|shown| !shown.old) {
                Some(states) => {
                    let (states, cache) = (Arc::clone(states.answer), &mut self.cache);
                    let tell = || WorstJump::of(question, states.as_ref().as_ref().ok()?, cache);
                    self.worst_jump.answer(question, tell);
                }
                None => self.worst_jump.wait(question),
            };
        }
        let at_once = || !self.worst_jump.knows(question) && told_at_once(&question.states);
        if self.worst_jump.answers(question) || at_once() {
            let cache = &mut self.cache;
            // Nobody is there to stop it.
            return self.worst_jump.answer(question, || worst_jump(question, cache, &Unwatched).ok().flatten());
        }
        let schedule = Schedule { host, lane: Lane::Answers, finish_running: true };
        let asked = question.clone();
        let work = move |watch: &dyn Watch| worst_jump(&asked, &mut LineCache::new(Sweep::audio()), watch).ok();
        self.worst_jump.ask(question, schedule, work);
    }
}

impl Answers {
    /// Sees to it that there are curves of what a change made old, and of nothing
    /// else: now, or in a while where they take long. True if any is asked for or gone.
    pub fn update(&mut self, project: &Project, showing: VariantId, host: &dyn Host) -> bool {
        let computed = |answers: &Self| answers.kept.values().map(|kept| kept.response.computed()).sum::<u64>();
        let before = (computed(self), self.kept.len());
        let there: BTreeSet<VariantId> = project.variants.iter().map(|variant| variant.id).collect();
        for (_, kept) in self.kept.extract_if(.., |id, _| !there.contains(id)) {
            self.computed_for_gone += kept.computed();
        }
        let gone = self.kept.len() != before.1;
        self.fed.update(project);
        let mut left = CURVES_AT_ONCE;
        // The one in hand comes first.
        let in_hand = project.variants.iter().filter(|variant| variant.id == showing);
        for variant in in_hand.chain(project.variants.iter().filter(|variant| variant.id != showing)) {
            // It is kept as it stands, so that the next look finds the very same rig.
            let unfed = self.fed.left_out(variant.id);
            let request = narrowed(Request { unfed, ..Request::of(project, variant) });
            let kept = match self.kept.entry(variant.id) {
                Entry::Occupied(kept) => {
                    let kept = kept.into_mut();
                    kept.request = request;
                    kept
                }
                Entry::Vacant(place) => place.insert(Kept::of(request)),
            };
            let most = if variant.id == showing { CURVE_AT_ONCE } else { left };
            left = left.saturating_sub(kept.respond(most, host));
        }
        if let Some(variant) = project.variant(showing) {
            self.look_at_drawing(&variant.rig, variant.id, host);
        }
        gone || computed(self) != before.0
    }

    /// Sees to it that it is known what is drawn wrong in a rig.
    fn look_at_drawing(&mut self, rig: &Arc<Rig>, variant: VariantId, host: &dyn Host) {
        let question = DrawnQuestion(Arc::clone(rig), variant);
        if is_quick(rig) {
            return self.drawn.answer(&question, || drawn(rig, variant));
        }
        let asked = Arc::clone(rig);
        let schedule = Schedule { host, lane: Lane::Answers, finish_running: true };
        self.drawn.ask(&question, schedule, move |_| Some(drawn(&asked, variant)));
    }

    /// What is drawn wrong in the variant in hand, the signal and power both.
    #[must_use]
    pub fn drawn(&self) -> Option<Shown<'_, Drawn>> {
        self.drawn.shown()
    }

    /// Sees to it that there are all states of every variant, and the findings
    /// of the one in hand: now, or in a while where they take long.
    pub fn refresh(&mut self, wants: &WantedAnswers<'_>) {
        for variant in &wants.project.variants {
            let Some(kept) = self.kept.get_mut(&variant.id) else { continue };
            let endpoint = kept.response.shown().and_then(|shown| (wants.endpoint)(shown.answer));
            kept.find_silencers(endpoint);
            let Some(target) = target(kept, wants) else {
                kept.states.forget();
                kept.worst_jump.forget();
                continue;
            };
            let controls = kept.request.state.held(&variant.rig);
            let (rig, unfed) = (Arc::clone(&kept.request.rig), kept.request.unfed.clone());
            let question = Question { rig, controls, target, unfed };
            if !kept.response.answers(&kept.request) {
                // Where the level is taken may be another place by then.
                kept.states.wait(&question);
                kept.worst_jump.wait(&JumpQuestion { states: question, limits: wants.project.limits });
                continue;
            }
            kept.explore(&question, wants.host);
            let question = JumpQuestion { states: question, limits: wants.project.limits };
            match wants.compares {
                true => kept.jump(&question, wants.host),
                // Nobody looks at it; when somebody does, it is known to be old.
                false => kept.worst_jump.wait(&question),
            }
        }
        self.look_at_peaks(wants);
        self.find(wants);
        self.advice.poll();
    }

    /// Sees to it that it is known what switches do to the peak, where somebody wants to know.
    fn look_at_peaks(&mut self, wants: &WantedAnswers<'_>) {
        let wanted = self.kept.get_mut(&wants.showing).filter(|_| wants.peaks > 0);
        let Some(kept) = wanted else { return self.peaks = Peaks::default() };
        let Some(shown) = kept.states.shown() else { return self.peaks = Peaks::default() };
        // Old states answer another question than the one that is asked now.
        let question = kept.states.question().filter(|_| !shown.old);
        self.peaks.update(shown.answer, question, wants.peaks, &mut kept.cache);
    }

    fn find(&mut self, wants: &WantedAnswers<'_>) {
        let question = wants.project.variant(wants.showing).and_then(|variant| {
            let kept = self.kept.get(&variant.id)?;
            Some(findings::FindingsQuestion {
                variant: Arc::clone(variant),
                controls: kept.request.state.held(&variant.rig),
                target: target(kept, wants)?,
                limits: wants.project.limits,
                volts: volts_in_use(&variant.rig),
                unfed: kept.request.unfed.clone(),
            })
        });
        // Another variant's findings don't stand in for this one's.
        if self.findings.question().is_some_and(|kept| kept.variant.id != wants.showing) {
            self.findings.forget();
        }
        let states = self.states(wants.showing).filter(|shown| !shown.old).map(|shown| Arc::clone(shown.answer));
        match (question, states) {
            (Some(question), Some(states)) => {
                let schedule = Schedule { host: wants.host, lane: Lane::Answers, finish_running: true };
                let asked = question.clone();
                self.findings.ask(&question, schedule, move |watch| {
                    let states = states.as_ref().as_ref().ok();
                    findings::findings(&asked, states, &mut LineCache::new(Sweep::audio()), watch).ok()
                });
            }
            // They wait for the states.
            (Some(question), None) => self.findings.wait(&question),
            (None, _) => self.findings.forget(),
        }
    }

    /// The question of what would be better than the rig in hand.
    #[must_use]
    pub fn advice_question(&self, wants: &WantedAnswers<'_>, wishes: advice::Wishes) -> Option<advice::AdviceQuestion> {
        let variant = wants.project.variant(wants.showing)?;
        let kept = self.kept.get(&variant.id)?;
        Some(advice::AdviceQuestion {
            variant: Arc::clone(variant),
            controls: kept.request.state.held(&variant.rig),
            target: target(kept, wants)?,
            wishes,
            limits: wants.project.limits,
        })
    }

    /// Starts the search for what would be better.
    pub fn seek(&mut self, question: &advice::AdviceQuestion, host: &dyn Host) {
        let schedule = Schedule { host, lane: Lane::Searches, finish_running: false };
        let asked = question.clone();
        self.advice.ask(question, schedule, move |watch| {
            advice::advise(&asked, &mut LineCache::new(Sweep::audio()), watch).ok()
        });
    }

    /// Calls the search off.
    pub fn stop_seeking(&mut self) {
        self.advice.stop();
    }

    /// What the last search found, and whether that is about the rig as it stands.
    #[must_use]
    pub fn advice(&self, question: Option<&advice::AdviceQuestion>) -> Option<Shown<'_, Advice>> {
        let shown = self.advice.shown()?;
        Some(Shown { old: !question.is_some_and(|question| self.advice.answers(question)), ..shown })
    }

    /// How far the search is, from 0 to 1, while there is one.
    #[must_use]
    pub fn seeking(&self) -> Option<f64> {
        self.advice.progress()
    }

    /// Whether something is being worked out.
    #[must_use]
    pub fn is_computing(&self) -> bool {
        let states = self.kept.values().any(|kept| kept.progress().is_some()) || self.drawn.progress().is_some();
        states || self.findings.progress().is_some() || self.advice.progress().is_some()
    }

    /// Whether curves or all states of any variant are being worked out.
    #[must_use]
    pub fn is_computing_curves(&self) -> bool {
        self.kept.values().any(|kept| kept.response.progress().or_else(|| kept.states.progress()).is_some())
    }

    /// Whether the work on a variant's states or on the findings died, so that
    /// there will be none of the rig as it stands.
    #[must_use]
    pub fn died(&self, variant: VariantId) -> bool {
        self.halts(variant).any(|halt| halt == Halt::Died)
    }

    /// Whether there will be no curve of a variant, or none of its states, since the work died.
    #[must_use]
    pub fn curves_died(&self, variant: VariantId) -> bool {
        self.kept.get(&variant).is_some_and(|kept| kept.response.died() || kept.states.died())
    }

    /// Whether a variant's worst jump isn't known since the work on it died.
    #[must_use]
    pub fn jump_died(&self, variant: VariantId) -> bool {
        self.kept.get(&variant).is_some_and(|kept| kept.worst_jump.died() || kept.states.died())
    }

    /// Whether the last search for something better died.
    #[must_use]
    pub fn advice_died(&self) -> bool {
        self.advice.died()
    }

    /// What speeds up the next curve of a variant.
    pub fn cache(&mut self, variant: VariantId) -> Option<&mut LineCache> {
        self.kept.get_mut(&variant).map(|kept| &mut kept.cache)
    }

    /// The answer for a variant as of the last update.
    #[must_use]
    pub fn get(&self, variant: VariantId) -> Option<&Arc<Response>> {
        self.kept.get(&variant)?.response.shown().map(|shown| shown.answer)
    }

    /// Why nothing comes through in a variant as everything stands; empty where something
    /// does, or where it can't be told.
    #[must_use]
    pub fn silence(&self, variant: VariantId) -> &str {
        let shown = self.kept.get(&variant).and_then(|kept| kept.silence.shown());
        shown.filter(|shown| !shown.old).map_or("", |shown| shown.answer.as_str())
    }

    /// Whether that is of the rig before its last change.
    #[must_use]
    pub fn is_old(&self, variant: VariantId) -> bool {
        self.kept.get(&variant).and_then(|kept| kept.response.shown()).is_some_and(|shown| shown.old)
    }

    /// How far the answers of a variant are, from 0 to 1, while there are some to come.
    #[must_use]
    pub fn progress(&self, variant: VariantId) -> Option<f64> {
        self.kept.get(&variant).and_then(Kept::progress).or_else(|| self.findings.progress())
    }

    /// How far a variant's curve is, from 0 to 1, while it is being worked out.
    #[must_use]
    pub fn progress_of_curve(&self, variant: VariantId) -> Option<f64> {
        self.kept.get(&variant)?.response.progress()
    }

    /// Calls off what is being worked out for a variant.
    pub fn call_off(&mut self, variant: VariantId) {
        if let Some(kept) = self.kept.get_mut(&variant) {
            kept.response.call_off();
            kept.states.call_off();
            kept.worst_jump.call_off();
        }
        self.findings.call_off();
    }

    /// Whether that of a variant was called off.
    #[must_use]
    pub fn is_called_off(&self, variant: VariantId) -> bool {
        self.halts(variant).any(|halt| halt == Halt::CalledOff)
    }

    /// Works out after all what was called off.
    pub fn want_again(&mut self, variant: VariantId) {
        if let Some(kept) = self.kept.get_mut(&variant) {
            kept.response.want_again();
            kept.states.want_again();
            kept.worst_jump.want_again();
        }
        self.findings.want_again();
    }

    fn halts(&self, variant: VariantId) -> impl Iterator<Item = Halt> {
        let kept = self.kept.get(&variant).into_iter();
        kept.flat_map(|kept| [kept.response.halt(), kept.states.halt()]).chain([self.findings.halt()]).flatten()
    }

    /// All footswitch states of a variant. A switch leaves them as they are.
    #[must_use]
    pub fn states(&self, variant: VariantId) -> Option<Shown<'_, AllStates>> {
        self.kept.get(&variant)?.states.shown()
    }

    /// What those states answer.
    #[must_use]
    pub fn states_question(&self, variant: VariantId) -> Option<&Question> {
        self.kept.get(&variant)?.states.question()
    }

    /// The worst jump of a variant, as of when rigs were last compared.
    #[must_use]
    pub fn worst_jump(&self, variant: VariantId) -> Option<Shown<'_, Option<WorstJump>>> {
        self.kept.get(&variant)?.worst_jump.shown()
    }

    /// The findings of the variant in hand.
    #[must_use]
    pub fn findings(&self) -> Option<Shown<'_, Vec<Diagnosis>>> {
        self.findings.shown()
    }

    /// How many answers were computed in all: moving a symbol computes none.
    #[must_use]
    pub fn computed(&self) -> u64 {
        let kept: u64 = self.kept.values().map(Kept::computed).sum();
        kept + self.computed_for_gone + self.findings.computed() + self.advice.computed()
    }
}

fn target(kept: &Kept, wants: &WantedAnswers<'_>) -> Option<Target> {
    match kept.request.test_point {
        Some(point) => Some(Target::Point(point)),
        None => (wants.endpoint)(kept.response.shown()?.answer).map(Target::Endpoint),
    }
}

#[cfg(test)]
#[path = "answers_tests.rs"]
mod tests;
