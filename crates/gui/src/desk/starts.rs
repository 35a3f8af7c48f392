//! How one starts: the line that says so at the first time, and the page of rigs to start from.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::file::{self, FileError};
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, respond};
use rigwright_core::rig::Project;

use super::Desk;
use crate::command::Command;
use crate::state::Amendment;
use crate::views::starts::{StartRig, Starts};

/// What one can start from, in the page's order.
type Start = (Command, fn() -> Result<Project, FileError>);
const STARTS: [Start; 5] = [
    (Command::New, file::blank),
    (Command::OpenDemo, file::demo),
    (Command::OpenDaisy, file::few_on_a_daisy),
    (Command::OpenModular, file::large_modular),
    (Command::OpenMultiEffects, file::multi_effects),
];

impl Desk {
    /// Opens the page.
    pub(super) fn open_starts(&mut self) {
        let mut cache = LineCache::new(Sweep::audio());
        let rig = |(command, read): &Start| {
            let project = read().ok()?;
            let variant = Arc::clone(project.variants.first()?);
            let response = respond(&Request::of(&project, &variant), &mut cache);
            Some(StartRig { command: *command, variant, state: project.state, response })
        };
        self.starts = Some(Starts::open(STARTS.iter().filter_map(rig).collect()));
    }

    /// Whoever has changed something has begun: the line that says how to is no help any more.
    /// It doesn't go under the hand, though: it stays until another screen or rig is shown.
    pub(super) fn has_begun(&mut self) {
        if !self.settings.starts_dismissed && self.document.can_undo() {
            self.amend(Amendment::DismissStarts);
        }
    }

    /// Another screen or rig is shown: a line that is no help any more goes.
    pub(super) fn look_at_starts(&mut self) {
        self.says_how_to_begin = !self.settings.starts_dismissed;
    }

    /// The line is put away, for good.
    pub(super) fn dismiss_starts(&mut self) {
        self.amend(Amendment::DismissStarts);
        self.says_how_to_begin = false;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_start_can_be_read() {
        for (command, read) in STARTS {
            let project = read().unwrap_or_else(|error| panic!("{command:?}: {error}"));
            assert!(!project.variants.is_empty(), "{command:?}");
        }
    }
}
