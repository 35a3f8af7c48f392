//! Two-terminal branches: R, L, C and what is made of them.

use num_complex::Complex64;

use crate::units::{Farads, Henries, Ohms, Ratio};

/// A two-terminal network.
#[derive(Debug, Clone, PartialEq)]
pub enum Branch {
    /// No impedance at all.
    Short,
    /// No admittance at all.
    Open,
    /// A resistor.
    Resistor(Ohms),
    /// An inductor.
    Inductor(Henries),
    /// A capacitor.
    Capacitor(Farads),
    /// One after another.
    Series(Vec<Branch>),
    /// Side by side.
    Parallel(Vec<Branch>),
}

impl Branch {
    /// The same branch with zero elements, shorts and opens worked in: what is
    /// left has only elements above zero, so that impedance and admittance are
    /// finite, or is [`Branch::Short`] or [`Branch::Open`] itself.
    #[must_use]
    pub fn simplified(self) -> Self {
        match self {
            Self::Resistor(r) if r.get() == 0.0 => Self::Short,
            Self::Inductor(l) if l.get() == 0.0 => Self::Short,
            Self::Capacitor(c) if c.get() == 0.0 => Self::Open,
            Self::Series(parts) => Self::joined(parts, &Self::Short, &Self::Open, Self::Series),
            Self::Parallel(parts) => Self::joined(parts, &Self::Open, &Self::Short, Self::Parallel),
            other => other,
        }
    }

    /// `idle` changes nothing in this joining, `whole` decides it alone.
    fn joined(parts: Vec<Self>, idle: &Self, whole: &Self, wrap: fn(Vec<Self>) -> Self) -> Self {
        let mut left: Vec<Self> = Vec::with_capacity(parts.len());
        for part in parts {
            let part = part.simplified();
            if part == *whole {
                return part;
            }
            if part != *idle {
                left.push(part);
            }
        }
        match left.len() {
            0 => idle.clone(),
            1 => left.swap_remove(0),
            _ => wrap(left),
        }
    }

    /// Impedance in Ω at ω (rad/s). Meant for simplified branches; an open one is infinite.
    #[must_use]
    pub fn impedance(&self, omega: f64) -> Complex64 {
        match self {
            Self::Short => Complex64::new(0.0, 0.0),
            Self::Open => Complex64::new(f64::INFINITY, 0.0),
            Self::Resistor(r) => Complex64::new(r.get(), 0.0),
            Self::Inductor(l) => Complex64::new(0.0, omega * l.get()),
            Self::Capacitor(c) => Complex64::new(0.0, -1.0 / (omega * c.get())),
            Self::Series(parts) => parts.iter().map(|part| part.impedance(omega)).sum(),
            Self::Parallel(_) => self.admittance(omega).inv(),
        }
    }

    /// Admittance in S at ω (rad/s). Meant for simplified branches; a short is infinite.
    #[must_use]
    pub fn admittance(&self, omega: f64) -> Complex64 {
        match self {
            Self::Short => Complex64::new(f64::INFINITY, 0.0),
            Self::Open => Complex64::new(0.0, 0.0),
            Self::Resistor(r) => Complex64::new(1.0 / r.get(), 0.0),
            Self::Inductor(l) => Complex64::new(0.0, -1.0 / (omega * l.get())),
            Self::Capacitor(c) => Complex64::new(0.0, omega * c.get()),
            Self::Series(_) => self.impedance(omega).inv(),
            Self::Parallel(parts) => parts.iter().map(|part| part.admittance(omega)).sum(),
        }
    }

    /// All capacitance in it in F, as it loads a run: capacitors side by side add
    /// up, and of one behind something else as much counts as loads at 1 kHz. A
    /// grid behind its stopper counts whole, a large capacitor before a high
    /// input as next to nothing.
    #[must_use]
    pub fn capacitance(&self) -> f64 {
        const AT: f64 = std::f64::consts::TAU * 1000.0;
        match self {
            Self::Capacitor(c) => c.get(),
            Self::Parallel(parts) => parts.iter().map(Self::capacitance).sum(),
            Self::Series(_) => (self.admittance(AT).im / AT).max(0.0),
            _ => 0.0,
        }
    }

    /// Conductance in S at direct current.
    #[must_use]
    pub fn conductance(&self) -> f64 {
        match self {
            Self::Resistor(r) => 1.0 / r.get(),
            Self::Short | Self::Inductor(_) => f64::INFINITY,
            Self::Open | Self::Capacitor(_) => 0.0,
            Self::Parallel(parts) => parts.iter().map(Self::conductance).sum(),
            Self::Series(parts) => 1.0 / parts.iter().map(|part| 1.0 / part.conductance()).sum::<f64>(),
        }
    }
}

/// Miller capacitance of a triode's grid: C_gk + C_gp·(1 + A).
///
/// Source: [page, S: miller].
#[must_use]
pub fn miller_capacitance(grid_cathode: Farads, grid_plate: Farads, gain: Ratio) -> Farads {
    Farads::clamped(grid_cathode.get() + grid_plate.get() * (1.0 + gain.get()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zero_elements_vanish() {
        let r = |v| Branch::Resistor(Ohms::of(v));
        let c = |v| Branch::Capacitor(Farads::of(v));
        assert_eq!(Branch::Parallel(vec![r(0.0), c(1e-9)]).simplified(), Branch::Short);
        assert_eq!(Branch::Series(vec![r(10.0), c(0.0)]).simplified(), Branch::Open);
        assert_eq!(Branch::Series(vec![r(0.0), r(5.0)]).simplified(), r(5.0));
        assert_eq!(Branch::Parallel(vec![]).simplified(), Branch::Open);
        assert_eq!(Branch::Series(vec![]).simplified(), Branch::Short);
    }

    /// Y = jωC/(1 + jωRC), so that C counts as C/(1 + (ωRC)²) [S: nodal].
    #[test]
    fn of_a_capacitor_behind_something_counts_what_loads() {
        let behind = |farads, ohms| {
            let parts = vec![Branch::Capacitor(Farads::of(farads)), Branch::Resistor(Ohms::of(ohms))];
            Branch::Series(parts).capacitance()
        };
        let counts = |farads: f64, ohms: f64| farads / (1.0 + (std::f64::consts::TAU * 1e3 * ohms * farads).powi(2));
        for (farads, ohms) in [(99.2e-12, 68e3), (5e-9, 10e3), (22e-9, 1e6)] {
            assert!((behind(farads, ohms) / counts(farads, ohms) - 1.0).abs() < 1e-9);
        }
        assert!((behind(99.2e-12, 34e3) / 99.2e-12 - 1.0).abs() < 1e-3 && behind(22e-9, 1e6) < 2e-12);
    }

    #[test]
    fn series_and_parallel_agree_with_hand_arithmetic() {
        // 3 Ω and 1/(j4 Ω): worked by hand, |Z| = 5 at ω = 1.
        let z = Branch::Series(vec![Branch::Resistor(Ohms::of(3.0)), Branch::Inductor(Henries::of(4.0))]);
        assert!((z.impedance(1.0).norm() - 5.0).abs() < 1e-12);
        let two = Branch::Parallel(vec![Branch::Resistor(Ohms::of(6.0)), Branch::Resistor(Ohms::of(3.0))]);
        assert!((two.impedance(1.0).re - 2.0).abs() < 1e-12);
        assert!((two.conductance() - 0.5).abs() < 1e-12);
    }
}
