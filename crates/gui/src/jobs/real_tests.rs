//! The real machine, in folders of its own.

use super::*;
use crate::jobs::{Content, Replaces};
use std::fs;
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

fn host(folder: &Path) -> (RealHost, Arc<AtomicUsize>) {
    let woken = Arc::new(AtomicUsize::new(0));
    let count = Arc::clone(&woken);
    let waker = Arc::new(move || {
        count.fetch_add(1, Ordering::SeqCst);
    });
    let (settings, state) = (folder.join("config"), folder.join("state"));
    (RealHost::in_folders(waker, Some(settings), Some(state)), woken)
}

/// What came of the jobs so far.
fn events(host: RealHost) -> Vec<Event> {
    let queue = host.queue.clone();
    host.files.finish(Instant::now() + Duration::from_secs(60));
    drop(host);
    queue.drain()
}

fn kept(text: &str) -> Kept {
    Kept { text: text.to_owned(), origin: Origin::default() }
}

fn kept_of(path: &Path, text: &str) -> Kept {
    let origin = Origin { title: "Theatre pit rig".to_owned(), path: Some(path.to_path_buf()), base: None };
    Kept { text: text.to_owned(), origin }
}

fn save(host: &RealHost, path: &Path, text: &str, token: u64) {
    host.save(Save { path: path.to_path_buf(), kept: kept(text), token, replaces: Replaces::Anything });
}

/// What a session finds that starts now, and its machine.
fn found(folder: &Path) -> (Vec<LeftWork>, RealHost) {
    let (host, _) = host(folder);
    host.load_recovery();
    loop {
        match host.poll().pop() {
            Some(Event::Recovery(left)) => return (left, host),
            Some(other) => panic!("{other:?}"),
            None => std::thread::yield_now(),
        }
    }
}

fn texts(left: &[LeftWork]) -> Vec<&str> {
    left.iter().map(|left| std::str::from_utf8(&left.bytes).unwrap()).collect()
}

