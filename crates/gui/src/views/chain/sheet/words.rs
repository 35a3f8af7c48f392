//! What is said on the sheet, and where: names, what runs amount to, lengths of leads, how
//! units stand. The most important first, each where it finds room, none over another.

use std::collections::BTreeSet;

use egui::{Align2, Color32, Pos2, Rect, pos2, vec2};
use rigwright_core::response::Response;
use rigwright_core::rig::{Amp, Device, DeviceId, Interface, Jack, Kind, Lead, NoteId, Rig, Selector, State};
use rigwright_core::units::{engineering, metres};

use super::brackets::{self, Bracket};
use super::drawing::{DeviceShape, Drawing, LeadShape};
use super::paint::second_line;
use super::pen::Pen;
use super::room::{Room, wordings};
use super::symbols;
use super::typing::Said;

/// Sizes of text, in points at zoom 1.
const NAME: f32 = 13.0;
const SMALL: f32 = 11.0;
/// From this length on a lead is drawn with its screen and says its capacitance.
const LONG: f32 = 1.0;
/// Words farther off the screen than this, in points, are none.
const OFF: f32 = 240.0;

/// Everything that words are made from.
pub struct Words<'a> {
    pub pen: &'a Pen<'a>,
    pub drawing: &'a Drawing,
    pub rig: &'a Rig,
    pub state: &'a State,
    pub response: Option<&'a Response>,
    /// What stands below a unit's name instead of how it stands: that it has no feed.
    pub instead: &'a dyn Fn(DeviceId) -> Option<&'static str>,
    /// The devices in the hand, whose leads say nothing.
    pub held: &'a BTreeSet<DeviceId>,
    /// The test point, in points of the screen.
    pub test_point: Rect,
    /// Where notes lie, in points of the screen.
    pub notes: &'a [(NoteId, Rect)],
}

/// What found its place, on the screen.
#[derive(Default)]
pub struct Placed {
    /// Where a term is spoken of.
    pub terms: Vec<(&'static str, Rect)>,
    /// Labels that can be typed over.
    pub labels: Vec<(Said, Rect)>,
    /// What runs amount to, each by its place among the response's runs.
    pub runs: Vec<(usize, Rect)>,
    /// All that is said below a device.
    pub of_devices: Vec<(DeviceId, Rect)>,
}

impl Placed {
    /// What is said below a device.
    pub fn of(&self, id: DeviceId) -> impl Iterator<Item = Rect> {
        self.of_devices.iter().filter(move |(of, _)| *of == id).map(|(_, place)| *place)
    }

    /// All that is said of others, of leads and of runs.
    pub fn of_others(&self, id: DeviceId) -> impl Iterator<Item = Rect> {
        let devices = self.of_devices.iter().filter(move |(of, _)| *of != id).map(|(_, place)| *place);
        let leads = self.labels.iter().filter(|(said, _)| matches!(said, Said::Length(_))).map(|(_, place)| *place);
        devices.chain(leads).chain(self.runs.iter().map(|(_, place)| *place))
    }
}

/// Words that look for a place.
struct Wanted {
    /// Ways to say it, the best first, each in its lines.
    wordings: Vec<Vec<String>>,
    /// Places for it, the best first, in canvas units.
    places: Vec<(Pos2, Align2)>,
    points: f32,
    strong: bool,
    ink: Color32,
    /// Whether it lies on a line of its own.
    on_a_line: bool,
}

impl Words<'_> {
    /// Finds a place for everything and paints it; gives back what stands where.
    pub fn show(&self) -> Placed {
        let mut placed = Placed::default();
        if self.pen.has_no_text() {
            return placed;
        }
        let mut room = Room::with(self.pen.written());
        self.fill(&mut room);
        let brackets = self
            .response
            .map_or_else(Vec::new, |response| brackets::of(self.drawing, self.rig, response, self.pen.tokens));
        for bracket in &brackets {
            room.line(self.screen(bracket.line().expand(0.5)));
        }
        let names: Vec<Option<Rect>> = self.drawing.devices.iter().map(|shape| self.name(&mut room, shape)).collect();
        for bracket in &brackets {
            let words = self.find(&mut room, &self.run(bracket));
            brackets::paint(self.pen, bracket, words);
            placed.terms.extend(words.map(|place| (bracket.term(), place)));
            placed.runs.extend(words.map(|place| (bracket.run, place)));
        }
        let leads = || {
            let all = self.drawing.leads.iter().zip(&self.rig.leads);
            all.filter(|(_, lead)| !self.held.contains(&lead.from.device) && !self.held.contains(&lead.to.device))
        };
        for long in [true, false] {
            for (shape, lead) in leads().filter(|(_, lead)| is_long(lead) == long) {
                let place = self.find(&mut room, &self.lead(shape, lead));
                placed.labels.extend(place.map(|place| (Said::Length(shape.id), place)));
            }
        }
        for (shape, name) in self.drawing.devices.iter().zip(names) {
            placed.labels.extend(name.map(|place| (Said::Name(shape.id), place)));
            let second = self.second(&mut room, shape, name);
            placed.of_devices.extend(name.into_iter().chain(second).map(|place| (shape.id, place)));
        }
        placed
    }

