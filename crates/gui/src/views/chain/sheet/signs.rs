//! The signs of the sheet one by one, for the legend: drawn by what draws the sheet.

use std::cell::RefCell;

use egui::{Painter, Pos2, Rect, pos2, vec2};
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{
    CanvasPoint, Device, DeviceId, Kind, Mixer, Position, Rig, Splitter, State, Treadle, Variant, VariantId,
};

use super::camera::Camera;
use super::drawing::Drawing;
use super::pen::Pen;
use super::symbols::{self, Symbol, run_line};
use super::{brackets, handles, marks, paint, unfed};
use crate::help::Sign;
use crate::theme::Tokens;

/// No sign is drawn larger than this.
const MOST: f32 = 0.9;
/// The pedal that shows how one stands that is on, or off.
const PEDAL: &str = "mild-drive";

/// Draws a sign of the sheet in the middle of a place; nothing of another screen's.
pub fn paint(painter: &Painter, place: Rect, tokens: &'static Tokens, sign: Sign) {
    let written = RefCell::default();
    let whole = bounds(sign);
    let zoom = (place.width() / whole.width()).min(place.height() / whole.height()).min(MOST);
    let camera = Camera { zoom, centre: whole.center() };
    let pen = Pen::new(painter, camera, place, tokens, &written);
    let level = [pos2(whole.left(), 0.0), pos2(whole.right(), 0.0)];
    let wire = |high: bool| {
        let line = run_line(tokens, Some(high));
        pen.with(line.ink, line.weight).line(&level);
    };
    match sign {
        Sign::HighImpedance => wire(true),
        Sign::Buffered => wire(false),
        Sign::Jack => {
            wire(true);
            pen.with(tokens.copper, symbols::JACK_LINE).ring(Pos2::ZERO, symbols::JACK, tokens.sheet);
        }
        Sign::FreeJack => pen.with(tokens.alarm, 1.6).ring(Pos2::ZERO, 4.6, tokens.sheet),
        Sign::Screen => {
            wire(true);
            paint::screen(&pen.with(tokens.copper, 1.1), Pos2::ZERO);
        }
        Sign::Off => device(&pen, PEDAL, false),
        Sign::On => device(&pen, PEDAL, true),
        Sign::Footswitch => paint::footswitch(&pen, place.center(), true, tokens.ink),
        Sign::Load => {
            wire(true);
            symbols::load(&pen.symbol(), Pos2::ZERO);
        }
        Sign::Bracket => {
            let ink = run_line(tokens, Some(true)).ink;
            brackets::paint(&pen, &brackets::sample(Rect::from_two_pos(level[0], level[1]), ink), None);
        }
        Sign::TestPoint => handles::mark(painter, place.center(), true, tokens),
        Sign::NoFeed => unfed::plug(&pen, place.center()),
        Sign::Device(key) => device(&pen, key, false),
        Sign::Mark(mark) => marks::boxed(&pen.symbol(), symbols::unit_box(Pos2::ZERO), Some(mark)),
        _ => {}
    }
}

/// What of the sheet a sign takes, in canvas units.
fn bounds(sign: Sign) -> Rect {
    let around = |x: f32, top: f32, bottom: f32| Rect::from_min_max(pos2(-x, top), pos2(x, bottom));
    match sign {
        Sign::Device(key) => made(key).map_or(around(50.0, -52.0, 30.0), |made| made.bounds()),
        Sign::On | Sign::Off => around(52.0, -52.0, 8.0),
        Sign::Mark(_) => symbols::unit_box(Pos2::ZERO).expand(2.0),
        Sign::Load => around(50.0, -4.0, 44.0),
        Sign::Screen => around(50.0, -18.0, 28.0),
        Sign::Bracket => around(48.0, -6.0, 14.0),
        _ => around(44.0, -20.0, 20.0),
    }
}

/// A device that stands alone.
struct Made {
    device: Device,
    drawing: Drawing,
}

/// One that is made from a part, with its middle at the origin.
fn made(key: &str) -> Option<Made> {
    let device = catalogue().part(key)?.device(DeviceId(1));
    let rig = Rig { devices: vec![device.clone()], ..Rig::default() };
    let mut variant = Variant::of(VariantId(0), "", rig);
    variant.places.insert(device.id, CanvasPoint { x: 0.0, y: 0.0 });
    Some(Made { device, drawing: Drawing::of(&variant, vec2(1000.0, 500.0)) })
}

impl Made {
    /// What its symbol and its line cover.
    fn bounds(&self) -> Rect {
        let Some(shape) = self.drawing.devices.first() else { return Rect::NOTHING };
        let jacks = shape.jacks.iter().map(|(_, at)| Rect::from_center_size(*at, vec2(8.0, 8.0)));
        symbols::extents(&self.device, shape).into_iter().chain(jacks).fold(Rect::NOTHING, Rect::union)
    }
}

fn device(pen: &Pen<'_>, key: &str, on: bool) {
    let Some(made) = made(key) else { return };
    let Some(shape) = made.drawing.devices.first() else { return };
    let mut state = State::default();
    if let Some(switch) = made.device.on_off().filter(|_| on) {
        state.positions.insert(switch.id, Position::ON);
    }
    // As the guitar drives it.
    let before = run_line(pen.tokens, Some(true));
    let behind = if on || drives(&made.device.kind) { run_line(pen.tokens, Some(false)) } else { before };
    Symbol { device: &made.device, shape, before, behind, returns: Vec::new(), state: &state }.paint(pen);
}

/// Whether a buffered run begins behind it.
fn drives(kind: &Kind) -> bool {
    match kind {
        Kind::Active(_) | Kind::Buffer(_) | Kind::Wireless(_) => true,
        Kind::Treadle(treadle) => matches!(treadle, Treadle::BufferedVolume { .. }),
        Kind::Splitter(splitter) => matches!(splitter, Splitter::Buffered { .. }),
        Kind::Mixer(mixer) => matches!(mixer, Mixer::Buffered { .. }),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::help::{Line, Topic};

    #[test]
    fn every_device_of_the_legend_is_a_part() {
        let page = Topic::Legend.page();
        let lines = page.sections.iter().flat_map(|section| &section.lines);
        let mut seen = 0;
        for line in lines {
            if let Line::Sign(Sign::Device(key), ..) = line {
                let bounds = made(key).unwrap_or_else(|| panic!("{key}")).bounds();
                assert!(bounds.is_positive() && bounds.contains(Pos2::ZERO), "{key}: {bounds:?}");
                seen += 1;
            }
        }
        assert!(seen > 12, "{seen}");
    }
}
