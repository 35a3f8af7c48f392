//! A lead as the exact telegrapher line.

use num_complex::Complex64;

use super::{Spectrum, Sweep};
use crate::units::{FaradsPerMetre, HenriesPerMetre, LossTangent, Metres, OhmsPerMetre};

/// A uniform line: its length and its constants a metre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Length.
    pub length: Metres,
    /// Resistance of both conductors together.
    pub resistance: OhmsPerMetre,
    /// Inductance.
    pub inductance: HenriesPerMetre,
    /// Capacitance.
    pub capacitance: FaradsPerMetre,
    /// Loss tangent of the insulation: the shunt admittance is ωC(j + tan δ).
    pub loss_tangent: LossTangent,
}

/// The chain matrix of a symmetrical two-port: V = a·V′ + b·I′, I = c·V′ + a·I′.
#[derive(Debug, Clone, PartialEq)]
pub struct TwoPort {
    /// cosh x, no unit; the matrix's A and D alike.
    pub a: Spectrum,
    /// Zl·sinhc x, in Ω.
    pub b: Spectrum,
    /// Yl·sinhc x, in S.
    pub c: Spectrum,
    /// Whether it resists no current, at whatever frequency.
    pub is_wire: bool,
}

impl Line {
    /// Total capacitance in F.
    #[must_use]
    pub fn total_capacitance(&self) -> f64 {
        self.length.get() * self.capacitance.get()
    }

    /// Whether it resists a current at all: one of no length doesn't.
    #[must_use]
    pub fn has_impedance(&self) -> bool {
        self.length.get() > 0.0 && (self.resistance.get() > 0.0 || self.inductance.get() > 0.0)
    }

    /// The first part of the line and the rest of it, cut at `part` of its length.
    #[must_use]
    pub fn cut(&self, part: f64) -> (Self, Self) {
        let near = self.length.get() * part.clamp(0.0, 1.0);
        let far = self.length.get() - near;
        (Self { length: Metres::clamped(near), ..*self }, Self { length: Metres::clamped(far), ..*self })
    }

    /// a, b, c of the chain matrix at ω (rad/s).
    ///
    /// With x² = Zl·Yl the series of cosh x and sinh x / x need no division by
    /// the characteristic impedance, so no length and no capacitance are no
    /// special cases; five terms reach the precision of the number for |x²| < 0.02.
    #[must_use]
    pub fn chain(&self, omega: f64) -> (Complex64, Complex64, Complex64) {
        let length = self.length.get();
        let zl = Complex64::new(self.resistance.get(), omega * self.inductance.get()) * length;
        let yl = Complex64::new(self.loss_tangent.get(), 1.0) * (omega * self.capacitance.get() * length);
        let xx = zl * yl;
        let (cosh, sinhc) = if xx.norm_sqr() < 0.02 * 0.02 {
            (
                1.0 + xx / 2.0 * (1.0 + xx / 12.0 * (1.0 + xx / 30.0 * (1.0 + xx / 56.0))),
                1.0 + xx / 6.0 * (1.0 + xx / 20.0 * (1.0 + xx / 42.0 * (1.0 + xx / 72.0))),
            )
        } else {
            let x = xx.sqrt();
            (x.cosh(), x.sinh() / x)
        };
        (cosh, zl * sinhc, yl * sinhc)
    }

    /// The chain matrix over a sweep.
    #[must_use]
    pub fn two_port(&self, sweep: &Sweep) -> TwoPort {
        let zero = || Spectrum { re: vec![0.0; sweep.len()], im: vec![0.0; sweep.len()] };
        let mut port = TwoPort { a: zero(), b: zero(), c: zero(), is_wire: !self.has_impedance() };
        for (i, &omega) in sweep.omega().iter().enumerate() {
            let (a, b, c) = self.chain(omega);
            for (spectrum, value) in [(&mut port.a, a), (&mut port.b, b), (&mut port.c, c)] {
                spectrum.re[i] = value.re;
                spectrum.im[i] = value.im;
            }
        }
        port
    }

    /// The constants as bits: a key under which its two-port can be kept.
    #[must_use]
    pub fn key(&self) -> [u64; 5] {
        [
            self.length.get().to_bits(),
            self.resistance.get().to_bits(),
            self.inductance.get().to_bits(),
            self.capacitance.get().to_bits(),
            self.loss_tangent.get().to_bits(),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::TAU;

    fn line(length: f64) -> Line {
        Line {
            length: Metres::of(length),
            resistance: OhmsPerMetre::of(0.12),
            inductance: HenriesPerMetre::of(0.35e-6),
            capacitance: FaradsPerMetre::of(100e-12),
            loss_tangent: LossTangent::of(0.0),
        }
    }

    #[test]
    fn series_and_functions_meet() {
        // Both sides of the switch-over give one function: det = a² − bc = 1.
        for length in [0.0, 1.0, 50.0, 120.0, 250.0, 300.0] {
            for f in [20.0, 1e3, 2e4, 2e5, 1e6] {
                let (a, b, c) = line(length).chain(TAU * f);
                assert!((a * a - b * c - 1.0).norm() < 1e-12, "{length} m, {f} Hz");
            }
        }
    }

    #[test]
    fn cutting_keeps_the_whole() {
        let (near, far) = line(6.0).cut(0.3);
        let (a1, b1, c1) = near.chain(1e5);
        let (a2, b2, c2) = far.chain(1e5);
        let (a, b, _) = line(6.0).chain(1e5);
        assert!((a1 * a2 + b1 * c2 - a).norm() < 1e-14);
        assert!((a1 * b2 + b1 * a2 - b).norm() < 1e-12);
        let _ = c1;
    }

    #[test]
    fn no_length_is_a_plain_wire() {
        let (a, b, c) = line(0.0).chain(1e4);
        assert_eq!((a.re, b.norm(), c.norm()), (1.0, 0.0, 0.0));
    }
}
