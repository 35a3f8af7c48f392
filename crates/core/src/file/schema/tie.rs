//! The tie between the file's structs and the rig's.

use crate::rig;

/// What a file keeps of an `R`.
pub trait Stored<R> {
    /// As the file keeps it.
    fn store(from: &R) -> Self;
    /// As the rig has it.
    fn restore(self) -> R;
}

impl<R, F: Stored<R>> Stored<Option<R>> for Option<F> {
    fn store(from: &Option<R>) -> Self {
        from.as_ref().map(F::store)
    }
    fn restore(self) -> Option<R> {
        self.map(F::restore)
    }
}

impl<R, F: Stored<R>> Stored<Vec<R>> for Vec<F> {
    fn store(from: &Vec<R>) -> Self {
        from.iter().map(F::store).collect()
    }
    fn restore(self) -> Vec<R> {
        self.into_iter().map(F::restore).collect()
    }
}

macro_rules! as_they_are {
    ($($name:ident),*) => {$(
        impl Stored<$name> for $name {
            fn store(from: &$name) -> Self {
                *from
            }
            fn restore(self) -> $name {
                self
            }
        }
    )*};
}

as_they_are!(bool, u8);

/// An id of anything.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
#[serde(try_from = "u64", into = "u64")]
pub struct Id(pub u64);

impl TryFrom<u64> for Id {
    type Error = String;
    fn try_from(id: u64) -> Result<Self, String> {
        if id < rig::IDS_END {
            Ok(Self(id))
        } else {
            Err(format!("an id can't be {id}; expected a number below {}", rig::IDS_END))
        }
    }
}

impl From<Id> for u64 {
    fn from(id: Id) -> u64 {
        id.0
    }
}

macro_rules! ids {
    ($($name:ident),*) => {$(
        impl Stored<rig::$name> for Id {
            fn store(from: &rig::$name) -> Self {
                Self(from.0)
            }
            fn restore(self) -> rig::$name {
                rig::$name(self.0)
            }
        }
    )*};
}

ids!(DeviceId, FeedId, LeadId, NoteId, SoundId, VariantId);

/// The id that the next new thing gets: above all others, and one past the last when all are used.
#[derive(Debug, Clone, Copy, PartialEq, Default, serde::Serialize, serde::Deserialize)]
#[serde(try_from = "u64", into = "u64")]
pub struct NextId(pub u64);

impl TryFrom<u64> for NextId {
    type Error = String;
    fn try_from(id: u64) -> Result<Self, String> {
        if id <= rig::IDS_END {
            Ok(Self(id))
        } else {
            Err(format!("the next id can't be {id}; expected {} at most", rig::IDS_END))
        }
    }
}

impl From<NextId> for u64 {
    fn from(id: NextId) -> u64 {
        id.0
    }
}

/// Structs with the fields of the rig's structs of the same name.
macro_rules! stored_structs {
    ($($(#[$about:meta])* struct $name:ident {
        $($(#[$field_about:meta])* $field:ident: $type:ty,)*
    })*) => {$(
        $(#[$about])*
        #[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            $($(#[$field_about])* pub(in crate::file) $field: $type,)*
        }

        impl Stored<rig::$name> for $name {
            fn store(from: &rig::$name) -> Self {
                Self { $($field: Stored::store(&from.$field),)* }
            }
            fn restore(self) -> rig::$name {
                rig::$name { $($field: Stored::restore(self.$field),)* }
            }
        }
    )*};
}

/// Enums with the choices of the rig's enums of the same name.
macro_rules! stored_enums {
    ($($(#[$about:meta])* enum $name:ident {
        $($choice:ident
            $(($inside:ident: $inside_type:ty))?
            $({ $($(#[$field_about:meta])* $field:ident: $type:ty),* $(,)? })?,)*
    })*) => {$(
        $(#[$about])*
        #[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        #[allow(clippy::large_enum_variant, reason = "it is there while a file is read or written")]
        pub enum $name {
            $($choice $(($inside_type))? $({ $($(#[$field_about])* $field: $type),* })?,)*
        }

        impl Stored<rig::$name> for $name {
            fn store(from: &rig::$name) -> Self {
                match from {
                    $(rig::$name::$choice $(($inside))? $({ $($field),* })? => {
                        Self::$choice $((Stored::store($inside)))? $({ $($field: Stored::store($field)),* })?
                    })*
                }
            }
            fn restore(self) -> rig::$name {
                match self {
                    $(Self::$choice $(($inside))? $({ $($field),* })? => {
                        rig::$name::$choice $((Stored::restore($inside)))? $({ $($field: Stored::restore($field)),* })?
                    })*
                }
            }
        }
    )*};
}

pub(in crate::file) use {stored_enums, stored_structs};
