//! The parts of the player's own, beside those that ship with the program.

use rigwright_core::file::{
    Added, OwnPartsError, TakenIn, add_own_part, read_own_parts, take_in_own_parts, write_own_parts,
};
use rigwright_core::parts::{Catalogue, Part, catalogue};
use rigwright_core::rig::{OwnPart, free_name};
use rigwright_core::units::Price;

use crate::jobs::{AmendOwnParts, Unread};

/// A change of the own parts. Each window tells the disk its changes and not its parts, so
/// that one doesn't undo another's.
#[derive(Debug, Clone, PartialEq)]
pub enum OwnChange {
    /// This one is kept too.
    Keep(Box<OwnPart>),
    /// These of a file are taken in, as far as they aren't there.
    TakeIn(Vec<OwnPart>),
    /// The part with this key has another name.
    Rename(String, String),
    /// It costs something else.
    SetPrice(String, Price),
    /// It goes.
    Remove(String),
}

/// What became of a change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Changed {
    /// A part was added, or wasn't.
    Kept(Added),
    /// Parts were taken in.
    TakenIn(TakenIn),
    /// A part has this name now.
    Renamed(String),
    /// What was asked for is so.
    Done,
}

/// The own parts, and the same as parts to choose from.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnParts {
    kept: Vec<OwnPart>,
    shelf: Catalogue,
}

impl Default for OwnParts {
    fn default() -> Self {
        Self::of(Vec::new())
    }
}

impl OwnParts {
    /// With these kept.
    #[must_use]
    pub fn of(kept: Vec<OwnPart>) -> Self {
        Self { shelf: Catalogue::of_own(&kept), kept }
    }

    /// What a file holds; none where there is none.
    pub fn read(bytes: Option<&[u8]>) -> Result<Self, OwnPartsError> {
        bytes.map_or_else(|| Ok(Self::default()), |bytes| read_own_parts(bytes).map(Self::of))
    }

    /// The parts as they are kept.
    #[must_use]
    pub fn kept(&self) -> &[OwnPart] {
        &self.kept
    }

    /// The same to be searched as the catalogue is.
    #[must_use]
    pub fn shelf(&self) -> &Catalogue {
        &self.shelf
    }

    /// An own part by its key.
    #[must_use]
    pub fn own(&self, key: &str) -> Option<&OwnPart> {
        self.kept.iter().find(|part| part.key == key)
    }

    /// A part by its key: an own one, or one that ships with the program.
    #[must_use]
    pub fn part(&self, key: &str) -> Option<&Part> {
        self.shelf.part(key).or_else(|| catalogue().part(key))
    }

    /// A name for one more part: the wanted one, or that with a number.
    #[must_use]
    pub fn free_name(&self, wanted: &str) -> String {
        free_name(wanted.trim(), |name| self.kept.iter().any(|part| part.name == name))
    }

    /// Does a change.
    pub fn change(&mut self, change: &OwnChange) -> Changed {
        let changed = done(&mut self.kept, change);
        self.shelf = Catalogue::of_own(&self.kept);
        changed
    }
}

fn done(kept: &mut Vec<OwnPart>, change: &OwnChange) -> Changed {
    match change {
        OwnChange::Keep(part) => Changed::Kept(add_own_part(kept, part)),
        OwnChange::TakeIn(parts) => Changed::TakenIn(take_in_own_parts(kept, parts)),
        OwnChange::Rename(key, name) => {
            let name = free_name(name.trim(), |name| kept.iter().any(|part| part.name == name && part.key != *key));
            if let Some(part) = kept.iter_mut().find(|part| part.key == *key) {
                part.name.clone_from(&name);
            }
            Changed::Renamed(name)
        }
        OwnChange::SetPrice(key, price) => {
            if let Some(part) = kept.iter_mut().find(|part| part.key == *key) {
                part.body.price = *price;
            }
            Changed::Done
        }
        OwnChange::Remove(key) => {
            kept.retain(|part| part.key != *key);
            Changed::Done
        }
    }
}