    fn screen(&self, rect: Rect) -> Rect {
        self.pen.camera.screen_rect(self.pen.screen, rect)
    }

    /// Symbols and lines.
    fn fill(&self, room: &mut Room) {
        room.symbol(self.test_point);
        self.notes.iter().for_each(|(_, rect)| room.symbol(*rect));
        for shape in &self.drawing.devices {
            let Some(device) = self.drawing.wiring.device(self.rig, shape.id) else { continue };
            for rect in symbols::extents(device, shape) {
                room.symbol(self.screen(rect));
            }
            let line =
                Rect::from_x_y_ranges(shape.at.x - shape.reach..=shape.at.x + shape.reach, shape.at.y..=shape.at.y);
            room.line(self.screen(line.expand(2.0)));
        }
        for shape in &self.drawing.leads {
            for w in shape.points.windows(2) {
                room.line(self.screen(Rect::from_two_pos(w[0], w[1]).expand(2.0)));
            }
        }
    }

    /// Paints words at the first place that is free, in the first wording that fits there.
    fn find(&self, room: &mut Room, wanted: &Wanted) -> Option<Rect> {
        let pen = self.pen.with(wanted.ink, 1.0);
        for lines in &wanted.wordings {
            let galleys: Vec<_> = lines.iter().map(|line| pen.galley(line, wanted.points, wanted.strong)).collect();
            let size = galleys
                .iter()
                .fold(egui::Vec2::ZERO, |all, galley| vec2(all.x.max(galley.size().x), all.y + galley.size().y));
            for (place, anchor) in &wanted.places {
                let rect = anchor.anchor_size(pen.at(*place), size);
                if !self.pen.screen.expand(OFF).intersects(rect) {
                    return None;
                }
                if !room.is_free(rect, wanted.on_a_line) {
                    continue;
                }
                room.take(rect);
                let mut y = rect.top();
                for galley in galleys {
                    let at = pos2(rect.center().x - 0.5 * galley.size().x, y);
                    y += galley.size().y;
                    if wanted.on_a_line {
                        let patch = Rect::from_min_size(at, galley.size()).expand2(vec2(4.0, 0.0));
                        pen.painter.rect_filled(patch, 0.0, pen.tokens.sheet);
                    }
                    pen.painter.galley(at, galley, wanted.ink);
                }
                return Some(rect);
            }
        }
        None
    }

    fn name(&self, room: &mut Room, shape: &DeviceShape) -> Option<Rect> {
        let device = self.drawing.wiring.device(self.rig, shape.id)?;
        let by = if shape.hangs_loops { vec2(0.0, -60.0) } else { below(device) };
        let most = (2.0 * shape.reach + 62.0).min(260.0) * self.pen.camera.zoom;
        let width = |words: &str| self.pen.galley(words, NAME, true).size().x;
        let foot = shape.at + by;
        let above = (shape.at + vec2(by.x, -54.0), Align2::CENTER_BOTTOM);
        let places = match shape.hangs_loops {
            // Its loops hang below.
            true => vec![(shape.at + vec2(0.0, -42.0), Align2::CENTER_BOTTOM), (foot, Align2::CENTER_BOTTOM)],
            false => vec![
                (foot, Align2::CENTER_TOP),
                (foot + vec2(18.0, 0.0), Align2::CENTER_TOP),
                (foot - vec2(18.0, 0.0), Align2::CENTER_TOP),
                (foot + vec2(0.0, 16.0), Align2::CENTER_TOP),
            ],
        };
        let mut wanted = Wanted {
            wordings: wordings(&device.name, most, width),
            places,
            points: NAME,
            strong: true,
            ink: self.pen.tokens.ink,
            on_a_line: false,
        };
        self.find(room, &wanted).or_else(|| {
            wanted.places = vec![above];
            self.find(room, &wanted)
        })
    }

