//! The symbol of each kind of device, standing on the signal line.

use egui::{Color32, Pos2, Rect, Vec2, pos2, vec2};
use rigwright_core::rig::{
    Amp, Bypass, Control, Device, DirectBox, Guitar, Interface, Jack, Kind, Mixer, Polarity, Position, Splitter, State,
    Treadle, Tuner,
};

use super::drawing::{DeviceShape, SENDS};
use super::marks;
use super::pen::Pen;
use crate::help::Mark;
use crate::theme::size;

/// How the signal's line looks on either side of a device.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Colour.
    pub ink: Color32,
    /// Width at zoom 1.
    pub weight: f32,
}

/// A device, its shape, and the lines that arrive and leave.
pub struct Symbol<'a> {
    /// The device.
    pub device: &'a Device,
    /// Where it stands.
    pub shape: &'a DeviceShape,
    /// The line before it.
    pub before: Line,
    /// The line behind it.
    pub behind: Line,
    /// The lines of the leads that come back to it by its returns, in their order.
    pub returns: Vec<Line>,
    /// Switches and controls.
    pub state: &'a State,
}

/// Half the height of a pedal's box above the line.
const BOX: f32 = 13.0;
/// How high a unit that is off hangs above the line.
const HANG: f32 = -36.0;
/// From the middle of a device on the line to its main switch: of a unit that hangs above the line
/// below, of all others above their symbols.
const FOOTSWITCH: Vec2 = vec2(0.0, 21.0);
const BELOW_SIDES: Vec2 = vec2(0.0, 42.0);
const ABOVE_SELECTOR: Vec2 = vec2(0.0, -20.0);
const ABOVE_BOX: Vec2 = vec2(0.0, -28.0);
const ABOVE_AMP: Vec2 = vec2(20.0, -28.0);
const ABOVE_CONTACT: Vec2 = vec2(-20.0, -20.0);
/// From the end of a switcher's rail.
const ABOVE_RAIL: Vec2 = vec2(22.0, -22.0);
/// Half the room that a switch takes.
const SWITCH: f32 = 7.0;
/// A jack's ring: its radius, and the width of its line.
pub const JACK: f32 = 3.6;
pub const JACK_LINE: f32 = 1.3;
/// From the middle to a switch's contacts.
const CONTACT: f32 = 26.0;

/// Where the box of a unit with a footswitch hangs over a place of the line.
#[must_use]
pub fn unit_box(at: Pos2) -> Rect {
    Rect::from_center_size(at + vec2(0.0, HANG), vec2(40.0, 2.0 * BOX))
}

/// Where the circle of a device's main switch is drawn, if it has one.
#[must_use]
pub fn switch_place(device: &Device, shape: &DeviceShape) -> Option<Pos2> {
    device.main_switch()?;
    Some(match device.kind {
        Kind::Selector(_) => shape.at + ABOVE_SELECTOR,
        Kind::MultiEffects(_) => shape.at + ABOVE_BOX,
        Kind::Amp(_) => shape.at + ABOVE_AMP,
        Kind::Guitar(_) => shape.at + ABOVE_CONTACT,
        Kind::Switcher(_) => shape.at - vec2(shape.reach, 0.0) + ABOVE_RAIL,
        _ if device.kind.stereo().is_some() => shape.at + BELOW_SIDES,
        _ => shape.at + FOOTSWITCH,
    })
}

/// Whether its main switch stands elsewhere than in its first position: is on, for most.
#[must_use]
pub fn is_switched(device: &Device, state: &State) -> bool {
    device.main_switch().is_some_and(|switch| state.position(&switch) != Position::OFF)
}

