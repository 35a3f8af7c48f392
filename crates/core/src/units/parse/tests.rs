//! What people type, what is asked back, and that nothing that is typed does harm.

use rigwright_tests::Dice;

use super::*;
use crate::units::shown;

#[track_caller]
fn near(text: &str, dimension: Dimension, expected: f64) {
    let Ok(Parsed::Value(got)) = parse(text, dimension) else { panic!("{text}: {:?}", parse(text, dimension)) };
    assert!((got - expected).abs() <= expected.abs() * 1e-12, "{text}: {got}");
}

#[track_caller]
fn asked(text: &str, dimension: Dimension, readings: [f64; 2]) {
    let Ok(Parsed::Ambiguous(got)) = parse(text, dimension) else { panic!("{text}: {:?}", parse(text, dimension)) };
    for (got, expected) in got.into_iter().zip(readings) {
        assert!((got - expected).abs() <= expected.abs() * 1e-12, "{text}: {got} and not {expected}");
    }
}

#[test]
fn what_guitarists_type() {
    near("4.7k", Dimension::Resistance, 4700.0);
    near("4k7", Dimension::Resistance, 4700.0);
    near("4K7", Dimension::Resistance, 4700.0);
    near("4k7Ω", Dimension::Resistance, 4700.0);
    near("4R7", Dimension::Resistance, 4.7);
    near("4r7", Dimension::Resistance, 4.7);
    near("0R1", Dimension::Resistance, 0.1);
    near("470R", Dimension::Resistance, 470.0);
    near("1M", Dimension::Resistance, 1e6);
    near("1M5", Dimension::Resistance, 1.5e6);
    near("1 meg", Dimension::Resistance, 1e6);
    near("2.2 MΩ", Dimension::Resistance, 2.2e6);
    near("470 Ω", Dimension::Resistance, 470.0);
    near("10 kohm", Dimension::Resistance, 1e4);
    near("10 kOhms", Dimension::Resistance, 1e4);
    near("22n", Dimension::Capacitance, 22e-9);
    near("2u2", Dimension::Capacitance, 2.2e-6);
    near("2µ2", Dimension::Capacitance, 2.2e-6);
    near("2μ2", Dimension::Capacitance, 2.2e-6);
    near("100p", Dimension::Capacitance, 100e-12);
    near("100PF", Dimension::Capacitance, 100e-12);
    near("3,3 nF", Dimension::Capacitance, 3.3e-9);
    near("3n3F", Dimension::Capacitance, 3.3e-9);
    near("450p", Dimension::Capacitance, 450e-12);
    near("0.022u", Dimension::Capacitance, 22e-9);
    near("4.5e-10", Dimension::Capacitance, 4.5e-10);
    near("4,5E-10 F", Dimension::Capacitance, 4.5e-10);
    near("2.5 H", Dimension::Inductance, 2.5);
    near("2H5", Dimension::Inductance, 2.5);
    near("800 mH", Dimension::Inductance, 0.8);
    near("−6 dB", Dimension::Level, -6.0);
    near("- 6 db", Dimension::Level, -6.0);
    near("+3", Dimension::Level, 3.0);
    near("50 %", Dimension::Part, 0.5);
    near("3V3", Dimension::Voltage, 3.3);
    near("100 pF/m", Dimension::CapacitancePerLength, 100e-12);
    near("30 pF/ft", Dimension::CapacitancePerLength, 98.425_196_850_393_7e-12);
    near("0R12", Dimension::ResistancePerLength, 0.12);
    near("1.2 kg", Dimension::Mass, 1200.0);
    near("120 mA", Dimension::Current, 0.12);
    near("24 VA", Dimension::Power, 24.0);
    near("1.5 ms", Dimension::Time, 1.5e-3);
    near("550 mAh", Dimension::Capacity, 0.55);
    near("2.4khz", Dimension::Frequency, 2400.0);
    near("2k4", Dimension::Frequency, 2400.0);
}

#[test]
fn lengths_in_two_steps() {
    near("20 ft", Dimension::Length, 6.096);
    near("20ft", Dimension::Length, 6.096);
    near("20'", Dimension::Length, 6.096);
    near("15 cm", Dimension::Length, 0.15);
    near("5m", Dimension::Length, 5.0);
    near("5 metres", Dimension::Length, 5.0);
    near("5'6\"", Dimension::Length, 1.6764);
    near("5′ 6″", Dimension::Length, 1.6764);
    near("5’6”", Dimension::Length, 1.6764);
    near("5'6", Dimension::Length, 1.6764);
    near("5'6''", Dimension::Length, 1.6764);
    near("5 ft 6 in", Dimension::Length, 1.6764);
    near("5 feet 6.5 inches", Dimension::Length, 1.6891);
    near("1 m 20", Dimension::Length, 1.2);
    near("1m20", Dimension::Length, 1.2);
    near("1 m 05", Dimension::Length, 1.05);
    near("1 m 205", Dimension::Length, 1.205);
    near("1 m 5 cm", Dimension::Length, 1.05);
    near("2 m 50 cm 5 mm", Dimension::Length, 2.505);
    near("1,5 m", Dimension::Length, 1.5);
    // One figure behind the metres is said both ways.
    asked("1 m 5", Dimension::Length, [1.5, 1.05]);
    near("1 m 0", Dimension::Length, 1.0);
    for wrong in ["5 in 6 ft", "5 ft 6 ft", "1 m 5 ft", "1.5 m 20", "5 cm 3", "1 m 2050", "5'6'7", "m 5", "1 m -5"] {
        assert!(parse(wrong, Dimension::Length).is_err(), "{wrong}");
    }
}

