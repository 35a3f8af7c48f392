//! Where everything of a rig stands on the sheet: pure geometry in canvas units.
//!
//! The signal runs left to right and wraps in rows, like text. A device that
//! was dragged stands where it was put. Nothing here knows of zoom or screen.

use std::collections::{BTreeMap, BTreeSet};

use egui::{Pos2, Rect, Vec2, pos2, vec2};
use rigwright_core::rig::{
    CanvasPoint, Device, DeviceId, Jack, JackRef, Kind, Lead, LeadId, NoteId, Rig, RowWidth, Variant,
};

use super::arrange::{Arranged, Rows};
use super::columns::{self, Column};
use super::detour::goes_through;
use super::lie::{Ends, body, lie};
use super::notes;
use super::order;
use super::route::{longest_level, nearest};
use super::symbols::switch_place;
use super::wiring::Wiring;
use crate::state::Selected;

/// From one device to the next on a row.
pub const STEP: f32 = 176.0;
/// From one row to the next.
pub const ROW: f32 = 180.0;
/// From a row to the row of a branch that leaves it.
pub const BRANCH: f32 = 124.0;
/// From a device's middle to its jacks.
pub const REACH: f32 = 50.0;
/// From a guitar's middle to its jack: it has more to show.
const GUITAR_REACH: f32 = 104.0;

/// A device on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct DeviceShape {
    /// The device.
    pub id: DeviceId,
    /// On the signal line, in the middle of the symbol.
    pub at: Pos2,
    /// From the middle to the jacks on either side.
    pub reach: f32,
    /// What belongs to it: symbol, name and kind of bypass.
    pub rect: Rect,
    /// Its jacks.
    pub jacks: Vec<(Jack, Pos2)>,
    /// Whether its loops hang below it, each in a column.
    pub hangs_loops: bool,
}

/// A lead on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct LeadShape {
    /// The lead.
    pub id: LeadId,
    /// Its corners, from output to input.
    pub points: Vec<Pos2>,
    /// The middle of its longest level stretch, where its length is written.
    pub middle: Pos2,
    /// How long that stretch is.
    pub room: f32,
    /// Whether both its ends are in jacks that there are.
    pub whole: bool,
}

/// A rig on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Devices, in the rig's order.
    pub devices: Vec<DeviceShape>,
    /// Leads, in the rig's order.
    pub leads: Vec<LeadShape>,
    /// Places among the leads, in the order of the signal: so they are read and walked through.
    pub reading: Vec<usize>,
    /// All of it, with room around.
    pub bounds: Rect,
    /// How wide its rows are.
    pub rows: RowWidth,
    /// What hangs on what.
    pub wiring: Wiring,
    /// About where notes lie.
    notes: BTreeMap<NoteId, Rect>,
    shapes: BTreeMap<DeviceId, usize>,
    lead_shapes: BTreeMap<LeadId, usize>,
}

impl Drawing {
    /// The drawing of a variant, for a sheet of a size in points.
    #[must_use]
    pub fn of(variant: &Variant, sheet: Vec2) -> Self {
        Self::arranged(&variant.rig, &variant.places, rows(variant, sheet), &BTreeSet::new()).with_notes(variant)
    }

    /// The same while devices are held over the sheet: their leads follow, and no other lead
    /// makes room for them.
    #[must_use]
    pub fn with_held(&self, variant: &Variant, held: &[(DeviceId, Pos2)]) -> Self {
        let mut places = variant.places.clone();
        places.extend(held.iter().map(|(id, at)| (*id, CanvasPoint { x: f64::from(at.x), y: f64::from(at.y) })));
        let held: BTreeSet<DeviceId> = held.iter().map(|(id, _)| *id).collect();
        // The others stay where they are.
        Self::arranged(&variant.rig, &places, Rows::Wide(self.rows.get() as f32), &held).with_notes(variant)
    }

    /// The same with the notes of a variant in its bounds.
    fn with_notes(mut self, variant: &Variant) -> Self {
        self.notes = variant.notes.iter().map(|note| (note.id, notes::about(note))).collect();
        if !self.notes.is_empty() {
            self.bounds = self.bounds.union(notes::bounds(variant).expand(16.0));
        }
        self
    }