/// What a device's symbol covers, with its main switch, less the line of the signal: words keep off of that.
#[must_use]
pub fn extents(device: &Device, shape: &DeviceShape) -> Vec<Rect> {
    let at = shape.at;
    let rect = |left: f32, top: f32, right: f32, bottom: f32| {
        Rect::from_min_max(at + vec2(left, top), at + vec2(right, bottom))
    };
    let switch = switch_place(device, shape).map(|at| Rect::from_center_size(at, Vec2::splat(2.0 * SWITCH)));
    let mut covered = match &device.kind {
        Kind::Guitar(_) => {
            vec![rect(-102.0, -14.0, -74.0, 28.0), rect(-64.0, -8.0, -26.0, 4.0), rect(6.0, -24.0, 64.0, 24.0)]
        }
        Kind::Active(_) => vec![rect(-36.0, -14.0, 30.0, 28.0)],
        Kind::Amp(amp) => {
            let own = [rect(-32.0, 0.0, -20.0, 44.0), rect(0.0, -20.0, 40.0, 20.0)];
            let (top, foot) = (SENDS - 3.0, SENDS + 3.0);
            let sides = [rect(-shape.reach, top, 8.0, foot), rect(18.0, top, shape.reach, foot)];
            own.into_iter().chain(sides.into_iter().filter(|_| amp.effects_loop.is_some())).collect()
        }
        Kind::Interface(Interface { second: true, .. }) => vec![rect(-37.0, -19.0, 19.0, 33.0)],
        Kind::Interface(_) => vec![rect(-19.0, -19.0, 19.0, 19.0)],
        Kind::MultiEffects(_) if shape.hangs_loops => vec![rect(-shape.reach, -19.0, shape.reach, 28.0)],
        Kind::MultiEffects(_) => vec![rect(-33.0, -19.0, 33.0, 19.0)],
        Kind::DirectBox(_) => vec![rect(-13.0, 0.0, 14.0, 43.0)],
        Kind::Transformer(_) => vec![rect(-18.0, -2.0, shape.reach, 40.0)],
        Kind::Wireless(_) => vec![rect(-30.0, -28.0, 30.0, 2.0)],
        Kind::Splitter(_) => {
            vec![rect(-18.0, -18.0, 18.0, 18.0), rect(shape.reach - 26.0, 0.0, shape.reach - 18.0, 26.0)]
        }
        Kind::Mixer(_) => vec![rect(-24.0, -17.0, 17.0, 26.0)],
        Kind::Selector(_) => vec![rect(-30.0, -14.0, 30.0, 27.0)],
        Kind::Treadle(Treadle::PassiveVolume { .. }) => vec![rect(-21.0, -24.0, 36.0, 18.0)],
        Kind::Switcher(_) => vec![rect(-shape.reach, -28.0, shape.reach, 10.0)],
        kind if kind.pedal().is_some() && kind.stereo().is_some() => {
            vec![unit_box(at), rect(-CONTACT - 8.0, HANG, CONTACT + 8.0, 28.0)]
        }
        _ if device.has_switch() => vec![unit_box(at), rect(-CONTACT - 1.0, HANG, CONTACT + 1.0, 0.0)],
        _ => vec![rect(-19.0, -19.0, 19.0, 19.0)],
    };
    covered.extend(switch);
    covered
}

