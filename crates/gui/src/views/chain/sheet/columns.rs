//! The columns of a loop switcher: one for each loop, which hangs below its rail.

use egui::{Vec2, vec2};
use rigwright_core::rig::Jack;

/// The narrowest column.
pub const NARROWEST: f32 = 208.0;
/// From the widest thing in a loop to the column's edge, on either side.
pub const SIDE: f32 = 22.0;
/// From the ends of the rail to the first column and the last.
pub const END: f32 = 44.0;
/// From a column's edge to its send or its return.
const JACK: f32 = 10.0;
/// From the rail down to sends and returns.
pub const DROP: f32 = 28.0;

/// One loop's column.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Column {
    /// From the switcher's middle to the column's, to the right.
    pub middle: f32,
    /// Half its width.
    pub half: f32,
}

impl Column {
    /// From the switcher's middle to where the loop's send hangs.
    #[must_use]
    pub fn send(self) -> Vec2 {
        vec2(self.middle - self.half + JACK, DROP)
    }

    /// The same for its return.
    #[must_use]
    pub fn back(self) -> Vec2 {
        vec2(self.middle + self.half - JACK, DROP)
    }
}

/// Columns of these widths side by side.
#[must_use]
pub fn side_by_side(widths: &[f32]) -> Vec<Column> {
    let mut x = -0.5 * widths.iter().sum::<f32>();
    let mut found = Vec::new();
    for width in widths {
        found.push(Column { middle: x + 0.5 * width, half: 0.5 * width });
        x += width;
    }
    found
}

/// The width of a switcher with these columns.
#[must_use]
pub fn width(columns: &[Column]) -> f32 {
    columns.iter().map(|column| 2.0 * column.half).sum::<f32>() + 2.0 * END
}

/// From a switcher's middle to one of the jacks that hang below it.
#[must_use]
pub fn jack(columns: &[Column], jack: Jack) -> Option<Vec2> {
    let column = |number: u8| columns.get(usize::from(number).checked_sub(1)?).copied();
    match jack {
        Jack::Send(number) => Some(column(number)?.send()),
        Jack::Return(number) => Some(column(number)?.back()),
        _ => None,
    }
}
