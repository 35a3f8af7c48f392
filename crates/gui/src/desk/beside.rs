//! Bytes to project and project to text, beside the window: a large rig's file
//! takes longer than a frame may.

use std::fmt;
use std::sync::Arc;

use rigwright_core::file::{self, FileError, WriteError};
use rigwright_core::rig::Project;

use crate::jobs::{Content, Host, Lane};
use crate::state::{Deferred, SameQuestion, Schedule};

/// Up to so many devices, leads, plugs, outlets and sounds a project's text is made at once.
const TEXT_AT_ONCE: usize = 1_000;
/// As many bytes of notes take about as long as one of those.
const LINE: usize = 512;
/// As many switches and controls of a sound.
const KNOBS: usize = 8;

/// Bytes that are made into a project; the number is of who asked for it.
#[derive(Debug, Clone)]
struct Bytes(u64);

impl SameQuestion for Bytes {
    fn same(&self, other: &Self) -> bool {
        self.0 == other.0
    }
}

/// Bytes that are being made into a project, those of one file at a time.
#[derive(Debug, Default)]
pub struct Reading {
    now: Option<Bytes>,
    read: Deferred<Bytes, Result<Project, FileError>>,
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
        let schedule = Schedule { host, lane: Lane::Files, finish_running: false };
        self.read.ask(&question, schedule, move |_| Some(file::read(&bytes)));
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

impl SameQuestion for Whole {
    fn same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

/// A project's text, and what a file holds that it is written to.
#[derive(Debug, Clone)]
pub struct Text {
    /// The text.
    pub text: String,
    /// What the file holds then.
    pub content: Content,
}

impl Text {
    fn of(project: &Project) -> Result<Self, WriteError> {
        let text = file::write(project)?;
        Ok(Self { content: Content::of(text.as_bytes()), text })
    }
}

/// Why there is no text.
#[derive(Debug, Clone)]
pub enum NoText {
    /// The project has none that could be read again.
    Write(WriteError),
    /// The work came to a bad end, which is told of by itself.
    Died,
}

impl fmt::Display for NoText {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Write(error) => error.fmt(f),
            Self::Died => f.write_str("its text couldn't be made, by a fault of this program"),
        }
    }
}

/// A project's text as it is made: at once, or of a large one beside the window.
#[derive(Debug, Default)]
pub struct Writing {
    text: Deferred<Whole, Result<Text, WriteError>>,
}

impl Writing {
    /// The text, or why there is none, once that is known.
    pub fn text(&mut self, project: &Arc<Project>, lane: Lane, host: &dyn Host) -> Option<Result<Text, NoText>> {
        if is_small(project) {
            return Some(Text::of(project).map_err(NoText::Write));
        }
        let question = Whole(Arc::clone(project));
        let schedule = Schedule { host, lane, finish_running: true };
        let asked = Arc::clone(project);
        self.text.ask(&question, schedule, move |_| Some(Text::of(&asked)));
        if self.text.died() {
            return Some(Err(NoText::Died));
        }
        let text = self.text.shown().filter(|shown| !shown.old).map(|shown| (**shown.answer).clone());
        if text.is_some() {
            self.text.forget();
        }
        text.map(|text| text.map_err(NoText::Write))
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

/// Whether a project's text is made in a few milliseconds.
fn is_small(project: &Project) -> bool {
    let mut left = TEXT_AT_ONCE;
    let mut fits = |size: usize| {
        let rest = left.checked_sub(size);
        left = rest.unwrap_or(0);
        rest.is_some()
    };
    let of_text = |text: &str| text.len() / LINE;
    fits(of_text(&project.notes))
        && project.sounds.iter().all(|sound| {
            fits(
                of_text(&sound.notes)
                    + 1
                    + sound.states().map(|state| state.positions.len() + state.turned.len()).sum::<usize>() / KNOBS,
            )
        })
        && project.variants.iter().all(|variant| {
            let rig = &variant.rig;
            let lists =
                rig.devices.len() + rig.leads.len() + rig.feeds.iter().map(|feed| feed.taps.len()).sum::<usize>();
            fits(lists)
                && rig.devices.iter().all(|device| fits(of_text(&device.name)))
                && rig.supplies().all(|(_, supply)| fits(supply.outlets.len()))
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whatever makes a file long makes a project large.
    #[test]
    fn what_takes_long_to_write_is_not_small() {
        let demo = file::demo().unwrap();
        assert!(is_small(&demo));
        let notes = Project { notes: "ä".repeat(1 << 20), ..demo.clone() };
        assert!(!is_small(&notes));
        let sounds = Project { sounds: demo.sounds.iter().cycle().take(900).cloned().collect(), ..demo.clone() };
        assert!(!is_small(&sounds));
        let variants = demo.variants.iter().cycle().take(60).cloned().collect();
        assert!(!is_small(&Project { variants, ..demo }));
    }
}
