//! The key card and the legend on one sheet, to be printed and pinned up.

use egui::{Color32, Ui, UiBuilder, Vec2, vec2};

use super::finder::section;
use super::pictures::{MARGIN, headed};
use crate::help::{Section, Topic};
use crate::picture;
use crate::theme::Tokens;

/// What it is called.
pub const TITLE: &str = "Keys and signs";
const ABOUT: &str = "What each key and each movement of the mouse does, and what the signs on the screens mean";
/// How wide a column is, in points.
const COLUMN: f32 = 420.0;
/// Between two columns.
const GAP: f32 = 28.0;

/// What stands in each column.
fn columns() -> [Vec<Section>; 3] {
    let keys = Topic::Keys.page().sections;
    let mut signs = Topic::Legend.page().sections;
    // The marks are as many as the two sections before them.
    let rest = signs.split_off(signs.len().min(2));
    [keys, signs, rest]
}

fn column(ui: &mut Ui, sections: &[Section]) {
    ui.set_width(COLUMN);
    for part in sections {
        section(ui, part);
    }
}

/// How large it is, heading and margins with it.
#[must_use]
pub fn size() -> Vec2 {
    let columns = columns();
    let heights = columns.iter().map(|sections| picture::height(COLUMN, |ui| column(ui, sections)));
    let width = columns.len() as f32 * (COLUMN + GAP) - GAP;
    super::pictures::size_around(vec2(width, heights.fold(0.0, f32::max) + MARGIN))
}

/// Paints it into a room of just that size; the colour that lies behind it.
pub fn paint(ui: &mut Ui) -> Color32 {
    let room = headed(ui, TITLE, ABOUT);
    for (at, sections) in columns().iter().enumerate() {
        let left = room.left() + at as f32 * (COLUMN + GAP);
        let place = room.with_min_x(left).with_max_x(left + COLUMN);
        ui.scope_builder(UiBuilder::new().max_rect(place), |ui| column(ui, sections));
    }
    Tokens::of(ui).sheet
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::help::Line;

    #[test]
    fn every_line_of_both_pages_is_on_it_once() {
        let lines = |sections: &[Section]| -> Vec<Line> {
            sections.iter().flat_map(|section| section.lines.iter().cloned()).collect()
        };
        let both: Vec<Line> =
            [Topic::Keys, Topic::Legend].iter().flat_map(|topic| lines(&topic.page().sections)).collect();
        let on_it: Vec<Line> = columns().iter().flat_map(|sections| lines(sections)).collect();
        assert_eq!(on_it, both);
    }
}
