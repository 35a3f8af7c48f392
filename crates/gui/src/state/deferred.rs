//! An answer that may take a while: worked out at once where that is quick, or
//! else on another thread, the last answer standing in for it meanwhile.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use rigwright_core::watch::Watch;

use crate::jobs::{Host, Lane};

/// A question that can be told from another, so that it is worked out once.
pub trait SameQuestion: Clone {
    /// Whether the other asks for the same.
    fn same(&self, other: &Self) -> bool;
}

/// An answer, and whether it is to the question as it stands.
#[derive(Debug)]
pub struct Shown<'a, A> {
    /// The answer.
    pub answer: &'a Arc<A>,
    /// It is to the question before; the one to this is being worked out.
    pub old: bool,
}

/// A question's last answer, and the work on the next.
#[derive(Debug)]
pub struct Deferred<Q, A> {
    kept: Option<(Q, Arc<A>)>,
    running: Option<Running<Q, A>>,
    /// The question that there will be no answer to, and why. It isn't asked
    /// again as long as it is the question.
    halted: Option<(Q, Halt)>,
    /// The question as it stands.
    now: Option<Q>,
    computed: u64,
}

impl<Q, A> Default for Deferred<Q, A> {
    fn default() -> Self {
        Self { kept: None, running: None, halted: None, now: None, computed: 0 }
    }
}

/// Why there will be no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Halt {
    /// The work came to a bad end.
    Died,
    /// A person called it off.
    CalledOff,
}

/// How work is to be done.
#[derive(Clone, Copy)]
pub struct Schedule<'a> {
    /// Who has the threads.
    pub host: &'a dyn Host,
    /// On which of them.
    pub lane: Lane,
    /// Running work on an old question is let finish before the next begins. A question that changes with
    /// every frame of a drag would otherwise never be answered.
    pub finish_running: bool,
}

impl<Q: SameQuestion, A: Send + 'static> Deferred<Q, A> {
    /// Sees to it that there is an answer now.
    pub fn answer(&mut self, question: &Q, work: impl FnOnce() -> A) {
        self.running = None;
        self.set_now(question);
        if !self.is_answered() {
            self.computed += 1;
            self.kept = Some((question.clone(), Arc::new(work())));
        }
    }

    /// Of questions that ask for the same the last is kept: the next is likely to
    /// be made of the very same things, and then is quickly told to be the same.
    fn set_now(&mut self, question: &Q) {
        self.now = Some(question.clone());
        self.halted.take_if(|(halted, _)| !halted.same(question));
        if let Some((kept, _)) = self.kept.as_mut().filter(|(kept, _)| kept.same(question)) {
            kept.clone_from(question);
        }
    }

    /// Sees to it that there is an answer, now or later. `work` gives none
    /// where it was told to stop.
    pub fn ask<W>(&mut self, question: &Q, schedule: Schedule<'_>, work: W)
    where
        W: FnOnce(&dyn Watch) -> Option<A> + Send + 'static,
    {
        self.poll();
        self.set_now(question);
        if self.is_answered() {
            self.running = None;
            return;
        }
        if self.halted.is_some() {
            return;
        }
        match &self.running {
            Some(running) if schedule.finish_running || running.question.same(question) => return,
            _ => self.running = None,
        }
        self.computed += 1;
        let slot = Arc::new(Slot::default());
        self.running = Some(Running { question: question.clone(), slot: Arc::clone(&slot) });
        // Told also if the work comes to a bad end or is never begun, so that nobody waits for ever.
        let ended = Ended(slot);
        let job = move || {
            let slot = &*ended.0;
            let answer = work(slot);
            slot.lived.store(true, Ordering::Relaxed);
            *slot.answer.lock().unwrap_or_else(PoisonError::into_inner) = answer;
        };
        schedule.host.work(schedule.lane, Box::new(job));
        self.poll();
    }

    /// Takes up that this is the question now, though the work on it can't begin yet.
    pub fn wait(&mut self, question: &Q) {
        self.poll();
        self.set_now(question);
    }

    /// Takes what was worked out meanwhile.
    pub fn poll(&mut self) {
        let Some(running) = self.running.take_if(|running| running.slot.ended.load(Ordering::Acquire)) else { return };
        let answer = running.slot.answer.lock().unwrap_or_else(PoisonError::into_inner).take();
        if !running.slot.lived.load(Ordering::Relaxed) {
            self.halted = Some((running.question.clone(), Halt::Died));
            return;
        }
        if let Some(answer) = answer {
            self.kept = Some((running.question.clone(), Arc::new(answer)));
        }
    }

    /// Lets go of question and answer, and stops the work.
    pub fn forget(&mut self) {
        *self = Self { computed: self.computed, ..Self::default() };
    }

    /// Stops the work; the last answer stays.
    pub fn stop(&mut self) {
        self.running = None;
    }

    /// The question that the answer is to.
    #[must_use]
    pub fn question(&self) -> Option<&Q> {
        self.kept.as_ref().map(|(question, _)| question)
    }

    /// Whether the answer that there is answers this.
    #[must_use]
    pub fn answers(&self, question: &Q) -> bool {
        self.kept.as_ref().is_some_and(|(kept, _)| kept.same(question))
    }

    /// Whether this is being worked out, or there will be no answer to it.
    #[must_use]
    pub fn knows(&self, question: &Q) -> bool {
        let running = self.running.as_ref().is_some_and(|running| running.question.same(question));
        running || self.halted.as_ref().is_some_and(|(halted, _)| halted.same(question))
    }

    fn is_answered(&self) -> bool {
        matches!((&self.kept, &self.now), (Some((kept, _)), Some(now)) if kept.same(now))
    }

    /// The answer that there is.
    #[must_use]
    pub fn shown(&self) -> Option<Shown<'_, A>> {
        let (_, answer) = self.kept.as_ref()?;
        Some(Shown { answer, old: !self.is_answered() })
    }

    /// How much of the work is done, from 0 to 1, while there is some.
    #[must_use]
    pub fn progress(&self) -> Option<f64> {
        let running = self.running.as_ref()?;
        Some(f64::from_bits(running.slot.done.load(Ordering::Relaxed)))
    }

    /// Whether the work on the question as it stands died: there will be no answer to it.
    #[must_use]
    pub fn died(&self) -> bool {
        self.halt() == Some(Halt::Died)
    }

    /// Why there will be no answer to the question as it stands, if so.
    #[must_use]
    pub fn halt(&self) -> Option<Halt> {
        let (halted, why) = self.halted.as_ref()?;
        self.now.as_ref().is_some_and(|now| halted.same(now)).then_some(*why)
    }

    /// Calls the work off: it isn't begun again until the question changes, or somebody wants it.
    pub fn call_off(&mut self) {
        if self.running.take().is_some() {
            self.halted = self.now.clone().map(|now| (now, Halt::CalledOff));
        }
    }

    /// Lets work that was called off begin again.
    pub fn want_again(&mut self) {
        self.halted.take_if(|(_, why)| *why == Halt::CalledOff);
    }

    /// How often something was worked out.
    #[must_use]
    pub fn computed(&self) -> u64 {
        self.computed
    }
}

