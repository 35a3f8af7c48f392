//! What a file was like when it was last seen, to know whether it is another by now.

use std::fs::{self, File};
use std::io::{self, ErrorKind, Read};
use std::path::Path;
use std::time::SystemTime;

use rigwright_core::file::MAX_BYTES;
use serde::{Deserialize, Serialize};

/// What a file holds, in short.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Content {
    size: u64,
    /// FNV-1a of 64 bits [page: the hash's Internet draft, draft-eastlake-fnv]. It is
    /// written down, so it must be the same in every build; it guards against
    /// accidents and not against malice.
    hash: u64,
}

impl Content {
    /// Of these bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self { size: bytes.len() as u64, hash: fnv(bytes) }
    }
}

/// FNV-1a of 64 bits.
pub fn fnv(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(*byte)).wrapping_mul(0x100_0000_01b3))
}

/// A file as it was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp {
    /// What it held.
    pub content: Content,
    /// When it was written, as its disk says; none if that isn't known.
    pub modified: Option<SystemTime>,
}

impl Stamp {
    /// Of bytes whose time isn't known.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self { content: Content::of(bytes), modified: None }
    }

    /// Whether a look from outside finds nothing new: size and time, without reading.
    pub fn looks_like(&self, about: &fs::Metadata) -> bool {
        self.modified.is_some() && self.modified == about.modified().ok() && self.content.size == about.len()
    }
}

/// The file as it is now; none if there is none. Of what is larger than any
/// rig only the beginning is looked at, which no rig's content equals.
pub fn seen(path: &Path) -> io::Result<Option<Stamp>> {
    match seen_whole(path) {
        Ok((_, stamp)) => Ok(Some(stamp)),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

/// The bytes, at most one more than a rig may have, and the stamp.
pub fn seen_whole(path: &Path) -> io::Result<(Vec<u8>, Stamp)> {
    let file = File::open(path)?;
    // The time from before: what is written meanwhile makes it another one.
    let modified = file.metadata()?.modified().ok();
    let mut bytes = Vec::new();
    file.take(MAX_BYTES as u64 + 1).read_to_end(&mut bytes)?;
    let content = Content::of(&bytes);
    Ok((bytes, Stamp { content, modified }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_is_the_one_that_its_authors_publish() {
        // Test values of FNV-1a, 64 bits, as its authors give them [S: hash].
        assert_eq!(fnv(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fnv(b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(fnv(b"foobar"), 0x8594_4171_f739_67e8);
    }

    #[test]
    fn a_file_is_told_from_one_of_the_same_length() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("pub.ron");
        assert_eq!(seen(&path).unwrap(), None);
        fs::write(&path, "one").unwrap();
        let one = seen(&path).unwrap().unwrap();
        assert!(one.looks_like(&fs::metadata(&path).unwrap()));
        assert_eq!(one.content, Content::of(b"one"));
        fs::write(&path, "two").unwrap();
        assert_ne!(seen(&path).unwrap().unwrap().content, one.content);
        assert!(seen(folder.path()).is_err(), "a folder is no file");
    }
}
