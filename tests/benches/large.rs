//! How long each command takes on rigs that no player has, and how much memory:
//! `cargo bench -p rigwright-tests --bench large`, with a part of a rig's name to
//! ask for some of them.
//!
//! Each command runs in a process of its own, so that its greatest memory is its
//! own. Seconds are the processor's, for others may use the machine; both are
//! read where Linux keeps them, and told as 0 elsewhere.

use std::ffi::OsString;
use std::path::Path;
use std::process::Command;

use rigwright::cli::{self, Outcome};
use rigwright_core::file;

#[path = "../suite/large.rs"]
#[allow(dead_code, reason = "shared with the checks, which use more of it")]
mod large;
#[path = "../suite/rigs.rs"]
#[allow(dead_code, reason = "shared with the checks, which use more of it")]
mod rigs;

/// What a process is told that is to run one command.
const ONE: &str = "--one-command";

const COMMANDS: [&[&str]; 6] =
    [&["report"], &["report", "--json"], &["check"], &["power"], &["power", "--allocate"], &["compare"]];

fn main() {
    let args: Vec<OsString> = std::env::args_os().skip(1).collect();
    if args.first().is_some_and(|first| first == ONE) {
        return one(&args[1..]);
    }
    let wanted = args.iter().find(|arg| !arg.to_string_lossy().starts_with('-')).cloned().unwrap_or_default();
    let folder = tempfile::tempdir().expect("a folder for a while");
    println!("{:<36} {:>22} {:>9} {:>7} {:>9} {:>5}", "rig", "command", "s", "MB", "printed", "ends");
    for (name, make) in large::all() {
        if !name.contains(&*wanted.to_string_lossy()) {
            continue;
        }
        let path = folder.path().join("rig.ron");
        match file::write(&make()) {
            Ok(text) => std::fs::write(&path, text).expect("a file in it"),
            Err(why) => {
                println!("{name:<36} {why}");
                continue;
            }
        }
        for command in COMMANDS {
            println!("{name:<36} {:>22} {}", command.join(" "), in_a_process(command, &path));
        }
    }
}

fn in_a_process(command: &[&str], path: &Path) -> String {
    let own = std::env::current_exe().expect("this program");
    let output = Command::new(own).arg(ONE).args(command).arg(path).output();
    output.map_or_else(|why| why.to_string(), |output| String::from_utf8_lossy(&output.stdout).trim_end().to_owned())
}

/// Runs a command, and prints what it took.
fn one(args: &[OsString]) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let Outcome::Exit(code) = cli::run(args, &mut out, &mut err) else { return };
    println!("{:>9.3} {:>7.0} {:>9} {code:>5}", seconds(), megabytes(), out.len());
}

/// Processor time of this thread since the process began.
fn seconds() -> f64 {
    let text = std::fs::read_to_string("/proc/self/schedstat").unwrap_or_default();
    text.split_whitespace().next().and_then(|nanos| nanos.parse::<f64>().ok()).unwrap_or(0.0) * 1e-9
}

/// The most memory that this process has had.
fn megabytes() -> f64 {
    let text = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.and_then(|line| line.split_whitespace().next()?.parse::<f64>().ok()).unwrap_or(0.0) / 1024.0
}
