//! Notes on the sheet.

use super::place::Coordinate;
use super::text::Text;
use super::tie::{Id, Stored};
use crate::rig;

/// Words on the sheet, and what their arrow points at.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Note {
    pub(in crate::file) id: Id,
    text: Text,
    x: Coordinate,
    y: Coordinate,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    arrow: Option<Spot>,
}

/// A place of the canvas.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spot {
    x: Coordinate,
    y: Coordinate,
}

impl Stored<rig::Note> for Note {
    fn store(from: &rig::Note) -> Self {
        let [x, y] = Coordinate::of(from.at);
        let arrow = from.arrow.map(|at| {
            let [x, y] = Coordinate::of(at);
            Spot { x, y }
        });
        Self { id: Id::store(&from.id), text: Text::store(&from.text), x, y, arrow }
    }

    fn restore(self) -> rig::Note {
        rig::Note {
            id: self.id.restore(),
            text: self.text.restore(),
            at: Coordinate::point(self.x, self.y),
            arrow: self.arrow.map(|spot| Coordinate::point(spot.x, spot.y)),
        }
    }
}
