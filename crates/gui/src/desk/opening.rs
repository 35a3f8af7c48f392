//! Opening files, and the file in hand being changed by somebody else.

use std::path::PathBuf;
use std::sync::Arc;

use egui::Context;
use rigwright_core::file;
use rigwright_core::rig::Project;

use super::Desk;
use super::bars::Notice;
use super::files::Then;
use super::questions::Question;
use super::saving::somebody_changed;
use crate::jobs::{Left, Now, Stamp, Watched, name_of};

/// A rig that was read from a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    pub project: Project,
    pub path: PathBuf,
    pub stamp: Stamp,
}

/// A file that is being read.
#[derive(Debug)]
pub struct Opening {
    token: u64,
    path: PathBuf,
    why: Why,
    /// The path as it was typed, to be typed on.
    typed: Option<String>,
    /// The project that needn't be saved, as it stood then.
    let_go: Option<Arc<Project>>,
}

/// Why a file is opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Why {
    /// A person asked for it.
    Asked,
    /// It is the one in hand, and what somebody else put into it is wanted.
    Theirs,
}

/// A file that was read.
#[derive(Debug)]
pub struct Arrived {
    opening: Opening,
    result: Result<(Vec<u8>, Stamp), String>,
}

/// A rig that is to take the place of work that is being set aside.
#[derive(Debug)]
pub struct Theirs {
    opened: Opened,
    mine: Arc<Project>,
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
        let token = self.files.token();
        let let_go = self.files.let_go.take();
        self.files.arrived = None;
        self.host.load(path.clone(), token);
        self.files.opening = Some(Opening { token, path, why, typed, let_go });
    }

    pub(super) fn loaded(&mut self, token: u64, result: Result<(Vec<u8>, Stamp), String>) {
        // One that was asked for before something else was chosen comes too late.
        if let Some(opening) = self.files.opening.take_if(|opening| opening.token == token) {
            self.files.arrived = Some(Arrived { opening, result });
        }
    }

    /// Takes up the file that was read, once nothing else is being asked or typed.
    pub(super) fn take_what_arrived(&mut self, ctx: &Context) {
        if self.files.arrived.is_none() || self.question.is_some() || self.picker_is_open() || self.cautions {
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
        let Opening { path, why, typed, let_go, .. } = opening;
        // The disk's sentence names the file; a reader's names only the place in it.
        let read = |(bytes, stamp): (Vec<u8>, Stamp)| match file::read(&bytes) {
            Ok(project) => Ok((project, stamp)),
            Err(error) => Err(format!("“{}” can't be opened: {error}.", name_of(&path))),
        };
        match result.and_then(read) {
            // Something may have been done while the file was on its way.
            Ok((project, stamp)) => {
                let opened = Opened { project, path, stamp };
                if why == Why::Theirs {
                    self.take_theirs(opened);
                } else {
                    self.files.let_go = let_go;
                    self.leave(Then::Take(Box::new(opened)));
                }
            }
            Err(sentence) => {
                self.settings.forget(&path);
                self.save_settings();
                match typed {
                    Some(typed) => {
                        self.question = Some(Question::Path { saving: false, typed, wrong: Some(sentence) });
                    }
                    None => self.notice = Some(Notice::trouble(sentence)),
                }
            }
        }
    }

    /// What is in hand is set aside before the file's own takes its place.
    fn take_theirs(&mut self, opened: Opened) {
        if self.document.is_dirty() {
            let mine = Arc::clone(self.document.project());
            match self.kept_of_this() {
                Ok(kept) => {
                    self.host.set_aside(kept);
                    self.files.theirs = Some(Theirs { opened, mine });
                }
                Err(error) => self.not_set_aside(&opened, &error.to_string()),
            }
        } else {
            self.take_file(opened);
        }
    }

    /// Work was set aside, or couldn't be.
    pub(super) fn set_aside(&mut self, result: Result<Left, String>) {
        let theirs = self.files.theirs.take();
        match (result, theirs) {
            (Ok(left), Some(Theirs { opened, mine })) => {
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
        let Some(path) = self.document.path().map(std::path::Path::to_path_buf) else {
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
            Now::Other { .. } if self.document.is_dirty() => {
                let words = format!("{} Saving asks which to keep.", somebody_changed(&path));
                self.notice = Some(Notice::word(words));
            }
            Now::Other { bytes, stamp } => {
                let busy = self.question.is_some()
                    || self.picker_is_open()
                    || self.chain.is_busy()
                    || self.power.is_busy()
                    || self.files.opening.is_some()
                    || ctx.text_edit_focused();
                if busy {
                    self.files.elsewhere = Some(Elsewhere { since, now: Now::Other { bytes, stamp } });
                    return;
                }
                self.reopen(path, &bytes, stamp);
            }
        }
        self.files.told = self.document.stamp().filter(|stamp| *stamp == since).map(|since| (since, content));
    }

    fn reopen(&mut self, path: PathBuf, bytes: &[u8], stamp: Stamp) {
        match file::read(bytes) {
            // Only its writing is another, or its time.
            Ok(project) if project == **self.document.project() => self.document.seen(stamp),
            Ok(project) => {
                let showing = self.showing;
                let words = format!("{} It is opened as it is now.", somebody_changed(&path));
                self.take_file(Opened { project, path, stamp });
                if self.document.project().variant(showing).is_some() {
                    self.showing = showing;
                }
                self.notice = Some(Notice::word(words));
            }
            Err(error) => {
                let words = format!("{} It can't be read now: {error}.", somebody_changed(&path));
                self.notice = Some(Notice::trouble(words));
            }
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
