//! Files of the program's own that several windows share, the settings and the own parts:
//! each window reads them anew before it writes, and one that can't be understood is put
//! aside and not written over.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::{Content, NotSaved, Replaces, Unread, disk};

/// Of which file there is talk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shared {
    /// What is remembered about the player.
    Settings,
    /// The parts of the player's own.
    OwnParts,
}

impl Shared {
    /// Its name on the disk.
    pub fn file_name(self) -> &'static str {
        match self {
            Self::Settings => "settings.ron",
            Self::OwnParts => "own-parts.ron",
        }
    }

    /// Why a change doesn't outlast the window.
    pub fn not_kept(self, why: &str) -> String {
        match self {
            Self::Settings => format!("Settings aren't kept: {why}"),
            Self::OwnParts => format!("Your own parts aren't kept: {why}"),
        }
    }

    /// What it was put aside for, and as what.
    pub fn put_aside(self, why: &str, aside: &str) -> String {
        match self {
            Self::Settings => format!(
                "The settings couldn't be understood and are as at the first start; the old ones are kept beside \
                 them as “{aside}”."
            ),
            Self::OwnParts => format!(
                "The file of your own parts can't be read ({why}). It is kept as “{aside}”, and a new one is begun."
            ),
        }
    }
}

/// What became of something that was to be kept.
#[derive(Debug, PartialEq, Eq)]
pub struct Kept<T> {
    /// What the file holds now, if that is known.
    pub held: Option<T>,
    /// A sentence for the person, if there is something to say.
    pub say: Option<String>,
}

/// What a file is to hold: a text, or what it holds already; and that as it is understood.
pub type Amended<T> = Result<(Option<String>, T), Unread>;

/// Other windows may write between a look and a write; that many times in a row they don't.
const MOST_TRIES: usize = 100;

/// Changes what the file holds, and nothing else of it.
pub fn amend<T>(path: &Path, file: Shared, amend: &dyn Fn(&[u8]) -> Amended<T>) -> Kept<T> {
    let not_kept = |why: &str, said: Option<String>| Kept { held: None, say: said.or(Some(file.not_kept(why))) };
    let mut said = None;
    for _ in 0..MOST_TRIES {
        let held = match fs::metadata(path) {
            Err(error) if error.kind() == ErrorKind::NotFound => None,
            _ => match disk::read(path) {
                Ok(held) => Some(held),
                // What can't be read isn't known to be broken: it stays.
                Err(why) => return not_kept(&why, said),
            },
        };
        let (text, understood) = match amend(held.as_deref().unwrap_or_default()) {
            Ok((Some(text), understood)) => (text, understood),
            Ok((None, understood)) => return Kept { held: Some(understood), say: said },
            Err(Unread::Leave(why)) => return not_kept(&why, said),
            Err(Unread::Broken(why)) => match put_aside(path) {
                Ok(aside) => {
                    said = Some(file.put_aside(&why, &disk::name_of(&aside)));
                    continue;
                }
                Err(error) => {
                    let (name, why) = (disk::name_of(path), disk::either_way(&error));
                    return not_kept(&format!("“{name}” can't be understood, nor be put aside ({why})."), said);
                }
            },
        };
        if let Some(folder) = path.parent() {
            // Where this fails, writing says why.
            let _ = fs::create_dir_all(folder);
        }
        // Only over what was read: what another window wrote meanwhile is read first.
        let replaces = Replaces::Only(held.iter().map(|held| Content::of(held)).collect());
        match disk::save(path, text, &replaces) {
            Ok(_) => return Kept { held: Some(understood), say: said },
            Err(NotSaved::Other(_)) => {}
            Err(NotSaved::Why(why)) => return not_kept(&why, said),
        }
    }
    not_kept("other windows keep on changing them.", said)
}

/// Gives the file another name, which nothing has.
fn put_aside(path: &Path) -> std::io::Result<PathBuf> {
    let stem = path.file_stem().map_or_else(|| "file".into(), |stem| stem.to_string_lossy());
    let named = |number: u32| match number {
        1 => path.with_file_name(format!("{stem}.broken.ron")),
        number => path.with_file_name(format!("{stem}.broken {number}.ron")),
    };
    let aside = (1..1000).map(named).find(|path| fs::symlink_metadata(path).is_err());
    let aside = aside.ok_or_else(|| std::io::Error::from(ErrorKind::AlreadyExists))?;
    fs::rename(path, &aside)?;
    Ok(aside)
}

#[cfg(test)]
mod tests {
    use std::sync::{Arc, Barrier};

    use super::*;

