//! What of a voltage here arrives at a goal, gathered from the goal back, over all
//! ways that lead there at once.

use num_complex::Complex64;

use super::{Branch, SeenAdmittance, Spectrum, Sweep, Thevenin, TwoPort};

/// A sum so much smaller than what went into it (−200 dB) is silence.
pub const NULL: f64 = 1e-10;

/// The voltage at a goal over the voltage here.
#[derive(Debug, Clone, PartialEq)]
pub struct Transfer {
    /// All ways together.
    pub sum: Spectrum,
    /// The magnitudes of all ways, added up at each frequency: no less than the sum's.
    pub magnitudes: Vec<f64>,
    /// The least and the greatest delay of a way, in s.
    pub delays: (f64, f64),
    /// Ways that have gone past what makes their phases a thing of chance: each adds its power to that
    /// of the sum, and not its voltage.
    pub apart: Vec<Uncorrelated>,
}

/// Ways that have gone past the same places at which phases become a thing of chance.
#[derive(Debug, Clone, PartialEq)]
pub struct Uncorrelated {
    /// The numbers of these places, in their order.
    pub past: Vec<usize>,
    /// All these ways together.
    pub sum: Spectrum,
    /// The least and the greatest delay of one of them, in s.
    pub delays: (f64, f64),
}

/// No delay of no way.
const NO_DELAYS: (f64, f64) = (f64::INFINITY, f64::NEG_INFINITY);
/// So many groups of ways are kept apart; past it they count as one.
const MOST_APART: usize = 64;

impl Transfer {
    /// The goal itself.
    #[must_use]
    pub fn whole(len: usize) -> Self {
        Self {
            sum: Spectrum::constant(Complex64::new(1.0, 0.0), len),
            magnitudes: vec![1.0; len],
            delays: (0.0, 0.0),
            apart: Vec::new(),
        }
    }

    /// A number at each frequency, taken times the transfer.
    pub fn scale(&mut self, factor: impl Fn(usize) -> Complex64) {
        let times = |(re, im): (&mut f64, &mut f64), factor: Complex64| {
            let value = Complex64::new(*re, *im) * factor;
            (*re, *im) = (value.re, value.im);
        };
        let sum = self.sum.re.iter_mut().zip(self.sum.im.iter_mut());
        for (at, (value, size)) in sum.zip(&mut self.magnitudes).enumerate() {
            let factor = factor(at);
            times(value, factor);
            *size *= factor.norm();
        }
        for ways in &mut self.apart {
            let sum = ways.sum.re.iter_mut().zip(ways.sum.im.iter_mut());
            sum.enumerate().for_each(|(at, value)| times(value, factor(at)));
        }
    }

    /// The signal comes so many seconds later, at frequencies with these ω (rad/s).
    pub fn delay(&mut self, seconds: f64, omega: &[f64]) {
        if seconds > 0.0 {
            self.scale(|at| Complex64::from_polar(1.0, -omega[at] * seconds));
            let all = self.apart.iter_mut().map(|ways| &mut ways.delays).chain([&mut self.delays]);
            all.for_each(|delays| *delays = (delays.0 + seconds, delays.1 + seconds));
        }
    }

    /// All ways go past a place in front of them at which phases become a thing of chance.
    pub fn uncorrelate(&mut self, place: usize) {
        let past = |before: &[usize]| {
            let mut past = before.to_vec();
            past.insert(past.partition_point(|own| *own < place), place);
            past
        };
        self.apart.iter_mut().for_each(|ways| ways.past = past(&ways.past));
        let none = Spectrum::constant(Complex64::new(0.0, 0.0), self.sum.len());
        let sum = std::mem::replace(&mut self.sum, none);
        let delays = std::mem::replace(&mut self.delays, NO_DELAYS);
        if delays != NO_DELAYS {
            self.apart.push(Uncorrelated { past: vec![place], sum, delays });
        }
        if self.apart.len() > MOST_APART {
            self.gather();
        }
    }

    /// Makes one group of all that are apart, with the power of all of them.
    fn gather(&mut self) {
        let power = |at: usize| self.apart.iter().map(|ways| ways.sum.at(at).norm_sqr()).sum::<f64>();
        let re = (0..self.sum.len()).map(|at| power(at).sqrt()).collect();
        let sum = Spectrum { re, im: vec![0.0; self.sum.len()] };
        let each = self.apart.iter().map(|ways| ways.delays);
        let delays = each.fold(NO_DELAYS, |all, own| (all.0.min(own.0), all.1.max(own.1)));
        self.apart = vec![Uncorrelated { past: vec![usize::MAX], sum, delays }];
    }

