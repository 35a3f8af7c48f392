//! Reading a file whole, and writing one whole or not at all. Errors are
//! sentences for a guitarist.

use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

use atomic_write_file::AtomicWriteFile;
use rigwright_core::file::MAX_BYTES;

/// A link to a link to a link: past this many they go in a circle.
const MOST_LINKS: usize = 40;

/// What is in a file. Anything that can't be a rig's file is refused before it is read.
pub fn read(path: &Path) -> Result<Vec<u8>, String> {
    let refused = |why: &str| format!("“{}” can't be opened: {why}.", name_of(path));
    let failed = |error: io::Error| refused(&reading(&error));
    let about = fs::metadata(path).map_err(failed)?;
    if about.is_dir() {
        return Err(refused("it is a folder"));
    }
    // Opening a pipe waits for somebody to write into it, perhaps for ever.
    if !about.is_file() {
        return Err(refused("it isn't an ordinary file"));
    }
    if about.len() > MAX_BYTES as u64 {
        return Err(refused(&too_large()));
    }
    let mut bytes = Vec::new();
    // It may grow meanwhile: one byte past the limit is enough to know.
    let mut file = File::open(path).map_err(failed)?.take(MAX_BYTES as u64 + 1);
    file.read_to_end(&mut bytes).map_err(failed)?;
    if bytes.len() > MAX_BYTES { Err(refused(&too_large())) } else { Ok(bytes) }
}

/// Writes a file. Until the new one is whole and on the disk the old one stays
/// as it was; a link stays a link, and who may read the file stays the same.
pub fn write(path: &Path, text: &str) -> Result<(), String> {
    let refused = |why: &str| format!("“{}” can't be saved: {why}.", name_of(path));
    let target = behind_links(path).map_err(|error| refused(&writing(&error)))?;
    match fs::metadata(&target) {
        Ok(about) if about.is_dir() => return Err(refused("a folder has that name")),
        Ok(about) if !about.is_file() => return Err(refused("it isn't an ordinary file")),
        Ok(about) if about.permissions().readonly() => {
            return Err(refused("the file is write-protected"));
        }
        // Replacing a file asks its folder and not the file; who may not write
        // to the file shouldn't replace it either.
        Ok(_) => drop(OpenOptions::new().write(true).open(&target).map_err(|error| refused(&locked(&error)))?),
        Err(error) if error.kind() == ErrorKind::NotFound => {}
        Err(error) => return Err(refused(&writing(&error))),
    }
    replace(&target, text).map_err(|error| refused(&writing(&error)))
}

/// Writes the new file beside the old one, and puts it in its place when it is whole.
pub fn replace(target: &Path, text: &str) -> io::Result<()> {
    let mut file = AtomicWriteFile::options().open(target)?;
    file.write_all(text.as_bytes())?;
    file.commit()
}

/// The file that a path is a link to, which may not be there yet.
fn behind_links(path: &Path) -> io::Result<PathBuf> {
    let mut path = path.to_path_buf();
    for _ in 0..MOST_LINKS {
        match fs::read_link(&path) {
            Ok(target) => path = path.parent().unwrap_or(Path::new("")).join(target),
            // Not a link, or not there.
            Err(_) => return Ok(path),
        }
    }
    Err(io::Error::from(ErrorKind::InvalidFilename))
}

/// Whether a file isn't where it was. A drive that isn't there, or doesn't answer, says nothing about its files.
pub fn is_gone(path: &Path) -> bool {
    let missing = fs::metadata(path).is_err_and(|error| error.kind() == ErrorKind::NotFound);
    missing && path.parent().is_some_and(Path::is_dir)
}

/// A file as a sentence names it.
pub fn name_of(path: &Path) -> String {
    path.file_name().map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned())
}

fn too_large() -> String {
    format!("it has more than {} MB, and no rig has that", MAX_BYTES >> 20)
}

fn reading(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file".to_owned(),
        ErrorKind::PermissionDenied => "you aren't allowed to read it".to_owned(),
        _ => either_way(error),
    }
}

fn writing(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "its folder isn't there".to_owned(),
        ErrorKind::PermissionDenied => "its folder can't be written to".to_owned(),
        _ => either_way(error),
    }
}

fn locked(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::PermissionDenied => "you aren't allowed to change that file".to_owned(),
        _ => writing(error),
    }
}

/// What is the same for reading and writing.
pub fn either_way(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::StorageFull => "the disk is full".to_owned(),
        ErrorKind::QuotaExceeded => "your share of the disk is full".to_owned(),
        ErrorKind::ReadOnlyFilesystem => "the disk can only be read from".to_owned(),
        ErrorKind::NotADirectory => "a part of its path is a file and not a folder".to_owned(),
        ErrorKind::IsADirectory => "it is a folder".to_owned(),
        ErrorKind::InvalidFilename | ErrorKind::InvalidInput => "the disk takes no file of that name".to_owned(),
        ErrorKind::ResourceBusy => "another program is using it".to_owned(),
        ErrorKind::TimedOut
        | ErrorKind::HostUnreachable
        | ErrorKind::NetworkUnreachable
        | ErrorKind::NetworkDown
        | ErrorKind::NotConnected
        | ErrorKind::StaleNetworkFileHandle => "the drive that it is on doesn't answer".to_owned(),
        _ => format!("the system says “{error}”"),
    }
}

#[cfg(test)]
#[path = "disk_tests.rs"]
mod tests;
