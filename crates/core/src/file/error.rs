//! Why a file is refused, in one sentence that says where and what was expected.

use std::fmt;

use super::reason::place_in_words;
use super::{MAX_BYTES, VERSION};
use crate::rig::{Id, Many};
use crate::units::counted;

/// Why a file can't be opened. The sentence leaves out the file's name, which
/// whoever read the bytes puts before it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FileError {
    /// Nothing in it.
    Empty,
    /// Bytes that are no text.
    NotText {
        /// Where the text stops, from 1.
        line: usize,
        /// In characters, from 1.
        column: usize,
    },
    /// More bytes than [`MAX_BYTES`].
    TooLarge {
        /// How many it has.
        bytes: usize,
    },
    /// Not written as a project is: a bracket, a field, a number out of its range.
    Syntax {
        /// The line, from 1.
        line: usize,
        /// The column in characters, from 1.
        column: usize,
        /// The field: `variants[0].devices[3].kind.Guitar.pickup`; empty at the top.
        path: String,
        /// What is wrong and what was expected.
        reason: String,
    },
    /// It doesn't say its version, so it is no project, or a mangled one.
    NoVersion,
    /// It was written by a later program.
    Newer {
        /// Its version.
        version: u64,
        /// The newest that this program reads.
        ours: u32,
    },
    /// A version that no program wrote.
    NoSuchVersion {
        /// What it says.
        version: u64,
        /// The newest that this program reads.
        ours: u32,
    },
    /// A project keeps at least one variant.
    NoVariant {
        /// The line of the empty list, from 1.
        line: usize,
        /// Its column in characters, from 1.
        column: usize,
    },
    /// More of something than a project can hold.
    TooMany {
        /// Of what.
        many: Many,
        /// How many there are.
        count: usize,
        /// The line of the first that is too many, from 1.
        line: usize,
        /// Its column in characters, from 1.
        column: usize,
    },
    /// Two things of a kind under one id.
    RepeatedId {
        /// "device", "lead", "feed", "variant" or "sound".
        what: &'static str,
        /// The id.
        id: Id,
        /// The name of the variant that both are in, for devices and leads.
        variant: Option<String>,
        /// The line of the second one's id, from 1.
        line: usize,
        /// Its column in characters, from 1.
        column: usize,
    },
    /// Something of a device that has one value is listed twice.
    RepeatedEntry {
        /// What of it: "volume", "tone", "treadle" or "place".
        what: String,
        /// The device's id.
        device: Id,
        /// In which list: "the state in hand", "the sound “clean”".
        list: String,
        /// The line of the second entry, from 1.
        line: usize,
        /// Its column in characters, from 1.
        column: usize,
    },
    /// A sound has two states of one variant.
    RepeatedState {
        /// The variant's id.
        variant: Id,
        /// "the sound “clean”".
        list: String,
        /// The line of the second state, from 1.
        line: usize,
        /// Its column in characters, from 1.
        column: usize,
    },
}

impl FileError {
    /// Line and column in characters, both from 1, where there is one place to point at.
    #[must_use]
    pub fn line_column(&self) -> Option<(usize, usize)> {
        match self {
            Self::NotText { line, column }
            | Self::Syntax { line, column, .. }
            | Self::NoVariant { line, column }
            | Self::TooMany { line, column, .. }
            | Self::RepeatedId { line, column, .. }
            | Self::RepeatedEntry { line, column, .. }
            | Self::RepeatedState { line, column, .. } => Some((*line, *column)),
            Self::Empty | Self::TooLarge { .. } | Self::NoVersion | Self::Newer { .. } | Self::NoSuchVersion { .. } => {
                None
            }
        }
    }
}

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some((line, column)) = self.line_column() {
            write!(f, "line {line}, column {column}")?;
            match self {
                Self::Syntax { path, .. } if !path.is_empty() => write!(f, ", in {}: ", place_in_words(path))?,
                _ => f.write_str(": ")?,
            }
        }
        match self {
            Self::Empty => write!(f, "this file is empty; {}", start()),
            Self::NotText { .. } => f.write_str("this is no text; expected a project, which is plain text in UTF-8"),
            Self::TooLarge { bytes } => {
                // Rounded up, so that it never says that 16 MB are more than 16 MB.
                let (has, most) = (bytes.div_ceil(1 << 20), MAX_BYTES >> 20);
                write!(f, "this file has {has} MB; expected a project, which has {most} MB at most")
            }
            Self::Syntax { reason, .. } => f.write_str(reason),
            Self::NoVersion => write!(f, "this file doesn't say its version; {}", start()),
            Self::Newer { version, ours } => {
                write!(f, "this file is from a newer Rigwright (version {version}; this one reads up to {ours})")
            }
            Self::NoSuchVersion { version, ours } => {
                write!(f, "there is no version {version} of these files; expected a version from 1 to {ours}")
            }
            Self::NoVariant { .. } => {
                f.write_str("there is no variant here; expected at least one, since a project keeps at least one")
            }
            Self::TooMany { many, count, .. } => {
                write!(f, "there are {} {}; expected {} at most", counted(count), many.words(), counted(many.most()))
            }
            Self::RepeatedId { what, id, variant, .. } => {
                write!(f, "there are two {what}s with the id {id}")?;
                if let Some(variant) = variant {
                    write!(f, " in the variant “{variant}”")?;
                }
                write!(f, "; expected an id of its own for each {what}")
            }
            Self::RepeatedEntry { what, device, list, .. } => {
                write!(f, "{list} lists the {what} of device {device} twice; expected it once")
            }
            Self::RepeatedState { variant, list, .. } => {
                write!(f, "{list} is made in two ways in the variant {variant}; expected one")
            }
        }
    }
}

impl std::error::Error for FileError {}

/// What every project starts with.
fn start() -> String {
    format!("expected a project, which starts with “(version: {VERSION},”")
}

/// Why a project can't be written. Nothing was handed out, so what was saved before stays.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WriteError {
    /// More bytes than [`MAX_BYTES`].
    TooLarge {
        /// How many it would have.
        bytes: usize,
    },
    /// It could not be put into text.
    NoText(String),
    /// It could not be opened again.
    NotReadable(FileError),
    /// It would be opened as another project: a slip of ours.
    ReadsOtherwise,
}

impl fmt::Display for WriteError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLarge { bytes } => {
                let (has, most) = (bytes.div_ceil(1 << 20), MAX_BYTES >> 20);
                write!(
                    f,
                    "this project would take {has} MB, and a file has {most} MB at most; shorten its texts or take out variants"
                )
            }
            Self::NoText(reason) => write!(f, "this project can't be put into text ({reason})"),
            Self::NotReadable(error) => write!(f, "this project could not be opened again: {error}"),
            Self::ReadsOtherwise => {
                f.write_str("this project would be opened otherwise than it is, which is a fault of this program")
            }
        }
    }
}

impl std::error::Error for WriteError {}
