//! Work that is in no file and not in hand: what sessions left that ended
//! without being closed, and what was set aside.

use rigwright_core::rig::Project;

use super::Desk;
use super::bars::Notice;
use crate::jobs::{Kept, LeftStatus, LeftWork, Origin, Stamp, name_of};
use crate::state::Document;

/// As much of a title as a sentence takes.
const MOST_OF_A_TITLE: usize = 60;

/// The sentence that offers it.
pub fn words(left: &LeftWork) -> String {
    let LeftWork { origin, when, status, .. } = left;
    let what = match (status, &origin.path) {
        (LeftStatus::SetAside, Some(path)) => format!("Your changes to “{}” that were set aside", name_of(path)),
        (LeftStatus::SetAside, None) => "Your changes that were set aside".to_owned(),
        (LeftStatus::FileIsNewer, Some(path)) => format!("Older work on “{}”", name_of(path)),
        (_, Some(path)) => format!("Unsaved work on “{}”", name_of(path)),
        (_, None) => "Unsaved work that is in no file".to_owned(),
    };
    let title = if origin.title.is_empty() { String::new() } else { format!(" ({})", shortened(&origin.title)) };
    let when = if when.is_empty() { String::new() } else { format!(", {when}") };
    let newer = match status {
        LeftStatus::FileIsNewer => "; that file was changed later",
        _ => "",
    };
    format!("{what}{title}{when}{newer}.")
}

fn shortened(title: &str) -> String {
    match title.char_indices().nth(MOST_OF_A_TITLE) {
        Some((end, _)) => format!("{}…", &title[..end]),
        None => title.to_owned(),
    }
}

impl Desk {
    /// Opens it as unsaved work on its file.
    pub(super) fn open_left(&mut self, id: u64) {
        let left = self.files.left.iter().find(|left| left.id == id);
        if let Some(LeftWork { origin, bytes, .. }) = left.cloned() {
            self.read_left(id, origin.path, bytes);
        }
    }

    /// The rig that it was made into in hand.
    pub(super) fn take_left(&mut self, id: u64, project: Project) {
        let Some(at) = self.files.left.iter().position(|left| left.id == id) else {
            return;
        };
        let LeftWork { origin, bytes, .. } = self.files.left.remove(at);
        let Origin { path, base, .. } = origin.clone();
        let notice = match &path {
            Some(path) => format!("This is unsaved work on “{}”. Save it if you want to keep it.", name_of(path)),
            None => "This is what an earlier session left unsaved. Save it if you want to keep it.".to_owned(),
        };
        // What can't be kept anew stays where the earlier session left it.
        if let Ok(text) = String::from_utf8(bytes) {
            self.host.take_over(id, Kept { text, origin });
        }
        self.take(Document::unsaved(project, path, base.map(|content| Stamp { content, modified: None })));
        self.notice = Some(Notice::word(notice));
    }

    /// Lets go of it for good.
    pub(super) fn drop_left(&mut self, id: u64) {
        self.host.forget_left(id);
        self.files.left.retain(|left| left.id != id);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn left(path: Option<&str>, title: &str, status: LeftStatus) -> LeftWork {
        let origin = Origin { title: title.to_owned(), path: path.map(Into::into), base: None };
        LeftWork { id: 1, origin, when: "Tuesday 28 Nov 14:05".to_owned(), bytes: Vec::new(), status }
    }

    #[test]
    fn it_is_said_which_work_it_is() {
        let path = Some("/rigs/pub.ron");
        assert_eq!(
            words(&left(path, "Theatre pit rig", LeftStatus::Unsaved)),
            "Unsaved work on “pub.ron” (Theatre pit rig), Tuesday 28 Nov 14:05."
        );
        assert_eq!(
            words(&left(path, "Theatre pit rig", LeftStatus::FileIsNewer)),
            "Older work on “pub.ron” (Theatre pit rig), Tuesday 28 Nov 14:05; that file was changed later."
        );
        assert_eq!(
            words(&left(path, "", LeftStatus::SetAside)),
            "Your changes to “pub.ron” that were set aside, Tuesday 28 Nov 14:05."
        );
        let unnamed = LeftWork { when: String::new(), ..left(None, &"ä".repeat(5000), LeftStatus::Unsaved) };
        assert_eq!(words(&unnamed), format!("Unsaved work that is in no file ({}…).", "ä".repeat(60)));
    }
}
