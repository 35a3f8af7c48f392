//! Bytes to project and project to text, beside the window: a large rig's file
//! takes longer than a frame may.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use rigwright_core::file::{self, FileError, WriteError};
use rigwright_core::rig::Project;

use crate::jobs::{Host, Lane};
use crate::state::{Asked, How, Later, curve_weight};

/// After so many seconds it is said that a file is being opened.
const SAY_AFTER: f64 = 0.3;
/// Up to so many devices and leads a project's text is made at once.
const TEXT_AT_ONCE: usize = 1_000;

/// A file's bytes that are made into a project; each time is another question.
#[derive(Debug, Clone)]
struct Bytes {
    path: PathBuf,
    number: u64,
    /// When it began.
    since: f64,
}

impl Asked for Bytes {
    fn same(&self, other: &Self) -> bool {
        self.number == other.number
    }
}

/// The file that is being made into a project, one at a time.
#[derive(Debug, Default)]
pub struct Reading {
    now: Option<Bytes>,
    read: Later<Bytes, Result<Project, FileError>>,
    count: u64,
}

impl Reading {
    /// Begins with a file's bytes; another that was begun isn't wanted any more.
    pub fn begin(&mut self, path: PathBuf, bytes: Vec<u8>, host: &dyn Host) {
        self.count += 1;
        let question = Bytes { path, number: self.count, since: host.now_seconds() };
        let how = How { host, lane: Lane::Files, patient: false };
        self.read.ask(&question, how, move |_| Some(file::read(&bytes)));
        self.now = Some(question);
    }

    /// What came of it, once.
    pub fn done(&mut self) -> Option<(PathBuf, Result<Project, FileError>)> {
        self.read.poll();
        let path = self.now.as_ref()?.path.clone();
        if self.read.died() {
            self.stop();
            return None;
        }
        let read = self.read.shown().filter(|shown| !shown.old).map(|shown| (**shown.answer).clone())?;
        self.stop();
        Some((path, read))
    }

    /// Whether a file is being made into a project.
    pub fn is_on(&self) -> bool {
        self.now.is_some()
    }

    /// The file that is being opened, where that takes long.
    pub fn slow(&self, now: f64) -> Option<&Path> {
        let bytes = self.now.as_ref().filter(|bytes| now - bytes.since >= SAY_AFTER)?;
        Some(&bytes.path)
    }

    /// Leaves it unopened.
    pub fn stop(&mut self) {
        self.now = None;
        self.read.forget();
    }
}

/// A project of which a text is wanted.
#[derive(Debug, Clone)]
struct Whole(Arc<Project>);

impl Asked for Whole {
    fn same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

/// A project's text that is kept against a crash.
#[derive(Debug, Default)]
pub struct Writing {
    text: Later<Whole, Result<String, WriteError>>,
}

impl Writing {
    /// The text, once it is made.
    pub fn text(&mut self, project: &Arc<Project>, host: &dyn Host) -> Option<Result<String, WriteError>> {
        let size: usize = project.variants.iter().map(|variant| curve_weight(&variant.rig)).sum();
        if size <= TEXT_AT_ONCE {
            return Some(file::write(project));
        }
        let question = Whole(Arc::clone(project));
        let how = How { host, lane: Lane::Own, patient: true };
        let asked = Arc::clone(project);
        self.text.ask(&question, how, move |_| Some(file::write(&asked)));
        let text = self.text.shown().filter(|shown| !shown.old).map(|shown| (**shown.answer).clone());
        if text.is_some() {
            self.text.forget();
        }
        text
    }

    /// Whether one is being made.
    pub fn is_on(&self) -> bool {
        self.text.progress().is_some()
    }
}