/// The change as the disk does it, to whatever the file holds then; without one only a look.
#[must_use]
pub fn amendment(change: Option<OwnChange>) -> AmendOwnParts {
    Box::new(move |held| {
        let mut kept = match held {
            [] => Vec::new(),
            held => read_own_parts(held).map_err(|error| match error {
                OwnPartsError::Newer { .. } => Unread::Leave(format!("{error}.")),
                error => Unread::Broken(error.to_string()),
            })?,
        };
        let Some(change) = &change else { return Ok((None, kept)) };
        let before = kept.clone();
        done(&mut kept, change);
        if kept == before {
            return Ok((None, kept));
        }
        let text = write_own_parts(&kept).map_err(|error| Unread::Leave(format!("{error}.")))?;
        Ok((Some(text), kept))
    })
}

#[cfg(test)]
mod tests {
    use rigwright_core::file::own_part;
    use rigwright_core::rig::DeviceId;

    use super::*;

    fn red() -> OwnPart {
        own_part(&catalogue().part("mild-drive").unwrap().device(DeviceId(1)), "Red box")
    }

    fn blue() -> OwnPart {
        own_part(&catalogue().part("buffer").unwrap().device(DeviceId(1)), "Blue box")
    }

    fn keep(part: OwnPart) -> OwnChange {
        OwnChange::Keep(Box::new(part))
    }

    fn amended(held: &str, change: OwnChange) -> Vec<OwnPart> {
        let (text, parts) = amendment(Some(change))(held.as_bytes()).unwrap();
        let text = text.unwrap_or_else(|| held.to_owned());
        assert_eq!(read_own_parts(text.as_bytes()).unwrap(), parts);
        parts
    }

    #[test]
    fn a_change_leaves_what_another_window_changed() {
        let held = write_own_parts(&[red()]).unwrap();
        assert_eq!(amended(&held, keep(blue())), [red(), blue()]);
        assert_eq!(amended("", keep(blue())), [blue()]);
        let both = write_own_parts(&[red(), blue()]).unwrap();
        assert_eq!(amended(&both, OwnChange::Remove(red().key)), [blue()]);
        let renamed = OwnPart { name: "Red box 2".to_owned(), ..blue() };
        assert_eq!(amended(&both, OwnChange::Rename(blue().key, " Red box ".to_owned())), [red(), renamed]);
        let mut dear = red();
        dear.body.price = Price::of(99.0);
        assert_eq!(amended(&both, OwnChange::SetPrice(red().key, Price::of(99.0))), [dear, blue()]);
        // What another window took out meanwhile stays out.
        assert_eq!(amended(&held, OwnChange::SetPrice(blue().key, Price::of(99.0))), [red()]);
    }

    #[test]
    fn what_is_as_it_was_is_not_written() {
        let held = write_own_parts(&[red()]).unwrap();
        for change in [None, Some(keep(red())), Some(OwnChange::Remove(blue().key))] {
            assert_eq!(amendment(change)(held.as_bytes()), Ok((None, vec![red()])));
        }
        assert_eq!(amendment(None)(b""), Ok((None, Vec::new())));
    }

    #[test]
    fn a_damaged_file_is_broken_and_a_newer_one_is_left() {
        let broken = amendment(Some(keep(red())))(b"(own_parts: 1, parts: [");
        assert!(matches!(broken, Err(Unread::Broken(why)) if why.starts_with("line 1, column ")));
        let newer = amendment(Some(keep(red())))(b"(own_parts: 9)");
        assert!(matches!(newer, Err(Unread::Leave(why)) if why.contains("from a newer Rigwright")));
    }

    #[test]
    fn own_parts_are_looked_up_before_those_of_the_catalogue() {
        let mut own = OwnParts::default();
        assert_eq!(own.change(&keep(red())), Changed::Kept(Added::As("Red box".to_owned())));
        assert_eq!(own.part(&red().key).map(|part| part.name.as_str()), Some("Red box"));
        assert_eq!(own.part("mild-drive").map(|part| part.name.as_str()), Some("Mild drive"));
        assert_eq!(own.part(&blue().key), None);
        assert_eq!((own.free_name(" Red box"), own.free_name("Green box")), ("Red box 2".into(), "Green box".into()));
    }
}