#[test]
fn pictures_are_written_whole_and_not_over_what_they_may_not_replace() {
    let folder = tempfile::tempdir().unwrap();
    let (host, _) = host(folder.path());
    let path = folder.path().join("tour.png");
    let write = |bytes: &[u8], token, replaces| {
        host.export(Export { path: path.clone(), bytes: bytes.to_vec(), token, replaces });
    };
    write(b"\x89one\0", 1, Replaces::Only(Vec::new()));
    write(b"two", 2, Replaces::Only(Vec::new()));
    write(b"three", 3, Replaces::Only(vec![Content::of(b"\x89one\0")]));
    let nowhere = folder.path().join("attic").join("tour.png");
    host.export(Export { path: nowhere, bytes: Vec::new(), token: 4, replaces: Replaces::Anything });
    let results: Vec<_> = events(host)
        .into_iter()
        .map(|event| match event {
            Event::Exported { token, result, .. } => (token, result),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(results[0], (1, Ok(())));
    assert_eq!(results[1], (2, Err(NotSaved::Other(Content::of(b"\x89one\0")))));
    assert_eq!(results[2], (3, Ok(())));
    assert!(matches!(&results[3], (4, Err(NotSaved::Why(why))) if why.contains("that folder isn't there")));
    assert_eq!(fs::read(&path).unwrap(), b"three");
    let there = fs::read_dir(folder.path()).unwrap().filter(|entry| entry.as_ref().unwrap().path().is_file());
    assert_eq!(there.count(), 1, "nothing half-written is left");
}

#[test]
fn saves_and_loads_are_answered_in_order() {
    let folder = tempfile::tempdir().unwrap();
    let (host, woken) = host(folder.path());
    let path = folder.path().join("tour.ron");
    host.load(path.clone(), 7);
    save(&host, &path, "one", 8);
    save(&host, &path, "two", 9);
    host.load(path.clone(), 10);
    let events = events(host);
    assert_eq!(events[0], Event::Gone(path.clone()));
    assert!(matches!(&events[1], Event::Loaded { token: 7, result: Err(why), .. } if why.contains("no such file")));
    let answered = |event: &Event| match event {
        Event::Saved { token, result: Ok(wrote), .. } => Some((*token, wrote.stamp.content)),
        _ => None,
    };
    assert_eq!(answered(&events[2]), Some((8, Content::of(b"one"))));
    assert_eq!(answered(&events[3]), Some((9, Content::of(b"two"))));
    assert!(matches!(&events[4], Event::Loaded { token: 10, result: Ok((bytes, stamp)), .. }
        if bytes == b"two" && stamp.content == Content::of(b"two") && stamp.modified.is_some()));
    assert_eq!(woken.load(Ordering::SeqCst), 5);
}

#[test]
fn settings_come_back_at_the_next_start() {
    let folder = tempfile::tempdir().unwrap();
    let (first, _) = host(folder.path());
    assert_eq!(first.load_settings(), None);
    first.amend_settings(Box::new(|_| Some("(zoom: 2.0)".to_owned())));
    drop(first);
    let (second, _) = host(folder.path());
    assert_eq!(second.load_settings().as_deref(), Some(&b"(zoom: 2.0)"[..]));
}

#[test]
fn a_drive_that_is_not_there_says_nothing_about_its_files() {
    let folder = tempfile::tempdir().unwrap();
    let (host, _) = host(folder.path());
    host.load(folder.path().join("gone.ron"), 1);
    host.load(folder.path().join("unplugged drive").join("there.ron"), 2);
    let events = events(host);
    let gone: Vec<&Event> = events.iter().filter(|event| matches!(event, Event::Gone(_))).collect();
    assert_eq!(gone, [&Event::Gone(folder.path().join("gone.ron"))]);
}

#[test]
fn work_that_panics_is_told_of_and_the_next_is_done() {
    let folder = tempfile::tempdir().unwrap();
    let (host, _) = host(folder.path());
    host.work(Lane::Answers, Box::new(|| std::panic::resume_unwind(Box::new("on purpose"))));
    let (tell, told) = std::sync::mpsc::channel();
    let me = std::thread::current().id();
    host.work(Lane::Answers, Box::new(move || tell.send(std::thread::current().id()).unwrap()));
    assert_ne!(told.recv_timeout(Duration::from_secs(60)).unwrap(), me);
    assert_eq!(host.poll(), [Event::WorkDied(work_died(Died::HalfWay))]);
}

/// The window is gone when the host goes; a person waits for the prompt.
#[test]
fn the_end_waits_for_what_is_written_and_not_for_what_is_worked_out() {
    let folder = tempfile::tempdir().unwrap();
    let (host, _) = host(folder.path());
    let (go, wait) = std::sync::mpsc::channel::<()>();
    let ended = Arc::new(AtomicUsize::new(0));
    let end = Arc::clone(&ended);
    let work = move || {
        // It would have its end before anybody's patience has.
        let _ = wait.recv_timeout(PATIENCE - Duration::from_secs(1));
        end.fetch_add(1, Ordering::SeqCst);
    };
    host.work(Lane::Answers, Box::new(work));
    let path = folder.path().join("tour.ron");
    save(&host, &path, "saved", 1);
    drop(host);
    assert_eq!(ended.load(Ordering::SeqCst), 0);
    assert_eq!(std::fs::read_to_string(path).unwrap(), "saved");
    drop(go);
}

#[test]
fn kept_work_comes_back_unless_it_was_cleared() {
    let folder = tempfile::tempdir().unwrap();
    let (first, _) = host(folder.path());
    first.keep_recovery(kept("work"));
    assert_eq!(events(first), []);
    let (left, second) = found(folder.path());
    assert_eq!(texts(&left), ["work"]);
    second.keep_recovery(kept("more"));
    second.forget_left(left[0].id);
    second.clear_recovery();
    assert_eq!(events(second), []);
    assert_eq!(found(folder.path()).0, []);
}

#[test]
fn kept_work_says_of_which_rig_and_file_it_is_and_when_it_was_kept() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pub.ron");
    let (killed, _) = host(folder.path());
    killed.keep_recovery(kept_of(&path, "work"));
    drop(killed);
    let (left, _) = found(folder.path());
    assert_eq!(left[0].origin, kept_of(&path, "").origin);
    assert_eq!(left[0].status, LeftStatus::Unsaved);
    // Such as "Tuesday 28 Nov 14:05".
    let parts: Vec<_> = left[0].when.split(' ').collect();
    assert!(parts.len() == 4 && parts[0].ends_with("day") && parts[3].contains(':'), "{parts:?}");
}

#[test]
fn all_sessions_that_crashed_are_offered_and_each_is_answered_by_itself() {
    let folder = tempfile::tempdir().unwrap();
    for text in ["one", "two", "three"] {
        host(folder.path()).0.keep_recovery(kept(text));
    }
    let (left, next) = found(folder.path());
    assert_eq!(left.len(), 3);
    let two = left.iter().find(|left| left.bytes == b"two").unwrap();
    next.forget_left(two.id);
    drop(next);
    let (left, _) = found(folder.path());
    let mut texts = texts(&left);
    texts.sort();
    assert_eq!(texts, ["one", "three"]);
}

#[test]
fn what_an_older_program_kept_is_offered_too() {
    let folder = tempfile::tempdir().unwrap();
    let kept = folder.path().join("state").join("recovery");
    fs::create_dir_all(&kept).unwrap();
    fs::write(kept.join("12-34.ron"), rigwright_core::file::BLANK_BYTES).unwrap();
    fs::write(kept.join("12-34.lock"), "").unwrap();
    let (left, _) = found(folder.path());
    assert_eq!(left[0].bytes, rigwright_core::file::BLANK_BYTES);
    assert_eq!((left[0].origin.title.as_str(), &left[0].origin.path), ("Untitled rig", &None));
}

#[test]
fn windows_that_are_open_keep_their_work_to_themselves() {
    let folder = tempfile::tempdir().unwrap();
    let (one, _) = host(folder.path());
    let (two, _) = host(folder.path());
    one.keep_recovery(kept("one"));
    two.keep_recovery(kept("two"));
    two.clear_recovery();
    two.keep_recovery(kept("two again"));
    // What was asked of the two is done when their next answers come.
    for host in [&one, &two] {
        host.set_aside(kept("aside"));
        while host.poll().is_empty() {
            std::thread::yield_now();
        }
    }
    assert_eq!(found(folder.path()).0, []);
}

#[test]
fn a_kill_between_the_save_and_its_answer_leaves_nothing_to_offer() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pub.ron");
    let (killed, _) = host(folder.path());
    killed.keep_recovery(kept_of(&path, "an older state"));
    killed.save(Save { path: path.clone(), kept: kept_of(&path, "saved"), token: 1, replaces: Replaces::Anything });
    // It never gets to letting go of what it kept.
    drop(killed);
    assert_eq!(fs::read(&path).unwrap(), b"saved");
    let (left, after) = found(folder.path());
    assert_eq!(left, []);
    drop(after);
    assert_eq!(fs::read_dir(folder.path().join("state").join("recovery")).unwrap().count(), 0, "nor to keep");
}

