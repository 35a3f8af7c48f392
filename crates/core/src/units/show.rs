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

/// Two numbers that differ, with as many figures as it takes to see that:
/// ("100.04", "100") and not "100 of 100".
#[must_use]
pub fn beside(value: f64, limit: f64, figures: usize) -> (String, String) {
    let enough = (figures..12).find(|figures| value == limit || trimmed(value, *figures) != trimmed(limit, *figures));
    let figures = enough.unwrap_or(12);
    (trimmed(value, figures), trimmed(limit, figures))
}

/// A load and its rating, which stand in A or W: "104 of 100 mA", "56 mA of 1 A", "19 of 18 W".
#[must_use]
pub fn part_of(load: f64, limit: f64, unit: &str) -> String {
    // A load below a whole unit is spoken of in thousandths, whatever its rating is.
    let milli = |value: f64| value.abs() < 1.0 - 1e-12 && (unit == "A" || limit < 1.0 - 1e-12);
    match (milli(load), milli(limit)) {
        (true, false) if load > 0.0 => format!("{} m{unit} of {} {unit}", trimmed(load * 1e3, 3), trimmed(limit, 3)),
        (_, small) => {
            let (scale, prefix) = if small { (1e3, "m") } else { (1.0, "") };
            let (load, limit) = beside(load * scale, limit * scale, 3);
            format!("{load} of {limit} {prefix}{unit}")
        }
    }
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
    fn a_load_stands_beside_its_rating_as_a_person_says_it() {
        assert_eq!(part_of(0.265, 0.3, "A"), "265 of 300 mA");
        assert_eq!(part_of(0.056, 1.0, "A"), "56 mA of 1 A");
        assert_eq!(part_of(1.25, 1.7, "A"), "1.25 of 1.7 A");
        assert_eq!(part_of(1.2, 0.5, "A"), "1200 of 500 mA");
        assert_eq!(part_of(0.0, 1.0, "A"), "0 of 1 A");
        assert_eq!(part_of(0.54, 0.5, "W"), "540 of 500 mW");
        assert_eq!(part_of(0.54, 18.0, "W"), "0.54 of 18 W");
        // Two figures that differ are seen to.
        assert_eq!(part_of(0.100_04, 0.1, "A"), "100.04 of 100 mA");
        assert_eq!(beside(60.004, 60.0, 4), ("60.004".to_owned(), "60".to_owned()));
        assert_eq!(beside(9.0, 9.0, 4), ("9".to_owned(), "9".to_owned()));
    }

    #[test]
    fn rounding_never_shows_four_figures_for_three() {
        assert_eq!(trimmed(9.999, 3), "10");
        assert_eq!(trimmed(-0.5, 3), "−0.5");
    }
}
