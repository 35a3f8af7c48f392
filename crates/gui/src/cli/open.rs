//! From a file's name to its project, or the one sentence that says why not.

use std::fs::{File, Metadata};
use std::io::{self, Read};
use std::path::Path;

use rigwright_core::file::{self, FileError, MAX_BYTES};
use rigwright_core::rig::Project;

use super::words::brief;
use super::{Aside, refuse};

/// The file's name as it was given, as far as a sentence has room for it.
pub fn shown(path: &Path) -> String {
    brief(&path.display().to_string())
}

/// Why a path that is there can't be a rig's file, if it can't: a pipe would be
/// waited for, perhaps for ever, and a device may never end.
pub fn no_rig(path: &Path, about: &Metadata) -> Option<String> {
    let name = shown(path);
    if about.is_dir() {
        return Some(format!("“{name}” is a folder; expected a rig's file."));
    }
    (!about.is_file()).then(|| format!("“{name}” is a pipe or a device; expected a rig's file."))
}

/// Reads a project.
pub fn project(path: &Path) -> Result<Project, Aside> {
    let name = shown(path);
    let read = match bytes(path) {
        Ok(bytes) => file::read(&bytes),
        Err(Unread::TooLarge { bytes }) => Err(FileError::TooLarge { bytes }),
        Err(Unread::NoRig(why)) => return refuse(why),
        Err(Unread::Failed(error)) => return refuse(unreadable(&name, &error)),
    };
    read.or_else(|error| {
        let joint = if error.line_column().is_some() { "," } else { ":" };
        refuse(format!("{name}{joint} {error}"))
    })
}

enum Unread {
    NoRig(String),
    TooLarge { bytes: usize },
    Failed(io::Error),
}

impl From<io::Error> for Unread {
    fn from(error: io::Error) -> Self {
        Self::Failed(error)
    }
}

fn bytes(path: &Path) -> Result<Vec<u8>, Unread> {
    let about = std::fs::metadata(path)?;
    if let Some(why) = no_rig(path, &about) {
        return Err(Unread::NoRig(why));
    }
    let size = usize::try_from(about.len()).unwrap_or(usize::MAX);
    if size > MAX_BYTES {
        return Err(Unread::TooLarge { bytes: size });
    }
    // It may grow meanwhile: one byte past the limit is enough to know.
    let mut bytes = Vec::new();
    File::open(path)?.take(MAX_BYTES as u64 + 1).read_to_end(&mut bytes)?;
    if bytes.len() > MAX_BYTES { Err(Unread::TooLarge { bytes: bytes.len() }) } else { Ok(bytes) }
}

fn unreadable(name: &str, error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => format!("There is no file “{name}”."),
        io::ErrorKind::PermissionDenied => format!("“{name}” can't be read: it isn't permitted."),
        _ => format!("“{name}” can't be read: {error}."),
    }
}
