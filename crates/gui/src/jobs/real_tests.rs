//! The real machine, in folders of its own.

use super::*;
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

#[test]
fn saves_and_loads_are_answered_in_order() {
    let folder = tempfile::tempdir().unwrap();
    let (host, woken) = host(folder.path());
    let path = folder.path().join("tour.ron");
    host.load(path.clone());
    host.save(path.clone(), "one".to_owned(), 1);
    host.save(path.clone(), "two".to_owned(), 2);
    host.load(path.clone());
    let events = events(host);
    assert_eq!(events[0], Event::Gone(path.clone()));
    assert!(matches!(&events[1], Event::Loaded { result: Err(why), .. } if why.contains("no such file")));
    assert_eq!(events[2], Event::Saved { path: path.clone(), token: 1, result: Ok(()) });
    assert_eq!(events[3], Event::Saved { path: path.clone(), token: 2, result: Ok(()) });
    assert_eq!(events[4], Event::Loaded { path, result: Ok(b"two".to_vec()) });
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
    host.load(folder.path().join("gone.ron"));
    host.load(folder.path().join("unplugged drive").join("there.ron"));
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
    host.save(path.clone(), "saved".to_owned(), 1);
    drop(host);
    assert_eq!(ended.load(Ordering::SeqCst), 0);
    assert_eq!(std::fs::read_to_string(path).unwrap(), "saved");
    drop(go);
}

#[test]
fn kept_work_comes_back_unless_it_was_cleared() {
    let folder = tempfile::tempdir().unwrap();
    let (first, _) = host(folder.path());
    first.keep_recovery("work".to_owned());
    assert_eq!(events(first), []);
    let (second, _) = host(folder.path());
    second.load_recovery();
    second.keep_recovery("more".to_owned());
    second.forget_recovered();
    second.clear_recovery();
    assert_eq!(events(second), [Event::Recovery(Some(b"work".to_vec()))]);
    let (third, _) = host(folder.path());
    third.load_recovery();
    assert_eq!(events(third), [Event::Recovery(None)]);
}

#[test]
fn where_nothing_can_be_kept_it_is_said_once() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("state"), "in the way").unwrap();
    let (host, _) = host(folder.path());
    host.keep_recovery("work".to_owned());
    host.keep_recovery("more work".to_owned());
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
