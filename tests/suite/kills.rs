//! Sessions that are really killed, at any moment: the file is whole, what it
//! holds isn't offered as unsaved work, and nothing half-written stays.

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::Arc;
use std::time::Duration;
use std::{env, fs, thread};

use rigwright::jobs::{Event, Host, Kept, LeftStatus, Origin, RealHost, Replaces, Save};

/// Where the session to be killed works; without it there is none.
const FOLDER: &str = "RIGWRIGHT_KILLED_IN";

/// How many are killed.
const KILLS: u64 = 24;

fn host(folder: &Path) -> RealHost {
    RealHost::in_folders(Arc::new(|| {}), None, Some(folder.join("state")))
}

/// A state of the work: its number, and enough more to take a while to write.
fn text(number: u64) -> String {
    format!("{number}\n{}", "work\n".repeat(20_000))
}

fn number(bytes: &[u8]) -> u64 {
    let whole = std::str::from_utf8(bytes).unwrap();
    let number = whole.lines().next().unwrap().parse().unwrap();
    assert!(whole == text(number), "a half of {number}");
    number
}

fn wait_for(host: &RealHost, wanted: impl Fn(&Event) -> bool) -> Event {
    loop {
        match host.poll().into_iter().find(&wanted) {
            Some(event) => return event,
            None => thread::yield_now(),
        }
    }
}

#[test]
#[ignore = "a session for another test to kill"]
fn session_to_be_killed() {
    let Some(folder) = env::var_os(FOLDER) else {
        return;
    };
    let folder = Path::new(&folder);
    let path = folder.join("pub.ron");
    let host = host(folder);
    let from = fs::read(&path).map_or(0, |bytes| number(&bytes));
    for token in from.. {
        let kept = |number: u64| {
            let origin = Origin { title: "pub".to_owned(), path: Some(path.clone()), base: None };
            Kept { text: text(number), origin }
        };
        // Kept, then changed again and saved, as a person does within two seconds.
        host.keep_recovery(kept(2 * token + 1));
        let save = Save { path: path.clone(), kept: kept(2 * token + 2), token, replaces: Replaces::Anything };
        host.save(save);
        wait_for(&host, |event| matches!(event, Event::Saved { token: answered, .. } if *answered == token));
        host.clear_recovery();
    }
}

/// The session, once it has saved something of its own.
fn begun(folder: &Path) -> Child {
    let path = folder.join("pub.ron");
    let before = fs::read(&path).ok();
    let mut command = Command::new(env::current_exe().unwrap());
    command.args(["--exact", "kills::session_to_be_killed", "--ignored"]).env(FOLDER, folder);
    let mut child = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
    while fs::read(&path).ok() == before {
        assert!(child.try_wait().unwrap().is_none(), "it ended by itself");
        thread::sleep(Duration::from_millis(1));
    }
    child
}

#[test]
fn a_kill_at_any_moment_leaves_a_whole_file_and_offers_only_what_is_newer() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pub.ron");
    for round in 0..KILLS {
        let mut child = begun(folder.path());
        // Somewhere in the round of keeping, writing, replacing and clearing.
        thread::sleep(Duration::from_micros(round * 997 % 8000));
        child.kill().unwrap();
        child.wait().unwrap();
        let saved = number(&fs::read(&path).unwrap());
        let next = host(folder.path());
        next.load_recovery();
        let Event::Recovery(left) = wait_for(&next, |event| matches!(event, Event::Recovery(_))) else {
            unreachable!()
        };
        for left in left {
            let kept = number(&left.bytes);
            assert!(kept > saved, "round {round}: {kept} is offered, and {saved} is saved");
            assert_eq!(left.status, LeftStatus::Unsaved);
            next.forget_left(left.id);
        }
        next.load(path.clone(), 1);
        wait_for(&next, |event| matches!(event, Event::Loaded { .. }));
        drop(next);
        let names =
            |folder: &Path| -> Vec<_> { fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name()).collect() };
        assert_eq!(names(folder.path()).len(), 2, "round {round}: {:?}", names(folder.path()));
        let kept = names(&folder.path().join("state").join("recovery"));
        let whole = |name: &&std::ffi::OsString| !name.to_string_lossy().ends_with(".lock");
        assert_eq!(kept.iter().find(whole), None, "round {round}");
    }
}
