//! What the window paints, as a picture that leaves the program.
//!
//! A frame of a window that nobody sees is painted by the same functions as the
//! screen's (`frame`); what it painted becomes a [`Description`] (`gather`, its words
//! as outlines by `letters`), and that becomes SVG or PNG. So there is one drawing,
//! and whatever leaves the program is made from one list.

mod description;
mod frame;
mod gather;
mod letters;
mod png;
mod svg;

pub use description::{Description, Item, Primitive, Segment};
pub use frame::{Look, NoPicture, Request, height, taken};
pub use png::{Pixels, png};
pub use svg::svg;

#[cfg(test)]
mod tests;
