//! What its conductors say of a lead: capacitance per metre from a cross-section,
//! resistance per metre from a gauge.

mod coax;
mod gauge;

pub use coax::coax_capacitance;
pub use gauge::{Gauge, awg_diameter, awg_ohms_per_metre};
