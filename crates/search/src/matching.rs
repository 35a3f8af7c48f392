//! How many of some things can each have a place of their own.

/// A set of places, as bits.
pub type Places = u128;

/// How many there can be.
pub const MOST_PLACES: usize = 128;

/// The places in a set, the lowest first.
pub fn each(mut places: Places) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let at = places.trailing_zeros() as usize;
        (places != 0).then(|| {
            places &= places - 1;
            at
        })
    })
}

/// The greatest number of things that can be placed, `wants` the places each
/// can have, `room` how many each place takes. [textbook: augmenting paths]
pub fn most(wants: &[Places], room: &[u8]) -> usize {
    placed(wants, room).into_iter().filter(|placed| *placed).count()
}

/// Which things are placed if as many are as can be, the earlier ones rather
/// than the later: the cheapest such set, if they stand in the order of their
/// cost. [textbook: the greedy choice in a transversal matroid]
pub fn placed(wants: &[Places], room: &[u8]) -> Vec<bool> {
    let mut taken: Vec<Vec<usize>> = vec![Vec::new(); room.len()];
    let try_each = |thing| {
        let mut seen = 0;
        place(thing, wants, room, &mut taken, &mut seen)
    };
    (0..wants.len()).map(try_each).collect()
}

fn place(thing: usize, wants: &[Places], room: &[u8], taken: &mut [Vec<usize>], seen: &mut Places) -> bool {
    // A place with room is better than one that has to be cleared.
    for at in each(wants[thing] & !*seen) {
        if taken[at].len() < usize::from(room[at]) {
            taken[at].push(thing);
            return true;
        }
    }
    for at in each(wants[thing]) {
        if *seen & (1 << at) != 0 {
            continue;
        }
        *seen |= 1 << at;
        for index in 0..taken[at].len() {
            let other = taken[at][index];
            if place(other, wants, room, taken, seen) {
                taken[at][index] = thing;
                return true;
            }
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use rigwright_tests::Dice;

    use super::{Places, each, most, placed};

    #[test]
    fn things_make_room_for_each_other() {
        // The first can move over; three into two places don't go, unless one takes two.
        assert_eq!(most(&[0b11, 0b01], &[1, 1]), 2);
        assert_eq!(most(&[0b11, 0b01, 0b10], &[1, 1]), 2);
        assert_eq!(most(&[0b11, 0b01, 0b10], &[2, 1]), 3);
        assert_eq!(most(&[0b00, 0b01], &[0]), 0);
        assert_eq!(placed(&[0b01, 0b01, 0b11, 0b11], &[1, 1]), [true, false, true, false]);
        assert_eq!(each(0b1001).collect::<Vec<_>>(), [0, 3]);
    }

    /// The cheapest of the largest sets, every set tried.
    #[test]
    fn as_many_as_can_be_and_the_earlier_ones() {
        let mut dice = Dice::new(1);
        for _ in 0..2000 {
            let things: Vec<Places> = (0..1 + dice.below(7)).map(|_| dice.below(16) as Places).collect();
            let room: Vec<u8> = (0..4).map(|_| dice.below(3) as u8).collect();
            let set = |bits: usize| -> Vec<bool> { (0..things.len()).map(|at| bits >> at & 1 == 1).collect() };
            let sets = (0..1_usize << things.len()).map(set).filter(|chosen| fits(&things, chosen, &room));
            // Of equally many the one whose first difference from any other is one that it has.
            let best = sets.max_by_key(|chosen| (chosen.iter().filter(|one| **one).count(), chosen.clone())).unwrap();
            assert_eq!(placed(&things, &room), best, "{things:?} {room:?}");
        }
    }

    /// Whether those that are chosen can all be placed, by trying each place for each.
    fn fits(things: &[Places], chosen: &[bool], room: &[u8]) -> bool {
        let Some(first) = chosen.iter().position(|one| *one) else { return true };
        let mut rest = chosen.to_vec();
        rest[first] = false;
        each(things[first]).any(|at| {
            let mut less = room.to_vec();
            let free = less[at] > 0;
            less[at] = less[at].saturating_sub(1);
            free && fits(things, &rest, &less)
        })
    }
}
