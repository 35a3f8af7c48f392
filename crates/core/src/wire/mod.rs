//! What a lead's make says of its electricity.

mod coax;
mod gauge;

pub use coax::coax_capacitance;
pub use gauge::{Gauge, awg_diameter, awg_ohms_per_metre};
