//! The frames that things stand in.

use egui::{CornerRadius, Frame, Margin, RichText, Stroke, Ui};

use crate::theme::{Tokens, size, text};

/// A panel's frame.
pub fn frame(tokens: &Tokens) -> Frame {
    Frame::new()
        .fill(tokens.panel)
        .stroke(Stroke::new(1.0, tokens.border))
        .corner_radius(CornerRadius::same(size::CORNER))
        .inner_margin(Margin::same(size::INSET))
}

/// The frame of what stands before everything else.
pub fn modal(ui: &Ui) -> Frame {
    Frame::window(ui.style()).inner_margin(Margin::same(16))
}

/// A panel's heading.
pub fn heading(ui: &mut Ui, words: &str) {
    ui.label(RichText::new(words).font(text::heading()));
}

/// Second-rank text that wraps.
pub fn quiet(ui: &mut Ui, words: impl Into<String>) {
    let tokens = Tokens::of(ui);
    ui.add(egui::Label::new(RichText::new(words).font(text::small()).color(tokens.quiet)).wrap());
}
