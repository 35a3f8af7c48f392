//! Where symbols stand on the canvas.

use std::collections::BTreeMap;

use super::tie::{Id, Stored};
use crate::rig;
use crate::units::OutOfRange;

/// Where a symbol stands on the canvas, to the right or downward.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct Coordinate(f64);

impl TryFrom<f64> for Coordinate {
    type Error = OutOfRange;
    fn try_from(value: f64) -> Result<Self, OutOfRange> {
        let most = rig::CanvasPoint::MOST;
        if value.abs() <= most {
            // As everywhere, −0 becomes 0.
            Ok(Self(value + 0.0))
        } else {
            Err(OutOfRange { what: "a place", got: value, range: (-most, most), unit: "" })
        }
    }
}

impl From<Coordinate> for f64 {
    fn from(coordinate: Coordinate) -> f64 {
        coordinate.0
    }
}

impl Coordinate {
    /// Of a place, to the right and downward.
    pub(super) fn of(at: rig::CanvasPoint) -> [Self; 2] {
        let at = at.on_canvas();
        [Self(at.x), Self(at.y)]
    }

    /// The place that two of them are.
    pub(super) fn point(x: Self, y: Self) -> rig::CanvasPoint {
        rig::CanvasPoint { x: x.0, y: y.0 }
    }
}

/// How wide the rows of a drawing are.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct RowWidth(f64);

impl TryFrom<f64> for RowWidth {
    type Error = OutOfRange;
    fn try_from(value: f64) -> Result<Self, OutOfRange> {
        let range = (rig::RowWidth::LEAST, rig::CanvasPoint::MOST);
        if (range.0..=range.1).contains(&value) {
            Ok(Self(value))
        } else {
            Err(OutOfRange { what: "the width of a row", got: value, range, unit: "" })
        }
    }
}

impl From<RowWidth> for f64 {
    fn from(width: RowWidth) -> f64 {
        width.0
    }
}

impl RowWidth {
    /// As it is written.
    pub(super) fn store(width: rig::RowWidth) -> Self {
        Self(width.get())
    }

    /// As it was meant.
    pub(super) fn restore(self) -> rig::RowWidth {
        rig::RowWidth::of(self.0)
    }
}

/// Where the symbol of a device stands on the canvas.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    pub(in crate::file) device: Id,
    x: Coordinate,
    y: Coordinate,
}

/// All places of a variant.
pub(super) fn store(places: &BTreeMap<rig::DeviceId, rig::CanvasPoint>) -> Vec<Place> {
    let stored = places.iter().map(|(device, place)| {
        let [x, y] = Coordinate::of(*place);
        Place { device: Id::store(device), x, y }
    });
    stored.collect()
}

/// All places of a variant.
pub(super) fn restore(places: Vec<Place>) -> BTreeMap<rig::DeviceId, rig::CanvasPoint> {
    places.into_iter().map(|place| (place.device.restore(), Coordinate::point(place.x, place.y))).collect()
}
