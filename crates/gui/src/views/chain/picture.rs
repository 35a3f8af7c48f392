//! The drawing and the plot as pictures.

use egui::{Ui, Vec2, vec2};
use rigwright_core::rig::standing::state_words;

use super::plot::LevelPlot;
use super::sheet;
use crate::views::Facts;

/// The plot in a picture.
pub const PLOT_SIZE: Vec2 = vec2(980.0, 520.0);

/// How everything stands, as on the screen.
#[must_use]
pub fn about(facts: &Facts<'_>) -> String {
    state_words(&facts.project.state, facts.variant)
}

/// How large the drawing is, all of it.
#[must_use]
pub fn drawing_size(facts: &Facts<'_>) -> Vec2 {
    sheet::picture::size(facts.variant)
}

/// The drawing, all of it.
pub fn drawing(ui: &mut Ui, facts: &Facts<'_>) {
    sheet::picture::paint(ui, facts);
}

/// The level plot with whose curve is whose.
pub fn plot(ui: &mut Ui, facts: &Facts<'_>) {
    LevelPlot::in_strokes().picture(ui, facts);
}
