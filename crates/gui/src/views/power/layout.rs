//! Where supplies, rails and units stand: pure geometry in canvas units, from
//! the mains at the left and top down. Nothing here knows of zoom or screen.

use std::collections::BTreeSet;

use egui::{Pos2, Rect, pos2, vec2};
use rigwright_core::rig::{Device, DeviceId, FeedFrom, OutletRef, Power, Rig, Supply};

/// The mains rail.
const MAINS_X: f32 = 42.0;
/// From the mains rail to a supply's symbol.
const TO_SYMBOL: f32 = 48.0;
/// From the title of the rail that feeds it to a module's symbol.
const TO_MODULE: f32 = 30.0;
/// A converter's symbol, from side to side.
pub const SYMBOL: f32 = 60.0;
/// From the symbol to the line that its outlets branch from.
const TO_SPINE: f32 = 22.0;
/// From that line to the rails' first letter: returns that are shared run down in between.
const TO_RAIL: f32 = 34.0;
/// A unit's box.
pub const BOX: egui::Vec2 = vec2(108.0, 42.0);
/// From one box to the next.
const STEP: f32 = 124.0;
/// From a rail down to the boxes.
const STEM: f32 = 17.0;
/// From a row's top to its rail: the title stands there.
const OVER: f32 = 32.0;
/// Under the boxes: what each gets.
const UNDER: f32 = 23.0;
/// Under that, where a shared return is drawn: its line and its words.
const RETURN: f32 = 20.0;
/// A rail with nothing on it.
const EMPTY: f32 = 12.0;
/// Between two supplies.
const GAP: f32 = 26.0;
/// From the right end of a rail to the left end of its load bar.
const BAR_FROM_RIGHT: f32 = 226.0;
/// What a rail's title and marks take before its bar.
const TITLE: f32 = 226.0;
/// A load bar.
const BAR: egui::Vec2 = vec2(116.0, 8.0);

/// What a row of units hangs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RailKey {
    /// An outlet.
    Outlet(OutletRef),
    /// The mains themselves.
    Mains,
    /// Batteries of their own.
    Batteries,
    /// Nothing: these want a feed and have none.
    NotFed,
    /// Nobody has said what these take.
    Unknown,
}

/// A row: a rail with what hangs on it, or a shelf of units that hang on nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct RailRow {
    /// What it is.
    pub key: RailKey,
    /// The rail's height.
    pub y: f32,
    /// Where the rail begins.
    pub left: f32,
    /// Where it ends.
    pub right: f32,
    /// Heights of its further lines, where it goes on since the first is full.
    pub further: Vec<f32>,
    /// Where the title stands: its left end, on the line.
    pub title: Pos2,
    /// The load bar of an outlet.
    pub bar: Option<Rect>,
    /// What belongs to it: something dropped here is plugged in here.
    pub band: Rect,
    /// The height of the shared return under the last line of boxes.
    pub return_y: f32,
}

/// A unit's box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnitBox {
    /// The unit.
    pub device: DeviceId,
    /// What it hangs on.
    pub key: RailKey,
    /// Where its lead leaves the rail.
    pub tap: Pos2,
    /// The box.
    pub rect: Rect,
}

/// A supply's or module's symbol.
#[derive(Debug, Clone, PartialEq)]
pub struct Converter {
    /// The supply.
    pub device: DeviceId,
    /// The symbol.
    pub rect: Rect,
    /// The line that feeds it, from the mains or from a rail; none where nothing does.
    pub fed_by: Option<Vec<Pos2>>,
    /// The line that its outlets branch from: x, top, bottom.
    pub spine: (f32, f32, f32),
    /// How deep it hangs: 0 on the mains.
    pub depth: usize,
}

/// All of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// The mains rail: x, top, bottom.
    pub mains: (f32, f32, f32),
    /// Symbols of supplies, from the top down.
    pub converters: Vec<Converter>,
    /// Rows, from the top down.
    pub rows: Vec<RailRow>,
    /// Boxes, row by row.
    pub boxes: Vec<UnitBox>,
    /// Everything, with room around.
    pub bounds: Rect,
}

impl Layout {
    /// The drawing of a rig's power, at least so wide. `shares` says whether a
    /// return is drawn under an outlet's boxes.
    #[must_use]
    pub fn of(rig: &Rig, width: f32, shares: &dyn Fn(OutletRef) -> bool) -> Self {
        // A rail that hangs deep has room for its title, too, and all bars stand in one column.
        let deepest = (0..depth(rig)).fold(MAINS_X + TO_SYMBOL, |x, _| x + SYMBOL + TO_SPINE + TO_RAIL + TO_MODULE);
        let right = (width - 24.0).max(deepest + SYMBOL + TO_SPINE + TO_RAIL + TITLE + BAR_FROM_RIGHT);
        let mut maker = Maker { rig, shares, right, y: 44.0, done: BTreeSet::new(), out: Self::empty() };
        maker.all();
        let mut out = maker.out;
        out.bounds = Rect::from_min_max(Pos2::ZERO, pos2(right + 24.0, maker.y + 20.0));
        out
    }

