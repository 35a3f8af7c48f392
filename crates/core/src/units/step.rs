//! Stepping a number up and down: by the values that a shop has, or evenly.

use super::preferred::{self, E6, E24};
use super::{Dimension, shown};

/// Which way, and how far.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step {
    /// Up, or else down.
    pub up: bool,
    /// A large step, or else a small one.
    pub large: bool,
}

/// Small and large steps of what is stepped evenly, in the SI unit; none for what comes
/// in preferred values.
fn even(dimension: Dimension) -> Option<[f64; 2]> {
    match dimension {
        Dimension::Length => Some([0.5, 3.0]),
        Dimension::Level => Some([0.5, 3.0]),
        Dimension::Part => Some([0.05, 0.25]),
        Dimension::Mass => Some([50.0, 500.0]),
        Dimension::Number => Some([1.0, 10.0]),
        _ => None,
    }
}

/// Patch leads are shorter than this, and stepped in finer steps.
const PATCH_LEAD: f64 = 1.0;
const PATCH_STEP: f64 = 0.05;

/// The next value up or down: through E24, or E6 in large steps, where parts come in
/// those; elsewhere to the next multiple of an even step.
#[must_use]
pub fn stepped(value: f64, dimension: Dimension, step: Step) -> f64 {
    let Some([small, large]) = even(dimension) else {
        return preferred::step(if step.large { &E6 } else { &E24 }, value, step.up);
    };
    let is_patch = value < PATCH_LEAD - SLACK || (value < PATCH_LEAD + SLACK && !step.up);
    let by = match step.large {
        true => large,
        false if dimension == Dimension::Length && is_patch => PATCH_STEP,
        false => small,
    };
    let steps = value / by;
    let next = if step.up { (steps + SLACK).floor() + 1.0 } else { (steps - SLACK).ceil() - 1.0 };
    // 0.15 and not 0.15000000000000002.
    let rounded = format!("{:.9}", next * by);
    rounded.parse().unwrap_or(next * by)
}

/// A number so near to a multiple stands on it.
const SLACK: f64 = 1e-9;

/// Which keys step, and how far, in a sentence.
#[must_use]
pub fn steps_words(dimension: Dimension, unit: &str) -> String {
    let (small, large) = match even(dimension) {
        None => ("through E24".to_owned(), "through E6".to_owned()),
        Some([_, large]) if dimension == Dimension::Length => {
            let step = |by| shown(by, dimension, unit);
            (format!("by {}, below 1 m by {}", step(0.5), step(PATCH_STEP)), format!("by {}", step(large)))
        }
        Some(steps) => {
            let [small, large] = steps.map(|by| format!("by {}", shown(by, dimension, unit)));
            (small, large)
        }
    };
    format!("The arrow keys step {small}, Page Up and Page Down {large}.")
}

#[cfg(test)]
mod tests {
    use super::*;

    const UP: Step = Step { up: true, large: false };
    const DOWN: Step = Step { up: false, large: false };

    #[test]
    fn even_steps_go_to_the_next_multiple() {
        let length = |value, step| stepped(value, Dimension::Length, step);
        assert_eq!(length(6.0, UP), 6.5);
        assert_eq!(length(6.096, UP), 6.5);
        assert_eq!(length(6.096, DOWN), 6.0);
        assert_eq!(length(0.15, UP), 0.2);
        assert_eq!(length(0.15, DOWN), 0.1);
        assert_eq!(length(1.0, DOWN), 0.95);
        assert_eq!(length(0.95, UP), 1.0);
        assert_eq!(length(1.0, UP), 1.5);
        assert_eq!(length(6.0, Step { large: true, ..UP }), 9.0);
        assert_eq!(length(4.0, Step { large: true, ..DOWN }), 3.0);
        assert_eq!(stepped(-0.3, Dimension::Level, DOWN), -0.5);
        assert_eq!(stepped(0.12, Dimension::Part, UP), 0.15);
        assert_eq!(stepped(350.0, Dimension::Mass, Step { large: true, ..UP }), 500.0);
        assert_eq!(stepped(7.0, Dimension::Number, Step { large: true, ..DOWN }), 0.0);
    }

    #[test]
    fn up_and_down_again_is_where_it_was() {
        for dimension in Dimension::ALL {
            for large in [false, true] {
                let mut value = stepped(0.5, dimension, Step { up: true, large });
                for _ in 0..50 {
                    let up = stepped(value, dimension, Step { up: true, large });
                    assert!(up > value, "{dimension:?} {value}");
                    let back = stepped(up, dimension, Step { up: false, large });
                    assert!((back - value).abs() <= 1e-9 * value.abs(), "{dimension:?}: {value} {up} {back}");
                    value = up;
                }
            }
        }
    }

    #[test]
    fn keys_are_named_with_their_steps() {
        assert_eq!(
            steps_words(Dimension::Resistance, "Ω"),
            "The arrow keys step through E24, Page Up and Page Down through E6."
        );
        assert_eq!(
            steps_words(Dimension::Length, "m"),
            "The arrow keys step by 0.5 m, below 1 m by 0.05 m, Page Up and Page Down by 3 m."
        );
        assert_eq!(steps_words(Dimension::Part, ""), "The arrow keys step by 5 %, Page Up and Page Down by 25 %.");
    }
}
