//! Saving: what is sent to the disk, what comes of it, and what is kept
//! against a crash meanwhile.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use egui::Context;
use rigwright_core::file::{self, WriteError};
use rigwright_core::rig::Project;

use super::Desk;
use super::bars::Notice;
use super::files::{Asking, Then};
use super::questions::Question;
use crate::jobs::{Content, Kept, NotSaved, Origin, Replaces, Save, Wrote, beside, name_of, suggested_name};
use crate::state::Amendment;

/// Seconds between two keepings of unsaved work.
const KEEP_EVERY: f64 = 2.0;

/// A save under way.
#[derive(Debug)]
pub struct Sent {
    token: u64,
    /// The document that it belongs to.
    pub generation: u64,
    /// What was sent.
    pub project: Arc<Project>,
    path: PathBuf,
    /// What it is to write, to be kept elsewhere if it can't be.
    kept: Kept,
    /// What the file holds once it has succeeded.
    content: Content,
    /// Whether the name had to be free.
    free: bool,
    /// The path as it was typed, to be typed on.
    typed: Option<String>,
    /// What waits for it to succeed.
    then: Option<Then>,
}

impl Sent {
    /// What it is to write, and where that belongs.
    pub fn kept(&self) -> Kept {
        self.kept.clone()
    }
}

/// What a save may replace, as a person sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum May {
    /// Whatever has that name: the desktop's dialog asked.
    Anything,
    /// The file in hand, as it was when it was opened or saved here.
    Own,
    /// Nothing.
    Nothing,
    /// This, of which the person was told.
    This(Content),
}

impl Desk {
    pub(super) fn save(&mut self) {
        let Some(path) = self.document.path().map(Path::to_path_buf) else {
            self.save_as();
            return;
        };
        if self.is_on_its_way()
            && let Some(sent) = self.files.sent.last_mut().filter(|sent| sent.path == path)
        {
            // A drive that takes its time isn't sent the same again.
            sent.then = self.files.after_save.take().or(sent.then.take());
            return;
        }
        self.save_to(path, May::Own, None);
    }

    pub(super) fn save_as(&mut self) {
        self.pick_save(self.suggested());
    }

    /// Under another name, for which the file's own is the pattern.
    pub(super) fn save_beside(&mut self, path: &Path) {
        self.pick_save(beside(path).display().to_string());
    }

    fn pick_save(&mut self, suggested: String) {
        self.files.asking = Asking::Save(suggested.clone());
        self.host.pick_save(suggested);
    }

    pub(super) fn type_save_path(&mut self) {
        self.question = Some(Question::save_path(self.suggested()));
    }

    /// Saves, and goes on when that has succeeded.
    pub(super) fn save_and_go(&mut self, then: Then) {
        self.files.after_save = Some(then);
        self.save();
    }

    pub(super) fn save_to(&mut self, path: PathBuf, may: May, typed: Option<String>) {
        self.document.end_gesture();
        let project = Arc::clone(self.document.project());
        let replaces = self.replaces(&path, may);
        let kept = match self.kept_of_this() {
            Ok(kept) => Kept { origin: Origin { path: Some(path.clone()), ..kept.origin }, ..kept },
            Err(error) => {
                self.files.after_save = None;
                self.notice = Some(Notice::trouble(format!("“{}” isn't saved: {error}.", name_of(&path))));
                return;
            }
        };
        let token = self.files.token();
        self.files.sent.push(Sent {
            token,
            generation: self.files.generation,
            project,
            path: path.clone(),
            content: Content::of(kept.text.as_bytes()),
            kept: kept.clone(),
            free: may == May::Nothing,
            typed,
            then: self.files.after_save.take(),
        });
        self.host.save(Save { path, kept, token, replaces });
    }

    fn replaces(&self, path: &Path, may: May) -> Replaces {
        match may {
            May::Nothing => Replaces::Only(Vec::new()),
            May::This(content) => Replaces::Only(vec![content]),
            // A dialog's “replace?” is about the name; that somebody else
            // changed the file in hand is another question.
            May::Anything if self.document.path() != Some(path) => Replaces::Anything,
            May::Anything | May::Own => {
                let known = self.document.stamp().map(|stamp| stamp.content);
                let under_way = self.files.own_saves().filter(|sent| sent.path == path).map(|sent| sent.content);
                Replaces::Only(known.into_iter().chain(under_way).collect())
            }
        }
    }

    fn suggested(&self) -> String {
        if let Some(name) = self.document.path().and_then(Path::file_name) {
            return name.to_string_lossy().into_owned();
        }
        suggested_name(&self.document.project().title)
    }

