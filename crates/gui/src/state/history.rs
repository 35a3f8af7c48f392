//! Undo and redo as snapshots; what an edit is, this module doesn't know.

use std::collections::VecDeque;
use std::sync::Arc;

use rigwright_core::rig::Project;

/// Past this many steps the oldest is forgotten. Snapshots share what they
/// have in common, so that this is a matter of megabytes.
pub const MOST_STEPS: usize = 500;

/// A snapshot, and the name of the change between it and its neighbour.
#[derive(Debug, Clone)]
struct Step {
    project: Arc<Project>,
    name: String,
}

/// Snapshots before and after the one in hand.
#[derive(Debug, Clone, Default)]
pub struct History {
    past: VecDeque<Step>,
    future: Vec<Step>,
}

impl History {
    /// Takes up that `before` was changed by what `name` says. What was undone is gone.
    pub fn record(&mut self, before: Arc<Project>, name: String) {
        self.future.clear();
        if self.past.len() == MOST_STEPS {
            self.past.pop_front();
        }
        self.past.push_back(Step { project: before, name });
    }

    /// Gives the last step another name: a gesture goes on.
    pub fn rename_last(&mut self, name: String) {
        if let Some(step) = self.past.back_mut() {
            step.name = name;
        }
    }

    /// The snapshot that undo would give.
    pub fn before(&self) -> Option<&Arc<Project>> {
        self.past.back().map(|step| &step.project)
    }

    /// The snapshots that undo would give one after another, the youngest first.
    pub fn past(&self) -> impl Iterator<Item = &Arc<Project>> {
        self.past.iter().rev().map(|step| &step.project)
    }

    /// Forgets the last step; what it led to stays in hand.
    pub fn drop_last(&mut self) {
        self.past.pop_back();
    }

    /// The snapshot before the last step; `now` can be had again with [`History::redo`].
    pub fn undo(&mut self, now: Arc<Project>) -> Option<Arc<Project>> {
        let step = self.past.pop_back()?;
        self.future.push(Step { project: now, name: step.name });
        Some(step.project)
    }

    /// The snapshot after the step that was undone last.
    pub fn redo(&mut self, now: Arc<Project>) -> Option<Arc<Project>> {
        let step = self.future.pop()?;
        self.past.push_back(Step { project: now, name: step.name });
        Some(step.project)
    }

    /// What undo would take back.
    pub fn undo_name(&self) -> Option<&str> {
        self.past.back().map(|step| step.name.as_str())
    }

    /// What redo would do again.
    pub fn redo_name(&self) -> Option<&str> {
        self.future.last().map(|step| step.name.as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::state::document::tests::blank;

    fn titled(title: &str) -> Arc<Project> {
        Arc::new(Project { title: title.to_owned(), ..blank() })
    }

    #[test]
    fn undo_and_redo_give_the_very_snapshots_back() {
        let (a, b, c) = (titled("a"), titled("b"), titled("c"));
        let mut history = History::default();
        history.record(Arc::clone(&a), "to b".to_owned());
        history.record(Arc::clone(&b), "to c".to_owned());
        assert_eq!(history.undo_name(), Some("to c"));
        let back = history.undo(Arc::clone(&c)).unwrap();
        assert!(Arc::ptr_eq(&back, &b));
        assert_eq!((history.undo_name(), history.redo_name()), (Some("to b"), Some("to c")));
        let forth = history.redo(back).unwrap();
        assert!(Arc::ptr_eq(&forth, &c));
        assert!(history.redo(forth).is_none());
    }

    #[test]
    fn a_new_step_forgets_what_was_undone() {
        let mut history = History::default();
        history.record(titled("a"), "first".to_owned());
        history.undo(titled("b"));
        history.record(titled("a"), "second".to_owned());
        assert_eq!(history.redo_name(), None);
    }

    #[test]
    fn the_oldest_step_goes_first() {
        let mut history = History::default();
        for i in 0..=MOST_STEPS {
            history.record(titled(&i.to_string()), i.to_string());
        }
        let mut undone = Vec::new();
        while let Some(project) = history.undo(titled("now")) {
            undone.push(project.title.clone());
        }
        assert_eq!(undone.len(), MOST_STEPS);
        assert_eq!(undone.last().map(String::as_str), Some("1"));
    }
}
