//! The searches are a crate of numbers: no word of rigs stands in it, only the
//! core is built on it, and it is built on nothing.

use super::floors::reaching_outside;
use super::manifest::{manifest, tables};
use super::source::{sources, texts};

/// Words of rigs, in the singular; as parts of names too.
const WORDS: [&str; 57] = [
    "rig",
    "pedal",
    "supply",
    "outlet",
    "socket",
    "volt",
    "voltage",
    "amp",
    "ampere",
    "watt",
    "microwatt",
    "device",
    "unit",
    "module",
    "mains",
    "plug",
    "plugged",
    "polarity",
    "pole",
    "adapter",
    "connector",
    "guitar",
    "pickup",
    "tone",
    "noise",
    "noisy",
    "quiet",
    "loud",
    "decibel",
    "digital",
    "analogue",
    "daisy",
    "winding",
    "earth",
    "earthed",
    "headroom",
    "isolated",
    "battery",
    "catalogue",
    "signal",
    "current",
    "feed",
    "fed",
    "unfed",
    "cable",
    "jack",
    "board",
    "amplifier",
    "footswitch",
    "tap",
    "wiring",
    "circuit",
    "drive",
    "fuzz",
    "musician",
    "player",
    "song",
];

/// The words of a text, names taken apart: `MostPlugs` and `most_plugs` are "most" and "plugs".
fn words(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut word = String::new();
    let mut before = ' ';
    for c in text.chars().chain([' ']) {
        let begins = c.is_uppercase() && before.is_lowercase();
        if (begins || !c.is_alphabetic()) && !word.is_empty() {
            found.push(std::mem::take(&mut word));
        }
        if c.is_alphabetic() {
            word.extend(c.to_lowercase());
        }
        before = c;
    }
    found
}

/// Whether a word is one of rigs, in the singular or the plural.
fn is_of_rigs(word: &str) -> bool {
    let one = word.strip_suffix("ies").map(|stem| format!("{stem}y"));
    let stems = [word, word.strip_suffix('s').unwrap_or(word), word.strip_suffix("es").unwrap_or(word)];
    WORDS.iter().any(|known| stems.contains(known) || one.as_deref() == Some(known))
}

#[test]
fn the_search_has_no_word_of_rigs() {
    let texts = texts("crates/search");
    assert!(texts.len() > 15, "only {} files of the search were found", texts.len());
    let mut wrong = Vec::new();
    for (path, text) in &texts {
        for (number, line) in text.lines().enumerate() {
            let found = words(line).into_iter().filter(|word| is_of_rigs(word));
            wrong.extend(found.map(|word| format!("{path}:{}: {word}", number + 1)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn only_the_core_is_built_on_the_search_and_the_search_on_nothing() {
    let on = |path: &str| -> Vec<String> {
        let found = tables(&manifest(path)).into_iter().filter(|(_, name)| name == "rigwright-search");
        found.map(|(table, _)| format!("{path}: {table}")).collect()
    };
    let all: Vec<String> = ["crates/core", "crates/gui", "crates/search", "tests"]
        .iter()
        .flat_map(|path| on(&format!("{path}/Cargo.toml")))
        .collect();
    assert_eq!(all, ["crates/core/Cargo.toml: dependencies"]);
    let own = tables(&manifest("crates/search/Cargo.toml"));
    assert!(own.iter().all(|(table, _)| table == "dev-dependencies"), "{own:?}");
    let names: Vec<&str> = own.iter().map(|(_, name)| name.as_str()).collect();
    assert_eq!(names, ["divan", "rigwright-tests"]);
}

#[test]
fn the_search_reaches_nothing_outside() {
    let wrong = reaching_outside(&sources("crates/search/src"));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn words_of_rigs_are_seen_in_names_too() {
    let seen = |text: &str| words(text).into_iter().filter(|word| is_of_rigs(word)).collect::<Vec<_>>();
    assert_eq!(seen("let most_plugs = MostVolts;"), ["plugs", "volts"]);
    assert_eq!(seen("// It supplies the Rig's amps."), ["supplies", "rig", "amps"]);
    assert_eq!(seen("use rigwright_tests::Dice; // right, united, example, tape").len(), 0);
}
