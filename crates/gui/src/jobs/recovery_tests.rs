//! What sessions keep, in folders of their own.

use super::*;

fn session(folder: &Path) -> Recovery {
    Recovery::new(folder.join("kept"))
}

fn files(folder: &Path) -> usize {
    fs::read_dir(folder.join("kept")).map_or(0, Iterator::count)
}

/// What is found, as text.
fn texts(session: &mut Recovery) -> Vec<String> {
    session.find().into_iter().map(|raw| String::from_utf8(raw.bytes).unwrap()).collect()
}

fn kept_at(session: &Recovery, seconds: u64) {
    let kept = File::options().write(true).open(session.kept_path(&session.stem)).unwrap();
    kept.set_modified(UNIX_EPOCH + Duration::from_secs(seconds)).unwrap();
}

#[test]
fn what_a_killed_session_kept_is_found_until_it_is_forgotten() {
    let folder = tempfile::tempdir().unwrap();
    let mut killed = session(folder.path());
    killed.keep(1, "first").unwrap();
    killed.keep(2, "last").unwrap();
    let mut next = session(folder.path());
    assert_eq!(next.find(), [], "the session is alive");
    drop(killed);
    assert_eq!(texts(&mut next), ["last"]);
    assert_eq!(session(folder.path()).find(), [], "one session offers it, not two");
    drop(next);
    let mut after = session(folder.path());
    let found = after.find();
    assert_eq!(found[0].bytes, b"last");
    after.keep(1, "mine").unwrap();
    after.clear(2);
    assert!(after.kept_path(&after.held[&found[0].id].stem).exists(), "clearing is about what is one's own");
    after.forget(found[0].id);
    drop(after);
    assert_eq!(session(folder.path()).find(), []);
    assert_eq!(files(folder.path()), 0);
}

#[test]
fn a_session_that_closes_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut closed = session(folder.path());
    closed.clear(1);
    closed.keep(2, "work").unwrap();
    closed.clear(3);
    drop(closed);
    assert_eq!(files(folder.path()), 0);
    assert_eq!(session(folder.path()).find(), []);
}

#[test]
fn all_that_was_left_is_found_the_newest_first() {
    let folder = tempfile::tempdir().unwrap();
    for (seconds, text) in [(100, "older"), (300, "newest"), (200, "old")] {
        let mut killed = session(folder.path());
        killed.keep(1, text).unwrap();
        kept_at(&killed, seconds);
    }
    let mut next = session(folder.path());
    let found = next.find();
    let texts: Vec<_> = found.iter().map(|raw| raw.bytes.as_slice()).collect();
    assert_eq!(texts, [&b"newest"[..], b"old", b"older"]);
    assert_eq!(found[1].changed, UNIX_EPOCH + Duration::from_secs(200));
    next.forget(found[1].id);
    drop(next);
    assert_eq!(self::texts(&mut session(folder.path())), ["newest", "older"], "each is let go of by itself");
}

#[test]
fn half_written_files_are_neither_offered_nor_left() {
    let folder = tempfile::tempdir().unwrap();
    let mut killed = session(folder.path());
    killed.keep(1, "whole").unwrap();
    let kept = killed.kept_path(&killed.stem);
    std::mem::forget(replace::Half::written(&kept, b"ha").unwrap());
    fs::write(folder.path().join("kept").join(format!(".{}.ron.Ab12Cd", killed.stem)), "ha").unwrap();
    drop(killed);
    let mut next = session(folder.path());
    let found = next.find();
    assert_eq!(found.len(), 1);
    next.forget(found[0].id);
    assert_eq!(files(folder.path()), 0);
}

#[test]
fn an_order_that_comes_late_undoes_nothing_newer() {
    let folder = tempfile::tempdir().unwrap();
    let mut killed = session(folder.path());
    killed.keep(5, "newer").unwrap();
    killed.keep(4, "older").unwrap();
    killed.clear(4);
    drop(killed);
    assert_eq!(texts(&mut session(folder.path())), ["newer"]);
    let folder = tempfile::tempdir().unwrap();
    let mut closed = session(folder.path());
    closed.clear(7);
    closed.keep(6, "saved meanwhile").unwrap();
    drop(closed);
    assert_eq!(session(folder.path()).find(), []);
}

#[test]
fn what_is_set_aside_outlives_what_is_in_hand() {
    let folder = tempfile::tempdir().unwrap();
    let mut session_1 = session(folder.path());
    session_1.keep(1, "in hand").unwrap();
    let first = session_1.set_aside("mine").unwrap();
    let second = session_1.set_aside("mine too").unwrap();
    assert_ne!(first, second);
    session_1.clear(2);
    assert_eq!(session(folder.path()).find(), [], "its window still offers it");
    session_1.forget(first);
    drop(session_1);
    assert_eq!(texts(&mut session(folder.path())), ["mine too"]);
}

#[test]
fn a_session_that_saved_and_goes_on_is_not_taken_for_one_that_ended() {
    let folder = tempfile::tempdir().unwrap();
    let mut alive = session(folder.path());
    alive.keep(1, "work").unwrap();
    // Another session opens the lock in the very moment in which the work is saved, and looks at it after that.
    let lock = File::open(alive.lock_path(&alive.stem)).unwrap();
    alive.clear(2);
    alive.keep(3, "more work").unwrap();
    assert!(is_locked(&lock), "the lock is the same and is held");
    assert_eq!(session(folder.path()).find(), []);
}

#[test]
fn what_is_left_of_a_session_that_kept_nothing_is_swept() {
    let folder = tempfile::tempdir().unwrap();
    let mut alive = session(folder.path());
    alive.keep(1, "work").unwrap();
    alive.clear(2);
    let mut killed = session(folder.path());
    killed.keep(1, "work").unwrap();
    killed.clear(2);
    // A kill in the middle of the next keeping; the system lets go of the lock.
    std::mem::forget(replace::Half::written(&killed.kept_path(&killed.stem), b"ha").unwrap());
    drop(killed.lock.take());
    drop(killed);
    assert_eq!(files(folder.path()), 3);
    session(folder.path()).find();
    assert_eq!(files(folder.path()), 1);
    assert!(alive.lock_path(&alive.stem).exists());
}
