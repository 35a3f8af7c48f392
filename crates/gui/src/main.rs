//! Rigwright: reads its arguments, and opens the window or ends.

use std::ffi::OsString;
use std::io::{self, IsTerminal, Write};
use std::process::ExitCode;

use rigwright::cli::{self, Outcome, Progress};

fn main() -> ExitCode {
    let args: Vec<OsString> = std::env::args_os().skip(1).collect();
    // Not locked: the window's other threads write to stderr as well, and a panic
    // told there would wait for as long as the window is open.
    let (out, err) = (&mut io::stdout(), &mut io::stderr());
    let outcome = if io::stderr().is_terminal() {
        let mut terminal = io::stderr();
        cli::run_watched(&args, out, err, &Progress::new(&mut terminal))
    } else {
        cli::run(&args, out, err)
    };
    let code = match outcome {
        Outcome::Exit(code) => code,
        Outcome::Window { file } => match rigwright::app::run_window(file) {
            Ok(()) => cli::FINE,
            Err(reason) => {
                // Where even this can't be written, the code still says it.
                let _ = writeln!(io::stderr(), "{}", cli::no_window(&reason));
                cli::REFUSED
            }
        },
    };
    u8::try_from(code).map_or(ExitCode::FAILURE, ExitCode::from)
}
