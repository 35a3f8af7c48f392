//! Files that are dropped on the window: the first of them is opened.

use std::path::PathBuf;

use egui::Context;
use rigwright_core::units::counted;

use super::Desk;
use super::bars::Notice;
use super::files::Then;
use crate::jobs::name_of;

impl Desk {
    /// Opens what was dropped, as "Open" does.
    pub(super) fn take_dropped(&mut self, ctx: &Context) {
        let dropped = ctx.input_mut(|input| std::mem::take(&mut input.raw.dropped_files));
        let paths: Vec<PathBuf> = dropped.iter().map(|file| file.path().to_path_buf()).collect();
        let Some(first) = paths.first() else { return };
        if self.question.is_some() {
            self.notice = Some(Notice::word("A question is open: answer it, then drop the file once more."));
            return;
        }
        let name = name_of(first);
        let several = || {
            let count = counted(paths.len());
            format!("Of {count} files that were dropped “{name}” is opened: one rig is open at a time.")
        };
        self.files.dropped = (paths.len() > 1).then(|| (first.clone(), several()));
        if self.document.is_dirty() {
            // Parts are taken in: nothing is lost by that, and nothing has to be asked.
            self.look_into(first.clone(), false);
        } else {
            self.leave_for(Then::Open(first.clone()));
        }
    }

    /// What there is to say of a file that was opened, as one of several that were dropped.
    pub(super) fn say_dropped(&mut self, opened: &std::path::Path) {
        if let Some((path, words)) = self.files.dropped.take()
            && path == opened
        {
            self.notice = Some(Notice::word(words));
        }
    }
}
