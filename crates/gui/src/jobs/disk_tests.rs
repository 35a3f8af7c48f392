//! The disk, on a real one.

use super::*;

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

#[test]
fn what_is_written_is_read() {
    let folder = folder();
    let path = folder.path().join("tour.ron");
    write(&path, "one").unwrap();
    write(&path, "two").unwrap();
    assert_eq!(read(&path).unwrap(), b"two");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "nothing is left beside it");
}

#[test]
fn what_cannot_be_a_rig_is_refused_unread() {
    let folder = folder();
    let missing = read(&folder.path().join("tour.ron")).unwrap_err();
    assert_eq!(missing, "“tour.ron” can't be opened: there is no such file.");
    assert!(read(folder.path()).unwrap_err().ends_with("it is a folder."));
    let large = folder.path().join("large.ron");
    fs::File::create(&large).unwrap().set_len(MAX_BYTES as u64 + 1).unwrap();
    assert!(read(&large).unwrap_err().ends_with("it has more than 16 MB, and no rig has that."));
    fs::File::create(&large).unwrap().set_len(MAX_BYTES as u64).unwrap();
    assert_eq!(read(&large).unwrap().len(), MAX_BYTES);
    let through_a_file = large.join("tour.ron");
    assert!(read(&through_a_file).unwrap_err().ends_with("a part of its path is a file and not a folder."));
}

#[test]
fn a_save_that_fails_says_why_and_keeps_the_old_file() {
    let folder = folder();
    let path = folder.path().join("tour.ron");
    write(&path, "old").unwrap();
    let mut permissions = fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).unwrap();
    assert_eq!(
        write(&path, "new").unwrap_err(),
        format!("“tour.ron” can't be saved in “{}”: the file is write-protected.", folder.path().display())
    );
    assert_eq!(read(&path).unwrap(), b"old");
    let nowhere = folder.path().join("gone").join("tour.ron");
    let gone = folder.path().join("gone").display().to_string();
    assert_eq!(
        write(&nowhere, "new").unwrap_err(),
        format!("“tour.ron” can't be saved in “{gone}”: that folder isn't there.")
    );
    assert!(write(folder.path(), "new").unwrap_err().ends_with("a folder has that name."));
    assert!(write(&path.join("tour.ron"), "new").unwrap_err().contains("a file and not a folder"));
}

#[test]
fn errors_are_told_in_plain_words() {
    let told = |kind: ErrorKind| writing(&io::Error::from(kind), Path::new("tour.ron"));
    assert_eq!(told(ErrorKind::PermissionDenied), "that folder can't be written to");
    assert_eq!(told(ErrorKind::StorageFull), "the disk is full");
    assert_eq!(told(ErrorKind::ReadOnlyFilesystem), "the disk can only be read from");
    assert_eq!(told(ErrorKind::TimedOut), "the drive that it is on doesn't answer");
}

/// What may be replaced: files with these contents.
fn only(contents: &[&str]) -> Replaces {
    Replaces::Only(contents.iter().map(|text| Content::of(text.as_bytes())).collect())
}

#[test]
fn a_file_that_somebody_else_changed_is_not_replaced() {
    let folder = folder();
    let path = folder.path().join("tour.ron");
    let first = save(&path, "one", &only(&[])).unwrap();
    assert_eq!((first.anew, first.stamp.content), (false, Content::of(b"one")));
    assert_eq!(first.stamp, open(&path).unwrap().1);
    fs::write(&path, "theirs").unwrap();
    assert_eq!(save(&path, "two", &only(&["one"])), Err(NotSaved::Other(Content::of(b"theirs"))));
    assert_eq!(read(&path).unwrap(), b"theirs");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "nothing is left beside it");
    save(&path, "two", &only(&["one", "theirs"])).unwrap();
    assert_eq!(read(&path).unwrap(), b"two");
    assert!(save(&path, "three", &only(&[])).is_err(), "a name that is taken");
    assert!(save(&path, "three", &Replaces::Anything).is_ok());
}

#[test]
fn a_file_that_is_gone_is_made_anew_and_that_is_said() {
    let folder = folder();
    let path = folder.path().join("tour.ron");
    assert!(save(&path, "two", &only(&["one"])).unwrap().anew);
    assert_eq!(read(&path).unwrap(), b"two");
}

