//! Opening files, and the file in hand being changed by somebody else.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::Context;
use rigwright_core::file::is_own_parts;
use rigwright_core::rig::Project;

use super::Desk;
use super::bars::Notice;
use super::beside::{Made, Text, Writing};
use super::files::Then;
use super::questions::{PathFor, PendingQuestion};
use super::saving::somebody_changed;
use crate::jobs::{Kept, Lane, LeftWork, Now, Stamp, Watched, name_of};

/// After so many seconds it is said that something is being opened.
const SAY_AFTER: f64 = 0.3;

/// A rig that was read from a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    pub project: Project,
    pub path: PathBuf,
    pub stamp: Stamp,
}

/// A file, or work that is in none, on its way into the window.
#[derive(Debug)]
pub struct Opening {
    token: u64,
    /// Which file; of work that is in none it is empty.
    path: PathBuf,
    why: Why,
    /// The path as it was typed, to be typed on.
    typed: Option<String>,
    /// The project that needn't be saved, as it stood then.
    let_go: Option<Arc<Project>>,
    /// When it began.
    since: f64,
    /// As the file was when its bytes were read.
    stamp: Option<Stamp>,
}

impl Opening {
    /// What is being opened, where that takes long.
    pub fn slow(&self, now: f64) -> Option<&Path> {
        (now - self.since >= SAY_AFTER).then_some(&self.path)
    }
}

/// Why a file is opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Why {
    /// A person asked for it.
    Asked,
    /// It is the one in hand, and what somebody else put into it is wanted.
    Theirs,
    /// It is the one in hand, which was this and was changed by somebody else.
    Changed(Stamp),
    /// It is work that was left, by the number that the machine knows it by.
    Left(u64),
}

/// What was opened, or a sentence that says why it can't be.
#[derive(Debug)]
pub struct Arrived {
    opening: Opening,
    result: Result<Project, String>,
}

/// A rig that is to take the place of work that is being set aside.
#[derive(Debug)]
pub struct Theirs {
    opened: Opened,
    mine: Arc<Project>,
    /// The text of what is set aside, as it is made; none once the machine has it.
    writing: Option<Writing>,
}

impl Theirs {
    /// Whether the text of what is set aside is still being made.
    pub fn is_being_made(&self) -> bool {
        self.writing.is_some()
    }
}

/// What became of the file in hand.
#[derive(Debug)]
pub struct Elsewhere {
    since: Stamp,
    now: Now,
}

impl Desk {
    pub(super) fn open(&mut self, path: PathBuf) {
        self.read(path, Why::Asked, None);
    }

    pub(super) fn open_typed(&mut self, path: PathBuf, typed: String) {
        self.read(path, Why::Asked, Some(typed));
    }

    /// Opens what somebody else put into the file in hand.
    pub(super) fn open_theirs(&mut self, path: PathBuf) {
        self.read(path, Why::Theirs, None);
    }

    fn read(&mut self, path: PathBuf, why: Why, typed: Option<String>) {
        let token = self.begin(path.clone(), why, typed);
        self.host.load(path, token);
    }

    /// Opens work that was left.
    pub(super) fn read_left(&mut self, id: u64, path: Option<PathBuf>, bytes: Vec<u8>) {
        let token = self.begin(path.unwrap_or_default(), Why::Left(id), None);
        self.files.reading.begin(token, bytes, &*self.host);
        self.was_read();
    }

    fn begin(&mut self, path: PathBuf, why: Why, typed: Option<String>) -> u64 {
        self.stop_opening();
        let token = self.files.token();
        let (let_go, since) = (self.files.let_go.take(), self.host.now_seconds());
        self.files.opening = Some(Opening { token, path, why, typed, let_go, since, stamp: None });
        token
    }

    /// What is on its way isn't wanted any more.
    pub(super) fn stop_opening(&mut self) {
        self.files.reading.stop();
        let arrived = self.files.arrived.take().map(|arrived| arrived.opening);
        let stopped = self.files.opening.take().or(arrived);
        if let Some(Opening { why: Why::Changed(_), path, .. }) = stopped {
            self.saving_asks(&path);
        }
    }

    pub(super) fn loaded(&mut self, token: u64, result: Result<(Vec<u8>, Stamp), String>) {
        // One that was asked for before something else was chosen comes too late.
        let Some(opening) = self.files.opening.as_mut().filter(|opening| opening.token == token) else {
            return;
        };
        match result {
            Ok((bytes, _)) if opening.why == Why::Asked && is_own_parts(&bytes) => {
                let path = opening.path.clone();
                self.stop_opening();
                self.take_in_opened(path, bytes);
            }
            Ok((bytes, stamp)) => {
                opening.stamp = Some(stamp);
                self.files.reading.begin(token, bytes, &*self.host);
                self.was_read();
            }
            // The disk's sentence names the file; a reader's names only the place in it.
            Err(sentence) => self.arrived(token, Err(sentence)),
        }
    }