    /// Of what arrives with each of some places turned over or not, place after place in the bits of
    /// its number: the ways apart by the places that they have gone past. All of a sum with chance signs
    /// sᵢ = ±1 is Σ t(M)·Πᵢ∈M sᵢ, and t(M) the mean of the sum times that product [textbook, S: walsh].
    #[must_use]
    pub fn of_turns(turns: &[Self], places: &[usize]) -> Option<Self> {
        let first = turns.first()?;
        let part = 1.0 / turns.len() as f64;
        let mean = |group: usize| {
            let mut mean = Spectrum::constant(Complex64::new(0.0, 0.0), first.sum.len());
            for (turn, transfer) in turns.iter().enumerate() {
                let sign = if (turn & group).count_ones().is_multiple_of(2) { part } else { -part };
                mean.add_scaled(&transfer.sum, sign);
            }
            mean
        };
        let mut all = Self { sum: mean(0), ..first.clone() };
        for group in 1..turns.len() {
            let in_group = places.iter().enumerate().filter(|(at, _)| group & 1 << at != 0);
            let past = in_group.map(|(_, place)| *place).collect();
            all.apart.push(Uncorrelated { past, sum: mean(group), delays: first.delays });
        }
        all.silence_nulls();
        all.apart.retain(|ways| (0..ways.sum.len()).any(|at| ways.sum.at(at).norm_sqr() > 0.0));
        Some(all)
    }

    /// Another way to the same goal comes in. Where the two cancel nothing is left.
    pub fn add(&mut self, other: &Self) {
        add_ways((&mut self.sum, &mut self.delays), (&other.sum, other.delays));
        for more in &other.apart {
            match self.apart.iter_mut().find(|own| own.past == more.past) {
                Some(own) => add_ways((&mut own.sum, &mut own.delays), (&more.sum, more.delays)),
                None => self.apart.push(more.clone()),
            }
        }
        self.magnitudes.iter_mut().zip(&other.magnitudes).for_each(|(size, more)| *size += more);
    }

    /// Where the sum is so much smaller than what went into it that nothing is left, it is none.
    pub fn silence_nulls(&mut self) {
        let sums = self.apart.iter_mut().map(|ways| &mut ways.sum).chain([&mut self.sum]);
        for sum in sums {
            for (at, size) in self.magnitudes.iter().enumerate() {
                if sum.at(at).norm() <= NULL * size {
                    (sum.re[at], sum.im[at]) = (0.0, 0.0);
                }
            }
        }
    }

    /// How many seconds the last way comes after the first, of those whose voltages add up.
    #[must_use]
    pub fn seconds_apart(&self) -> f64 {
        let each = self.apart.iter().map(|ways| ways.delays).chain([self.delays]);
        each.map(|(first, last)| last - first).fold(0.0, f64::max)
    }

    /// A branch in the signal's way comes in front, `seen` being what it drives:
    /// V′/V = 1/(1 + z·Y). None where nothing gets past it.
    #[must_use]
    pub fn behind_series(mut self, branch: &Branch, seen: &SeenAdmittance, sweep: &Sweep) -> Option<Self> {
        match (branch, seen) {
            (Branch::Open, _) => None,
            (Branch::Short, _) | (_, SeenAdmittance::Open) => Some(self),
            (_, SeenAdmittance::Short) => None,
            (branch, SeenAdmittance::Admittance(y)) => {
                let omega = sweep.omega();
                self.scale(|at| (1.0 + branch.impedance(omega[at]) * y.at(at)).inv());
                Some(self)
            }
        }
    }

    /// A network of EMFs comes in front, in place of the one: V′/E = g/(1 + Z·Y). None behind a short.
    #[must_use]
    pub fn behind_source(mut self, thevenin: &Thevenin, seen: &SeenAdmittance) -> Option<Self> {
        match seen {
            SeenAdmittance::Short => return None,
            SeenAdmittance::Open => self.scale(|at| thevenin.emf.at(at)),
            SeenAdmittance::Admittance(y) => {
                self.scale(|at| thevenin.emf.at(at) / (1.0 + thevenin.impedance.at(at) * y.at(at)));
            }
        }
        Some(self)
    }

