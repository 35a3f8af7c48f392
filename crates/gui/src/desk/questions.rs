//! Questions that stand before everything else until they are answered.

use egui::{Id, Key, Modal, RichText, TextEdit, Ui};

use super::Desk;
use super::files::Then;
use crate::theme::Tokens;
use crate::widgets::panel;

/// A question.
#[derive(Debug, Clone, PartialEq)]
pub enum Question {
    /// Something isn't saved, and something else is to come.
    Unsaved(Then),
    /// Where is the file to open, or where shall it be saved?
    Path {
        /// Whether it is for saving.
        saving: bool,
        /// What was typed so far.
        typed: String,
        /// What is wrong with it.
        wrong: Option<String>,
    },
    /// Something is there already under that path.
    Replace(std::path::PathBuf),
}

impl Question {
    /// For a path to open.
    pub fn open_path() -> Self {
        Self::Path { saving: false, typed: String::new(), wrong: None }
    }

    /// For a path to save to.
    pub fn save_path(suggested: String) -> Self {
        Self::Path { saving: true, typed: suggested, wrong: None }
    }
}

/// What a person answered.
enum Answer {
    Later,
    Cancel,
    Save,
    Discard,
    Path(String),
    Replace,
}

impl Desk {
    /// Shows the question that is open, if any, and acts on its answer.
    pub(super) fn ask(&mut self, ui: &Ui) {
        let Some(mut question) = self.question.take() else {
            return;
        };
        let mut answer = Answer::Later;
        let modal = Modal::new(Id::unique("question")).frame(panel::modal(ui)).show(ui.ctx(), |ui| {
            ui.set_width(420.0_f32.min(ui.ctx().content_rect().width() - 60.0));
            match &mut question {
                Question::Unsaved(then) => unsaved(ui, &self.document.project().title, then, &mut answer),
                Question::Path { saving, typed, wrong } => path(ui, *saving, typed, wrong.as_deref(), &mut answer),
                Question::Replace(path) => {
                    panel::heading(ui, "There is a file of that name");
                    ui.label(format!("Saving replaces {}.", path.display()));
                    buttons(ui, &[("Replace it", || Answer::Replace), ("Keep it", || Answer::Cancel)], &mut answer);
                }
            }
        });
        if matches!(answer, Answer::Later) && modal.should_close() {
            answer = Answer::Cancel;
        }
        self.answered(question, answer);
    }

    fn answered(&mut self, question: Question, answer: Answer) {
        match (question, answer) {
            (question, Answer::Later) => self.question = Some(question),
            (_, Answer::Cancel) => self.files.after_save = None,
            (Question::Unsaved(then), Answer::Save) => self.save_and_go(then),
            (Question::Unsaved(then), Answer::Discard) => self.go(then),
            (Question::Path { saving, .. }, Answer::Path(typed)) => match self.host.typed_path(&typed) {
                None => {
                    let wrong = Some("Type where the file is, such as rigs/pub.ron.".to_owned());
                    self.question = Some(Question::Path { saving, typed, wrong });
                }
                Some(path) if !saving => self.host.load(path),
                Some(path) if path.extension().is_none() => {
                    let path = path.with_extension(crate::jobs::EXTENSION);
                    self.question = self.host.is_taken(&path).then(|| Question::Replace(path.clone()));
                    if self.question.is_none() {
                        self.save_to(path);
                    }
                }
                Some(path) if self.host.is_taken(&path) => self.question = Some(Question::Replace(path)),
                Some(path) => self.save_to(path),
            },
            (Question::Replace(path), Answer::Replace) => self.save_to(path),
            _ => {}
        }
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

fn path(ui: &mut Ui, saving: bool, typed: &mut String, wrong: Option<&str>, answer: &mut Answer) {
    panel::heading(ui, if saving { "Save to which file?" } else { "Open which file?" });
    panel::quiet(ui, "Type its path. A path without a folder is taken from where the program was started.");
    let response = ui.add(TextEdit::singleline(typed).desired_width(f32::INFINITY).hint_text("rigs/pub.ron"));
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
        if ui.button(if saving { "Save" } else { "Open" }).clicked() {
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
    ui.horizontal(|ui| {
        for (words, make) in choices {
            if ui.button(*words).clicked() {
                *answer = make();
            }
        }
    });
}
