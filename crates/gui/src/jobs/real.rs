//! The machine that the program runs on.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicU64, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant, SystemTime};

use directories::{BaseDirs, ProjectDirs};

use super::dialog::Dialogs;
use super::queue::{Queue, locked};
use super::recovery::{Raw, Recovery};
use super::shared_file::{self, Amended, Shared};
use super::watch::Watch;
use super::worker::{Died, Worker};
use super::{
    Amend, AmendOwnParts, Event, Export, Host, Kept, Lane, LeftStatus, LeftWork, NotSaved, Origin, Save, Unread, Waker,
    Watched, Work, disk, kept, paths,
};

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
    /// Looks for what earlier sessions left.
    left: Worker,
    watch: Watch,
    answers: Worker,
    searches: Worker,
    /// The folder of the settings and of the own parts.
    shared: Option<PathBuf>,
    /// Whether the window knows that settings can't be kept.
    told_of_settings: Arc<AtomicBool>,
    /// Whether it knows that own parts can't be kept.
    told_of_own_parts: Arc<AtomicBool>,
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
            saving: Arc::default(),
            own: Worker::new("own files"),
            left: Worker::new("left behind"),
            answers: Worker::new("answers"),
            searches: Worker::new("searches"),
            shared: settings,
            told_of_settings: Arc::default(),
            told_of_own_parts: Arc::default(),
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
        let (keeper, turn) = (Arc::clone(&self.keeper), self.turn());
        let (queue, broken) = (self.queue.clone(), self.queue.clone());
        let job = move || {
            let mut keeper = locked(&keeper);
            let failed = keeper.keep(turn, &kept).err();
            if let (None, Some(id), Some(recovery)) = (&failed, left, &mut keeper.recovery) {
                recovery.forget(id);
            }
            let news = failed.is_some() && !keeper.told;
            keeper.told = failed.is_some();
            if let Some(why) = failed.filter(|_| news) {
                queue.push(not_kept(&why));
            }
        };
        self.own.run(job, move |died| broken.push(not_kept(broken_off(died))));
    }

    /// Changes a file that windows share, and tells what it holds then and what there is to say.
    fn amend_shared<T: 'static>(
        &self,
        file: Shared,
        amend: impl Fn(&[u8]) -> Amended<T> + Send + 'static,
        told: &Arc<AtomicBool>,
        holds: fn(T) -> Event,
        trouble: fn(String) -> Event,
    ) {
        let Some(path) = self.shared.as_ref().map(|folder| folder.join(file.file_name())) else {
            return;
        };
        let (queue, failed) = (self.queue.clone(), self.queue.clone());
        let told = Arc::clone(told);
        let job = move || {
            let shared_file::Kept { held, say } = shared_file::amend(&path, file, &amend);
            // That it can't be kept is said once, and again when it could be meanwhile.
            let silent = held.is_none() && told.load(Ordering::Acquire);
            told.store(held.is_none(), Ordering::Release);
            held.into_iter().for_each(|held| queue.push(holds(held)));
            say.into_iter().filter(|_| !silent).for_each(|say| queue.push(trouble(say)));
        };
        self.own.run(job, move |died| {
            failed.push(trouble(format!("{}.", file.not_kept(broken_off(died)))));
        });
    }

    fn load_shared(&self, file: Shared) -> Option<Vec<u8>> {
        disk::read(&self.shared.as_ref()?.join(file.file_name())).ok()
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

fn not_kept(why: &str) -> Event {
    Event::NotKept(format!("Unsaved work can't be kept safe from a crash: {why}."))
}

/// Why a file's job has no end, in the words that follow the file's name.
fn broken_off(died: Died) -> &'static str {
    match died {
        Died::HalfWay => "this program failed half-way, by a fault of its own",
        Died::NoThread => "the system gives this program nothing to do it with; closing other programs helps",
    }
}

