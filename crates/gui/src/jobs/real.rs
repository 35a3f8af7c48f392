//! The machine that the program runs on.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::Instant;

use directories::{BaseDirs, ProjectDirs};

use super::dialog::Dialogs;
use super::queue::{Queue, locked};
use super::recovery::Recovery;
use super::worker::Worker;
use super::{Event, Host, Lane, Waker, Work, disk, paths};

/// Threads, the disk, the desktop's dialogs and the clock.
///
/// Dropping it waits for what was queued, so that settings and recovery are as
/// they were last asked to be.
pub struct RealHost {
    queue: Queue,
    dialogs: Dialogs,
    /// The player's files.
    files: Worker,
    /// The program's own, apart: they are on the local disk, where a slow
    /// network drive under the player's files doesn't hold them up.
    own: Worker,
    answers: Worker,
    searches: Worker,
    settings: Option<PathBuf>,
    keeper: Arc<Mutex<Keeper>>,
    home: Option<PathBuf>,
    start: Instant,
}

/// The recovery, if this machine has a place for it, and whether the window
/// knows that it doesn't work.
struct Keeper {
    recovery: Option<Recovery>,
    told: bool,
}

impl RealHost {
    /// This machine, with the folders that the system has for programs like
    /// this. `waker` is called when there is something to poll.
    #[must_use]
    pub fn new(waker: Waker) -> Self {
        let folders = ProjectDirs::from("", "", "rigwright");
        let settings = folders.as_ref().map(|folders| folders.config_dir().to_path_buf());
        let state = folders
            .as_ref()
            .map(|folders| folders.state_dir().unwrap_or_else(|| folders.data_local_dir()).to_path_buf());
        Self::in_folders(waker, settings, state)
    }

    /// This machine with other folders: the settings' and the recovery's.
    /// Where there is none, nothing is kept.
    #[must_use]
    pub fn in_folders(waker: Waker, settings: Option<PathBuf>, state: Option<PathBuf>) -> Self {
        let queue = Queue::new(waker);
        let recovery = state.map(|folder| Recovery::new(folder.join("recovery")));
        Self {
            dialogs: Dialogs::new(queue.clone()),
            queue,
            files: Worker::new("files"),
            own: Worker::new("own files"),
            answers: Worker::new("answers"),
            searches: Worker::new("searches"),
            settings: settings.map(|folder| folder.join("settings.ron")),
            keeper: Arc::new(Mutex::new(Keeper { recovery, told: false })),
            home: BaseDirs::new().map(|folders| folders.home_dir().to_path_buf()),
            start: Instant::now(),
        }
    }

    fn with_recovery(&self, job: impl FnOnce(&mut Recovery) + Send + 'static) {
        let keeper = Arc::clone(&self.keeper);
        self.own.run(move || {
            if let Some(recovery) = &mut locked(&keeper).recovery {
                job(recovery);
            }
        });
    }
}

impl Host for RealHost {
    fn pick_open(&self) {
        self.dialogs.pick_open();
    }

    fn pick_save(&self, suggested: String) {
        self.dialogs.pick_save(&suggested);
    }

    fn load(&self, path: PathBuf) {
        let queue = self.queue.clone();
        self.files.run(move || {
            let result = disk::read(&path);
            queue.push(Event::Loaded { path, result });
        });
    }

    fn save(&self, path: PathBuf, text: String, token: u64) {
        let queue = self.queue.clone();
        self.files.run(move || {
            let result = disk::write(&path, &text);
            queue.push(Event::Saved { path, token, result });
        });
    }

    fn keep_recovery(&self, text: String) {
        let (keeper, queue) = (Arc::clone(&self.keeper), self.queue.clone());
        self.own.run(move || {
            let mut keeper = locked(&keeper);
            let failed = match &mut keeper.recovery {
                Some(recovery) => recovery.keep(&text).err().map(|error| disk::either_way(&error)),
                None => Some("this account has no folder of its own".to_owned()),
            };
            let news = failed.is_some() && !keeper.told;
            keeper.told = failed.is_some();
            if let Some(why) = failed.filter(|_| news) {
                queue.push(Event::NotKept(format!("Unsaved work can't be kept safe from a crash: {why}.")));
            }
        });
    }

    fn clear_recovery(&self) {
        self.with_recovery(Recovery::clear);
    }

    fn load_recovery(&self) {
        let (keeper, queue) = (Arc::clone(&self.keeper), self.queue.clone());
        self.own.run(move || {
            let found = locked(&keeper).recovery.as_mut().and_then(Recovery::find);
            queue.push(Event::Recovery(found));
        });
    }

    fn forget_recovered(&self) {
        self.with_recovery(Recovery::forget_found);
    }

    fn work(&self, lane: Lane, job: Work) {
        let queue = self.queue.clone();
        let worker = match lane {
            Lane::Answers => &self.answers,
            Lane::Searches => &self.searches,
        };
        worker.run(move || {
            job();
            queue.wake();
        });
    }

    fn save_settings(&self, text: String) {
        let Some(path) = self.settings.clone() else {
            return;
        };
        self.own.run(move || {
            // Settings are a comfort: where they can't be kept, the next start has the defaults.
            if let Some(folder) = path.parent() {
                let _ = fs::create_dir_all(folder);
            }
            let _ = disk::write(&path, &text);
        });
    }

    fn load_settings(&self) -> Option<String> {
        let bytes = disk::read(self.settings.as_deref()?).ok()?;
        String::from_utf8(bytes).ok()
    }

    fn now_seconds(&self) -> f64 {
        self.start.elapsed().as_secs_f64()
    }

    fn clock_text(&self) -> String {
        let now = jiff::ZonedDateTime::now();
        format!("{:02}:{:02}", now.hour(), now.minute())
    }

    fn typed_path(&self, typed: &str) -> Option<PathBuf> {
        paths::typed(typed, self.home.as_deref())
    }

    fn is_taken(&self, path: &Path) -> bool {
        path.exists()
    }

    fn poll(&self) -> Vec<Event> {
        self.queue.drain()
    }
}

#[cfg(test)]
#[path = "real_tests.rs"]
mod tests;