    fn arranged(rig: &Rig, places: &BTreeMap<DeviceId, CanvasPoint>, rows: Rows, held: &BTreeSet<DeviceId>) -> Self {
        let wiring = Wiring::of(rig);
        let arranged = Arranged::of(rig, &wiring, places, rows);
        let mut devices: Vec<DeviceShape> = drawn(rig)
            .map(|device| {
                let at = arranged.places.get(&device.id).copied().unwrap_or(Pos2::ZERO);
                shape(device, at, arranged.columns.get(&device.id).map_or(&[], Vec::as_slice))
            })
            .collect();
        // Read, walked through and counted as the signal goes, whatever was put in first.
        let read = order::places(rig);
        devices.sort_by_key(|shape| read.get(&shape.id).copied());
        let reading = order::leads(rig, &read);
        let shapes = first_of(devices.iter().map(|shape| shape.id));
        let leads = lead_shapes(rig, &devices, &shapes, held);
        let mut bounds = devices.iter().fold(Rect::NOTHING, |all, shape| all.union(shape.rect));
        for lead in &leads {
            bounds = lead.points.iter().fold(bounds, |all, p| all.union(Rect::from_pos(*p)));
        }
        if devices.is_empty() {
            bounds = Rect::from_center_size(Pos2::ZERO, vec2(400.0, 200.0));
        }
        // Brackets stand above the first row and below the last.
        let bounds = Rect::from_min_max(bounds.min - vec2(16.0, 34.0), bounds.max + vec2(16.0, 24.0));
        let lead_shapes = first_of(leads.iter().map(|shape| shape.id));
        let rows = RowWidth::of(f64::from(arranged.width));
        Self { devices, leads, reading, bounds, rows, wiring, notes: BTreeMap::new(), shapes, lead_shapes }
    }

    /// The shape of a device.
    #[must_use]
    pub fn device(&self, id: DeviceId) -> Option<&DeviceShape> {
        self.devices.get(*self.shapes.get(&id)?)
    }

    /// The shape of a lead.
    #[must_use]
    pub fn lead(&self, id: LeadId) -> Option<&LeadShape> {
        self.leads.get(*self.lead_shapes.get(&id)?)
    }

    /// Where something is: a device with its words, the middle of a lead.
    #[must_use]
    pub fn place_of(&self, item: Selected) -> Option<Rect> {
        match item {
            Selected::Note(id) => self.notes.get(&id).copied(),
            Selected::Device(id) => self.device(id).map(|shape| shape.rect),
            Selected::Lead(id) => {
                self.lead(id).map(|lead| Rect::from_center_size(lead.middle, vec2(lead.room.min(80.0), 40.0)))
            }
        }
    }

    /// Where a jack is.
    #[must_use]
    pub fn jack(&self, jack: JackRef) -> Option<Pos2> {
        self.device(jack.device)?.jack(jack.jack)
    }

    /// The jack nearest to a point, within `reach` canvas units of it.
    #[must_use]
    pub fn jack_near(&self, at: Pos2, reach: f32) -> Option<JackRef> {
        let jacks = self.devices.iter().flat_map(|shape| shape.jacks.iter().map(|jack| (shape.id, jack)));
        jacks
            .map(|(device, (jack, place))| (JackRef::new(device, *jack), place.distance(at)))
            .filter(|(_, distance)| *distance <= reach)
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(jack, _)| jack)
    }

    /// The lead nearest to a point, within `reach` canvas units of it, and how far along it.
    #[must_use]
    pub fn lead_at(&self, at: Pos2, reach: f32) -> Option<(LeadId, f32)> {
        self.lead_near(at, reach, |_| true)
    }

    /// The same among some of the leads.
    #[must_use]
    pub fn lead_near(&self, at: Pos2, reach: f32, among: impl Fn(LeadId) -> bool) -> Option<(LeadId, f32)> {
        self.leads
            .iter()
            .filter(|lead| among(lead.id))
            .map(|lead| (lead.id, nearest(&lead.points, at)))
            .filter(|(_, (distance, _))| *distance <= reach)
            .min_by(|a, b| a.1.0.total_cmp(&b.1.0))
            .map(|(id, (_, along))| (id, along))
    }
}