    fn empty() -> Self {
        let mains = (MAINS_X, 36.0, 36.0);
        Self { mains, converters: Vec::new(), rows: Vec::new(), boxes: Vec::new(), bounds: Rect::ZERO }
    }

    /// A unit's box.
    #[must_use]
    pub fn unit(&self, device: DeviceId) -> Option<&UnitBox> {
        self.boxes.iter().find(|unit| unit.device == device)
    }

    /// A row.
    #[must_use]
    pub fn row(&self, key: RailKey) -> Option<&RailRow> {
        self.rows.iter().find(|row| row.key == key)
    }

    /// A supply's symbol.
    #[must_use]
    pub fn converter(&self, device: DeviceId) -> Option<&Converter> {
        self.converters.iter().find(|converter| converter.device == device)
    }

    /// The row under a point; nothing beside them all.
    #[must_use]
    pub fn row_at(&self, at: Pos2) -> Option<&RailRow> {
        self.rows.iter().find(|row| row.band.contains(at))
    }
}

struct Maker<'a> {
    rig: &'a Rig,
    shares: &'a dyn Fn(OutletRef) -> bool,
    right: f32,
    y: f32,
    /// Supplies that stand somewhere already: one that feeds itself comes round again.
    done: BTreeSet<DeviceId>,
    out: Layout,
}

