//! The rails as a picture: as the sheet shows them with nothing pointed at.

use egui::{Ui, Vec2};

use super::canvas::{self, Scene};
use super::status;
use crate::views::Facts;

/// What the rails' rows are wrapped to, in points.
const WIDTH: f32 = 980.0;

/// How the rig's power stands, as on the screen.
#[must_use]
pub fn about(facts: &Facts<'_>) -> String {
    let answer = facts.power.answer.as_ref().map(|shown| &**shown.answer);
    answer.map_or_else(String::new, |answer| status(facts.variant, &facts.project.mains, answer))
}

/// How large they are, all of them.
#[must_use]
pub fn size(facts: &Facts<'_>) -> Vec2 {
    canvas::whole_size(&scene(facts), WIDTH)
}

/// The rails, all of them.
pub fn rails(ui: &mut Ui, facts: &Facts<'_>) {
    canvas::whole(ui, &scene(facts), WIDTH);
}

fn scene<'a>(facts: &Facts<'a>) -> Scene<'a> {
    Scene { is_picture: true, ..Scene::of(facts) }
}
