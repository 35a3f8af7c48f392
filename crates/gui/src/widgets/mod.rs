//! Small things that screens are made of.

pub mod name_field;
pub mod panel;
pub mod quantity;
