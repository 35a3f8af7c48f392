//! In the core a module imports only from the floors below it, and nothing
//! there reaches a window, a disk, a clock or a printer.

use std::collections::BTreeMap;

use super::source::{Source, paths, sources};

/// From the lowest up. A module that isn't here has no floor, and fails the test.
const FLOORS: [&[&str]; 8] = [
    &["terms", "units", "watch", "words"],
    &["network", "conductor"],
    &["rig"],
    &["parts", "file", "diagnosis"],
    &["plan", "cascade", "drawn"],
    &["arrival"],
    &["response", "states", "power", "ground", "board", "songs", "faults", "budget", "noise"],
    &["compare", "findings", "hum", "advice", "audio", "sheet", "lessons", "export"],
];

/// What the core never names: windows, dialogs, disk, network, other processes,
/// the clock, threads that sleep, and printing.
const NEVER: [&str; 18] = [
    "egui",
    "eframe",
    "rfd",
    "winit",
    "std::fs",
    "std::net",
    "std::process",
    "std::env",
    "std::time::Instant",
    "std::time::SystemTime",
    "std::thread",
    "std::io::stdout",
    "std::io::stderr",
    "std::io::stdin",
    "println",
    "print",
    "eprintln",
    "eprint",
];

fn core() -> Vec<Source> {
    let core = sources("crates/core/src");
    let count = core.iter().filter(|source| source.path != "lib.rs").count();
    assert!(count > 20, "only {count} files of the core were found");
    core
}

fn floor_of(module: &str) -> Option<usize> {
    FLOORS.iter().position(|modules| modules.contains(&module))
}

/// The module at the crate's root that a file belongs to.
fn module_of(path: &str) -> &str {
    path.split('/').next().unwrap_or(path).trim_end_matches(".rs")
}

/// A path as seen from the crate's root, if it leads there: `crate::…`, or
/// `super::…` often enough for the depth of the file.
fn from_root(source: &Source, path: &str) -> Option<String> {
    if let Some(rest) = path.strip_prefix("crate::") {
        return Some(rest.to_owned());
    }
    let is_mod = source.path.ends_with("/mod.rs") || !source.path.contains('/');
    let depth = source.path.matches('/').count() + usize::from(!is_mod);
    let mut rest = path;
    let mut up = 0;
    while let Some(next) = rest.strip_prefix("super::") {
        (rest, up) = (next, up + 1);
    }
    (up >= depth.max(1)).then(|| rest.to_owned())
}

#[test]
fn modules_import_only_from_lower_floors() {
    let mut wrong = Vec::new();
    let mut imports: BTreeMap<(String, String), usize> = BTreeMap::new();
    for source in core().iter().filter(|source| source.path != "lib.rs") {
        let module = module_of(&source.path);
        let Some(floor) = floor_of(module) else {
            wrong.push(format!("{}: {module} has no floor in this test", source.path));
            continue;
        };
        for path in paths(&source.code) {
            let Some(rest) = from_root(source, &path) else { continue };
            let other = rest.split("::").next().unwrap_or(&rest).to_owned();
            // An inline module's `super::` names its own file's things.
            let Some(there) = floor_of(&other).filter(|_| other != module) else { continue };
            *imports.entry((module.to_owned(), other.clone())).or_default() += 1;
            if there >= floor {
                wrong.push(format!("{} (floor {floor}) names {path} (floor {there})", source.path));
            }
        }
    }
    // The reader of sources sees what is there: everything but `units` imports something.
    assert!(imports.contains_key(&("network".into(), "units".into())), "{imports:?}");
    assert!(imports.contains_key(&("rig".into(), "network".into())), "{imports:?}");
    assert!(imports.contains_key(&("response".into(), "plan".into())), "{imports:?}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_core_reaches_nothing_outside() {
    let wrong = reaching_outside(&core());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Sources that name what is never named there.
pub fn reaching_outside(sources: &[Source]) -> Vec<String> {
    let mut wrong = Vec::new();
    for source in sources {
        for path in paths(&source.code) {
            let reaches = NEVER
                .iter()
                .any(|never| path == *never || path.strip_prefix(never).is_some_and(|rest| rest.starts_with("::")));
            if reaches && is_used(source, &path) {
                wrong.push(format!("{} names {path}", source.path));
            }
        }
    }
    wrong
}

/// A bare word counts only as a macro: `print` may be the name of something.
fn is_used(source: &Source, path: &str) -> bool {
    let macros = ["println", "print", "eprintln", "eprint"];
    !macros.contains(&path) || source.code.contains(&format!("{path}!"))
}

#[test]
fn the_rules_catch_what_they_should() {
    let source = |path: &str, code: &str| Source { path: path.into(), code: code.into() };
    let seen = |path: &str, code: &str| -> Vec<String> {
        let source = source(path, code);
        paths(code).iter().filter_map(|path| from_root(&source, path)).collect()
    };
    assert_eq!(seen("plan/mod.rs", "use super::response::respond;"), ["response::respond"]);
    assert_eq!(seen("plan/build.rs", "use super::super::response;"), ["response"]);
    assert_eq!(seen("plan/build.rs", "fn f() -> crate::file::X"), ["file::X"]);
    assert!(seen("plan/build.rs", "use super::{Plan, runs};").is_empty());
    assert_eq!(module_of("plan/build.rs"), "plan");
    assert_eq!(module_of("noise.rs"), "noise");
}
