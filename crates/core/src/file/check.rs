//! What no single field shows: lists that are empty or too long, and things that are there twice.

use std::collections::BTreeSet;

use super::FileError;
use super::parse::Step::{Entry, Field};
use super::parse::{Step, locate};
use super::schema::{Device, Id, Kind, Project, State, Stored};
use crate::rig::{self, Many};

/// Refuses a project that has no variant, more than a project can hold, two
/// things under one id, or two values for one thing.
pub fn check(project: &Project, text: &str) -> Result<(), FileError> {
    if project.variants.is_empty() {
        let (line, column) = locate(text, &[Field("variants")]);
        return Err(FileError::NoVariant { line, column });
    }
    let top = List { text, within: &[], variant: None };
    top.check("variants", Many::Variants, project.variants.iter().map(|variant| variant.id))?;
    top.check("sounds", Many::Sounds, project.sounds.iter().map(|sound| sound.id))?;
    let (count, most) = (project.mains.tour.len(), Many::Stops.most());
    if count > most {
        let (line, column) = locate(text, &[Field("mains"), Field("tour"), Entry(most)]);
        return Err(FileError::TooMany { many: Many::Stops, count, line, column });
    }
    for (at, variant) in project.variants.iter().enumerate() {
        let within = [Field("variants"), Entry(at)];
        let list = List { text, within: &within, variant: Some(&variant.name.0) };
        list.check("devices", Many::Devices, variant.devices.iter().map(|device| device.id))?;
        list.check("leads", Many::Leads, variant.leads.iter().map(|lead| lead.id))?;
        list.check("feeds", Many::Feeds, variant.feeds.iter().map(|feed| feed.id))?;
        list.check("notes", Many::Notes, variant.notes.iter().map(|note| note.id))?;
        let plugs =
            variant.feeds.iter().enumerate().flat_map(|(feed, one)| (0..one.taps.len()).map(move |at| (feed, at)));
        if let Some((feed, tap)) = plugs.clone().nth(Many::Plugs.most()) {
            let (line, column) = list.locate(&[Field("feeds"), Entry(feed), Field("taps"), Entry(tap)]);
            return Err(FileError::TooMany { many: Many::Plugs, count: plugs.count(), line, column });
        }
        let loops = |device: &Device| match &device.kind {
            Kind::Switcher(switcher) => usize::try_from(u64::from(switcher.loops)).unwrap_or(usize::MAX),
            _ => 0,
        };
        let mut count = 0;
        for (number, device) in variant.devices.iter().enumerate() {
            count += loops(device);
            if count > Many::Loops.most() {
                let (line, column) = list.locate(&[Field("devices"), Entry(number)]);
                let count = variant.devices.iter().map(loops).sum();
                return Err(FileError::TooMany { many: Many::Loops, count, line, column });
            }
        }
        if let Some((place, Id(device))) = second(variant.places.iter().map(|place| place.device)) {
            let (line, column) = locate(text, &[Field("variants"), Entry(at), Field("places"), Entry(place)]);
            let list = format!("the variant “{}”", variant.name.0);
            return Err(FileError::RepeatedEntry { what: "place".to_owned(), device, list, line, column });
        }
    }
    each_once(&project.state, "the state in hand", &[Field("state")], text)?;
    for (at, sound) in project.sounds.iter().enumerate() {
        let list = format!("the sound “{}”", sound.name.0);
        each_once(&sound.state, &list, &[Field("sounds"), Entry(at), Field("state")], text)?;
        if let Some((again, Id(variant))) = second(sound.made_in.iter().map(|made| made.variant)) {
            let (line, column) = locate(text, &[Field("sounds"), Entry(at), Field("made_in"), Entry(again)]);
            return Err(FileError::RepeatedState { variant, list, line, column });
        }
        for (number, made) in sound.made_in.iter().enumerate() {
            let within = [Field("sounds"), Entry(at), Field("made_in"), Entry(number), Field("state")];
            each_once(&made.state, &list, &within, text)?;
        }
    }
    Ok(())
}

/// Where lists of things with ids stand.
#[derive(Clone, Copy)]
struct List<'a> {
    text: &'a str,
    within: &'a [Step],
    variant: Option<&'a str>,
}

impl List<'_> {
    /// No more than there can be, and each under an id of its own.
    fn check(&self, field: &'static str, many: Many, ids: impl Iterator<Item = Id> + Clone) -> Result<(), FileError> {
        let (count, most) = (ids.clone().count(), many.most());
        if count > most {
            let (line, column) = self.locate(&[Field(field), Entry(most)]);
            return Err(FileError::TooMany { many, count, line, column });
        }
        let Some((at, Id(id))) = second(ids) else {
            return Ok(());
        };
        let (line, column) = self.locate(&[Field(field), Entry(at), Field("id")]);
        let variant = self.variant.map(str::to_owned);
        Err(FileError::RepeatedId { what: one(many), id, variant, line, column })
    }

    fn locate(&self, path: &[Step]) -> (usize, usize) {
        let path: Vec<Step> = self.within.iter().chain(path).copied().collect();
        locate(self.text, &path)
    }
}

fn one(of: Many) -> &'static str {
    match of {
        Many::Variants => "variant",
        Many::Sounds => "sound",
        Many::Devices => "device",
        Many::Leads => "lead",
        Many::Feeds => "feed",
        Many::Notes => "note",
        Many::Stops => "stop",
        Many::Plugs => "plug",
        Many::Loops => "loop",
    }
}

/// Each control and each switch has one place. Devices that are on in files up
/// to version 3 may stand there twice: that says one thing.
fn each_once(state: &State, list: &str, within: &[Step], text: &str) -> Result<(), FileError> {
    let repeated = |field: &'static str, at: usize, what: String, device: u64| {
        let path: Vec<Step> = within.iter().copied().chain([Field(field), Entry(at)]).collect();
        let (line, column) = locate(text, &path);
        Err(FileError::RepeatedEntry { what, device, list: list.to_owned(), line, column })
    };
    let controls = state.turned.iter().map(|knob| (knob.device, knob.control.clone().restore()));
    if let Some((at, (Id(device), control))) = second(controls) {
        let what = if control == rig::Control::Treadle { "treadle".to_owned() } else { control.name() };
        return repeated("turned", at, what, device);
    }
    let switches = state.positions.iter().map(|set| (set.device, set.switch.clone().restore().key()));
    match second(switches) {
        Some((at, (Id(device), what))) => repeated("positions", at, what.to_owned(), device),
        None => Ok(()),
    }
}

/// The first key that was there before, and at which place it is again.
fn second<K: Ord + Copy>(keys: impl Iterator<Item = K>) -> Option<(usize, K)> {
    let mut seen = BTreeSet::new();
    keys.enumerate().find(|(_, key)| !seen.insert(*key))
}
