//! The edge of a band under the pointer, and the state that makes it there.

use egui::Pos2;
use egui_plot::PlotTransform;
use rigwright_core::rig::{DeviceId, moved_words};
use rigwright_core::words::list;

use super::curves::{Shown, VerticalAxis};
use crate::views::StateHighlight;

/// So near, in points, the pointer is at an edge.
const NEAR: f32 = 7.0;
/// A band narrower than this has no edges to tell apart.
const LEAST: f32 = 12.0;

/// More than so many names are counted instead.
const MOST_NAMES: usize = 4;

/// What the edge under the pointer is made by.
pub struct BandEdge {
    /// Where switches stand in that state.
    pub highlight: StateHighlight,
    /// Whether it is the highest of all states, and not the lowest.
    pub highest: bool,
}

/// The edge that the pointer is at, if it is at one. An answer of before the
/// last change has none: its units may be gone.
pub fn under(pointer: Pos2, transform: &PlotTransform, axis: VerticalAxis<'_>, shown: &Shown<'_>) -> Option<BandEdge> {
    let states = shown.states().filter(|_| !shown.old)?;
    if !transform.frame().contains(pointer) {
        return None;
    }
    let log_hz = transform.value_from_position(pointer).x;
    let strip = axis.strip(states);
    let distance = |point: &[f64; 3]| (point[0] - log_hz).abs();
    let [log_hz, low, high] = *strip.iter().min_by(|a, b| distance(a).total_cmp(&distance(b)))?;
    let (top, bottom) = (transform.position_from_point_y(high), transform.position_from_point_y(low));
    let (to_top, to_bottom) = ((pointer.y - top).abs(), (pointer.y - bottom).abs());
    if bottom - top < LEAST || to_top.min(to_bottom) > NEAR {
        return None;
    }
    let at = states.hz().iter().position(|hz| hz.log10() == log_hz)?;
    let highest = to_top < to_bottom;
    let set = if highest { states.highest_state(at) } else { states.lowest_state(at) };
    Some(BandEdge { highlight: StateHighlight { set, subject: None }, highest })
}

impl BandEdge {
    /// "highest with Wah and Fuzz on", "lowest with everything off".
    /// `unmoved` is what units are whose switches nobody has moved.
    pub fn told(&self, name: impl Fn(DeviceId) -> String, unmoved: &str) -> String {
        let which = if self.highest { "highest" } else { "lowest" };
        // The drawing shows which, where they are many.
        let few = |names: &[String]| match names.len() {
            many if many > MOST_NAMES => format!("{many} units"),
            _ => list(names),
        };
        let moved = moved_words(&self.highlight.set, name, few);
        format!("{which} with {}", moved.unwrap_or_else(|| format!("everything {unmoved}")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rigwright_core::rig::SwitchSetting;

    fn told(highest: bool, on: &[u64]) -> String {
        let highlight =
            StateHighlight { set: on.iter().map(|id| SwitchSetting::on(DeviceId(*id))).collect(), subject: None };
        BandEdge { highlight, highest }.told(|id| format!("unit {}", id.0), "off")
    }

    #[test]
    fn a_state_is_told_by_what_is_on() {
        assert_eq!(told(true, &[]), "highest with everything off");
        assert_eq!(told(false, &[3]), "lowest with unit 3 on");
        assert_eq!(told(true, &[3, 5, 7]), "highest with unit 3, unit 5 and unit 7 on");
        assert_eq!(told(true, &[1, 2, 3, 4, 5]), "highest with 5 units on");
    }
}
