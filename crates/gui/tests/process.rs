//! The program itself, as a shell meets it.
#![allow(clippy::unwrap_used, reason = "where the program can't be run, the test fails")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn rigwright() -> Command {
    Command::new(env!("CARGO_BIN_EXE_rigwright"))
}

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/rigs/demo.ron")
}

fn end(command: &mut Command) -> (Option<i32>, String, String) {
    let Output { status, stdout, stderr } = command.output().unwrap();
    (status.code(), String::from_utf8(stdout).unwrap(), String::from_utf8(stderr).unwrap())
}

#[test]
fn the_version_is_printed() {
    let expected = format!("rigwright {}\n", env!("CARGO_PKG_VERSION"));
    assert_eq!(end(rigwright().arg("--version")), (Some(0), expected, String::new()));
}

#[test]
fn the_demo_has_a_report() {
    let (code, out, err) = end(rigwright().arg("report").arg(demo()));
    assert_eq!((code, err.as_str()), (Some(0), ""));
    assert!(out.contains("Lead equivalent"));
}

#[test]
fn what_the_demo_has_to_act_on_is_in_the_code() {
    assert_eq!(end(rigwright().arg("check").arg(demo())).0, Some(1));
    assert_eq!(end(rigwright().arg("check").arg("../../assets/rigs/blank.ron")).0, Some(0));
}

#[test]
fn a_missing_file_is_one_sentence() {
    let (code, out, err) = end(rigwright().args(["report", "no-such-file.ron"]));
    assert_eq!((code, out.as_str()), (Some(2), ""));
    assert_eq!(err, "There is no file “no-such-file.ron”.\n");
}

/// A script that reads the code has to know that it didn't get all.
#[cfg(unix)]
#[test]
fn a_reader_that_ends_early_is_told_of_in_the_code() {
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let mut command = rigwright();
    command.arg("report").arg(demo()).stdout(writer).stderr(std::process::Stdio::piped());
    let output = command.spawn().unwrap().wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(String::from_utf8(output.stderr).unwrap().lines().count(), 1);
}

#[cfg(target_os = "linux")]
#[test]
fn without_a_display_one_sentence_names_the_report() {
    let mut command = rigwright();
    for name in ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"] {
        command.env_remove(name);
    }
    let (code, out, err) = end(&mut command);
    assert_eq!((code, out.as_str()), (Some(2), ""));
    assert_eq!(err.lines().count(), 1, "{err}");
    assert!(err.contains("`rigwright report FILE`"), "{err}");
    assert!(!err.contains(".rs"), "{err}");
}