/// What the rows of a variant's drawing go by.
fn rows(variant: &Variant, sheet: Vec2) -> Rows {
    variant.row_width.map_or(Rows::Fit(sheet), |width| Rows::Wide(width.get() as f32))
}

/// All leads, in the rig's order. One with an end nowhere hangs loose from its other end;
/// with both ends nowhere it lies below everything.
fn lead_shapes(
    rig: &Rig,
    devices: &[DeviceShape],
    shapes: &BTreeMap<DeviceId, usize>,
    held: &BTreeSet<DeviceId>,
) -> Vec<LeadShape> {
    let jack_at = |jack: JackRef| {
        let device: &DeviceShape = devices.get(*shapes.get(&jack.device)?)?;
        device.jack(jack.jack)
    };
    let hangs = |jack: JackRef| {
        let shape = shapes.get(&jack.device).and_then(|at| devices.get(*at));
        shape.is_some_and(|shape| shape.hangs_loops) && matches!(jack.jack, Jack::Send(_) | Jack::Return(_))
    };
    // Other leads don't make room for what is only held over them.
    let obstacle = |shape: &DeviceShape| if held.contains(&shape.id) { Rect::NOTHING } else { body(shape.rect) };
    // A second output's lead starts inside the body, beside the switch.
    let switch = |device: &Device| {
        let shape = shapes.get(&device.id).and_then(|at| devices.get(*at)).filter(|shape| !held.contains(&shape.id))?;
        let is_below = device.kind.pedal().is_some() && device.kind.stereo().is_some();
        let at = switch_place(device, shape).filter(|_| is_below)?;
        Some(Rect::from_center_size(at, vec2(SWITCH_ROOM, SWITCH_ROOM)))
    };
    let obstacles: Vec<Rect> = devices.iter().map(obstacle).chain(rig.devices.iter().filter_map(switch)).collect();
    let ends = |lead: &Lead| {
        Some(Ends {
            from: jack_at(lead.from)?,
            to: jack_at(lead.to)?,
            down: lead.from.jack == Jack::SecondOut || hangs(lead.from),
            up: lead.to.jack == Jack::SecondIn || hangs(lead.to),
            own: [lead.from.device, lead.to.device].map(|id| shapes.get(&id).copied()),
        })
    };
    let ways = lie(&rig.leads.iter().map(ends).collect::<Vec<_>>(), &obstacles);
    let below = devices.iter().map(|shape| shape.rect.bottom()).fold(0.0, f32::max) + 40.0;
    let mut lying = 0.0;
    let shapes = rig.leads.iter().zip(ways).map(|(lead, way)| {
        let whole = way.is_some();
        let loose = |known: Pos2, side: f32| known + vec2(side * 64.0, 38.0);
        let points = match (way, jack_at(lead.from), jack_at(lead.to)) {
            (Some(way), ..) => way,
            (None, Some(from), _) => vec![from, loose(from, 1.0)],
            (None, None, Some(to)) => vec![loose(to, -1.0), to],
            (None, None, None) => {
                lying += 90.0;
                vec![pos2(lying - 80.0, below), pos2(lying, below)]
            }
        };
        let (middle, room) = if whole { longest_level(&points) } else { (points[0].lerp(points[1], 0.5), 60.0) };
        LeadShape { id: lead.id, points, middle, room, whole }
    });
    shapes.collect()
}

/// Where each is in a list for the first time.
fn first_of<T: Ord>(ids: impl Iterator<Item = T>) -> BTreeMap<T, usize> {
    let mut found = BTreeMap::new();
    for (at, id) in ids.enumerate() {
        found.entry(id).or_insert(at);
    }
    found
}

impl DeviceShape {
    /// Where one of its jacks is.
    #[must_use]
    pub fn jack(&self, jack: Jack) -> Option<Pos2> {
        self.jacks.iter().find(|(own, _)| *own == jack).map(|(_, at)| *at)
    }

    /// What one sees of it and takes it by: symbol, line and switch, less its jacks and words.
    #[must_use]
    pub fn core(&self) -> Rect {
        let side = (self.reach - 14.0).max(20.0);
        Rect::from_min_max(self.at + vec2(-side, -49.0), self.at + vec2(side, 27.0))
    }
}

impl LeadShape {
    /// How far it is from a point.
    #[must_use]
    pub fn distance(&self, at: Pos2) -> f32 {
        nearest(&self.points, at).0
    }

