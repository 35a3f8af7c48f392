//! The ways in which one unit can be plugged in: onto one socket, or onto two.

use rigwright_search::assignment::{Cost, LAST_BIT, Pair, Single, Size};

use super::{Domain, Instance, Level, milli, nano};
use crate::power::allocate::terms::Terms;
use crate::power::loads;
use crate::power::rules::MOST_DIRECT;
use crate::rig::{Connector, Form, Need};

/// The ways in which a unit can be plugged in.
pub struct Ways<'a> {
    pub need: &'a Need,
    pub in_use: Option<i64>,
    pub terms: &'a Terms<'a>,
    pub instance: &'a Instance,
    pub domains: &'a [Domain],
}

/// What a unit draws in a way.
#[derive(Debug, Clone, Copy)]
struct Draw {
    /// What runs and what starts up, in nA.
    size: Size,
    /// µW
    microwatts: u64,
}

/// Whether a pair is in series: both sockets carry the whole current.
pub fn is_series(pair: &Pair) -> bool {
    pair.shares == (1.0, 1.0)
}

impl Ways<'_> {
    /// What it draws of so many volts, if it takes them, from nothing on the outlet to its rated load.
    fn draw(&self, volts: f64, no_load: f64, form: Form) -> Option<Draw> {
        let tolerance = self.terms.rules.headroom.tolerance;
        let way = loads::way(self.need, volts, form, tolerance).and_then(|at| self.need.ways.get(at))?;
        if !way.takes(no_load, tolerance) || (form.is_dc() && volts > MOST_DIRECT) {
            return None;
        }
        Some(Draw {
            size: Size { steady: nano(way.running.get()), peak: nano(self.need.lasting(way)) },
            microwatts: (volts * way.running.get() * 1e6).round() as u64,
        })
    }

    /// What a way costs by itself: at another voltage than now, with so many adapters.
    fn cost(&self, volts: f64, adapters: usize, draw: Draw) -> Cost {
        let changed = usize::from(self.is_other(volts));
        Cost::MAJOR * changed + Cost::MINOR * adapters + Cost::amount(draw.microwatts)
    }

    /// Whether so many volts are others than it runs at now.
    fn is_other(&self, volts: f64) -> bool {
        self.in_use.is_some_and(|now| self.terms.is_other(now, milli(volts)))
    }

    /// The form as it comes, and with the poles swapped if that may be.
    fn forms(&self, form: Form) -> impl Iterator<Item = (Form, bool)> {
        let swapped = match form {
            Form::CentreNegative => Some(Form::CentrePositive),
            Form::CentrePositive => Some(Form::CentreNegative),
            Form::Alternating => None,
        };
        let swapped = swapped.filter(|_| self.terms.rules.adapters).map(|form| (form, true));
        [(form, false)].into_iter().chain(swapped)
    }

    /// The plug that is wanted at the end of a lead from a socket; none if that can't be.
    fn plug(&self, socket: usize) -> Option<Option<Connector>> {
        let there = self.instance.sockets[socket].connector;
        if there == self.need.connector {
            Some(None)
        } else {
            // A link carries more than a plug does: no adapter makes one of the other.
            let link = [there, self.need.connector].contains(&Connector::Link);
            (self.terms.rules.adapters && !link).then_some(Some(self.need.connector))
        }
    }

    fn may_be_on(&self, domain: usize, form: Form) -> bool {
        let Domain { earthed, blocked } = self.domains[domain];
        !(blocked || earthed && self.shuns_earth(form))
    }

    /// Whether its 0 V mustn't be the mains earth's: for its plus is the signal's ground, or a rectifier
    /// stands between the AC and that ground.
    fn shuns_earth(&self, form: Form) -> bool {
        self.need.positive_ground || (form == Form::Alternating && !self.need.shares_winding)
    }

    fn domain_of(&self, socket: usize) -> usize {
        self.instance.numbers.slots[socket].group
    }

    /// Whether a part of what it draws is within what a socket gives in a setting.
    fn within(&self, socket: usize, setting: u8, size: Size, part: f64) -> bool {
        let numbers = &self.instance.numbers;
        let slot = &numbers.slots[socket];
        let mode = &slot.modes[usize::from(setting)];
        let fits = |current: i64, limit: i64| (current as f64 * part).round() as i64 <= limit;
        fits(size.steady, mode.steady) && fits(size.peak, mode.peak) && {
            let watts = |current: i64| slot.weighed(setting, current, part);
            slot.budgets.iter().all(|(budget, weight)| {
                let budget = numbers.budgets[*budget];
                watts(size.steady) * weight <= budget.steady + LAST_BIT
                    && watts(size.peak) * weight <= budget.peak + LAST_BIT
            })
        }
    }

    pub fn singles(&self) -> Vec<Single> {
        let mut found = Vec::new();
        for (at, socket) in self.instance.sockets.iter().enumerate() {
            let (Some(plug), domain) = (self.plug(at), self.domain_of(at)) else { continue };
            let may = |level: &Level| level.may && self.may_be_on(domain, level.form);
            for (mode, level) in (0..).zip(&socket.settings).filter(|(_, level)| may(level)) {
                for (form, flipped) in self.forms(level.form) {
                    let draw = self.draw(level.volts, level.no_load, form);
                    if let Some(draw) = draw.filter(|draw| self.within(at, mode, draw.size, 1.0)) {
                        let adapters = usize::from(flipped || plug.is_some());
                        let cost = self.cost(level.volts, adapters, draw);
                        found.push(Single { slot: at, mode, flipped, size: draw.size, cost });
                    }
                }
            }
        }
        found
    }

    /// The ways onto two sockets that are of use beside those onto one; none of them if they are more than `room`.
    pub fn pairs(&self, singles: &[Single], room: usize) -> Option<Vec<Pair>> {
        let sockets = &self.instance.sockets;
        // What it takes of two levels in series, and of two that are alike side by side: of most it takes nothing.
        let mut levels: Vec<&Level> = Vec::new();
        let mut known = |level| match levels.iter().position(|other| is_alike(other, level)) {
            Some(at) => at,
            None => {
                levels.push(level);
                levels.len() - 1
            }
        };
        let numbers: Vec<Vec<usize>> =
            sockets.iter().map(|socket| socket.settings.iter().map(&mut known).collect()).collect();
        let takes = |volts, no_load, form| self.forms(form).any(|(form, _)| self.draw(volts, no_load, form).is_some());
        let in_series = |a: &Level, b: &Level| {
            a.form == b.form && a.form.is_dc() && takes(a.volts + b.volts, a.no_load + b.no_load, a.form)
        };
        let series: Vec<Vec<bool>> =
            levels.iter().map(|low| levels.iter().map(|high| in_series(low, high)).collect()).collect();
        let beside: Vec<bool> = levels.iter().map(|level| takes(level.volts, level.no_load, level.form)).collect();
        let any = |low: usize, high: usize| series[low][high] || (low == high && beside[low]);
        let mut found = Vec::new();
        let places = (0..sockets.len()).flat_map(|a| (0..sockets.len()).map(move |b| (a, b)));
        for (first, second) in places.filter(|(first, second)| first != second) {
            if !numbers[first].iter().any(|low| numbers[second].iter().any(|high| any(*low, *high))) {
                continue;
            }
            self.pairs_of(first, second, singles, &mut found);
            if found.len() > room {
                return None;
            }
        }
        Some(found)
    }

    fn pairs_of(&self, first: usize, second: usize, singles: &[Single], found: &mut Vec<Pair>) {
        let numbers = &self.instance.numbers;
        let (a, b) = (&self.instance.sockets[first], &self.instance.sockets[second]);
        if !self.terms.rules.across && a.outlet.supply != b.outlet.supply {
            return;
        }
        let Some(plug) = self.plug(first) else { return };
        let (domain, upper) = (self.domain_of(first), self.domains[self.domain_of(second)]);
        let in_series = domain != self.domain_of(second) && !upper.earthed && !upper.blocked;
        let side_by_side = a.parallel.is_some() && a.parallel == b.parallel && !upper.blocked;
        // What fits one of the two by itself gains nothing by both side by side, unless that spares a group
        // that only one of them counts against.
        let spares = numbers.slots[first].budgets != numbers.slots[second].budgets;
        let alone = |socket: usize, setting: u8| {
            singles.binary_search_by_key(&(socket, setting), |single| (single.slot, single.mode)).is_ok()
        };
        let rating = |socket: usize, setting: u8| numbers.slots[socket].modes[usize::from(setting)].peak;
        let may = |level: &Level| level.may && self.may_be_on(domain, level.form);
        for (i, low) in (0..).zip(&a.settings).filter(|(_, level)| may(level)) {
            for (j, high) in (0..).zip(&b.settings).filter(|(_, level)| level.may) {
                let build = |volts, no_load, shares: (f64, f64), found: &mut Vec<Pair>| {
                    for (form, flipped) in self.forms(low.form) {
                        let draw = self.draw(volts, no_load, form).filter(|draw| {
                            self.within(first, i, draw.size, shares.0) && self.within(second, j, draw.size, shares.1)
                        });
                        if let Some(draw) = draw {
                            // The lead of a pair is a special one by itself.
                            let cost = self.cost(volts, 1 + usize::from(flipped || plug.is_some()), draw);
                            found.push(Pair { first, second, modes: (i, j), flipped, size: draw.size, shares, cost });
                        }
                    }
                };
                if in_series && low.form == high.form && low.form.is_dc() {
                    build(low.volts + high.volts, low.no_load + high.no_load, (1.0, 1.0), found);
                }
                let rated = (rating(first, i) + rating(second, j)) as f64;
                let earth = upper.earthed && self.shuns_earth(low.form);
                let gains = spares || !(alone(first, i) || alone(second, j));
                if side_by_side && gains && !earth && is_alike(low, high) && rated > 0.0 {
                    let part = rating(first, i) as f64 / rated;
                    build(low.volts, low.no_load, (part, 1.0 - part), found);
                }
            }
        }
    }
}

/// Whether two levels are one voltage of one form.
fn is_alike(a: &Level, b: &Level) -> bool {
    a.volts == b.volts && a.no_load == b.no_load && a.form == b.form
}
