//! In the window's library: no screen knows of another, and the document knows
//! of no window.

use super::source::{Source, paths, sources};

/// The screen that a file below `views/` belongs to: a folder is a screen.
fn screen(path: &str) -> Option<&str> {
    let (name, _) = path.strip_prefix("views/")?.split_once('/')?;
    Some(name)
}

/// Screens other than its own that a file of a screen names.
fn strays(source: &Source, screens: &[String]) -> Vec<String> {
    let Some(own) = screen(&source.path) else { return Vec::new() };
    paths(&source.code)
        .into_iter()
        .filter(|path| {
            let mut parts = path.split("::").skip_while(|part| ["crate", "super", "self"].contains(part));
            let first = parts.next().unwrap_or_default();
            let rooted = path.starts_with("crate::views::");
            // `super::other` from a screen's own root, or `super::super::other` from within.
            let named = if rooted { parts.next().unwrap_or_default() } else { first };
            let relative = path.starts_with("super::") && climbs_out(&source.path, path);
            (rooted || relative) && named != own && screens.iter().any(|other| other == named)
        })
        .collect()
}

/// Whether a `super::` path leaves the screen's own folder.
fn climbs_out(file: &str, path: &str) -> bool {
    let up = path.split("::").take_while(|part| *part == "super").count();
    let below = file.trim_start_matches("views/");
    let deep = below.matches('/').count() + usize::from(!below.ends_with("/mod.rs"));
    up >= deep.max(1)
}

#[test]
fn no_screen_names_another() {
    let files = sources("crates/gui/src");
    assert!(!files.is_empty(), "the window's library wasn't found");
    let mut screens: Vec<String> = files.iter().filter_map(|file| screen(&file.path)).map(str::to_owned).collect();
    screens.dedup();
    let wrong: Vec<String> = files
        .iter()
        .flat_map(|file| strays(file, &screens).into_iter().map(move |path| format!("{} names {path}", file.path)))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_document_knows_of_no_window() {
    let document = |path: &str| {
        ["state/document", "state/history"]
            .iter()
            .any(|name| path.strip_prefix(name).is_some_and(|rest| rest.starts_with('/') || rest == ".rs"))
    };
    let wrong: Vec<String> = sources("crates/gui/src")
        .iter()
        .filter(|file| document(&file.path))
        .flat_map(|file| paths(&file.code).into_iter().map(|path| (file.path.clone(), path)))
        .filter(|(_, path)| ["egui", "eframe", "egui_plot"].contains(&path.split("::").next().unwrap_or_default()))
        .map(|(file, path)| format!("{file} names {path}"))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_rules_catch_what_they_should() {
    let screens = ["chain".to_owned(), "power".to_owned()];
    let names = |path: &str, code: &str| !strays(&Source { path: path.into(), code: code.into() }, &screens).is_empty();
    assert!(names("views/chain/mod.rs", "use crate::views::power::Rails;"));
    assert!(names("views/chain/mod.rs", "use super::power::Rails;"));
    assert!(names("views/chain/plot.rs", "use super::super::power;"));
    assert!(!names("views/chain/mod.rs", "use crate::views::chain::plot;"));
    assert!(!names("views/chain/plot.rs", "use super::power;"));
    assert!(!names("views/intent.rs", "use super::power::Rails;"));
    assert!(!names("views/mod.rs", "use crate::views::power;"));
    assert!(!names("desk.rs", "use crate::views::{chain, power};"));
}
