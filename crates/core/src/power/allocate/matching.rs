//! How many of some things can each have a place of their own.

/// The greatest number of things that can be placed, `wants` the places each
/// can have, `room` how many each place takes. [textbook: augmenting paths]
pub fn most(wants: &[Vec<usize>], room: &[usize]) -> usize {
    let mut taken: Vec<Vec<usize>> = vec![Vec::new(); room.len()];
    let mut seen = vec![usize::MAX; room.len()];
    let mut count = 0;
    for thing in 0..wants.len() {
        if place(thing, thing, wants, room, &mut taken, &mut seen) {
            count += 1;
        }
    }
    count
}

fn place(
    thing: usize,
    round: usize,
    wants: &[Vec<usize>],
    room: &[usize],
    taken: &mut [Vec<usize>],
    seen: &mut [usize],
) -> bool {
    for &at in &wants[thing] {
        if seen[at] == round || room[at] == 0 {
            continue;
        }
        seen[at] = round;
        if taken[at].len() < room[at] {
            taken[at].push(thing);
            return true;
        }
        for index in 0..taken[at].len() {
            let other = taken[at][index];
            if place(other, round, wants, room, taken, seen) {
                taken[at][index] = thing;
                return true;
            }
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::most;

    #[test]
    fn things_make_room_for_each_other() {
        // The first can move over; three into two places don't go, unless one takes two.
        assert_eq!(most(&[vec![0, 1], vec![0]], &[1, 1]), 2);
        assert_eq!(most(&[vec![0, 1], vec![0], vec![1]], &[1, 1]), 2);
        assert_eq!(most(&[vec![0, 1], vec![0], vec![1]], &[2, 1]), 3);
        assert_eq!(most(&[vec![], vec![0]], &[0]), 0);
    }
}
