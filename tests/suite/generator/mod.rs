//! Random rigs that like nasty corners, from a seed: zero lengths, one device
//! and sixty-four, pots and treadles at their ends, 1 Ω beside 10 MΩ.

mod broken;
mod build;
mod choices;
mod edits;
pub mod parts;
pub mod pickups;
mod power;
mod rig;
mod sends;
mod several;
mod stereo;
mod wider;

pub use broken::broken;
pub use choices::choices;
pub use edits::{KINDS, edits, insert, kind, sound};
pub use parts::through;
pub use pickups::with_pickups;
pub use rig::{Case, healthy, without_power};
pub use rigwright_tests::Dice;
pub use sends::sends;
pub use several::{joined, several};
pub use stereo::stereo;
pub use wider::wider;
