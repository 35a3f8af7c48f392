//! Saving: what is sent to the disk, what comes of it, and what is kept
//! against a crash meanwhile. A large rig's text is made beside the window;
//! saves are handed to the machine in the order in which they were asked for.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use egui::Context;
use rigwright_core::file::{self, WriteError};
use rigwright_core::rig::{Edit, Project, UNTITLED, fitting_name};

use super::Desk;
use super::bars::Notice;
use super::beside::{NoText, Text, Writing};
use super::files::{Asking, Then};
use super::questions::{PathFor, PendingQuestion};
use crate::jobs::{Content, Kept, Lane, NotSaved, Origin, Replaces, Save, Wrote, beside, name_of, suggested_name};
use crate::state::{Amendment, Change};

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
    /// Where what it writes belonged when it was asked for.
    origin: Origin,
    stage: Stage,
    /// Whether it is of the file in hand, which it may replace as earlier saves leave it.
    of_own: bool,
    /// Whether the name had to be free.
    free: bool,
    /// The path as it was typed, to be typed on.
    typed: Option<String>,
    /// What waits for it to succeed.
    then: Option<Then>,
}

/// How far a save is.
#[derive(Debug)]
enum Stage {
    /// Its text is being made; then it may replace this.
    Making(Writing, Replaces),
    /// The machine has it: what it is to write, to be kept elsewhere if it can't
    /// be, and what the file holds once it has succeeded.
    Handed(Kept, Content),
}

impl Sent {
    /// What it is to write, and where that belongs. Waits for the text if there is none yet.
    pub fn kept(&self) -> Result<Kept, WriteError> {
        match &self.stage {
            Stage::Handed(kept, _) => Ok(kept.clone()),
            Stage::Making(..) => Ok(Kept { text: file::write(&self.project)?, origin: self.origin.clone() }),
        }
    }

    /// Whether its text is still being made.
    pub fn is_being_made(&self) -> bool {
        matches!(self.stage, Stage::Making(..))
    }

    fn content(&self) -> Option<Content> {
        match &self.stage {
            Stage::Handed(_, content) => Some(*content),
            Stage::Making(..) => None,
        }
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
        self.question = Some(PendingQuestion::save_path(self.suggested()));
    }

    /// Saves, and goes on when that has succeeded.
    pub(super) fn save_and_go(&mut self, then: Then) {
        self.files.after_save = Some(then);
        self.save();
    }

    pub(super) fn save_to(&mut self, path: PathBuf, may: May, typed: Option<String>) {
        self.document.end_gesture();
        self.name_after(&path);
        let project = Arc::clone(self.document.project());
        let replaces = self.replaces(&path, may);
        let token = self.files.token();
        self.files.sent.push(Sent {
            token,
            generation: self.files.generation,
            project,
            origin: Origin { path: Some(path.clone()), ..self.origin() },
            of_own: self.is_of_own(&path, may),
            path,
            stage: Stage::Making(Writing::default(), replaces),
            free: may == May::Nothing,
            typed,
            then: self.files.after_save.take(),
        });
        self.hand_over();
    }

    /// A project that nobody gave a name takes that of the first file that it is saved to.
    fn name_after(&mut self, path: &Path) {
        let is_named = self.document.project().title != UNTITLED || self.document.path().is_some();
        let stem = path.file_stem().map(|stem| stem.to_string_lossy().trim().to_owned());
        if let Some(stem) = stem.filter(|stem| !is_named && !stem.is_empty()) {
            let title = fitting_name(&stem, "");
            self.push(Change::new("take the file's name as the title", Edit::SetTitle(title)));
        }
    }

    /// Hands the machine what is to be saved, as far as there is text.
    pub(super) fn hand_over(&mut self) {
        while let Some(at) = self.files.sent.iter().position(Sent::is_being_made) {
            let (earlier, later) = self.files.sent.split_at_mut(at);
            let Some(sent) = later.first_mut() else { return };
            let Stage::Making(writing, replaces) = &mut sent.stage else { return };
            let Some(made) = writing.text(&sent.project, Lane::Files, &*self.host) else { return };
            match made {
                Ok(Text { text, content }) => {
                    let mut replaces = replaces.clone();
                    if let (Replaces::Only(known), true) = (&mut replaces, sent.of_own) {
                        let own = |other: &&Sent| other.generation == sent.generation && other.path == sent.path;
                        known.extend(earlier.iter().filter(own).filter_map(Sent::content));
                    }
                    let kept = Kept { text, origin: sent.origin.clone() };
                    sent.stage = Stage::Handed(kept.clone(), content);
                    self.host.save(Save { path: sent.path.clone(), kept, token: sent.token, replaces });
                }
                Err(error) => {
                    let sent = self.files.sent.remove(at);
                    self.files.let_go = None;
                    self.notice = Some(Notice::trouble(format!("“{}” isn't saved: {error}.", name_of(&sent.path))));
                }
            }
            // What waits for no more than the text goes on.
            self.waited();
        }
    }

    fn is_of_own(&self, path: &Path, may: May) -> bool {
        may == May::Own || (may == May::Anything && self.document.path() == Some(path))
    }

    fn replaces(&self, path: &Path, may: May) -> Replaces {
        match may {
            May::Nothing => Replaces::Only(Vec::new()),
            May::This(content) => Replaces::Only(vec![content]),
            // A dialog's “replace?” is about the name; that somebody else
            // changed the file in hand is another question.
            May::Anything if !self.is_of_own(path, may) => Replaces::Anything,
            // Earlier saves that are under way add theirs.
            May::Anything | May::Own => {
                Replaces::Only(self.document.stamp().map(|stamp| stamp.content).into_iter().collect())
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
                if let Stage::Handed(kept, _) = sent.stage {
                    self.host.set_aside(kept);
                }
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
        // A later save whose text isn't made yet finds what this one left.
        let later = self
            .files
            .sent
            .iter_mut()
            .filter(|later| later.of_own && later.generation == sent.generation && later.path == path);
        for later in later {
            if let (Stage::Making(_, Replaces::Only(known)), Some(content)) = (&mut later.stage, sent.content()) {
                known.push(content);
            }
        }
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
        if let Some(PendingQuestion::Waiting(waiting)) = &self.question {
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
            (NotSaved::Other(found), _) if sent.free => PendingQuestion::Replace { path, found },
            (NotSaved::Other(found), _) => PendingQuestion::Changed { path, found },
            (NotSaved::Why(why), Some(typed)) => PendingQuestion::Path {
                what: PathFor::Save,
                typed,
                wrong: Some(format!("{why} Choose another place.")),
            },
            (NotSaved::Why(why), None) => PendingQuestion::NotSaved { path, why },
        });
    }

    /// Where the work in hand belongs.
    pub(super) fn origin(&self) -> Origin {
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
                let Some(text) = self.files.writing.text(project, Lane::Own, &*self.host) else { return };
                match text {
                    Ok(Text { text, .. }) => self.host.keep_recovery(Kept { text, origin: self.origin() }),
                    // That is said already.
                    Err(NoText::Died) => {}
                    Err(NoText::Write(error)) => {
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
