//! How much a project can hold: far beyond any stage, and little enough that
//! every question about it is answered. Edits and files go by the same numbers,
//! so that what can be drawn can be opened.

use super::{Project, Rig};

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
    /// A tour's stops.
    Stops,
    /// The plugs on one variant's supply leads: two for each device.
    Plugs,
}

impl Many {
    /// All of them.
    pub const ALL: [Self; 7] =
        [Self::Variants, Self::Sounds, Self::Devices, Self::Leads, Self::Feeds, Self::Stops, Self::Plugs];

    /// How many there can be.
    #[must_use]
    pub const fn most(self) -> usize {
        match self {
            Self::Variants | Self::Stops => 100,
            Self::Sounds | Self::Devices | Self::Feeds => 1000,
            Self::Leads => 4000,
            Self::Plugs => 2000,
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
            Self::Stops => "stops in one tour",
            Self::Plugs => "plugs on the supply leads of one variant",
        }
    }
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
        Many::Feeds => project.variants.iter().map(|variant| variant.rig.feeds.len()).max().unwrap_or(0),
    };
    Many::ALL.into_iter().find(|what| count(*what) > what.most())
}

fn plugs(rig: &Rig) -> usize {
    rig.feeds.iter().map(|feed| feed.taps.len()).sum()
}
