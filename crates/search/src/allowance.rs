//! How much work an answer may be. Steps are counted and no clock is read, so
//! that two machines answer the same.

use std::cell::Cell;

/// Steps that an answer has left, for all the searches that it takes. One is
/// about a look at one way of placing one item.
#[derive(Debug)]
pub struct Allowance<'a> {
    left: Cell<u64>,
    /// What this is a part of.
    whole: Option<&'a Allowance<'a>>,
}

impl Allowance<'_> {
    /// So many steps.
    #[must_use]
    pub fn of(steps: u64) -> Self {
        Self { left: Cell::new(steps), whole: None }
    }

    /// A part of what is left. What it doesn't take stays in the whole.
    #[must_use]
    pub fn part(&self, part: f64) -> Allowance<'_> {
        Allowance { left: Cell::new((self.left.get() as f64 * part) as u64), whole: Some(self) }
    }

    /// Takes so many steps; false if there aren't so many, and then none are left.
    pub fn take(&self, steps: u64) -> bool {
        let left = self.left.get();
        self.left.set(left.saturating_sub(steps));
        self.whole.is_none_or(|whole| whole.take(steps)) && steps <= left
    }

    /// Whether none are left.
    #[must_use]
    pub fn is_spent(&self) -> bool {
        self.left.get() == 0
    }
}

#[cfg(test)]
mod tests {
    use super::Allowance;

    #[test]
    fn what_a_part_leaves_stays_in_the_whole() {
        let whole = Allowance::of(100);
        let first = whole.part(0.5);
        assert!(first.take(30));
        assert!(!first.take(30), "20 were left");
        assert!(first.is_spent());
        // 100 − 30 − 30: what was asked for in vain is gone as well.
        assert_eq!(whole.left.get(), 40);
        let second = whole.part(0.25);
        assert_eq!(second.left.get(), 10);
        assert!(second.take(10) && second.is_spent());
        assert!(whole.take(30) && !whole.take(1));
    }
}
