//! Reading Rust source for what it names: comments and strings aside, `use` trees opened.

use std::path::{Path, PathBuf};

/// A source file.
pub struct Source {
    /// Its path below the folder that was asked for, with `/`.
    pub path: String,
    /// Its code, comments and the insides of strings blanked.
    pub code: String,
}

/// The project's root.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// All source files below a folder of the project, in order.
pub fn sources(folder: &str) -> Vec<Source> {
    texts(folder).into_iter().map(|(path, text)| Source { path, code: code(&text) }).collect()
}

/// The whole text of all source files below a folder of the project, in order.
pub fn texts(folder: &str) -> Vec<(String, String)> {
    let base = root().join(folder);
    let mut found = Vec::new();
    collect(&base, &base, &mut found);
    found.sort();
    found
}

fn collect(base: &Path, folder: &Path, found: &mut Vec<(String, String)>) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() {
            collect(base, &path, found);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            let text = std::fs::read_to_string(&path).expect("source is UTF-8");
            let below = path.strip_prefix(base).expect("it lies below");
            found.push((below.to_string_lossy().replace('\\', "/"), text));
        }
    }
}

/// The text without comments (doc comments too) and without what strings say.
pub fn code(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let skipped = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if rest.starts_with("/*") {
            block_comment(rest)
        } else if let Some(length) = raw_string(rest) {
            length
        } else if c == '"' {
            string(rest)
        } else if rest.starts_with("'\"'") || rest.starts_with("'\\\"'") {
            rest[1..].find("'").unwrap_or(0) + 2
        } else {
            out.push(c);
            rest = &rest[c.len_utf8()..];
            continue;
        };
        // A blank keeps words apart, and lines stay lines.
        out.push(' ');
        out.extend(rest[..skipped].chars().filter(|c| *c == '\n'));
        rest = &rest[skipped..];
    }
    out
}

fn block_comment(text: &str) -> usize {
    let (mut depth, mut at) = (0, 0);
    while at < text.len() {
        if text[at..].starts_with("/*") {
            (depth, at) = (depth + 1, at + 2);
        } else if text[at..].starts_with("*/") {
            (depth, at) = (depth - 1, at + 2);
            if depth == 0 {
                return at;
            }
        } else {
            at += text[at..].chars().next().map_or(1, char::len_utf8);
        }
    }
    text.len()
}

fn raw_string(text: &str) -> Option<usize> {
    let after = text.strip_prefix('r')?;
    let hashes = after.len() - after.trim_start_matches('#').len();
    let inside = after[hashes..].strip_prefix('"')?;
    let close = format!("\"{}", "#".repeat(hashes));
    let end = inside.find(&close)?;
    Some(1 + hashes + 1 + end + close.len())
}

fn string(text: &str) -> usize {
    let mut escaped = false;
    for (at, c) in text.char_indices().skip(1) {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => return at + 1,
            _ => {}
        }
    }
    text.len()
}

/// What the strings of a text say, comments aside: escapes undone, broken lines joined.
pub fn strings(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let length = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if rest.starts_with("/*") {
            block_comment(rest)
        } else if let Some(length) = raw_string(rest) {
            found.push(rest[1..length].trim_matches('#').trim_matches('"').to_owned());
            length
        } else if c == '"' {
            let length = string(rest);
            found.push(said(rest[1..length].trim_end_matches('"')));
            length
        } else if rest.starts_with("'\"'") || rest.starts_with("'\\\"'") {
            rest[1..].find("'").unwrap_or(0) + 2
        } else if c.is_alphanumeric() || c == '_' {
            // A word that ends in r begins no raw string.
            rest.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(rest.len())
        } else {
            c.len_utf8()
        };
        rest = &rest[length..];
    }
    found
}

/// What stands between two quotes, as it is said.
fn said(literal: &str) -> String {
    let mut out = String::new();
    let mut letters = literal.chars().peekable();
    while let Some(c) = letters.next() {
        match (c, letters.peek()) {
            ('\\', Some('\n')) => while letters.next_if(|c| c.is_whitespace()).is_some() {},
            ('\\', Some('n' | 't' | 'r')) => {
                letters.next();
                out.push(' ');
            }
            ('\\', Some(_)) => out.extend(letters.next()),
            (c, _) => out.push(c),
        }
    }
    out
}

/// Every path that the code names, `use` trees opened: "crate::units::Ohms", "std::fs".
pub fn paths(code: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = code;
    while let Some(start) = rest.find(|c: char| c.is_alphabetic() || c == '_') {
        rest = &rest[start..];
        let end = rest.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(rest.len());
        let (word, after) = rest.split_at(end);
        if word == "use" {
            let end = after.find(';').unwrap_or(after.len());
            let tree: String = after[..end].split_whitespace().collect::<Vec<_>>().join(" ");
            open_tree("", &tree, &mut found);
            rest = &after[end..];
            continue;
        }
        // A path in an expression or a type.
        let mut path = word.to_owned();
        let mut tail = after;
        while let Some(next) = tail.strip_prefix("::") {
            let end = next.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(next.len());
            if end == 0 {
                break;
            }
            path.push_str("::");
            path.push_str(&next[..end]);
            tail = &next[end..];
        }
        found.push(path);
        rest = tail;
    }
    found
}

fn open_tree(before: &str, tree: &str, found: &mut Vec<String>) {
    let tree = tree.trim();
    match tree.find('{') {
        Some(brace) => {
            let head = format!("{before}{}", tree[..brace].trim());
            let inside = tree[brace + 1..].trim_end().trim_end_matches('}');
            // A path ends in one brace; more of them belong to the parts inside.
            let inside = &tree[brace + 1..brace + 1 + matching(&tree[brace + 1..], inside.len())];
            for part in split_parts(inside) {
                open_tree(&head, part, found);
            }
        }
        None => {
            let path = tree.split(" as ").next().unwrap_or(tree).trim();
            if !path.is_empty() {
                found.push(format!("{before}{path}"));
            }
        }
    }
}

/// Up to the brace that closes the one before `text`.
fn matching(text: &str, otherwise: usize) -> usize {
    let mut depth = 1;
    for (at, c) in text.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return at;
        }
    }
    otherwise
}

fn split_parts(inside: &str) -> Vec<&str> {
    let (mut depth, mut start) = (0, 0);
    let mut parts = Vec::new();
    for (at, c) in inside.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                parts.push(&inside[start..at]);
                start = at + 1;
            }
            _ => {}
        }
    }
    parts.push(&inside[start..]);
    parts
}

#[test]
fn paths_are_found_wherever_they_stand() {
    let text = r##"
        //! use crate::hidden;
        use std::{fs, collections::{BTreeMap as Map, BTreeSet}, sync::Arc};
        pub(super) use crate::units::Ohms; /* crate::also_hidden */
        fn f(x: &crate::rig::Rig) -> std::io::Result<()> {
            let text = "crate::in_a_string \" crate::still";
            let raw = r#"crate::raw "quoted" "#;
            let c = '"'; super::super::file::read(text, raw, c)
        }
    "##;
    let found = paths(&code(text));
    for expected in [
        "std::fs",
        "std::collections::BTreeMap",
        "std::collections::BTreeSet",
        "std::sync::Arc",
        "crate::units::Ohms",
        "crate::rig::Rig",
        "std::io::Result",
        "super::super::file::read",
    ] {
        assert!(found.iter().any(|path| path == expected), "{expected} in {found:?}");
    }
    assert!(!found.iter().any(|path| path.contains("hidden")), "{found:?}");
    assert!(!found.iter().any(|path| path.contains("string") || path.contains("raw::")));
}
