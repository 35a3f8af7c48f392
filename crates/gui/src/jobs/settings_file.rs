//! The file of the settings, which several windows share: each reads it anew
//! before it writes, and one that can't be understood is put aside and not
//! written over.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::{Amend, disk};

/// What became of settings that were to be kept.
#[derive(Debug, PartialEq, Eq)]
pub struct Kept {
    /// What the file holds now, if it was written.
    pub text: Option<String>,
    /// A sentence for the person, if there is something to say.
    pub say: Option<String>,
}

/// Changes what the file holds, and nothing else of it.
pub fn amend(path: &Path, amend: &Amend) -> Kept {
    let not_kept = |why: &str| Kept { text: None, say: Some(format!("Settings aren't kept: {why}")) };
    let held = match fs::metadata(path) {
        Err(error) if error.kind() == ErrorKind::NotFound => Vec::new(),
        _ => match disk::read(path) {
            Ok(held) => held,
            // What can't be read isn't known to be broken: it stays.
            Err(why) => return not_kept(&why),
        },
    };
    let (text, say) = match amend(&held) {
        Some(text) => (Some(text), None),
        None => match put_aside(path) {
            Ok(aside) => {
                let aside = disk::name_of(&aside);
                let say = format!(
                    "The settings couldn't be understood and are as at the first start; the old ones are kept \
                     beside them as “{aside}”."
                );
                (amend(&[]), Some(say))
            }
            Err(error) => {
                let why = disk::either_way(&error);
                return not_kept(&format!("“{}” can't be understood, nor be put aside ({why}).", disk::name_of(path)));
            }
        },
    };
    let Some(text) = text else { return Kept { text, say } };
    if let Some(folder) = path.parent() {
        // Where this fails, writing says why.
        let _ = fs::create_dir_all(folder);
    }
    match disk::write(path, &text) {
        Ok(()) => Kept { text: Some(text), say },
        Err(why) => Kept { say: say.or(not_kept(&why).say), text: None },
    }
}

/// Gives the file another name, which nothing has.
fn put_aside(path: &Path) -> std::io::Result<PathBuf> {
    let stem = path.file_stem().map_or_else(|| "settings".into(), |stem| stem.to_string_lossy());
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
    use super::*;

    /// Words in a row; a question mark can't be understood.
    fn and(word: &'static str) -> Amend {
        Box::new(move |held| {
            let held = std::str::from_utf8(held).ok().filter(|held| !held.contains('?'))?;
            Some(format!("{held} {word}").trim().to_owned())
        })
    }

    #[test]
    fn what_another_window_wrote_meanwhile_stays() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("new folder").join("settings.ron");
        assert_eq!(amend(&path, &and("one")), Kept { text: Some("one".to_owned()), say: None });
        fs::write(&path, "one other").unwrap();
        assert_eq!(amend(&path, &and("two")).text.as_deref(), Some("one other two"));
        assert_eq!(fs::read_to_string(&path).unwrap(), "one other two");
    }

    #[test]
    fn what_cannot_be_understood_is_put_aside_and_said_once() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("settings.ron");
        for (broken, aside) in [("what?", "settings.broken.ron"), ("again?", "settings.broken 2.ron")] {
            fs::write(&path, broken).unwrap();
            let kept = amend(&path, &and("new"));
            assert_eq!(kept.text.as_deref(), Some("new"));
            assert!(kept.say.is_some_and(|say| say.contains(&format!("“{aside}”"))));
            assert_eq!(fs::read_to_string(folder.path().join(aside)).unwrap(), broken);
            assert_eq!(amend(&path, &and("more")), Kept { text: Some("new more".to_owned()), say: None });
        }
    }

    #[test]
    fn what_cannot_be_read_is_not_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("settings.ron");
        fs::create_dir(&path).unwrap();
        let kept = amend(&path, &and("new"));
        assert_eq!(kept.text, None);
        assert_eq!(kept.say.as_deref(), Some("Settings aren't kept: “settings.ron” can't be opened: it is a folder."));
        assert!(path.is_dir());
    }
}
