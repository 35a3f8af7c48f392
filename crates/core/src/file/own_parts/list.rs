//! Adding to a list of own parts, so that nothing in it is changed and nothing is there twice.

use super::{MOST_OWN_PARTS, with_key_of};
use crate::rig::{OwnPart, free_name};

/// What became of a part that was to be added.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Added {
    /// It is there, under this name: its own, or with a number where a different part has that.
    As(String),
    /// It was there before.
    Before,
    /// There are as many as there can be.
    Full,
}

/// Adds a part. One that is a different part under the name or the key of another is given
/// a name or a key of its own; the other stays as it is.
pub fn add_own_part(parts: &mut Vec<OwnPart>, part: &OwnPart) -> Added {
    let mut new = part.clone();
    // The key first that it came with, then the one that its name and numbers give it, then
    // what other names would give: what is added once more comes to the same one.
    while let Some(other) = parts.iter().find(|other| other.key == new.key) {
        if other.is_like(part) {
            return Added::Before;
        }
        new = with_key_of(new);
        new.name.push('\'');
    }
    if parts.iter().any(|other| other.name == part.name && other.is_like(part)) {
        return Added::Before;
    }
    if parts.len() >= MOST_OWN_PARTS {
        return Added::Full;
    }
    new.name = free_name(&part.name, |name| parts.iter().any(|other| other.name == name));
    let name = new.name.clone();
    parts.push(new);
    Added::As(name)
}

/// What became of parts that were taken in from a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct TakenIn {
    /// How many were added.
    pub added: usize,
    /// How many of those got a number behind their name.
    pub renamed: usize,
    /// How many were there before.
    pub before: usize,
    /// How many there is no room for.
    pub left_out: usize,
}

/// Adds all of these that aren't there yet.
pub fn take_in_own_parts(parts: &mut Vec<OwnPart>, new: &[OwnPart]) -> TakenIn {
    let mut taken = TakenIn::default();
    for part in new {
        match add_own_part(parts, part) {
            Added::As(name) => {
                taken.added += 1;
                taken.renamed += usize::from(name != part.name);
            }
            Added::Before => taken.before += 1,
            Added::Full => taken.left_out += 1,
        }
    }
    taken
}
