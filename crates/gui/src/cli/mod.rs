//! The command line: what a teacher shows, and what checks read.
//!
//! [`run`] reads its arguments and writes its answers into what it is given; it
//! opens no window and ends no process. That is left to `main`.

mod arguments;
mod choose;
mod compare;
mod compare_json;
mod gather;
mod help;
mod json;
mod keys;
mod open;
mod out;
mod power;
mod progress;
mod set;
mod table;
mod text;
mod words;
mod worked;

#[cfg(test)]
mod tests;

use std::ffi::OsString;
use std::io::{self, Write};
use std::path::PathBuf;

use rigwright_core::rig::{Project, problems, switch_problems};
use rigwright_core::watch::{Part, Unwatched, Watch};

pub use progress::Progress;

use arguments::Invocation;
use words::{brief_quotes, one_line};

/// All went well; `check` found no problem and nothing to act on.
pub const FINE: i32 = 0;
/// `check` found problems, or something to act on.
pub const PROBLEMS: i32 = 1;
/// What was asked can't be done; a sentence on the error output says why.
pub const REFUSED: i32 = 2;

/// What is left to do after [`run`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// End the process with this code.
    Exit(i32),
    /// Open the window.
    Window {
        /// On this file, or else on the demo.
        file: Option<PathBuf>,
    },
}

/// Does what the arguments ask (the program's own name isn't among them).
///
/// Answers go to `out`, and the sentence that says why there is none to `err`.
/// Where not all of an answer could be written the code is [`REFUSED`].
pub fn run(args: &[OsString], out: &mut dyn Write, err: &mut dyn Write) -> Outcome {
    run_watched(args, out, err, &Unwatched)
}

/// The same; who watches hears how far it is.
pub fn run_watched(args: &[OsString], out: &mut dyn Write, err: &mut dyn Write, watch: &dyn Watch) -> Outcome {
    let answer = arguments::parse(args).and_then(|asked| match asked {
        Invocation::Help => Ok((help::text(), FINE)),
        Invocation::Keys(asked) => keys::answer(&asked).map(|text| (text, FINE)),
        Invocation::Version => Ok((format!("rigwright {}\n", env!("CARGO_PKG_VERSION")), FINE)),
        Invocation::Report(asked) => report(&asked, watch).map(|text| (text, FINE)),
        Invocation::Power(asked) => power::run(&asked, watch),
        Invocation::Picture(asked) => out::picture(&asked, watch).map(|text| (text, FINE)),
        Invocation::Export(asked) => out::export(&asked, watch).map(|text| (text, FINE)),
        Invocation::Compare(asked) => compare::answer(&asked, watch).map(|text| (text, FINE)),
        Invocation::Check(file) => open::project(&file).and_then(|project| check(&open::shown(&file), &project, watch)),
        Invocation::Window(file) => Err(Aside::Window(file)),
    });
    match answer {
        Ok((text, code)) => Outcome::Exit(print(&text, code, out, err)),
        Err(Aside::Window(file)) => Outcome::Window { file },
        Err(Aside::Refused(why)) => {
            tell(err, &why);
            Outcome::Exit(REFUSED)
        }
    }
}

/// The sentence for the error output where a window can't be opened.
#[must_use]
pub fn no_window(reason: &str) -> String {
    let reason = without_source_places(&one_line(reason));
    let reason = reason.trim_end_matches('.');
    format!(
        "No window can be opened here ({reason}). On the command line, `rigwright report FILE` prints every answer."
    )
}

/// Windowing libraries put the line of their source that failed into their
/// errors, "at …/mod.rs:765:", which tells a guitarist nothing.
fn without_source_places(text: &str) -> String {
    let mut kept = String::new();
    for word in text.split_whitespace() {
        if word.contains(".rs:") {
            let before = kept.strip_suffix(" at").unwrap_or(&kept).len();
            kept.truncate(before);
            kept.push(':');
            continue;
        }
        if !kept.is_empty() {
            kept.push(' ');
        }
        kept += word;
    }
    kept
}

/// Why there is nothing to print.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Aside {
    /// A window is wanted.
    Window(Option<PathBuf>),
    /// It can't be done, for this reason.
    Refused(String),
}

/// A sentence that says what was expected, as an error.
fn refuse<T>(why: impl Into<String>) -> Result<T, Aside> {
    Err(Aside::Refused(why.into()))
}

fn stopped<T>() -> Result<T, Aside> {
    refuse("It was told to stop.")
}

fn report(asked: &arguments::Report, watch: &dyn Watch) -> Result<String, Aside> {
    let project = open::project(&asked.file)?;
    let chosen = choose::from(&project, asked)?;
    let Some(report) = gather::gather(&project, &chosen, asked.at.as_deref(), watch) else { return stopped() };
    if asked.json {
        json::render(&report).or_else(|error| refuse(format!("The report can't be written as JSON: {error}.")))
    } else {
        Ok(text::render(&report))
    }
}

fn check(file: &str, project: &Project, watch: &dyn Watch) -> Result<(String, i32), Aside> {
    let mut lines = String::new();
    let count = project.variants.len() as f64;
    for (at, variant) in project.variants.iter().enumerate() {
        let watch = Part { whole: watch, from: at as f64 / count, to: (at + 1) as f64 / count };
        for problem in problems(&variant.rig).into_iter().chain(switch_problems(project, variant)) {
            lines += &one_line(&format!("{}: {problem}", variant.name));
            lines.push('\n');
        }
        let Some(findings) = gather::to_act_on(project, variant, &watch) else { return stopped() };
        for finding in findings {
            lines += &one_line(&format!("{}: {}", variant.name, finding.text));
            lines.push('\n');
        }
        for sentence in power::to_act_on(project, variant) {
            lines += &one_line(&format!("{}: {sentence}", variant.name));
            lines.push('\n');
        }
    }
    if !lines.is_empty() {
        return Ok((lines, PROBLEMS));
    }
    let variants = match project.variants.len() {
        1 => "its one variant".to_owned(),
        n => format!("any of its {n} variants"),
    };
    Ok((format!("{file}: no problems in {variants}, and nothing to act on.\n"), FINE))
}

/// Prints an answer; the code to end with.
fn print(text: &str, code: i32, out: &mut dyn Write, err: &mut dyn Write) -> i32 {
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => code,
        // Whoever reads the code has to know that this wasn't all of it.
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => {
            tell(err, "Not all of it was printed: whoever read it stopped before the end.");
            REFUSED
        }
        Err(error) => {
            tell(err, &format!("The answer can't be written: {error}."));
            REFUSED
        }
    }
}

fn tell(err: &mut dyn Write, sentence: &str) {
    // Where even this can't be written, the code still says it.
    let _ = writeln!(err, "{}", one_line(&brief_quotes(sentence)));
}
