//! What can't all be had together.

use crate::allowance::Allowance;
use crate::watch::{Part, Stopped, Watch};

/// Members of which not all can be had together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// Which, in order.
    pub members: Vec<usize>,
    /// Whether without any one of them the rest can be had.
    pub proved: bool,
}

/// Whether those that are chosen can be had together; none where that isn't known.
pub type Feasible<'a> = dyn FnMut(&[bool], &Allowance<'_>, &dyn Watch) -> Result<Option<bool>, Stopped> + 'a;

/// Of so many that can't be had together, a conflict such that leaving out any
/// one of its members makes the rest feasible.
///
/// Deletion filter [textbook]: one without which the others still can't be had
/// isn't needed for the conflict; what is left when all were tried can't spare
/// one. What isn't known stays. Each trial has its part of what is left of the
/// allowance.
///
/// # Errors
/// [`Stopped`] where the watch says so.
pub fn deletion_filter(
    count: usize,
    feasible: &mut Feasible<'_>,
    allowance: &Allowance<'_>,
    watch: &dyn Watch,
) -> Result<Conflict, Stopped> {
    let (mut kept, mut proved) = (vec![true; count], true);
    for at in 0..count {
        let share = allowance.part(1.0 / (count - at) as f64);
        kept[at] = false;
        match feasible(&kept, &share, &Part::of(watch, at, count))? {
            Some(false) => {}
            known => {
                kept[at] = true;
                proved &= known.is_some();
            }
        }
    }
    Ok(Conflict { members: (0..count).filter(|at| kept[*at]).collect(), proved })
}

#[cfg(test)]
mod tests {
    use rigwright_tests::Dice;

    use super::*;
    use crate::watch::Unwatched;

    /// Weights of which no more than so much goes together: the conflict is
    /// infeasible, and each of its members is needed for that.
    #[test]
    fn every_member_is_needed() {
        let mut dice = Dice::new(1);
        for _ in 0..300 {
            let weights: Vec<usize> = (0..8).map(|_| 1 + dice.below(9)).collect();
            let most = dice.below(weights.iter().sum());
            let sum = |chosen: &dyn Fn(usize) -> bool| -> usize {
                (0..weights.len()).filter(|at| chosen(*at)).map(|at| weights[at]).sum()
            };
            let mut feasible =
                |chosen: &[bool], _: &Allowance<'_>, _: &dyn Watch| Ok(Some(sum(&|at| chosen[at]) <= most));
            let found = deletion_filter(8, &mut feasible, &Allowance::of(0), &Unwatched).unwrap();
            let members = &found.members;
            assert!(found.proved && sum(&|at| members.contains(&at)) > most);
            for one in members {
                assert!(sum(&|at| at != *one && members.contains(&at)) <= most);
            }
        }
    }

    #[test]
    fn what_is_not_known_stays_and_is_not_proved() {
        let mut feasible = |chosen: &[bool], _: &Allowance<'_>, _: &dyn Watch| match chosen {
            [false, ..] => Ok(None),
            [_, a, b] => Ok(Some(!a && !b)),
            _ => Ok(Some(true)),
        };
        let found = deletion_filter(3, &mut feasible, &Allowance::of(0), &Unwatched).unwrap();
        assert_eq!((found.members, found.proved), (vec![0, 2], false));
    }

    #[test]
    fn it_stops_when_told() {
        let mut feasible = |_: &[bool], _: &Allowance<'_>, _: &dyn Watch| Err(Stopped);
        assert_eq!(deletion_filter(3, &mut feasible, &Allowance::of(0), &Unwatched), Err(Stopped));
    }
}
