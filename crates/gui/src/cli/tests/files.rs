//! Files that can't be opened, and rigs that have problems.

use std::sync::Arc;

use rigwright_core::file::{self, MAX_BYTES};
use rigwright_core::rig::{DeviceId, Variant, VariantId, problems};

use super::{Desk, call, fine, plain, refused, rig_mut};
use crate::cli::Outcome;

#[test]
fn files_that_cant_be_read_are_one_sentence() {
    let desk = Desk::new();
    let folder = desk.folder.path().to_str().unwrap();
    let missing = desk.path("none.ron");
    let missing = missing.to_str().unwrap();
    for command in ["report", "compare", "check"] {
        assert_eq!(refused(&[command, missing]), format!("There is no file “{missing}”."));
        assert_eq!(refused(&[command, folder]), format!("“{folder}” is a folder; expected a rig's file."));
    }
}

#[test]
fn a_file_too_large_is_refused_before_it_is_read() {
    let desk = Desk::new();
    let path = desk.path("large.ron");
    std::fs::File::create(&path).unwrap().set_len(MAX_BYTES as u64 + 1).unwrap();
    let sentence = refused(&["report", path.to_str().unwrap()]);
    assert!(sentence.contains("large.ron: ") && sentence.contains("16 MB at most"), "{sentence}");
}

/// A device may never end, and a pipe is waited for until somebody writes into it.
#[cfg(unix)]
#[test]
fn a_pipe_or_a_device_is_refused_at_once() {
    let desk = Desk::new();
    let pipe = desk.path("pipe");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status().unwrap();
    assert!(made.success());
    for name in ["/dev/zero", pipe.to_str().unwrap()] {
        let sentence = format!("“{name}” is a pipe or a device; expected a rig's file.");
        for command in ["report", "compare", "power", "check"] {
            assert_eq!(refused(&[command, name]), sentence);
        }
        assert_eq!(refused(&[name]), sentence, "the window");
    }
}

#[test]
fn bad_input_is_told_with_file_line_and_column() {
    let desk = Desk::new();
    let text = file::write(&plain()).unwrap().replacen("title:", "titel:", 1);
    let line = 1 + text.lines().position(|line| line.contains("titel")).unwrap();
    let name = desk.put("slip.ron", text);
    for command in ["report", "compare", "check"] {
        let sentence = refused(&[command, &name]);
        assert!(sentence.starts_with(&format!("{name}, line {line}, column ")), "{sentence}");
    }
    let empty = desk.put("empty.ron", "");
    assert!(refused(&["check", &empty]).starts_with(&format!("{empty}: this file is empty")));
    let bytes = desk.put("bytes.ron", [0xff, 0xfe, 0]);
    assert!(refused(&["check", &bytes]).starts_with(&format!("{bytes}, line 1, column 1: ")));
}

#[test]
fn a_rig_without_problems_is_one_line() {
    let desk = Desk::new();
    let name = desk.save(&plain());
    assert_eq!(fine(&["check", &name]), format!("{name}: no problems in its one variant, and nothing to act on.\n"));
    let mut twice = plain();
    let copy = Variant { id: VariantId(twice.next_id), ..(*twice.variants[0]).clone() };
    twice.variants.push(Arc::new(copy));
    let name = desk.save(&twice);
    let sentence = format!("{name}: no problems in any of its 2 variants, and nothing to act on.\n");
    assert_eq!(fine(&["check", &name]), sentence);
}

#[test]
fn what_there_is_to_act_on_is_a_line_each_and_the_code_says_so() {
    let desk = Desk::new();
    let name = desk.save(&file::demo().unwrap());
    let (outcome, out, err) = call(&["check", &name]);
    assert_eq!((outcome, err.as_str()), (Outcome::Exit(1), ""));
    let lines: Vec<&str> = out.lines().collect();
    assert!(lines.contains(&"All true bypass: All off, this rig sounds like 12 m of lead."), "{lines:?}");
    // The report tells the same, and what is only good to know besides.
    let report = fine(&["report", &name]);
    for line in lines {
        let (_, text) = line.split_once(": ").unwrap();
        assert!(report.contains(text), "{text}");
    }
}

#[test]
fn each_problem_is_a_line_that_names_its_variant() {
    let mut project = plain();
    rig_mut(&mut project).leads[0].to.device = DeviceId(77);
    let found = problems(&project.variants[0].rig);
    assert!(found.len() > 1);
    let desk = Desk::new();
    let name = desk.save(&project);
    let (outcome, out, err) = call(&["check", &name]);
    assert_eq!((outcome, err.as_str()), (Outcome::Exit(1), ""));
    let expected: Vec<String> =
        found.iter().map(|problem| format!("{}: {problem}", project.variants[0].name)).collect();
    assert_eq!(out.lines().collect::<Vec<_>>(), expected);

    // The report still gives every answer there is.
    let report = fine(&["report", &name]);
    assert!(report.contains("No signal gets to an amp, a DI box or an interface."));
    assert!(found.iter().all(|problem| report.contains(&problem.to_string())));
}
