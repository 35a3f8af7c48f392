//! What is dragged over the sheet: what letting go would do, said before it is done.

use std::collections::BTreeSet;

use egui::{Align2, CursorIcon, Key, Pos2, Rangef, Rect, Stroke, StrokeKind, Ui, Vec2, vec2};
use rigwright_core::parts::Part;
use rigwright_core::rig::{
    CanvasPoint, Device, DeviceId, Edit, Jack, JackRef, LeadId, Note, NoteId, RowWidth, TestPoint, Variant,
    device_name, jack_name, may_join, place_name,
};
use rigwright_core::units::Turn;

use super::Sheet;
use super::canvas::Canvas;
use super::drawing::{DeviceShape, Drawing};
use super::notes;
use super::pen::Pen;
use crate::state::plugging::{self, Plug};
use crate::state::{Change, Preview, noting};
use crate::theme::text;
use crate::views::{Facts, Intent, PUT_TEST_POINT, Pointed, TAKE_TEST_POINT_AWAY};

/// So near to a lead, in canvas units, the pointer is on it.
const ON_LEAD: f32 = 16.0;
/// The same of a jack.
const ON_JACK: f32 = 22.0;
/// So near to the line of another device a symbol that is put down stands on that line.
const IN_LINE: f32 = 12.0;
/// So near to the sheet's edge, in points, the sheet moves along.
const EDGE: f32 = 26.0;

/// What is being dragged.
#[derive(Debug, Clone, PartialEq)]
pub enum Drag {
    /// One device, held at an offset from its middle, in canvas units.
    Device { id: DeviceId, hold: Vec2 },
    /// Things that only change their place, held where the pointer went down: devices, each
    /// with where its middle was then, and notes.
    Held { from: Pos2, devices: Vec<(DeviceId, Pos2)>, notes: BTreeSet<NoteId> },
    /// A part from the catalogue.
    Part { part: Box<Part> },
    /// A new lead from a free jack.
    Lead { from: JackRef },
    /// One plug of a lead.
    Plug { lead: LeadId, plug: Plug },
    /// The test point.
    TestPoint,
    /// The head of a note's arrow.
    Arrow { note: NoteId },
}

/// Where letting go would take what is dragged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Goal {
    /// Onto a lead.
    Lead(LeadId),
    /// Into the place of a device.
    Device(DeviceId),
    /// To a place of the sheet.
    Place(Pos2),
    /// Into a jack.
    Jack(JackRef),
    /// To a place along a lead.
    Along(LeadId, f32),
    /// Off everything.
    Off,
}

/// What letting go would do.
pub enum Does {
    /// A change, and what it is in words.
    Change(Box<Change>, String),
    /// Nothing, and why.
    Nothing(String),
}

impl Drag {
    /// Whether what is dragged is still there.
    fn is_there(&self, variant: &Variant, drawing: &Drawing) -> bool {
        match self {
            Self::Device { id, .. } => drawing.device(*id).is_some(),
            Self::Held { devices, notes, .. } => {
                let are_there = devices.iter().all(|(id, _)| drawing.device(*id).is_some());
                are_there && notes.iter().all(|id| variant.note(*id).is_some())
            }
            Self::Plug { lead, .. } => variant.rig.lead(*lead).is_some(),
            Self::Lead { from } => drawing.wiring.free.contains(from),
            Self::Arrow { note } => variant.note(*note).is_some(),
            Self::Part { .. } | Self::TestPoint => true,
        }
    }
}

/// Where a symbol stands that is held at a place: on the line of a device beside it, where
/// that is near.
pub fn in_line(drawing: &Drawing, id: Option<DeviceId>, at: Pos2) -> Pos2 {
    let others = drawing.devices.iter().filter(|shape| Some(shape.id) != id);
    let near = others.map(|shape| shape.at.y - at.y).filter(|off| off.abs() <= IN_LINE);
    at + vec2(0.0, near.min_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or(0.0))
}

/// What can be seen of a part that is held at a place.
fn part_core(at: Pos2) -> Rect {
    Rect::from_min_max(at + vec2(-36.0, -49.0), at + vec2(36.0, 27.0))
}

pub fn on_canvas(at: Pos2) -> CanvasPoint {
    CanvasPoint { x: f64::from(at.x.round()), y: f64::from(at.y.round()) }
}

