//! Where a number comes from.

use std::fmt;

/// How far a number can be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Deserialize)]
pub enum Label {
    /// It stands in, or follows by definition from, a published standard.
    Standard,
    /// A formula that any circuit theory book gives.
    Textbook,
    /// A public page of the kind that the note names.
    Page,
    /// A published paper.
    Paper,
    /// Common practice of the trade.
    Practice,
    /// Nobody has confirmed it yet.
    Memory,
    /// It follows from other numbers.
    Arithmetic,
    /// Made up, so that there is something to overwrite.
    Invented,
    /// It is so in a part of the player's own.
    Yours,
}

impl Label {
    /// In a word or two, for a narrow column.
    #[must_use]
    pub fn short(self) -> &'static str {
        match self {
            Self::Standard => "a standard",
            Self::Textbook => "textbook",
            Self::Page => "a public page",
            Self::Paper => "a paper",
            Self::Practice => "practice, no source",
            Self::Memory => "from memory",
            Self::Arithmetic => "arithmetic",
            Self::Invented => "invented",
            Self::Yours => "yours",
        }
    }

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Standard => "a published standard",
            Self::Textbook => "a textbook formula",
            Self::Page => "a public page",
            Self::Paper => "a published paper",
            Self::Practice => "common practice, no source",
            Self::Memory => "not confirmed (memory)",
            Self::Arithmetic => "arithmetic",
            Self::Invented => "invented",
            Self::Yours => "a part of yours",
        }
    }
}

/// A label and what there is to say beside it. In the catalogue's files: `(Practice, "0.5-1 MΩ")`.
#[derive(Debug, Clone, PartialEq, Eq, serde::Deserialize)]
#[serde(from = "(Label, String)")]
pub struct Source {
    /// How far it can be trusted.
    pub label: Label,
    /// Range, kind of page, or how it was calculated.
    pub note: String,
}

impl From<(Label, String)> for Source {
    fn from((label, note): (Label, String)) -> Self {
        Self { label, note }
    }
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.label.name(), self.note)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_source_reads_as_a_sentence() {
        let source: Source = ron::from_str("(Practice, \"0.5-1 MΩ\")").unwrap();
        assert_eq!(source.to_string(), "common practice, no source: 0.5-1 MΩ");
    }
}
