//! Which states were searched before: the same state is never worth a second look.

use super::{Most, Search};
use crate::power::company::{MOST_GAIN, MOST_STAGES};

/// Words of states that are remembered at most: 80 MB of them, and no state more than so many.
const MOST_WORDS: usize = 20_000_000;
const MOST_STATES: usize = 400_000;

impl Search<'_> {
    /// Whether this state was searched before at no greater cost; else it is remembered.
    pub(super) fn is_known(&mut self) -> bool {
        let key = self.key();
        let cost = self.cost;
        if let Some(before) = self.known.get_mut(&key) {
            if *before <= cost {
                return true;
            }
            *before = cost;
        } else if self.known.len() < MOST_STATES && self.known_words + key.len() <= MOST_WORDS {
            self.known_words += key.len();
            self.known.insert(key, cost);
        }
        false
    }

    /// All that the rest of the search depends on: what is left over counts no
    /// further than all that is still to come could use.
    fn key(&self) -> Box<[u32]> {
        let it = self.it;
        let mut most = Most::default();
        for (kind, left) in self.most.iter().zip(&self.remaining) {
            let left = *left as i64;
            most.running += left * kind.running;
            most.start_up += left * kind.start_up;
            most.watts += left as f64 * kind.watts;
            most.watts_start_up += left as f64 * kind.watts_start_up;
        }
        // Whether those left of a kind may still go without.
        let must = |kind: usize| it.types[kind].heavier.iter().any(|heavy| self.placed[*heavy] > 0);
        let left = |(kind, left): (usize, &usize)| (*left as u32) << 1 | u32::from(*left > 0 && must(kind));
        let mut key: Vec<u32> = self.remaining.iter().enumerate().map(left).collect();
        let domain = |at: usize| self.traits(at);
        let mut sockets: Vec<[u32; 8]> = it
            .sockets
            .iter()
            .zip(&self.sockets)
            .map(|(socket, state)| {
                let class = socket.class as u32;
                if state.closed || state.plugs >= it.most_plugs {
                    let own = if self.members[socket.domain] == 1 { 0 } else { u32::MAX };
                    return [class, 1 << 16, own, 0, 0, 0, 0, 0];
                }
                let [own, rest] = if self.members[socket.domain] == 1 { domain(socket.domain) } else { [u32::MAX; 2] };
                if state.plugs == 0 {
                    return [class, 0, own, rest, 0, 0, 0, 0];
                }
                let level = &socket.settings[usize::from(state.set.saturating_sub(1))];
                let kinds = u32::from(state.analogue) << 1 | u32::from(state.digital);
                let flags = u32::from(state.set) << 4 | u32::from(state.swap) << 2 | kinds;
                let plugs = u32::from(state.plugs) << 8;
                // Enough that it can't even become tight.
                let running = (level.usable - state.running).min(most.running + level.usable - level.easy);
                let start_up = (level.limit - state.start_up).min(most.start_up);
                let [a, b] = halves(running);
                let [c, d] = halves(start_up);
                [class, flags << 17 | plugs | 1, own, rest, a, b, c, d]
            })
            .collect();
        sockets.sort_unstable();
        key.extend(sockets.iter().flatten());
        key.extend((0..it.domains.len()).filter(|at| self.members[*at] != 1).flat_map(domain));
        for (at, budget) in it.budgets.iter().enumerate() {
            // What is plainly enough for all is the same as anything more.
            let left = |limit: f64, used: f64, most: f64| ((limit - used).min(most) * 1e9).round() as i64;
            let (running, start_up) = (most.watts * self.heaviest[at], most.watts_start_up * self.heaviest[at]);
            key.extend(halves(left(budget.running, self.running[at], running + budget.running - budget.easy)));
            key.extend(halves(left(budget.start_up, self.start_up[at], start_up)));
        }
        key.into_boxed_slice()
    }

    /// All about a 0 V that matters to what may still come, and to what that would cost.
    fn traits(&self, at: usize) -> [u32; 2] {
        let domain = &self.domains[at];
        let company = &domain.company;
        // Where noise isn't weighed, it matters who is there, and not how many of them.
        let most = if self.weighs_noise() { 255 } else { 1 };
        let counts = [
            (company.digital, most),
            (company.analogue, most),
            (company.digital_apart, most),
            (company.analogue_apart, most),
        ];
        let first = counts.iter().fold(0, |bits, (count, most)| bits << 8 | u32::from(*count.min(most)));
        let flags = [
            domain.closed,
            domain.positive_ground,
            domain.alternating,
            domain.no_analogue,
            domain.no_digital,
            company.everybody > 0,
        ];
        let flags = flags.iter().fold(0, |bits, bit| bits << 1 | u32::from(*bit));
        // Past what is quiet it is all the same.
        let stages = u32::from(company.stages.min(MOST_STAGES + 1)) << 2 | u32::from(company.louder.min(2));
        [first, (flags << 4 | stages) << 10 | company.gain.min(MOST_GAIN + 1)]
    }
}

fn halves(number: i64) -> [u32; 2] {
    [(number >> 32) as u32, number as u32]
}
