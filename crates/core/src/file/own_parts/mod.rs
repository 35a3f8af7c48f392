//! Files of own parts: bytes to parts and back, in the manner of a project's file and made
//! of the same structs.

mod list;

use std::fmt;

use ron::ser::PrettyConfig;

pub use list::{Added, TakenIn, add_own_part, take_in_own_parts};

use super::parse::Step::{Entry, Field};
use super::parse::locate;
use super::schema::{OwnParts, Stored};
use super::{FileError, layout, parse, since};
use crate::rig::{Device, OWN_KEY_JOINT, OwnPart, own_key_of};
use crate::units::counted;

/// The version that [`write_own_parts`] writes, and the newest that [`read_own_parts`] reads.
pub const OWN_PARTS_VERSION: u32 = 1;

/// Of each version the version of projects whose fields its parts have: where those get
/// new ones, files of own parts get a new version.
const FIELDS_OF: [u32; OWN_PARTS_VERSION as usize] = [4];

/// So many parts at most: more than anybody owns, and read within a second.
pub const MOST_OWN_PARTS: usize = 500;

/// What the version stands behind.
const VERSION_FIELD: &str = "own_parts";

/// Why a file of own parts can't be read, or parts can't be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OwnPartsError {
    /// It is something else, or nothing.
    NotOwnParts,
    /// It was written by a later program.
    Newer {
        /// Its version.
        version: u64,
    },
    /// A version that no program wrote.
    NoSuchVersion,
    /// More parts than there can be.
    TooMany {
        /// How many there are.
        count: usize,
    },
    /// Two parts under one key.
    Repeated {
        /// The key.
        key: String,
        /// The line of the second one, from 1.
        line: usize,
        /// Its column in characters, from 1.
        column: usize,
    },
    /// Not written as such a file is; the place and the reason are as a project's.
    Refused(FileError),
    /// It could not be put into text.
    NoText(String),
    /// It would be read as other parts: a slip of ours.
    ReadsOtherwise,
}

impl fmt::Display for OwnPartsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let start = format!("expected one that starts with “({VERSION_FIELD}: {OWN_PARTS_VERSION},”");
        match self {
            Self::NotOwnParts => write!(f, "this is no file of own parts; {start}"),
            Self::Newer { version } => write!(
                f,
                "these own parts are from a newer Rigwright (version {version}; this one knows {OWN_PARTS_VERSION} at most)"
            ),
            Self::NoSuchVersion => write!(f, "no program wrote own parts of version 0; {start}"),
            Self::TooMany { count } => {
                write!(f, "there would be {} own parts; {MOST_OWN_PARTS} is the most", counted(*count))
            }
            Self::Repeated { key, line, column } => {
                write!(f, "line {line}, column {column}: the key “{key}” is there twice; expected each part once")
            }
            Self::Refused(error) => error.fmt(f),
            Self::NoText(reason) => write!(f, "own parts can't be put into text ({reason})"),
            Self::ReadsOtherwise => f.write_str("own parts would be read otherwise than they are, a fault of ours"),
        }
    }
}

impl std::error::Error for OwnPartsError {}

