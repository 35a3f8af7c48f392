//! Work in hand, kept where a crash doesn't reach it.
//!
//! Each session has a file of its own in one folder, and a lock beside it that
//! the system lets go of when the process ends, however it ends. So a file
//! whose lock is free was left by a session that didn't close.

use std::collections::BTreeMap;
use std::fs::{self, File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, SystemTime, UNIX_EPOCH};

use super::replace::Hold;
use super::{disk, replace};

/// How often a session tries to hold its own lock.
const TRIES: u32 = 200;

/// The folder, this session's file in it, and what others left there.
pub struct Recovery {
    folder: PathBuf,
    stem: String,
    /// Held from the first keeping to the end of the session, so that nobody
    /// takes this session for one that ended.
    lock: Option<File>,
    /// The turn of the last order that was carried out. Orders come from two
    /// threads, and an older one may not undo a newer one.
    turn: u64,
    asides: u32,
    ids: u64,
    held: BTreeMap<u64, Held>,
}

/// A file that no session works on; holding its lock keeps others from offering it too.
struct Held {
    stem: String,
    _lock: Option<File>,
}

/// A file that was found.
#[derive(Debug, PartialEq, Eq)]
pub struct Raw {
    pub id: u64,
    pub bytes: Vec<u8>,
    pub changed: SystemTime,
}

impl Recovery {
    /// Keeps files in `folder`, which is made when it is needed.
    pub fn new(folder: PathBuf) -> Self {
        let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
        let stem = format!("{}-{}", std::process::id(), since.as_nanos());
        Self { folder, stem, lock: None, turn: 0, asides: 0, ids: 0, held: BTreeMap::new() }
    }

    /// Keeps this text instead of the last one, unless a later order came first.
    pub fn keep(&mut self, turn: u64, text: &str) -> io::Result<()> {
        if turn < self.turn {
            return Ok(());
        }
        if self.lock.is_none() {
            self.lock = Some(self.locked(&self.stem)?);
        }
        disk::replace(&self.kept_path(&self.stem), text)?;
        self.turn = turn;
        Ok(())
    }

    /// Lets go of what this session kept.
    pub fn clear(&mut self, turn: u64) {
        if turn < self.turn {
            return;
        }
        self.turn = turn;
        if self.lock.is_some() {
            self.remove_kept(&self.stem);
        }
    }

    /// Keeps a text beside what is in hand, for this session and later ones to
    /// offer; the number is by what it is let go of.
    pub fn set_aside(&mut self, text: &str) -> io::Result<u64> {
        self.asides += 1;
        let stem = format!("{}-aside-{}", self.stem, self.asides);
        let lock = self.locked(&stem)?;
        if let Err(error) = disk::replace(&self.kept_path(&stem), text) {
            self.remove(&stem);
            return Err(error);
        }
        Ok(self.hold(stem, Some(lock)))
    }

    /// What sessions left that didn't close, the newest first. From here on no
    /// other session offers it.
    pub fn find(&mut self) -> Vec<Raw> {
        let mut found = Vec::new();
        for (changed, stem) in self.others() {
            let lock = File::open(self.lock_path(&stem)).ok();
            if lock.as_ref().is_some_and(is_locked) {
                continue;
            }
            if let Ok(bytes) = fs::read(self.kept_path(&stem)) {
                found.push(Raw { id: self.hold(stem, lock), bytes, changed });
            }
        }
        self.sweep_ended();
        found
    }

    /// Lets go of something that was found or set aside.
    pub fn forget(&mut self, id: u64) {
        if let Some(held) = self.held.remove(&id) {
            self.remove(&held.stem);
        }
    }

    /// The file of this session.
    #[cfg(test)]
    pub fn kept_here(&self) -> PathBuf {
        self.kept_path(&self.stem)
    }

    fn hold(&mut self, stem: String, lock: Option<File>) -> u64 {
        self.ids += 1;
        self.held.insert(self.ids, Held { stem, _lock: lock });
        self.ids
    }

    fn locked(&self, stem: &str) -> io::Result<File> {
        fs::create_dir_all(&self.folder)?;
        let path = self.lock_path(stem);
        for _ in 0..TRIES {
            let lock = File::create(&path)?;
            match lock.try_lock() {
                Ok(()) if path.exists() => return Ok(lock),
                // Another session, just starting, took it for one that was left, and swept it away.
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => thread::sleep(Duration::from_millis(5)),
                // Where a disk knows no locks, another session may offer this file
                // too, which is better than keeping none.
                Err(TryLockError::Error(_)) => return Ok(lock),
            }
        }
        File::create(path)
    }

    /// What is kept here and not held by this session, the newest first.
    fn others(&self) -> Vec<(SystemTime, String)> {
        let mut others: Vec<(SystemTime, String)> = self
            .stems("ron")
            .into_iter()
            .filter(|(_, stem)| *stem != self.stem && self.held.values().all(|held| held.stem != *stem))
            .collect();
        others.sort();
        others.reverse();
        others
    }

    /// The files of one extension: when they were written, and the rest of their names.
    fn stems(&self, extension: &str) -> Vec<(SystemTime, String)> {
        let entries = fs::read_dir(&self.folder).into_iter().flatten().flatten();
        let ours = |entry: fs::DirEntry| {
            let path = entry.path();
            let stem = path.file_stem()?.to_str()?.to_owned();
            let changed = entry.metadata().and_then(|about| about.modified()).unwrap_or(UNIX_EPOCH);
            // A name that begins with a dot is a half-written one.
            (path.extension()? == extension && !stem.starts_with('.')).then_some((changed, stem))
        };
        entries.filter_map(ours).collect()
    }

    /// Removes what is left of sessions that ended and kept nothing in the end.
    fn sweep_ended(&self) {
        for (_, stem) in self.stems("lock") {
            let Ok(lock) = File::open(self.lock_path(&stem)) else {
                continue;
            };
            // Held meanwhile, so that a session which begins just now waits.
            if lock.try_lock().is_ok() && !self.kept_path(&stem).exists() {
                self.remove(&stem);
            }
        }
    }

    /// Removes a session's file and what a kill in the middle of a write left of it.
    fn remove_kept(&self, stem: &str) {
        let kept = self.kept_path(stem);
        let _ = fs::remove_file(&kept);
        replace::sweep(&kept, &Hold::of(&kept));
        // As an older program named them.
        let half_written = format!(".{stem}.");
        for entry in fs::read_dir(&self.folder).into_iter().flatten().flatten() {
            if entry.file_name().to_string_lossy().starts_with(&half_written) {
                let _ = fs::remove_file(entry.path());
            }
        }
    }

    /// The same, and its lock.
    fn remove(&self, stem: &str) {
        self.remove_kept(stem);
        let _ = fs::remove_file(self.lock_path(stem));
    }

    fn kept_path(&self, stem: &str) -> PathBuf {
        beside(&self.folder, stem, "ron")
    }

    fn lock_path(&self, stem: &str) -> PathBuf {
        beside(&self.folder, stem, "lock")
    }
}

impl Drop for Recovery {
    fn drop(&mut self) {
        if self.lock.is_some() && !self.kept_path(&self.stem).exists() {
            let _ = fs::remove_file(self.lock_path(&self.stem));
        }
    }
}

/// Whether another session holds it; if not, this one does as long as the file is open.
fn is_locked(lock: &File) -> bool {
    matches!(lock.try_lock(), Err(TryLockError::WouldBlock))
}

fn beside(folder: &Path, stem: &str, extension: &str) -> PathBuf {
    folder.join(format!("{stem}.{extension}"))
}

#[cfg(test)]
#[path = "recovery_tests.rs"]
mod tests;
