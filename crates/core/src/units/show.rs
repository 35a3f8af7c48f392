//! How quantities are shown: three or so figures, the usual prefix.

use super::Dimension;

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

/// What a field shows of a number in its SI unit, and takes when it is typed: "4.7 kΩ",
/// "6 m", "50 %". Six figures, so that what is typed comes back.
#[must_use]
pub fn shown(value: f64, dimension: Dimension, unit: &str) -> String {
    match dimension {
        Dimension::Length => format!("{} m", trimmed(value, 6)),
        Dimension::Level => format!("{} dB", trimmed(value, 6)),
        Dimension::Part => format!("{} %", trimmed(value * 100.0, 6)),
        Dimension::Mass if value >= 1000.0 => format!("{} kg", trimmed(value / 1000.0, 6)),
        Dimension::Mass => format!("{} g", trimmed(value, 6)),
        Dimension::Number => trimmed(value, 6),
        _ => engineering(value, unit, 6),
    }
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

/// Digits of a count that are told one by one; past them it is told in powers of ten.
const MOST_DIGITS: usize = 24;

/// A count as a sentence has it: "2048", "16 384", "about 2.68 × 10³⁰⁰". From five
/// digits on they stand in threes, a narrow space that breaks no line between
/// [standard: the SI brochure, on formatting numbers].
#[must_use]
pub fn counted(count: impl std::fmt::Display) -> String {
    let digits = count.to_string();
    if digits.len() < 5 || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return digits;
    }
    if digits.len() > MOST_DIGITS {
        return in_powers_of_ten(&digits);
    }
    let mut told = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            told.push('\u{202F}');
        }
        told.push(digit);
    }
    told
}

/// Three figures and a power of ten.
fn in_powers_of_ten(digits: &str) -> String {
    let first: u32 = digits.get(..4).and_then(|first| first.parse().ok()).unwrap_or(0);
    let mut exponent = digits.len() - 1;
    let mut figures = (first + 5) / 10;
    if figures == 1000 {
        (figures, exponent) = (100, exponent + 1);
    }
    let raised: String =
        exponent.to_string().bytes().filter_map(|digit| RAISED.get(usize::from(digit - b'0'))).collect();
    format!("about {} × 10{raised}", trimmed(f64::from(figures) / 100.0, 3))
}

const RAISED: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_stand_in_threes() {
        for (count, told) in [(0_u64, "0"), (1, "1"), (999, "999"), (2048, "2048"), (9999, "9999")] {
            assert_eq!(counted(count), told);
        }
        assert_eq!(counted(10_000), "10\u{202F}000");
        assert_eq!(counted(1_048_576), "1\u{202F}048\u{202F}576");
        assert_eq!(counted(123_456), "123\u{202F}456");
        assert_eq!(
            counted(u128::from(u64::MAX) + 1),
            "18\u{202F}446\u{202F}744\u{202F}073\u{202F}709\u{202F}551\u{202F}616"
        );
        // 2⁹⁹⁸ = 2.678…·10³⁰⁰, by its logarithm.
        assert_eq!(counted(num_bigint::BigUint::from(1_u8) << 998_u32), "about 2.68 × 10³⁰⁰");
        assert_eq!(counted(num_bigint::BigUint::from(10_u8).pow(30) - 1_u8), "about 1 × 10³⁰");
    }

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
