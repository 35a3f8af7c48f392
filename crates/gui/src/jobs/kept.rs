//! What is known of work that is kept against a crash: which rig, of which
//! file, since when. It stands in the first line, which is a comment to whoever
//! reads the file as a rig, and is written in one go with the rest. So there is
//! no half of it, and what an older program kept has none and is read as well.

use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime, UNIX_EPOCH};

use rigwright_core::file;
use serde::{Deserialize, Serialize};

use super::stamp::{Content, Stamp};

/// How the first line begins.
const MARK: &str = "// Rigwright kept this: ";

/// Where work belongs.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Origin {
    /// The rig's title; empty where that isn't known.
    pub title: String,
    /// The file that it was opened from or last saved to.
    pub path: Option<PathBuf>,
    /// What that file held then.
    pub base: Option<Content>,
}

/// Work to keep.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// The text of its file, as it would be saved.
    pub text: String,
    /// Where it belongs.
    pub origin: Origin,
}

/// How work that was left stands to its file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeftStatus {
    /// It is the last that was done.
    Unsaved,
    /// The file was written later, by somebody else.
    FileIsNewer,
    /// It was put aside for what the file held.
    SetAside,
}

/// Work that isn't in hand and in no file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftWork {
    /// By what the machine knows it.
    pub id: u64,
    /// Where it belongs.
    pub origin: Origin,
    /// When it was kept, as a person reads it: "Tuesday 28 Nov 14:05".
    pub when: String,
    /// The rig.
    pub bytes: Vec<u8>,
    /// How it stands to its file.
    pub status: LeftStatus,
}

/// The first line's content. What it lacks is as by default, and what a later
/// program adds is passed over.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(default)]
struct Line {
    /// Milliseconds since 1970.
    at: u64,
    title: String,
    /// A path that isn't Unicode can't be written down, and is left out.
    path: Option<String>,
    base: Option<Content>,
    aside: bool,
}

/// The text of the file in which work is kept.
pub fn whole(kept: &Kept, aside: bool, at: SystemTime) -> String {
    let origin = &kept.origin;
    let line = Line {
        at: milliseconds(at),
        title: origin.title.clone(),
        path: origin.path.as_deref().and_then(Path::to_str).map(str::to_owned),
        base: origin.base,
        aside,
    };
    match ron::to_string(&line) {
        // A line is a line, whatever is in the title.
        Ok(line) if !line.contains(['\n', '\r']) => format!("{MARK}{line}\n{}", kept.text),
        _ => kept.text.clone(),
    }
}

/// What is read of a file in which work was kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    pub origin: Origin,
    pub at: SystemTime,
    pub bytes: Vec<u8>,
    pub aside: bool,
}

/// Reads it; `changed` is when the file was written, for one that doesn't say.
pub fn read(bytes: Vec<u8>, changed: SystemTime) -> Found {
    let end = bytes.iter().position(|byte| *byte == b'\n').unwrap_or(bytes.len());
    let first = std::str::from_utf8(&bytes[..end]).ok().and_then(|first| first.strip_prefix(MARK));
    let Some(line) = first.and_then(|line| ron::from_str::<Line>(line).ok()) else {
        let title = file::read(&bytes).map(|project| project.title).unwrap_or_default();
        let origin = Origin { title, ..Origin::default() };
        return Found { origin, at: changed, bytes, aside: false };
    };
    let origin = Origin { title: line.title, path: line.path.map(PathBuf::from), base: line.base };
    let at = UNIX_EPOCH.checked_add(Duration::from_millis(line.at)).unwrap_or(changed);
    let rest = bytes.get(end + 1..).unwrap_or_default().to_vec();
    Found { origin, at, bytes: rest, aside: line.aside }
}

impl Found {
    /// How it stands to its file as it is now; none if it is in there already.
    /// `on_disk` is none where there is no such file, or it can't be had.
    pub fn status(&self, on_disk: Option<(&[u8], Stamp)>) -> Option<LeftStatus> {
        let aside = if self.aside { LeftStatus::SetAside } else { LeftStatus::Unsaved };
        let Some((bytes, stamp)) = on_disk else {
            return Some(aside);
        };
        if bytes == self.bytes || same_rig(bytes, &self.bytes) {
            return None;
        }
        // As coarse as the line says the time of keeping: a file that was written in the
        // same millisecond was written before, and that's why the work was kept.
        let later = stamp.modified.is_some_and(|modified| milliseconds(modified) > milliseconds(self.at));
        let another = self.origin.base != Some(stamp.content);
        Some(if !self.aside && later && another { LeftStatus::FileIsNewer } else { aside })
    }
}

/// Milliseconds since 1970, without what is beyond them.
fn milliseconds(time: SystemTime) -> u64 {
    u64::try_from(time.duration_since(UNIX_EPOCH).unwrap_or_default().as_millis()).unwrap_or(u64::MAX)
}

