//! Capacitance of a coaxial lead from its cross-section.

use std::f64::consts::TAU;

use crate::units::FaradsPerMetre;

/// Permittivity of vacuum in F/m: CODATA 2018. [textbook, S: coax]
const EPSILON_0: f64 = 8.854_187_812_8e-12;

/// C′ = 2πε₀ε_r / ln(D/d): `screen` over `core`, both in the same unit.
///
/// Source: [textbook, S: coax]. `None` where the screen isn't outside the core or the
/// permittivity isn't at least 1.
#[must_use]
pub fn coax_capacitance(core: f64, screen: f64, relative_permittivity: f64) -> Option<FaradsPerMetre> {
    if !(core > 0.0 && screen > core && relative_permittivity >= 1.0) {
        return None;
    }
    FaradsPerMetre::new(TAU * EPSILON_0 * relative_permittivity / (screen / core).ln()).ok()
}
