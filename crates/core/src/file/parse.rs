//! From bytes to the schema's structs, and from a path to its line and column.

use std::fmt;

use ron::extensions::Extensions;
use ron::{Deserializer, Options};
use serde::de::{DeserializeOwned, DeserializeSeed, Error as _, IgnoredAny, MapAccess, SeqAccess, Visitor};
use serde_path_to_error::Segment;

use super::gate::Gate;
use super::reason::in_words;
use super::since::Names;
use super::{FileError, MAX_BYTES};

/// How every version is read and written: what can be left out is written
/// without `Some( )`, and what a device is without a second pair of brackets.
/// The limit on nesting stays: without it brackets overflow the stack.
pub fn options() -> Options {
    Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME)
        .with_default_extension(Extensions::UNWRAP_VARIANT_NEWTYPES)
}

/// The text in a file's bytes, without the mark that some editors put before it.
pub fn text(bytes: &[u8]) -> Result<&str, FileError> {
    if bytes.len() > MAX_BYTES {
        return Err(FileError::TooLarge { bytes: bytes.len() });
    }
    let bytes = bytes.strip_prefix("\u{feff}".as_bytes()).unwrap_or(bytes);
    let valid = match std::str::from_utf8(bytes) {
        Ok(text) => text,
        Err(error) => std::str::from_utf8(bytes.get(..error.valid_up_to()).unwrap_or_default()).unwrap_or_default(),
    };
    // Zeros are valid UTF-8, but no text that a person wrote has one.
    let end = valid.find('\0').unwrap_or(valid.len());
    if end < bytes.len() {
        let before = valid.get(..end).unwrap_or_default();
        let line = 1 + before.matches('\n').count();
        let column = 1 + before.chars().rev().take_while(|c| *c != '\n').count();
        return Err(FileError::NotText { line, column });
    }
    if valid.trim().is_empty() { Err(FileError::Empty) } else { Ok(valid) }
}

/// The version that a file says in that field, whatever else is in it: a newer file is to be
/// refused as newer, not for the first field that this program doesn't know.
pub fn version(text: &str, field: &'static str) -> Result<u64, FileError> {
    let found = match find(text, &[Step::Field(field)]) {
        Ok(found) => found.ok_or(FileError::NoVersion)?,
        // Sound RON, but no fields at all.
        Err(ron::error::SpannedError { code: ron::Error::InvalidValueForType { .. }, .. }) => {
            return Err(FileError::NoVersion);
        }
        Err(error) => return Err(refuse(&error, String::new(), text)),
    };
    let number = Deserializer::from_str(found.rest)
        .and_then(|mut rest| serde::Deserialize::deserialize(&mut rest).map_err(|code| rest.span_error(code)));
    number.map_err(|error| FileError::Syntax {
        line: found.line,
        column: found.column,
        path: field.to_owned(),
        reason: in_words(&error.code),
    })
}

/// The schema's structs, strictly: only with the names that the file's version
/// has. Errors carry line, column and field.
pub fn strict<T: DeserializeOwned>(text: &str, names: impl Names) -> Result<T, FileError> {
    let mut source =
        Deserializer::from_str_with_options(text, &options()).map_err(|error| refuse(&error, String::new(), text))?;
    let value = serde_path_to_error::deserialize(Gate::new(&mut source, names)).map_err(|error| {
        let path = path(error.path());
        refuse(&source.span_error(error.into_inner()), path, text)
    })?;
    source.end().map_err(|code| refuse(&source.span_error(code), String::new(), text))?;
    Ok(value)
}

/// The path of what the reader was in, as far as it is a place: not the field
/// that doesn't belong there or whose name wasn't read yet.
fn path(to: &serde_path_to_error::Path) -> String {
    let mut path = String::new();
    for step in to {
        let joint = if path.is_empty() { "" } else { "." };
        match step {
            Segment::Seq { index } => path.push_str(&format!("[{index}]")),
            Segment::Map { key } => path.push_str(&format!("{joint}{key}")),
            Segment::Enum { variant } => path.push_str(&format!("{joint}{variant}")),
            Segment::Unknown => {}
        }
    }
    path
}

fn refuse(error: &ron::error::SpannedError, path: String, text: &str) -> FileError {
    // What was read and refused lies between start and end; what wasn't even
    // read comes after the space between them.
    let (start, end) = (error.span.start, error.span.end);
    let first = text
        .split('\n')
        .nth(start.line.saturating_sub(1))
        .and_then(|line| line.chars().nth(start.col.saturating_sub(1)));
    let read = first.is_some_and(|c| !c.is_whitespace() && c != '/');
    let position = if read { start } else { end };
    FileError::Syntax { line: position.line, column: position.col, path, reason: in_words(&error.code) }
}

/// One step on the way to a value.
#[derive(Debug, Clone, Copy)]
pub enum Step {
    /// The field of that name.
    Field(&'static str),
    /// The entry of a list, from 0.
    Entry(usize),
}

/// Where a value stands.
#[derive(Debug, Clone, Copy)]
pub struct Found<'t> {
    /// Its line, from 1.
    pub line: usize,
    /// Its column in characters, from 1.
    pub column: usize,
    /// The text from there on.
    rest: &'t str,
}

/// Line and column of a value; of the text's start where there is no such value.
pub fn locate(text: &str, path: &[Step]) -> (usize, usize) {
    find(text, path).ok().flatten().map_or((1, 1), |found| (found.line, found.column))
}

/// Walks to a value with the same reader that reads projects, so that both
/// agree on what a comment, a text or a bracket is, and stops right before it.
fn find<'t>(text: &'t str, path: &[Step]) -> Result<Option<Found<'t>>, ron::error::SpannedError> {
    let mut source = Deserializer::from_str_with_options(text, &options())?;
    let mut there = false;
    let outcome = Walk { path, there: &mut there }.deserialize(&mut source);
    match outcome {
        Err(code) => {
            let error = source.span_error(code);
            let end = error.span.end;
            if there {
                Ok(Some(Found { line: end.line, column: end.col, rest: source.remainder() }))
            } else {
                Err(error)
            }
        }
        Ok(()) => Ok(None),
    }
}

struct Walk<'p> {
    path: &'p [Step],
    there: &'p mut bool,
}

impl<'de> DeserializeSeed<'de> for Walk<'_> {
    type Value = ();

    fn deserialize<D: serde::Deserializer<'de>>(self, source: D) -> Result<(), D::Error> {
        if self.path.is_empty() {
            *self.there = true;
            // An error is the one way to stop the reader where it is.
            return Err(D::Error::custom("found"));
        }
        source.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Walk<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("fields in brackets")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        while let Some(key) = map.next_key::<String>()? {
            match self.path.split_first() {
                Some((Step::Field(name), path)) if key == *name => {
                    return map.next_value_seed(Walk { path, there: self.there });
                }
                _ => map.next_value::<IgnoredAny>()?,
            };
        }
        Ok(())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<(), A::Error> {
        let Some((Step::Entry(at), path)) = self.path.split_first() else {
            while list.next_element::<IgnoredAny>()?.is_some() {}
            return Ok(());
        };
        for _ in 0..*at {
            if list.next_element::<IgnoredAny>()?.is_none() {
                return Ok(());
            }
        }
        list.next_element_seed(Walk { path, there: self.there }).map(|_| ())
    }
}
