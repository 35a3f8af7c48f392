//! Why an edit can't be done, in a sentence.

use std::fmt;

use super::{
    DeviceId, FeedId, Id, LONGEST_NAME, LeadId, Many, Named, NoteId, OutletRef, Position, SoundId, SwitchRef, VariantId,
};
use crate::units::counted;

/// Why an edit can't be done; the project stays as it was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum EditError {
    /// No such variant.
    NoVariant(VariantId),
    /// No such device.
    NoDevice(DeviceId),
    /// No such lead.
    NoLead(LeadId),
    /// No such note.
    NoNote(NoteId),
    /// The sound isn't there.
    NoSound(SoundId),
    /// A unit can't stand before itself.
    OneUnitTwice,
    /// An id that is in use already.
    IdTaken(Id),
    /// The device has no way through, so it can't stand on a lead.
    NoWayThrough(String),
    /// The device is plugged in already.
    NotLoose(String),
    /// The device's other output feeds that lead: it would feed itself.
    FeedsItself(String),
    /// Two devices that can't trade places: one has a jack, in or out, that the other lacks.
    NotAlike(String, String),
    /// No such feed.
    NoFeed(FeedId),
    /// The device has no such switch, or the switch no such position.
    NoPosition(SwitchRef, Position),
    /// No such outlet.
    NoOutlet(OutletRef),
    /// The outlet's selector has no such position.
    NoSetting(OutletRef, u8),
    /// A feed without a plug.
    NoPlug(FeedId),
    /// The last variant stays.
    LastVariant,
    /// There would be more of something than a project can hold.
    TooMany(Many),
    /// A name would be longer than a name can be.
    NameTooLong(Named),
    /// Every id is used, so there is none for anything new.
    NoIdLeft,
}

impl fmt::Display for EditError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoVariant(VariantId(id)) => write!(f, "there is no variant {id} in this project"),
            Self::NoDevice(DeviceId(id)) => write!(f, "there is no device {id} in this variant"),
            Self::NoLead(LeadId(id)) => write!(f, "there is no lead {id} in this variant"),
            Self::NoNote(NoteId(id)) => write!(f, "there is no note {id} on this sheet"),
            Self::NoSound(SoundId(id)) => write!(f, "there is no sound {id} in this project"),
            Self::OneUnitTwice => f.write_str("a unit can't keep an order with itself"),
            Self::IdTaken(id) => write!(f, "the id {id} is in use already"),
            Self::NoWayThrough(name) => {
                write!(f, "{name} has no input and output to plug a lead through; join it to a free jack instead")
            }
            Self::NotLoose(name) => write!(f, "{name} is plugged in already; move it instead"),
            Self::FeedsItself(name) => {
                write!(f, "{name} feeds that lead from its other output, so the signal would go round in a circle")
            }
            Self::NotAlike(one, other) => {
                write!(f, "{one} and {other} can't trade places: one of them has a jack that the other lacks")
            }
            Self::NoFeed(FeedId(id)) => write!(f, "there is no supply lead {id} in this variant"),
            Self::NoPosition(SwitchRef { device: DeviceId(id), key }, Position(at)) => {
                write!(f, "the {key} of device {id} has no position {}", at + 1)
            }
            Self::NoOutlet(OutletRef { supply: DeviceId(id), outlet }) => {
                write!(f, "device {id} of this variant has no outlet {outlet}")
            }
            Self::NoSetting(OutletRef { outlet, .. }, setting) => {
                write!(f, "outlet {outlet} can't be set to its position {setting}; it has fewer")
            }
            Self::NoPlug(FeedId(id)) => write!(f, "the supply lead {id} would have no plug"),
            Self::LastVariant => f.write_str("a project keeps at least one variant"),
            Self::TooMany(what) => {
                write!(f, "there can be {} {} at most; take some out first", counted(what.most()), what.words())
            }
            Self::NameTooLong(what) => write!(f, "{} has {LONGEST_NAME} characters at most; shorten it", what.words()),
            Self::NoIdLeft => f.write_str("this project has used up its numbers, so nothing new can join it"),
        }
    }
}

impl std::error::Error for EditError {}