/// Work that goes on. Letting go of it stops it.
#[derive(Debug)]
struct Running<Q, A> {
    question: Q,
    slot: Arc<Slot<A>>,
}

impl<Q, A> Drop for Running<Q, A> {
    fn drop(&mut self) {
        self.slot.stop.store(true, Ordering::Relaxed);
    }
}

/// What the two threads share.
#[derive(Debug)]
struct Slot<A> {
    answer: Mutex<Option<A>>,
    ended: AtomicBool,
    /// Whether the work came to its own end, with or without an answer.
    lived: AtomicBool,
    stop: AtomicBool,
    /// The bits of an `f64`.
    done: AtomicU64,
}

impl<A> Default for Slot<A> {
    fn default() -> Self {
        Self {
            answer: Mutex::new(None),
            ended: AtomicBool::new(false),
            lived: AtomicBool::new(false),
            stop: AtomicBool::new(false),
            done: AtomicU64::new(0.0_f64.to_bits()),
        }
    }
}

impl<A> Watch for Slot<A> {
    fn go_on(&self, done: f64) -> bool {
        self.done.store(done.to_bits(), Ordering::Relaxed);
        !self.stop.load(Ordering::Relaxed)
    }
}

struct Ended<A>(Arc<Slot<A>>);

impl<A> Drop for Ended<A> {
    fn drop(&mut self) {
        self.0.ended.store(true, Ordering::Release);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jobs::TestHost;

    impl SameQuestion for u32 {
        fn same(&self, other: &Self) -> bool {
            self == other
        }
    }

    fn schedule(host: &TestHost, finish_running: bool) -> Schedule<'_> {
        Schedule { host, lane: Lane::Answers, finish_running }
    }

    fn shown(deferred: &Deferred<u32, u32>) -> Option<(u32, bool)> {
        deferred.shown().map(|shown| (**shown.answer, shown.old))
    }

