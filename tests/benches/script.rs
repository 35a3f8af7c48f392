//! The Python scripts under `references`, asked in JSON.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::Value;

/// What a script answers, or why it can't be asked: no Python, or not the
/// packages that it needs.
///
/// # Panics
/// If it can be asked and fails: an answer that doesn't come is no agreement.
pub fn ask(name: &str, packages: &str, question: &Value) -> Result<Value, String> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("references").join(name);
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let mut child = Command::new(&python)
        // No compiled copies beside the scripts.
        .arg("-B")
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|error| format!("{python} can't be started: {error}"))?;
    if let Some(mut stdin) = child.stdin.take() {
        // A script that ended early says why on its error output.
        let _ = stdin.write_all(question.to_string().as_bytes());
    }
    let output = child.wait_with_output().map_err(|error| error.to_string())?;
    let said = String::from_utf8_lossy(&output.stderr);
    if said.contains("ModuleNotFoundError") {
        let last = said.lines().last().unwrap_or_default();
        return Err(format!("{python} with {packages} is needed: {last}"));
    }
    assert!(output.status.success(), "the script failed: {said}");
    Ok(serde_json::from_slice(&output.stdout).expect("the script writes JSON"))
}
