//! Where rigs come from: the catalogue of generic parts and leads, each number
//! with a word on where it comes from.
//!
//! ```
//! use rigwright_core::{parts::catalogue, rig::DeviceId};
//!
//! let guitar = catalogue().part("single-coil-guitar").expect("the catalogue has one");
//! assert_eq!(guitar.device(DeviceId(1)).name, "Single-coil guitar");
//! let from = guitar.source("pickup.inductance").expect("every number has a source");
//! assert_eq!(from.label.name(), "a public page");
//! ```

mod catalogue;
mod effect;
mod load;
mod need;
mod own;
mod part;
mod shop;
mod source;
pub mod usual;
pub mod usual_pickups;

pub use catalogue::{Catalogue, catalogue};
pub use effect::effect;
pub use need::{Bound, Need, Wanted};
pub use own::{part_name, shipped_part};
pub use part::{CablePart, Group, Part};
pub use shop::{lead_price, same_to_a_shop};
pub use source::{Label, Source};
