//! A machine in memory, for tests of the window: its disk is a map, its person
//! answers from a list, its clock is moved by hand.

use std::collections::{BTreeMap, VecDeque};
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use super::queue::locked;
use super::real::work_died;
use super::worker::Died;
use super::{Amend, Event, Host, Lane, Work, disk, paths};

/// What a person answers to a dialog.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Pick {
    /// This file.
    Path(PathBuf),
    /// Nothing, after a while.
    Cancelled,
    /// There was no dialog to answer.
    NoDialog,
}

/// The machine. Jobs are done at once, and their answers wait to be polled.
#[derive(Debug)]
pub struct TestHost {
    state: Mutex<Machine>,
    /// Work that is held back; none where it is done at once.
    work: Mutex<Option<Held>>,
}

/// Work in the order in which it came.
#[derive(Default)]
struct Held(Vec<Work>);

impl std::fmt::Debug for Held {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} jobs", self.0.len())
    }
}

#[derive(Debug)]
struct Machine {
    files: BTreeMap<PathBuf, Vec<u8>>,
    picks: VecDeque<Pick>,
    suggested: Option<String>,
    save_failure: Option<String>,
    settings: Option<Vec<u8>>,
    aside: Option<Vec<u8>>,
    work_dies: bool,
    no_answer: Option<String>,
    kept: Option<String>,
    left: Option<Vec<u8>>,
    seconds: f64,
    clock: String,
    held: bool,
    events: VecDeque<Event>,
}

impl Default for TestHost {
    fn default() -> Self {
        Self {
            work: Mutex::new(None),
            state: Mutex::new(Machine {
                files: BTreeMap::new(),
                picks: VecDeque::new(),
                suggested: None,
                save_failure: None,
                settings: None,
                aside: None,
                work_dies: false,
                no_answer: None,
                kept: None,
                left: None,
                seconds: 0.0,
                clock: "12:04".to_owned(),
                held: false,
                events: VecDeque::new(),
            }),
        }
    }
}

impl TestHost {
    /// A machine with an empty disk and no dialogs, at 12:04.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Puts a file on the disk.
    pub fn put_file(&self, path: impl Into<PathBuf>, bytes: impl Into<Vec<u8>>) {
        locked(&self.state).files.insert(path.into(), bytes.into());
    }

    /// What a file on the disk holds.
    #[must_use]
    pub fn file(&self, path: impl AsRef<Path>) -> Option<Vec<u8>> {
        locked(&self.state).files.get(path.as_ref()).cloned()
    }

    /// Puts an answer at the end of the list for the dialogs to come. With an
    /// empty list there is no dialog.
    pub fn will_pick(&self, pick: Pick) {
        locked(&self.state).picks.push_back(pick);
    }

    /// What the last dialog for saving suggested.
    #[must_use]
    pub fn suggested(&self) -> Option<String> {
        locked(&self.state).suggested.clone()
    }

    /// From now on saves fail for this reason, or (`None`) work.
    pub fn fail_saves(&self, why: Option<&str>) {
        locked(&self.state).save_failure = why.map(str::to_owned);
    }

    /// Holds back what there is to poll, as a slow disk does, or lets go of it.
    pub fn hold(&self, held: bool) {
        locked(&self.state).held = held;
    }

    /// Holds work back, as a busy machine does, or lets it be done. What becomes of files isn't held.
    pub fn hold_work(&self, held: bool) {
        let before = std::mem::replace(&mut *locked(&self.work), held.then(Held::default));
        before.into_iter().flat_map(|held| held.0).for_each(|job| self.done(job));
    }

    /// From now on work panics half-way, or (`false`) has an end.
    pub fn break_work(&self, dies: bool) {
        locked(&self.state).work_dies = dies;
    }

    /// From now on files can't be read for this reason, as on a drive that
    /// doesn't answer, or (`None`) can.
    pub fn fail_loads(&self, why: Option<&str>) {
        locked(&self.state).no_answer = why.map(str::to_owned);
    }

    /// The settings that the disk holds.
    #[must_use]
    pub fn settings(&self) -> Option<String> {
        locked(&self.state).settings.as_ref().map(|held| String::from_utf8_lossy(held).into_owned())
    }

    /// Puts settings on the disk, as another window does.
    pub fn put_settings(&self, text: &str) {
        locked(&self.state).settings = Some(text.as_bytes().to_owned());
    }

    /// The settings that were put aside since they couldn't be understood.
    #[must_use]
    pub fn settings_aside(&self) -> Option<Vec<u8>> {
        locked(&self.state).aside.clone()
    }

    /// Does work; if it dies, the window is told.
    fn done(&self, job: Work) {
        let dies = locked(&self.state).work_dies;
        let done = catch_unwind(AssertUnwindSafe(move || {
            if dies {
                // As a panic goes, but for the words on the error output.
                resume_unwind(Box::new(job));
            }
            job();
        }));
        if done.is_err() {
            locked(&self.state).events.push_back(Event::WorkDied(work_died(Died::HalfWay)));
        }
    }