    /// Whether any of it goes through a rectangle.
    #[must_use]
    pub fn goes_through(&self, rect: Rect) -> bool {
        self.points.windows(2).any(|w| goes_through((w[0], w[1]), rect))
    }

    /// The point `along` (0 to 1) from its output end.
    #[must_use]
    pub fn point_at(&self, along: f32) -> Pos2 {
        let total: f32 = self.points.windows(2).map(|w| w[0].distance(w[1])).sum();
        let mut left = total * along.clamp(0.0, 1.0);
        for w in self.points.windows(2) {
            let length = w[0].distance(w[1]);
            if left <= length && length > 0.0 {
                return w[0] + (w[1] - w[0]) * (left / length);
            }
            left -= length;
        }
        self.points.last().copied().unwrap_or(Pos2::ZERO)
    }
}

/// From an amp's line down to its send and return, below its load.
pub const SENDS: f32 = 46.0;

/// From a device's middle to its jacks.
pub fn reach_of(kind: &Kind) -> f32 {
    if matches!(kind, Kind::Guitar(_)) { GUITAR_REACH } else { REACH }
}

/// What a lead keeps off of a switch.
const SWITCH_ROOM: f32 = 20.0;

/// The shape of a device; of a switcher, over the columns of its loops.
fn shape(device: &Device, at: Pos2, columns: &[Column]) -> DeviceShape {
    let reach = match columns {
        [] => reach_of(&device.kind),
        columns => 0.5 * columns::width(columns),
    };
    let jack_at = |jack: Jack| columns::jack(columns, jack).map_or_else(|| jack_offset(jack, reach, at), |by| at + by);
    let jacks = device.kind.jacks().iter().map(|&jack| (jack, jack_at(jack))).collect();
    // Below a switcher's rail are its loops, each a thing by itself.
    let (top, bottom) = match (columns, device.kind.effects_loop()) {
        ([], None) if device.kind.stereo().is_some() => (-52.0, 83.0),
        ([], None) => (-52.0, 62.0),
        ([], Some(_)) => (-52.0, 76.0),
        _ if matches!(device.kind, Kind::Switcher(_)) => (-56.0, 6.0),
        _ => (-56.0, 24.0),
    };
    let rect = Rect::from_min_max(at + vec2(-reach, top), at + vec2(reach, bottom));
    DeviceShape { id: device.id, at, reach, rect, jacks, hangs_loops: !columns.is_empty() }
}

fn jack_offset(jack: Jack, reach: f32, at: Pos2) -> Pos2 {
    at + match jack {
        Jack::In => vec2(-reach, 0.0),
        Jack::Out => vec2(reach, 0.0),
        Jack::SecondIn => vec2(-reach + 22.0, 24.0),
        Jack::SecondOut => vec2(reach - 22.0, 24.0),
        Jack::Send(n) => vec2(reach, SENDS + 24.0 * (f32::from(n) - 1.0)),
        Jack::Return(n) => vec2(-reach, SENDS + 24.0 * (f32::from(n) - 1.0)),
        // Inside: nothing is plugged in there.
        Jack::PowerStage => vec2(0.0, 0.0),
    }
}

