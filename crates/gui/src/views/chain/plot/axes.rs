//! The plot's axes: a log axis of frequency, an even one of level, and the strings' notes.

use std::ops::RangeInclusive;

use egui::vec2;
use egui_plot::{AxisHints, GridInput, GridMark, Plot};
use rigwright_core::units::hertz;

use crate::theme::{Tokens, text};

/// An empty plot with its axes.
pub fn plot<'a>(tokens: &Tokens, room: egui::Vec2) -> Plot<'a> {
    let narrow = room.x < 520.0;
    // Every 5 dB, or every 10 where the lines would crowd.
    let step = if room.y < 190.0 { 10.0 } else { 5.0 };
    let decades = move |mark: GridMark, _: &RangeInclusive<f64>| {
        let hz = 10.0_f64.powf(mark.value);
        let leading = (hz / 10.0_f64.powf(hz.log10().floor() + 1e-9)).round() as i64;
        // In a narrow plot the thirds would run into each other.
        let shown = if narrow { matches!(leading, 1 | 10) } else { matches!(leading, 1 | 2 | 5 | 10) };
        if shown { hertz(hz) } else { String::new() }
    };
    let level = |mark: GridMark, _: &RangeInclusive<f64>| match mark.value {
        db if db > 0.05 => format!("+{db:.0}"),
        db if db < -0.05 => format!("−{:.0}", -db),
        _ => "0".to_owned(),
    };
    Plot::new("level")
        .min_size(vec2(60.0, 40.0))
        .show_background(false)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .show_x(false)
        .show_y(false)
        .show_crosshair(false)
        .set_margin_fraction(vec2(0.0, 0.0))
        .grid_color(tokens.grid)
        .x_grid_spacer(decade_marks)
        .y_grid_spacer(move |input| {
            // Not at the very bottom, where the frequencies are written.
            let first = ((input.bounds.0 + 1.0) / step).ceil() as i64;
            let last = (input.bounds.1 / step).floor() as i64;
            (first..=last).map(|i| GridMark { value: step * i as f64, step_size: step }).collect()
        })
        .custom_x_axes(vec![
            AxisHints::new_x()
                .label_spacing(18.0..=30.0)
                .formatter(decades)
                .tick_label_font(text::small())
                .tick_label_color(tokens.quiet),
        ])
        .custom_y_axes(vec![
            AxisHints::new_y()
                .label_spacing(10.0..=18.0)
                .formatter(level)
                .tick_label_font(text::small())
                .tick_label_color(tokens.quiet),
        ])
}

/// Marks at 1 to 9 of each decade; 1, 2 and 5 are the strong ones.
fn decade_marks(input: GridInput) -> Vec<GridMark> {
    let (first, last) = (input.bounds.0.floor() as i32, input.bounds.1.ceil() as i32);
    (first..=last)
        .flat_map(|decade| {
            (1..=9).map(move |n| {
                let step_size = match n {
                    1 => 1.0,
                    2 | 5 => 0.3,
                    _ => 0.1,
                };
                GridMark { value: f64::from(decade) + f64::from(n).log10(), step_size }
            })
        })
        .filter(|mark| (input.bounds.0..=input.bounds.1).contains(&mark.value))
        .collect()
}
