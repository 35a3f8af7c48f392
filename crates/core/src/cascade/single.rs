//! The same at one frequency, with nothing kept: for refining a peak between grid points.

use std::f64::consts::TAU;

use num_complex::Complex64;

use crate::network::{Branch, Ladder, Rung};
use crate::units::Level;

/// What a point sees onward; a short is no number.
enum Seen {
    Short,
    Admittance(Complex64),
}

/// The level in dB from the EMF at rung `mark` of a ladder, at `hz`.
#[must_use]
pub fn level_at(ladder: &Ladder, mark: usize, hz: f64) -> Level {
    divisor_at(ladder, mark, hz).map_or(Level::Silent, |divisor| Level::from_power_ratio(1.0 / divisor.norm_sqr()))
}

/// The voltage at rung `mark` of a ladder over its EMF, at `hz`; none for silence.
#[must_use]
pub fn transfer_at(ladder: &Ladder, mark: usize, hz: f64) -> Option<Complex64> {
    divisor_at(ladder, mark, hz).map(|divisor| divisor.inv())
}

/// The EMF over the voltage there.
fn divisor_at(ladder: &Ladder, mark: usize, hz: f64) -> Option<Complex64> {
    let omega = TAU * hz;
    let (before, after) = ladder.rungs.split_at(mark.min(ladder.rungs.len()));
    let mut a = Complex64::new(1.0, 0.0);
    let mut b = Complex64::new(0.0, 0.0);
    for rung in before {
        match rung {
            Rung::Series(Branch::Open) | Rung::Shunt(Branch::Short) => return None,
            Rung::Series(branch) => b += a * branch.impedance(omega),
            Rung::Shunt(branch) => a += b * branch.admittance(omega),
            Rung::Line(line) => {
                let (cosh, upper, lower) = line.chain(omega);
                (a, b) = (a * cosh + b * lower, a * upper + b * cosh);
            }
            Rung::Source(network) => {
                let (emf, impedance) = network.thevenin_at(omega);
                (a, b) = (a / emf, (b + a * impedance) / emf);
            }
            Rung::Leg(leg) => match seen(&leg.rungs, omega) {
                Seen::Short => return None,
                Seen::Admittance(y) => a += b * y,
            },
        }
    }
    match seen(after, omega) {
        Seen::Short => None,
        Seen::Admittance(y) => Some(a + b * y),
    }
}

fn seen(rungs: &[Rung], omega: f64) -> Seen {
    let mut onward = Seen::Admittance(Complex64::new(0.0, 0.0));
    for rung in rungs.iter().rev() {
        onward = match (rung, onward) {
            (Rung::Series(Branch::Open) | Rung::Source(_), _) => Seen::Admittance(Complex64::new(0.0, 0.0)),
            (Rung::Series(branch), Seen::Short) => Seen::Admittance(branch.admittance(omega)),
            (Rung::Series(branch), Seen::Admittance(y)) => Seen::Admittance(y / (1.0 + branch.impedance(omega) * y)),
            (Rung::Shunt(Branch::Short), _) | (Rung::Shunt(_), Seen::Short) => Seen::Short,
            (Rung::Shunt(branch), Seen::Admittance(y)) => Seen::Admittance(y + branch.admittance(omega)),
            (Rung::Line(line), onward) => {
                let (cosh, upper, lower) = line.chain(omega);
                match onward {
                    Seen::Short if upper.norm_sqr() == 0.0 => Seen::Short,
                    Seen::Short => Seen::Admittance(cosh / upper),
                    Seen::Admittance(y) => Seen::Admittance((lower + cosh * y) / (cosh + upper * y)),
                }
            }
            (Rung::Leg(leg), onward) => match (seen(&leg.rungs, omega), onward) {
                (Seen::Short, _) | (_, Seen::Short) => Seen::Short,
                (Seen::Admittance(y), Seen::Admittance(more)) => Seen::Admittance(y + more),
            },
        };
    }
    onward
}