    /// Takes note of what bytes were made into.
    pub(super) fn was_read(&mut self) {
        let Some(Made { token, project }) = self.files.reading.done() else {
            return;
        };
        let Some(opening) = self.files.opening.as_ref().filter(|opening| opening.token == token) else {
            return;
        };
        let path = &opening.path;
        let result = match project {
            Some(Ok(project)) => Ok(project),
            Some(Err(error)) => Err(match opening.why {
                Why::Asked | Why::Theirs => format!("“{}” can't be opened: {error}.", name_of(path)),
                Why::Changed(_) => format!("{} It can't be read now: {error}.", somebody_changed(path)),
                Why::Left(_) => format!("What an earlier session left can't be read: {error}"),
            }),
            // That something died is said already.
            None => {
                self.files.opening = None;
                return;
            }
        };
        self.arrived(token, result);
    }

    fn arrived(&mut self, token: u64, result: Result<Project, String>) {
        if let Some(opening) = self.files.opening.take_if(|opening| opening.token == token) {
            self.files.arrived = Some(Arrived { opening, result });
        }
    }

    /// Whether a person is in the middle of something.
    fn is_at_something(&self, ctx: &Context) -> bool {
        self.question.is_some()
            || self.picker_is_open()
            || self.screens.iter().any(|screen| screen.is_busy())
            || ctx.text_edit_focused()
    }

    /// Takes up what was opened, once nothing else is being asked or typed.
    pub(super) fn take_what_arrived(&mut self, ctx: &Context) {
        let Some(arrived) = &self.files.arrived else {
            return;
        };
        if self.question.is_some() || self.picker_is_open() || self.cautions {
            return;
        }
        // Nobody asked for it, so nobody is disturbed by it.
        if matches!(arrived.opening.why, Why::Changed(_)) && self.is_at_something(ctx) {
            return;
        }
        if ctx.text_edit_focused() {
            // The field hands over when it loses the focus, in the frame to come.
            ctx.memory_mut(|memory| memory.focused().into_iter().for_each(|id| memory.surrender_focus(id)));
            ctx.request_repaint();
            return;
        }
        let Some(Arrived { opening, result }) = self.files.arrived.take() else {
            return;
        };
        let Opening { path, why, typed, let_go, stamp, .. } = opening;
        match (result, why, stamp) {
            (Ok(project), Why::Left(id), _) => {
                self.files.let_go = let_go;
                self.leave(Then::TakeLeft(id, Box::new(project)));
            }
            // Something may have been done while the file was on its way.
            (Ok(project), Why::Asked, Some(stamp)) => {
                self.files.let_go = let_go;
                self.leave(Then::Take(Box::new(Opened { project, path, stamp })));
            }
            (Ok(project), Why::Theirs, Some(stamp)) => self.take_theirs(Opened { project, path, stamp }),
            (Ok(project), Why::Changed(since), Some(stamp)) => {
                self.take_changed(since, Opened { project, path, stamp });
            }
            (Ok(_), _, None) => {}
            (Err(sentence), _, _) => match typed {
                Some(typed) => {
                    self.question = Some(PendingQuestion::Path { what: PathFor::Open, typed, wrong: Some(sentence) });
                }
                None => self.notice = Some(Notice::trouble(sentence)),
            },
        }
    }

    /// What is in hand is set aside before the file's own takes its place.
    fn take_theirs(&mut self, opened: Opened) {
        if self.document.is_dirty() {
            let mine = Arc::clone(self.document.project());
            self.files.theirs = Some(Theirs { opened, mine, writing: Some(Writing::default()) });
            self.set_mine_aside();
        } else {
            self.take_file(opened);
        }
    }

    /// Hands the machine what is to be set aside, once there is text.
    pub(super) fn set_mine_aside(&mut self) {
        let Some(theirs) = &mut self.files.theirs else { return };
        let Some(writing) = &mut theirs.writing else { return };
        // Something may have been done meanwhile.
        theirs.mine = Arc::clone(self.document.project());
        match writing.text(&theirs.mine, Lane::Own, &*self.host) {
            None => {}
            Some(Ok(Text { text, .. })) => {
                theirs.writing = None;
                self.host.set_aside(Kept { text, origin: self.origin() });
            }
            Some(Err(error)) => {
                if let Some(theirs) = self.files.theirs.take() {
                    self.not_set_aside(&theirs.opened, &error.to_string());
                }
            }
        }
    }

