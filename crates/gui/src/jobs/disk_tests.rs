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
    File::create(&large).unwrap().set_len(MAX_BYTES as u64 + 1).unwrap();
    assert!(read(&large).unwrap_err().ends_with("it has more than 16 MB, and no rig has that."));
    File::create(&large).unwrap().set_len(MAX_BYTES as u64).unwrap();
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
    assert_eq!(write(&path, "new").unwrap_err(), "“tour.ron” can't be saved: the file is write-protected.");
    assert_eq!(read(&path).unwrap(), b"old");
    let nowhere = folder.path().join("gone").join("tour.ron");
    assert_eq!(write(&nowhere, "new").unwrap_err(), "“tour.ron” can't be saved: its folder isn't there.");
    assert!(write(folder.path(), "new").unwrap_err().ends_with("a folder has that name."));
    assert!(write(&path.join("tour.ron"), "new").unwrap_err().contains("a file and not a folder"));
}

#[test]
fn errors_are_told_in_plain_words() {
    let told = |kind: ErrorKind| writing(&io::Error::from(kind));
    assert_eq!(told(ErrorKind::PermissionDenied), "its folder can't be written to");
    assert_eq!(told(ErrorKind::StorageFull), "the disk is full");
    assert_eq!(told(ErrorKind::ReadOnlyFilesystem), "the disk can only be read from");
    assert_eq!(told(ErrorKind::TimedOut), "the drive that it is on doesn't answer");
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
        let may_anyway = File::create(folder.path().join("probe")).is_ok();
        let saved = write(&path, "new");
        set_mode(folder.path(), 0o700);
        if !may_anyway {
            assert_eq!(saved.unwrap_err(), "“tour.ron” can't be saved: its folder can't be written to.");
            assert_eq!(read(&path).unwrap(), b"old");
        }
    }

    #[test]
    fn a_pipe_is_refused_and_not_waited_for() {
        assert!(read(Path::new("/dev/null")).unwrap_err().ends_with("it isn't an ordinary file."));
        assert!(write(Path::new("/dev/null"), "new").unwrap_err().ends_with("it isn't an ordinary file."));
    }
}