    #[test]
    fn a_question_is_worked_out_once() {
        let host = TestHost::new();
        let mut deferred = Deferred::<u32, u32>::default();
        for _ in 0..3 {
            deferred.ask(&2, schedule(&host, true), |_| Some(20));
            assert_eq!(shown(&deferred), Some((20, false)));
        }
        assert_eq!(deferred.computed(), 1);
    }

    #[test]
    fn the_last_answer_stands_in_and_is_marked() {
        let host = TestHost::new();
        let mut deferred = Deferred::<u32, u32>::default();
        deferred.ask(&2, schedule(&host, true), |_| Some(20));
        host.hold_work(true);
        deferred.ask(&3, schedule(&host, true), |watch| watch.go_on(0.5).then_some(30));
        assert_eq!((shown(&deferred), deferred.progress()), (Some((20, true)), Some(0.0)));
        // A third question waits for the second, so that there is something new to see.
        deferred.ask(&4, schedule(&host, true), |_| Some(40));
        host.hold_work(false);
        host.hold_work(true);
        deferred.ask(&4, schedule(&host, true), |_| Some(40));
        assert_eq!(shown(&deferred), Some((30, true)));
        host.hold_work(false);
        deferred.ask(&4, schedule(&host, true), |_| Some(40));
        assert_eq!((shown(&deferred), deferred.progress()), (Some((40, false)), None));
    }

    #[test]
    fn what_is_no_longer_wanted_is_told_to_stop() {
        let host = TestHost::new();
        let mut deferred = Deferred::<u32, u32>::default();
        host.hold_work(true);
        let (told, heard) = std::sync::mpsc::channel();
        let listen = move |watch: &dyn Watch| {
            told.send(watch.go_on(0.1)).unwrap();
            None
        };
        deferred.ask(&1, schedule(&host, false), listen);
        deferred.ask(&2, schedule(&host, false), |_| Some(20));
        host.hold_work(false);
        assert!(!heard.recv().unwrap());
        deferred.ask(&2, schedule(&host, false), |_| Some(20));
        assert_eq!(shown(&deferred), Some((20, false)));
    }

    #[test]
    fn work_that_dies_is_not_begun_again_until_the_question_changes() {
        let host = TestHost::new();
        let mut deferred = Deferred::<u32, u32>::default();
        deferred.ask(&1, schedule(&host, true), |_| Some(10));
        host.break_work(true);
        for _ in 0..3 {
            deferred.ask(&2, schedule(&host, true), |_| Some(20));
            assert!(deferred.died() && deferred.progress().is_none());
            // The answer to the question before stands in, marked as old.
            assert_eq!((shown(&deferred), deferred.computed()), (Some((10, true)), 2));
        }
        host.break_work(false);
        deferred.ask(&3, schedule(&host, true), |_| Some(30));
        assert_eq!((shown(&deferred), deferred.died()), (Some((30, false)), false));
        deferred.ask(&2, schedule(&host, true), |_| Some(20));
        assert_eq!((shown(&deferred), deferred.died()), (Some((20, false)), false));
    }

    #[test]
    fn work_that_is_told_to_stop_has_not_died() {
        let host = TestHost::new();
        let mut deferred = Deferred::<u32, u32>::default();
        deferred.ask(&1, schedule(&host, true), |_| None);
        assert!(!deferred.died() && deferred.progress().is_none());
    }

    #[test]
    fn work_that_is_called_off_begins_again_when_it_is_wanted() {
        let host = TestHost::new();
        let mut deferred = Deferred::<u32, u32>::default();
        host.hold_work(true);
        deferred.ask(&1, schedule(&host, true), |_| Some(10));
        deferred.call_off();
        host.hold_work(false);
        deferred.ask(&1, schedule(&host, true), |_| Some(10));
        assert_eq!((shown(&deferred), deferred.halt(), deferred.computed()), (None, Some(Halt::CalledOff), 1));
        deferred.want_again();
        deferred.ask(&1, schedule(&host, true), |_| Some(10));
        assert_eq!((shown(&deferred), deferred.halt()), (Some((10, false)), None));
    }

    #[test]
    fn going_back_to_the_old_question_needs_no_work() {
        let host = TestHost::new();
        let mut deferred = Deferred::<u32, u32>::default();
        deferred.ask(&1, schedule(&host, true), |_| Some(10));
        host.hold_work(true);
        deferred.ask(&2, schedule(&host, true), |_| Some(20));
        deferred.ask(&1, schedule(&host, true), |_| Some(11));
        assert_eq!((shown(&deferred), deferred.progress()), (Some((10, false)), None));
    }
}
