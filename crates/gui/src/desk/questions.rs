//! Questions that stand before everything else until they are answered.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{Id, Key, Modal, RichText, TextEdit, Ui};

use super::Desk;
use super::bars::Notice;
use super::files::Then;
use super::own_questions::{OwnAnswer, OwnQuestion};
use super::saving::{May, somebody_changed};
use crate::export::Exported;
use crate::jobs::{Content, EXTENSION};
use crate::theme::Tokens;
use crate::widgets::panel;

/// A question.
#[derive(Debug, Clone, PartialEq)]
pub enum PendingQuestion {
    /// Something isn't saved, and something else is to come.
    Unsaved(Then),
    /// Where is the file to open, or where shall it be saved?
    Path {
        /// What for.
        what: PathFor,
        /// What was typed so far.
        typed: String,
        /// What is wrong with it.
        wrong: Option<String>,
    },
    /// Something is there already under that path.
    Replace {
        /// Which path.
        path: PathBuf,
        /// What is there.
        found: Content,
    },
    /// Something is there already where a picture or a table is to go.
    ReplaceExport {
        /// What is to go there.
        what: Exported,
        /// Which path.
        path: PathBuf,
        /// What is there.
        found: Content,
    },
    /// The same where own parts are to go.
    ReplaceByOwnParts {
        /// Which path.
        path: PathBuf,
        /// What is there.
        found: Content,
    },
    /// About a part of the player's own.
    Own(OwnQuestion),
    /// The file in hand was changed by somebody else.
    Changed {
        /// Which file.
        path: PathBuf,
        /// What it holds now.
        found: Content,
    },
    /// A save didn't succeed.
    NotSaved {
        /// Which file.
        path: PathBuf,
        /// The sentence that says why.
        why: String,
    },
    /// A save is under way, and something else is to come.
    Waiting(Then),
}

/// What a path is typed for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PathFor {
    /// A rig to open.
    Open,
    /// Where the rig in hand is saved.
    Save,
    /// Where a picture or a table goes.
    Export(Exported),
    /// Where the own parts go.
    SaveOwnParts,
    /// Parts to take in.
    TakeInParts,
}

impl PendingQuestion {
    /// For a path to open.
    pub fn open_path() -> Self {
        Self::Path { what: PathFor::Open, typed: String::new(), wrong: None }
    }

    /// For a path to save to.
    pub fn save_path(suggested: String) -> Self {
        Self::Path { what: PathFor::Save, typed: suggested, wrong: None }
    }
}

/// What a person answered.
enum Answer {
    Deferred,
    Cancel,
    Save,
    Discard,
    Path(String),
    Replace,
    OpenTheirs,
    Beside,
    Again,
    Elsewhere,
    DontWait,
    Own(OwnAnswer),
}

impl Desk {
    /// Shows the question that is open, if any, and acts on its answer.
    pub(super) fn ask(&mut self, ui: &Ui) {
        let Some(mut question) = self.question.take() else {
            return;
        };
        let mut answer = Answer::Deferred;
        let modal = Modal::new(Id::unique("question")).frame(panel::modal(ui)).show(ui.ctx(), |ui| {
            ui.set_width(420.0_f32.min(ui.ctx().content_rect().width() - 60.0));
            match &mut question {
                PendingQuestion::Unsaved(then) => unsaved(ui, &self.document.project().title, then, &mut answer),
                PendingQuestion::Path { what, typed, wrong } => path(ui, *what, typed, wrong.as_deref(), &mut answer),
                PendingQuestion::Replace { path, .. }
                | PendingQuestion::ReplaceExport { path, .. }
                | PendingQuestion::ReplaceByOwnParts { path, .. } => {
                    replace(ui, path, &mut answer);
                }
                PendingQuestion::Changed { path, .. } => changed(ui, path, &mut answer),
                PendingQuestion::NotSaved { why, .. } => {
                    not_saved(ui, why, self.files.after_save.is_some(), &mut answer);
                }
                PendingQuestion::Waiting(then) => waiting(ui, then, &mut answer),
                PendingQuestion::Own(about) => {
                    let currency = &self.document.project().currency;
                    answer = about.ui(ui, &self.own_parts, currency).map_or(Answer::Deferred, Answer::Own);
                }
            }
        });
        if matches!(answer, Answer::Deferred) && modal.should_close() {
            answer = Answer::Cancel;
        }
        self.answered(question, answer);
    }