    /// Work was set aside, or couldn't be.
    pub(super) fn set_aside(&mut self, result: Result<LeftWork, String>) {
        let theirs = self.files.theirs.take_if(|theirs| !theirs.is_being_made());
        match (result, theirs) {
            (Ok(left), Some(Theirs { opened, mine, .. })) => {
                self.files.left.push(left);
                if Arc::ptr_eq(&mine, self.document.project()) {
                    self.take_file(opened);
                } else {
                    // Something was done meanwhile.
                    self.take_theirs(opened);
                }
            }
            (Ok(left), None) => self.files.left.push(left),
            (Err(why), Some(theirs)) => self.not_set_aside(&theirs.opened, &why),
            (Err(why), None) => {
                self.notice =
                    Some(Notice::trouble(format!("What couldn't be saved can't be set aside either: {why}.")));
            }
        }
    }

    fn not_set_aside(&mut self, opened: &Opened, why: &str) {
        let name = name_of(&opened.path);
        let words = format!("“{name}” isn't opened, for your changes can't be set aside: {why}.");
        self.notice = Some(Notice::trouble(words));
    }

    pub(super) fn changed_elsewhere(&mut self, path: PathBuf, since: Stamp, now: Now) {
        // What a save of our own does is no news, and comes by itself.
        let of_this = self.document.path() == Some(&*path) && self.document.stamp() == Some(since);
        if of_this && self.files.own_saves().next().is_none() {
            self.files.elsewhere = Some(Elsewhere { since, now });
        }
    }

    /// Says that somebody else changed the file in hand, and takes up what is
    /// in it where there is nothing to lose.
    pub(super) fn see_elsewhere(&mut self, ctx: &Context) {
        let Some(Elsewhere { since, now }) = self.files.elsewhere.take() else {
            return;
        };
        let Some(path) = self.document.path().map(Path::to_path_buf) else {
            return;
        };
        if self.document.stamp() != Some(since) || self.files.own_saves().next().is_some() {
            return;
        }
        let content = match &now {
            Now::Gone => None,
            Now::Other { stamp, .. } => Some(stamp.content),
        };
        if self.files.told == Some((since, content)) {
            return;
        }
        match now {
            Now::Gone => {
                let words = format!("“{}” is no longer there. Saving makes it anew.", name_of(&path));
                self.notice = Some(Notice::word(words));
                self.document.mark_gone();
            }
            // It was gone for a moment, as when another program writes it anew.
            Now::Other { stamp, .. } if stamp.content == since.content => {
                self.document.seen(stamp);
                if self.files.told == Some((since, None)) {
                    self.notice = None;
                }
            }
            Now::Other { .. } if self.document.is_dirty() => self.saving_asks(&path),
            Now::Other { bytes, stamp } => {
                let under_way = self.files.opening.is_some() || self.files.arrived.is_some();
                if under_way || self.is_at_something(ctx) {
                    self.files.elsewhere = Some(Elsewhere { since, now: Now::Other { bytes, stamp } });
                    return;
                }
                let token = self.begin(path, Why::Changed(since), None);
                self.loaded(token, Ok((bytes, stamp)));
            }
        }
        self.files.told = self.document.stamp().filter(|stamp| *stamp == since).map(|since| (since, content));
    }

    fn saving_asks(&mut self, path: &Path) {
        self.notice = Some(Notice::word(format!("{} Saving asks which to keep.", somebody_changed(path))));
    }

    /// What somebody else put into the file in hand, where there is nothing to lose.
    fn take_changed(&mut self, since: Stamp, opened: Opened) {
        let of_this = self.document.path() == Some(&*opened.path) && self.document.stamp() == Some(since);
        if !of_this || self.files.own_saves().next().is_some() {
            return;
        }
        if opened.project == **self.document.project() {
            // Only its writing is another, or its time.
            self.document.seen(opened.stamp);
            self.files.told = None;
        } else if self.document.is_dirty() {
            self.saving_asks(&opened.path);
        } else {
            let showing = self.showing;
            let words = format!("{} It is opened as it is now.", somebody_changed(&opened.path));
            self.take_file(opened);
            if self.document.project().variant(showing).is_some() {
                self.showing = showing;
            }
            self.notice = Some(Notice::word(words));
        }
    }

    /// The file in hand is watched while the window has the keyboard; coming
    /// back to the window looks at it at once.
    pub(super) fn watch_the_file(&mut self, ctx: &Context) {
        let focused = ctx.input(|input| input.focused);
        let of_file = || Some(Watched { path: self.document.path()?.to_path_buf(), stamp: self.document.stamp()? });
        let wanted = if focused { of_file() } else { None };
        if wanted != self.files.watched {
            self.host.watch(wanted.clone());
            self.files.watched = wanted;
        }
    }
}
