//! A machine in memory, for tests of the window: its disk is a map, its person
//! answers from a list, its clock is moved by hand.

use std::collections::{BTreeMap, VecDeque};
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use super::queue::locked;
use super::real::work_died;
use super::shared_file::Shared;
use super::worker::Died;
use super::{
    Amend, AmendOwnParts, Content, Event, Export, Host, Kept, Lane, LeftStatus, LeftWork, NotSaved, Now, Origin,
    Replaces, Save, Stamp, Unread, Watched, Work, Wrote, disk, paths,
};

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
    /// Work on files that is held back, likewise.
    texts: Mutex<Option<Held>>,
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
    own_parts: Option<Vec<u8>>,
    own_parts_aside: Option<Vec<u8>>,
    work_dies: bool,
    no_answer: Option<String>,
    kept: Option<Kept>,
    left: Vec<LeftWork>,
    ids: u64,
    watched: Option<Watched>,
    /// What that file held at the last look; none if it was gone.
    seen: Option<Content>,
    /// Saves that the disk didn't get to yet; none where it gets to each at once.
    saves: Option<VecDeque<Save>>,
    loads: Option<VecDeque<(PathBuf, u64)>>,
    seconds: f64,
    clock: String,
    held: bool,
    events: VecDeque<Event>,
}

impl Machine {
    fn load(&mut self, path: PathBuf, token: u64) {
        let failed = |why: &str| format!("“{}” can't be opened: {why}.", disk::name_of(&path));
        let result = match (&self.no_answer, self.files.get(&path)) {
            (Some(why), _) => Err(failed(why)),
            (None, Some(bytes)) => Ok((bytes.clone(), Stamp::of(bytes))),
            (None, None) => Err(failed("there is no such file")),
        };
        if self.no_answer.is_none() && result.is_err() {
            self.events.push_back(Event::Gone(path.clone()));
        }
        self.events.push_back(Event::Loaded { path, token, result });
    }

    fn save(&mut self, save: Save) {
        let Save { path, kept, token, replaces } = save;
        let result = self.saved(&path, kept.text.into_bytes(), &replaces);
        self.events.push_back(Event::Saved { path, token, result });
    }

    fn saved(&mut self, path: &Path, bytes: Vec<u8>, replaces: &Replaces) -> Result<Wrote, NotSaved> {
        if let Some(why) = &self.save_failure {
            return Err(disk::refused(path, why));
        }
        let there = self.files.get(path).map(|bytes| Content::of(bytes));
        let anew = match (replaces, there) {
            (Replaces::Only(known), Some(there)) if !known.contains(&there) => return Err(NotSaved::Other(there)),
            (Replaces::Only(known), None) => !known.is_empty(),
            _ => false,
        };
        let stamp = Stamp::of(&bytes);
        self.files.insert(path.to_path_buf(), bytes);
        Ok(Wrote { stamp, anew })
    }

    fn offered(&mut self, origin: Origin, status: LeftStatus, bytes: Vec<u8>) -> LeftWork {
        self.ids += 1;
        LeftWork { id: self.ids, origin, when: format!("Tuesday 28 Nov {}", self.clock), bytes, status }
    }

    /// A look at the file that is watched: what it holds, if it isn't as it was at the last look.
    fn look(&mut self) {
        let Some(Watched { path, stamp: since }) = self.watched.clone() else {
            return;
        };
        let bytes = self.files.get(&path).cloned();
        let content = bytes.as_deref().map(Content::of);
        if std::mem::replace(&mut self.seen, content) == content {
            return;
        }
        let now = match bytes {
            None => Now::Gone,
            Some(bytes) => Now::Other { stamp: Stamp::of(&bytes), bytes },
        };
        self.events.push_back(Event::Elsewhere { path, since, now });
    }
}

