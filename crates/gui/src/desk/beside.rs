//! Bytes to project and project to text, beside the window: a large rig's file
//! takes longer than a frame may.

use std::sync::Arc;

use rigwright_core::file::{self, FileError, WriteError};
use rigwright_core::rig::Project;

use crate::jobs::{Host, Lane};
use crate::state::{Asked, How, Later, curve_weight};

/// Up to so many devices and leads a project's text is made at once.
const TEXT_AT_ONCE: usize = 1_000;

/// Bytes that are made into a project; the number is of who asked for it.
#[derive(Debug, Clone)]
struct Bytes(u64);

impl Asked for Bytes {
    fn same(&self, other: &Self) -> bool {
        self.0 == other.0
    }
}

/// Bytes that are being made into a project, those of one file at a time.
#[derive(Debug, Default)]
pub struct Reading {
    now: Option<Bytes>,
    read: Later<Bytes, Result<Project, FileError>>,
}

/// What bytes were made into.
#[derive(Debug)]
pub struct Made {
    /// The number that came with them.
    pub token: u64,
    /// The project; none if the work came to a bad end, which is told of by itself.
    pub project: Option<Result<Project, FileError>>,
}

impl Reading {
    /// Begins with bytes; others that were begun with aren't wanted any more.
    pub fn begin(&mut self, token: u64, bytes: Vec<u8>, host: &dyn Host) {
        let question = Bytes(token);
        let how = How { host, lane: Lane::Files, patient: false };
        self.read.ask(&question, how, move |_| Some(file::read(&bytes)));
        self.now = Some(question);
    }

    /// What came of it, once.
    pub fn done(&mut self) -> Option<Made> {
        self.read.poll();
        let Bytes(token) = *self.now.as_ref()?;
        let project = if self.read.died() {
            None
        } else {
            Some(self.read.shown().filter(|shown| !shown.old).map(|shown| (**shown.answer).clone())?)
        };
        self.stop();
        Some(Made { token, project })
    }

    /// Leaves it as it is.
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

    /// Leaves it unmade.
    pub fn stop(&mut self) {
        self.text.forget();
    }

    /// Whether one is being made.
    pub fn is_on(&self) -> bool {
        self.text.progress().is_some()
    }
}