    fn answered(&mut self, question: PendingQuestion, answer: Answer) {
        match (question, answer) {
            (question, Answer::Deferred) => self.question = Some(question),
            (PendingQuestion::NotSaved { why, .. }, Answer::Cancel) => {
                self.call_off();
                self.notice = Some(Notice::trouble(why));
            }
            (_, Answer::Cancel) => self.call_off(),
            (PendingQuestion::Unsaved(then), Answer::Save) => self.save_and_go(then),
            (PendingQuestion::Unsaved(then), Answer::Discard) => self.discard(then),
            (PendingQuestion::Path { what, .. }, Answer::Path(typed)) => match (self.host.typed_path(&typed), what) {
                (None, _) => {
                    let wrong = Some(format!("Type where the file is, such as {}.", hint(what)));
                    self.question = Some(PendingQuestion::Path { what, typed, wrong });
                }
                (Some(path), PathFor::Open) => self.open_typed(path, typed),
                (Some(path), PathFor::Export(what)) => self.typed_export(what, path, typed),
                (Some(path), PathFor::SaveOwnParts) => self.typed_for_own_parts(path, typed),
                (Some(path), PathFor::TakeInParts) => self.look_into(path, true),
                (Some(path), PathFor::Save) if path.extension().is_none() => {
                    self.save_to(path.with_extension(EXTENSION), May::Nothing, Some(typed));
                }
                (Some(path), PathFor::Save) => self.save_to(path, May::Nothing, Some(typed)),
            },
            (PendingQuestion::ReplaceExport { what, path, found }, Answer::Replace) => {
                self.replace_export(what, path, found);
            }
            (PendingQuestion::ReplaceByOwnParts { path, found }, Answer::Replace) => {
                self.replace_by_own_parts(path, found);
            }
            (PendingQuestion::Own(question), Answer::Own(answer)) => self.own_answered(question, answer),
            (PendingQuestion::Replace { path, found } | PendingQuestion::Changed { path, found }, Answer::Replace) => {
                self.save_to(path, May::This(found), None);
            }
            (PendingQuestion::Changed { path, .. }, Answer::OpenTheirs) => {
                self.call_off();
                self.open_theirs(path);
            }
            (PendingQuestion::Changed { path, .. }, Answer::Beside) => self.save_beside(&path),
            (PendingQuestion::NotSaved { path, .. }, Answer::Again) => self.save_to(path, May::Own, None),
            (PendingQuestion::NotSaved { .. }, Answer::Elsewhere) => self.save_as(),
            (PendingQuestion::NotSaved { .. }, Answer::Discard) => {
                if let Some(then) = self.files.after_save.take() {
                    self.discard(then);
                }
            }
            (PendingQuestion::Waiting(then), Answer::DontWait) => self.wait_no_longer(then),
            _ => {}
        }
    }

    /// Goes on without saving.
    fn discard(&mut self, then: Then) {
        self.files.let_go = Some(Arc::clone(self.document.project()));
        self.leave(then);
    }
}

fn unsaved(ui: &mut Ui, title: &str, then: &Then, answer: &mut Answer) {
    panel::heading(ui, "Save your changes first?");
    let what = if *then == Then::Close { "Closing" } else { "Going on" };
    ui.label(format!("{what} without saving loses what you changed in “{title}”."));
    buttons(
        ui,
        &[("Save", || Answer::Save), ("Don't save", || Answer::Discard), ("Cancel", || Answer::Cancel)],
        answer,
    );
}

fn replace(ui: &mut Ui, path: &Path, answer: &mut Answer) {
    panel::heading(ui, "There is a file of that name");
    ui.label(format!("Saving replaces {}.", path.display()));
    buttons(ui, &[("Replace it", || Answer::Replace), ("Keep it", || Answer::Cancel)], answer);
}

