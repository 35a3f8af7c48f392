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

/// What a file of the pictures names that it shouldn't: rigs, answers, screens, the disk.
fn beyond_pictures(source: &Source) -> Vec<String> {
    let within = |path: &str| ["crate::picture", "crate::theme"].iter().any(|own| path.starts_with(own));
    let outside = |path: &String| path.starts_with("crate::") && !within(path);
    let reaches =
        |path: &String| ["rigwright_core", "std::fs", "eframe", "rfd"].iter().any(|far| path.starts_with(far));
    paths(&source.code).into_iter().filter(|path| outside(path) || reaches(path)).collect()
}

#[test]
fn pictures_know_of_no_rig() {
    let files = sources("crates/gui/src");
    let pictures: Vec<&Source> = files.iter().filter(|file| file.path.starts_with("picture/")).collect();
    assert!(pictures.len() > 5, "the pictures weren't found");
    let wrong: Vec<String> = pictures
        .into_iter()
        .flat_map(|file| beyond_pictures(file).into_iter().map(move |path| format!("{} names {path}", file.path)))
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
    let beyond = |code: &str| !beyond_pictures(&Source { path: "picture/x.rs".into(), code: code.into() }).is_empty();
    assert!(
        beyond("use crate::views::Facts;") && beyond("use rigwright_core::rig::Rig;") && beyond("std::fs::read(path)")
    );
    assert!(!beyond("use crate::theme::Tokens; use super::Description; use egui::Shape;"));
}

/// What works an answer or a preview out, and so is `logic`'s and never a view's.
const WORK: [&str; 17] = [
    "rigwright_core::rig::apply",
    "rigwright_core::rig::problems",
    "rigwright_core::response::respond",
    "rigwright_core::response::silencers",
    "rigwright_core::compare::heard",
    "rigwright_core::compare::worst_jump",
    "rigwright_core::states::explore",
    "rigwright_core::states::explore_watched",
    "rigwright_core::findings::findings",
    "rigwright_core::advice::advise",
    "rigwright_core::hum::hum",
    "rigwright_core::ground::ground_loops",
    "rigwright_core::power::allocate",
    "rigwright_core::power::check",
    "rigwright_core::power::check_at",
    "rigwright_core::power::diagnose",
    "rigwright_core::power::least",
];

/// The work that a file of the views names, by whichever name the module has there.
fn work(source: &Source) -> Vec<String> {
    let named = paths(&source.code);
    let modules: Vec<&String> = named.iter().filter(|path| path.starts_with("rigwright_core::")).collect();
    let whole = |path: &String| {
        // `response::respond` after `use rigwright_core::response`, or `use rigwright_core::response::{self, …}`.
        let (head, tail) = path.split_once("::")?;
        let module = modules.iter().find_map(|module| {
            let module = module.trim_end_matches("::self");
            (module.rsplit("::").next() == Some(head)).then_some(module)
        })?;
        Some(format!("{module}::{tail}"))
    };
    let all = named.iter().cloned().chain(named.iter().filter_map(whole));
    all.filter(|path| WORK.contains(&path.as_str())).collect()
}

#[test]
fn no_view_works_anything_out() {
    let is_view = |source: &&Source| source.path.starts_with("views/") && !source.path.ends_with("_tests.rs");
    let files = sources("crates/gui/src");
    assert!(files.iter().filter(is_view).count() > 50, "the views weren't found");
    let wrong: Vec<String> = files
        .iter()
        .filter(is_view)
        .flat_map(|source| work(source).into_iter().map(move |path| format!("{} names {path}", source.path)))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn work_is_seen_by_whichever_name_it_has() {
    let seen = |code: &str| !work(&Source { path: "views/x.rs".into(), code: code.into() }).is_empty();
    assert!(seen("use rigwright_core::power::{Headroom, check_at};"));
    assert!(seen("use rigwright_core::power; fn f() { power::check(rig, headroom) }"));
    assert!(seen("use rigwright_core::{power::{self, Check}}; fn f() { power::allocate(question) }"));
    assert!(seen("fn f() { rigwright_core::rig::apply(project, edit) }"));
    assert!(!seen("use rigwright_core::power::{Check, words}; fn f() { words::changes(a, b, edit) }"));
}
