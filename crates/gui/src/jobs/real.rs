//! The machine that the program runs on.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use directories::{BaseDirs, ProjectDirs};

use super::dialog::Dialogs;
use super::queue::{Queue, locked};
use super::recovery::Recovery;
use super::worker::{Died, Worker};
use super::{Amend, Event, Host, Lane, Waker, Work, disk, paths, settings_file};

/// How long the program's end waits for what is being written.
const PATIENCE: Duration = Duration::from_secs(5);

/// Threads, the disk, the desktop's dialogs and the clock.
///
/// Dropping it waits for what is to be written, so that files, settings and
/// recovery are as they were last asked to be; not for what is read or worked out.
pub struct RealHost {
    queue: Queue,
    dialogs: Dialogs,
    /// The player's files.
    files: Worker,
    /// Saves that aren't done yet.
    saving: Arc<AtomicUsize>,
    /// The program's own, apart: they are on the local disk, where a slow
    /// network drive under the player's files doesn't hold them up.
    own: Worker,
    answers: Worker,
    searches: Worker,
    settings: Option<PathBuf>,
    /// Whether the window knows that they can't be kept.
    told_of_settings: Arc<AtomicBool>,
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
            saving: Arc::default(),
            own: Worker::new("own files"),
            answers: Worker::new("answers"),
            searches: Worker::new("searches"),
            settings: settings.map(|folder| folder.join("settings.ron")),
            told_of_settings: Arc::default(),
            keeper: Arc::new(Mutex::new(Keeper { recovery, told: false })),
            home: BaseDirs::new().map(|folders| folders.home_dir().to_path_buf()),
            start: Instant::now(),
        }
    }

    fn with_recovery(&self, job: impl FnOnce(&mut Recovery) + Send + 'static) {
        let keeper = Arc::clone(&self.keeper);
        let job = move || {
            if let Some(recovery) = &mut locked(&keeper).recovery {
                job(recovery);
            }
        };
        // What isn't let go of is offered once more at the next start.
        self.own.run(job, |_| {});
    }
}

impl Drop for RealHost {
    fn drop(&mut self) {
        let until = Instant::now() + PATIENCE;
        // A file that is only read, perhaps from a drive that doesn't answer, is waited for by nobody.
        if self.saving.load(Ordering::Acquire) > 0 {
            self.files.finish(until);
        }
        self.own.finish(until);
    }
}

/// Why a file's job has no end, in the words that follow the file's name.
fn broken_off(died: Died) -> &'static str {
    match died {
        Died::HalfWay => "this program failed half-way, by a fault of its own",
        Died::NoThread => "the system gives this program nothing to do it with; closing other programs helps",
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
        let (queue, failed) = (self.queue.clone(), self.queue.clone());
        let named = path.clone();
        let job = move || {
            let result = disk::read(&path);
            if result.is_err() && disk::is_gone(&path) {
                queue.push(Event::Gone(path.clone()));
            }
            queue.push(Event::Loaded { path, result });
        };
        self.files.run(job, move |died| {
            let why = format!("“{}” can't be opened: {}.", disk::name_of(&named), broken_off(died));
            failed.push(Event::Loaded { path: named, result: Err(why) });
        });
    }

    fn save(&self, path: PathBuf, text: String, token: u64) {
        let (queue, failed) = (self.queue.clone(), self.queue.clone());
        let (saving, not_saving) = (Arc::clone(&self.saving), Arc::clone(&self.saving));
        let named = path.clone();
        self.saving.fetch_add(1, Ordering::AcqRel);
        let job = move || {
            let result = disk::write(&path, &text);
            saving.fetch_sub(1, Ordering::AcqRel);
            queue.push(Event::Saved { path, token, result });
        };
        self.files.run(job, move |died| {
            not_saving.fetch_sub(1, Ordering::AcqRel);
            let why = format!("“{}” can't be saved: {}.", disk::name_of(&named), broken_off(died));
            failed.push(Event::Saved { path: named, token, result: Err(why) });
        });
    }

    fn keep_recovery(&self, text: String) {
        let (keeper, queue) = (Arc::clone(&self.keeper), self.queue.clone());
        let failed = self.queue.clone();
        let job = move || {
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
        };
        self.own.run(job, move |died| {
            let why = broken_off(died);
            failed.push(Event::NotKept(format!("Unsaved work can't be kept safe from a crash: {why}.")));
        });
    }

    fn clear_recovery(&self) {
        self.with_recovery(Recovery::clear);
    }

    fn load_recovery(&self) {
        let (keeper, queue) = (Arc::clone(&self.keeper), self.queue.clone());
        let failed = self.queue.clone();
        let job = move || {
            let found = locked(&keeper).recovery.as_mut().and_then(Recovery::find);
            queue.push(Event::Recovery(found));
        };
        self.own.run(job, move |_| failed.push(Event::Recovery(None)));
    }

    fn forget_recovered(&self) {
        self.with_recovery(Recovery::forget_found);
    }

    fn work(&self, lane: Lane, job: Work) {
        let (queue, failed) = (self.queue.clone(), self.queue.clone());
        let worker = match lane {
            Lane::Files => &self.files,
            Lane::Own => &self.own,
            Lane::Answers => &self.answers,
            Lane::Searches => &self.searches,
        };
        let done = move || {
            job();
            queue.wake();
        };
        worker.run(done, move |died| failed.push(Event::WorkDied(work_died(died))));
    }

    fn amend_settings(&self, amend: Amend) {
        let Some(path) = self.settings.clone() else {
            return;
        };
        let (queue, failed) = (self.queue.clone(), self.queue.clone());
        let told = Arc::clone(&self.told_of_settings);
        let job = move || {
            let settings_file::Kept { text, say } = settings_file::amend(&path, &amend);
            // That they can't be kept is said once, and again when they could be meanwhile.
            let silent = text.is_none() && told.load(Ordering::Acquire);
            told.store(text.is_none(), Ordering::Release);
            text.into_iter().for_each(|text| queue.push(Event::Settings(text)));
            say.into_iter().filter(|_| !silent).for_each(|say| queue.push(Event::SettingsTrouble(say)));
        };
        self.own.run(job, move |died| {
            failed.push(Event::SettingsTrouble(format!("Settings aren't kept: {}.", broken_off(died))));
        });
    }

    fn load_settings(&self) -> Option<Vec<u8>> {
        disk::read(self.settings.as_deref()?).ok()
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

/// Why something isn't worked out.
pub fn work_died(died: Died) -> String {
    match died {
        Died::HalfWay => "Something couldn't be worked out: this program failed half-way, by a fault of its own. \
             Everything else goes on, and what you draw can be saved."
            .to_owned(),
        Died::NoThread => format!("Something couldn't be worked out: {}.", broken_off(died)),
    }
}

#[cfg(test)]
#[path = "real_tests.rs"]
mod tests;
