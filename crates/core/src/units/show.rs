//! How quantities are shown: three or so figures, the usual prefix.

const PREFIXES: [(f64, &str); 8] =
    [(1e9, "G"), (1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m"), (1e-6, "µ"), (1e-9, "n"), (1e-12, "p")];

/// `value` with `figures` significant figures and no idle zeros: "0.15", "450".
#[must_use]
pub fn trimmed(value: f64, figures: usize) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 { "0".into() } else { value.to_string() };
    }
    // Rounding first, so that 999.6 at three figures counts as 1000.
    let rounded: f64 = format!("{value:.*e}", figures.max(1) - 1).parse().unwrap_or(value);
    let whole_digits = rounded.abs().log10().floor() as i32 + 1;
    let decimals = (figures as i32 - whole_digits).max(0) as usize;
    let mut text = format!("{rounded:.decimals$}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if let Some(rest) = text.strip_prefix('-') { format!("−{rest}") } else { text }
}

/// "4.7 kΩ", "450 pF", "2.5 H": `value` in `unit` with an SI prefix.
#[must_use]
pub fn engineering(value: f64, unit: &str, figures: usize) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{} {unit}", trimmed(value, figures));
    }
    let rounded: f64 = format!("{value:.*e}", figures.max(1) - 1).parse().unwrap_or(value);
    let (scale, prefix) =
        PREFIXES.into_iter().find(|(scale, _)| rounded.abs() >= scale * (1.0 - 1e-12)).unwrap_or((1e-12, "p"));
    format!("{} {prefix}{unit}", trimmed(rounded / scale, figures))
}

/// A frequency: "82 Hz", "2.43 kHz", "20 kHz".
#[must_use]
pub fn hertz(value: f64) -> String {
    engineering(value, "Hz", 3)
}

/// A length: "6 m", "0.15 m"; players speak of no milli- or kilometres of lead.
#[must_use]
pub fn metres(value: f64) -> String {
    format!("{} m", trimmed(if value.abs() < 10.0 { (value * 1000.0).round() / 1000.0 } else { value }, 3))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_prefixes() {
        assert_eq!(engineering(4700.0, "Ω", 3), "4.7 kΩ");
        assert_eq!(engineering(1e6, "Ω", 3), "1 MΩ");
        assert_eq!(engineering(450e-12, "F", 3), "450 pF");
        assert_eq!(engineering(1.4304e-9, "F", 3), "1.43 nF");
        assert_eq!(engineering(22e-9, "F", 3), "22 nF");
        assert_eq!(engineering(2.5, "H", 3), "2.5 H");
        assert_eq!(engineering(999.6, "Hz", 3), "1 kHz");
        assert_eq!(engineering(0.0, "F", 3), "0 F");
        assert_eq!(engineering(2e-13, "F", 3), "0.2 pF");
        assert_eq!(hertz(2433.4), "2.43 kHz");
        assert_eq!(metres(0.15), "0.15 m");
        assert_eq!(metres(14.32), "14.3 m");
    }

    #[test]
    fn rounding_never_shows_four_figures_for_three() {
        assert_eq!(trimmed(9.999, 3), "10");
        assert_eq!(trimmed(-0.5, 3), "−0.5");
    }
}