    fn second(&self, room: &mut Room, shape: &DeviceShape, name: Option<Rect>) -> Option<Rect> {
        let (name, device) = (name?, self.drawing.wiring.device(self.rig, shape.id)?);
        let (words, ink) = match (self.instead)(shape.id) {
            Some(words) => (words.to_owned(), self.pen.tokens.alarm),
            None => (second_line(device, self.state), self.pen.tokens.quiet),
        };
        // A hair below: words that touch count as one over the other.
        let below = self.pen.camera.canvas_from_screen(self.pen.screen, name.center_bottom() + vec2(0.0, 1.0));
        let wanted = Wanted {
            wordings: vec![vec![words]],
            places: vec![(below, Align2::CENTER_TOP)],
            points: SMALL,
            strong: false,
            ink,
            on_a_line: false,
        };
        self.find(room, &wanted)
    }

    fn run(&self, bracket: &Bracket) -> Wanted {
        let line = bracket.line();
        let room = line.width() * self.pen.camera.zoom;
        let fits = |words: &&String| self.pen.galley(words, SMALL, false).size().x + 24.0 * self.pen.camera.zoom < room;
        let at = |part: f32| (pos2(line.left() + part * line.width(), line.center().y), Align2::CENTER_CENTER);
        Wanted {
            wordings: bracket.words.iter().filter(fits).map(|words| vec![words.clone()]).collect(),
            places: [0.5, 0.35, 0.65, 0.25, 0.75].map(at).to_vec(),
            points: SMALL,
            strong: false,
            ink: bracket.ink,
            on_a_line: true,
        }
    }

    fn lead(&self, shape: &LeadShape, lead: &Lead) -> Wanted {
        let long = metres(lead.length.get());
        let full = format!("{long}, {}", engineering(lead.capacitance(), "F", 3));
        let room = (shape.room - 14.0) * self.pen.camera.zoom;
        let fits = |words: &str| self.pen.galley(words, SMALL, false).size().x < room;
        let mut wordings = Vec::new();
        if is_long(lead) || fits(&full) {
            wordings.push(vec![full]);
        }
        wordings.push(vec![long]);
        let middle = shape.middle;
        let between_rows = shape.points.len() > 4;
        let shift = 0.25 * shape.room;
        let places = match () {
            () if between_rows => {
                [0.0, -shift, shift].map(|by| (middle + vec2(by, 0.0), Align2::CENTER_CENTER)).to_vec()
            }
            () if is_ringed(shape, lead) => vec![
                (middle + vec2(0.0, -17.0), Align2::CENTER_BOTTOM),
                (middle + vec2(0.0, 26.0), Align2::CENTER_TOP),
                (middle + vec2(9.0, -4.0), Align2::LEFT_BOTTOM),
            ],
            () if is_second(shape, lead) => vec![(middle + vec2(0.0, 5.0), Align2::CENTER_TOP)],
            () => {
                vec![(middle + vec2(0.0, -5.0), Align2::CENTER_BOTTOM), (middle + vec2(0.0, 5.0), Align2::CENTER_TOP)]
            }
        };
        Wanted { wordings, places, points: SMALL, strong: false, ink: self.pen.tokens.quiet, on_a_line: between_rows }
    }
}

/// Whether it lies close below another from the same device to the same device: right below left.
fn is_second(shape: &LeadShape, lead: &Lead) -> bool {
    shape.whole && lead.from.jack == Jack::SecondOut && lead.to.jack == Jack::SecondIn
}

fn is_long(lead: &Lead) -> bool {
    lead.length.get() as f32 >= LONG
}

/// Whether a lead is drawn with the ring of its screen: a long one, where there is room.
#[must_use]
pub fn is_ringed(shape: &LeadShape, lead: &Lead) -> bool {
    is_long(lead) && shape.room > 50.0 && shape.points.len() <= 4 && !is_second(shape, lead)
}

/// From a device's middle to where its name begins below.
fn below(device: &Device) -> egui::Vec2 {
    match device.kind {
        Kind::Amp(Amp { effects_loop: Some(_), .. }) => vec2(22.0, 52.0),
        Kind::Amp(_) => vec2(22.0, 30.0),
        Kind::Guitar(_) => vec2(0.0, 32.0),
        Kind::DirectBox(_) | Kind::Transformer(_) => vec2(0.0, 44.0),
        // The second output's lead goes down on the right.
        Kind::Splitter(_) | Kind::MultiEffects(_) | Kind::Selector(Selector::Outputs { .. }) => vec2(-22.0, 24.0),
        // The second input's lead comes up on the left.
        Kind::Mixer(_) | Kind::Selector(Selector::Inputs { .. }) => vec2(28.0, 26.0),
        Kind::Interface(Interface { second: true, .. }) => vec2(28.0, 36.0),
        _ if device.has_switch() && device.kind.stereo().is_some() => vec2(0.0, 51.0),
        _ if device.has_switch() => vec2(0.0, 30.0),
        _ => vec2(0.0, 24.0),
    }
}
