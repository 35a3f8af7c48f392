//! What is asked, and what is told where it isn't understood.

use std::io::{self, Write};
use std::path::PathBuf;

use super::{Desk, call, fine, plain, refused};
use crate::cli::{Outcome, no_window, run};
use crate::command::Command;

#[test]
fn without_arguments_a_window_is_wanted() {
    assert_eq!(call(&[]).0, Outcome::Window { file: None });
}

#[test]
fn a_file_opens_in_the_window() {
    let desk = Desk::new();
    let file = desk.save(&plain());
    assert_eq!(call(&[&file]).0, Outcome::Window { file: Some(PathBuf::from(&file)) });
    let two = refused(&[&file, "second.ron"]);
    assert_eq!(two, "One file is expected, as in rigwright [FILE], and “second.ron” came besides.");
    assert!(refused(&[&file, "--json"]).starts_with("There is no option “--json” here; rigwright [FILE] knows"));
}

#[test]
fn a_word_that_is_neither_file_nor_command_is_told() {
    assert_eq!(
        refused(&["repotr"]),
        "There is no file “repotr”, and no command of that name; the commands are report, compare, power, picture, export, check, \
         keys and help."
    );
    let desk = Desk::new();
    assert!(refused(&[desk.folder.path().to_str().unwrap()]).contains("is a folder"));
}

#[test]
fn help_and_version() {
    let help = fine(&["--help"]);
    for args in [
        &["help"][..],
        &["-h"],
        &["report", "--help"],
        &["check", "x", "-h"],
        &["help", "report"],
        &["compare", "-h"],
        &["picture", "-h"],
        &["export", "--help"],
    ] {
        assert_eq!(fine(args), help, "{args:?}");
    }
    for known in [
        "[FILE]",
        "report FILE",
        "compare FILE",
        "check FILE",
        "picture FILE",
        "export FILE",
        "--look",
        "--against",
        "--json",
        "--at",
        "--variant",
        "--sound",
        "--version",
    ] {
        assert!(help.contains(known), "{known}");
    }
    assert!(help.lines().all(|line| line.chars().count() <= 80));
    assert_eq!(fine(&["--version"]), format!("rigwright {}\n", env!("CARGO_PKG_VERSION")));
}

#[test]
fn the_key_card_has_every_command_that_has_a_key() {
    let card = fine(&["keys"]);
    for command in Command::ALL {
        let Some(keys) = command.shortcut_text() else { continue };
        let line = card.lines().find(|line| line.ends_with(command.name())).unwrap_or_else(|| panic!("{command:?}"));
        assert!(line.trim_start().starts_with(&keys), "{line}");
    }
    for sign in ["Hatched band", "Thick copper line", "Bracket"] {
        assert!(card.contains(sign), "{sign}");
    }
    assert!(card.lines().all(|line| line.trim_end() == line));
    assert_eq!(fine(&["keys", "--help"]), fine(&["help"]));
    assert_eq!(refused(&["keys", "F"]), "No file is expected behind rigwright keys, and “F” came.");
    assert!(refused(&["keys", "--json"]).starts_with("There is no option “--json” here; rigwright keys knows --out"));
}

#[test]
fn unknown_options_are_told_with_the_known_ones() {
    assert_eq!(
        refused(&["report", "x.ron", "--frequencies", "82"]),
        "There is no option “--frequencies” here; rigwright report FILE knows --json, --at HZ,HZ,…, \
         --variant NAME, --sound NAME, --set SWITCH=POSITION,…, --source NAME, --vary hand, --complex, --power \
         as-drawn and --help."
    );
    assert_eq!(refused(&["-x"]), "There is no option “-x” here; rigwright [FILE] knows --help and --version.");
    assert_eq!(
        refused(&["check", "x", "--json"]),
        "There is no option “--json” here; rigwright check FILE knows --help."
    );
    assert_eq!(
        refused(&["compare", "x.ron", "--variant", "A"]),
        "There is no option “--variant” here; rigwright compare FILE knows --json, --sound NAME, --against NAME, \
         --against straight, --power as-drawn and --help."
    );
    assert_eq!(refused(&["report", "x", "--json=yes"]), "--json stands alone, and “yes” came with it.");
}

#[test]
fn what_is_missing_or_twice_is_told() {
    assert_eq!(refused(&["report"]), "A file is expected: rigwright report FILE.");
    assert_eq!(refused(&["compare"]), "A file is expected: rigwright compare FILE.");
    assert_eq!(
        refused(&["compare", "x", "--against"]),
        "After --against comes a variant's name, or “straight”; nothing came."
    );
    assert_eq!(refused(&["check"]), "A file is expected: rigwright check FILE.");
    assert!(refused(&["check", "a", "b"]).contains("“b” came besides"));
    assert_eq!(
        refused(&["report", "x", "--at"]),
        "After --at comes frequencies, something like --at 82,2.4k,5k; nothing came."
    );
    assert_eq!(refused(&["report", "x", "--sound", "a", "--sound", "b"]), "--sound came twice; it is taken once.");
}