    /// Words in a row; a question mark can't be understood, and an exclamation mark is of another time.
    fn and(word: &str) -> impl Fn(&[u8]) -> Amended<String> {
        move |held| {
            let held = std::str::from_utf8(held).ok().filter(|held| !held.contains('?'));
            let held = held.ok_or_else(|| Unread::Broken("a question mark".to_owned()))?;
            if held.contains('!') {
                return Err(Unread::Leave("it is of another time.".to_owned()));
            }
            let text = format!("{held} {word}").trim().to_owned();
            Ok((Some(text.clone()), text))
        }
    }

    fn settings(path: &Path, word: &str) -> Kept<String> {
        amend(path, Shared::Settings, &and(word))
    }

    fn kept(text: &str) -> Kept<String> {
        Kept { held: Some(text.to_owned()), say: None }
    }

    #[test]
    fn what_another_window_wrote_meanwhile_stays() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("new folder").join("settings.ron");
        assert_eq!(settings(&path, "one"), kept("one"));
        fs::write(&path, "one other").unwrap();
        assert_eq!(settings(&path, "two"), kept("one other two"));
        assert_eq!(fs::read_to_string(&path).unwrap(), "one other two");
    }

    #[test]
    fn windows_that_add_at_the_same_time_all_do() {
        let folder = tempfile::tempdir().unwrap();
        let path = Arc::new(folder.path().join("own-parts.ron"));
        let (windows, words) = (6, 8);
        let barrier = Arc::new(Barrier::new(windows));
        let window = |number: usize| {
            let (path, barrier) = (Arc::clone(&path), Arc::clone(&barrier));
            std::thread::spawn(move || {
                barrier.wait();
                for word in 0..words {
                    let kept = amend(&path, Shared::OwnParts, &and(&format!("{number}-{word}")));
                    assert_eq!(kept.say, None);
                    assert!(kept.held.is_some_and(|held| held.contains(&format!("{number}-{word}"))));
                }
            })
        };
        let running: Vec<_> = (0..windows).map(window).collect();
        running.into_iter().for_each(|window| window.join().unwrap());
        let held = fs::read_to_string(&*path).unwrap();
        let mut found: Vec<&str> = held.split(' ').collect();
        found.sort_unstable();
        let mut wanted: Vec<String> =
            (0..windows).flat_map(|number| (0..words).map(move |word| format!("{number}-{word}"))).collect();
        wanted.sort_unstable();
        assert_eq!(found, wanted);
    }

    #[test]
    fn a_look_writes_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("own-parts.ron");
        let look = |held: &[u8]| Ok((None, held.len()));
        assert_eq!(amend(&path, Shared::OwnParts, &look), Kept { held: Some(0), say: None });
        assert!(!path.exists());
        fs::write(&path, "three").unwrap();
        assert_eq!(amend(&path, Shared::OwnParts, &look).held, Some(5));
    }

    #[test]
    fn what_cannot_be_understood_is_put_aside_and_said_once() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("settings.ron");
        for (broken, aside) in [("what?", "settings.broken.ron"), ("again?", "settings.broken 2.ron")] {
            fs::write(&path, broken).unwrap();
            let first = settings(&path, "new");
            assert_eq!(first.held.as_deref(), Some("new"));
            assert!(first.say.is_some_and(|say| say.contains(&format!("“{aside}”"))));
            assert_eq!(fs::read_to_string(folder.path().join(aside)).unwrap(), broken);
            assert_eq!(settings(&path, "more"), kept("new more"));
        }
        let path = folder.path().join("own-parts.ron");
        fs::write(&path, "what?").unwrap();
        let say = amend(&path, Shared::OwnParts, &and("new")).say.unwrap();
        assert_eq!(
            say,
            "The file of your own parts can't be read (a question mark). It is kept as “own-parts.broken.ron”, and a \
             new one is begun."
        );
    }

    #[test]
    fn what_is_of_another_time_stays() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("own-parts.ron");
        fs::write(&path, "later!").unwrap();
        let kept = amend(&path, Shared::OwnParts, &and("new"));
        assert_eq!(kept.held, None);
        assert_eq!(kept.say.as_deref(), Some("Your own parts aren't kept: it is of another time."));
        assert_eq!(fs::read_to_string(&path).unwrap(), "later!");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn what_cannot_be_read_is_not_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("settings.ron");
        fs::create_dir(&path).unwrap();
        let kept = settings(&path, "new");
        assert_eq!(kept.held, None);
        assert_eq!(kept.say.as_deref(), Some("Settings aren't kept: “settings.ron” can't be opened: it is a folder."));
        assert!(path.is_dir());
    }
}
