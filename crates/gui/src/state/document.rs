//! The project in hand: how it changes, what undo gives back, and whether it
//! is on the disk.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use rigwright_core::rig::{Edit, EditError, Id, Project, apply};

use super::history::History;
use super::selection::Selected;
use crate::jobs::Stamp;

/// Says which changes belong together: a drag's fifty frames share one, and
/// are one step of undo. The number is the caller's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Gesture(pub u64);

/// An edit under the name that undo shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// What is done.
    pub edit: Edit,
    /// What undo calls it: "insert mild drive".
    pub name: String,
    /// The gesture that it is a part of.
    pub gesture: Option<Gesture>,
    /// What is selected once it is done, if that changes; what is new by its placeholder.
    pub select: Vec<Selected>,
}

impl Change {
    /// A change that is a step of its own.
    #[must_use]
    pub fn new(name: impl Into<String>, edit: Edit) -> Self {
        Self { edit, name: name.into(), gesture: None, select: Vec::new() }
    }

    /// The same change as a part of a gesture.
    #[must_use]
    pub fn in_gesture(mut self, gesture: Gesture) -> Self {
        self.gesture = Some(gesture);
        self
    }

    /// The same change, after which something is selected.
    #[must_use]
    pub fn selecting(self, item: Selected) -> Self {
        self.selecting_all(vec![item])
    }

    /// The same change, after which several things are.
    #[must_use]
    pub fn selecting_all(mut self, items: Vec<Selected>) -> Self {
        self.select = items;
        self
    }
}

/// A project that is open, with its history and its file.
#[derive(Debug, Clone)]
pub struct Document {
    project: Arc<Project>,
    history: History,
    path: Option<PathBuf>,
    /// What that file was like when it was opened or saved here.
    stamp: Option<Stamp>,
    /// Whether that file is gone, and so whatever is in hand is in none.
    gone: bool,
    /// As it was last saved or opened, or as a new one began.
    saved: Arc<Project>,
    /// Kept beside the snapshots, since comparing them is too much for every frame.
    dirty: bool,
    /// Above every id that this session saw; undo doesn't lower it.
    high_water: Id,
    /// The gesture that the last step of the history belongs to, while it goes on.
    open: Option<Gesture>,
}

impl Document {
    /// A project that is in no file: the demo, or a blank one. Nothing is lost
    /// if it is thrown away as it is, so it isn't dirty.
    #[must_use]
    pub fn new(project: Project) -> Self {
        let project = Arc::new(project);
        Self {
            history: History::default(),
            path: None,
            stamp: None,
            gone: false,
            saved: Arc::clone(&project),
            dirty: false,
            high_water: project.next_id,
            open: None,
            project,
        }
    }

    /// A project whose loss would be one: what an earlier session left, of this
    /// file. It is dirty until it is saved.
    #[must_use]
    pub fn unsaved(project: Project, path: Option<PathBuf>, stamp: Option<Stamp>) -> Self {
        // Nothing that can be opened is without variants, so this equals no project in hand.
        let nothing = Project { variants: Vec::new(), ..project.clone() };
        Self { path, stamp, saved: Arc::new(nothing), dirty: true, ..Self::new(project) }
    }

    /// A project that was read from a file.
    #[must_use]
    pub fn opened(project: Project, path: PathBuf, stamp: Stamp) -> Self {
        Self { path: Some(path), stamp: Some(stamp), ..Self::new(project) }
    }

    /// The project as it stands.
    #[must_use]
    pub fn project(&self) -> &Arc<Project> {
        &self.project
    }

    /// The projects that undo would give one after another, the youngest first.
    pub fn past(&self) -> impl Iterator<Item = &Arc<Project>> {
        self.history.past()
    }

    /// The file that saving goes to.
    #[must_use]
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// What that file was like when it was opened or saved here.
    #[must_use]
    pub fn stamp(&self) -> Option<Stamp> {
        self.stamp
    }