    /// What is kept against a crash.
    #[must_use]
    pub fn kept(&self) -> Option<String> {
        locked(&self.state).kept.clone()
    }

    /// Has an earlier session leave something.
    pub fn put_left(&self, bytes: impl Into<Vec<u8>>) {
        locked(&self.state).left = Some(bytes.into());
    }

    /// What an earlier session left and nobody took or turned down yet.
    #[must_use]
    pub fn left(&self) -> Option<Vec<u8>> {
        locked(&self.state).left.clone()
    }

    /// Moves the clock on.
    pub fn advance(&self, seconds: f64) {
        locked(&self.state).seconds += seconds;
    }

    /// Sets the time of day.
    pub fn set_clock(&self, text: &str) {
        locked(&self.state).clock = text.to_owned();
    }

    fn answer(&self, picked: impl FnOnce(PathBuf) -> Event) {
        let mut machine = locked(&self.state);
        let event = match machine.picks.pop_front() {
            Some(Pick::Path(path)) => picked(path),
            Some(Pick::Cancelled) => Event::PickCancelled,
            Some(Pick::NoDialog) | None => Event::NoDialogHere,
        };
        machine.events.push_back(event);
    }
}

impl Host for TestHost {
    fn pick_open(&self) {
        self.answer(Event::PickedOpen);
    }

    fn pick_save(&self, suggested: String) {
        locked(&self.state).suggested = Some(suggested);
        let taken: Vec<PathBuf> = locked(&self.state).files.keys().cloned().collect();
        self.answer(|path| {
            Event::PickedSave(paths::with_extension(path, |path| taken.iter().any(|taken| taken == path)))
        });
    }

    fn load(&self, path: PathBuf) {
        let mut machine = locked(&self.state);
        let failed = |why: &str| format!("“{}” can't be opened: {why}.", disk::name_of(&path));
        let result = match (&machine.no_answer, machine.files.get(&path)) {
            (Some(why), _) => Err(failed(why)),
            (None, Some(bytes)) => Ok(bytes.clone()),
            (None, None) => Err(failed("there is no such file")),
        };
        if machine.no_answer.is_none() && result.is_err() {
            machine.events.push_back(Event::Gone(path.clone()));
        }
        machine.events.push_back(Event::Loaded { path, result });
    }

    fn save(&self, path: PathBuf, text: String, token: u64) {
        let mut machine = locked(&self.state);
        let result = match machine.save_failure.clone() {
            Some(why) => Err(format!("“{}” can't be saved: {why}.", disk::name_of(&path))),
            None => {
                machine.files.insert(path.clone(), text.into_bytes());
                Ok(())
            }
        };
        machine.events.push_back(Event::Saved { path, token, result });
    }

    fn keep_recovery(&self, text: String) {
        locked(&self.state).kept = Some(text);
    }

    fn clear_recovery(&self) {
        locked(&self.state).kept = None;
    }

    fn load_recovery(&self) {
        let mut machine = locked(&self.state);
        let left = machine.left.clone();
        machine.events.push_back(Event::Recovery(left));
    }

    fn forget_recovered(&self) {
        locked(&self.state).left = None;
    }

    fn work(&self, lane: Lane, job: Work) {
        let mut held = locked(&self.work);
        if let Some(held) = held.as_mut().filter(|_| matches!(lane, Lane::Answers | Lane::Searches)) {
            held.0.push(job);
            return;
        }
        drop(held);
        self.done(job);
    }

    fn amend_settings(&self, amend: Amend) {
        let machine = &mut *locked(&self.state);
        let held = machine.settings.take().unwrap_or_default();
        let text = amend(&held);
        if text.is_none() {
            machine.aside = Some(held);
            let say = "The settings couldn't be understood and are as at the first start.".to_owned();
            machine.events.push_back(Event::SettingsTrouble(say));
        }
        if let Some(text) = text.or_else(|| amend(&[])) {
            machine.settings = Some(text.clone().into_bytes());
            machine.events.push_back(Event::Settings(text));
        }
    }

    fn load_settings(&self) -> Option<Vec<u8>> {
        locked(&self.state).settings.clone()
    }

    fn now_seconds(&self) -> f64 {
        locked(&self.state).seconds
    }

    fn clock_text(&self) -> String {
        locked(&self.state).clock.clone()
    }

    fn typed_path(&self, typed: &str) -> Option<PathBuf> {
        paths::typed(typed, Some(Path::new("/home/player")))
    }

    fn is_taken(&self, path: &Path) -> bool {
        locked(&self.state).files.contains_key(path)
    }

    fn poll(&self) -> Vec<Event> {
        let mut machine = locked(&self.state);
        if machine.held { Vec::new() } else { machine.events.drain(..).collect() }
    }
}
