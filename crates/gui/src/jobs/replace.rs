//! Putting a new file in the place of an old one, whole or not at all.
//!
//! The new one is written beside the old one under a name that nobody else
//! gives. So what a kill leaves of it can be told from anybody's files, and is
//! swept away when the file is next opened or saved.

use std::ffi::{OsStr, OsString};
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use std::thread;
use std::time::{Duration, Instant, SystemTime};

use super::stamp::fnv;

/// How long another window may be busy in the same folder.
const PATIENCE: Duration = Duration::from_secs(5);

/// What is this old is no longer being written, also where a disk knows no locks.
const SURELY_LEFT: Duration = Duration::from_secs(3600);

/// A new file that is whole and on the disk, but not yet in its place. Unless
/// it is put there it goes away again.
pub struct Half {
    at: PathBuf,
    target: PathBuf,
    placed: bool,
    /// When it was written, which stays so in its place.
    pub modified: Option<SystemTime>,
}

impl Half {
    /// Writes what is to be in `target`, beside it. Who may read the old file
    /// may read the new one, and nobody else.
    pub fn written(target: &Path, bytes: &[u8]) -> io::Result<Self> {
        let old = fs::symlink_metadata(target).ok();
        let (at, mut file) = made_beside(target, old.is_some())?;
        let mut half = Self { at, target: target.to_path_buf(), placed: false, modified: None };
        file.write_all(bytes)?;
        if let Some(old) = old {
            own_as(&file, &old)?;
            file.set_permissions(old.permissions())?;
        }
        file.sync_all()?;
        half.modified = file.metadata()?.modified().ok();
        Ok(half)
    }

    /// From here on it is the file of that name.
    pub fn put_in_place(mut self) -> io::Result<()> {
        fs::rename(&self.at, &self.target)?;
        self.placed = true;
        // It is in its place whether or not the folder can be told to remember that at once.
        if let Ok(folder) = File::open(folder_of(&self.target)) {
            let _ = folder.sync_all();
        }
        Ok(())
    }
}

impl Drop for Half {
    fn drop(&mut self) {
        if !self.placed {
            let _ = fs::remove_file(&self.at);
        }
    }
}

/// A new file beside `target`, under a name of our own.
fn made_beside(target: &Path, private: bool) -> io::Result<(PathBuf, File)> {
    static NUMBER: AtomicU32 = AtomicU32::new(0);
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    // Until it is as the old one is, nobody else looks into it.
    #[cfg(unix)]
    if private {
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    }
    #[cfg(not(unix))]
    let _ = private;
    let mut tries = 0;
    loop {
        let number = NUMBER.fetch_add(1, Ordering::Relaxed);
        let name = format!("{}{:x}-{number:x}{END}", beginning(target), std::process::id());
        let at = folder_of(target).join(name);
        match options.open(&at) {
            Err(error) if error.kind() == ErrorKind::AlreadyExists && tries < 1000 => tries += 1,
            result => return result.map(|file| (at, file)),
        }
    }
}

#[cfg(unix)]
fn own_as(file: &File, old: &fs::Metadata) -> io::Result<()> {
    use std::os::unix::fs::MetadataExt;
    let new = file.metadata()?;
    if (new.uid(), new.gid()) != (old.uid(), old.gid()) {
        // Only an administrator can give a file away; for others it becomes theirs.
        let _ = std::os::unix::fs::fchown(file, Some(old.uid()), Some(old.gid()));
    }
    Ok(())
}

#[cfg(not(unix))]
fn own_as(_: &File, _: &fs::Metadata) -> io::Result<()> {
    Ok(())
}

const END: &str = ".half";

/// How the names of the half-written neighbours of `target` begin. Its own
/// name is in it as a number, since it may be as long as a disk allows.
fn beginning(target: &Path) -> String {
    let name = target.file_name().unwrap_or(OsStr::new("")).as_encoded_bytes();
    format!(".rigwright-{:016x}-", fnv(name))
}

