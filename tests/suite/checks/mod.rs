//! The worked values of `tests/SOURCES.md`, and the figures of a response.
//!
//! Tolerances are half a unit in the last digit that is printed there.

pub mod board;
mod conductors;
mod contrast;
mod controls;
mod dividers;
mod figures;
mod full_network;
mod inputs;
mod lead_equivalent;
mod leads;
mod parts;
mod pickups;
mod scales;
mod second_order;
mod selectors;
mod sends;
pub mod stereo;
mod sums;
mod transformers;
