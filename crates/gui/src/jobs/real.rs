//! The machine that the program runs on.

use std::fs;
use std::path::PathBuf;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex};
use std::time::{Instant, SystemTime};

use directories::{BaseDirs, ProjectDirs};

use super::dialog::Dialogs;
use super::queue::{Queue, locked};
use super::recovery::{Raw, Recovery};
use super::watch::Watch;
use super::worker::Worker;
use super::{Event, Host, Kept, Lane, Left, Origin, Save, Standing, Waker, Watched, Work, disk, kept, paths};

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
    /// Looks for what earlier sessions left.
    left: Worker,
    watch: Watch,
    answers: Worker,
    searches: Worker,
    settings: Option<PathBuf>,
    keeper: Arc<Mutex<Keeper>>,
    turns: AtomicU64,
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
            watch: Watch::new(queue.clone()),
            queue,
            files: Worker::new("files"),
            own: Worker::new("own files"),
            left: Worker::new("left behind"),
            answers: Worker::new("answers"),
            searches: Worker::new("searches"),
            settings: settings.map(|folder| folder.join("settings.ron")),
            keeper: Arc::new(Mutex::new(Keeper { recovery, told: false })),
            turns: AtomicU64::new(0),
            home: BaseDirs::new().map(|folders| folders.home_dir().to_path_buf()),
            start: Instant::now(),
        }
    }

    /// A number for each order that is about what is kept, in their order.
    fn turn(&self) -> u64 {
        self.turns.fetch_add(1, Ordering::Relaxed) + 1
    }

    /// Keeps it, and if that succeeds lets go of what it was taken over from.
    fn keep_and_then(&self, kept: Kept, left: Option<u64>) {
        let (keeper, queue, turn) = (Arc::clone(&self.keeper), self.queue.clone(), self.turn());
        self.own.run(move || {
            let mut keeper = locked(&keeper);
            let failed = keeper.keep(turn, &kept).err();
            if let (None, Some(id), Some(recovery)) = (&failed, left, &mut keeper.recovery) {
                recovery.forget(id);
            }
            let news = failed.is_some() && !keeper.told;
            keeper.told = failed.is_some();
            if let Some(why) = failed.filter(|_| news) {
                queue.push(Event::NotKept(format!("Unsaved work can't be kept safe from a crash: {why}.")));
            }
        });
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

impl Keeper {
    fn keep(&mut self, turn: u64, kept: &Kept) -> Result<(), String> {
        let text = kept::whole(kept, false, SystemTime::now());
        match &mut self.recovery {
            Some(recovery) => recovery.keep(turn, &text).map_err(|error| disk::either_way(&error)),
            None => Err(NO_FOLDER.to_owned()),
        }
    }
}

const NO_FOLDER: &str = "this account has no folder of its own";

/// How something that was found is offered; the error is what needn't be, since
/// its file holds it.
fn judged(raw: Raw) -> Result<Left, u64> {
    let found = kept::read(raw.bytes, raw.changed);
    let on_disk = found.origin.path.as_deref().and_then(|path| disk::open(path).ok());
    let on_disk = on_disk.as_ref().map(|(bytes, stamp)| (bytes.as_slice(), *stamp));
    let standing = found.standing(on_disk).ok_or(raw.id)?;
    Ok(Left { id: raw.id, origin: found.origin, when: when(found.at), bytes: found.bytes, standing })
}

/// A moment as a person reads it: "Tuesday 28 Nov 14:05". Empty where the system has no such date.
fn when(at: SystemTime) -> String {
    jiff::ZonedDateTime::try_from(at).map(|at| at.strftime("%A %-d %b %H:%M").to_string()).unwrap_or_default()
}

impl Host for RealHost {
    fn pick_open(&self) {
        self.dialogs.pick_open();
    }

    fn pick_save(&self, suggested: String) {
        self.dialogs.pick_save(&suggested);
    }

    fn load(&self, path: PathBuf, token: u64) {
        let queue = self.queue.clone();
        self.files.run(move || {
            let result = disk::open(&path);
            if result.is_ok() {
                disk::sweep_beside(&path);
            }
            queue.push(Event::Loaded { path, token, result });
        });
    }

    fn save(&self, save: Save) {
        let (keeper, queue, turn) = (Arc::clone(&self.keeper), self.queue.clone(), self.turn());
        self.files.run(move || {
            let Save { path, kept, token, replaces } = save;
            // A kill right after the file is in its place leaves this, and not
            // an older state that would be offered as unsaved work.
            let kept = Kept { origin: Origin { path: Some(path.clone()), ..kept.origin }, ..kept };
            let _ = locked(&keeper).keep(turn, &kept);
            let result = disk::save(&path, &kept.text, &replaces);
            queue.push(Event::Saved { path, token, result });
        });
    }

    fn watch(&self, file: Option<Watched>) {
        self.watch.set(file);
    }

    fn keep_recovery(&self, kept: Kept) {
        self.keep_and_then(kept, None);
    }

    fn clear_recovery(&self) {
        let turn = self.turn();
        self.with_recovery(move |recovery| recovery.clear(turn));
    }

    fn set_aside(&self, kept: Kept) {
        let (keeper, queue) = (Arc::clone(&self.keeper), self.queue.clone());
        self.own.run(move || {
            let at = SystemTime::now();
            let text = kept::whole(&kept, true, at);
            let result = match &mut locked(&keeper).recovery {
                Some(recovery) => recovery.set_aside(&text).map_err(|error| disk::either_way(&error)),
                None => Err(NO_FOLDER.to_owned()),
            };
            let left = |id| Left {
                id,
                origin: kept.origin,
                when: when(at),
                bytes: kept.text.into_bytes(),
                standing: Standing::SetAside,
            };
            queue.push(Event::SetAside(result.map(left)));
        });
    }

    fn load_recovery(&self) {
        let (keeper, queue) = (Arc::clone(&self.keeper), self.queue.clone());
        // The player's files are looked at as well, and their drive may be slow.
        self.left.run(move || {
            let raws = locked(&keeper).recovery.as_mut().map(Recovery::find).unwrap_or_default();
            let mut left = Vec::new();
            for raw in raws {
                match judged(raw) {
                    Ok(offered) => left.push(offered),
                    Err(id) => locked(&keeper).recovery.iter_mut().for_each(|recovery| recovery.forget(id)),
                }
            }
            queue.push(Event::Recovery(left));
        });
    }

    fn take_over(&self, id: u64, kept: Kept) {
        self.keep_and_then(kept, Some(id));
    }

    fn forget_left(&self, id: u64) {
        self.with_recovery(move |recovery| recovery.forget(id));
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

    fn poll(&self) -> Vec<Event> {
        self.queue.drain()
    }
}

#[cfg(test)]
#[path = "real_tests.rs"]
mod tests;