/// Where letting go at a place would take what is dragged; `free` where nothing is to be
/// joined.
pub fn goal(drag: &Drag, facts: &Facts<'_>, drawing: &Drawing, at: Pos2, free: bool) -> Goal {
    let rig = &facts.variant.rig;
    let unit = |own: Option<DeviceId>, middle: Pos2, core: Rect| {
        let stands = Goal::Place(in_line(drawing, own, middle));
        if free {
            return stands;
        }
        let is_other = |lead: LeadId| {
            let lead = rig.lead(lead);
            lead.is_some_and(|lead| Some(lead.from.device) != own && Some(lead.to.device) != own)
        };
        if let Some((lead, _)) = drawing.lead_near(at, ON_LEAD, is_other) {
            return Goal::Lead(lead);
        }
        let under = drawing.devices.iter().find(|shape| Some(shape.id) != own && shape.core().contains(at));
        if let Some(under) = under {
            return Goal::Device(under.id);
        }
        let crossing = drawing.leads.iter().filter(|lead| is_other(lead.id) && lead.goes_through(core));
        let distance = |lead: LeadId| drawing.lead(lead).map_or(f32::INFINITY, |lead| lead.distance(middle));
        let nearest = crossing.map(|lead| lead.id).min_by(|a, b| distance(*a).total_cmp(&distance(*b)));
        nearest.map_or(stands, Goal::Lead)
    };
    match drag {
        Drag::Device { id, hold, .. } => {
            let core = drawing.device(*id).map_or(Rect::NOTHING, DeviceShape::core);
            unit(Some(*id), at - *hold, core)
        }
        Drag::Part { .. } => unit(None, at, part_core(at)),
        Drag::Lead { .. } | Drag::Plug { .. } => drawing.jack_near(at, ON_JACK).map_or(Goal::Off, Goal::Jack),
        Drag::Held { .. } | Drag::Arrow { .. } => Goal::Place(at),
        Drag::TestPoint => {
            drawing.lead_near(at, ON_JACK, |_| true).map_or(Goal::Off, |(lead, along)| Goal::Along(lead, along))
        }
    }
}

/// What letting go would do, a part that there isn't being nothing.
pub fn does(drag: &Drag, goal: Goal, variant: &Variant, rows: RowWidth) -> Does {
    let rig = &variant.rig;
    let nothing = |words: &str| Does::Nothing(words.to_owned());
    let change = |change: Option<Change>, words: String| {
        change.map_or_else(|| nothing("as it was"), |change| Does::Change(Box::new(change), words))
    };
    match (drag, goal) {
        (Drag::Device { id, .. }, Goal::Lead(onto)) => {
            change(plugging::bring(variant, *id, onto), format!("plug in between {}", plugging::ends(variant, onto)))
        }
        (Drag::Device { id, .. }, Goal::Device(other)) => {
            let words = format!("trade places with {}", device_name(rig, other));
            change(Some(plugging::trade_places(variant, *id, other)), words)
        }
        (Drag::Held { from, devices, notes }, Goal::Place(at)) => {
            let places: Vec<_> = devices.iter().map(|(id, was)| (*id, on_canvas(*was + (at - *from)))).collect();
            let words = match (devices.len(), notes.len()) {
                (0, 1) => "put the note here",
                (0, _) => "put the notes here",
                (_, 0) => "put the symbols here",
                _ => "put the symbols and notes here",
            };
            let notes = notes::moved(variant, notes, at - *from);
            change(plugging::stand_all(variant, &places, notes, rows), words.to_owned())
        }
        (Drag::Device { id, .. }, Goal::Place(at)) => {
            change(Some(plugging::stand(variant, *id, on_canvas(at), rows)), "put the symbol here".to_owned())
        }
        (Drag::Part { part }, Goal::Lead(lead)) => {
            change(plugging::insert(variant, lead, part), format!("plug in between {}", plugging::ends(variant, lead)))
        }
        (Drag::Part { part }, Goal::Place(at)) => {
            change(Some(plugging::add(variant, part, Some((on_canvas(at), rows)))), "put on the sheet".to_owned())
        }
        (Drag::Part { .. }, Goal::Device(other)) => {
            Does::Nothing(format!("{} stands here: let go beside it, or on a lead", device_name(rig, other)))
        }
        (Drag::Lead { from }, Goal::Jack(jack)) if *from == jack => nothing("pull the lead to another jack"),
        (Drag::Lead { from }, Goal::Jack(jack)) => match may_join(rig, *from, jack, None) {
            Ok((from, to)) => change(plugging::join(variant, from, to), format!("join to {}", jack_name(rig, jack))),
            Err(why) => Does::Nothing(why.to_string()),
        },
        (Drag::Plug { lead, plug }, Goal::Jack(jack)) => {
            let Some(found) = rig.lead(*lead) else { return nothing("as it was") };
            if plug.jack(found) == jack {
                return nothing("the jack that the lead is in");
            }
            match may_join(rig, plug.other().jack(found), jack, Some(*lead)) {
                Ok(_) => {
                    change(plugging::replug(variant, *lead, *plug, jack), format!("plug into {}", jack_name(rig, jack)))
                }
                Err(why) => Does::Nothing(why.to_string()),
            }
        }
        (Drag::Plug { lead, .. }, _) => change(Some(plugging::unplug(variant, *lead)), "take the lead away".to_owned()),
        (Drag::Lead { .. }, _) => nothing("let go over a jack"),
        (Drag::TestPoint, Goal::Along(lead, along)) => {
            let along = Turn::clamped(f64::from((along * 100.0).round() / 100.0));
            let words = format!("take the curves here, between {}", plugging::ends(variant, lead));
            let edit = Edit::SetTestPoint(Some(TestPoint { lead, along }));
            change(Some(Change::new(PUT_TEST_POINT, edit)), words)
        }
        (Drag::TestPoint, _) => {
            let words = TAKE_TEST_POINT_AWAY.to_owned();
            change(Some(Change::new(TAKE_TEST_POINT_AWAY, Edit::SetTestPoint(None))), words)
        }
        (Drag::Arrow { note }, Goal::Place(at)) => {
            let pointed = variant.note(*note).map(|note| {
                noting::put(variant, Note { arrow: Some(on_canvas(at)), ..note.clone() }, "point an arrow")
            });
            change(pointed, "point here".to_owned())
        }
        (Drag::Device { .. } | Drag::Held { .. } | Drag::Part { .. } | Drag::Arrow { .. }, _) => nothing("as it was"),
    }
}