#[test]
fn of_two_windows_that_save_at_once_one_is_told() {
    let folder = folder();
    let path = folder.path().join("tour.ron");
    for round in 0..20 {
        fs::write(&path, "base").unwrap();
        let texts = [format!("mine {round}"), format!("theirs {round}")];
        let saving = |text: &String| {
            let (path, text) = (path.clone(), text.clone());
            std::thread::spawn(move || save(&path, &text, &only(&["base"])))
        };
        let saves: Vec<_> = texts.iter().map(saving).collect();
        let results: Vec<_> = saves.into_iter().map(|save| save.join().unwrap()).collect();
        assert_eq!(results.iter().filter(|result| result.is_ok()).count(), 1, "round {round}: {results:?}");
        let won = results.iter().position(Result::is_ok).unwrap();
        assert_eq!(read(&path).unwrap(), texts[won].as_bytes());
    }
}

#[test]
fn what_a_kill_left_beside_a_file_is_swept_when_it_is_saved_or_opened() {
    let folder = folder();
    let path = folder.path().join("tour.ron");
    let count = || fs::read_dir(folder.path()).unwrap().count();
    write(&path, "one").unwrap();
    std::mem::forget(Half::written(&path, b"half").unwrap());
    assert_eq!(count(), 2);
    write(&path, "two").unwrap();
    assert_eq!(count(), 1);
    std::mem::forget(Half::written(&path, b"half").unwrap());
    sweep_beside(&path);
    assert_eq!(count(), 1);
    assert_eq!(read(&path).unwrap(), b"two");
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_takes_no_files_is_not_said_to_be_missing() {
    let refused = write(Path::new("/proc/x.ron"), "new").unwrap_err();
    assert_eq!(refused, "“x.ron” can't be saved in “/proc”: no file can be made in that folder.");
}

#[cfg(unix)]
mod on_unix {
    use super::*;
    use std::os::unix::fs::{PermissionsExt, symlink};

    fn set_mode(path: &Path, mode: u32) {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    }

    #[test]
    fn a_link_stays_a_link() {
        let folder = folder();
        let (real, link) = (folder.path().join("real.ron"), folder.path().join("link.ron"));
        write(&real, "old").unwrap();
        symlink("real.ron", &link).unwrap();
        write(&link, "new").unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(read(&real).unwrap(), b"new");
        fs::remove_file(&real).unwrap();
        write(&link, "newer").unwrap();
        assert_eq!(read(&real).unwrap(), b"newer", "also where it led to nothing");
    }

    #[test]
    fn links_in_a_circle_are_refused() {
        let folder = folder();
        let (a, b) = (folder.path().join("a.ron"), folder.path().join("b.ron"));
        symlink(&a, &b).unwrap();
        symlink(&b, &a).unwrap();
        assert!(write(&a, "new").is_err());
        assert!(read(&a).is_err());
    }

    #[test]
    fn who_may_read_it_stays_the_same() {
        let folder = folder();
        let path = folder.path().join("tour.ron");
        write(&path, "old").unwrap();
        for mode in [0o600, 0o664] {
            set_mode(&path, mode);
            write(&path, "new").unwrap();
            assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, mode);
        }
    }

    #[test]
    fn a_folder_that_cannot_be_written_to_is_called_so() {
        let folder = folder();
        let path = folder.path().join("tour.ron");
        write(&path, "old").unwrap();
        set_mode(folder.path(), 0o500);
        // An administrator may write anyway, and then there is nothing to see here.
        let may_anyway = fs::File::create(folder.path().join("probe")).is_ok();
        let saved = write(&path, "new");
        set_mode(folder.path(), 0o700);
        if !may_anyway {
            assert!(saved.unwrap_err().ends_with("that folder can't be written to."));
            assert_eq!(read(&path).unwrap(), b"old");
        }
    }

    #[test]
    fn a_pipe_is_refused_and_not_waited_for() {
        assert!(read(Path::new("/dev/null")).unwrap_err().ends_with("it isn't an ordinary file."));
        assert!(write(Path::new("/dev/null"), "new").unwrap_err().ends_with("it isn't an ordinary file."));
    }
}
