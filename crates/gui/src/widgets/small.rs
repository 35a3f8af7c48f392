//! Buttons of second rank.

use egui::{Button, RichText};

use crate::theme::text;

/// A button whose words are small, with the same room around them as any.
pub fn button(words: impl Into<String>) -> Button<'static> {
    Button::new(RichText::new(words).font(text::small()))
}
