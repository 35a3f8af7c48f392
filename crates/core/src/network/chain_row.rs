//! The row (A, B) that is carried outward from the source: E = A·V + B·I.

use num_complex::Complex64;

use super::{Branch, SeenAdmittance, Spectrum, Sweep, Thevenin, TwoPort};
use crate::units::Level;

/// The upper row of the chain matrix from the source to here, a value a frequency: EMF E = A·V + B·I, so that the
/// Thevenin source at this point is 1/A behind B/A.
#[derive(Debug, Clone, PartialEq)]
pub struct ChainRow {
    /// A, no unit.
    pub a: Spectrum,
    /// B, in Ω.
    pub b: Spectrum,
    /// A short to 0 V stands before this point: nothing comes through.
    pub silent: bool,
}

impl ChainRow {
    /// An ideal EMF: (1, 0).
    #[must_use]
    pub fn ideal(len: usize) -> Self {
        let one = Complex64::new(1.0, 0.0);
        let zero = Complex64::new(0.0, 0.0);
        Self { a: Spectrum::constant(one, len), b: Spectrum::constant(zero, len), silent: false }
    }

    /// (0, 1): with [`ChainRow::ideal`] the two rows of a chain matrix. Rows are carried
    /// on linearly, so what becomes of these two tells what becomes of any.
    #[must_use]
    pub fn second(len: usize) -> Self {
        let Self { a, b, silent } = Self::ideal(len);
        Self { a: b, b: a, silent }
    }

    /// A branch to 0 V: A += B·y.
    pub fn shunt(&mut self, branch: &Branch, sweep: &Sweep) {
        match branch {
            Branch::Open => {}
            Branch::Short => self.silent = true,
            // The two everyday loads go without a spectrum of their own.
            Branch::Resistor(r) => self.a.add_scaled(&self.b, 1.0 / r.get()),
            Branch::Capacitor(c) => {
                let c = c.get();
                self.a.add_rotated(&self.b, sweep.omega().iter().map(|w| w * c));
            }
            Branch::Parallel(parts) => parts.iter().for_each(|part| self.shunt(part, sweep)),
            other => self.shunt_spectrum(&Spectrum::from_fn(sweep.omega(), |w| other.admittance(w))),
        }
    }

    /// A known admittance to 0 V, in S.
    pub fn shunt_spectrum(&mut self, y: &Spectrum) {
        self.a.add_product(&self.b, y);
    }

    /// What looks onward from here hangs here.
    pub fn hang(&mut self, seen: &SeenAdmittance) {
        match seen {
            SeenAdmittance::Open => {}
            SeenAdmittance::Short => self.silent = true,
            SeenAdmittance::Admittance(y) => self.shunt_spectrum(y),
        }
    }

    /// A branch in the signal's way: B += A·z.
    pub fn series(&mut self, branch: &Branch, sweep: &Sweep) {
        match branch {
            Branch::Short => {}
            Branch::Open => self.silent = true,
            Branch::Resistor(r) => self.b.add_scaled(&self.a, r.get()),
            Branch::Series(parts) => parts.iter().for_each(|part| self.series(part, sweep)),
            other => {
                let z = Spectrum::from_fn(sweep.omega(), |w| other.impedance(w));
                self.b.add_product(&self.a, &z);
            }
        }
    }

    /// A network of EMFs in place of the one at the left, of which it has so much at each frequency.
    pub fn source(&mut self, thevenin: &Thevenin) {
        self.b.add_product(&self.a, &thevenin.impedance);
        let emf = |at: usize| thevenin.emf.at(at);
        (self.a, self.b) = (self.a.over(emf), self.b.over(emf));
    }

    /// A lead: (A, B) times its chain matrix.
    pub fn line(&mut self, port: &TwoPort) {
        let left = self.a.re.iter_mut().zip(self.a.im.iter_mut());
        let right = self.b.re.iter_mut().zip(self.b.im.iter_mut());
        let cosh = port.a.re.iter().zip(&port.a.im);
        let upper = port.b.re.iter().zip(&port.b.im);
        let lower = port.c.re.iter().zip(&port.c.im);
        for (((((ar, ai), (br, bi)), (hr, hi)), (ur, ui)), (lr, li)) in left.zip(right).zip(cosh).zip(upper).zip(lower)
        {
            let (pr, pi, qr, qi) = (*ar, *ai, *br, *bi);
            *ar = pr * hr - pi * hi + qr * lr - qi * li;
            *ai = pr * hi + pi * hr + qr * li + qi * lr;
            *br = pr * ur - pi * ui + qr * hr - qi * hi;
            *bi = pr * ui + pi * ur + qr * hi + qi * hr;
        }
    }

    /// The level in dB at this point with nothing hanging on it: 1/A.
    #[must_use]
    pub fn levels(&self) -> Vec<Level> {
        self.a
            .re
            .iter()
            .zip(&self.a.im)
            .map(
                |(re, im)| {
                    if self.silent { Level::Silent } else { Level::from_power_ratio(1.0 / (re * re + im * im)) }
                },
            )
            .collect()
    }
}
