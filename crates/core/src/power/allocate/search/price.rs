//! What a step costs: by itself, and by what is there already.

use std::collections::BTreeSet;

use super::{ADAPTER, CHANGED, Cost, Move, NOISY, SHARING, Search, TIGHT};
use crate::power::allocate::instance::{Draw, LAST_BIT};

/// Tight places that are counted at most.
pub const MOST_TIGHT: u32 = 3000;

impl Search<'_> {
    /// Whether noise is counted.
    pub(super) fn weighs_noise(&self) -> bool {
        self.it.weighs_noise && !self.manner.coarse
    }

    /// What a step costs by itself, whoever is there.
    pub(super) fn cost_of(&self, step: &Move) -> Cost {
        if self.manner.coarse {
            return 0;
        }
        let (draw, swap, plug, changed, leads) = match step {
            Move::Single(_, single) => (single.draw, single.swap, single.plug, single.changed, 0),
            Move::Pair(_, pair) => (pair.draw, pair.swap, pair.plug, pair.changed, 1),
        };
        let adapters = leads + Cost::from(swap || plug.is_some());
        CHANGED * Cost::from(changed) + ADAPTER * adapters + Cost::from(draw.microwatts)
    }

    /// What a step costs in all.
    pub(super) fn whole_cost_of(&self, step: &Move) -> Cost {
        if self.manner.coarse {
            return 0;
        }
        let socket = match step {
            Move::Single(_, single) => single.socket,
            Move::Pair(_, pair) => pair.first,
        };
        self.cost_of(step) + self.noise(step, socket) + TIGHT * self.tight(step) + self.sharing(socket)
    }

    fn sharing(&self, socket: usize) -> Cost {
        let plug = self.sockets[socket].plugs > 0;
        let zero_volt = self.domains[self.it.sockets[socket].domain].is_used();
        SHARING * (Cost::from(plug) + Cost::from(zero_volt))
    }

    /// Noise that wasn't there before.
    fn noise(&self, step: &Move, socket: usize) -> Cost {
        let (Move::Single(kind, _) | Move::Pair(kind, _)) = step;
        let (kind, state) = (&self.it.types[*kind], &self.sockets[socket]);
        if !self.weighs_noise() || kind.module {
            return 0;
        }
        let company = &self.domains[self.it.sockets[socket].domain].company;
        let more = company.with(&kind.guest).noise() - company.noise();
        let other = if kind.guest.digital { state.analogue } else { state.digital };
        let mixed = self.it.minds_mixed && other && !(state.digital && state.analogue);
        NOISY * (Cost::from(more) + Cost::from(mixed))
    }

    /// Places that had headroom before and have none then.
    fn tight(&self, step: &Move) -> Cost {
        let it = self.it;
        let outlet = |socket: usize, setting: u8, draw: &Draw, part: f64| {
            let (before, easy) = (self.sockets[socket].running, it.sockets[socket].settings[usize::from(setting)].easy);
            before <= easy && before + (draw.running as f64 * part).round() as i64 > easy
        };
        let (sides, draw) = match step {
            Move::Single(_, single) => (vec![(single.socket, single.setting, 1.0)], single.draw),
            Move::Pair(_, pair) => {
                let (shares, settings) = (pair.shares, pair.settings);
                (vec![(pair.first, settings.0, shares.0), (pair.second, settings.1, shares.1)], pair.draw)
            }
        };
        let outlets = sides.iter().filter(|(socket, setting, part)| outlet(*socket, *setting, &draw, *part)).count();
        // Both sides may count against one budget.
        let touched: BTreeSet<usize> = sides
            .iter()
            .flat_map(|(socket, ..)| it.sockets[*socket].budgets.iter().map(|(budget, _)| *budget))
            .collect();
        let adds = |budget: usize| -> f64 {
            let of = |(socket, setting, part): &(usize, u8, f64)| {
                let there = &it.sockets[*socket];
                let weights = there.budgets.iter().filter(|(at, _)| *at == budget);
                there.watts(*setting, draw.running, *part) * weights.map(|(_, weight)| weight).sum::<f64>()
            };
            sides.iter().map(of).sum()
        };
        let over = |watts: f64, budget: usize| watts > it.budgets[budget].easy + LAST_BIT;
        let tight = |budget: &usize| {
            let before = self.running[*budget];
            !over(before, *budget) && over(before + adds(*budget), *budget)
        };
        (outlets + touched.iter().filter(|budget| tight(budget)).count()) as Cost
    }
}
