//! The page of sources: what points to it, what it holds, and that nothing points
//! to a file that isn't here.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

const PAGE: &str = include_str!("../SOURCES.md");

/// The labels that the page explains.
const LABELS: [&str; 9] =
    ["standard", "textbook", "page", "paper", "book", "practice", "reasoning", "arithmetic", "memory"];

/// Beginnings of labels that stand in place of a pointer.
const BARE: [&str; 12] = [
    "standard",
    "textbook",
    "page",
    "paper",
    "book",
    "practice",
    "common practice",
    "reasoning",
    "circuit reasoning",
    "arithmetic",
    "memory",
    "Kirchhoff",
];

/// What the page says under a key.
struct Entry {
    labels: Vec<&'static str>,
    text: String,
}

/// The page's entries: a line "**key** · labels · how it was worked", and what follows it.
fn entries() -> BTreeMap<&'static str, Entry> {
    let mut found: BTreeMap<&str, Entry> = BTreeMap::new();
    let mut current = None;
    for line in PAGE.lines() {
        if let Some((key, rest)) = line.strip_prefix("**").and_then(|line| line.split_once("** · ")) {
            let labels = rest.split(" · ").next().unwrap_or(rest).split(", ").collect();
            let before = found.insert(key, Entry { labels, text: String::new() });
            assert!(before.is_none(), "“{key}” stands twice on the page");
            current = Some(key);
        } else if line.starts_with("## ") {
            current = None;
        } else if let Some(entry) = current.and_then(|key| found.get_mut(key)) {
            entry.text.push_str(line);
            entry.text.push('\n');
        }
    }
    found
}

/// A text of the project, and its path below the root.
struct Text {
    path: String,
    text: String,
}

/// All texts of the project that somebody writes by hand, but for the page.
fn texts() -> Vec<Text> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut found = Vec::new();
    for name in ["README.md", "DEVELOPERS.md"] {
        let text = std::fs::read_to_string(root.join(name)).expect(name);
        found.push(Text { path: name.to_owned(), text });
    }
    for folder in ["crates", "tests", "assets"] {
        collect(&root, &root.join(folder), &mut found);
    }
    assert!(found.len() > 300, "only {} texts", found.len());
    found
}

fn collect(root: &Path, folder: &Path, found: &mut Vec<Text>) {
    for entry in std::fs::read_dir(folder).expect("a folder of the project").flatten() {
        let path = entry.path();
        let kind = path.extension().and_then(|kind| kind.to_str()).unwrap_or_default();
        if path.is_dir() {
            collect(root, &path, found);
        } else if ["rs", "py", "json", "md", "ron", "toml"].contains(&kind) && !path.ends_with("SOURCES.md") {
            let text = std::fs::read_to_string(&path).expect("texts are UTF-8");
            let below = path.strip_prefix(root).expect("it lies below");
            found.push(Text { path: below.to_string_lossy().replace('\\', "/"), text });
        }
    }
}

/// What stands in brackets on one line.
fn brackets(text: &str) -> impl Iterator<Item = &str> {
    text.lines()
        .flat_map(|line| line.split('[').skip(1).filter_map(|rest| rest.split_once(']').map(|(in_it, _)| in_it)))
}

/// A pointer's labels, where it says some in place, and its keys.
fn pointer(in_brackets: &str) -> Option<(Vec<&str>, Vec<&str>)> {
    let (labels, keys) = match in_brackets.strip_prefix("S: ") {
        Some(keys) => (Vec::new(), keys),
        None => {
            let (labels, keys) = in_brackets.split_once(", S: ")?;
            (labels.split(", ").collect(), keys)
        }
    };
    Some((labels, keys.split(", ").collect()))
}

fn is_bare(in_brackets: &str) -> bool {
    let ends = |rest: &str| rest.is_empty() || rest.starts_with([':', ';', ',']) || rest.starts_with(" or ");
    pointer(in_brackets).is_none() && BARE.iter().any(|label| in_brackets.strip_prefix(label).is_some_and(ends))
}

/// The part of a source file that is a test's; of the suite, the benches and the scripts all of it.
fn of_tests(text: &Text) -> &str {
    let whole = text.path.starts_with("tests/")
        || text.path.contains("/tests/")
        || text.path.ends_with("tests.rs")
        || text.path.ends_with(".py");
    if whole {
        return &text.text;
    }
    text.text.find("#[cfg(test)]\nmod tests {").map_or("", |start| &text.text[start..])
}

#[test]
fn each_pointer_has_its_entry_and_each_entry_a_pointer() {
    let entries = entries();
    let mut pointed: BTreeSet<String> = BTreeSet::new();
    let mut astray = Vec::new();
    for text in texts() {
        for (_, keys) in brackets(&text.text).filter_map(pointer) {
            for key in keys {
                if !entries.contains_key(key) && !text.path.ends_with("suite/sources.rs") {
                    astray.push(format!("{}: {key}", text.path));
                }
                pointed.insert(key.to_owned());
            }
        }
    }
    assert!(astray.is_empty(), "not on the page:\n{}", astray.join("\n"));
    let alone: Vec<_> = entries.keys().filter(|key| !pointed.contains(**key)).collect();
    assert!(alone.is_empty(), "nothing points to {alone:?}");
}

