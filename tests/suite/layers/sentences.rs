//! A sentence of the screen is made in one file: what one file says no other one
//! says again, in the same words or in a long run of them.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use super::source::{root, strings};

/// So many words, besides what is put in, make a literal a sentence.
const SENTENCE: usize = 5;
/// So many words in a row of two files are one sentence told twice, whatever stands around them.
const RUN: usize = 10;

/// The words of what a literal says, as small letters; "{}" for each thing that is put in.
fn words(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(next) = rest.chars().next() {
        if let Some(after) = rest.strip_prefix("{{").or_else(|| rest.strip_prefix("}}")) {
            rest = after;
        } else if next == '{' {
            found.push("{}".to_owned());
            rest = rest.split_once('}').map_or("", |(_, after)| after);
        } else if next.is_alphabetic() {
            let is_part = |c: char| c.is_alphanumeric() || matches!(c, '\'' | '’' | '-');
            let end = rest.find(|c: char| !is_part(c)).unwrap_or(rest.len());
            found.push(rest[..end].trim_end_matches(['-', '\'']).to_lowercase());
            rest = &rest[end..];
        } else {
            rest = &rest[next.len_utf8()..];
        }
    }
    found
}

/// What a literal shares with others: itself, if it is a sentence, and its long runs of words.
fn keys(text: &str) -> BTreeSet<String> {
    let words = words(text);
    let mut keys = BTreeSet::new();
    if words.iter().filter(|word| *word != "{}").count() >= SENTENCE {
        keys.insert(words.join(" "));
    }
    for stretch in words.split(|word| word == "{}") {
        keys.extend(stretch.windows(RUN).map(|run| format!("… {} …", run.join(" "))));
    }
    keys
}

/// Whether a file is no part of the program: it quotes what others say.
fn is_test(path: &str) -> bool {
    path.contains("/tests/") || path.ends_with("tests.rs") || path.ends_with("/test_host.rs")
}

/// The text before a file's own tests, which stand at its end.
fn program(text: &str) -> &str {
    text.split("#[cfg(test)]\nmod ").next().unwrap_or(text)
}

/// Files below a folder with their text, as paths from the project's root.
fn files(folder: &Path, found: &mut Vec<(String, String)>) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() {
            files(&path, found);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            let below = path.strip_prefix(root()).expect("it lies below").to_string_lossy().replace('\\', "/");
            let text = fs::read_to_string(&path).expect("source is UTF-8");
            found.push((below, text));
        }
    }
}

/// What several files say, with the files.
fn told_twice(sources: &[(String, String)]) -> Vec<String> {
    let mut by_key: BTreeMap<String, BTreeSet<&str>> = BTreeMap::new();
    for (path, text) in sources.iter().filter(|(path, _)| !is_test(path)) {
        for key in strings(program(text)).iter().flat_map(|text| keys(text)) {
            by_key.entry(key).or_default().insert(path);
        }
    }
    let twice = by_key.into_iter().filter(|(_, paths)| paths.len() > 1);
    twice.map(|(key, paths)| format!("“{key}” in {}", Vec::from_iter(paths).join(" and "))).collect()
}

#[test]
fn a_sentence_is_made_in_one_file() {
    let mut sources = Vec::new();
    for folder in ["crates/core/src", "crates/gui/src"] {
        let before = sources.len();
        files(&root().join(folder), &mut sources);
        assert!(sources.len() > before + 100, "{folder} wasn't found");
    }
    let sentences = |(path, text): &(String, String)| match is_test(path) {
        true => 0,
        false => strings(program(text)).iter().filter(|text| !keys(text).is_empty()).count(),
    };
    let count: usize = sources.iter().map(sentences).sum();
    assert!(count > 800, "only {count} sentences were found");
    let twice = told_twice(&sources);
    assert!(twice.is_empty(), "{}", twice.join("\n"));
}

#[test]
fn what_is_told_twice_is_found() {
    let twice = |a: &str, b: &str| {
        let file = |name: &str, text: &str| (format!("crates/gui/src/{name}.rs"), format!("fn f() {{ g({text}) }}"));
        !told_twice(&[file("a", a), file("b", b)]).is_empty()
    };
    // What is put in may be called otherwise, and letters and stops may differ.
    assert!(twice(
        r#"format!("{name} wants {wants} and is not fed.")"#,
        r#"format!("{} wants {} and is not fed", a, b)"#
    ));
    assert!(twice(r#""It is plugged in like that already.""#, "\"  It is plugged in \\\n   like that already.\""));
    assert!(twice(r#""A plug \"in\" its own socket""#, r##"r#"a plug "in" its own socket"#"##));
    // A sentence within a longer one.
    let whole = r#""No signal gets to an amp, a DI box or an interface""#;
    assert!(twice(whole, r#""No signal gets to an amp, a DI box or an interface yet.""#));
    assert!(!twice(whole, r#""Join it to an amp, a DI box or an interface.""#), "a phrase is no sentence");
    assert!(!twice(r#""four words are few""#, r#""four words are few""#));
    assert!(!twice(r#""one of these five words""#, r#""another of those five words""#));
    let test = ("crates/gui/src/c.rs".to_owned(), format!("#[cfg(test)]\nmod tests {{ const A: &str = {whole}; }}"));
    assert!(told_twice(&[test, ("crates/gui/src/d.rs".to_owned(), format!("const A: &str = {whole};"))]).is_empty());
}
