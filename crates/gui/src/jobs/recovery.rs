//! Work in hand, kept where a crash doesn't reach it.
//!
//! Each session has a file of its own in one folder, and a lock beside it that
//! the system lets go of when the process ends, however it ends. So a file
//! whose lock is free was left by a session that didn't close.

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};

use super::disk;

/// The folder, this session's file in it, and what was found of another's.
pub struct Recovery {
    folder: PathBuf,
    stem: String,
    lock: Option<File>,
    found: Option<Found>,
}

/// Another session's file; holding its lock keeps others from offering it too.
struct Found {
    stem: String,
    _lock: Option<File>,
}

impl Recovery {
    /// Keeps files in `folder`, which is made when it is needed.
    pub fn new(folder: PathBuf) -> Self {
        let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
        let stem = format!("{}-{}", std::process::id(), since.as_nanos());
        Self { folder, stem, lock: None, found: None }
    }

    /// Keeps this text instead of the last one.
    pub fn keep(&mut self, text: &str) -> io::Result<()> {
        if self.lock.is_none() {
            fs::create_dir_all(&self.folder)?;
            let lock = File::create(self.lock_path(&self.stem))?;
            // Where a disk knows no locks, another session may offer this file
            // too, which is better than keeping none.
            let _ = lock.try_lock();
            self.lock = Some(lock);
        }
        disk::replace(&self.kept_path(&self.stem), text)
    }

    /// Lets go of what this session kept.
    pub fn clear(&mut self) {
        if self.lock.is_some() {
            self.remove(&self.stem);
            self.lock = None;
        }
    }

    /// The newest text that a session left which didn't close.
    pub fn find(&mut self) -> Option<Vec<u8>> {
        self.found = None;
        for stem in self.others() {
            let lock = File::open(self.lock_path(&stem)).ok();
            if lock.as_ref().is_some_and(|lock| matches!(lock.try_lock(), Err(fs::TryLockError::WouldBlock))) {
                continue;
            }
            if let Ok(bytes) = disk::read(&self.kept_path(&stem)) {
                self.found = Some(Found { stem, _lock: lock });
                return Some(bytes);
            }
        }
        None
    }

    /// Lets go of what was found.
    pub fn forget_found(&mut self) {
        if let Some(found) = self.found.take() {
            self.remove(&found.stem);
        }
    }

    /// The other sessions that kept something, the newest first.
    fn others(&self) -> Vec<String> {
        let Ok(entries) = fs::read_dir(&self.folder) else {
            return Vec::new();
        };
        let mut others: Vec<(SystemTime, String)> = entries
            .flatten()
            .filter_map(|entry| {
                let path = entry.path();
                let stem = path.file_stem()?.to_str()?.to_owned();
                // A name that begins with a dot is a half-written one.
                let ours = path.extension()? == "ron" && !stem.starts_with('.') && stem != self.stem;
                let changed = entry.metadata().and_then(|about| about.modified()).unwrap_or(UNIX_EPOCH);
                ours.then_some((changed, stem))
            })
            .collect();
        others.sort();
        others.into_iter().rev().map(|(_, stem)| stem).collect()
    }

    /// Removes a session's file, its lock, and what a kill in the middle of a write left of it.
    fn remove(&self, stem: &str) {
        let _ = fs::remove_file(self.kept_path(stem));
        let _ = fs::remove_file(self.lock_path(stem));
        let half_written = format!(".{stem}.");
        for entry in fs::read_dir(&self.folder).into_iter().flatten().flatten() {
            if entry.file_name().to_string_lossy().starts_with(&half_written) {
                let _ = fs::remove_file(entry.path());
            }
        }
    }

    fn kept_path(&self, stem: &str) -> PathBuf {
        beside(&self.folder, stem, "ron")
    }

    fn lock_path(&self, stem: &str) -> PathBuf {
        beside(&self.folder, stem, "lock")
    }
}

fn beside(folder: &Path, stem: &str, extension: &str) -> PathBuf {
    folder.join(format!("{stem}.{extension}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn session(folder: &Path) -> Recovery {
        Recovery::new(folder.join("kept"))
    }

    fn files(folder: &Path) -> usize {
        fs::read_dir(folder.join("kept")).map_or(0, Iterator::count)
    }

    #[test]
    fn what_a_killed_session_kept_is_found_until_it_is_forgotten() {
        let folder = tempfile::tempdir().unwrap();
        let mut killed = session(folder.path());
        killed.keep("first").unwrap();
        killed.keep("last").unwrap();
        let mut next = session(folder.path());
        assert_eq!(next.find(), None, "the session is alive");
        drop(killed);
        assert_eq!(next.find().as_deref(), Some(&b"last"[..]));
        assert_eq!(session(folder.path()).find(), None, "one session offers it, not two");
        drop(next);
        let mut after = session(folder.path());
        assert_eq!(after.find().as_deref(), Some(&b"last"[..]));
        after.keep("mine").unwrap();
        after.clear();
        assert_eq!(after.find().as_deref(), Some(&b"last"[..]), "clearing is about what is one's own");
        after.forget_found();
        assert_eq!(after.find(), None);
        assert_eq!(files(folder.path()), 0);
    }

    #[test]
    fn a_session_that_closes_leaves_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let mut closed = session(folder.path());
        closed.clear();
        closed.keep("work").unwrap();
        closed.clear();
        drop(closed);
        assert_eq!(files(folder.path()), 0);
        assert_eq!(session(folder.path()).find(), None);
    }

    #[test]
    fn the_newest_is_offered_first() {
        let folder = tempfile::tempdir().unwrap();
        for (seconds, text) in [(100, "older"), (300, "newest"), (200, "old")] {
            let mut killed = session(folder.path());
            killed.keep(text).unwrap();
            let kept = File::options().write(true).open(killed.kept_path(&killed.stem)).unwrap();
            kept.set_modified(UNIX_EPOCH + std::time::Duration::from_secs(seconds)).unwrap();
        }
        let mut next = session(folder.path());
        for text in ["newest", "old", "older"] {
            assert_eq!(next.find().as_deref(), Some(text.as_bytes()));
            next.forget_found();
        }
        assert_eq!(next.find(), None);
    }

    #[test]
    fn half_written_files_are_neither_offered_nor_left() {
        let folder = tempfile::tempdir().unwrap();
        let mut killed = session(folder.path());
        killed.keep("whole").unwrap();
        fs::write(folder.path().join("kept").join(format!(".{}.ron.Ab12Cd", killed.stem)), "ha").unwrap();
        drop(killed);
        let mut next = session(folder.path());
        assert_eq!(next.find().as_deref(), Some(&b"whole"[..]));
        next.forget_found();
        assert_eq!(files(folder.path()), 0);
    }
}
