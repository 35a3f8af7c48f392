//! Parts of the player's own: kept from devices, changed in the catalogue, saved to a file
//! of one's choice and taken in from one.

use std::path::{Path, PathBuf};

use rigwright_core::file::{Added, OwnPartsError, TakenIn, is_own_parts, own_part, read_own_parts, write_own_parts};
use rigwright_core::rig::OwnPart;
use rigwright_core::units::{counted, trimmed};

use super::Desk;
use super::bars::Notice;
use super::files::Then;
use super::own_questions::{OwnAnswer, OwnQuestion};
use super::questions::{PathFor, PendingQuestion};
use crate::jobs::{Content, EXTENSION, Export, Lane, NotSaved, Replaces, Stamp, name_of, named_as};
use crate::state::own_parts::{Changed, amendment};
use crate::state::{Deferred, OwnChange, SameQuestion, Schedule};
use crate::views::OwnAsk;

/// What a dialog asks a file for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Asked {
    /// To take parts in from.
    TakeIn,
    /// To save the own parts to.
    Save,
}

/// A file that is looked into: where it is, and whether it was asked for as one of own parts.
#[derive(Debug, Clone)]
struct Incoming {
    token: u64,
    path: PathBuf,
    wanted: bool,
}

impl SameQuestion for Incoming {
    fn same(&self, other: &Self) -> bool {
        self.token == other.token
    }
}

/// The work on such a file.
type Reading = Deferred<Incoming, Result<Vec<OwnPart>, OwnPartsError>>;

/// What is under way with own parts.
#[derive(Debug, Default)]
pub struct OwnFiles {
    asked: Option<Asked>,
    /// What the disk is asked for.
    loading: Option<Incoming>,
    reading: Option<(Incoming, Reading)>,
    /// The path that was typed for what is being written, if it was typed.
    saving: Option<(u64, Option<String>)>,
}

impl Desk {
    /// Looks once more at what is kept: another window may have added something.
    pub(super) fn look_at_own_parts(&self) {
        self.host.amend_own_parts(amendment(None));
    }

    /// Changes the own parts, here and where they are kept, and says what came of it.
    fn change_own_parts(&mut self, change: OwnChange) {
        let changed = self.own_parts.change(&change);
        let words = match changed {
            Changed::Kept(Added::As(name)) => Some(format!("“{name}” is one of your own parts now.")),
            Changed::Kept(Added::Before) => Some("Just that part is one of your own already.".to_owned()),
            Changed::Kept(Added::Full) => Some("There is no room for more own parts: remove one first.".to_owned()),
            Changed::TakenIn(taken) => Some(taken_in_words(taken)),
            Changed::Renamed(_) | Changed::Done => None,
        };
        self.host.amend_own_parts(amendment(Some(change)));
        self.notice = words.map(Notice::word).or(self.notice.take());
    }

    /// Asks about an own part, or about a device that is to be one.
    pub(super) fn ask_own_part(&mut self, ask: OwnAsk) {
        let own = |key: &str| self.own_parts.own(key);
        let found = match &ask {
            OwnAsk::Keep(id) => self.showing().and_then(|variant| variant.rig.device(*id)).map(|device| {
                let name = self.own_parts.free_name(&device.name);
                (device.name.clone(), name)
            }),
            OwnAsk::Rename(key) | OwnAsk::Remove(key) => own(key).map(|part| (part.name.clone(), part.name.clone())),
            OwnAsk::SetPrice(key) => own(key).map(|part| (part.name.clone(), trimmed(part.body.price.get(), 9))),
        };
        if let Some((name, typed)) = found {
            self.question = Some(PendingQuestion::Own(OwnQuestion { ask, name, typed, wrong: None }));
        }
    }

    /// Does what a question about an own part was answered with.
    pub(super) fn own_answered(&mut self, question: OwnQuestion, answer: OwnAnswer) {
        if answer == OwnAnswer::Leave {
            return;
        }
        let change = match &question.ask {
            OwnAsk::Keep(id) => question.typed_name().map(|name| {
                let device = self.showing().and_then(|variant| variant.rig.device(*id));
                device.map(|device| OwnChange::Keep(Box::new(own_part(device, &name))))
            }),
            OwnAsk::Rename(key) => question.typed_name().map(|name| Some(OwnChange::Rename(key.clone(), name))),
            OwnAsk::SetPrice(key) => question.typed_price().map(|price| Some(OwnChange::SetPrice(key.clone(), price))),
            OwnAsk::Remove(key) => Ok(Some(OwnChange::Remove(key.clone()))),
        };
        match change {
            Ok(change) => change.into_iter().for_each(|change| self.change_own_parts(change)),
            Err(wrong) => self.question = Some(PendingQuestion::Own(OwnQuestion { wrong: Some(wrong), ..question })),
        }
    }

