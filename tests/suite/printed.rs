//! Comparing a computed number with one that was printed elsewhere.

/// Fails unless `value` rounds to the number printed: it may differ by half a
/// unit in the last printed digit.
#[track_caller]
pub fn agrees(value: f64, printed: &str) {
    let (number, half_unit) = read(printed);
    // The slack is for the binary form of the printed number itself.
    let allowed = half_unit * (1.0 + 1e-9) + number.abs() * 1e-15;
    assert!((value - number).abs() <= allowed, "got {value}, printed is {printed}, allowed ±{half_unit:e}");
}

/// The number in `printed` and half a unit in its last digit; "−" and "-" are both minus.
fn read(printed: &str) -> (f64, f64) {
    let plain = printed.replace('−', "-");
    let number: f64 = plain.parse().expect("a printed number");
    let (digits, exponent) = plain.split_once('e').unwrap_or((&plain, "0"));
    let exponent: i32 = exponent.parse().expect("a printed exponent");
    let decimals = digits.split_once('.').map_or(0, |(_, decimals)| decimals.len() as i32);
    (number, 0.5 * 10f64.powi(exponent - decimals))
}

/// Fails unless the two differ by at most `allowed`.
#[track_caller]
pub fn near(value: f64, expected: f64, allowed: f64) {
    assert!((value - expected).abs() <= allowed, "got {value}, expected {expected}, allowed ±{allowed:e}");
}

#[test]
fn half_a_unit_is_read_from_the_last_digit() {
    assert_eq!(read("10066"), (10066.0, 0.5));
    assert_eq!(read("−0.4568"), (-0.4568, 0.5 * 10f64.powi(-4)));
    assert_eq!(read("3.770e-5"), (3.770e-5, 0.5 * 10f64.powi(-8)));
    assert!(std::panic::catch_unwind(|| agrees(1.2345, "1.23")).is_ok());
    assert!(std::panic::catch_unwind(|| agrees(1.2351, "1.23")).is_err());
}
