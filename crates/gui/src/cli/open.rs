//! From a file's name to its project, or the one sentence that says why not.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use rigwright_core::file::{self, FileError, MAX_BYTES};
use rigwright_core::rig::Project;

use super::{Aside, refuse};

/// The file's name as it was given.
pub fn shown(path: &Path) -> String {
    path.display().to_string()
}

/// Reads a project.
pub fn project(path: &Path) -> Result<Project, Aside> {
    let name = shown(path);
    let read = match bytes(path) {
        Ok(bytes) => file::read(&bytes),
        Err(Unread::TooLarge { bytes }) => Err(FileError::TooLarge { bytes }),
        Err(Unread::Folder) => {
            return refuse(format!("“{name}” is a folder; expected a rig's file."));
        }
        Err(Unread::Failed(error)) => return refuse(unreadable(&name, &error)),
    };
    read.or_else(|error| {
        let joint = if error.line_column().is_some() { "," } else { ":" };
        refuse(format!("{name}{joint} {error}"))
    })
}

enum Unread {
    Folder,
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
    if about.is_dir() {
        return Err(Unread::Folder);
    }
    let size = usize::try_from(about.len()).unwrap_or(usize::MAX);
    if size > MAX_BYTES {
        return Err(Unread::TooLarge { bytes: size });
    }
    // A pipe tells no size, and a file may grow meanwhile: one byte past the limit is enough to know.
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