/// The same rig, perhaps written by another version of this program.
fn same_rig(a: &[u8], b: &[u8]) -> bool {
    matches!((file::read(a), file::read(b)), (Ok(a), Ok(b)) if a == b)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(seconds: u64) -> SystemTime {
        UNIX_EPOCH + Duration::from_secs(seconds)
    }

    fn kept(text: &str) -> Kept {
        let origin = Origin {
            title: "Theatre \"pit\"\nrig ä".to_owned(),
            path: Some("/rigs/pub.ron".into()),
            base: Some(Content::of(b"base")),
        };
        Kept { text: text.to_owned(), origin }
    }

    fn on_disk(bytes: &[u8], seconds: u64) -> Option<(&[u8], Stamp)> {
        Some((bytes, Stamp { content: Content::of(bytes), modified: Some(at(seconds)) }))
    }

    #[test]
    fn what_is_kept_says_where_it_belongs() {
        let kept = kept("(version: 3,\n)\n");
        let text = whole(&kept, false, at(100));
        let found = read(text.into_bytes(), at(999));
        assert_eq!(found, Found { origin: kept.origin, at: at(100), bytes: kept.text.into_bytes(), aside: false });
    }

    #[test]
    fn what_is_kept_is_a_rig_to_whoever_reads_it_as_one() {
        let text = std::str::from_utf8(file::BLANK_BYTES).unwrap();
        let whole = whole(&kept(text), false, at(100));
        assert_eq!(file::read(whole.as_bytes()).unwrap(), file::blank().unwrap());
    }

    #[test]
    fn what_an_older_program_kept_is_read_as_well() {
        let found = read(file::BLANK_BYTES.to_vec(), at(50));
        assert_eq!((found.at, &found.bytes[..]), (at(50), file::BLANK_BYTES));
        assert_eq!(found.origin, Origin { title: file::blank().unwrap().title, path: None, base: None });
    }

    #[test]
    fn a_first_line_that_is_cut_off_or_not_understood_costs_only_itself() {
        let text = whole(&kept("rig"), false, at(100));
        for cut in [0, 5, MARK.len(), MARK.len() + 4, text.len() - 5] {
            let found = read(text.as_bytes()[..cut].to_vec(), at(7));
            assert_eq!((found.at, found.bytes.len()), (at(7), cut));
        }
        let found = read(format!("{MARK}(at: 1000, later: [1, (a: 2)])\nrig").into_bytes(), at(7));
        assert_eq!((found.at, &found.bytes[..]), (at(1), &b"rig"[..]), "a later program's line");
        let found = read(format!("{MARK}()").into_bytes(), at(7));
        assert!(found.bytes.is_empty());
        read(format!("{MARK}(at: {})\n", u64::MAX).into_bytes(), at(7));
    }

    #[test]
    fn work_stands_to_its_file_as_the_disk_says() {
        let found = read(whole(&kept("mine"), false, at(100)).into_bytes(), at(100));
        assert_eq!(found.status(None), Some(LeftStatus::Unsaved), "there is no file");
        assert_eq!(found.status(on_disk(b"mine", 200)), None, "it was saved");
        assert_eq!(found.status(on_disk(b"other", 200)), Some(LeftStatus::FileIsNewer));
        assert_eq!(found.status(on_disk(b"other", 50)), Some(LeftStatus::Unsaved));
        assert_eq!(found.status(on_disk(b"base", 200)), Some(LeftStatus::Unsaved), "only touched");
        let aside = read(whole(&kept("mine"), true, at(100)).into_bytes(), at(100));
        assert_eq!(aside.status(on_disk(b"theirs", 200)), Some(LeftStatus::SetAside));
        assert_eq!(aside.status(on_disk(b"mine", 200)), None);
    }

    #[test]
    fn work_kept_right_after_the_file_was_written_is_newer_than_the_file() {
        // Written down in milliseconds, the time of keeping loses what is beyond them.
        let (written, kept_at) = (at(100) + Duration::from_micros(200), at(100) + Duration::from_micros(700));
        let found = read(whole(&kept("mine"), false, kept_at).into_bytes(), kept_at);
        let stamp = |modified| Stamp { content: Content::of(b"other"), modified: Some(modified) };
        assert_eq!(found.status(Some((b"other", stamp(written)))), Some(LeftStatus::Unsaved));
        let later = kept_at + Duration::from_millis(1);
        assert_eq!(found.status(Some((b"other", stamp(later)))), Some(LeftStatus::FileIsNewer));
    }

    #[test]
    fn the_same_rig_in_other_writing_is_saved_too() {
        let mut text = String::from_utf8(file::BLANK_BYTES.to_vec()).unwrap();
        text.push_str("\n// a word of one's own\n");
        let found = read(whole(&kept(&text), false, at(100)).into_bytes(), at(100));
        assert_eq!(found.status(on_disk(file::BLANK_BYTES, 50)), None);
    }
}
