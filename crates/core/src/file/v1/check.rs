//! What no single field shows: lists that are empty, and things that are there twice.

use std::collections::BTreeSet;

use super::{Control, Id, Sound, State};
use crate::file::FileError;
use crate::file::parse::Step::{Entry, Field};
use crate::file::parse::{Step, locate};

/// A signal is followed from device to device, one call within another; far
/// beyond any stage, and far below what a thread's stack takes.
const MOST_DEVICES: usize = 1000;

/// What is checked of a project of any version.
pub struct Listed<'a> {
    /// The variants, in the file's order.
    pub variants: Vec<ListedVariant<'a>>,
    /// The sounds.
    pub sounds: &'a [Sound],
    /// The state in hand.
    pub state: &'a State,
}

/// What is checked of a variant: ids.
pub struct ListedVariant<'a> {
    /// Its own.
    pub id: Id,
    /// Its name.
    pub name: &'a str,
    /// Its devices'.
    pub devices: Vec<Id>,
    /// Its leads'.
    pub leads: Vec<Id>,
    /// Its feeds'.
    pub feeds: Vec<Id>,
    /// Of the devices that have a place.
    pub places: Vec<Id>,
}

/// Refuses a project that has no variant, two things under one id, or two values for one thing.
pub fn check(project: &Listed<'_>, text: &str) -> Result<(), FileError> {
    if project.variants.is_empty() {
        let (line, column) = locate(text, &[Field("variants")]);
        return Err(FileError::NoVariant { line, column });
    }
    let ids = Ids { text, what: "variant", within: &[], list: "variants", variant: None };
    ids.check(project.variants.iter().map(|variant| variant.id))?;
    let ids = Ids { what: "sound", list: "sounds", ..ids };
    ids.check(project.sounds.iter().map(|sound| sound.id))?;
    for (at, variant) in project.variants.iter().enumerate() {
        let within = [Field("variants"), Entry(at)];
        let count = variant.devices.len();
        if count > MOST_DEVICES {
            let (line, column) = locate(text, &[Field("variants"), Entry(at), Field("devices"), Entry(MOST_DEVICES)]);
            return Err(FileError::TooMany { count, most: MOST_DEVICES, line, column });
        }
        let ids = Ids { text, what: "device", within: &within, list: "devices", variant: Some(variant.name) };
        ids.check(variant.devices.iter().copied())?;
        let ids = Ids { what: "lead", list: "leads", ..ids };
        ids.check(variant.leads.iter().copied())?;
        let ids = Ids { what: "feed", list: "feeds", ..ids };
        ids.check(variant.feeds.iter().copied())?;
        if let Some((place, Id(device))) = second(variant.places.iter().copied()) {
            let (line, column) = locate(text, &[Field("variants"), Entry(at), Field("places"), Entry(place)]);
            let list = format!("the variant “{}”", variant.name);
            return Err(FileError::RepeatedEntry { what: "place", device, list, line, column });
        }
    }
    knobs(project.state, "the state in hand", &[Field("state")], text)?;
    for (at, sound) in project.sounds.iter().enumerate() {
        let list = format!("the sound “{}”", sound.name.0);
        knobs(&sound.state, &list, &[Field("sounds"), Entry(at), Field("state")], text)?;
    }
    Ok(())
}

/// A list of things with ids, and where it stands.
#[derive(Clone, Copy)]
struct Ids<'a> {
    text: &'a str,
    what: &'static str,
    within: &'a [Step],
    list: &'static str,
    variant: Option<&'a str>,
}

impl Ids<'_> {
    fn check(&self, ids: impl Iterator<Item = Id>) -> Result<(), FileError> {
        let Some((at, Id(id))) = second(ids) else {
            return Ok(());
        };
        let path: Vec<Step> = self.within.iter().copied().chain([Field(self.list), Entry(at), Field("id")]).collect();
        let (line, column) = locate(self.text, &path);
        let variant = self.variant.map(str::to_owned);
        Err(FileError::RepeatedId { what: self.what, id, variant, line, column })
    }
}

fn knobs(state: &State, list: &str, within: &[Step], text: &str) -> Result<(), FileError> {
    let knobs = state.turned.iter().map(|knob| (knob.device, name(&knob.control)));
    let Some((at, (Id(device), control))) = second(knobs) else {
        return Ok(());
    };
    let path: Vec<Step> = within.iter().copied().chain([Field("turned"), Entry(at)]).collect();
    let (line, column) = locate(text, &path);
    Err(FileError::RepeatedEntry { what: control, device, list: list.to_owned(), line, column })
}

fn name(control: &Control) -> &'static str {
    match control {
        Control::Volume => "volume",
        Control::Tone => "tone",
        Control::Treadle => "treadle",
    }
}

/// The first key that was there before, and at which place it is again.
fn second<K: Ord + Copy>(keys: impl Iterator<Item = K>) -> Option<(usize, K)> {
    let mut seen = BTreeSet::new();
    keys.enumerate().find(|(_, key)| !seen.insert(*key))
}