#[test]
fn labels_are_those_that_are_explained_and_the_same_in_place() {
    let entries = entries();
    for (key, entry) in &entries {
        for label in &entry.labels {
            assert!(LABELS.contains(label), "{key}: {label}");
        }
        assert!(!entry.text.trim().is_empty(), "{key} says nothing");
    }
    let mut wrong = Vec::new();
    for text in texts().iter().filter(|text| !text.path.ends_with("suite/sources.rs")) {
        for (labels, keys) in brackets(&text.text).filter_map(pointer) {
            let of_entries: Vec<&str> =
                keys.iter().filter_map(|key| entries.get(key)).flat_map(|entry| entry.labels.iter().copied()).collect();
            for label in labels.iter().filter(|label| !of_entries.contains(label)) {
                wrong.push(format!("{}: {label} of {keys:?}", text.path));
            }
        }
    }
    assert!(wrong.is_empty(), "the page has another label:\n{}", wrong.join("\n"));
}

/// A test's source is an entry of the page, and no label by itself.
#[test]
fn tests_point_to_the_page() {
    let mut bare = Vec::new();
    for text in texts().iter().filter(|text| !text.path.ends_with("suite/sources.rs")) {
        bare.extend(
            brackets(of_tests(text)).filter(|found| is_bare(found)).map(|found| format!("{}: [{found}]", text.path)),
        );
    }
    assert!(bare.is_empty(), "labels without a pointer:\n{}", bare.join("\n"));
}

/// Nobody who has the project is sent to a file that isn't in it.
#[test]
fn nothing_points_outside() {
    // Put together here, so that this file may be looked at, too.
    let outside = [concat!("physics", ".md"), concat!("design", ".md"), concat!("shared", "/"), "\u{a7}"];
    let mut found = Vec::new();
    let page = Text { path: "tests/SOURCES.md".to_owned(), text: PAGE.to_owned() };
    for text in texts().iter().chain([&page]) {
        for (at, line) in text.text.lines().enumerate() {
            if outside.iter().any(|name| line.contains(name)) {
                found.push(format!("{}:{}: {}", text.path, at + 1, line.trim()));
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// Whether a text has a number as it is printed, and not as a part of another.
fn prints(text: &str, number: &str) -> bool {
    text.match_indices(number).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        let mut after = text[at + number.len()..].chars();
        let goes_on = match after.next() {
            Some('.') => after.next().is_some_and(|c| c.is_ascii_digit()),
            Some(c) => c.is_ascii_digit(),
            None => false,
        };
        !goes_on && !before.is_some_and(|c| c.is_ascii_digit() || c == '.')
    })
}

/// The numbers that checks print stand in the entries that their file points to.
#[test]
fn printed_numbers_stand_on_the_page() {
    let entries = entries();
    let is_number = |text: &str| {
        text.starts_with(|c: char| c.is_ascii_digit() || c == '−') && text.replace('−', "-").parse::<f64>().is_ok()
    };
    let (mut seen, mut missing) = (0, Vec::new());
    for text in texts().iter().filter(|text| text.path.starts_with("tests/suite/checks/")) {
        let keys: BTreeSet<&str> = brackets(&text.text).filter_map(pointer).flat_map(|(_, keys)| keys).collect();
        let there: String = keys.iter().filter_map(|key| entries.get(key)).map(|entry| entry.text.as_str()).collect();
        for number in text.text.lines().flat_map(|line| line.split('"').skip(1).step_by(2)).filter(|n| is_number(n)) {
            seen += 1;
            if !prints(&there, number) {
                missing.push(format!("{}: {number}", text.path));
            }
        }
    }
    assert!(seen > 150, "only {seen} numbers were found");
    assert!(missing.is_empty(), "not on the page:\n{}", missing.join("\n"));
}

#[test]
fn pointers_labels_and_numbers_are_read() {
    assert_eq!(pointer("S: divider, corner"), Some((vec![], vec!["divider", "corner"])));
    assert_eq!(pointer("page, memory, S: block"), Some((vec!["page", "memory"], vec!["block"])));
    assert_eq!(pointer("memory: a range"), None);
    assert!(is_bare("memory") && is_bare("textbook: Kirchhoff's laws") && is_bare("page or memory"));
    assert!(!is_bare("memory, S: block") && !is_bare("pages"));
    assert_eq!(brackets("a [b] c [d\n] [e]").collect::<Vec<_>>(), ["b", "e"]);
    assert!(prints("so 5.806 dB.", "5.806") && prints("at 2865.", "2865") && prints("−0.624", "−0.624"));
    assert!(!prints("15.806", "5.806") && !prints("5.8061", "5.806") && !prints("2865.5", "2865"));
}
