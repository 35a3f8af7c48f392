//! Reading a file whole, and writing one whole or not at all. Errors are
//! sentences for a guitarist.

use std::fs::{self, OpenOptions};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use rigwright_core::file::MAX_BYTES;

use super::replace::{self, Half, Hold};
use super::stamp::{self, Content, Stamp};
use super::{NotSaved, Replaces, Wrote};

/// A link to a link to a link: past this many they go in a circle.
const MOST_LINKS: usize = 40;

/// What is in a file. Anything that can't be a rig's file is refused before it is read.
pub fn read(path: &Path) -> Result<Vec<u8>, String> {
    open(path).map(|(bytes, _)| bytes)
}

/// The same, with its stamp. What a kill left beside the file is swept away.
pub fn open(path: &Path) -> Result<(Vec<u8>, Stamp), String> {
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
    // It may grow meanwhile: one byte past the limit is enough to know.
    let (bytes, stamp) = stamp::seen_whole(path).map_err(failed)?;
    if bytes.len() > MAX_BYTES {
        return Err(refused(&too_large()));
    }
    Ok((bytes, stamp))
}

/// Sweeps away what a kill left beside a file, unless another window is at it.
pub fn sweep_beside(path: &Path) {
    if let Ok(target) = behind_links(path)
        && let Some(hold) = Hold::at_once(&target)
    {
        replace::sweep(&target, &hold);
    }
}

/// Writes a file whatever was there; see [`save`].
pub fn write(path: &Path, content: impl AsRef<[u8]>) -> Result<(), String> {
    match save(path, content, &Replaces::Anything) {
        Ok(_) => Ok(()),
        Err(NotSaved::Why(why)) => Err(why),
        Err(NotSaved::Other(_)) => Err(format!("“{}” can't be saved: there is another file.", name_of(path))),
    }
}

/// Writes a file. Until the new one is whole and on the disk the old one stays
/// as it was; a link stays a link, and who may read the file stays the same.
/// Whether the old one may be replaced is looked at last of all.
pub fn save(path: &Path, content: impl AsRef<[u8]>, replaces: &Replaces) -> Result<Wrote, NotSaved> {
    let bytes = content.as_ref();
    let target = behind_links(path).map_err(|error| refused(path, &path_fails(&error)))?;
    let refused = |why: &str| refused(&target, why);
    let failed = |error: io::Error| refused(&writing(&error, &target));
    match fs::metadata(&target) {
        Ok(about) if about.is_dir() => return Err(refused("a folder has that name")),
        Ok(about) if !about.is_file() => return Err(refused("it isn't an ordinary file")),
        Ok(about) if about.permissions().readonly() => {
            return Err(refused("the file is write-protected"));
        }
        // Replacing a file asks its folder and not the file; who may not write
        // to the file shouldn't replace it either.
        Ok(_) => drop(
            OpenOptions::new().write(true).open(&target).map_err(|error| refused(&not_writable(&error, &target)))?,
        ),
        Err(error) if error.kind() == ErrorKind::NotFound => {}
        Err(error) => return Err(failed(error)),
    }
    // Other windows of this program wait here until the file is replaced; other
    // programs don't know of that.
    let hold = Hold::of(&target);
    replace::sweep(&target, &hold);
    let half = Half::written(&target, bytes).map_err(failed)?;
    let anew = match replaces {
        Replaces::Anything => false,
        Replaces::Only(known) => match stamp::seen(&target).map_err(failed)? {
            Some(there) if !known.contains(&there.content) => return Err(NotSaved::Other(there.content)),
            there => there.is_none() && !known.is_empty(),
        },
    };
    let modified = half.modified;
    half.put_in_place().map_err(failed)?;
    Ok(Wrote { stamp: Stamp { content: Content::of(bytes), modified }, anew })
}

/// Writes a file of the program's own, whole or not at all.
pub fn replace(target: &Path, text: &str) -> io::Result<()> {
    Half::written(target, text.as_bytes())?.put_in_place()
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

/// The sentence that says which file can't be saved, where, and why.
pub fn refused(target: &Path, why: &str) -> NotSaved {
    NotSaved::Why(format!("“{}” can't be saved in “{}”: {why}.", name_of(target), replace::folder_of(target).display()))
}

fn writing(error: &io::Error, target: &Path) -> String {
    match error.kind() {
        // There are folders in which the system makes no files.
        ErrorKind::NotFound if replace::folder_of(target).is_dir() => "no file can be made in that folder".to_owned(),
        ErrorKind::NotFound => "that folder isn't there".to_owned(),
        ErrorKind::PermissionDenied => "that folder can't be written to".to_owned(),
        _ => either_way(error),
    }
}

fn not_writable(error: &io::Error, target: &Path) -> String {
    match error.kind() {
        ErrorKind::PermissionDenied => "you aren't allowed to change that file".to_owned(),
        _ => writing(error, target),
    }
}

fn path_fails(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::PermissionDenied => "you aren't allowed to look there".to_owned(),
        _ => either_way(error),
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