    /// Asks for a file to save the own parts to.
    pub(super) fn save_own_parts(&mut self) {
        self.own_files.asked = Some(Asked::Save);
        self.host.pick_export(suggested(), &[EXTENSION]);
    }

    /// Asks for a file of parts to take in.
    pub(super) fn ask_for_own_parts(&mut self) {
        self.own_files.asked = Some(Asked::TakeIn);
        self.host.pick_open();
    }

    /// A dialog gave a file to open; whether it was asked for here.
    pub(super) fn picked_own_parts(&mut self, path: &Path) -> bool {
        let asked = self.own_files.asked.take_if(|asked| *asked == Asked::TakeIn).is_some();
        if asked {
            self.look_into(path.to_path_buf(), true);
        }
        asked
    }

    /// A dialog gave a file to write to, and asked about one that is there; whether it was asked for here.
    pub(super) fn picked_for_own_parts(&mut self, path: &Path) -> bool {
        let asked = self.own_files.asked.take_if(|asked| *asked == Asked::Save).is_some();
        if asked {
            self.write_own_parts(path.to_path_buf(), Replaces::Anything, None);
        }
        asked
    }

    /// This desktop has no dialogs: the path is to be typed. False where the dialog was another's.
    pub(super) fn type_own_parts_path(&mut self) -> bool {
        let (what, typed) = match self.own_files.asked.take() {
            Some(Asked::Save) => (PathFor::SaveOwnParts, suggested()),
            Some(Asked::TakeIn) => (PathFor::TakeInParts, String::new()),
            None => return false,
        };
        self.question = Some(PendingQuestion::Path { what, typed, wrong: None });
        true
    }

    /// Nobody chose a file.
    pub(super) fn call_off_own_parts(&mut self) {
        self.own_files.asked = None;
    }

    /// A path was typed for the own parts; nobody was asked about a file that is there.
    pub(super) fn typed_for_own_parts(&mut self, path: PathBuf, typed: String) {
        let path = if path.extension().is_none() { path.with_extension(EXTENSION) } else { path };
        self.write_own_parts(path, Replaces::Only(Vec::new()), Some(typed));
    }

    /// The same although there is a file of that name, which holds this.
    pub(super) fn replace_by_own_parts(&mut self, path: PathBuf, found: Content) {
        self.write_own_parts(path, Replaces::Only(vec![found]), None);
    }

    fn write_own_parts(&mut self, path: PathBuf, replaces: Replaces, typed: Option<String>) {
        match write_own_parts(self.own_parts.kept()) {
            Ok(text) => {
                let token = self.own_token();
                self.own_files.saving = Some((token, typed));
                self.host.export(Export { path, bytes: text.into_bytes(), token, replaces });
            }
            Err(error) => self.notice = Some(Notice::trouble(format!("Your own parts can't be saved: {error}."))),
        }
    }

    /// A number that no picture or table has: those count up from the other end.
    fn own_token(&mut self) -> u64 {
        u64::MAX - self.files.token()
    }

    /// A file was written, or wasn't; whether it was one of own parts.
    pub(super) fn own_parts_saved(&mut self, path: &Path, token: u64, result: &Result<(), NotSaved>) -> bool {
        let Some((_, typed)) = self.own_files.saving.take_if(|(saving, _)| *saving == token) else { return false };
        match (result, typed) {
            (Ok(()), _) => {
                self.notice = Some(Notice::word(format!("Your own parts are in “{}”.", name_of(path))));
            }
            (Err(NotSaved::Why(why)), Some(typed)) if self.question.is_none() => {
                let wrong = Some(why.clone());
                self.question = Some(PendingQuestion::Path { what: PathFor::SaveOwnParts, typed, wrong });
            }
            (Err(NotSaved::Why(why)), _) => self.notice = Some(Notice::trouble(why.clone())),
            (Err(NotSaved::Other(found)), _) if self.question.is_none() => {
                self.question = Some(PendingQuestion::ReplaceByOwnParts { path: path.to_path_buf(), found: *found });
            }
            (Err(NotSaved::Other(_)), _) => {
                let words = format!("Your own parts aren't saved: “{}” is there already.", name_of(path));
                self.notice = Some(Notice::trouble(words));
            }
        }
        true
    }

