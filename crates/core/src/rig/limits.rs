//! From where on something is worth a word: the player's own limits.

use crate::units::{Decibels, Dimension, Metres, Ohms, OutOfRange, Turn, Volts};

/// Limits that findings go by. Each is the player's to set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// A switch that changes the tone by more than this is told.
    pub jump: Decibels,
    /// A rig that sounds like a longer lead than this is dull.
    pub dull: Metres,
    /// A unit whose input takes more than this off the guitar's peak loads it.
    pub loading: Decibels,
    /// A unit whose input has no more than this has a gain that depends on its
    /// source, unless the unit itself says otherwise.
    pub fuzz: Ohms,
    /// A lead longer than this wants a low-impedance output.
    pub long_lead: Metres,
    /// A buffer that changes no curve by more than this does nothing.
    pub useless: Decibels,
    /// The highest voltage, string struck hard, of an instrument that says none of its own.
    pub guitar_peak: Volts,
    /// The highest voltage that a unit's input takes.
    pub input_peak: Volts,
    /// The part of a supply's current that may be used.
    pub headroom: Turn,
    /// The part by which a voltage may lie outside a unit's range.
    pub voltage: Turn,
    /// The part from which on a voltage above a unit's range can destroy it, if it is analogue.
    pub over_voltage: Turn,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            jump: Decibels::of(3.0),
            dull: Metres::of(10.0),
            loading: Decibels::of(2.0),
            fuzz: Ohms::of(20_000.0),
            long_lead: Metres::of(3.0),
            useless: Decibels::of(0.5),
            guitar_peak: Volts::of(1.0),
            input_peak: Volts::of(4.0),
            headroom: Turn::of(0.8),
            voltage: Turn::of(0.1),
            over_voltage: Turn::of(0.25),
        }
    }
}

/// One limit, for a list of them.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitField {
    /// Its name for programs; it stays as it is.
    pub key: &'static str,
    /// What a person calls it.
    pub label: &'static str,
    /// Where its default comes from.
    pub source: &'static str,
    /// What kind of number it is.
    pub dimension: Dimension,
    /// Its unit's symbol.
    pub unit: &'static str,
    /// The number, in the SI unit.
    pub value: f64,
}

impl Limits {
    /// All limits, in the order in which a person wants to read them.
    #[must_use]
    pub fn fields(&self) -> Vec<LimitField> {
        let db = |key, label, value: Decibels, source| LimitField {
            key,
            label,
            source,
            dimension: Dimension::Level,
            unit: Decibels::UNIT,
            value: value.get(),
        };
        let length = |key, label, value: Metres, source| LimitField {
            key,
            label,
            source,
            dimension: Dimension::Length,
            unit: Metres::UNIT,
            value: value.get(),
        };
        let voltage = |key, label, value: Volts, source| LimitField {
            key,
            label,
            source,
            dimension: Dimension::Voltage,
            unit: Volts::UNIT,
            value: value.get(),
        };
        let part = |key, label, value: Turn, source| LimitField {
            key,
            label,
            source,
            dimension: Dimension::Part,
            unit: Turn::UNIT,
            value: value.get(),
        };
        vec![
            db(
                "jump",
                "tone jump from",
                self.jump,
                "common practice, no source: a change that most players hear at once",
            ),
            length("dull", "dull from", self.dull, "common practice, no source: twice a usual lead"),
            db(
                "loading",
                "loads the guitar from",
                self.loading,
                "common practice, no source: a peak that is plainly lower",
            ),
            LimitField {
                key: "fuzz",
                label: "gain depends on the source up to",
                source: "inputs of 5-20 kΩ (public pages; values from memory); a unit may say otherwise",
                dimension: Dimension::Resistance,
                unit: Ohms::UNIT,
                value: self.fuzz.get(),
            },
            length(
                "long_lead",
                "long lead from",
                self.long_lead,
                "common practice, no source: longer than any patch lead",
            ),
            db(
                "useless",
                "does nothing below",
                self.useless,
                "common practice, no source: less than most players hear",
            ),
            voltage(
                "guitar_peak",
                "peak of an instrument that has none of its own",
                self.guitar_peak,
                "public page: a hobby measurement, peaks to 1 V",
            ),
            voltage("input_peak", "inputs take", self.input_peak, "from memory: a 9 V unit takes about 4 V either way"),
            part(
                "headroom",
                "load of a supply up to",
                self.headroom,
                "common practice, no source: four fifths of its current",
            ),
            part(
                "voltage",
                "a voltage may be off by",
                self.voltage,
                "common practice, no source: a tenth more or less is fine",
            ),
            part(
                "over_voltage",
                "can destroy from, above the most",
                self.over_voltage,
                "common practice, no source: a quarter too much; digital units from the line above on",
            ),
        ]
    }

