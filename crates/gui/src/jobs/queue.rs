//! The events on their way to the window.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use super::Event;

/// Called when there is something to poll: it asks the window for a frame.
pub type Waker = Arc<dyn Fn() + Send + Sync>;

/// Events in the order in which they came, from any thread.
#[derive(Clone)]
pub struct Queue {
    events: Arc<Mutex<VecDeque<Event>>>,
    waker: Waker,
}

impl Queue {
    pub fn new(waker: Waker) -> Self {
        Self { events: Arc::default(), waker }
    }

    pub fn push(&self, event: Event) {
        locked(&self.events).push_back(event);
        (self.waker)();
    }

    /// Asks for a frame.
    pub fn wake(&self) {
        (self.waker)();
    }

    pub fn drain(&self) -> Vec<Event> {
        locked(&self.events).drain(..).collect()
    }
}

/// The lock, also after a thread died holding it: what these locks guard is
/// whole between any two statements.
pub fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
