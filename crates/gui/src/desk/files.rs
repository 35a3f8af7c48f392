//! Opening, saving, closing: every file of the window goes through here.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use egui::{Context, ViewportCommand};
use rigwright_core::file;
use rigwright_core::rig::Project;

use super::Desk;
use super::bars::Notice;
use super::beside::{Reading, Writing};
use super::questions::Question;
use crate::jobs::{Event, name_of, suggested_name};
use crate::state::{Amendment, Answers, Document, PowerAnswers, Settings};
use crate::views::chain::Chain;
use crate::views::power::Power;

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
    /// Ask which file to open.
    Pick,
    /// Ask for a path to open.
    TypePath,
    /// Open this file.
    Open(PathBuf),
    /// Take up what was read from this file.
    Take(Box<Project>, PathBuf),
    /// Open what an earlier session left behind.
    Recovered(Vec<u8>),
    /// Close the window.
    Close,
}

/// What a dialog asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Asking {
    /// A file to open.
    #[default]
    Open,
    /// A file to save to.
    Save,
}

/// Seconds between two keepings of unsaved work.
const KEEP_EVERY: f64 = 2.0;

/// What is under way with files.
#[derive(Debug, Default)]
pub struct Files {
    /// The file that is being made into a project.
    pub reading: Reading,
    writing: Writing,
    /// Saves that were sent and not yet answered: token and what was sent.
    sent: Vec<(u64, Arc<Project>)>,
    tokens: u64,
    /// What waits for a save to succeed.
    pub after_save: Option<Then>,
    /// What the last dialog asked for, in case no dialog comes.
    asking: Asking,
    /// When it was last saved, as a person reads it.
    pub saved_at: Option<String>,
    /// What was last kept against a crash, and when.
    kept: Option<(Arc<Project>, f64)>,
    /// Whether it is the demo that is in hand.
    pub is_demo: bool,
    /// What an earlier session left behind.
    pub recovered: Option<Vec<u8>>,
}

impl Files {
    /// With the demo in hand.
    pub fn with_demo() -> Self {
        Self { is_demo: true, ..Self::default() }
    }

    /// Whether a file is made into a project, or a project into text.
    pub fn is_busy(&self) -> bool {
        self.reading.is_on() || self.writing.is_on()
    }
}

impl Desk {
    /// Goes on to something else, asking first if something isn't saved.
    pub(super) fn leave_for(&mut self, then: Then) {
        if self.document.is_dirty() {
            self.question = Some(Question::Unsaved(then));
        } else {
            self.go(then);
        }
    }

    /// Goes on to something else; the project in hand may go.
    pub(super) fn go(&mut self, then: Then) {
        match then {
            Then::New => self.open_own("A blank rig", file::blank(), false),
            Then::Demo => self.open_own("The demo", file::demo(), true),
            Then::Daisy => self.open_own("The rig on a daisy lead", file::few_on_a_daisy(), false),
            Then::Modular => self.open_own("The rig on a modular supply", file::large_modular(), false),
            Then::Pick => {
                self.files.asking = Asking::Open;
                self.host.pick_open();
            }
            Then::TypePath => self.question = Some(Question::open_path()),
            Then::Open(path) => self.host.load(path),
            Then::Take(project, path) => {
                self.amend(Amendment::Remember(path.clone()));
                self.take(Document::opened(*project, path), false);
            }
            Then::Recovered(bytes) => match file::read(&bytes) {
                Ok(project) => {
                    // What can't be kept anew stays where the earlier session left it.
                    if let Ok(text) = file::write(&project) {
                        self.host.keep_recovery(text);
                        self.host.forget_recovered();
                    }
                    self.take(Document::unsaved(project), true);
                    self.notice = Some(Notice::word(
                        "This is what an earlier session left unsaved. Save it if you want to keep it.",
                    ));
                    self.files.recovered = None;
                }
                Err(error) => {
                    self.notice = Some(Notice::trouble(format!("What an earlier session left can't be read: {error}")));
                }
            },
            Then::Close => self.leaving = true,
        }
    }

    fn open_own(&mut self, what: &str, project: Result<Project, file::FileError>, demo: bool) {
        match project {
            Ok(project) => {
                self.take(Document::new(project), false);
                self.files.is_demo = demo;
            }
            Err(error) => self.notice = Some(Notice::trouble(format!("{what} can't be opened: {error}"))),
        }
    }

    /// Another document in hand; everything that hung on the old one goes.
    fn take(&mut self, document: Document, recovered: bool) {
        if !recovered {
            self.host.clear_recovery();
        }
        // What was asked for before isn't wanted any more.
        self.files.reading.stop();
        self.document = document;
        self.selection.item = None;
        self.files.kept = None;
        self.files.is_demo = false;
        self.files.saved_at = None;
        self.files.after_save = None;
        self.notice = None;
        if let Some(first) = self.document.project().variants.first() {
            self.showing = first.id;
        }
        self.chain = Chain::default();
        self.power = Power::default();
        self.power_answers = PowerAnswers::default();
        self.loop_shown = None;
        // What another rig was like is no answer here.
        self.answers = Answers::default();
    }

