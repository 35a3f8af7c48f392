//! Small things that screens are made of.

pub mod panel;
pub mod quantity;