/// The devices that signal goes through: a supply is no part of the chain.
pub fn drawn(rig: &Rig) -> impl Iterator<Item = &Device> {
    rig.devices.iter().filter(|device| !device.kind.jacks().is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;
    use rigwright_core::file;

    const SHEET: Vec2 = vec2(1400.0, 450.0);

    fn demo() -> (Variant, Drawing) {
        let project = file::demo().unwrap();
        let variant = (*project.variants[0]).clone();
        let drawing = Drawing::of(&variant, SHEET);
        (variant, drawing)
    }

    #[test]
    fn no_two_devices_overlap() {
        let (_, drawing) = demo();
        for (i, a) in drawing.devices.iter().enumerate() {
            for b in &drawing.devices[i + 1..] {
                assert!(!a.rect.shrink(1.0).intersects(b.rect.shrink(1.0)), "{:?} {:?}", a.id, b.id);
            }
        }
    }

    #[test]
    fn every_lead_joins_its_jacks() {
        let (variant, drawing) = demo();
        assert_eq!(drawing.leads.len(), variant.rig.leads.len());
        for lead in &variant.rig.leads {
            let shape = drawing.lead(lead.id).unwrap();
            let end = |jack: JackRef| {
                drawing.device(jack.device).unwrap().jacks.iter().find(|(j, _)| *j == jack.jack).unwrap().1
            };
            assert_eq!(shape.points.first(), Some(&end(lead.from)));
            assert_eq!(shape.points.last(), Some(&end(lead.to)));
        }
    }

    /// Places where a level piece of one lead and an upright piece of another cross.
    fn crossings(drawing: &Drawing) -> Vec<(LeadId, LeadId, Pos2)> {
        let mut found = Vec::new();
        for one in &drawing.leads {
            for other in drawing.leads.iter().filter(|other| other.id != one.id) {
                for (a, b) in one.points.windows(2).map(|w| (w[0], w[1])).filter(|(a, b)| (a.y - b.y).abs() < 0.01) {
                    let upright = other.points.windows(2).map(|w| (w[0], w[1]));
                    for (c, d) in upright.filter(|(c, d)| (c.x - d.x).abs() < 0.01) {
                        let inside = |at: f32, from: f32, to: f32| at > from.min(to) + 0.5 && at < from.max(to) - 0.5;
                        if inside(c.x, a.x, b.x) && inside(a.y, c.y, d.y) {
                            found.push((one.id, other.id, pos2(c.x, a.y)));
                        }
                    }
                }
            }
        }
        found
    }

    /// None of these rigs needs a crossing: each is a tree, drawn in the order of the signal.
    #[test]
    fn laid_out_anew_no_shipped_rig_has_leads_that_cross() {
        for project in
            [file::demo(), file::few_on_a_daisy(), file::large_modular(), file::multi_effects(), file::blank()]
        {
            for variant in &project.unwrap().variants {
                for sheet in [SHEET, vec2(980.0, 300.0), vec2(760.0, 220.0), vec2(700.0, 900.0), vec2(420.0, 300.0)] {
                    let found = crossings(&Drawing::of(variant, sheet));
                    assert!(found.is_empty(), "{} at {sheet:?}: {found:?}", variant.name);
                }
            }
        }
    }

    #[test]
    fn crossings_are_seen() {
        let (_, mut drawing) = demo();
        let (at, id) = (drawing.leads[0].point_at(0.5), LeadId(9999));
        let points = vec![at - vec2(0.0, 30.0), at + vec2(0.0, 30.0)];
        drawing.leads.push(LeadShape { id, points, ..drawing.leads[0].clone() });
        assert_eq!(crossings(&drawing).len(), 1);
    }

    #[test]
    fn a_lead_is_hit_on_it_and_not_beside_it() {
        let (_, drawing) = demo();
        let lead = &drawing.leads[0];
        let on = lead.point_at(0.25);
        let (hit, along) = drawing.lead_at(on + vec2(0.0, 3.0), 6.0).unwrap();
        assert_eq!(hit, lead.id);
        assert!((along - 0.25).abs() < 0.02);
        assert!(drawing.lead_at(on + vec2(0.0, 30.0), 6.0).is_none());
    }

    #[test]
    fn a_dragged_device_stands_where_it_was_put() {
        let (mut variant, _) = demo();
        let id = variant.rig.devices[3].id;
        variant.places.insert(id, CanvasPoint { x: 11.0, y: 900.0 });
        assert_eq!(Drawing::of(&variant, SHEET).device(id).unwrap().at, pos2(11.0, 900.0));
    }

    #[test]
    fn rows_go_by_the_sheet_unless_they_have_a_width_of_their_own() {
        let (mut variant, wide) = demo();
        let tall = Drawing::of(&variant, vec2(700.0, 900.0));
        let rows = |drawing: &Drawing| {
            let mut found: Vec<i32> = drawing.devices.iter().map(|shape| shape.at.y as i32).collect();
            found.sort_unstable();
            found.dedup();
            found.len()
        };
        assert!(rows(&tall) > rows(&wide), "{} {}", rows(&tall), rows(&wide));
        variant.row_width = Some(wide.rows);
        assert_eq!(Drawing::of(&variant, vec2(700.0, 900.0)).devices, wide.devices);
    }
}
