//! Rigwright: reads its arguments, and opens the window or ends.

use std::ffi::OsString;
use std::io::{self, Write};
use std::process::ExitCode;

use rigwright::cli::{self, Outcome};

fn main() -> ExitCode {
    let args: Vec<OsString> = std::env::args_os().skip(1).collect();
    let outcome = cli::run(&args, &mut io::stdout().lock(), &mut io::stderr().lock());
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