impl Canvas {
    /// Gives up a drag by Escape, or whose thing is gone.
    pub fn see_to_drag(&mut self, ui: &Ui, facts: &Facts<'_>, drawing: &Drawing) {
        let Some(drag) = &self.drag else { return };
        let given_up = ui.input(|input| input.key_pressed(Key::Escape));
        let (down, up) = ui.input(|input| (input.pointer.primary_down(), input.pointer.primary_released()));
        if given_up || !(down || up) || !drag.is_there(facts.variant, drawing) {
            self.drag = None;
        }
    }

    /// Where the middles of the devices are held that are being dragged.
    pub fn held(&self, pointer: Option<Pos2>, drawing: &Drawing) -> Option<Vec<(DeviceId, Pos2)>> {
        let pointer = pointer?;
        let mut held = match self.drag.as_ref()? {
            Drag::Device { id, hold } => vec![(*id, pointer - *hold)],
            Drag::Held { from, devices, .. } => {
                devices.iter().map(|(id, was)| (*id, *was + (pointer - *from))).collect()
            }
            _ => Vec::new(),
        };
        held.retain(|(id, _)| drawing.device(*id).is_some());
        (!held.is_empty()).then_some(held)
    }
}

/// How far the sheet moves in a frame under something that is dragged to its edge, in points;
/// only toward what is drawn beyond that edge.
pub fn along_at_edge(screen: Rect, drawn: Rect, pointer: Pos2) -> Vec2 {
    let toward = |screen: Rangef, drawn: Rangef, at: f32| match () {
        () if at < screen.min + EDGE && drawn.min < screen.min => 1.0,
        () if at > screen.max - EDGE && drawn.max > screen.max => -1.0,
        () => 0.0,
    };
    let across = toward(screen.x_range(), drawn.x_range(), pointer.x);
    8.0 * vec2(across, toward(screen.y_range(), drawn.y_range(), pointer.y))
}

impl Sheet<'_, '_> {
    /// Shows what letting go would do, and does it when that happens.
    pub fn dragged(&mut self, ui: &Ui, pointer: Option<Pos2>) {
        let (Some(drag), Some(at)) = (self.canvas.drag.clone(), pointer) else { return };
        let free = ui.input(|input| input.modifiers.alt);
        let goal = goal(&drag, self.facts, self.drawing, at, free);
        let does = does(&drag, goal, self.facts.variant, self.drawing.rows);
        if ui.input(|input| input.pointer.primary_released()) {
            if let Does::Change(change, _) = does {
                self.out.push(Intent::Change(*change));
            }
            self.canvas.dropped(goal);
            return;
        }
        ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
        self.goal_mark(goal, &does);
        if let Drag::Part { part } = &drag {
            self.part_in_hand(&part.name, at);
        }
        let from = match &drag {
            Drag::Lead { from } => self.drawing.jack(*from),
            Drag::Plug { lead, plug } => {
                let rig = &self.facts.variant.rig;
                rig.lead(*lead).and_then(|lead| self.drawing.jack(plug.other().jack(lead)))
            }
            _ => None,
        };
        if let Some(from) = from {
            let to = match goal {
                Goal::Jack(jack) => self.drawing.jack(jack).unwrap_or(at),
                _ => at,
            };
            self.pen.with(self.pen.tokens.teal, 2.0).line(&[from, to]);
        }
        let moves_symbol =
            matches!((&drag, goal), (Drag::Device { .. } | Drag::Held { .. } | Drag::Arrow { .. }, Goal::Place(_)));
        let (words, bad) = match does {
            Does::Change(change, words) => {
                // What it does to the tone is shown while it is only held there.
                if !moves_symbol && !matches!(drag, Drag::TestPoint) {
                    let preview = Preview { words: change.name.clone(), edit: change.edit };
                    self.out.push(Intent::Point(Pointed::Change(preview)));
                }
                match self.facts.refused.filter(|_| !moves_symbol) {
                    Some(why) => (why.to_owned(), true),
                    None => (words, false),
                }
            }
            Does::Nothing(why) => (why, true),
        };
        hint(self.pen, self.pen.at(at), &words, bad);
    }