/// The parts in a file's bytes. Errors: nothing is taken, and the sentence says where and
/// what was expected.
pub fn read_own_parts(bytes: &[u8]) -> Result<Vec<OwnPart>, OwnPartsError> {
    let text = match parse::text(bytes) {
        Ok(text) => text,
        Err(FileError::Empty | FileError::NotText { .. }) => return Err(OwnPartsError::NotOwnParts),
        Err(error) => return Err(OwnPartsError::Refused(error)),
    };
    let version = match parse::version(text, VERSION_FIELD) {
        Ok(version) => version,
        Err(FileError::NoVersion) => return Err(OwnPartsError::NotOwnParts),
        Err(error) => return Err(OwnPartsError::Refused(error)),
    };
    if version > u64::from(OWN_PARTS_VERSION) {
        return Err(OwnPartsError::Newer { version });
    }
    let at = usize::try_from(version).ok().and_then(|version| version.checked_sub(1));
    let fields = at.and_then(|at| FIELDS_OF.get(at)).ok_or(OwnPartsError::NoSuchVersion)?;
    let file: OwnParts = parse::strict(text, since::Version(*fields)).map_err(OwnPartsError::Refused)?;
    let parts: Vec<OwnPart> = file.parts.restore();
    if parts.len() > MOST_OWN_PARTS {
        return Err(OwnPartsError::TooMany { count: parts.len() });
    }
    let again = |at: usize| parts.iter().take(at).any(|part| parts.get(at).is_some_and(|other| other.key == part.key));
    match (0..parts.len()).find(|at| again(*at)) {
        None => Ok(parts),
        Some(at) => {
            let (line, column) = locate(text, &[Field("parts"), Entry(at), Field("key")]);
            let key = parts.get(at).map_or_else(String::new, |part| part.key.clone());
            Err(OwnPartsError::Repeated { key, line, column })
        }
    }
}

/// The text of a file of own parts, with a newline at its end. It is read again before it
/// is handed out, and holds the same parts then.
pub fn write_own_parts(parts: &[OwnPart]) -> Result<String, OwnPartsError> {
    let text = text(parts).map_err(OwnPartsError::NoText)?;
    if read_own_parts(text.as_bytes())? == parts { Ok(text) } else { Err(OwnPartsError::ReadsOtherwise) }
}

fn text(parts: &[OwnPart]) -> Result<String, String> {
    let file = OwnParts { own_parts: OWN_PARTS_VERSION, parts: Stored::store(&parts.to_vec()) };
    // The line breaks are fixed, so that a file has the same bytes on every system.
    let config = PrettyConfig::new().struct_names(false).new_line("\n");
    let pretty = parse::options().to_string_pretty(&file, config).map_err(|error| error.to_string())?;
    Ok(layout::fold(&pretty))
}

/// Whether a file means to be one of own parts: its version stands first. A look at its
/// start, however large it is.
#[must_use]
pub fn is_own_parts(bytes: &[u8]) -> bool {
    let bytes = bytes.strip_prefix("\u{feff}".as_bytes()).unwrap_or(bytes);
    let inside = bytes.trim_ascii_start().strip_prefix(b"(").map(<[u8]>::trim_ascii_start);
    let behind = inside.and_then(|inside| inside.strip_prefix(VERSION_FIELD.as_bytes()));
    behind.is_some_and(|behind| behind.trim_ascii_start().starts_with(b":"))
}

/// A device as it stands, as a part under a name. Its key comes from all that it is, so
/// that parts which are kept on different machines have different ones.
#[must_use]
pub fn own_part(device: &Device, name: &str) -> OwnPart {
    let device = device.clone();
    let of = own_key_of(&device.part).unwrap_or(&device.part);
    let plain = |c: &char| c.is_ascii_lowercase() || c.is_ascii_digit() || *c == '-';
    let of: String = of.chars().filter(plain).take(100).collect();
    let Device { body, power, heard_to, effect, kind, .. } = device;
    let (key, name) = (format!("{of}{OWN_KEY_JOINT}"), name.to_owned());
    with_key_of(OwnPart { key, name, body, power, heard_to, effect, kind })
}

/// The same part under the key that its name and numbers give it.
#[must_use]
fn with_key_of(mut part: OwnPart) -> OwnPart {
    let of = own_key_of(&part.key).unwrap_or_default().to_owned();
    part.key = format!("{of}{OWN_KEY_JOINT}0");
    let written = text(std::slice::from_ref(&part)).unwrap_or_else(|_| format!("{part:?}"));
    part.key = format!("{of}{OWN_KEY_JOINT}{:016x}", fnv_1a(written.as_bytes()));
    part
}

/// The 64-bit hash of Fowler, Noll and Vo: the same on every machine. [standard, memory, S: hash]
fn fnv_1a(bytes: &[u8]) -> u64 {
    let step = |hash: u64, byte: &u8| (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3);
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, step)
}

#[cfg(test)]
mod tests;
