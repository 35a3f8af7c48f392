//! Complex circuit mathematics without rigs: elements, ladders and what they
//! do to a signal, over arrays of frequencies.
//!
//! A ladder is driven by an ideal EMF at its left and open at its right; loads
//! are its last shunts. [`ChainRow`] is carried outward from the source, and
//! [`SeenAdmittance`] inward from the far end; the level at a point needs both.

mod branch;
mod chain_row;
mod ladder;
mod line;
mod nodal;
mod seen_admittance;
mod source;
mod spectrum;
mod sweep;
mod transfer;

pub use branch::{Branch, miller_capacitance};
pub use chain_row::ChainRow;
pub use ladder::{Ladder, Rung};
pub use line::{Line, TwoPort};
pub use nodal::{Nodal, Reduced};
pub use seen_admittance::SeenAdmittance;
pub use source::{Driven, JACK, MOST_NODES, SourceBuilder, SourceNetwork, Thevenin, Winding, ZERO_VOLTS};
pub use spectrum::Spectrum;
pub use sweep::{Sweep, third_octaves_hz};
pub use transfer::{NULL, Transfer};
