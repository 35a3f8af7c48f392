//! Identity: numbers that are never used twice in a project.

/// A number that names one thing of a project for good.
pub type Id = u64;

/// Every id is below this, so that there is room for new ones for ever and
/// programs that keep numbers as doubles read them exactly: 2⁵³
/// [standard, S: binary64].
pub const IDS_END: Id = 1 << 53;

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub Id);
    )*};
}

ids! {
    /// Names a device; a variant made from another keeps it.
    DeviceId;
    /// Names a lead.
    LeadId;
    /// Names a feed.
    FeedId;
    /// Names a variant.
    VariantId;
    /// Names a sound.
    SoundId;
    /// Names a note on the sheet.
    NoteId;
}
