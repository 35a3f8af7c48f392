//! Which of the ideas are worth a word, and in which order.

use std::cmp::Ordering;

use super::trial::Weighed;

/// Figures closer than this are the same to a player: 0.1 dB, 0.1 m. [practice, S: small-differences]
pub const SAME: f64 = 0.1;
/// So much less bad is told apart: 0.3 dB or 1 m.
pub const STEP: f64 = 0.1;
/// The most suggestions.
pub const MOST: usize = 12;

/// What a rig has to be better than.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// Its worst jump, in dB.
    pub jump_db: f64,
    /// How dull it is, in metres of lead.
    pub dull: f64,
}

impl Mark {
    /// How bad it is: 3 dB of jump weigh as much as 10 m of lead, as in the
    /// limits from which findings speak. Past 20 m dull is dull.
    pub fn badness(self) -> f64 {
        self.jump_db / 3.0 + self.dull.min(20.0) / 10.0
    }

    /// Whether an idea makes one figure plainly better and the whole no worse.
    pub fn is_bettered_by(self, idea: &Weighed) -> bool {
        let new = idea.mark();
        let one = self.jump_db - new.jump_db >= SAME || self.dull - new.dull >= SAME;
        one && new.badness() < self.badness()
    }
}

impl Weighed {
    /// Its figures.
    pub fn mark(&self) -> Mark {
        Mark { jump_db: self.jump_db, dull: self.dull }
    }

    /// First what needs no caution; then what leaves the rig least bad, in steps
    /// that a player tells apart; then the cheapest, the
    /// narrowest and the simplest.
    pub fn compared(&self, other: &Self) -> Ordering {
        let step = |idea: &Self| (idea.mark().badness() / STEP).round();
        let by = |f: &dyn Fn(&Self) -> f64| f(self).total_cmp(&f(other));
        self.caution
            .is_some()
            .cmp(&other.caution.is_some())
            .then(by(&step))
            .then(by(&|idea| idea.cost))
            .then(by(&|idea| idea.width))
            .then(self.idea.steps.cmp(&other.idea.steps))
            .then(by(&|idea| idea.mark().badness()))
            .then_with(|| self.idea.words.cmp(&other.idea.words))
    }

    /// Whether another idea brings nothing that this one doesn't bring for less.
    fn covers(&self, other: &Self) -> bool {
        self.jump_db <= other.jump_db + SAME
            && self.dull <= other.dull + SAME
            && self.cost <= other.cost
            && self.width <= other.width
            && self.idea.steps <= other.idea.steps
            && self.caution.is_some() <= other.caution.is_some()
    }
}

/// The best of the ideas that better the rig, the best first, never two that do the same.
pub fn best(now: Mark, mut ideas: Vec<Weighed>, most: usize) -> Vec<Weighed> {
    ideas.retain(|idea| now.is_bettered_by(idea));
    ideas.sort_by(Weighed::compared);
    let mut kept: Vec<Weighed> = Vec::new();
    for idea in ideas {
        if !kept.iter().any(|better| better.covers(&idea)) {
            kept.push(idea);
        }
    }
    kept.truncate(most);
    kept
}
