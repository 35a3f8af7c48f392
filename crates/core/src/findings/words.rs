//! How sentences are put together.

use crate::rig::Device;
use crate::units::{Level, engineering};

/// What a device is called, also where the player gave it no name.
pub fn name_of(device: &Device) -> String {
    match device.name.trim() {
        "" => format!("Unnamed {}", device.kind.noun()),
        name => name.to_owned(),
    }
}

/// "A", "A and B", "A, B and C"; past `most` of them "A, B and 4 more".
pub fn list(names: &[String], most: usize) -> String {
    let (shown, left) = if names.len() > most + 1 { names.split_at(most) } else { (names, [].as_slice()) };
    let rest = (!left.is_empty()).then(|| format!("{} more", left.len()));
    let all: Vec<String> = shown.iter().cloned().chain(rest).collect();
    match all.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
    }
}

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

/// The sentence with a capital letter first.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_are_short() {
        let names = |n: usize| (1..=n).map(|at| format!("U{at}")).collect::<Vec<_>>();
        assert_eq!(list(&names(0), 3), "");
        assert_eq!(list(&names(1), 3), "U1");
        assert_eq!(list(&names(2), 3), "U1 and U2");
        assert_eq!(list(&names(3), 3), "U1, U2 and U3");
        // One more takes no more room than “1 more”.
        assert_eq!(list(&names(4), 3), "U1, U2, U3 and U4");
        assert_eq!(list(&names(6), 3), "U1, U2, U3 and 3 more");
    }

    #[test]
    fn numbers_have_signs_where_they_should() {
        assert_eq!(signed(9.16), "+9.2 dB");
        assert_eq!(signed(-3.44), "−3.4 dB");
        assert_eq!(plain(-0.0), "0.0 dB");
        assert_eq!((count(1), count(12), count(13)), ("one".into(), "twelve".into(), "13".into()));
        assert_eq!(capital("nine more"), "Nine more");
    }
}
