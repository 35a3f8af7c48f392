//! What a mouse wheel does where nothing is to glide.

use egui::{Event, InputOptions, MouseWheelUnit, RawInput};

/// Longer steps than these, in points, the window's library spreads over several frames.
const AT_ONCE: f32 = 7.5;
/// So much of the wheel at most is done at once, in such steps; the rest glides.
const MOST_STEPS: f32 = 200.0;

/// A step of the wheel in as many short ones as it takes, so that all of it is done in one frame.
pub fn wheel_at_once(input: &mut RawInput, options: &InputOptions) {
    let page = input.screen_rect.map_or(0.0, |screen| screen.height());
    let events = std::mem::take(&mut input.events);
    input.events = events.into_iter().flat_map(|event| steps(event, options, page)).collect();
}

fn steps(event: Event, options: &InputOptions, page: f32) -> Vec<Event> {
    let Event::MouseWheel { unit, delta, phase, source, modifiers } = event else { return vec![event] };
    let points = match unit {
        MouseWheelUnit::Point => delta,
        MouseWheelUnit::Line => options.line_scroll_speed * delta,
        MouseWheelUnit::Page => page * delta,
    };
    let count = (points.length() / AT_ONCE).ceil();
    if !(1.0..=MOST_STEPS).contains(&count) {
        return vec![Event::MouseWheel { unit, delta, phase, source, modifiers }];
    }
    let one = Event::MouseWheel { unit: MouseWheelUnit::Point, delta: points / count, phase, source, modifiers };
    vec![one; count as usize]
}

#[cfg(test)]
mod tests {
    use egui::{Context, Modifiers, MouseWheelSource, TouchPhase, Vec2, vec2};

    use super::*;

    /// What has been scrolled after each of two frames, the wheel having turned before the first.
    fn scrolled(unit: MouseWheelUnit, delta: Vec2, at_once: bool) -> [Vec2; 2] {
        let ctx = Context::default();
        let (phase, source, modifiers) = (TouchPhase::Move, MouseWheelSource::Unknown, Modifiers::NONE);
        let mut first = RawInput {
            screen_rect: Some(egui::Rect::from_min_size(Default::default(), vec2(400.0, 300.0))),
            events: vec![Event::MouseWheel { unit, delta, phase, source, modifiers }],
            ..Default::default()
        };
        if at_once {
            wheel_at_once(&mut first, &ctx.options(|options| options.input_options));
        }
        [first, RawInput::default()].map(|input| {
            let mut scrolled = Vec2::ZERO;
            let mut output = ctx.run_ui(input, |ui| scrolled = ui.input(|input| input.smooth_scroll_delta()));
            output.textures_delta.clear();
            scrolled
        })
    }

    #[test]
    fn a_notch_scrolls_all_at_once_and_otherwise_glides() {
        let (line, page) = (MouseWheelUnit::Line, MouseWheelUnit::Page);
        for (unit, delta, all) in [
            (line, vec2(0.0, -3.0), vec2(0.0, -120.0)),
            (page, vec2(0.0, 1.0), vec2(0.0, 300.0)),
            (MouseWheelUnit::Point, vec2(30.0, 0.0), vec2(30.0, 0.0)),
            (MouseWheelUnit::Point, vec2(0.0, 2.0), vec2(0.0, 2.0)),
        ] {
            let [first, second] = scrolled(unit, delta, true);
            assert!((first - all).length() < 1e-3 && second == Vec2::ZERO, "{delta:?}: {first:?}, {second:?}");
        }
        // As it is without: that it glides is what this is there for.
        let [first, second] = scrolled(line, vec2(0.0, -3.0), false);
        assert!(first.y > -119.0 && second.y < 0.0, "{first:?}, {second:?}");
    }
}
