//! The E24 and E6 series of preferred values, for stepping through parts that a shop has.
//!
//! Source: [standard, S: preferred-values].

/// One decade of E24.
pub const E24: [f64; 24] = [
    1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2,
    9.1,
];

/// One decade of E6: every fourth of E24.
pub const E6: [f64; 6] = [1.0, 1.5, 2.2, 3.3, 4.7, 6.8];

/// The number that two figures say: 510e3, and not 509999.99999999994.
fn tidy(value: f64) -> f64 {
    format!("{value:.1e}").parse().unwrap_or(value)
}

/// The next value of a series, given as one decade, above `value` (or below it),
/// whatever its decade.
///
/// Zero and what is no positive number stay as they are.
#[must_use]
pub fn step(series: &[f64], value: f64, up: bool) -> f64 {
    if !(value > 0.0 && value.is_finite()) {
        return value;
    }
    let decade = value.log10().floor() as i32;
    // Two decades' worth of neighbours, so that the ends need no special case.
    let candidates =
        (decade - 1..=decade + 1).flat_map(|exponent| series.iter().map(move |step| step * 10f64.powi(exponent)));
    let slack = 1e-9;
    if up {
        candidates.map(tidy).filter(|c| *c > value * (1.0 + slack)).fold(f64::INFINITY, f64::min)
    } else {
        candidates.map(tidy).filter(|c| *c < value * (1.0 - slack)).fold(0.0, f64::max)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stepping_crosses_decades() {
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9 * b, "{a} {b}");
        near(step(&E24, 9.1, true), 10.0);
        near(step(&E24, 1.0, false), 0.91);
        near(step(&E24, 22e-9, true), 24e-9);
        near(step(&E24, 500e3, true), 510e3);
        near(step(&E24, 500e3, false), 470e3);
        near(step(&E6, 500e3, true), 680e3);
        near(step(&E6, 500e3, false), 470e3);
        near(step(&E6, 6.8, true), 10.0);
        assert!(E6.iter().all(|value| E24.contains(value)));
    }
}
