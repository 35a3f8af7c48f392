//! What an assignment costs, compared level by level.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Sub, SubAssign};

/// A lexicographic cost packed into one number that compares as its [`Levels`] do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Cost(u128);

/// The levels of a cost, the one that weighs most first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Levels {
    /// Items without a slot, up to 2047.
    pub unplaced: u32,
    /// What the ways in use cost by themselves above all else, up to 2047.
    pub major: u32,
    /// Conflicts within groups and slots, up to 8191.
    pub conflicts: u32,
    /// Modes and budgets that are used beyond what is easy, up to 4095.
    pub tight: u32,
    /// What the ways in use cost by themselves below that, up to 4095.
    pub minor: u32,
    /// Items beyond the first in each slot, and beyond the first in each group, up to 4095.
    pub shared: u32,
    /// What the ways in use take together, up to 2⁵⁷.
    pub amount: u64,
}

impl Cost {
    /// Nothing.
    pub const ZERO: Self = Self(0);
    /// More than any assignment costs.
    pub const WORST: Self = Self(u128::MAX);
    /// One item without a slot.
    pub const UNPLACED: Self = Self(1 << 117);
    /// One of the ways' own first level.
    pub const MAJOR: Self = Self(1 << 106);
    /// One conflict.
    pub const CONFLICT: Self = Self(1 << 93);
    /// One tight place.
    pub const TIGHT: Self = Self(1 << 81);
    /// One of the ways' own second level.
    pub const MINOR: Self = Self(1 << 69);
    /// One item that shares.
    pub const SHARED: Self = Self(1 << 57);

    /// So much of the last level.
    #[must_use]
    pub const fn amount(amount: u64) -> Self {
        Self(amount as u128)
    }

    /// The cost of some levels.
    #[must_use]
    pub fn of(levels: &Levels) -> Self {
        let Levels { unplaced, major, conflicts, tight, minor, shared, amount } = *levels;
        let counts = [
            (Self::UNPLACED, unplaced),
            (Self::MAJOR, major),
            (Self::CONFLICT, conflicts),
            (Self::TIGHT, tight),
            (Self::MINOR, minor),
            (Self::SHARED, shared),
        ];
        counts.into_iter().fold(Self::amount(amount), |sum, (one, count)| sum + one * count as usize)
    }

    /// Its levels.
    #[must_use]
    pub fn levels(self) -> Levels {
        let part = |one: Self, next: Self| ((self.0 % next.0) / one.0) as u32;
        Levels {
            unplaced: self.unplaced() as u32,
            major: part(Self::MAJOR, Self::UNPLACED),
            conflicts: part(Self::CONFLICT, Self::MAJOR),
            tight: part(Self::TIGHT, Self::CONFLICT),
            minor: part(Self::MINOR, Self::TIGHT),
            shared: part(Self::SHARED, Self::MINOR),
            amount: (self.0 % Self::SHARED.0) as u64,
        }
    }

    /// Items without a slot.
    #[must_use]
    pub fn unplaced(self) -> usize {
        (self.0 / Self::UNPLACED.0) as usize
    }

    /// The same without its conflicts and all that weighs less.
    #[must_use]
    pub fn before_conflicts(self) -> Self {
        Self(self.0 - self.0 % Self::MAJOR.0)
    }

    /// The same without its tight places and all that weighs less.
    #[must_use]
    pub fn before_tight(self) -> Self {
        Self(self.0 - self.0 % Self::CONFLICT.0)
    }
}

impl Add for Cost {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Cost {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Cost {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl SubAssign for Cost {
    fn sub_assign(&mut self, other: Self) {
        self.0 -= other.0;
    }
}

impl Mul<usize> for Cost {
    type Output = Self;

    fn mul(self, count: usize) -> Self {
        Self(self.0 * count as u128)
    }
}

impl Sum for Cost {
    fn sum<I: Iterator<Item = Self>>(costs: I) -> Self {
        costs.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use rigwright_tests::Dice;

    use super::*;

    fn levels(dice: &mut Dice) -> Levels {
        let mut below = |end: usize| dice.below(end) as u32;
        Levels {
            unplaced: below(3),
            major: below(3) * 1000,
            conflicts: below(3) * 4000,
            tight: below(3) * 2000,
            minor: below(3) * 2000,
            shared: below(3) * 2000,
            amount: u64::from(below(3)) << 55,
        }
    }

    #[test]
    fn costs_compare_as_their_levels_do() {
        let mut dice = Dice::new(1);
        for _ in 0..5000 {
            let (a, b) = (levels(&mut dice), levels(&mut dice));
            assert_eq!(Cost::of(&a).levels(), a);
            assert_eq!(Cost::of(&a).cmp(&Cost::of(&b)), a.cmp(&b), "{a:?} {b:?}");
        }
    }

    #[test]
    fn what_stands_before_a_level_weighs_more_than_it() {
        let mut dice = Dice::new(2);
        for _ in 0..1000 {
            let all = levels(&mut dice);
            let before = Cost::of(&all).before_conflicts().levels();
            assert_eq!(before, Levels { unplaced: all.unplaced, major: all.major, ..Levels::default() });
            let before = Cost::of(&all).before_tight().levels();
            let Levels { unplaced, major, conflicts, .. } = all;
            assert_eq!(before, Levels { unplaced, major, conflicts, ..Levels::default() });
        }
    }
}
