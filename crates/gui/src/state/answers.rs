//! What the rigs amount to, computed when something changed and not each frame.

use std::collections::BTreeMap;
use std::sync::Arc;

use rigwright_core::advice::{self, Advice};
use rigwright_core::cascade::Bank;
use rigwright_core::compare::{JumpQuestion, WorstJump, worst_jump};
use rigwright_core::findings::{self, Finding};
use rigwright_core::network::Sweep;
use rigwright_core::power::volts_in_use;
use rigwright_core::response::{Request, Response, respond};
use rigwright_core::rig::{JackRef, Project, State, VariantId};
use rigwright_core::states::{self, NoStates, Question, States, Target};
use rigwright_core::watch::{Unwatched, Watch};

use super::asked::{advice_from, findings_from, narrowed, same};
use super::later::{How, Later, Shown};
use crate::jobs::{Host, Lane};

/// What a variant's footswitch states amount to, or why there is no telling.
pub type AllStates = Result<States, NoStates>;

/// The last answers for one variant, the question they answer, and what speeds up the next one.
#[derive(Debug)]
struct Kept {
    request: Request,
    response: Arc<Response>,
    bank: Bank,
    states: Later<Question, AllStates>,
    worst_jump: Later<JumpQuestion, Option<WorstJump>>,
}

/// The last answer for each variant.
#[derive(Debug, Default)]
pub struct Answers {
    kept: BTreeMap<VariantId, Kept>,
    findings: Later<findings::Question, Vec<Finding>>,
    advice: Later<advice::Question, Advice>,
    computed: u64,
}

/// What is to be thought about besides the curves.
pub struct Thoughts<'a> {
    /// The project as it stands.
    pub project: &'a Project,
    /// The variant in hand.
    pub showing: VariantId,
    /// Where a variant's level is wanted if there is no test point.
    pub endpoint: &'a dyn Fn(&Response) -> Option<JackRef>,
    /// Whether rigs are compared, so that each one's worst jump is wanted.
    pub compares: bool,
    /// An id that nothing has.
    pub first_free: rigwright_core::rig::Id,
    /// Who has the threads.
    pub host: &'a dyn Host,
}

/// Up to so many steps all states are told at once: they take about two
/// milliseconds. Past it they are worked out beside the window.
const AT_ONCE: u64 = 3_000_000;

impl Kept {
    fn explore(&mut self, question: &Question, host: &dyn Host) {
        if self.states.answers(question) || states::work(question) <= AT_ONCE {
            return self.states.answer(question, || states::explore(question, &mut self.bank));
        }
        let how = How { host, lane: Lane::Answers, patient: true };
        let asked = question.clone();
        self.states.ask(question, how, move |watch| {
            let found = states::explore_watched(&asked, &mut Bank::new(Sweep::audio()), watch);
            (!matches!(found, Err(NoStates::Stopped))).then_some(found)
        });
    }

    /// Sees to it that the worst jump is known: from all states, where they tell it.
    fn jump(&mut self, question: &JumpQuestion, host: &dyn Host) {
        if question.all_states_tell() {
            return match self.states.shown().filter(|shown| !shown.old) {
                Some(states) => {
                    let (states, bank) = (Arc::clone(states.answer), &mut self.bank);
                    let tell = || WorstJump::of(question, states.as_ref().as_ref().ok()?, bank);
                    self.worst_jump.answer(question, tell);
                }
                None => self.worst_jump.wait(question),
            };
        }
        if self.worst_jump.answers(question) || states::work(&question.states) <= AT_ONCE {
            let bank = &mut self.bank;
            // Nobody is there to stop it.
            return self.worst_jump.answer(question, || worst_jump(question, bank, &Unwatched).ok().flatten());
        }
        let how = How { host, lane: Lane::Answers, patient: true };
        let asked = question.clone();
        let work = move |watch: &dyn Watch| worst_jump(&asked, &mut Bank::new(Sweep::audio()), watch).ok();
        self.worst_jump.ask(question, how, work);
    }
}

impl Answers {
    /// Computes what a change made old, and nothing else. True if any answer is new or gone.
    pub fn update(&mut self, project: &Project) -> bool {
        let before = (self.computed, self.kept.len());
        self.kept.retain(|id, _| project.variant(*id).is_some());
        let mut changed = self.kept.len() != before.1;
        for variant in &project.variants {
            let request = narrowed(Request::of(project, variant));
            match self.kept.get_mut(&variant.id) {
                // It is kept as it stands, so that the next look finds the very same rig.
                Some(kept) if same(&kept.request, &request) => kept.request = request,
                Some(kept) => {
                    kept.response = Arc::new(respond(&request, &mut kept.bank));
                    kept.request = request;
                    self.computed += 1;
                }
                None => {
                    let mut bank = Bank::new(Sweep::audio());
                    let response = Arc::new(respond(&request, &mut bank));
                    let (states, worst_jump) = (Later::default(), Later::default());
                    self.kept.insert(variant.id, Kept { request, response, bank, states, worst_jump });
                    self.computed += 1;
                }
            }
        }
        changed |= self.computed != before.0;
        changed
    }

