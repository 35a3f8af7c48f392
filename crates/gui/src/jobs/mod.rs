//! All that reaches outside the window: dialogs, the disk, the clock. It is
//! asked for here and answered by events, so that nothing in the window waits
//! and a test can play the machine.

mod dialog;
mod disk;
mod paths;
mod queue;
mod real;
mod recovery;
mod settings_file;
mod test_host;
mod worker;

use std::path::{Path, PathBuf};

pub use disk::name_of;
pub use paths::{EXTENSION, from_the_root, suggested_name};
pub use queue::Waker;
pub use real::RealHost;
pub use test_host::{Pick, TestHost};

/// What became of a job.
#[derive(Debug, Clone, PartialEq)]
pub enum Event {
    /// A file to open was picked.
    PickedOpen(PathBuf),
    /// A file to save to was picked. It ends in the program's own extension,
    /// unless it names a file that is there already.
    PickedSave(PathBuf),
    /// The dialog was closed without an answer.
    PickCancelled,
    /// The answer came faster than a person gives one: this desktop has no
    /// dialogs. Ask for the path in the window.
    NoDialogHere,
    /// A file was read, or why not.
    Loaded {
        /// Which file.
        path: PathBuf,
        /// What is in it, or a sentence that says why it can't be had.
        result: Result<Vec<u8>, String>,
    },
    /// A file was written, or why not.
    Saved {
        /// Which file.
        path: PathBuf,
        /// The token that came with the job.
        token: u64,
        /// Nothing, or a sentence that says why the old file is still there.
        result: Result<(), String>,
    },
    /// What an earlier session left that ended without being closed, if any.
    Recovery(Option<Vec<u8>>),
    /// The work in hand can't be kept against a crash; a sentence says why.
    NotKept(String),
    /// This file is no longer where it was, though its folder is.
    Gone(PathBuf),
    /// What the settings hold now, another window's changes among them.
    Settings(String),
    /// The settings can't be kept, or aren't what they were; a sentence says why.
    SettingsTrouble(String),
    /// Something that was being worked out has no end; a sentence says why.
    WorkDied(String),
}

/// From what the settings' file holds, which is nothing where there is none, to
/// what it is to hold; none where that can't be understood.
pub type Amend = Box<dyn Fn(&[u8]) -> Option<String> + Send>;

/// Something to work out, which leaves its answer where the window finds it.
/// Whoever waits for the answer has to know of it if the work is dropped undone.
pub type Work = Box<dyn FnOnce() + Send>;

/// Work of different lanes goes on side by side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lane {
    /// What becomes of a file, in order with reading and writing.
    Files,
    /// What becomes of the program's own files, in order with them.
    Own,
    /// What a person waits for.
    Answers,
    /// What may take its time.
    Searches,
}

/// The machine, as the window sees it. No call waits for a disk or a person,
/// but for the few that say so; answers come from [`Host::poll`].
pub trait Host: Send + Sync {
    /// Asks for a file to open. To be called on the main thread.
    fn pick_open(&self);

    /// Asks for a file to save to; `suggested` is its name to begin with.
    /// To be called on the main thread.
    fn pick_save(&self, suggested: String);

    /// Reads a file.
    fn load(&self, path: PathBuf);

    /// Writes a file, all of it or nothing. Jobs are done in the order in which
    /// they came, so the last save of a file is what it holds.
    fn save(&self, path: PathBuf, text: String, token: u64);

    /// Keeps the work in hand where a crash doesn't reach it.
    fn keep_recovery(&self, text: String);

    /// Lets go of what this session kept: it is saved, or not wanted.
    fn clear_recovery(&self);

    /// Looks for what an earlier session left; answered by [`Event::Recovery`].
    fn load_recovery(&self);

    /// Lets go of what [`Host::load_recovery`] found: it is open and kept
    /// again, or turned down. Until then it is offered at each start.
    fn forget_recovered(&self);

    /// Works something out on another thread, jobs of one lane one after
    /// another, and asks for a frame when it is done. Work that panics takes
    /// nothing with it, and is told of by [`Event::WorkDied`].
    fn work(&self, lane: Lane, job: Work);

    /// Changes the settings that are kept; answered by [`Event::Settings`],
    /// [`Event::SettingsTrouble`] or both.
    fn amend_settings(&self, amend: Amend);

    /// The settings that were kept. Waits for the disk: for the start only.
    fn load_settings(&self) -> Option<Vec<u8>>;

    /// Seconds on a clock that never goes back.
    fn now_seconds(&self) -> f64;

    /// The time of day, "12:04".
    fn clock_text(&self) -> String;

    /// The path that a person typed: quotes and a leading `~` are understood.
    /// None if there is nothing in it.
    fn typed_path(&self, typed: &str) -> Option<PathBuf>;

    /// Whether something has that path already. Waits for the disk: for a
    /// path that was typed, before it is written to.
    fn is_taken(&self, path: &Path) -> bool;

    /// What became of jobs since the last call, in order.
    fn poll(&self) -> Vec<Event>;
}