#[test]
fn frequencies_that_are_none_are_told() {
    assert_eq!(
        refused(&["report", "x", "--at", "82,high"]),
        "After --at, “high” is not understood here; type something like 2.4k; \
         several have commas between them, as in --at 82,2.4k,5k."
    );
    for bad in ["", "0", "-82", "NaN", "inf", "82,,90", "1e400", "1e12"] {
        assert!(refused(&["report", "x", "--at", bad]).starts_with("After --at, "), "{bad}");
    }
}

/// "2,4k" is 2.4 kHz to whoever grew up with a decimal comma.
#[test]
fn a_comma_that_may_be_a_decimal_sign_is_told_and_not_guessed() {
    assert_eq!(
        refused(&["report", "x", "--at", "2,4k"]),
        "After --at, “2,4k” may be one frequency or two, since a comma stands between frequencies here: \
         write 2.4k for the one, 2Hz,4k for the two."
    );
    let told = refused(&["report", "x", "--at", "110,82,4,5k"]);
    assert!(told.contains("“82,4”") && told.contains("write 82.4 for the one, 82Hz,4Hz for the two."), "{told}");
    assert!(refused(&["report", "x", "--at", "0,5k"]).contains("write 0.5k for the one"));
    // Neither who writes the unit nor who asks for one frequency is asked back.
    let desk = Desk::new();
    let file = desk.save(&plain());
    for plain in ["2Hz,4k", "2.4k", "82,2.4k,5k", "82,5k", "20,40", "5"] {
        fine(&["report", &file, "--at", plain]);
    }
}

#[test]
fn what_is_very_long_is_shortened_in_sentences() {
    let told = refused(&["report", "x", "--at", "1e308"]);
    assert!(told.starts_with("After --at, a frequency can't be 1e308 Hz; expected "), "{told}");
    assert!(told.chars().count() < 200, "{told}");
    let desk = Desk::new();
    let file = desk.save(&plain());
    let long = "ä".repeat(5000);
    let short = format!("“{}…{}”", "ä".repeat(66), "ä".repeat(33));
    for args in [
        &["report", &file, "--variant", &long][..],
        &["report", &file, "--sound", &long],
        &["compare", &file, "--against", &long],
        &["report", "x", "--at", &long],
        &["report", "x", &long],
        &[&format!("--{long}")],
        &[&long],
        &["check", &long],
        &["power", &long],
    ] {
        let told = refused(args);
        assert!(told.chars().count() < 400, "{told}");
        // The system's own words about such a file are none of ours.
        let named = told.contains(&short) || told.contains("“--") || told.contains(&short[3..short.len() - 3]);
        assert!(named, "{told}");
    }
}

#[test]
fn of_very_many_names_some_are_told() {
    let desk = Desk::new();
    let mut project = plain();
    for number in 0..40 {
        let id = rigwright_core::rig::VariantId(project.next_id);
        project.next_id += 1;
        let name = format!("night {number}");
        project.variants.push(std::sync::Arc::new(rigwright_core::rig::Variant {
            id,
            name,
            ..(*project.variants[0]).clone()
        }));
    }
    let told = refused(&["report", &desk.save(&project), "--variant", "day"]);
    assert!(told.ends_with("“night 10” and 29 more."), "{told}");
}

#[test]
fn a_window_that_cant_open_is_one_line_that_names_the_report() {
    let rest = "On the command line, `rigwright report FILE` prints every answer.";
    assert_eq!(no_window("no display.\n"), format!("No window can be opened here (no display). {rest}"));
    assert_eq!(
        no_window("os error at src/platform/mod.rs:765: no\ndisplay"),
        format!("No window can be opened here (os error: no display). {rest}")
    );
}

/// A writer that fails in one way.
struct Broken(io::ErrorKind);

impl Write for Broken {
    fn write(&mut self, _: &[u8]) -> io::Result<usize> {
        Err(self.0.into())
    }
    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

#[test]
fn a_reader_that_stops_before_the_end_is_told_of_in_the_code() {
    let mut err = Vec::new();
    let outcome = run(&["help".into()], &mut Broken(io::ErrorKind::BrokenPipe), &mut err);
    assert_eq!(outcome, Outcome::Exit(2));
    let told = String::from_utf8(std::mem::take(&mut err)).unwrap();
    assert_eq!(told, "Not all of it was printed: whoever read it stopped before the end.\n");
    let outcome = run(&["help".into()], &mut Broken(io::ErrorKind::StorageFull), &mut err);
    assert_eq!(outcome, Outcome::Exit(2));
    assert!(String::from_utf8(err).unwrap().starts_with("The answer can't be written: "));
    // Nor does it matter if nobody hears the complaint.
    let outcome = run(&["-x".into()], &mut Vec::new(), &mut Broken(io::ErrorKind::BrokenPipe));
    assert_eq!(outcome, Outcome::Exit(2));
}

#[cfg(unix)]
#[test]
fn arguments_that_are_no_text_are_no_panic() {
    use std::os::unix::ffi::OsStringExt;
    let odd = || std::ffi::OsString::from_vec(vec![b'-', b'-', 0xff, b'=', 0xfe]);
    for args in [vec![odd()], vec!["report".into(), odd()], vec!["report".into(), "--at".into(), odd()]] {
        let mut err = Vec::new();
        assert_eq!(run(&args, &mut Vec::new(), &mut err), Outcome::Exit(2));
        assert!(!err.is_empty());
    }
}
