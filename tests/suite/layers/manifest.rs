//! What the core may be built with.

use super::source::root;

/// Arithmetic and reading files' text: nothing with a window, a disk or a clock. Its
/// tests have their numbers from where the suite has them.
const ALLOWED: [&str; 8] = [
    "num-bigint",
    "num-complex",
    "rigwright-search",
    "rigwright-tests",
    "ron",
    "serde",
    "serde_json",
    "serde_path_to_error",
];

/// The text of a manifest of the project.
pub fn manifest(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).expect("the manifest")
}

/// Names of dependencies in a manifest's text, those for building and testing too.
fn dependencies(manifest: &str) -> Vec<String> {
    tables(manifest).into_iter().map(|(_, name)| name).collect()
}

/// Dependencies in a manifest's text: in which table, and their names.
pub fn tables(manifest: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut listing = None;
    for line in manifest.lines().map(str::trim) {
        if let Some(table) = line.strip_prefix('[') {
            let table = table.trim_end_matches(']');
            listing = Some(table.to_owned()).filter(|table| table.ends_with("dependencies"));
            // [dependencies.name] is a table of its own.
            if let Some((before, name)) = table.rsplit_once('.')
                && before.ends_with("dependencies")
            {
                found.push((before.to_owned(), name.trim_matches('"').to_owned()));
            }
        } else if let Some(table) = &listing
            && !line.is_empty()
            && !line.starts_with('#')
        {
            let name = line.split(['=', '.', ' ']).next().unwrap_or(line);
            found.push((table.clone(), name.trim_matches('"').to_owned()));
        }
    }
    found
}

#[test]
fn the_core_depends_on_little() {
    let found = dependencies(&manifest("crates/core/Cargo.toml"));
    assert!(found.len() >= 3, "the manifest's dependencies weren't found: {found:?}");
    let more: Vec<_> = found.iter().filter(|name| !ALLOWED.contains(&name.as_str())).collect();
    assert!(more.is_empty(), "the core came to depend on {more:?}");
}

#[test]
fn every_form_of_a_dependency_is_seen() {
    let manifest = "[package]\nname = \"x\"\n[dependencies]\na.workspace = true\nb = \"1\"\n# c\n\
        [dependencies.d]\nversion = \"1\"\n[target.'cfg(unix)'.dependencies]\n\"e\" = \"1\"\n\
        [dev-dependencies]\nf = { version = \"1\" }\n[lints]\nworkspace = true\n";
    assert_eq!(dependencies(manifest), ["a", "b", "d", "e", "f"]);
}