#[test]
fn a_save_that_is_late_does_not_take_the_place_of_newer_work() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pub.ron");
    let (killed, _) = host(folder.path());
    let (go, wait) = std::sync::mpsc::channel::<()>();
    killed.files.run(move || wait.recv().unwrap(), |_| {});
    save(&killed, &path, "sent", 1);
    killed.keep_recovery(kept_of(&path, "newer"));
    killed.set_aside(kept("the newer work is kept by now"));
    while killed.poll().is_empty() {
        std::thread::yield_now();
    }
    go.send(()).unwrap();
    drop(killed);
    assert_eq!(fs::read(&path).unwrap(), b"sent");
    assert!(texts(&found(folder.path()).0).contains(&"newer"));
}

#[test]
fn a_save_that_fails_leaves_its_work_to_offer() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("gone").join("pub.ron");
    let (killed, _) = host(folder.path());
    save(&killed, &path, "work", 1);
    drop(killed);
    assert_eq!(texts(&found(folder.path()).0), ["work"]);
}

#[test]
fn work_that_is_older_than_its_file_is_not_called_unsaved() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pub.ron");
    let (killed, _) = host(folder.path());
    killed.keep_recovery(kept_of(&path, "mine"));
    drop(killed);
    fs::write(&path, "theirs").unwrap();
    let file = fs::File::options().write(true).open(&path).unwrap();
    file.set_modified(SystemTime::now() + std::time::Duration::from_secs(10)).unwrap();
    assert_eq!(found(folder.path()).0[0].status, LeftStatus::FileIsNewer);
    file.set_modified(SystemTime::UNIX_EPOCH).unwrap();
    assert_eq!(found(folder.path()).0[0].status, LeftStatus::Unsaved);
}

#[test]
fn what_was_set_aside_is_offered_by_the_next_session_too() {
    let folder = tempfile::tempdir().unwrap();
    let (first, _) = host(folder.path());
    first.set_aside(kept("mine"));
    first.clear_recovery();
    let events = events(first);
    assert!(matches!(&events[..], [Event::SetAside(Ok(left))] if left.bytes == b"mine"));
    let (left, second) = found(folder.path());
    assert_eq!((left[0].bytes.as_slice(), left[0].status), (&b"mine"[..], LeftStatus::SetAside));
    second.take_over(left[0].id, kept("mine"));
    drop(second);
    assert_eq!(found(folder.path()).0[0].status, LeftStatus::Unsaved, "it is in hand again, and once");
    assert_eq!(found(folder.path()).0.len(), 1);
}

#[test]
fn what_cannot_be_kept_again_is_still_offered_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let (first, _) = host(folder.path());
    first.keep_recovery(kept("work"));
    drop(first);
    let (left, second) = found(folder.path());
    // A folder stands where the session's own file would be.
    let own = locked(&second.keeper).recovery.as_ref().unwrap().kept_here();
    fs::create_dir(&own).unwrap();
    second.take_over(left[0].id, kept("work"));
    drop(second);
    fs::remove_dir(&own).unwrap();
    assert_eq!(texts(&found(folder.path()).0), ["work"]);
}

#[test]
fn where_nothing_can_be_kept_it_is_said_once() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("state"), "in the way").unwrap();
    let (host, _) = host(folder.path());
    host.keep_recovery(kept("work"));
    host.keep_recovery(kept("more work"));
    let events = events(host);
    assert_eq!(events.len(), 1);
    assert!(matches!(&events[0], Event::NotKept(why) if why.starts_with("Unsaved work can't be kept safe")));
}

#[test]
fn clocks_go() {
    let folder = tempfile::tempdir().unwrap();
    let (host, _) = host(folder.path());
    let before = host.now_seconds();
    assert!(host.now_seconds() >= before && before >= 0.0);
    let clock = host.clock_text();
    assert!(clock.len() == 5 && clock.as_bytes()[2] == b':', "{clock}");
}
