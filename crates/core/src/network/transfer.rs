//! What of a voltage here arrives at a goal, gathered from the goal back, over all
//! ways that lead there at once.

use num_complex::Complex64;

use super::{Branch, SeenAdmittance, Spectrum, Sweep, TwoPort};

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
}

impl Transfer {
    /// The goal itself.
    #[must_use]
    pub fn whole(len: usize) -> Self {
        Self { sum: Spectrum::constant(Complex64::new(1.0, 0.0), len), magnitudes: vec![1.0; len], delays: (0.0, 0.0) }
    }

    /// A number at each frequency, taken times the transfer.
    pub fn scale(&mut self, factor: impl Fn(usize) -> Complex64) {
        let sum = self.sum.re.iter_mut().zip(self.sum.im.iter_mut());
        for (at, ((re, im), size)) in sum.zip(&mut self.magnitudes).enumerate() {
            let factor = factor(at);
            let value = Complex64::new(*re, *im) * factor;
            (*re, *im) = (value.re, value.im);
            *size *= factor.norm();
        }
    }

    /// The signal comes so many seconds later, at frequencies with these ω (rad/s).
    pub fn delay(&mut self, seconds: f64, omega: &[f64]) {
        if seconds > 0.0 {
            self.scale(|at| Complex64::from_polar(1.0, -omega[at] * seconds));
            self.delays = (self.delays.0 + seconds, self.delays.1 + seconds);
        }
    }

    /// Another way to the same goal comes in. Where the two cancel nothing is left.
    pub fn add(&mut self, other: &Self) {
        for at in 0..self.sum.len() {
            let (own, more) = (self.sum.at(at), other.sum.at(at));
            let both = own + more;
            let is_null = both.norm() <= NULL * (own.norm() + more.norm());
            (self.sum.re[at], self.sum.im[at]) = if is_null { (0.0, 0.0) } else { (both.re, both.im) };
        }
        self.magnitudes.iter_mut().zip(&other.magnitudes).for_each(|(size, more)| *size += more);
        self.delays = (self.delays.0.min(other.delays.0), self.delays.1.max(other.delays.1));
    }

    /// Where the sum is so much smaller than what went into it that nothing is left, it is none.
    pub fn silence_nulls(&mut self) {
        for (at, size) in self.magnitudes.iter().enumerate() {
            if self.sum.at(at).norm() <= NULL * size {
                (self.sum.re[at], self.sum.im[at]) = (0.0, 0.0);
            }
        }
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

    /// The sum at a frequency's index; none where its ways cancel.
    #[must_use]
    pub fn at(&self, at: usize) -> Option<Complex64> {
        let sum = self.sum.at(at);
        (sum.norm_sqr() > 0.0).then_some(sum)
    }

    /// Whether the ways cancel at every frequency.
    #[must_use]
    pub fn is_silent(&self) -> bool {
        (0..self.sum.len()).all(|at| self.at(at).is_none()) && !self.sum.is_empty()
    }

    /// |sum|² at each frequency, no less than a null is.
    #[must_use]
    pub fn powers(&self) -> Vec<f64> {
        let least = self.magnitudes.iter().map(|size| NULL * size);
        least.enumerate().map(|(at, least)| self.sum.at(at).norm_sqr().max(least * least)).collect()
    }
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