    /// Sets the limit of that key. `Ok(false)` if there is none; the error says
    /// which range was expected. No limit is below zero.
    pub fn set(&mut self, key: &str, value: f64) -> Result<bool, OutOfRange> {
        match key {
            "jump" => self.jump = no_less_than_zero(value)?,
            "dull" => self.dull = Metres::new(value)?,
            "loading" => self.loading = no_less_than_zero(value)?,
            "fuzz" => self.fuzz = Ohms::new(value)?,
            "long_lead" => self.long_lead = Metres::new(value)?,
            "useless" => self.useless = no_less_than_zero(value)?,
            "guitar_peak" => self.guitar_peak = Volts::new(value)?,
            "input_peak" => self.input_peak = Volts::new(value)?,
            "headroom" => self.headroom = Turn::new(value)?,
            "voltage" => self.voltage = Turn::new(value)?,
            "over_voltage" => self.over_voltage = Turn::new(value)?,
            _ => return Ok(false),
        }
        Ok(true)
    }
}

/// How far something may go has no sign.
fn no_less_than_zero(value: f64) -> Result<Decibels, OutOfRange> {
    let level = Decibels::new(value);
    let wrong = OutOfRange { what: "a limit", got: value, range: (0.0, Decibels::MAX), unit: Decibels::UNIT };
    level.ok().filter(|level| level.get() >= 0.0).ok_or(wrong)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_limit_is_listed_and_set_by_its_key() {
        let mut limits = Limits::default();
        let keys: Vec<&str> = limits.fields().iter().map(|field| field.key).collect();
        assert_eq!(
            keys,
            [
                "jump",
                "dull",
                "loading",
                "fuzz",
                "long_lead",
                "useless",
                "guitar_peak",
                "input_peak",
                "headroom",
                "voltage",
                "over_voltage"
            ]
        );
        for (at, key) in keys.iter().enumerate() {
            let before = limits.fields();
            // A part is no more than all.
            let part = before[at].dimension == Dimension::Part;
            let value = if part { 0.5 } else { 7.5 + at as f64 };
            assert_eq!(limits.set(key, value), Ok(true), "{key}");
            let after = limits.fields();
            for (index, (before, after)) in before.iter().zip(&after).enumerate() {
                let expected = if index == at { value } else { before.value };
                assert_eq!(after.value, expected, "{key}");
                assert!(!after.label.is_empty() && !after.source.is_empty());
                assert_eq!(after.unit.is_empty(), after.dimension == Dimension::Part, "{key}");
            }
        }
        let as_they_were = limits;
        assert_eq!(limits.set("jumps", 1.0), Ok(false));
        assert_eq!(limits, as_they_were);
    }

    #[test]
    fn nonsense_is_refused_and_changes_nothing() {
        let mut limits = Limits::default();
        for key in ["jump", "loading", "useless"] {
            let error = limits.set(key, -1.0).unwrap_err();
            assert_eq!(error.to_string(), "a limit can't be −1 dB; expected 0 dB to 200 dB");
        }
        for key in limits.fields().iter().map(|field| field.key) {
            for bad in [f64::NAN, f64::INFINITY, -0.5, 1e12] {
                assert!(limits.set(key, bad).is_err(), "{key} {bad}");
            }
        }
        assert_eq!(limits, Limits::default());
    }
}