    /// A lead comes in front: V′/V = 1/(a + b·Y). None behind a short.
    #[must_use]
    pub fn behind_line(mut self, port: &TwoPort, seen: &SeenAdmittance) -> Option<Self> {
        match seen {
            SeenAdmittance::Short => return None,
            SeenAdmittance::Open => self.scale(|at| port.a.at(at).inv()),
            SeenAdmittance::Admittance(y) => self.scale(|at| (port.a.at(at) + port.b.at(at) * y.at(at)).inv()),
        }
        Some(self)
    }

    /// What arrives at a frequency's index; none where all cancels. Where ways are uncorrelated
    /// its magnitude is that of all powers, its phase that of all as they stand.
    #[must_use]
    pub fn at(&self, at: usize) -> Option<Complex64> {
        let sum = self.sum.at(at);
        if self.apart.is_empty() {
            return (sum.norm_sqr() > 0.0).then_some(sum);
        }
        let all: Complex64 = self.apart.iter().map(|ways| ways.sum.at(at)).sum::<Complex64>() + sum;
        let size = self.power(at).sqrt();
        (size > 0.0).then(|| Complex64::from_polar(size, all.arg()))
    }

    /// What arrives at a frequency's index, as a power: |sum|², and that of all ways apart.
    #[must_use]
    pub fn power(&self, at: usize) -> f64 {
        self.apart.iter().map(|ways| ways.sum.at(at).norm_sqr()).sum::<f64>() + self.sum.at(at).norm_sqr()
    }

    /// Whether the ways cancel at every frequency.
    #[must_use]
    pub fn is_silent(&self) -> bool {
        (0..self.sum.len()).all(|at| self.power(at) <= 0.0) && !self.sum.is_empty()
    }

    /// The power at each frequency, no less than a null's is.
    #[must_use]
    pub fn powers(&self) -> Vec<f64> {
        let least = self.magnitudes.iter().map(|size| NULL * size);
        least.enumerate().map(|(at, least)| self.power(at).max(least * least)).collect()
    }
}

/// Ways come in beside others whose voltages add to theirs.
fn add_ways((sum, delays): (&mut Spectrum, &mut (f64, f64)), (more, late): (&Spectrum, (f64, f64))) {
    for at in 0..sum.len() {
        let (own, more) = (sum.at(at), more.at(at));
        let both = own + more;
        let is_null = both.norm() <= NULL * (own.norm() + more.norm());
        (sum.re[at], sum.im[at]) = if is_null { (0.0, 0.0) } else { (both.re, both.im) };
    }
    *delays = (delays.0.min(late.0), delays.1.max(late.1));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Farads, Ohms};

    /// R before C: 1/(1 + jωRC), −3.0103 dB where ωRC = 1 [S: nodal].
    #[test]
    fn a_resistor_before_a_capacitor_halves_the_power_where_both_are_alike() {
        let sweep = Sweep::at(&[1.0 / std::f64::consts::TAU * 1e3]);
        let seen = SeenAdmittance::Open.behind_shunt(&Branch::Capacitor(Farads::of(1e-6)), &sweep);
        let transfer = Transfer::whole(1).behind_series(&Branch::Resistor(Ohms::of(1e3)), &seen, &sweep).unwrap();
        let power = transfer.at(0).unwrap().norm_sqr();
        assert!((power - 0.5).abs() < 1e-12, "{power}");
        assert!((transfer.magnitudes[0] * transfer.magnitudes[0] - 0.5).abs() < 1e-12);
    }

    #[test]
    fn two_alike_ways_of_opposite_sign_are_silence() {
        let mut one = Transfer::whole(3);
        let mut other = one.clone();
        other.scale(|_| Complex64::new(-1.0, 0.0));
        one.add(&other);
        assert!(one.is_silent() && one.at(1).is_none());
        assert_eq!(one.magnitudes, [2.0; 3]);
        let least = one.powers()[0];
        assert!((least.log10() - (-20.0 + 2.0 * 2.0_f64.log10())).abs() < 1e-9, "{least}");
    }

    #[test]
    fn nothing_gets_past_a_break_or_into_a_short() {
        let sweep = Sweep::at(&[1e3]);
        let resistor = Branch::Resistor(Ohms::of(1e3));
        assert!(Transfer::whole(1).behind_series(&Branch::Open, &SeenAdmittance::Open, &sweep).is_none());
        assert!(Transfer::whole(1).behind_series(&resistor, &SeenAdmittance::Short, &sweep).is_none());
        assert_eq!(
            Transfer::whole(1).behind_series(&resistor, &SeenAdmittance::Open, &sweep),
            Some(Transfer::whole(1))
        );
    }
}
