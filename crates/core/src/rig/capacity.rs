//! How much a project can hold: far beyond any stage, and little enough that
//! every question about it is answered. Edits and files go by the same numbers,
//! so that what can be drawn can be opened.
//!
//! Names are the one exception: files of earlier versions had no limit for them
//! but the file's own, and all that could be saved can be opened and saved
//! again. So reading and writing leave names as they are; edits make none
//! longer than [`LONGEST_NAME`], and let a longer one stay or become shorter.

use std::sync::Arc;

use super::{Device, Kind, Project, Rig};

/// The most characters of a name. [common practice, no source] It fills a line of
/// a wide screen, and is more than any sentence with it should be.
pub const LONGEST_NAME: usize = 200;

/// A list of a project that has an end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Many {
    /// A project's variants.
    Variants,
    /// A project's sounds.
    Sounds,
    /// One variant's devices. A signal is followed from device to device, one
    /// call within another, and this is far below what a thread's stack takes.
    Devices,
    /// One variant's leads: four for each device, more than jacks for them.
    Leads,
    /// One variant's supply leads: one for each device.
    Feeds,
    /// One variant's notes.
    Notes,
    /// A tour's stops.
    Stops,
    /// The plugs on one variant's supply leads: two for each device.
    Plugs,
    /// The loops of one variant's switchers: each makes the way of a signal three stations longer.
    Loops,
}

impl Many {
    /// All of them.
    pub const ALL: [Self; 9] = [
        Self::Variants,
        Self::Sounds,
        Self::Devices,
        Self::Leads,
        Self::Feeds,
        Self::Notes,
        Self::Stops,
        Self::Plugs,
        Self::Loops,
    ];

    /// How many there can be.
    #[must_use]
    pub const fn most(self) -> usize {
        match self {
            Self::Variants | Self::Stops => 100,
            Self::Sounds | Self::Devices | Self::Feeds => 1000,
            Self::Leads => 4000,
            Self::Plugs => 2000,
            Self::Loops | Self::Notes => 500,
        }
    }

    /// What they are and where: "devices in one variant".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Variants => "variants in one project",
            Self::Sounds => "sounds in one project",
            Self::Devices => "devices in one variant",
            Self::Leads => "leads in one variant",
            Self::Feeds => "supply leads in one variant",
            Self::Notes => "notes in one variant",
            Self::Stops => "stops in one tour",
            Self::Plugs => "plugs on the supply leads of one variant",
            Self::Loops => "loops of the switchers of one variant",
        }
    }
}

/// What has a name, one line of text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Named {
    /// The project: its title.
    Project,
    /// Its money.
    Currency,
    /// A variant.
    Variant,
    /// A sound.
    Sound,
    /// A device.
    Device,
    /// The part of the catalogue that a device is.
    Part,
    /// A lead's make.
    Make,
    /// A note on the sheet.
    Note,
}

impl Named {
    /// What it is, within a sentence: "the name of a device".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Project => "the title of a project",
            Self::Currency => "the name of a currency",
            Self::Variant => "the name of a variant",
            Self::Sound => "the name of a sound",
            Self::Device => "the name of a device",
            Self::Part => "the key of a part",
            Self::Make => "the name of a lead's make",
            Self::Note => "a note on the sheet",
        }
    }
}

/// What an edit gave a name that is too long: longer than a name can be, and
/// than any of its kind was before.
#[must_use]
pub fn new_long_name(before: &Project, after: &Project) -> Option<Named> {
    let kept = |variant: &Arc<_>| before.variants.iter().any(|old| Arc::ptr_eq(old, variant));
    let new: Vec<(Named, usize)> = long_names(after, |variant| !kept(variant)).collect();
    let longest =
        |what: Named| long_names(before, |_| true).filter(|(of, _)| *of == what).map(|(_, length)| length).max();
    new.into_iter().find(|(what, length)| longest(*what).is_none_or(|longest| longest < *length)).map(|(what, _)| what)
}

/// The names that are longer than a name can be, with their lengths.
fn long_names(
    project: &Project,
    looked_at: impl Fn(&Arc<super::Variant>) -> bool,
) -> impl Iterator<Item = (Named, usize)> {
    let own = [(Named::Project, &project.title), (Named::Currency, &project.currency)];
    let sounds = project.sounds.iter().map(|sound| (Named::Sound, &sound.name));
    let variants = project.variants.iter().filter(move |variant| looked_at(variant));
    let of_variants = variants.flat_map(|variant| {
        let devices = variant.rig.devices.iter();
        let devices = devices.flat_map(|device| [(Named::Device, &device.name), (Named::Part, &device.part)]);
        let leads = variant.rig.leads.iter().map(|lead| (Named::Make, &lead.cable.name));
        let notes = variant.notes.iter().map(|note| (Named::Note, &note.text));
        std::iter::once((Named::Variant, &variant.name)).chain(devices).chain(leads).chain(notes)
    });
    let all = own.into_iter().chain(sounds).chain(of_variants);
    // Characters are counted only where there are as many bytes.
    let long = all.filter(|(_, name)| name.len() > LONGEST_NAME);
    long.map(|(what, name)| (what, name.chars().count())).filter(|(_, length)| *length > LONGEST_NAME)
}

/// A name made of another and of what tells it from that, no longer than a name
/// can be: of a long one the end is left out.
#[must_use]
pub fn fitting_name(name: &str, tail: &str) -> String {
    let room = LONGEST_NAME.saturating_sub(tail.chars().count());
    if name.chars().count() <= room {
        return format!("{name}{tail}");
    }
    let begin: String = name.chars().take(room.saturating_sub(1)).collect();
    format!("{begin}…{tail}")
}

/// The first list of a project that is longer than it can be.
#[must_use]
pub fn too_many(project: &Project) -> Option<Many> {
    let count = |what| match what {
        Many::Variants => project.variants.len(),
        Many::Sounds => project.sounds.len(),
        Many::Devices => project.variants.iter().map(|variant| variant.rig.devices.len()).max().unwrap_or(0),
        Many::Leads => project.variants.iter().map(|variant| variant.rig.leads.len()).max().unwrap_or(0),
        Many::Stops => project.mains.tour.len(),
        Many::Plugs => project.variants.iter().map(|variant| plugs(&variant.rig)).max().unwrap_or(0),
        Many::Loops => project.variants.iter().map(|variant| loops(&variant.rig)).max().unwrap_or(0),
        Many::Notes => project.variants.iter().map(|variant| variant.notes.len()).max().unwrap_or(0),
        Many::Feeds => project.variants.iter().map(|variant| variant.rig.feeds.len()).max().unwrap_or(0),
    };
    Many::ALL.into_iter().find(|what| count(*what) > what.most())
}

fn loops(rig: &Rig) -> usize {
    let of = |device: &Device| match &device.kind {
        Kind::Switcher(switcher) => usize::from(switcher.loops),
        _ => 0,
    };
    rig.devices.iter().map(of).sum()
}

fn plugs(rig: &Rig) -> usize {
    rig.feeds.iter().map(|feed| feed.taps.len()).sum()
}