#[test]
fn commas_points_and_spaces() {
    let ohms = |text, expected| near(text, Dimension::Resistance, expected);
    ohms("1.500", 1.5);
    ohms("1 500", 1500.0);
    ohms("1\u{202F}500\u{A0}Ω", 1500.0);
    ohms("1,5", 1.5);
    ohms("1,50k", 1500.0);
    ohms("0,500", 0.5);
    ohms("1500,250", 1500.25);
    ohms("1,500,000", 1.5e6);
    ohms("1.500,5", 1500.5);
    ohms("1,500.5", 1500.5);
    asked("1,500", Dimension::Resistance, [1.5, 1500.0]);
    asked("1,500k", Dimension::Resistance, [1.5e3, 1.5e6]);
    asked("1,500 nF", Dimension::Capacitance, [1.5e-9, 1.5e-6]);
    asked("1,500 ft", Dimension::Length, [0.4572, 457.2]);
    asked("−1,500 dB", Dimension::Level, [-1.5, -1500.0]);
    asked("250,000e-12", Dimension::Capacitance, [250e-12, 250e-9]);
}

#[test]
fn nonsense_is_told_with_an_example() {
    for bad in [
        "",
        "k",
        "4..7k",
        "4.7k7",
        "4,7k7",
        "abc",
        "5 parsec",
        "--3",
        "- -3",
        "1e999",
        "1e",
        "1e99999999999999999999",
        "4RR7",
        "1 5",
        "4k7k",
        "4 7 k",
        "Ω",
        "R47",
        "4e3k7",
        "٤",
        "1e3e3",
    ] {
        assert!(parse(bad, Dimension::Resistance).is_err(), "{bad}");
    }
    let error = parse("six", Dimension::Length).unwrap_err().to_string();
    assert_eq!(error, "“six” is not understood here; type something like 6 m or 20 ft");
}

#[test]
fn what_is_typed_is_the_very_number() {
    // As a catalogue's file has it; multiplied afterwards, some of them would be another.
    for (text, number) in [("450p", 450e-12), ("22n", 22e-9), ("0.35u", 0.35e-6), ("4k7", 4.7e3), ("1M1", 1.1e6)] {
        let dimension = if number < 1.0 { Dimension::Capacitance } else { Dimension::Resistance };
        assert_eq!(parse(text, dimension), Ok(Parsed::Value(number)));
    }
}

/// The unit that is shown with each kind of number.
fn unit(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Resistance => "Ω",
        Dimension::Capacitance => "F",
        Dimension::Inductance => "H",
        Dimension::Length => "m",
        Dimension::Frequency => "Hz",
        Dimension::Level => "dB",
        Dimension::Voltage => "V",
        Dimension::Current => "A",
        Dimension::Power => "W",
        Dimension::Capacity => "Ah",
        Dimension::CapacitancePerLength => "F/m",
        Dimension::ResistancePerLength => "Ω/m",
        Dimension::InductancePerLength => "H/m",
        Dimension::Time => "s",
        Dimension::Mass => "g",
        Dimension::Part | Dimension::Number => "",
    }
}

#[test]
fn what_is_shown_is_read_back() {
    let mut dice = Dice::new(31);
    for round in 0..20_000 {
        let dimension = dice.pick(&Dimension::ALL);
        let magnitude = 10_f64.powf(-12.0 + 21.0 * dice.unit());
        let value = if dimension == Dimension::Level && dice.chance(0.5) { -magnitude } else { magnitude };
        let text = shown(value, dimension, unit(dimension));
        let Ok(Parsed::Value(back)) = parse(&text, dimension) else { panic!("{round}: {text} of {dimension:?}") };
        // Six figures are shown.
        assert!((back - value).abs() <= 6e-6 * value.abs(), "{round}: {value} was {text}, then {back}");
        assert_eq!(shown(back, dimension, unit(dimension)), text, "{round}: the same is shown again");
    }
    for dimension in Dimension::ALL {
        assert_eq!(parse(&shown(0.0, dimension, unit(dimension)), dimension), Ok(Parsed::Value(0.0)));
    }
}

/// Anything that a keyboard has, with much of what numbers are made of.
fn scribble(dice: &mut Dice) -> String {
    const SIGNS: &str = "00112579.,  -+−eEkKMmunpµμRΩFHVAWs%'\"′″’gd/BzhinftcΩ\u{202F}\u{A0}\t\u{301}é漢🎸";
    let signs: Vec<char> = SIGNS.chars().collect();
    (0..dice.below(14)).map(|_| dice.pick(&signs)).collect()
}

#[test]
fn random_text_does_no_harm() {
    let mut dice = Dice::new(77);
    let (mut values, mut asked) = (0, 0);
    for _ in 0..300_000 {
        let (text, dimension) = (scribble(&mut dice), dice.pick(&Dimension::ALL));
        match parse(&text, dimension) {
            Ok(Parsed::Value(value)) => {
                assert!(value.is_finite(), "{text:?}");
                values += 1;
            }
            Ok(Parsed::Ambiguous([first, second])) => {
                assert!(first.is_finite() && second.is_finite() && first != second, "{text:?}");
                asked += 1;
            }
            Err(error) => assert_eq!((error.text.as_str(), error.dimension), (text.trim(), dimension)),
        }
    }
    assert!(values > 5_000, "only {values} texts were numbers");
    assert!(asked > 0, "no text was ambiguous");
}
