//! Figures in sentences.

use crate::units::{Level, engineering};

/// What is given up where a lead is to be bought.
pub const A_LEAD_TO_BUY: &str = "It is a lead to buy.";
/// The same of a unit.
pub const A_UNIT_TO_BUY: &str = "It is a unit to buy.";

/// "+9.2 dB", "−3.4 dB".
pub fn signed(db: f64) -> String {
    Level::Decibels(db).to_string()
}

/// "9.2 dB".
pub fn plain(db: f64) -> String {
    // Adding zero turns −0 into 0.
    format!("{:.1} dB", db.max(0.0) + 0.0)
}

/// "25 kΩ".
pub fn ohms(value: f64) -> String {
    engineering(value, "Ω", 3)
}

/// "one" to "twelve", then figures.
pub fn count(n: usize) -> String {
    const WORDS: [&str; 13] =
        ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
    WORDS.get(n).map_or_else(|| n.to_string(), |word| (*word).to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_signs_where_they_should() {
        assert_eq!(signed(9.16), "+9.2 dB");
        assert_eq!(signed(-3.44), "−3.4 dB");
        assert_eq!(plain(-0.0), "0.0 dB");
        assert_eq!((count(1), count(12), count(13)), ("one".into(), "twelve".into(), "13".into()));
    }
}
