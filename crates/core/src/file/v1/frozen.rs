//! The tie between a version's structs and the rig's.

use crate::rig::{DeviceId, FeedId, LeadId, SoundId, VariantId};
use crate::units::OutOfRange;

/// What a file keeps of an `R`.
pub trait Frozen<R> {
    /// As the file keeps it.
    fn freeze(from: &R) -> Self;
    /// As the rig has it.
    fn thaw(self) -> R;
}

impl<R, F: Frozen<R>> Frozen<Option<R>> for Option<F> {
    fn freeze(from: &Option<R>) -> Self {
        from.as_ref().map(F::freeze)
    }
    fn thaw(self) -> Option<R> {
        self.map(F::thaw)
    }
}

impl<R, F: Frozen<R>> Frozen<Vec<R>> for Vec<F> {
    fn freeze(from: &Vec<R>) -> Self {
        from.iter().map(F::freeze).collect()
    }
    fn thaw(self) -> Vec<R> {
        self.into_iter().map(F::thaw).collect()
    }
}

macro_rules! as_they_are {
    ($($name:ident),*) => {$(
        impl Frozen<$name> for $name {
            fn freeze(from: &$name) -> Self {
                *from
            }
            fn thaw(self) -> $name {
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
        // The next id is above all others, so the last number of all can't be one.
        if id < u64::MAX { Ok(Self(id)) } else { Err(format!("an id can't be {id}; expected a smaller number")) }
    }
}

impl From<Id> for u64 {
    fn from(id: Id) -> u64 {
        id.0
    }
}

macro_rules! ids {
    ($($name:ident),*) => {$(
        impl Frozen<$name> for Id {
            fn freeze(from: &$name) -> Self {
                Self(from.0)
            }
            fn thaw(self) -> $name {
                $name(self.0)
            }
        }
    )*};
}

ids!(DeviceId, FeedId, LeadId, SoundId, VariantId);

/// Where a symbol stands on the canvas, to the right or downward.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct Coordinate(f64);

impl Coordinate {
    /// Far past any drawing; a symbol beyond it could not be found again.
    const MOST: f64 = 1e6;

    /// The nearest that a file can hold.
    pub fn clamped(value: f64) -> Self {
        // As everywhere, −0 becomes 0.
        Self(if value.is_nan() { 0.0 } else { value.clamp(-Self::MOST, Self::MOST) + 0.0 })
    }

    /// In canvas units.
    pub fn get(self) -> f64 {
        self.0
    }
}

impl TryFrom<f64> for Coordinate {
    type Error = OutOfRange;
    fn try_from(value: f64) -> Result<Self, OutOfRange> {
        if value.abs() <= Self::MOST {
            Ok(Self(value + 0.0))
        } else {
            Err(OutOfRange { what: "a place", got: value, range: (-Self::MOST, Self::MOST), unit: "" })
        }
    }
}

impl From<Coordinate> for f64 {
    fn from(coordinate: Coordinate) -> f64 {
        coordinate.0
    }
}

/// Structs with the fields of the rig's structs of the same name.
macro_rules! frozen_structs {
    ($($(#[$about:meta])* struct $name:ident {
        $($(#[$field_about:meta])* $field:ident: $type:ty,)*
    })*) => {$(
        $(#[$about])*
        #[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            $($(#[$field_about])* pub(in crate::file) $field: $type,)*
        }

        impl Frozen<rig::$name> for $name {
            fn freeze(from: &rig::$name) -> Self {
                Self { $($field: Frozen::freeze(&from.$field),)* }
            }
            fn thaw(self) -> rig::$name {
                rig::$name { $($field: Frozen::thaw(self.$field),)* }
            }
        }
    )*};
}

/// Enums with the choices of the rig's enums of the same name.
macro_rules! frozen_enums {
    ($($(#[$about:meta])* enum $name:ident {
        $($choice:ident $(($inside:ident: $inside_type:ty))? $({ $($field:ident: $type:ty),* $(,)? })?,)*
    })*) => {$(
        $(#[$about])*
        #[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        pub enum $name {
            $($choice $(($inside_type))? $({ $($field: $type),* })?,)*
        }

        impl Frozen<rig::$name> for $name {
            fn freeze(from: &rig::$name) -> Self {
                match from {
                    $(rig::$name::$choice $(($inside))? $({ $($field),* })? => {
                        Self::$choice $((Frozen::freeze($inside)))? $({ $($field: Frozen::freeze($field)),* })?
                    })*
                }
            }
            fn thaw(self) -> rig::$name {
                match self {
                    $(Self::$choice $(($inside))? $({ $($field),* })? => {
                        rig::$name::$choice $((Frozen::thaw($inside)))? $({ $($field: Frozen::thaw($field)),* })?
                    })*
                }
            }
        }
    )*};
}

pub(in crate::file) use {frozen_enums, frozen_structs};
