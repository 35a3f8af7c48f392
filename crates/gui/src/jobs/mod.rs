//! All that reaches outside the window: dialogs, the disk, the clock. It is
//! asked for here and answered by events, so that nothing in the window waits
//! and a test can play the machine.

mod dialog;
mod disk;
mod kept;
mod paths;
mod queue;
mod real;
mod recovery;
mod replace;
mod shared_file;
mod stamp;
mod test_host;
mod watch;
mod worker;

use std::path::PathBuf;

use rigwright_core::rig::OwnPart;

pub use disk::{name_of, write as write_whole};
pub use kept::{Kept, LeftStatus, LeftWork, Origin};
pub use paths::{EXTENSION, beside, from_the_root, named_as, suggested_name};
pub use queue::Waker;
pub use real::RealHost;
pub use stamp::{Content, Stamp};
pub use test_host::{Pick, TestHost};

/// What became of a job.
#[derive(Debug, Clone, PartialEq)]
pub enum Event {
    /// A file to open was picked.
    PickedOpen(PathBuf),
    /// A file to save to was picked. It ends in the program's own extension,
    /// unless it names a file that is there already.
    PickedSave(PathBuf),
    /// A file for a picture or a table was picked. It ends in one of the endings that
    /// were given, unless it names a file that is there already.
    PickedExport(PathBuf),
    /// The dialog was closed without an answer.
    PickCancelled,
    /// The answer came faster than a person gives one: this desktop has no
    /// dialogs. Ask for the path in the window.
    NoDialogHere,
    /// A file was read, or why not.
    Loaded {
        /// Which file.
        path: PathBuf,
        /// The token that came with the job.
        token: u64,
        /// What is in it, or a sentence that says why it can't be had.
        result: Result<(Vec<u8>, Stamp), String>,
    },
    /// A file was written, or why not.
    Saved {
        /// Which file.
        path: PathBuf,
        /// The token that came with the job.
        token: u64,
        /// What was written, or why the old file is still there.
        result: Result<Wrote, NotSaved>,
    },
    /// A picture or a table was written, or why not.
    Exported {
        /// Which file.
        path: PathBuf,
        /// The token that came with the job.
        token: u64,
        /// Why the old file is still there, if it is.
        result: Result<(), NotSaved>,
    },
    /// The file that is watched is no longer as it was.
    Elsewhere {
        /// Which file.
        path: PathBuf,
        /// As it was known.
        since: Stamp,
        /// As it is.
        now: Now,
    },
    /// What earlier sessions left that ended without being closed, the newest first.
    Recovery(Vec<LeftWork>),
    /// Work was set aside, or a sentence says why it couldn't be.
    SetAside(Result<LeftWork, String>),
    /// The work in hand can't be kept against a crash; a sentence says why.
    NotKept(String),
    /// This file is no longer where it was, though its folder is.
    Gone(PathBuf),
    /// What the settings hold now, another window's changes among them.
    Settings(String),
    /// The settings can't be kept, or aren't what they were; a sentence says why.
    SettingsTrouble(String),
    /// The own parts that are kept now, another window's among them.
    OwnParts(Vec<OwnPart>),
    /// Own parts can't be kept, or aren't what they were; a sentence says why.
    OwnPartsTrouble(String),
    /// Something that was being worked out has no end; a sentence says why.
    WorkDied(String),
}

/// What a save may replace.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Replaces {
    /// Whatever is there: a person was asked.
    Anything,
    /// A file that holds one of these. One that is gone is made anew; with none
    /// given, the name has to be free.
    Only(Vec<Content>),
}

/// A file to write.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Save {
    /// Which file.
    pub path: PathBuf,
    /// What goes into it, and where it belonged so far.
    pub kept: Kept,
    /// Comes back with the answer.
    pub token: u64,
    /// What it may replace.
    pub replaces: Replaces,
}

/// A picture or a table to write.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Export {
    /// Which file.
    pub path: PathBuf,
    /// What goes into it.
    pub bytes: Vec<u8>,
    /// Comes back with the answer.
    pub token: u64,
    /// What it may replace.
    pub replaces: Replaces,
}

/// A file that was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wrote {
    /// As it is now.
    pub stamp: Stamp,
    /// Whether it was expected there, and was gone.
    pub anew: bool,
}

/// Why a file wasn't written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotSaved {
    /// It holds this, which may not be replaced unasked.
    Other(Content),
    /// It can't be; a sentence says why.
    Why(String),
}