    /// Takes up that the file is like this now, and the same rig.
    pub fn seen(&mut self, stamp: Stamp) {
        self.stamp = Some(stamp);
        self.gone = false;
        self.compare();
    }

    /// Takes up that the file is no longer there.
    pub fn mark_gone(&mut self) {
        self.gone = true;
        self.compare();
    }

    /// Does a change. What changes nothing makes no step, and an error leaves
    /// everything as it was.
    pub fn push(&mut self, change: Change) -> Result<(), EditError> {
        let next = apply(&self.project, &self.resolved(&change.edit))?;
        self.high_water = self.high_water.max(next.next_id);
        if self.open.is_some() && self.open != change.gesture {
            self.end_gesture();
        }
        if next == *self.project {
            return Ok(());
        }
        if self.open.is_some() {
            self.history.rename_last(change.name);
        } else {
            self.history.record(Arc::clone(&self.project), change.name);
            self.open = change.gesture;
        }
        self.set_project(Arc::new(next));
        Ok(())
    }

    /// Closes a gesture: the next change is another step, whatever its key. A
    /// gesture that ended where it began leaves no step.
    pub fn end_gesture(&mut self) {
        if self.open.take().is_none() {
            return;
        }
        if let Some(before) = self.history.before().filter(|before| ***before == *self.project).cloned() {
            self.history.drop_last();
            self.set_project(before);
        }
    }

    /// Takes the last step back. A gesture that is still going on is closed and taken back.
    pub fn undo(&mut self) -> bool {
        self.end_gesture();
        let Some(before) = self.history.undo(Arc::clone(&self.project)) else {
            return false;
        };
        self.set_project(before);
        true
    }

    /// Does again what was undone last.
    pub fn redo(&mut self) -> bool {
        self.end_gesture();
        let Some(after) = self.history.redo(Arc::clone(&self.project)) else {
            return false;
        };
        self.set_project(after);
        true
    }

    /// Whether there is a step to take back.
    #[must_use]
    pub fn can_undo(&self) -> bool {
        self.undo_name().is_some()
    }

    /// Whether there is a step to do again.
    #[must_use]
    pub fn can_redo(&self) -> bool {
        self.redo_name().is_some()
    }

    /// What undo would take back.
    #[must_use]
    pub fn undo_name(&self) -> Option<&str> {
        self.history.undo_name()
    }

    /// What redo would do again.
    #[must_use]
    pub fn redo_name(&self) -> Option<&str> {
        self.history.redo_name()
    }

    /// Whether the project differs from what is saved. Undoing back to the
    /// saved state is clean.
    #[must_use]
    pub fn is_dirty(&self) -> bool {
        self.dirty
    }

    /// Takes up that `project`, which may be older than the one in hand, is in this file now.
    pub fn mark_saved(&mut self, project: Arc<Project>, path: PathBuf, stamp: Stamp) {
        self.saved = project;
        self.path = Some(path);
        self.seen(stamp);
    }

    /// An edit with ids in place of its placeholders, as [`Self::push`] would do
    /// it now: none that was ever used, be it in what was undone.
    #[must_use]
    pub fn resolved(&self, edit: &Edit) -> Edit {
        edit.resolved(self.first_free())
    }

    /// The id that [`Self::fresh_id`] would give; all above it are free as well.
    #[must_use]
    pub fn first_free(&self) -> Id {
        self.high_water.max(self.project.next_id)
    }

    /// An id that was never used in this project and never will be again.
    #[must_use]
    pub fn fresh_id(&mut self) -> Id {
        let id = self.first_free();
        self.high_water = id.saturating_add(1);
        id
    }

    fn set_project(&mut self, project: Arc<Project>) {
        self.project = project;
        self.compare();
    }

    fn compare(&mut self) {
        self.dirty = self.gone || !same(&self.project, &self.saved);
    }
}

fn same(a: &Arc<Project>, b: &Arc<Project>) -> bool {
    Arc::ptr_eq(a, b) || a == b
}

#[cfg(test)]
#[path = "document_tests.rs"]
pub(super) mod tests;
