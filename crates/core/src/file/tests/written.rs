//! What is handed out to be saved is the project, or nothing is.

use super::super::write::proved;
use super::*;
use crate::file::WriteError;

#[test]
fn a_text_of_another_project_is_not_handed_out() {
    let blank = blank().unwrap();
    assert_eq!(proved(blank_text().to_owned(), &blank), Ok(blank_text().to_owned()));
    for (old, new) in [("length: 6.0", "length: 6.000000000000001"), ("Amp\"", "amp\""), ("next_id: 5", "next_id: 6")] {
        assert_eq!(proved(changed(old, new), &blank), Err(WriteError::ReadsOtherwise), "{new}");
    }
    let error = proved(String::new(), &blank).unwrap_err();
    assert_eq!(error, WriteError::NotReadable(FileError::Empty));
    let error = proved(blank_text().replace("length: 6.0,", ""), &blank).unwrap_err().to_string();
    assert!(
        error.starts_with("this project could not be opened again: line 75, column 17, in the 1st lead"),
        "{error}"
    );
}

#[test]
fn a_project_that_would_not_open_is_not_handed_out() {
    let mut project = blank().unwrap();
    let second = project.variants[0].clone();
    project.variants.push(second);
    let error = write(&project).unwrap_err().to_string();
    assert!(error.contains("there are two variants with the id"), "{error}");

    let mut project = blank().unwrap();
    project.next_id = crate::rig::IDS_END + 1;
    let error = write(&project).unwrap_err().to_string();
    assert!(error.contains("the next id can't be 9007199254740993"), "{error}");
}

#[test]
fn more_than_a_file_holds_is_said() {
    let mut project = blank().unwrap();
    project.notes = "x".repeat(MAX_BYTES);
    assert_eq!(
        write(&project).unwrap_err().to_string(),
        "this project would take 17 MB, and a file has 16 MB at most; shorten its texts or take out variants"
    );
    project.notes.truncate(MAX_BYTES - blank_text().len() - 100);
    assert_eq!(read(write(&project).unwrap().as_bytes()).unwrap(), project);
}

/// The shipped rigs are as the program writes them.
#[test]
fn shipped_rigs_are_as_the_program_writes_them() {
    for bytes in [DEMO_BYTES, DAISY_BYTES, MODULAR_BYTES, BLANK_BYTES] {
        assert_eq!(write(&read(bytes).unwrap()).unwrap().as_bytes(), bytes);
    }
}