/// A file to keep an eye on, and as it is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Watched {
    /// Which file.
    pub path: PathBuf,
    /// As it is known.
    pub stamp: Stamp,
}

/// What became of a file that is watched.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Now {
    /// There is no such file any more.
    Gone,
    /// It holds something else.
    Other {
        /// What it holds.
        bytes: Vec<u8>,
        /// As it is now.
        stamp: Stamp,
    },
}

/// From what the settings' file holds, which is nothing where there is none, to
/// what it is to hold; none where that can't be understood.
pub type Amend = Box<dyn Fn(&[u8]) -> Option<String> + Send>;

/// Why nothing is made of what a file of the program's own holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unread {
    /// It is damaged: it is put aside, and another is begun.
    Broken(String),
    /// It is sound, but not for this program, or takes no more: it stays as it is.
    Leave(String),
}

/// From what the file of own parts holds, which is nothing where there is none, to what it
/// is to hold, or nothing to leave it as it is; and the parts that it holds then.
pub type AmendOwnParts = Box<dyn Fn(&[u8]) -> Result<(Option<String>, Vec<OwnPart>), Unread> + Send>;

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
/// but for the one that says so; answers come from [`Host::poll`].
pub trait Host: Send + Sync {
    /// Asks for a file to open. To be called on the main thread.
    fn pick_open(&self);

    /// Asks for a file to save to; `suggested` is its name to begin with.
    /// To be called on the main thread.
    fn pick_save(&self, suggested: String);

    /// Asks for a file to put a picture or a table into, whose name ends in one of
    /// these. To be called on the main thread.
    fn pick_export(&self, suggested: String, endings: &'static [&'static str]);

    /// Reads a file.
    fn load(&self, path: PathBuf, token: u64);

    /// Writes a file, all of it or nothing, and not over what it may not
    /// replace. Jobs are done in the order in which they came, so the last save
    /// of a file is what it holds.
    fn save(&self, save: Save);

    /// Writes a picture or a table, all of it or nothing, and not over what it may not
    /// replace; answered by [`Event::Exported`].
    fn export(&self, export: Export);

    /// Says by [`Event::Elsewhere`] when this file is changed by somebody else,
    /// from now on; with none, nothing is watched.
    fn watch(&self, file: Option<Watched>);

    /// Keeps the work in hand where a crash doesn't reach it.
    fn keep_recovery(&self, kept: Kept);

    /// Lets go of what this session kept: it is saved, or not wanted.
    fn clear_recovery(&self);

    /// Keeps work that goes out of hand without being in a file; answered by
    /// [`Event::SetAside`].
    fn set_aside(&self, kept: Kept);

    /// Looks for what earlier sessions left; answered by [`Event::Recovery`].
    fn load_recovery(&self);

    /// Keeps what was left as the work in hand, and only then lets go of it as left.
    fn take_over(&self, id: u64, kept: Kept);

    /// Lets go of something that was left: it is turned down. Until then it is
    /// offered at each start.
    fn forget_left(&self, id: u64);

    /// Works something out on another thread, jobs of one lane one after
    /// another, and asks for a frame when it is done. Work that panics takes
    /// nothing with it, and is told of by [`Event::WorkDied`].
    fn work(&self, lane: Lane, job: Work);

    /// Changes the settings that are kept; answered by [`Event::Settings`],
    /// [`Event::SettingsTrouble`] or both.
    fn amend_settings(&self, amend: Amend);

    /// The settings that were kept. Waits for the disk: for the start only.
    fn load_settings(&self) -> Option<Vec<u8>>;

    /// Changes the own parts that are kept, or looks at them; answered by [`Event::OwnParts`],
    /// [`Event::OwnPartsTrouble`] or both.
    fn amend_own_parts(&self, amend: AmendOwnParts);

    /// The file of own parts that was kept. Waits for the disk: for the start only.
    fn load_own_parts(&self) -> Option<Vec<u8>>;

    /// Seconds on a clock that never goes back.
    fn now_seconds(&self) -> f64;

    /// The time of day, "12:04".
    fn clock_text(&self) -> String;

    /// The path that a person typed: quotes and a leading `~` are understood.
    /// None if there is nothing in it.
    fn typed_path(&self, typed: &str) -> Option<PathBuf>;

    /// What became of jobs since the last call, in order.
    fn poll(&self) -> Vec<Event>;
}
