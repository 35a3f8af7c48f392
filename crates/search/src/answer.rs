//! What every search here answers.

/// What a search came to. It stopped by counted nodes and steps, so that the
/// same question has the same answer on every machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer<T, V> {
    /// The best solution that was found, if any was.
    pub best: Option<T>,
    /// What that one costs.
    pub value: Option<V>,
    /// No solution costs less, whatever wasn't looked at. Where there is none at all, or none below
    /// what was to be beaten, it is that.
    pub bound: V,
    /// Whether the best is as good as any, or, without one, whether there is none.
    pub proved: bool,
    /// What the search didn't look at.
    pub left_out: LeftOut,
    /// Nodes of the search tree that were looked at.
    pub nodes: u64,
}

/// What a search didn't look at, by the reason for that.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct LeftOut {
    /// Branches, since the nodes that it may take were used up.
    pub past_nodes: bool,
    /// Branches, since the steps of its [allowance](crate::Allowance) were used up.
    pub past_steps: bool,
    /// Candidates of which it couldn't be said whether they do.
    pub undecided: bool,
    /// Ways that the instance leaves out already.
    pub of_instance: bool,
}

impl LeftOut {
    /// All was looked at.
    pub const NOTHING: Self = Self { past_nodes: false, past_steps: false, undecided: false, of_instance: false };

    /// Whether all was looked at.
    #[must_use]
    pub fn is_nothing(self) -> bool {
        self == Self::NOTHING
    }

    /// What either of two searches left out.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        Self {
            past_nodes: self.past_nodes | other.past_nodes,
            past_steps: self.past_steps | other.past_steps,
            undecided: self.undecided | other.undecided,
            of_instance: self.of_instance | other.of_instance,
        }
    }
}