impl Symbol<'_> {
    /// Paints the symbol with its stretch of line and its jacks.
    pub fn paint(&self, pen: &Pen<'_>) {
        let at = self.shape.at;
        match &self.device.kind {
            Kind::Guitar(guitar) => self.guitar(pen, guitar),
            Kind::Active(_) => {
                self.source(pen, at + vec2(-22.0, 0.0));
                self.stub(pen, -8.0, 4.0, true);
                pen.symbol().triangle(at + vec2(16.0, 0.0), 26.0, 28.0, pen.tokens.sheet);
                self.stub(pen, 29.0, self.shape.reach, false);
            }
            Kind::Pedal(_) | Kind::Tuner(Tuner::Through { .. }) | Kind::Treadle(Treadle::Wah { .. }) => {
                self.pedal(pen);
                self.device.kind.stereo().into_iter().for_each(|stereo| self.second_side(pen, stereo));
            }
            Kind::Tuner(Tuner::Tap { .. }) => {
                self.stub(pen, -self.shape.reach, -15.0, true);
                pen.symbol().ring(at, 15.0, pen.tokens.sheet);
                pen.symbol().arrow(at + vec2(-6.0, 8.0), at + vec2(6.0, -9.0));
            }
            Kind::Buffer(_) => self.triangle(pen, 34.0, false),
            Kind::Treadle(Treadle::BufferedVolume { .. }) => self.triangle(pen, 34.0, true),
            Kind::Treadle(Treadle::PassiveVolume { .. }) => self.pot(pen, at),
            Kind::Splitter(Splitter::Passive { .. }) => {
                self.stub(pen, -self.shape.reach, 0.0, true);
                self.stub(pen, 0.0, self.shape.reach, false);
                self.lower_branch(pen);
            }
            Kind::Splitter(Splitter::Buffered { .. }) => {
                self.triangle(pen, 34.0, false);
                self.lower_branch(pen);
            }
            Kind::Mixer(mixer) => self.mixer(pen, mixer),
            Kind::Selector(selector) => self.selector(pen, selector),
            Kind::Wireless(_) => self.wireless(pen),
            Kind::MultiEffects(unit) => self.multi_effects(pen, unit),
            Kind::Switcher(switcher) => self.switcher(pen, switcher),
            Kind::DirectBox(DirectBox::Active { .. }) => {
                self.through_tap(pen);
                pen.symbol().triangle(at + vec2(0.0, 30.0), 22.0, 20.0, pen.tokens.sheet);
            }
            Kind::DirectBox(DirectBox::Transformer { .. }) => {
                self.through_tap(pen);
                self.transformer(pen, at + vec2(0.0, 18.0));
            }
            Kind::Transformer(_) => self.isolator(pen),
            // It has no place on the sheet.
            Kind::Supply(_) => {}
            Kind::Interface(inside) => {
                self.stub(pen, -self.shape.reach, -18.0, true);
                if let Some((_, second)) = self.shape.jacks.iter().find(|(jack, _)| *jack == Jack::SecondIn) {
                    let line = pen.with(self.before.ink, self.before.weight);
                    line.line(&[*second, pos2(at.x - 18.0, second.y)]);
                }
                let p = pen.symbol();
                let foot = if inside.second { 32.0 } else { 18.0 };
                p.rect(Rect::from_min_max(at - vec2(18.0, 18.0), at + vec2(18.0, foot)), 0.0, pen.tokens.sheet);
                p.line(&[at + vec2(-18.0, 18.0), at + vec2(18.0, -18.0)]);
                p.sine(at + vec2(-8.0, -8.0), 9.0, 6.0);
                numbers(&p, at + vec2(8.0, 9.0));
            }
            Kind::Amp(amp) => {
                self.stub(pen, -self.shape.reach, 2.0, true);
                let p = pen.symbol();
                load(&p, at + vec2(-26.0, 0.0));
                p.triangle(at + vec2(20.0, 0.0), 36.0, 36.0, pen.tokens.sheet);
                if let Amp { effects_loop: Some(way), .. } = amp {
                    let quiet = pen.faint();
                    if way.mixes_inside() {
                        // Past the loop, inside.
                        quiet.line(&[at + vec2(6.0, 30.0), at + vec2(20.0, 30.0)]);
                    }
                    quiet.line(&[at + vec2(20.0, 10.0), at + vec2(20.0, SENDS), at + vec2(self.shape.reach, SENDS)]);
                    quiet.line(&[at + vec2(-self.shape.reach, SENDS), at + vec2(6.0, SENDS), at + vec2(6.0, 13.0)]);
                }
            }
        }
        for (jack, at) in &self.shape.jacks {
            let line = if jack.is_output() { self.behind } else { self.before };
            pen.with(line.ink, JACK_LINE).ring(*at, JACK, pen.tokens.sheet);
        }
    }

    /// Two lines into a ring that adds them up, the sign of each beside it; or over
    /// resistors into one.
    fn mixer(&self, pen: &Pen<'_>, mixer: &Mixer) {
        const RING: f32 = 15.0;
        let at = self.shape.at;
        self.stub(pen, -self.shape.reach, -RING, true);
        self.stub(pen, RING, self.shape.reach, false);
        if let Some((_, second)) = self.shape.jacks.iter().find(|(jack, _)| *jack == Jack::SecondIn) {
            let line = pen.with(self.before.ink, self.before.weight);
            line.line(&[*second, pos2(at.x, second.y), at + vec2(0.0, RING)]);
        }
        let p = pen.symbol();
        let Mixer::Buffered { first, second, .. } = mixer else {
            // Two resistors, joined behind.
            for (from, size) in [(vec2(-RING, 0.0), vec2(14.0, 6.0)), (vec2(0.0, RING), vec2(6.0, 14.0))] {
                p.line(&[at + from, at]);
                p.rect(Rect::from_center_size(at + from * 0.62, size), 0.0, pen.tokens.sheet);
            }
            p.line(&[at, at + vec2(RING, 0.0)]);
            return p.dot(at, 2.4);
        };
        p.ring(at, RING, pen.tokens.sheet);
        p.line(&[at + vec2(-8.0, 0.0), at + vec2(8.0, 0.0)]);
        p.line(&[at + vec2(0.0, -8.0), at + vec2(0.0, 8.0)]);
        for (input, by) in [(first, vec2(-24.0, -8.0)), (second, vec2(8.0, 21.0))] {
            if input.polarity == Polarity::Inverted {
                p.text(at + by, egui::Align2::CENTER_CENTER, "−", 12.0, true);
            }
        }
    }

    pub fn on(&self) -> bool {
        self.device.is_on(self.state)
    }

    /// The signal's line between two places on it.
    pub fn stub(&self, pen: &Pen<'_>, from: f32, to: f32, before: bool) {
        let line = if before { self.before } else { self.behind };
        let y = self.shape.at;
        pen.with(line.ink, line.weight).line(&[y + vec2(from, 0.0), y + vec2(to, 0.0)]);
    }

    fn source(&self, pen: &Pen<'_>, at: Pos2) {
        let p = pen.symbol();
        p.ring(at, 13.0, pen.tokens.sheet);
        p.sine(at, 14.0, 9.0);
        p.zero_volts(at + vec2(0.0, 13.0), 8.0);
    }

    fn guitar(&self, pen: &Pen<'_>, guitar: &Guitar) {
        let at = self.shape.at;
        let left = at + vec2(-88.0, 0.0);
        self.source(pen, left);
        self.stub(pen, -75.0, -64.0, true);
        pen.symbol().coil(at + vec2(-64.0, 0.0), 3, 12.0, false);
        match self.device.joined_pickups(self.state) {
            // The selector's contact: open where it joins nothing.
            Some((joined, _)) => {
                let p = pen.symbol();
                p.dot(at + vec2(-26.0, 0.0), 1.6);
                p.dot(at + vec2(-14.0, 0.0), 1.6);
                let lifted = if joined.pickups.is_empty() { -7.0 } else { 0.0 };
                p.line(&[at + vec2(-28.0, 0.0), at + vec2(-26.0, 0.0), at + vec2(-14.0, lifted)]);
            }
            None => self.stub(pen, -28.0, -14.0, true),
        }
        match guitar.volume {
            Some(_) => self.pot(pen, at + vec2(28.0, 0.0)),
            None => self.stub(pen, -14.0, self.shape.reach, true),
        }
    }

    /// A pot in the way, its wiper as the output.
    fn pot(&self, pen: &Pen<'_>, middle: Pos2) {
        let at = self.shape.at;
        let from = if matches!(self.device.kind, Kind::Guitar(_)) { -14.0 } else { -self.shape.reach };
        let x = middle.x - at.x;
        self.stub(pen, from, x - 20.0, true);
        let p = pen.symbol();
        p.rect(Rect::from_center_size(middle, vec2(40.0, 15.0)), 0.0, pen.tokens.sheet);
        p.line(&[middle + vec2(20.0, 0.0), middle + vec2(26.0, 0.0)]);
        p.zero_volts(middle + vec2(26.0, 0.0), 10.0);
        // The wiper stands where the control stands: to the right is closed.
        let control = if matches!(self.device.kind, Kind::Guitar(_)) { Control::Volume } else { Control::Treadle };
        let turn = self.state.turn(self.device.id, control).get() as f32;
        let wiper = middle.x + 16.0 * (1.0 - 2.0 * turn);
        let line = pen.with(self.behind.ink, self.behind.weight);
        line.line(&[
            pos2(wiper, middle.y - 22.0),
            pos2(middle.x + 34.0, middle.y - 22.0),
            pos2(middle.x + 34.0, middle.y),
            pos2(at.x + self.shape.reach, middle.y),
        ]);
        p.arrow(pos2(wiper, middle.y - 22.0), pos2(wiper, middle.y - 8.0));
    }

    /// A unit with a footswitch: off, it hangs faint above the line, off its
    /// contacts; on, the line goes up through it.
    fn pedal(&self, pen: &Pen<'_>) {
        let Some(pedal) = self.device.kind.pedal() else {
            return;
        };
        let at = self.shape.at;
        let reach = self.shape.reach;
        let middle = unit_box(at).center();
        let (left, right) = (at + vec2(-CONTACT, 0.0), at + vec2(CONTACT, 0.0));
        let legs = |pen: &Pen<'_>, side: f32| {
            pen.line(&[
                middle + vec2(side * 20.0, 0.0),
                middle + vec2(side * CONTACT, 0.0),
                at + vec2(side * CONTACT, if self.on() { 0.0 } else { -7.0 }),
            ]);
        };
        self.stub(pen, -reach, -CONTACT, true);
        self.stub(pen, CONTACT, reach, false);
        if self.on() {
            legs(&pen.with(self.before.ink, self.before.weight), -1.0);
            legs(&pen.with(self.behind.ink, self.behind.weight), 1.0);
            self.unit(&pen.symbol());
            pen.with(self.before.ink, 1.0).dot(left, 3.2);
            pen.with(self.behind.ink, 1.0).dot(right, 3.2);
            return;
        }
        let faint = pen.faint();
        match pedal.bypass {
            Bypass::True => {
                self.stub(pen, -CONTACT, CONTACT, true);
                legs(&faint, -1.0);
                legs(&faint, 1.0);
            }
            Bypass::Buffered => {
                self.stub(pen, -CONTACT, -14.0, true);
                self.stub(pen, 15.0, CONTACT, false);
                pen.symbol().triangle(at + vec2(1.0, 0.0), 28.0, 26.0, pen.tokens.sheet);
                legs(&faint, -1.0);
                legs(&faint, 1.0);
            }
            Bypass::AlwaysLoading => {
                self.stub(pen, -CONTACT, CONTACT, true);
                // Its input is never taken off the line.
                pen.with(self.before.ink, self.before.weight).line(&[
                    middle + vec2(-20.0, 0.0),
                    middle + vec2(-CONTACT, 0.0),
                    left,
                ]);
                legs(&faint, 1.0);
            }
        }
        self.unit(&faint);
        pen.with(self.before.ink, 1.0).dot(left, 3.2);
        pen.with(self.behind.ink, 1.0).dot(right, 3.2);
    }

    /// The box with the mark of what it does.
    fn unit(&self, pen: &Pen<'_>) {
        marks::boxed(pen, unit_box(self.shape.at), Mark::of(self.device));
    }

    /// A buffer; one that is turned has an arrow through it.
    fn triangle(&self, pen: &Pen<'_>, extent: f32, turned: bool) {
        let at = self.shape.at;
        self.stub(pen, -self.shape.reach, -0.5 * extent, true);
        self.stub(pen, 0.5 * extent, self.shape.reach, false);
        pen.symbol().triangle(at, extent, extent, pen.tokens.sheet);
        if turned {
            pen.symbol().arrow(at + vec2(-20.0, 22.0), at + vec2(18.0, -22.0));
        }
    }

    /// From the line down to the second output, joined where it leaves.
    fn lower_branch(&self, pen: &Pen<'_>) {
        let Some((_, out)) = self.shape.jacks.iter().find(|(jack, _)| *jack == Jack::SecondOut) else {
            return;
        };
        let (line, joint) = (pen.with(self.behind.ink, self.behind.weight), pos2(out.x, self.shape.at.y));
        line.line(&[joint, *out]);
        line.dot(joint, 2.8);
    }

    fn wireless(&self, pen: &Pen<'_>) {
        let at = self.shape.at;
        self.stub(pen, -self.shape.reach, -22.0, true);
        self.stub(pen, 22.0, self.shape.reach, false);
        let p = pen.symbol();
        for side in [-1.0, 1.0] {
            let foot = at + vec2(22.0 * side, 0.0);
            p.line(&[foot, foot + vec2(0.0, -26.0)]);
            p.line(&[foot + vec2(-7.0, -26.0), foot + vec2(0.0, -17.0), foot + vec2(7.0, -26.0)]);
            p.line(&[foot + vec2(-7.0, -26.0), foot + vec2(7.0, -26.0)]);
        }
        p.dashed(&[at + vec2(-12.0, -22.0), at + vec2(12.0, -22.0)]);
    }

    /// The line goes on, and something hangs on it.
    fn through_tap(&self, pen: &Pen<'_>) {
        let at = self.shape.at;
        self.stub(pen, -self.shape.reach, 0.0, true);
        self.stub(pen, 0.0, self.shape.reach, false);
        let line = pen.with(self.before.ink, self.before.weight);
        line.line(&[at, at + vec2(0.0, 20.0)]);
        line.dot(at, 3.2);
    }

    /// Two coils that face each other over a core: the line ends in one and
    /// begins in the other, and only the first stands at this side's 0 V. [standard, S: symbols]
    fn isolator(&self, pen: &Pen<'_>) {
        let at = self.shape.at;
        self.stub(pen, -self.shape.reach, -13.0, true);
        self.stub(pen, 13.0, self.shape.reach, false);
        let p = pen.symbol();
        p.coil(at + vec2(-13.0, 0.0), 3, 8.0, true);
        p.coil(at + vec2(13.0, 24.0), 3, -8.0, true);
        for x in [-3.0, 3.0] {
            p.line(&[at + vec2(x, -1.0), at + vec2(x, 25.0)]);
        }
        p.zero_volts(at + vec2(-13.0, 24.0), 5.0);
        p.dashed(&[at + vec2(13.0, 24.0), at + vec2(self.shape.reach, 24.0)]);
    }

    fn transformer(&self, pen: &Pen<'_>, at: Pos2) {
        let p = pen.symbol();
        p.line(&[at + vec2(0.0, 2.0), at + vec2(-8.0, 2.0)]);
        p.coil(at + vec2(-8.0, 2.0), 3, 7.0, true);
        p.line(&[at + vec2(3.0, 2.0), at + vec2(3.0, 23.0)]);
        p.line(&[at + vec2(6.0, 2.0), at + vec2(6.0, 23.0)]);
        p.coil(at + vec2(11.0, 2.0), 3, 7.0, true);
    }
}

