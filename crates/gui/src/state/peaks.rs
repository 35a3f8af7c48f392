//! What the switches that are listed do to the peak, kept for as long as the states are the same.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::compare::{Heard, heard, peaks_within};
use rigwright_core::states::{Jump, Question};

use super::answers::AllStates;

/// So many devices are gone over in a frame for what switches do to the peak.
const IN_A_FRAME: usize = 1_000;

/// The last answer, and what it was made from.
#[derive(Debug, Default)]
pub struct Peaks {
    of: Option<Arc<AllStates>>,
    /// Of so many switches the peak was looked at.
    looked: usize,
    heard: Vec<Heard>,
}

impl Peaks {
    /// Sees to it that so many switches are looked at, the furthest first; `question`
    /// is what `states` answer, and none where they are of before the last change.
    pub fn update(&mut self, states: &Arc<AllStates>, question: Option<&Question>, most: usize, cache: &mut LineCache) {
        let most = question.map_or(most, |question| most.min(peaks_within(IN_A_FRAME, &question.rig)));
        let same = self.of.as_ref().is_some_and(|of| Arc::ptr_eq(of, states));
        if same && self.looked >= most {
            return;
        }
        *self = Self { of: Some(Arc::clone(states)), looked: 0, heard: Vec::new() };
        if let (Some(question), Ok(found)) = (question, states.as_ref()) {
            self.heard = heard(question, found, most, cache);
            self.looked = most;
        }
    }

    /// What a switch does to it, where that was looked at.
    #[must_use]
    pub fn of(&self, jump: &Jump) -> Option<&Heard> {
        self.heard.iter().find(|heard| heard.furthest.is_of(jump))
    }
}
