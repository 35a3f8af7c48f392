//! A project that no file can hold: the sentence says so, and the old file stays.

use egui::Key;
use rigwright_core::file;

use crate::window::Setup;

/// A file that is small enough, with a text that is saved with six characters for each of its own.
fn swelling() -> String {
    let blank = String::from_utf8(file::BLANK_BYTES.to_vec()).unwrap();
    let marks = "\u{7f}".repeat(3 << 20);
    blank.replacen("sounds: []", &format!("sounds: [(id: 90, name: \"loud\", notes: \"{marks}\")]"), 1)
}

#[test]
fn what_no_file_can_hold_is_said_and_the_old_file_stays() {
    let file = swelling();
    let mut window = Setup::file("/rigs/loud.ron", file.clone()).open();
    assert_eq!(window.project().sounds.len(), 1);
    window.command(Key::S);
    window.assert_says("“loud.ron” isn't saved: this project would take 19 MB, and a file has 16 MB at most");
    assert!(window.host.file("/rigs/loud.ron").unwrap() == file.as_bytes());
}
