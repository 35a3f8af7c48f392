//! What of a rig can be made a picture of, and how large that is. The screens paint
//! it as they paint it for the window, without what a hand works.

use egui::{Color32, Label, Rect, RichText, Ui, UiBuilder, Vec2, vec2};

use super::{Facts, chain, power};
use crate::theme::{Tokens, text};

/// What can be made a picture of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Pictured {
    /// The circuit drawing of the variant in hand, all of it.
    Drawing,
    /// The level plot as it is shown.
    Plot,
    /// The rails of the variant in hand, all of them.
    Power,
}

/// Around everything.
pub const MARGIN: f32 = 18.0;
/// What the heading takes.
const HEADING: f32 = 46.0;
/// Narrower than this a heading has no room.
const LEAST_WIDTH: f32 = 620.0;

impl Pictured {
    /// What it is of: "Pit rig, spring tour: all true bypass".
    #[must_use]
    pub fn title(self, facts: &Facts<'_>) -> String {
        format!("{}: {}", facts.project.title, facts.variant.name)
    }

    /// How the rig stands, in a line.
    fn about(self, facts: &Facts<'_>) -> String {
        match self {
            Self::Drawing | Self::Plot => chain::picture::about(facts),
            Self::Power => power::picture::about(facts),
        }
    }

    /// How large it is, heading and margins with it.
    #[must_use]
    pub fn size(self, facts: &Facts<'_>) -> Vec2 {
        let inside = match self {
            Self::Drawing => chain::picture::drawing_size(facts),
            Self::Plot => chain::picture::PLOT_SIZE,
            Self::Power => power::picture::size(facts),
        };
        size_around(inside)
    }

    /// Paints it into a room of just that size; the colour that lies behind it.
    pub fn paint(self, ui: &mut Ui, facts: &Facts<'_>) -> Color32 {
        let tokens = Tokens::of(ui);
        let rest = headed(ui, &self.title(facts), &self.about(facts));
        ui.scope_builder(UiBuilder::new().max_rect(rest), |ui| match self {
            Self::Drawing => chain::picture::drawing(ui, facts),
            Self::Plot => chain::picture::plot(ui, facts),
            Self::Power => power::picture::rails(ui, facts),
        });
        match self {
            // Words over its curves stand on patches of this.
            Self::Plot => tokens.panel,
            Self::Drawing | Self::Power => tokens.sheet,
        }
    }
}

/// How large a picture is whose inside is so large.
#[must_use]
pub fn size_around(inside: Vec2) -> Vec2 {
    vec2(inside.x.max(LEAST_WIDTH), inside.y) + vec2(2.0 * MARGIN, 2.0 * MARGIN + HEADING)
}

/// Paints a picture's heading; the room below it.
pub fn headed(ui: &mut Ui, title: &str, about: &str) -> Rect {
    let tokens = Tokens::of(ui);
    let room = ui.max_rect().shrink(MARGIN);
    let (heading, rest) = room.split_top_bottom_at_y(room.top() + HEADING);
    ui.scope_builder(UiBuilder::new().max_rect(heading), |ui| {
        ui.add(Label::new(RichText::new(title).font(text::title()).color(tokens.ink)).truncate());
        ui.add(Label::new(RichText::new(about).font(text::small()).color(tokens.quiet)).truncate());
    });
    rest
}