    /// Lights up where what is dragged would go.
    fn goal_mark(&self, goal: Goal, does: &Does) {
        let tokens = self.pen.tokens;
        let bad = self.facts.refused.is_some() || matches!(does, Does::Nothing(_));
        let ink = if bad { tokens.alarm } else { tokens.teal };
        match goal {
            Goal::Lead(lead) => {
                if let Some(shape) = self.drawing.lead(lead) {
                    self.pen.with(ink.gamma_multiply(0.35), 11.0).line(&shape.points);
                    self.pen.with(ink, 2.6).line(&shape.points);
                }
            }
            Goal::Device(device) => {
                if let Some(shape) = self.drawing.device(device) {
                    let rect = self.pen.camera.screen_rect(self.pen.screen, shape.rect.expand(2.0));
                    self.pen.painter.rect_stroke(rect, 5.0, Stroke::new(2.0, ink), StrokeKind::Outside);
                }
            }
            Goal::Jack(jack) => {
                if let Some(at) = self.drawing.jack(jack) {
                    self.pen.with(ink, 2.0).ring(at, 7.5, tokens.sheet);
                }
            }
            Goal::Place(_) | Goal::Along(..) | Goal::Off => {}
        }
    }

    /// A part that is dragged out of the catalogue, under the pointer.
    fn part_in_hand(&self, name: &str, at: Pos2) {
        let pen = self.pen.with(self.pen.tokens.teal, 1.6);
        pen.rect(part_core(at), 6.0, self.pen.tokens.sheet.gamma_multiply(0.85));
        pen.text(at + vec2(0.0, -11.0), Align2::CENTER_CENTER, name, 13.0, true);
    }
}

/// What letting go would do, beside the pointer.
fn hint(pen: &Pen<'_>, at: Pos2, words: &str, bad: bool) {
    let ink = if bad { pen.tokens.alarm } else { pen.tokens.teal };
    let room = (0.6 * pen.screen.width()).clamp(120.0, 360.0);
    let galley = pen.painter.layout(words.to_owned(), text::small(), ink, room);
    let size = galley.size() + vec2(16.0, 10.0);
    // Below on the right, and where there is no room for that, on the other side.
    let mut corner = at + vec2(16.0, 18.0);
    if corner.x + size.x > pen.screen.right() {
        corner.x = at.x - 16.0 - size.x;
    }
    if corner.y + size.y > pen.screen.bottom() {
        corner.y = at.y - 18.0 - size.y;
    }
    let rect = Rect::from_min_size(corner.max(pen.screen.min), size);
    pen.painter.rect(rect, 5.0, pen.tokens.panel, Stroke::new(1.2, ink), StrokeKind::Inside);
    pen.painter.galley(rect.min + vec2(8.0, 5.0), galley, ink);
}

/// "The plug in Tuner, in, of the lead from Guitar".
pub fn plug_name(variant: &Variant, lead: LeadId, plug: Plug) -> String {
    let rig = &variant.rig;
    let Some(found) = rig.lead(lead) else { return String::new() };
    let other = place_name(rig, plug.other().jack(found));
    let (here, way) = (jack_name(rig, plug.jack(found)), if plug == Plug::AtInput { "from" } else { "to" });
    format!("Plug in {here}, of the lead {way} {other}")
}

/// Whether a jack is a loop's send or return.
#[must_use]
pub fn is_of_loop(jack: JackRef) -> bool {
    matches!(jack.jack, Jack::Send(_) | Jack::Return(_))
}

/// Whether something can be put behind a device by its first output.
#[must_use]
pub fn output_of(device: &Device) -> Option<JackRef> {
    device.kind.jacks().contains(&Jack::Out).then(|| JackRef::new(device.id, Jack::Out))
}
