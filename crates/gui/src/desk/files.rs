//! The file in hand and the way from one rig to the next: every leaving,
//! opening, saving and closing of the window goes through here.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{Context, ViewportCommand};
use rigwright_core::file;
use rigwright_core::rig::Project;

use super::Desk;
use super::bars::Notice;
use super::beside::{Reading, Writing};
use super::opening::{Arrived, Elsewhere, Opened, Opening, Theirs};
use super::questions::PendingQuestion;
use super::saving::{May, Sent};
use crate::jobs::{Content, Event, LeftWork, Stamp, Watched};
use crate::state::{Amendment, Answers, Document, OwnParts, PowerAnswers, PowerPreviews, Selection, Settings};
use crate::views;

/// What is to happen once the project in hand may go.
#[derive(Debug, Clone, PartialEq)]
pub enum Then {
    /// A blank rig.
    New,
    /// The demo.
    Demo,
    /// The rig of a few units on a daisy lead.
    Daisy,
    /// The rig of many units on a modular supply.
    Modular,
    /// The rig of one multi-effects unit.
    MultiEffects,
    /// Ask which file to open.
    Pick,
    /// Ask for a path to open.
    TypePath,
    /// Open this file.
    Open(PathBuf),
    /// Take up what was read from a file.
    Take(Box<Opened>),
    /// Open work that was left behind; the number is by what the machine knows it.
    Left(u64),
    /// Take up the rig that such work was made into.
    TakeLeft(u64, Box<Project>),
    /// Close the window.
    Close,
}

/// What a dialog asks for.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Asking {
    /// A file to open.
    #[default]
    Open,
    /// A file to save to, with this name to begin with.
    Save(String),
}

/// What is under way with files.
#[derive(Debug, Default)]
pub struct Files {
    /// Counts the documents that were in hand: an answer belongs to one of them.
    pub generation: u64,
    /// The bytes that are being made into a project.
    pub reading: Reading,
    /// The project whose text is being made.
    pub writing: Writing,
    tokens: u64,
    /// Saves that were sent and not yet answered, in their order.
    pub sent: Vec<Sent>,
    /// The last save of the document in hand that succeeded. One from before
    /// that is answered later was overtaken.
    pub last_done: u64,
    /// What waits for a save to succeed that wasn't sent yet.
    pub after_save: Option<Then>,
    /// What the last dialog asked for, in case no dialog comes.
    pub asking: Asking,
    /// When it was last saved, as a person reads it.
    pub saved_at: Option<String>,
    /// What was last kept against a crash, and when.
    pub kept: Option<(Arc<Project>, f64)>,
    /// Whether it is the demo that is in hand.
    pub is_demo: bool,
    /// Work that is in no file and not in hand.
    pub left: Vec<LeftWork>,
    /// The file that is being read; any other that comes was asked for earlier.
    pub opening: Option<Opening>,
    /// A file that was read and waits until no question is open.
    pub arrived: Option<Arrived>,
    /// What the file in hand should be replaced by once the work is set aside.
    pub theirs: Option<Theirs>,
    /// The project that a person said needn't be saved, as it stood then.
    pub let_go: Option<Arc<Project>>,
    /// What became of the file in hand by somebody else's doing.
    pub elsewhere: Option<Elsewhere>,
    /// What of that was told: compared with what, and what it holds, if it is there.
    pub told: Option<(Stamp, Option<Content>)>,
    /// What the machine was last asked to watch.
    pub watched: Option<Watched>,
    /// A file that is opened as one of several that were dropped, and what to say of that.
    pub dropped: Option<(PathBuf, String)>,
    /// The window closes with a save under way: what is kept stays.
    keep_on_closing: bool,
    /// The project with which the window may close unasked.
    closing: Option<Arc<Project>>,
}

impl Files {
    /// With the demo in hand.
    pub fn with_demo() -> Self {
        Self { is_demo: true, ..Self::default() }
    }

    /// The next job's token.
    pub fn token(&mut self) -> u64 {
        self.tokens += 1;
        self.tokens
    }

    /// Saves under way of the document in hand.
    pub fn own_saves(&self) -> impl DoubleEndedIterator<Item = &Sent> {
        self.sent.iter().filter(|sent| sent.generation == self.generation)
    }

    /// Whether a file is on its way into the window, or a project is made into text.
    pub fn is_busy(&self) -> bool {
        let making =
            self.sent.iter().any(Sent::is_being_made) || self.theirs.as_ref().is_some_and(Theirs::is_being_made);
        self.opening.is_some() || self.writing.is_on() || making
    }

    /// The file that is being opened, where that takes long. Without a name it is in no file.
    pub fn slow(&self, now: f64) -> Option<&Path> {
        self.opening.as_ref().and_then(|opening| opening.slow(now))
    }
}