    pub(super) fn saved(&mut self, path: PathBuf, token: u64, result: Result<Wrote, NotSaved>) {
        let Some(at) = self.files.sent.iter().position(|sent| sent.token == token) else {
            return;
        };
        let sent = self.files.sent.remove(at);
        let in_hand = sent.generation == self.files.generation;
        match result {
            Ok(wrote) => {
                self.amend(Amendment::Remember(path.clone()));
                if in_hand {
                    self.own_saved(path, sent, wrote);
                }
            }
            Err(error) if in_hand => self.own_not_saved(path, sent, error),
            // Its rig isn't in hand any more, and would be nowhere.
            Err(error) => {
                self.host.set_aside(sent.kept);
                self.notice = Some(Notice::trouble(match error {
                    NotSaved::Why(why) => why,
                    NotSaved::Other(_) => {
                        format!("{} It wasn't replaced by what you saved.", somebody_changed(&path))
                    }
                }));
            }
        }
        self.waited();
    }

    /// The document in hand is in a file.
    fn own_saved(&mut self, path: PathBuf, sent: Sent, wrote: Wrote) {
        // One that was overtaken says nothing new.
        if sent.token > self.files.last_done {
            self.files.last_done = sent.token;
            self.notice = wrote.anew.then(|| Notice::word(format!("“{}” was gone, and is made anew.", name_of(&path))));
            self.document.mark_saved(sent.project, path, wrote.stamp);
            self.files.saved_at = Some(self.host.clock_text());
        }
        self.files.kept = None;
        if !self.document.is_dirty() {
            self.host.clear_recovery();
        }
        if let Some(then) = sent.then {
            self.leave(then);
        }
    }

    /// The document in hand isn't in that file: the question stays open, or opens.
    fn own_not_saved(&mut self, path: PathBuf, sent: Sent, error: NotSaved) {
        // What is kept says that it belongs there.
        self.files.kept = None;
        let mut then = sent.then;
        if let Some(Question::Waiting(waiting)) = &self.question {
            then = Some(waiting.clone());
            self.question = None;
        }
        if self.question.is_some() {
            // Something else is being asked; saving again says the same.
            self.notice = Some(Notice::trouble(match error {
                NotSaved::Why(why) => why,
                NotSaved::Other(_) => somebody_changed(&path),
            }));
            return;
        }
        self.files.after_save = then;
        self.question = Some(match (error, sent.typed) {
            (NotSaved::Other(found), _) if sent.free => Question::Replace { path, found },
            (NotSaved::Other(found), _) => Question::Changed { path, found },
            (NotSaved::Why(why), Some(typed)) => {
                Question::Path { saving: true, typed, wrong: Some(format!("{why} Choose another place.")) }
            }
            (NotSaved::Why(why), None) => Question::NotSaved { path, why },
        });
    }

    /// The work in hand and where it belongs.
    pub(super) fn kept_of_this(&self) -> Result<Kept, WriteError> {
        Ok(Kept { text: file::write(self.document.project())?, origin: self.origin() })
    }

    /// Where the work in hand belongs.
    fn origin(&self) -> Origin {
        Origin {
            title: self.document.project().title.clone(),
            path: self.document.path().map(Path::to_path_buf),
            base: self.document.stamp().map(|stamp| stamp.content),
        }
    }

    /// Keeps unsaved work where a crash doesn't reach it, every few seconds.
    pub(super) fn keep_against_a_crash(&mut self, ctx: &Context) {
        if !self.document.is_dirty() || self.is_closing() {
            self.files.writing.stop();
            return;
        }
        let project = self.document.project();
        let now = self.host.now_seconds();
        match &self.files.kept {
            Some((kept, _)) if Arc::ptr_eq(kept, project) => {}
            Some((_, at)) if now - at < KEEP_EVERY => {
                ctx.request_repaint_after(Duration::from_secs_f64(KEEP_EVERY - (now - at)));
            }
            _ => {
                let Some(text) = self.files.writing.text(project, &*self.host) else { return };
                match text {
                    Ok(text) => self.host.keep_recovery(Kept { text, origin: self.origin() }),
                    Err(error) => {
                        let why = format!("Unsaved work can't be kept against a crash: {error}.");
                        self.notice = Some(Notice::trouble(why));
                    }
                }
                self.files.kept = Some((Arc::clone(self.document.project()), now));
            }
        }
    }
}

/// That the file is no longer as it was known.
pub fn somebody_changed(path: &Path) -> String {
    format!("“{}” was changed by another window or program.", name_of(path))
}