    /// Looks into a file: parts in it are taken in, and what else it is, it is opened as that
    /// unless parts were `wanted`.
    pub(super) fn look_into(&mut self, path: PathBuf, wanted: bool) {
        let token = self.own_token();
        self.own_files.loading = Some(Incoming { token, path: path.clone(), wanted });
        self.host.load(path, token);
    }

    /// A file was read, or wasn't; whether it was looked into here.
    pub(super) fn own_parts_loaded(&mut self, token: u64, result: &Result<(Vec<u8>, Stamp), String>) -> bool {
        let Some(incoming) = self.own_files.loading.take_if(|incoming| incoming.token == token) else { return false };
        match result {
            Ok((bytes, _)) if incoming.wanted || is_own_parts(bytes) => self.read_own_parts(incoming, bytes.clone()),
            Err(why) if incoming.wanted => self.notice = Some(Notice::trouble(why.clone())),
            _ if self.question.is_none() => self.leave_for(Then::Open(incoming.path)),
            _ => {}
        }
        true
    }

    /// Bytes of a file that was to be opened as a rig, and holds own parts instead.
    pub(super) fn take_in_opened(&mut self, path: PathBuf, bytes: Vec<u8>) {
        let token = self.own_token();
        self.read_own_parts(Incoming { token, path, wanted: true }, bytes);
    }

    fn read_own_parts(&mut self, incoming: Incoming, bytes: Vec<u8>) {
        // It isn't opened, so nothing is said of that.
        self.files.dropped = None;
        let mut reading = Reading::default();
        let schedule = Schedule { host: &*self.host, lane: Lane::Files, finish_running: false };
        reading.ask(&incoming, schedule, move |_| Some(read_own_parts(&bytes)));
        self.own_files.reading = Some((incoming, reading));
        self.own_parts_read();
    }

    /// Takes in what a file was made into, once it is.
    pub(super) fn own_parts_read(&mut self) {
        let Some((incoming, reading)) = &mut self.own_files.reading else { return };
        reading.poll();
        if reading.died() {
            // That is said already.
            self.own_files.reading = None;
            return;
        }
        let Some(shown) = reading.shown() else { return };
        let (name, read) = (name_of(&incoming.path), (**shown.answer).clone());
        self.own_files.reading = None;
        match read {
            Ok(parts) if parts.is_empty() => {
                self.notice = Some(Notice::word(format!("There are no parts in “{name}”.")));
            }
            Ok(parts) => self.change_own_parts(OwnChange::TakeIn(parts)),
            Err(error) => {
                self.notice = Some(Notice::trouble(format!("No parts are taken in from “{name}”: {error}.")));
            }
        }
    }

    /// Whether a file of parts is being read.
    pub(super) fn reads_own_parts(&self) -> bool {
        self.own_files.loading.is_some() || self.own_files.reading.is_some()
    }

    /// Whether own parts aren't written yet: the window's end would cut that off.
    pub(super) fn writes_own_parts(&self) -> bool {
        self.own_files.saving.is_some()
    }
}

fn suggested() -> String {
    named_as("my own parts", EXTENSION)
}

/// "3 parts were taken in, 1 of them under another name; 2 were there already."
fn taken_in_words(taken: TakenIn) -> String {
    let TakenIn { added, renamed, before, left_out } = taken;
    let were = |count: usize, words: &str| match count {
        1 => format!("1 {words}"),
        count => format!("{} {words}", counted(count)),
    };
    let mut words = match added {
        0 => "No part was taken in".to_owned(),
        1 => "1 part was taken in".to_owned(),
        added => format!("{} parts were taken in", counted(added)),
    };
    if renamed > 0 {
        words.push_str(&format!(", {} with a number since its name is another part's", were(renamed, "of them")));
    }
    if before > 0 {
        words.push_str(&format!("; {} there already", if before == 1 { "1 was".into() } else { were(before, "were") }));
    }
    if left_out > 0 {
        words.push_str(&format!("; for {} there is no room", counted(left_out)));
    }
    words.push('.');
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_taken_in_is_counted() {
        let words = |added, renamed, before, left_out| taken_in_words(TakenIn { added, renamed, before, left_out });
        assert_eq!(words(1, 0, 0, 0), "1 part was taken in.");
        assert_eq!(words(0, 0, 1, 0), "No part was taken in; 1 was there already.");
        assert_eq!(
            words(3, 1, 2, 4),
            "3 parts were taken in, 1 of them with a number since its name is another part's; 2 were there already; \
             for 4 there is no room."
        );
    }
}
