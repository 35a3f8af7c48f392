//! What a point sees when it looks onward, gathered from the far end inward.

use num_complex::Complex64;

use super::{Branch, Spectrum, Sweep, TwoPort};

/// The admittance looking onward from a point: the driving-point admittance of
/// all that hangs there, away from the source.
#[derive(Debug, Clone, PartialEq)]
pub enum SeenAdmittance {
    /// Nothing hangs there: 0 S.
    Open,
    /// A short to 0 V.
    Short,
    /// Admittance in S at each frequency.
    Admittance(Spectrum),
}

impl SeenAdmittance {
    /// A branch to 0 V comes in front: Y += y.
    #[must_use]
    pub fn behind_shunt(self, branch: &Branch, sweep: &Sweep) -> Self {
        match branch {
            Branch::Open => self,
            Branch::Short => Self::Short,
            branch => self.beside(Self::Admittance(Spectrum::from_fn(sweep.omega(), |w| branch.admittance(w)))),
        }
    }

    /// Both hang on the same point.
    #[must_use]
    pub fn beside(self, other: Self) -> Self {
        match (self, other) {
            (Self::Short, _) | (_, Self::Short) => Self::Short,
            (Self::Open, x) | (x, Self::Open) => x,
            (Self::Admittance(mut y), Self::Admittance(more)) => {
                y.add(&more);
                Self::Admittance(y)
            }
        }
    }

    /// A branch in the signal's way comes in front: Y = 1/(z + 1/Y).
    #[must_use]
    pub fn behind_series(self, branch: &Branch, sweep: &Sweep) -> Self {
        match (self, branch) {
            (Self::Open, _) | (_, Branch::Open) => Self::Open,
            (onward, Branch::Short) => onward,
            (Self::Short, branch) => Self::Admittance(Spectrum::from_fn(sweep.omega(), |w| branch.admittance(w))),
            (Self::Admittance(y), branch) => {
                // Y/(1 + zY) needs no inverse of a Y that may be zero.
                Self::Admittance(each(&y, sweep, |_, w, y| y / (1.0 + branch.impedance(w) * y)))
            }
        }
    }

    /// A lead comes in front: Y = (c + a·Y)/(a + b·Y).
    #[must_use]
    pub fn behind_line(self, port: &TwoPort, sweep: &Sweep) -> Self {
        let at = |s: &Spectrum, i: usize| Complex64::new(s.re[i], s.im[i]);
        match self {
            Self::Open => Self::Admittance(each(&port.a, sweep, |i, _, a| at(&port.c, i) / a)),
            // A lead of no length and no resistance carries the short through.
            Self::Short if port.is_wire => Self::Short,
            Self::Short => Self::Admittance(each(&port.a, sweep, |i, _, a| a / at(&port.b, i))),
            Self::Admittance(y) => Self::Admittance(each(&y, sweep, |i, _, y| {
                let a = at(&port.a, i);
                (at(&port.c, i) + a * y) / (a + at(&port.b, i) * y)
            })),
        }
    }
}

fn each(from: &Spectrum, sweep: &Sweep, f: impl Fn(usize, f64, Complex64) -> Complex64) -> Spectrum {
    let mut out = Spectrum { re: Vec::with_capacity(from.len()), im: Vec::with_capacity(from.len()) };
    for (i, (&w, (&re, &im))) in sweep.omega().iter().zip(from.re.iter().zip(&from.im)).enumerate() {
        let value = f(i, w, Complex64::new(re, im));
        out.re.push(value.re);
        out.im.push(value.im);
    }
    out
}
