//! The script that solves integer programs.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::{Value, json};

/// What it answers to some questions, or why it can't be asked.
///
/// # Panics
/// If it can be asked and fails: an answer that doesn't come is no agreement.
pub fn ask(questions: &[Value]) -> Result<Vec<Value>, String> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("references/integer_program.py");
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let mut child = Command::new(&python)
        .arg("-B")
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|error| format!("{python} can't be started: {error}"))?;
    let told = json!({ "questions": questions }).to_string();
    if let Some(mut stdin) = child.stdin.take() {
        // A script that ended early says why on its error output.
        let _ = stdin.write_all(told.as_bytes());
    }
    let output = child.wait_with_output().map_err(|error| error.to_string())?;
    let said = String::from_utf8_lossy(&output.stderr);
    if said.contains("ModuleNotFoundError") {
        let last = said.lines().last().unwrap_or_default();
        return Err(format!("{python} with numpy and highspy is needed: {last}"));
    }
    assert!(output.status.success(), "the script failed: {said}");
    let mut answer: Value = serde_json::from_slice(&output.stdout).expect("the script writes JSON");
    let answers: Vec<Value> = answer["answers"].as_array_mut().map(std::mem::take).unwrap_or_default();
    assert_eq!(answers.len(), questions.len(), "an answer to each question");
    Ok(answers)
}