/// What an input loads its source with: a resistor from the line to 0 V.
pub fn load(pen: &Pen<'_>, at: Pos2) {
    pen.line(&[at, at + vec2(0.0, 7.0)]);
    pen.rect(Rect::from_center_size(at + vec2(0.0, 18.0), vec2(9.0, 22.0)), 0.0, pen.tokens.sheet);
    pen.zero_volts(at + vec2(0.0, 29.0), 5.0);
}

/// Numbers, in a converter: two strokes across two.
pub fn numbers(pen: &Pen<'_>, at: Pos2) {
    for by in [-1.8, 1.8] {
        pen.line(&[at + vec2(by - 0.6, 4.5), at + vec2(by + 0.6, -4.5)]);
        pen.line(&[at + vec2(-4.5, by), at + vec2(4.5, by)]);
    }
}

/// The line of a run.
#[must_use]
pub fn run_line(pen_tokens: &crate::theme::Tokens, high_impedance: Option<bool>) -> Line {
    match high_impedance {
        Some(true) => Line { ink: pen_tokens.copper, weight: size::HIGH_IMPEDANCE_LINE },
        Some(false) => Line { ink: pen_tokens.teal, weight: size::BUFFERED_LINE },
        None => Line { ink: pen_tokens.faint, weight: size::BUFFERED_LINE },
    }
}

/// The line of a lead with an end nowhere.
#[must_use]
pub fn broken(tokens: &crate::theme::Tokens) -> Line {
    Line { ink: tokens.alarm, weight: size::BUFFERED_LINE }
}
