//! Wire by gauge: the standards' own numbers.

use rigwright_core::conductor::{Gauge, awg_diameter, awg_ohms_per_metre};

/// Diameters in mm and Ω/km of solid copper. [S: gauge]
#[test]
fn american_gauges_have_the_standards_diameter_and_resistance() {
    for (number, ohms) in [(20, 33.31), (22, 52.96), (24, 84.21), (26, 133.9), (28, 212.9)] {
        let got = awg_ohms_per_metre(number) * 1e3;
        let last_digit = if ohms < 100.0 { 0.005 } else { 0.05 };
        assert!((got - ohms).abs() <= last_digit, "AWG {number}: {got} Ω/km instead of {ohms}");
    }
    // The law's two fixed ends: number 36 is 5 mil, number 0000 (−3) 460 mil; 92 times as thick.
    assert!((awg_diameter(36) - 0.127).abs() < 1e-12);
    assert!((awg_diameter(0) * 92_f64.powf(3.0 / 39.0) - 11.684).abs() < 1e-9);
}

/// The most that flexible conductors may have at 20 °C. [S: flexible-wire]
#[test]
fn flexible_conductors_have_the_standards_maximum() {
    for (gauge, ohms) in [(Gauge::Half, 39.0), (Gauge::ThreeQuarters, 26.0), (Gauge::One, 19.5)] {
        assert!((gauge.ohms_per_metre() * 1e3 - ohms).abs() < 1e-9, "{}", gauge.name());
    }
}

#[test]
fn each_gauge_of_a_list_is_thinner_than_the_one_before() {
    let (metric, american) = Gauge::ALL.split_at(3);
    assert!(metric.is_sorted_by(|a, b| a.ohms_per_metre() < b.ohms_per_metre()));
    assert!(american.is_sorted_by(|a, b| a.ohms_per_metre() < b.ohms_per_metre()));
    assert_eq!(Gauge::Awg24.ohms_per_metre(), awg_ohms_per_metre(24));
}
