//! Small things that screens are made of.

pub mod choose;
pub mod divider;
pub mod entry;
pub mod focus_ring;
pub mod more;
pub mod name_field;
pub mod panel;
pub mod quantity;
pub mod small;
pub mod term;
mod term_picture;
pub mod working;
