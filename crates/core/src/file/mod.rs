//! Bytes to project and back.
//!
//! A file is RON. Its version is read first; one schema reads them all, and
//! refuses in each what it couldn't say. No disk here: bytes come in, text goes out.

mod check;
mod error;
mod gate;
mod layout;
mod migrate;
mod own_parts;
mod parse;
mod reason;
mod schema;
mod since;
mod write;

#[cfg(test)]
mod tests;

pub use error::{FileError, WriteError};
pub use own_parts::{
    Added, MOST_OWN_PARTS, OWN_PARTS_VERSION, OwnPartsError, TakenIn, add_own_part, is_own_parts, own_part,
    read_own_parts, take_in_own_parts, write_own_parts,
};
pub use write::write;

use self::schema::Stored;
use crate::rig::Project;

/// The version that [`write()`] writes, and the newest that [`read()`] reads.
pub const VERSION: u32 = 4;

/// The size in bytes past which nothing is read. A device and its lead take
/// about 1.5 kB, and reading takes memory and time in proportion.
pub const MAX_BYTES: usize = 16 << 20;

/// The file that opens when no other is asked for.
pub const DEMO_BYTES: &[u8] = include_bytes!("../../../../assets/rigs/demo.ron");

/// An invented rig: a few units on one daisy lead.
pub const DAISY_BYTES: &[u8] = include_bytes!("../../../../assets/rigs/few-on-a-daisy.ron");

/// An invented rig: a large board on a modular supply.
pub const MODULAR_BYTES: &[u8] = include_bytes!("../../../../assets/rigs/large-modular.ron");

/// An invented rig: one multi-effects unit, with a drive in its loop or an amp around it.
pub const MULTI_EFFECTS_BYTES: &[u8] = include_bytes!("../../../../assets/rigs/multi-effects.ron");

/// The file that a new project starts from.
pub const BLANK_BYTES: &[u8] = include_bytes!("../../../../assets/rigs/blank.ron");

/// The project in a file's bytes. Errors: nothing is opened, and the sentence
/// says where and what was expected. A rig that can't work as drawn is no
/// error here; see [`crate::rig::problems`].
pub fn read(bytes: &[u8]) -> Result<Project, FileError> {
    let text = parse::text(bytes)?;
    let version = match parse::version(text, "version")? {
        0 => return Err(FileError::NoSuchVersion { version: 0, ours: VERSION }),
        version => match u32::try_from(version) {
            Ok(known) if known <= VERSION => known,
            _ => return Err(FileError::Newer { version, ours: VERSION }),
        },
    };
    let project: schema::Project = parse::strict(text, since::Version(version))?;
    check::check(&project, text)?;
    Ok(migrate::up(project, version).restore())
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

/// The rig of one multi-effects unit. An error is a slip of ours; a test holds that there is none.
pub fn multi_effects() -> Result<Project, FileError> {
    read(MULTI_EFFECTS_BYTES)
}

/// A guitar, a lead and an amp to start from. An error is a slip of ours; a test holds that there is none.
pub fn blank() -> Result<Project, FileError> {
    read(BLANK_BYTES)
}