/// Removes what a kill left of earlier writings of `target`, and nothing else.
pub fn sweep(target: &Path, hold: &Hold) {
    let beginning = beginning(target);
    for entry in fs::read_dir(folder_of(target)).into_iter().flatten().flatten() {
        let ours =
            |name: OsString| name.to_str().is_some_and(|name| name.starts_with(&beginning) && name.ends_with(END));
        let a_file = entry.file_type().is_ok_and(|kind| kind.is_file());
        if ours(entry.file_name()) && a_file && (hold.is_held() || surely_left(&entry)) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

fn surely_left(entry: &fs::DirEntry) -> bool {
    let written = entry.metadata().and_then(|about| about.modified()).ok();
    written.and_then(|written| written.elapsed().ok()).is_some_and(|age| age > SURELY_LEFT)
}

/// A folder in which no other window of this program replaces a file, as long as this lives.
pub struct Hold(Option<File>);

impl Hold {
    /// Waits until no other window is at it. A folder that can't be held is
    /// written to all the same: the system may have no locks.
    pub fn of(target: &Path) -> Self {
        let begun = Instant::now();
        loop {
            match Self::at_once(target) {
                Some(hold) => return hold,
                None if begun.elapsed() > PATIENCE => return Self(None),
                None => thread::sleep(Duration::from_millis(5)),
            }
        }
    }

    /// The same without waiting; none while another window is at it.
    pub fn at_once(target: &Path) -> Option<Self> {
        let Ok(folder) = File::open(folder_of(target)) else {
            return Some(Self(None));
        };
        match folder.try_lock() {
            Ok(()) => Some(Self(Some(folder))),
            Err(TryLockError::WouldBlock) => None,
            Err(TryLockError::Error(_)) => Some(Self(None)),
        }
    }

    fn is_held(&self) -> bool {
        self.0.is_some()
    }
}

/// The folder that a file is in, or would be.
pub fn folder_of(target: &Path) -> &Path {
    match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut names: Vec<_> = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn until_it_is_in_its_place_the_old_file_stands() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("pub.ron");
        fs::write(&path, "old").unwrap();
        let half = Half::written(&path, b"new").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"old");
        assert_eq!(names(folder.path()).len(), 2);
        drop(half);
        assert_eq!(names(folder.path()), ["pub.ron"]);
        Half::written(&path, b"new").unwrap().put_in_place().unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"new");
        assert_eq!(names(folder.path()), ["pub.ron"]);
    }

    #[test]
    fn only_what_a_kill_left_of_the_same_file_is_swept() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("pub.ron");
        fs::write(&path, "old").unwrap();
        std::mem::forget(Half::written(&path, b"half").unwrap());
        std::mem::forget(Half::written(&folder.path().join("tour.ron"), b"half").unwrap());
        // Names as other programs give them to what they are writing, or to copies.
        let others =
            [".pub.ron.Ab12Cd", ".pub.ron.backup", ".pub.ron.swp", "pub.ron.half", ".rigwright-notes.half", "pub.ron~"];
        for name in others {
            fs::write(folder.path().join(name), "not ours").unwrap();
        }
        fs::create_dir(folder.path().join(format!("{}folder{END}", beginning(&path)))).unwrap();
        assert_eq!(names(folder.path()).len(), others.len() + 4);
        sweep(&path, &Hold::of(&path));
        let left = names(folder.path());
        assert_eq!(left.len(), others.len() + 3, "{left:?}");
        assert!(others.iter().all(|name| left.iter().any(|left| left == name)), "{left:?}");
        assert!(left.iter().any(|name| name.starts_with(&beginning(Path::new("tour.ron")))), "{left:?}");
    }

    #[test]
    fn what_another_window_is_writing_is_not_swept() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("pub.ron");
        let writing = Hold::of(&path);
        let half = Half::written(&path, b"new").unwrap();
        if writing.is_held() {
            assert!(Hold::at_once(&path).is_none(), "one at a time");
        }
        sweep(&path, &Hold(None));
        half.put_in_place().unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"new");
    }

    #[test]
    fn a_name_as_long_as_a_disk_allows_can_be_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join(format!("{}.ron", "a".repeat(251)));
        Half::written(&path, b"new").unwrap().put_in_place().unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"new");
    }
}