impl Default for TestHost {
    fn default() -> Self {
        Self {
            work: Mutex::new(None),
            texts: Mutex::new(None),
            state: Mutex::new(Machine {
                files: BTreeMap::new(),
                picks: VecDeque::new(),
                suggested: None,
                save_failure: None,
                settings: None,
                aside: None,
                own_parts: None,
                own_parts_aside: None,
                work_dies: false,
                no_answer: None,
                kept: None,
                left: Vec::new(),
                ids: 0,
                watched: None,
                seen: None,
                saves: None,
                loads: None,
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

    /// Puts a file on the disk, as another program does.
    pub fn put_file(&self, path: impl Into<PathBuf>, bytes: impl Into<Vec<u8>>) {
        let mut machine = locked(&self.state);
        machine.files.insert(path.into(), bytes.into());
        machine.look();
    }

    /// Takes a file off the disk.
    pub fn remove_file(&self, path: impl AsRef<Path>) {
        let mut machine = locked(&self.state);
        machine.files.remove(path.as_ref());
        machine.look();
    }

    /// The file that is watched, if any.
    #[must_use]
    pub fn watched(&self) -> Option<PathBuf> {
        locked(&self.state).watched.as_ref().map(|watched| watched.path.clone())
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

    /// Keeps the disk from saving, as a slow one does, or lets it do what it was asked for.
    pub fn hold_saves(&self, held: bool) {
        let mut machine = locked(&self.state);
        let before = std::mem::replace(&mut machine.saves, held.then(VecDeque::new));
        before.into_iter().flatten().for_each(|save| machine.save(save));
    }

    /// Does one of the saves that are held: the last one that was asked for. So
    /// those before it are overtaken.
    pub fn save_the_last(&self) {
        let mut machine = locked(&self.state);
        if let Some(save) = machine.saves.as_mut().and_then(VecDeque::pop_back) {
            machine.save(save);
        }
    }

    /// How many saves are held.
    #[must_use]
    pub fn saves_held(&self) -> usize {
        locked(&self.state).saves.as_ref().map_or(0, VecDeque::len)
    }

    /// Keeps the disk from reading, as a slow one does, or lets it do what it was asked for.
    pub fn hold_loads(&self, held: bool) {
        let mut machine = locked(&self.state);
        let before = std::mem::replace(&mut machine.loads, held.then(VecDeque::new));
        before.into_iter().flatten().for_each(|(path, token)| machine.load(path, token));
    }

    /// Holds work back, as a busy machine does, or lets it be done. What becomes of files isn't held.
    pub fn hold_work(&self, held: bool) {
        let before = std::mem::replace(&mut *locked(&self.work), held.then(Held::default));
        before.into_iter().flat_map(|held| held.0).for_each(|job| self.done(job));
    }

    /// Holds back what becomes of files, as a machine does that is slow at large
    /// ones, or lets it be done.
    pub fn hold_texts(&self, held: bool) {
        let before = std::mem::replace(&mut *locked(&self.texts), held.then(Held::default));
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

    /// The file of own parts that the disk holds.
    #[must_use]
    pub fn own_parts(&self) -> Option<String> {
        locked(&self.state).own_parts.as_ref().map(|held| String::from_utf8_lossy(held).into_owned())
    }

    /// Puts a file of own parts on the disk, as another window does.
    pub fn put_own_parts(&self, text: &str) {
        locked(&self.state).own_parts = Some(text.as_bytes().to_owned());
    }

    /// The file of own parts that was put aside since it couldn't be understood.
    #[must_use]
    pub fn own_parts_aside(&self) -> Option<Vec<u8>> {
        locked(&self.state).own_parts_aside.clone()
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
        locked(&self.state).kept.as_ref().map(|kept| kept.text.clone())
    }

    /// Where that belongs.
    #[must_use]
    pub fn kept_of(&self) -> Option<Origin> {
        locked(&self.state).kept.as_ref().map(|kept| kept.origin.clone())
    }

    /// Has an earlier session leave something, of which nothing more is known.
    pub fn put_left(&self, bytes: impl Into<Vec<u8>>) {
        self.put_left_of(Origin::default(), LeftStatus::Unsaved, bytes);
    }

    /// Has an earlier session leave something.
    pub fn put_left_of(&self, origin: Origin, status: LeftStatus, bytes: impl Into<Vec<u8>>) {
        let mut machine = locked(&self.state);
        let left = machine.offered(origin, status, bytes.into());
        machine.left.push(left);
    }

    /// What was left and nobody took or turned down yet, the first first.
    #[must_use]
    pub fn left(&self) -> Vec<Vec<u8>> {
        locked(&self.state).left.iter().map(|left| left.bytes.clone()).collect()
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

    fn pick_export(&self, suggested: String, endings: &'static [&'static str]) {
        locked(&self.state).suggested = Some(suggested);
        let taken: Vec<PathBuf> = locked(&self.state).files.keys().cloned().collect();
        let is_taken = |path: &Path| taken.iter().any(|taken| taken == path);
        self.answer(|path| Event::PickedExport(paths::with_ending(path, endings, is_taken)));
    }

    fn export(&self, export: Export) {
        let mut machine = locked(&self.state);
        let Export { path, bytes, token, replaces } = export;
        let result = machine.saved(&path, bytes, &replaces).map(|_| ());
        machine.events.push_back(Event::Exported { path, token, result });
    }

    fn load(&self, path: PathBuf, token: u64) {
        let mut machine = locked(&self.state);
        match &mut machine.loads {
            Some(held) => held.push_back((path, token)),
            None => machine.load(path, token),
        }
    }

    fn save(&self, save: Save) {
        let mut machine = locked(&self.state);
        match &mut machine.saves {
            Some(held) => held.push_back(save),
            None => machine.save(save),
        }
    }

    fn watch(&self, file: Option<Watched>) {
        let mut machine = locked(&self.state);
        machine.seen = file.as_ref().map(|file| file.stamp.content);
        machine.watched = file;
        machine.look();
    }

    fn keep_recovery(&self, kept: Kept) {
        locked(&self.state).kept = Some(kept);
    }

    fn clear_recovery(&self) {
        locked(&self.state).kept = None;
    }

    fn set_aside(&self, kept: Kept) {
        let mut machine = locked(&self.state);
        let left = machine.offered(kept.origin, LeftStatus::SetAside, kept.text.into_bytes());
        machine.left.push(left.clone());
        machine.events.push_back(Event::SetAside(Ok(left)));
    }

    fn load_recovery(&self) {
        let mut machine = locked(&self.state);
        let left = machine.left.clone();
        machine.events.push_back(Event::Recovery(left));
    }

    fn take_over(&self, id: u64, kept: Kept) {
        self.keep_recovery(kept);
        self.forget_left(id);
    }

    fn forget_left(&self, id: u64) {
        locked(&self.state).left.retain(|left| left.id != id);
    }

    fn work(&self, lane: Lane, job: Work) {
        let mut held = locked(match lane {
            Lane::Answers | Lane::Searches => &self.work,
            Lane::Files | Lane::Own => &self.texts,
        });
        if let Some(held) = held.as_mut() {
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

    fn amend_own_parts(&self, amend: AmendOwnParts) {
        let machine = &mut *locked(&self.state);
        let held = machine.own_parts.clone().unwrap_or_default();
        let amended = match amend(&held) {
            Err(Unread::Broken(why)) => {
                machine.own_parts_aside = machine.own_parts.take();
                let say = Shared::OwnParts.put_aside(&why, "own-parts.broken.ron");
                machine.events.push_back(Event::OwnPartsTrouble(say));
                amend(&[])
            }
            other => other,
        };
        match amended {
            Ok((text, parts)) => {
                machine.own_parts = text.map(String::into_bytes).or(machine.own_parts.take());
                machine.events.push_back(Event::OwnParts(parts));
            }
            Err(Unread::Leave(why) | Unread::Broken(why)) => {
                machine.events.push_back(Event::OwnPartsTrouble(Shared::OwnParts.not_kept(&why)));
            }
        }
    }

    fn load_own_parts(&self) -> Option<Vec<u8>> {
        locked(&self.state).own_parts.clone()
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

    fn poll(&self) -> Vec<Event> {
        let mut machine = locked(&self.state);
        if machine.held { Vec::new() } else { machine.events.drain(..).collect() }
    }
}