impl Desk {
    /// Goes on to something else, asking first if something isn't saved.
    pub(super) fn leave_for(&mut self, then: Then) {
        self.files.let_go = None;
        self.leave(then);
    }

    /// The same after the person may have said that something needn't be saved.
    pub(super) fn leave(&mut self, then: Then) {
        if self.would_lose() {
            self.question = Some(PendingQuestion::Unsaved(then));
        } else if self.must_wait(&then) {
            self.question = Some(PendingQuestion::Waiting(then));
        } else {
            self.go(then);
        }
    }

    /// Whether the project in hand is in no file, on its way to none, and wanted.
    fn would_lose(&self) -> bool {
        let project = self.document.project();
        let let_go = self.files.let_go.as_ref().is_some_and(|let_go| Arc::ptr_eq(let_go, project));
        self.document.is_dirty() && !let_go && !self.is_on_its_way()
    }

    /// Whether the project in hand, as it stands, is just being saved.
    pub(super) fn is_on_its_way(&self) -> bool {
        self.files.own_saves().next_back().is_some_and(|sent| Arc::ptr_eq(&sent.project, self.document.project()))
    }

    /// Whether a save that is under way should be seen to its end first. The
    /// window's end would cut off any; what is let go of waits for nothing but
    /// that the text of what was saved before is made.
    fn must_wait(&self, then: &Then) -> bool {
        if *then == Then::Close {
            return !self.files.sent.is_empty() || self.exports.goes_to_a_file() || self.writes_own_parts();
        }
        let waits = |sent: &Sent| self.files.let_go.is_none() || sent.is_being_made();
        self.files.own_saves().any(waits)
    }

    /// A save has ended: what waited for that goes on.
    pub(super) fn waited(&mut self) {
        if let Some(PendingQuestion::Waiting(then)) = &self.question
            && !self.must_wait(then)
        {
            let then = then.clone();
            self.question = None;
            self.leave(then);
        }
    }

    /// Goes on although a save is under way.
    pub(super) fn wait_no_longer(&mut self, then: Then) {
        if then == Then::Close {
            // If it isn't done by the end, the next start offers what it was to write.
            if let Some(last) = self.files.sent.last() {
                match last.kept() {
                    Ok(kept) => self.host.keep_recovery(kept),
                    Err(error) => {
                        self.notice = Some(Notice::trouble(format!("Your changes can't be kept: {error}.")));
                        return;
                    }
                }
                self.files.keep_on_closing = true;
            }
        } else if self.files.own_saves().any(Sent::is_being_made) {
            // A text that can't be made would be work that is nowhere.
            self.files.let_go = Some(Arc::clone(self.document.project()));
            self.question = Some(PendingQuestion::Waiting(then));
            return;
        }
        self.go(then);
    }

    /// Goes on to something else; the project in hand may go.
    pub(super) fn go(&mut self, then: Then) {
        match then {
            Then::New => self.open_own("A blank rig", file::blank(), false),
            Then::Demo => self.open_own("The demo", file::demo(), true),
            Then::Daisy => self.open_own("The rig on a daisy lead", file::few_on_a_daisy(), false),
            Then::Modular => self.open_own("The rig on a modular supply", file::large_modular(), false),
            Then::MultiEffects => self.open_own("The rig of one multi-effects unit", file::multi_effects(), false),
            Then::Pick => {
                self.files.asking = Asking::Open;
                self.host.pick_open();
            }
            Then::TypePath => self.question = Some(PendingQuestion::open_path()),
            Then::Open(path) => self.open(path),
            Then::Take(opened) => {
                self.amend(Amendment::Remember(opened.path.clone()));
                self.take_file(*opened);
            }
            Then::Left(id) => self.open_left(id),
            Then::TakeLeft(id, project) => self.take_left(id, *project),
            Then::Close => self.leaving = true,
        }
    }

    fn open_own(&mut self, what: &str, project: Result<Project, file::FileError>, demo: bool) {
        match project {
            Ok(project) => {
                self.host.clear_recovery();
                self.take(Document::new(project));
                self.files.is_demo = demo;
            }
            Err(error) => self.notice = Some(Notice::trouble(format!("{what} can't be opened: {error}"))),
        }
    }

    /// A file's rig in hand.
    pub(super) fn take_file(&mut self, opened: Opened) {
        self.host.clear_recovery();
        let path = opened.path.clone();
        self.take(Document::opened(opened.project, opened.path, opened.stamp));
        self.say_dropped(&path);
    }

