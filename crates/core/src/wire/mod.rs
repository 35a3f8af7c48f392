//! What a lead's make says of its electricity.

mod coax;

pub use coax::coax_capacitance;