fn not_saved(path: &Path, died: Died) -> String {
    format!("“{}” can't be saved: {}.", disk::name_of(path), broken_off(died))
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
fn judged(raw: Raw) -> Result<LeftWork, u64> {
    let found = kept::read(raw.bytes, raw.changed);
    let on_disk = found.origin.path.as_deref().and_then(|path| disk::open(path).ok());
    let on_disk = on_disk.as_ref().map(|(bytes, stamp)| (bytes.as_slice(), *stamp));
    let status = found.status(on_disk).ok_or(raw.id)?;
    Ok(LeftWork { id: raw.id, origin: found.origin, when: when(found.at), bytes: found.bytes, status })
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

    fn pick_export(&self, suggested: String, endings: &'static [&'static str]) {
        self.dialogs.pick_export(&suggested, endings);
    }

    fn load(&self, path: PathBuf, token: u64) {
        let (queue, failed) = (self.queue.clone(), self.queue.clone());
        let named = path.clone();
        let job = move || {
            let result = disk::open(&path);
            if result.is_ok() {
                disk::sweep_beside(&path);
            } else if disk::is_gone(&path) {
                queue.push(Event::Gone(path.clone()));
            }
            queue.push(Event::Loaded { path, token, result });
        };
        self.files.run(job, move |died| {
            let why = format!("“{}” can't be opened: {}.", disk::name_of(&named), broken_off(died));
            failed.push(Event::Loaded { path: named, token, result: Err(why) });
        });
    }

    fn save(&self, save: Save) {
        let (keeper, turn) = (Arc::clone(&self.keeper), self.turn());
        let (queue, failed) = (self.queue.clone(), self.queue.clone());
        let (saving, not_saving) = (Arc::clone(&self.saving), Arc::clone(&self.saving));
        let Save { path, kept, token, replaces } = save;
        let named = path.clone();
        self.saving.fetch_add(1, Ordering::AcqRel);
        let job = move || {
            // A kill right after the file is in its place leaves this, and not
            // an older state that would be offered as unsaved work.
            let kept = Kept { origin: Origin { path: Some(path.clone()), ..kept.origin }, ..kept };
            let _ = locked(&keeper).keep(turn, &kept);
            let result = disk::save(&path, &kept.text, &replaces);
            saving.fetch_sub(1, Ordering::AcqRel);
            queue.push(Event::Saved { path, token, result });
        };
        self.files.run(job, move |died| {
            not_saving.fetch_sub(1, Ordering::AcqRel);
            let result = Err(NotSaved::Why(not_saved(&named, died)));
            failed.push(Event::Saved { path: named, token, result });
        });
    }

    fn export(&self, export: Export) {
        let (queue, failed) = (self.queue.clone(), self.queue.clone());
        let (saving, not_saving) = (Arc::clone(&self.saving), Arc::clone(&self.saving));
        let Export { path, bytes, token, replaces } = export;
        let named = path.clone();
        self.saving.fetch_add(1, Ordering::AcqRel);
        let job = move || {
            let result = disk::save(&path, &bytes, &replaces).map(|_| ());
            saving.fetch_sub(1, Ordering::AcqRel);
            queue.push(Event::Exported { path, token, result });
        };
        self.files.run(job, move |died| {
            not_saving.fetch_sub(1, Ordering::AcqRel);
            let result = Err(NotSaved::Why(not_saved(&named, died)));
            failed.push(Event::Exported { path: named, token, result });
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
        let keeper = Arc::clone(&self.keeper);
        let (queue, failed) = (self.queue.clone(), self.queue.clone());
        let job = move || {
            let at = SystemTime::now();
            let text = kept::whole(&kept, true, at);
            let result = match &mut locked(&keeper).recovery {
                Some(recovery) => recovery.set_aside(&text).map_err(|error| disk::either_way(&error)),
                None => Err(NO_FOLDER.to_owned()),
            };
            let left = |id| LeftWork {
                id,
                origin: kept.origin,
                when: when(at),
                bytes: kept.text.into_bytes(),
                status: LeftStatus::SetAside,
            };
            queue.push(Event::SetAside(result.map(left)));
        };
        self.own.run(job, move |died| failed.push(Event::SetAside(Err(broken_off(died).to_owned()))));
    }

    fn load_recovery(&self) {
        let (keeper, queue) = (Arc::clone(&self.keeper), self.queue.clone());
        let failed = self.queue.clone();
        let job = move || {
            let raws = locked(&keeper).recovery.as_mut().map(Recovery::find).unwrap_or_default();
            let mut left = Vec::new();
            for raw in raws {
                match judged(raw) {
                    Ok(offered) => left.push(offered),
                    Err(id) => locked(&keeper).recovery.iter_mut().for_each(|recovery| recovery.forget(id)),
                }
            }
            drop(keeper);
            queue.push(Event::Recovery(left));
        };
        // The player's files are looked at as well, and their drive may be slow.
        self.left.run(job, move |_| failed.push(Event::Recovery(Vec::new())));
    }

    fn take_over(&self, id: u64, kept: Kept) {
        self.keep_and_then(kept, Some(id));
    }

    fn forget_left(&self, id: u64) {
        self.with_recovery(move |recovery| recovery.forget(id));
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
        let amend = move |held: &[u8]| {
            let text = amend(held).ok_or_else(|| Unread::Broken(String::new()))?;
            Ok((Some(text.clone()), text))
        };
        let (held, told) = (Event::Settings, &self.told_of_settings);
        self.amend_shared(Shared::Settings, amend, told, held, Event::SettingsTrouble);
    }

    fn load_settings(&self) -> Option<Vec<u8>> {
        self.load_shared(Shared::Settings)
    }

    fn amend_own_parts(&self, amend: AmendOwnParts) {
        let (held, told) = (Event::OwnParts, &self.told_of_own_parts);
        self.amend_shared(Shared::OwnParts, amend, told, held, Event::OwnPartsTrouble);
    }

    fn load_own_parts(&self) -> Option<Vec<u8>> {
        self.load_shared(Shared::OwnParts)
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
