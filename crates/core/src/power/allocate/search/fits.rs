//! What fits: where a unit of a kind can still be plugged in.

use super::{Choices, Cost, Move, NOISY, Search, UNFED};
use crate::power::allocate::instance::{Draw, LAST_BIT, Pair, Single};
use crate::rig::Form;

/// Earlier sockets that can stand for one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Double {
    None,
    One(usize),
    More,
}

impl Double {
    /// Whether there is none, one left out if one is named.
    fn is_none_but(self, but: Option<usize>) -> bool {
        match self {
            Self::None => true,
            Self::One(only) => Some(only) == but,
            Self::More => false,
        }
    }
}

impl Search<'_> {
    /// What can be done now with each kind of unit.
    pub(super) fn all_choices(&self) -> Vec<Choices> {
        let doubles: Vec<Double> = (0..self.sockets.len()).map(|socket| self.double(socket)).collect();
        (0..self.it.types.len()).map(|kind| self.choices(kind, &doubles)).collect()
    }

    /// What can be done now with a kind of unit; of places that can stand for each other, the first.
    fn choices(&self, kind: usize, doubles: &[Double]) -> Choices {
        let mut found = Choices { least: UNFED, ..Choices::default() };
        if self.remaining[kind] == 0 {
            return found;
        }
        let it = self.it;
        let reach = &mut found.reach;
        for single in &it.types[kind].singles {
            if !self.fits(kind, single) {
                continue;
            }
            let socket = 1 << single.socket;
            if self.sockets[single.socket].plugs == 0 {
                reach.free |= socket;
            } else {
                reach.open |= socket;
            }
            let domain = it.sockets[single.socket].domain;
            if !self.domains[domain].is_used() {
                reach.zero_volts |= 1 << domain;
            }
            if doubles[single.socket].is_none_but(None) {
                found.singles.push(*single);
            }
        }
        for pair in &it.types[kind].pairs {
            if !self.fits_pair(kind, pair) {
                continue;
            }
            reach.pair |= 1 << pair.first | 1 << pair.second;
            let (first, second) = (it.sockets[pair.first].domain, it.sockets[pair.second].domain);
            reach.pair_shares |= first == second;
            if first != second {
                reach.uppers |= 1 << second;
            }
            if !self.domains[first].is_used() {
                reach.zero_volts |= 1 << first;
            }
            reach.pair_zero_volts |= 1 << first | 1 << second;
            if doubles[pair.first].is_none_but(None) && doubles[pair.second].is_none_but(Some(pair.first)) {
                found.pairs.push(*pair);
            }
        }
        // What it disturbs there itself comes on top, whoever comes after it.
        let own = |socket: usize| match self.weighs_noise() {
            true => {
                NOISY * Cost::from(self.domains[it.sockets[socket].domain].company.own_noise(&it.types[kind].guest))
            }
            false => 0,
        };
        let cost = |single: &Single| self.cost_of(&Move::Single(kind, *single)) + own(single.socket);
        let pair = found.pairs.iter().map(|pair| self.cost_of(&Move::Pair(kind, *pair)) + own(pair.first)).min();
        let singles = found.singles.iter().map(cost);
        found.least = singles.chain(pair).min().unwrap_or(UNFED);
        found.extra = pair.map_or(0, |pair| pair - found.least);
        found
    }

    /// Which earlier sockets are in the same state as this one and can stand for it.
    fn double(&self, socket: usize) -> Double {
        let it = self.it;
        let class = it.sockets[socket].class;
        let mut doubles = (0..socket).filter(|other| {
            it.sockets[*other].class == class
                && self.sockets[*other] == self.sockets[socket]
                && self.domains[it.sockets[*other].domain] == self.domains[it.sockets[socket].domain]
        });
        match (doubles.next(), doubles.next()) {
            (None, _) => Double::None,
            (Some(only), None) => Double::One(only),
            _ => Double::More,
        }
    }

    /// Whether a kind of unit may be on a 0 V; `joins` if it comes onto a lead that is there.
    pub(super) fn fits_domain(&self, kind: usize, domain: usize, form: Form, joins: bool) -> bool {
        let (kind, domain) = (&self.it.types[kind], &self.domains[domain]);
        if kind.module {
            return true;
        }
        let (guest, company) = (&kind.guest, &domain.company);
        let apart = match guest.digital {
            true => domain.no_digital || (kind.apart && company.analogue > 0),
            false => domain.no_analogue || (kind.apart && company.digital > 0),
        };
        let polarity = match kind.positive_ground {
            true => domain.is_used() && !(domain.positive_ground && joins),
            false => domain.positive_ground,
        };
        // Whatever shares a winding's 0 V with a rectifier shorts it through the screens.
        let own = form == Form::Alternating && !kind.shares_winding;
        let winding = domain.alternating || (own && domain.is_used());
        let crowded = !self.it.crowds && guest.amplifies() && company.with(guest).crowded() > 0;
        !(domain.closed || (kind.alone && domain.is_used()) || apart || polarity || winding || crowded)
    }

    /// What a socket gives in a setting, DC or AC.
    pub(super) fn form(&self, socket: usize, setting: u8) -> Form {
        self.it.sockets[socket].settings[usize::from(setting)].form
    }

    pub(super) fn fits_budgets(&self, socket: usize, setting: u8, draw: &Draw, part: f64) -> bool {
        let socket = &self.it.sockets[socket];
        let watts = |current: i64| socket.watts(setting, current, part);
        socket.budgets.iter().all(|(budget, weight)| {
            let limit = &self.it.budgets[*budget];
            self.running[*budget] + watts(draw.running) * weight <= limit.running + LAST_BIT
                && self.start_up[*budget] + watts(draw.start_up) * weight <= limit.start_up + LAST_BIT
        })
    }

    pub(super) fn fits(&self, kind: usize, single: &Single) -> bool {
        let state = &self.sockets[single.socket];
        if state.plugs > 0 {
            let kind = &self.it.types[kind];
            let joins = !state.closed
                && !kind.solo
                && state.plugs < self.it.most_plugs
                && state.set == single.setting + 1
                && state.swap == single.swap
                && (self.it.mixes || state.digital == kind.guest.digital);
            if !joins {
                return false;
            }
        } else if state.closed {
            return false;
        }
        let socket = &self.it.sockets[single.socket];
        let level = &socket.settings[usize::from(single.setting)];
        state.running + single.draw.running <= level.usable
            && state.start_up + single.draw.start_up <= level.limit
            && self.fits_domain(kind, socket.domain, level.form, state.plugs > 0)
            && self.fits_budgets(single.socket, single.setting, &single.draw, 1.0)
    }

    pub(super) fn fits_pair(&self, kind: usize, pair: &Pair) -> bool {
        let free = |at: usize| self.sockets[at].plugs == 0 && !self.sockets[at].closed;
        let (first, second) = (self.it.sockets[pair.first].domain, self.it.sockets[pair.second].domain);
        let upper = &self.domains[second];
        free(pair.first)
            && free(pair.second)
            && self.fits_domain(kind, first, self.form(pair.first, pair.settings.0), false)
            && (first == second || !(upper.is_used() || upper.closed))
            && self.fits_both_budgets(pair)
    }

    /// The two sockets may count against one budget.
    pub(super) fn fits_both_budgets(&self, pair: &Pair) -> bool {
        let sides = [(pair.first, pair.settings.0, pair.shares.0), (pair.second, pair.settings.1, pair.shares.1)];
        let adds = |budget: usize, current: i64| -> f64 {
            let of = |(at, setting, part): (usize, u8, f64)| {
                let socket = &self.it.sockets[at];
                let weight: f64 = socket.budgets.iter().filter(|(b, _)| *b == budget).map(|(_, weight)| weight).sum();
                socket.settings[usize::from(setting)].volts * current as f64 * 1e-9 * part * weight
            };
            sides.into_iter().map(of).sum()
        };
        let touched = sides.iter().flat_map(|(at, ..)| self.it.sockets[*at].budgets.iter().map(|(budget, _)| *budget));
        touched.into_iter().all(|budget| {
            let limit = &self.it.budgets[budget];
            self.running[budget] + adds(budget, pair.draw.running) <= limit.running + LAST_BIT
                && self.start_up[budget] + adds(budget, pair.draw.start_up) <= limit.start_up + LAST_BIT
        })
    }
}