    /// Sees to it that there are all states of every variant, and the findings
    /// of the one in hand: now, or in a while where they take long.
    pub fn think(&mut self, thoughts: &Thoughts<'_>) {
        for variant in &thoughts.project.variants {
            let Some(kept) = self.kept.get_mut(&variant.id) else { continue };
            let Some(target) = target(kept, thoughts) else {
                kept.states.forget();
                kept.worst_jump.forget();
                continue;
            };
            let controls = State { on: Default::default(), ..kept.request.state.clone() };
            let question = Question { rig: Arc::clone(&kept.request.rig), controls, target };
            kept.explore(&question, thoughts.host);
            let question = JumpQuestion { states: question, limits: thoughts.project.limits };
            match thoughts.compares {
                true => kept.jump(&question, thoughts.host),
                // Nobody looks at it; when somebody does, it is known to be old.
                false => kept.worst_jump.wait(&question),
            }
        }
        self.find(thoughts);
        self.advice.poll();
        let wishes = self.advice.question().map(|question| question.wishes);
        if let Some(question) = wishes.and_then(|wishes| self.advice_question(thoughts, wishes)) {
            self.advice.take_over(&question, |old, found| advice_from(old, found, &question));
        }
    }

    fn find(&mut self, thoughts: &Thoughts<'_>) {
        let question = thoughts.project.variant(thoughts.showing).and_then(|variant| {
            let kept = self.kept.get(&variant.id)?;
            Some(findings::Question {
                variant: Arc::clone(variant),
                controls: State { on: Default::default(), ..kept.request.state.clone() },
                target: target(kept, thoughts)?,
                limits: thoughts.project.limits,
                first_free: thoughts.first_free,
                volts: volts_in_use(&variant.rig),
            })
        });
        // Another variant's findings don't stand in for this one's.
        if self.findings.question().is_some_and(|kept| kept.variant.id != thoughts.showing) {
            self.findings.forget();
        }
        let states = self.states(thoughts.showing).filter(|shown| !shown.old).map(|shown| Arc::clone(shown.answer));
        match (question, states) {
            (Some(question), Some(states)) => {
                let how = How { host: thoughts.host, lane: Lane::Answers, patient: true };
                let asked = question.clone();
                self.findings.take_over(&question, |old, found| findings_from(old, found, &question));
                self.findings.ask(&question, how, move |watch| {
                    let states = states.as_ref().as_ref().ok();
                    findings::findings(&asked, states, &mut Bank::new(Sweep::audio()), watch).ok()
                });
            }
            // They wait for the states.
            (Some(question), None) => self.findings.wait(&question),
            (None, _) => self.findings.forget(),
        }
    }

    /// The question of what would be better than the rig in hand.
    #[must_use]
    pub fn advice_question(&self, thoughts: &Thoughts<'_>, wishes: advice::Wishes) -> Option<advice::Question> {
        let variant = thoughts.project.variant(thoughts.showing)?;
        let kept = self.kept.get(&variant.id)?;
        Some(advice::Question {
            variant: Arc::clone(variant),
            controls: State { on: Default::default(), ..kept.request.state.clone() },
            target: target(kept, thoughts)?,
            wishes,
            limits: thoughts.project.limits,
            first_free: thoughts.first_free,
        })
    }

    /// Starts the search for what would be better.
    pub fn seek(&mut self, question: &advice::Question, host: &dyn Host) {
        let how = How { host, lane: Lane::Searches, patient: false };
        let asked = question.clone();
        self.advice.ask(question, how, move |watch| advice::advise(&asked, &mut Bank::new(Sweep::audio()), watch).ok());
    }

    /// Calls the search off.
    pub fn stop_seeking(&mut self) {
        self.advice.stop();
    }

    /// What the last search found, and whether that is about the rig as it stands.
    #[must_use]
    pub fn advice(&self, question: Option<&advice::Question>) -> Option<Shown<'_, Advice>> {
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
    pub fn is_thinking(&self) -> bool {
        let busy = |kept: &Kept| kept.states.progress().is_some() || kept.worst_jump.progress().is_some();
        let states = self.kept.values().any(busy);
        states || self.findings.progress().is_some() || self.advice.progress().is_some()
    }

    /// The answer for a variant as of the last update.
    #[must_use]
    pub fn get(&self, variant: VariantId) -> Option<&Arc<Response>> {
        self.kept.get(&variant).map(|kept| &kept.response)
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
    pub fn findings(&self) -> Option<Shown<'_, Vec<Finding>>> {
        self.findings.shown()
    }

    /// How many answers were computed in all: moving a symbol computes none.
    #[must_use]
    pub fn computed(&self) -> u64 {
        let states: u64 = self.kept.values().map(|kept| kept.states.computed() + kept.worst_jump.computed()).sum();
        self.computed + states + self.findings.computed() + self.advice.computed()
    }
}

fn target(kept: &Kept, thoughts: &Thoughts<'_>) -> Option<Target> {
    match kept.request.test_point {
        Some(point) => Some(Target::Point(point)),
        None => (thoughts.endpoint)(&kept.response).map(Target::Endpoint),
    }
}

#[cfg(test)]
#[path = "answers_tests.rs"]
mod tests;