    /// Another document in hand; everything that hung on the old one goes. What
    /// was kept of it is the caller's to let go of.
    pub(super) fn take(&mut self, document: Document) {
        self.document = document;
        self.look_at_starts();
        self.selection = Selection::default();
        let files = &mut self.files;
        // What was asked for before isn't wanted any more.
        files.reading.stop();
        files.writing.stop();
        files.generation += 1;
        files.last_done = 0;
        files.kept = None;
        files.is_demo = false;
        files.saved_at = None;
        files.after_save = None;
        files.opening = None;
        files.arrived = None;
        files.theirs = None;
        files.let_go = None;
        files.elsewhere = None;
        files.told = None;
        self.notice = None;
        self.exports.forget_waiting();
        if let Some(first) = self.document.project().variants.first() {
            self.showing = first.id;
        }
        self.screens = views::screens();
        (self.inputs, self.straight) = Default::default();
        self.power_answers = PowerAnswers::default();
        self.power_previews = PowerPreviews::default();
        self.loop_shown = None;
        // What another rig was like is no answer here.
        self.answers = Answers::default();
    }

    pub(super) fn happened(&mut self, event: Event) {
        match event {
            Event::PickedOpen(path) if self.picked_own_parts(&path) => {}
            Event::PickedOpen(path) => {
                self.call_off_export();
                self.open(path);
            }
            Event::PickedSave(path) => {
                self.call_off_export();
                self.save_to(path, May::Anything, None);
            }
            Event::PickedExport(path) if self.picked_for_own_parts(&path) => {}
            Event::PickedExport(path) => self.picked_export(path),
            Event::Exported { path, token, result } => {
                if self.own_parts_saved(&path, token, &result) {
                    self.waited();
                } else {
                    self.exported(&path, token, result);
                }
            }
            Event::PickCancelled => {
                self.call_off_own_parts();
                self.call_off_export();
                self.call_off();
            }
            Event::NoDialogHere if self.type_own_parts_path() || self.type_export_path() => {}
            Event::NoDialogHere => {
                self.question = Some(match &self.files.asking {
                    Asking::Save(suggested) => PendingQuestion::save_path(suggested.clone()),
                    Asking::Open => PendingQuestion::open_path(),
                });
            }
            Event::Loaded { token, result, .. } if self.own_parts_loaded(token, &result) => {}
            Event::Loaded { token, result, .. } => self.loaded(token, result),
            Event::Saved { path, token, result } => self.saved(path, token, result),
            Event::Elsewhere { path, since, now } => self.changed_elsewhere(path, since, now),
            Event::Recovery(left) => self.files.left.extend(left),
            Event::SetAside(result) => self.set_aside(result),
            Event::NotKept(why) | Event::SettingsTrouble(why) | Event::OwnPartsTrouble(why) | Event::WorkDied(why) => {
                self.notice = Some(Notice::trouble_too(self.notice.take(), why));
            }
            Event::OwnParts(kept) if kept == self.own_parts.kept() => {}
            Event::OwnParts(kept) => self.own_parts = OwnParts::of(kept),
            // A drive that doesn't answer keeps its entries.
            Event::Gone(path) => self.amend(Amendment::Forget(path)),
            Event::Settings(text) => {
                if let Some(kept) = Settings::read(text.as_bytes()) {
                    (self.settings.recent, self.settings.used_parts) = (kept.recent, kept.used_parts);
                }
            }
        }
    }

    /// A person thought better of it: nothing waits for an answer any more.
    pub(super) fn call_off(&mut self) {
        self.files.after_save = None;
        self.files.let_go = None;
    }

    /// The window is asked to close: ask about unsaved work first.
    pub(super) fn closing(&mut self, ctx: &Context) {
        if self.leaving {
            self.leaving = false;
            if !self.files.keep_on_closing {
                self.host.clear_recovery();
            }
            // Nothing is to be asked again on the way out.
            self.files.closing = Some(Arc::clone(self.document.project()));
            ctx.send_viewport_cmd(ViewportCommand::Close);
            return;
        }
        if !ctx.input(|input| input.viewport().close_requested()) || self.is_closing() {
            return;
        }
        self.call_off();
        if self.would_lose() || self.must_wait(&Then::Close) {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.leave(Then::Close);
        } else {
            self.host.clear_recovery();
        }
    }

    /// Whether all was asked and the window only has to go.
    pub(super) fn is_closing(&self) -> bool {
        self.files.closing.as_ref().is_some_and(|project| Arc::ptr_eq(project, self.document.project()))
    }

    pub(super) fn window_title(&self) -> String {
        let unsaved = self.document.is_dirty() && !self.is_closing();
        let mark = if unsaved { "• " } else { "" };
        format!("{mark}{} – Rigwright", self.document.project().title)
    }
}
