//! What every diagnosis is made of, whatever it is about: how much it matters,
//! and the changes that remedy it.

use crate::rig::{Edit, PowerEdit, VariantId};

/// How much something matters, the loudest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// It can destroy something: never switch it on like this.
    Danger,
    /// It won't work as it should: something to act on.
    Act,
    /// Something to know.
    Know,
}

impl Severity {
    /// Its name for programs; it stays as it is.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Danger => "danger",
            Self::Act => "act",
            Self::Know => "know",
        }
    }
}

/// A change that remedies something.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// What it does, with the figure that is left, as a button says it.
    pub words: String,
    /// What is given up for it, in one sentence, if anything.
    pub gives_up: Option<String>,
    /// The change.
    pub edit: Edit,
}

impl Remedy {
    /// One that gives nothing up.
    #[must_use]
    pub fn of(words: impl Into<String>, edit: Edit) -> Self {
        Self { words: words.into(), gives_up: None, edit }
    }

    /// One that changes a variant's power, one step after another.
    #[must_use]
    pub fn of_power(words: impl Into<String>, variant: VariantId, edits: &[PowerEdit]) -> Self {
        let edits: Vec<Edit> = edits.iter().map(|edit| Edit::Power { variant, edit: edit.clone() }).collect();
        let edit = match <[Edit; 1]>::try_from(edits) {
            Ok([edit]) => edit,
            Err(edits) => Edit::Batch(edits),
        };
        Self::of(words, edit)
    }

    /// What it does, without the figure: "Put a buffer after the guitar" of "Put
    /// a buffer after the guitar: 0.3 dB left".
    #[must_use]
    pub fn without_figure(&self) -> String {
        self.words.split(':').next().unwrap_or(&self.words).trim().to_owned()
    }
}
