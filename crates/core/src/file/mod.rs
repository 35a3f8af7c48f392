//! Bytes to project and back.
//!
//! A file is RON. Its version is read first, and each version has a frozen
//! module of plain structs: the rig's own types may change, what a file of an
//! older version looks like may not. No disk here: bytes come in, text goes out.

mod error;
mod layout;
mod parse;
mod reason;
mod v1;
mod v2;
mod v3;

#[cfg(test)]
mod tests;

pub use error::FileError;

use crate::rig::Project;

/// The version that [`write()`] writes, and the newest that [`read()`] reads.
pub const VERSION: u32 = 3;

/// The size in bytes past which nothing is read. A device and its lead take
/// about 1.5 kB, and reading takes memory and time in proportion.
pub const MAX_BYTES: usize = 16 << 20;

/// The file that opens when no other is asked for.
pub const DEMO_BYTES: &[u8] = include_bytes!("../../../../assets/rigs/demo.ron");

/// An invented rig: a few units on one daisy lead.
pub const DAISY_BYTES: &[u8] = include_bytes!("../../../../assets/rigs/few-on-a-daisy.ron");

/// An invented rig: a large board on a modular supply.
pub const MODULAR_BYTES: &[u8] = include_bytes!("../../../../assets/rigs/large-modular.ron");

/// The file that a new project starts from.
pub const BLANK_BYTES: &[u8] = include_bytes!("../../../../assets/rigs/blank.ron");

/// The project in a file's bytes. Errors: nothing is opened, and the sentence
/// says where and what was expected. A rig that can't work as drawn is no
/// error here; see [`crate::rig::problems`].
pub fn read(bytes: &[u8]) -> Result<Project, FileError> {
    let text = parse::text(bytes)?;
    // A newer version next to this one gets its own arm, and the older ones
    // a step that carries their structs over to it.
    match parse::version(text)? {
        1 => v1::read(text),
        2 => v2::read(text),
        3 => v3::read(text),
        version if version > u64::from(VERSION) => Err(FileError::Newer { version, ours: VERSION }),
        version => Err(FileError::NoSuchVersion { version, ours: VERSION }),
    }
}

/// The text of a project's file: one text for one project, with a newline at its end.
#[must_use]
pub fn write(project: &Project) -> String {
    v3::write(project)
}

/// The demo that ships with the program. An error is a slip of ours; a test holds that there is none.
pub fn demo() -> Result<Project, FileError> {
    read(DEMO_BYTES)
}

/// The rig of a few units on one daisy lead. An error is a slip of ours; a test holds that there is none.
pub fn few_on_a_daisy() -> Result<Project, FileError> {
    read(DAISY_BYTES)
}

/// The rig of a large board on a modular supply. An error is a slip of ours; a test holds that there is none.
pub fn large_modular() -> Result<Project, FileError> {
    read(MODULAR_BYTES)
}

/// A guitar, a lead and an amp to start from. An error is a slip of ours; a test holds that there is none.
pub fn blank() -> Result<Project, FileError> {
    read(BLANK_BYTES)
}