impl Maker<'_> {
    fn all(&mut self) {
        let roots: Vec<DeviceId> =
            self.rig.supplies().filter(|(device, _)| !self.hangs(device)).map(|(device, _)| device.id).collect();
        for root in roots {
            self.converter(root, None, MAINS_X + TO_SYMBOL);
        }
        // What is fed in a circle has no root; each stands by itself all the same.
        let left: Vec<DeviceId> = self.rig.supplies().map(|(device, _)| device.id).collect();
        for device in left {
            if !self.done.contains(&device) {
                self.converter(device, None, MAINS_X + TO_SYMBOL);
            }
        }
        self.shelf(RailKey::Mains, |device| matches!(device.power, Power::Mains(_)), false);
        self.out.mains.2 = self.y - GAP;
        self.shelf(RailKey::Batteries, |device| matches!(device.power, Power::Battery(_)), false);
        // What hangs on an outlet that isn't there hangs on nothing.
        let placed: BTreeSet<DeviceId> = self.out.boxes.iter().map(|unit| unit.device).collect();
        self.shelf(RailKey::NotFed, |device| device.power.need().is_some() && !placed.contains(&device.id), true);
        self.shelf(RailKey::Unknown, |device| device.power == Power::Unknown, false);
        self.y -= GAP;
    }

    /// Whether it hangs on another supply's outlet that is there.
    fn hangs(&self, device: &Device) -> bool {
        let feed = self.rig.feed_to(device.id);
        feed.and_then(|feed| feed.from.outlets().next()).is_some_and(|outlet| self.rig.outlet(outlet).is_some())
    }

    /// A supply with its rails, and what hangs on them.
    fn converter(&mut self, device: DeviceId, from: Option<Pos2>, x: f32) {
        let rig = self.rig;
        let Some(found) = rig.device(device) else { return };
        let Some(supply) = found.kind.supply() else { return };
        if !self.done.insert(device) {
            return;
        }
        let top = self.y;
        let first = top + OVER;
        let rect = Rect::from_center_size(pos2(x + 0.5 * SYMBOL, first), egui::Vec2::splat(SYMBOL));
        let on_mains = matches!(found.power, Power::Mains(_));
        let fed_by = match from {
            Some(from) => Some(vec![from, pos2(from.x, first), pos2(x, first)]),
            None if on_mains => Some(vec![pos2(MAINS_X, first), pos2(x, first)]),
            None => None,
        };
        let depth = if from.is_some() { self.depth_at(x) } else { 0 };
        let spine = x + SYMBOL + TO_SPINE;
        let at = self.out.converters.len();
        self.out.converters.push(Converter { device, rect, fed_by, spine: (spine, first, first), depth });
        let last = self.rails(device, supply, spine);
        self.out.converters[at].spine.2 = last;
        // The captions under the symbol need their room, too.
        self.y = self.y.max(rect.bottom() + 44.0) + GAP;
    }

    fn depth_at(&self, x: f32) -> usize {
        ((x - MAINS_X - TO_SYMBOL) / (SYMBOL + TO_SPINE + TO_RAIL + TO_MODULE)).round().max(0.0) as usize
    }

    /// The rails of a supply; gives back the height of the last.
    fn rails(&mut self, device: DeviceId, supply: &Supply, spine: f32) -> f32 {
        let mut last = self.y + OVER;
        for number in (1..=u8::MAX).take(supply.outlets.len()) {
            let outlet = OutletRef::new(device, number);
            let units: Vec<DeviceId> = self.on(outlet).into_iter().filter(|id| !self.is_supply(*id)).collect();
            let modules: Vec<DeviceId> = self.on(outlet).into_iter().filter(|id| self.is_supply(*id)).collect();
            let share = (self.shares)(outlet);
            last = self.row(RailKey::Outlet(outlet), spine, &units, share);
            for (index, module) in modules.into_iter().enumerate() {
                let tap = pos2(spine + TO_RAIL + 10.0 + 8.0 * index as f32, last);
                self.y += 4.0;
                self.converter(module, Some(tap), spine + TO_RAIL + TO_MODULE);
                self.y -= GAP - 8.0;
            }
        }
        last
    }

    fn is_supply(&self, device: DeviceId) -> bool {
        self.rig.device(device).is_some_and(|device| device.kind.supply().is_some())
    }

    /// What hangs on an outlet; of two that are put together all hangs on the first.
    fn on(&self, outlet: OutletRef) -> Vec<DeviceId> {
        let feeds = self.rig.feeds.iter().filter(|feed| first(feed.from) == outlet);
        let devices = feeds.flat_map(|feed| feed.taps.iter().map(|tap| tap.device));
        devices.filter(|id| self.rig.device(*id).is_some()).collect()
    }

    /// A rail with its boxes; gives back its height.
    fn row(&mut self, key: RailKey, spine: f32, units: &[DeviceId], share: bool) -> f32 {
        let top = self.y;
        let y = top + OVER;
        let left = spine + TO_RAIL;
        let right = self.right;
        let a_line = (((right - left - BOX.x) / STEP).floor().max(0.0) as usize) + 1;
        let mut further = Vec::new();
        let mut line_y = y;
        for (line, chunk) in units.chunks(a_line).enumerate() {
            if line > 0 {
                line_y += STEM + BOX.y + UNDER + 14.0;
                further.push(line_y);
            }
            for (at, &device) in chunk.iter().enumerate() {
                let tap = pos2(left + 0.5 * BOX.x + 10.0 + at as f32 * STEP, line_y);
                let rect = Rect::from_min_size(tap + vec2(-0.5 * BOX.x, STEM), BOX);
                self.out.boxes.push(UnitBox { device, key, tap, rect });
            }
        }
        let under = if units.is_empty() { EMPTY } else { STEM + BOX.y + UNDER };
        let return_y = line_y + under;
        self.y = return_y + if share { RETURN } else { 0.0 };
        let bar =
            matches!(key, RailKey::Outlet(_)).then(|| Rect::from_min_size(pos2(right - BAR_FROM_RIGHT, y - 21.0), BAR));
        self.out.rows.push(RailRow {
            key,
            y,
            left: spine,
            right,
            further,
            title: pos2(left, y - 9.0),
            bar,
            band: Rect::from_min_max(pos2(spine, top), pos2(right, self.y)),
            return_y,
        });
        y
    }

    /// Units that hang on no outlet.
    fn shelf(&mut self, key: RailKey, fits: impl Fn(&Device) -> bool, always: bool) {
        let devices = self.rig.devices.iter().filter(|device| device.kind.supply().is_none() && fits(device));
        let units: Vec<DeviceId> = devices.map(|device| device.id).collect();
        if units.is_empty() && !always {
            return;
        }
        let spine = MAINS_X;
        self.row(key, spine, &units, false);
        self.y += if units.is_empty() { 26.0 } else { 0.0 } + GAP;
        if units.is_empty()
            && let Some(row) = self.out.rows.last_mut()
        {
            row.band.max.y += 26.0;
        }
    }
}

/// How many supplies hang one on another, the first not counted.
fn depth(rig: &Rig) -> usize {
    let above = |device: DeviceId| rig.feed_to(device).and_then(|feed| feed.from.outlets().next()).map(|at| at.supply);
    let count = rig.supplies().count();
    let deep = |device: DeviceId| std::iter::successors(above(device), |at| above(*at)).take(count).count();
    rig.supplies().map(|(device, _)| deep(device.id)).max().unwrap_or(0)
}

/// The outlet whose rail a feed is drawn on.
#[must_use]
pub fn first(from: FeedFrom) -> OutletRef {
    match from {
        FeedFrom::One(outlet) => outlet,
        FeedFrom::Series { lower, .. } => lower,
        FeedFrom::Parallel { first, .. } => first,
    }
}

#[cfg(test)]
#[path = "layout_tests.rs"]
mod tests;