    pub(super) fn happened(&mut self, event: Event) {
        match event {
            Event::PickedOpen(path) => self.host.load(path),
            Event::PickedSave(path) => self.save_to(path),
            Event::PickCancelled => self.files.after_save = None,
            Event::NoDialogHere => {
                self.question = Some(match self.files.asking {
                    Asking::Save => Question::save_path(self.suggested()),
                    Asking::Open => Question::open_path(),
                });
            }
            Event::Loaded { path, result } => self.loaded(path, result),
            Event::Saved { path, token, result } => self.saved(path, token, result),
            Event::Recovery(bytes) => self.files.recovered = bytes,
            Event::NotKept(why) | Event::SettingsTrouble(why) | Event::WorkDied(why) => {
                self.notice = Some(Notice::trouble_too(self.notice.take(), why));
            }
            // A drive that doesn't answer keeps its entries.
            Event::Gone(path) => self.amend(Amendment::Forget(path)),
            Event::Settings(text) => {
                if let Some(kept) = Settings::read(text.as_bytes()) {
                    self.settings.recent = kept.recent;
                }
            }
        }
    }

    fn loaded(&mut self, path: PathBuf, result: Result<Vec<u8>, String>) {
        match result {
            Ok(bytes) => {
                self.files.reading.begin(path, bytes, &*self.host);
                self.was_read();
            }
            // The disk's sentence names the file; a reader's names only the place in it.
            Err(sentence) => self.notice = Some(Notice::trouble(sentence)),
        }
    }

    /// Takes up what a file was made into.
    pub(super) fn was_read(&mut self) {
        match self.files.reading.done() {
            None => {}
            // Something may have been done while the file was on its way.
            Some((path, Ok(project))) => self.leave_for(Then::Take(Box::new(project), path)),
            Some((path, Err(error))) => {
                let sentence = format!("“{}” can't be opened: {error}.", name_of(&path));
                self.notice = Some(Notice::trouble(sentence));
            }
        }
    }

    fn saved(&mut self, path: PathBuf, token: u64, result: Result<(), String>) {
        let Some(at) = self.files.sent.iter().position(|(sent, _)| *sent == token) else {
            return;
        };
        let (_, project) = self.files.sent.remove(at);
        match result {
            Ok(()) => {
                self.amend(Amendment::Remember(path.clone()));
                self.document.mark_saved(project, path);
                self.files.saved_at = Some(self.host.clock_text());
                self.notice = None;
                self.host.clear_recovery();
                self.files.kept = None;
                if let Some(then) = self.files.after_save.take() {
                    self.leave_for(then);
                }
            }
            Err(why) => {
                self.files.after_save = None;
                self.notice = Some(Notice::trouble(why));
            }
        }
    }

    pub(super) fn save(&mut self) {
        match self.document.path() {
            Some(path) => self.save_to(path.to_path_buf()),
            None => self.save_as(),
        }
    }

    pub(super) fn save_as(&mut self) {
        self.files.asking = Asking::Save;
        self.host.pick_save(self.suggested());
    }

    pub(super) fn type_save_path(&mut self) {
        self.question = Some(Question::save_path(self.suggested()));
    }

    /// Saves, and goes on when that has succeeded.
    pub(super) fn save_and_go(&mut self, then: Then) {
        self.files.after_save = Some(then);
        self.save();
    }

    pub(super) fn save_to(&mut self, path: PathBuf) {
        self.document.end_gesture();
        let project = Arc::clone(self.document.project());
        let text = match file::write(&project) {
            Ok(text) => text,
            Err(error) => {
                self.files.after_save = None;
                self.notice = Some(Notice::trouble(format!("“{}” isn't saved: {error}.", name_of(&path))));
                return;
            }
        };
        self.files.tokens += 1;
        let token = self.files.tokens;
        self.files.sent.push((token, project));
        self.host.save(path, text, token);
    }

    fn suggested(&self) -> String {
        if let Some(name) = self.document.path().and_then(Path::file_name) {
            return name.to_string_lossy().into_owned();
        }
        suggested_name(&self.document.project().title)
    }

    /// Keeps unsaved work where a crash doesn't reach it, every few seconds.
    pub(super) fn keep_against_a_crash(&mut self, ctx: &Context) {
        let project = self.document.project();
        if !self.document.is_dirty() {
            return;
        }
        let now = self.host.now_seconds();
        match &self.files.kept {
            Some((kept, _)) if Arc::ptr_eq(kept, project) => {}
            Some((_, at)) if now - at < KEEP_EVERY => {
                ctx.request_repaint_after(Duration::from_secs_f64(KEEP_EVERY - (now - at)));
            }
            _ => {
                let Some(text) = self.files.writing.text(project, &*self.host) else { return };
                match text {
                    Ok(text) => self.host.keep_recovery(text),
                    Err(error) => {
                        let why = format!("Unsaved work can't be kept against a crash: {error}.");
                        self.notice = Some(Notice::trouble(why));
                    }
                }
                self.files.kept = Some((Arc::clone(project), now));
            }
        }
    }

    /// The window is asked to close: ask about unsaved work first.
    pub(super) fn closing(&mut self, ctx: &Context) {
        if self.leaving {
            self.leaving = false;
            self.host.clear_recovery();
            // Nothing is to be asked again on the way out.
            self.document = Document::new(self.document.project().as_ref().clone());
            ctx.send_viewport_cmd(ViewportCommand::Close);
            return;
        }
        if ctx.input(|input| input.viewport().close_requested()) {
            if self.document.is_dirty() {
                ctx.send_viewport_cmd(ViewportCommand::CancelClose);
                self.question = Some(Question::Unsaved(Then::Close));
            } else {
                self.host.clear_recovery();
            }
        }
    }

    pub(super) fn window_title(&self) -> String {
        let mark = if self.document.is_dirty() { "• " } else { "" };
        format!("{mark}{} – Rigwright", self.document.project().title)
    }
}