fn changed(ui: &mut Ui, path: &Path, answer: &mut Answer) {
    panel::heading(ui, "Somebody else changed this file");
    ui.label(format!("{} Which of the two shall it hold?", somebody_changed(path)))
        .on_hover_text(path.display().to_string());
    panel::quiet(
        ui,
        "“Keep mine” replaces what is there now. “Open theirs” opens it, and sets yours aside to be opened again. \
         “Save beside” gives yours another name.",
    );
    let choices: [Choice<'_>; 4] = [
        ("Keep mine", || Answer::Replace),
        ("Open theirs", || Answer::OpenTheirs),
        ("Save beside", || Answer::Beside),
        ("Cancel", || Answer::Cancel),
    ];
    buttons(ui, &choices, answer);
}

fn not_saved(ui: &mut Ui, why: &str, goes_on: bool, answer: &mut Answer) {
    panel::heading(ui, "Your changes aren't saved");
    ui.label(why);
    let discard: &[Choice<'_>] = if goes_on { &[("Don't save", || Answer::Discard)] } else { &[] };
    let choices: [Choice<'_>; 3] = [
        ("Choose another place", || Answer::Elsewhere),
        ("Try again", || Answer::Again),
        ("Cancel", || Answer::Cancel),
    ];
    buttons(ui, &[&choices[..2], discard, &choices[2..]].concat(), answer);
}

fn waiting(ui: &mut Ui, then: &Then, answer: &mut Answer) {
    panel::heading(ui, "Still saving");
    let what = if *then == Then::Close { "The window closes" } else { "This goes on" };
    ui.label(format!("{what} when the file is written."));
    let words = if *then == Then::Close { "Close without waiting" } else { "Go on without waiting" };
    buttons(ui, &[(words, || Answer::DontWait), ("Cancel", || Answer::Cancel)], answer);
}

/// An example of a path.
fn hint(what: PathFor) -> &'static str {
    match what {
        PathFor::Open | PathFor::Save => "rigs/pub.ron",
        PathFor::SaveOwnParts | PathFor::TakeInParts => "parts/mine.ron",
        PathFor::Export(what) if what.is_picture() => "pictures/pub.svg",
        PathFor::Export(_) => "tables/pub.csv",
    }
}

fn path(ui: &mut Ui, what: PathFor, typed: &mut String, wrong: Option<&str>, answer: &mut Answer) {
    match what {
        PathFor::Open => panel::heading(ui, "Open which file?"),
        PathFor::Save => panel::heading(ui, "Save to which file?"),
        PathFor::SaveOwnParts => panel::heading(ui, "Save my own parts to which file?"),
        PathFor::TakeInParts => panel::heading(ui, "Take in parts from which file?"),
        PathFor::Export(what) => panel::heading(ui, &format!("Save the {} to which file?", what.noun())),
    }
    panel::quiet(ui, "Type its path. A path without a folder is taken from where the program was started.");
    if let PathFor::Export(what) = what
        && what.is_picture()
    {
        panel::quiet(ui, "A name that ends in .svg makes a picture of lines, one in .png a picture of pixels.");
    }
    let response = ui.add(TextEdit::singleline(typed).desired_width(f32::INFINITY).hint_text(hint(what)));
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::TextInput, true, "Path of the file"));
    if !response.has_focus() && !response.lost_focus() {
        response.request_focus();
    }
    if let Some(wrong) = wrong {
        ui.label(RichText::new(wrong).color(Tokens::of(ui).alarm));
    }
    if response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
        *answer = Answer::Path(typed.clone());
    }
    ui.horizontal(|ui| {
        let action = match what {
            PathFor::Open => "Open",
            PathFor::TakeInParts => "Take in",
            PathFor::Save | PathFor::Export(_) | PathFor::SaveOwnParts => "Save",
        };
        if ui.button(action).clicked() {
            *answer = Answer::Path(typed.clone());
        }
        if ui.button("Cancel").clicked() {
            *answer = Answer::Cancel;
        }
    });
}

/// A button's words and the answer that it gives.
type Choice<'a> = (&'a str, fn() -> Answer);

fn buttons(ui: &mut Ui, choices: &[Choice<'_>], answer: &mut Answer) {
    ui.add_space(8.0);
    ui.horizontal_wrapped(|ui| {
        for (words, make) in choices {
            if ui.button(*words).clicked() {
                *answer = make();
            }
        }
    });
}
