//! How quantities are held, parsed ("4.7k", "22n", "20 ft") and shown.
//!
//! Every quantity is a newtype over `f64` in its SI unit. A value outside the
//! range that a guitar rig can have, NaN and infinity never get past the
//! constructor, and so never past a file's reader.

mod level;
mod parse;
pub mod pitch;
pub mod preferred;
mod quantity;
mod show;
mod step;

pub use level::Level;
pub use parse::{Dimension, ParseError, Parsed, parse};
pub use quantity::{
    AmpereHours, Amperes, Coupling, Decibels, Farads, FaradsPerMetre, Grams, Henries, HenriesPerMetre, Hertz,
    LossTangent, Metres, MixingOhms, Ohms, OhmsPerMetre, OutOfRange, Price, Ratio, Seconds, Turn, Volts, Watts,
};
pub use show::{beside, counted, engineering, hertz, metres, part_of, shown, trimmed};
pub use step::{Step, stepped, steps_words};
