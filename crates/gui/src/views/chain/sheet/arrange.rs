//! Where the drawing puts every device by itself: rows that wrap like text, and
//! loops that hang below their switcher.

use std::collections::{BTreeMap, BTreeSet};

use egui::{Pos2, Rect, Vec2, pos2, vec2};
use rigwright_core::rig::{CanvasPoint, Device, DeviceId, Jack, JackRef, Kind, LeadId, Rig};

use super::columns::{self, Column, NARROWEST, SIDE, side_by_side};
use super::drawing::{BRANCH, REACH, ROW, STEP, drawn, reach_of};
use super::wiring::Wiring;

/// The least zoom at which a drawing is shown without being asked: smaller, its words
/// couldn't be read, and it is scrolled instead.
pub const LEAST_FIT: f32 = 0.52;
/// The greatest zoom of that kind: no larger than life.
pub const LARGEST_FIT: f32 = 1.15;
/// More rows than this aren't tried out.
const MOST_ROWS: usize = 12;
/// What a drawing takes beyond its signal lines: symbols, words, brackets.
const BESIDE: Vec2 = vec2(30.0, 190.0);
/// From a switcher's rail to the first unit of a loop, and from unit to unit.
const DOWN: f32 = 162.0;

/// So much farther down is a branch with units that hang above their line.
const HANGING: f32 = 20.0;

/// The row width with which the whole fits a sheet best; where it would be too small to
/// read, as wide as can be read.
fn fitting(chains: &Chains<'_>, sheet: Vec2) -> f32 {
    let width = |device: &Device| chains.size(device).0;
    let rows = || chains.found.iter().map(|chain| &chain.devices);
    let longest = rows().map(|row| row.iter().map(|device| width(device)).sum::<f32>()).fold(0.0, f32::max);
    let widest = rows().flatten().map(|device| width(device)).fold(STEP, f32::max);
    let count = rows().map(Vec::len).max().unwrap_or(1).clamp(1, MOST_ROWS);
    let total = 2.0 * rows().flatten().map(|device| width(device)).sum::<f32>();
    let mut best = (0.0, total);
    for rows in 1..=count {
        // One row never wraps, however far what joins is pushed along.
        let limit = if rows > 1 { longest / rows as f32 + 0.5 * widest } else { total };
        let extent = Arranged::in_rows(chains, &BTreeMap::new(), limit).extent(chains);
        // No larger than life: one row that fits is better than two.
        let zoom = (sheet.x / extent.x).min(sheet.y / extent.y).min(LARGEST_FIT);
        if zoom > best.0 {
            best = (zoom, limit);
        }
    }
    if best.0 >= LEAST_FIT { best.1 } else { (sheet.x / LEAST_FIT - BESIDE.x).max(widest) }
}

/// Where everything stands.
#[derive(Debug, Default)]
pub struct Arranged {
    /// The middles of devices.
    pub places: BTreeMap<DeviceId, Pos2>,
    /// The columns of switchers.
    pub columns: BTreeMap<DeviceId, Vec<Column>>,
    /// How wide its rows are.
    pub width: f32,
}

/// What the rows of a drawing go by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rows {
    /// The shape of a sheet of this size, in points.
    Fit(Vec2),
    /// A width of their own, in canvas units.
    Wide(f32),
}

/// Devices one behind another, and what they hang on.
struct Chain<'r> {
    /// The device that the chain leaves by a further output.
    from: Option<DeviceId>,
    devices: Vec<&'r Device>,
    /// The device on a chain before it that its signal comes together with.
    joins: Option<DeviceId>,
}

/// What is found by following leads.
struct Chains<'r> {
    rig: &'r Rig,
    wiring: &'r Wiring,
    ends: BTreeMap<LeadId, JackRef>,
    seen: BTreeSet<DeviceId>,
    found: Vec<Chain<'r>>,
    /// The units in each loop of each switcher.
    loops: BTreeMap<DeviceId, Vec<Vec<&'r Device>>>,
}

impl<'r> Chains<'r> {
    /// Each chain starts at an instrument, a send or a further output.
    fn of(rig: &'r Rig, wiring: &'r Wiring) -> Self {
        let mut ends = BTreeMap::new();
        for lead in &rig.leads {
            ends.entry(lead.id).or_insert(lead.to);
        }
        let mut chains = Self { rig, wiring, ends, seen: BTreeSet::new(), found: Vec::new(), loops: BTreeMap::new() };
        let mut starts: Vec<(Option<DeviceId>, JackRef)> = Vec::new();
        for device in &rig.devices {
            for &jack in device.kind.jacks().iter().filter(|jack| device.kind.starts(**jack)) {
                let from = if jack == Jack::Out { None } else { Some(device.id) };
                starts.push((from, JackRef::new(device.id, jack)));
            }
        }
        starts.reverse();
        while let Some((from, start)) = starts.pop() {
            let mut devices = Vec::new();
            if from.is_none() && chains.seen.insert(start.device) {
                devices.extend(wiring.device(rig, start.device));
            }
            let mut later = Vec::new();
            let joins = chains.follow(start, &mut devices, &mut later);
            starts.extend(later.into_iter().rev());
            if !devices.is_empty() {
                chains.found.push(Chain { from, devices, joins });
            }
        }
        // What no signal gets to stands on a row of its own.
        let mut rest = Vec::new();
        for device in drawn(rig) {
            if chains.seen.insert(device.id) {
                rest.push(device);
                chains.hang_loops(device, &mut Vec::new());
            }
        }
        if !rest.is_empty() {
            chains.found.push(Chain { from: None, devices: rest, joins: None });
        }
        chains
    }

    /// Follows leads from an output as long as the devices are new; further outputs come
    /// later. Gives the device that isn't new, where it ends at one.
    fn follow(
        &mut self,
        start: JackRef,
        devices: &mut Vec<&'r Device>,
        later: &mut Vec<(Option<DeviceId>, JackRef)>,
    ) -> Option<DeviceId> {
        let mut out = start;
        while let Some((to, device)) = self.next(out) {
            if !self.seen.insert(device.id) {
                return Some(device.id);
            }
            devices.push(device);
            if self.hangs_loops(device) {
                self.hang_loops(device, later);
                let second = device.kind.jacks().contains(&Jack::SecondOut);
                later.extend(second.then_some((Some(device.id), JackRef::new(device.id, Jack::SecondOut))));
                out = JackRef::new(device.id, Jack::Out);
                continue;
            }
            let Some((&first, others)) = device.kind.onward(to.jack).split_first() else {
                break;
            };
            later.extend(others.iter().map(|&jack| (Some(device.id), JackRef::new(device.id, jack))));
            out = JackRef::new(device.id, first);
        }
        None
    }

    fn next(&self, out: JackRef) -> Option<(JackRef, &'r Device)> {
        let to = *self.ends.get(&self.wiring.lead_from(out)?)?;
        Some((to, self.wiring.device(self.rig, to.device)?))
    }

    /// Whether a device has columns for its loops: a switcher always, a unit whose loop is in use.
    /// What leaves by an amp's send is a row of its own.
    fn hangs_loops(&self, device: &Device) -> bool {
        let at = |jack| JackRef::new(device.id, jack);
        match &device.kind {
            Kind::Switcher(_) => true,
            Kind::MultiEffects(_) => {
                let (send, back) = (at(Jack::Send(1)), at(Jack::Return(1)));
                self.wiring.lead_from(send).is_some() || self.wiring.lead_to(back).is_some()
            }
            _ => false,
        }
    }

    fn hang_loops(&mut self, device: &'r Device, later: &mut Vec<(Option<DeviceId>, JackRef)>) {
        if !self.hangs_loops(device) {
            return;
        }
        let mut loops = Vec::new();
        for number in 1..=device.kind.loops() {
            let mut units = Vec::new();
            self.follow(JackRef::new(device.id, Jack::Send(number)), &mut units, later);
            loops.push(units);
        }
        self.loops.insert(device.id, loops);
    }

    /// The width of a device on its row, its loops counted, and how far they reach down.
    fn size(&self, device: &Device) -> (f32, f32) {
        let Some(loops) = self.loops.get(&device.id) else {
            return (STEP + 2.0 * (reach_of(&device.kind) - REACH), 0.0);
        };
        let widths = self.widths(loops);
        let depth = |units: &Vec<&Device>| units.iter().map(|unit| DOWN + self.size(unit).1).sum::<f32>();
        let width = columns::width(&side_by_side(&widths)) + STEP - 2.0 * REACH;
        (width, loops.iter().map(depth).fold(0.0, f32::max))
    }

    fn widths(&self, loops: &[Vec<&Device>]) -> Vec<f32> {
        let width = |units: &Vec<&Device>| {
            let widest = units.iter().map(|unit| self.size(unit).0).fold(0.0, f32::max);
            (widest + 2.0 * SIDE).max(NARROWEST)
        };
        loops.iter().map(width).collect()
    }
}

impl Arranged {
    /// Everything of a rig in its rows, what was dragged standing where it was put.
    #[must_use]
    pub fn of(rig: &Rig, wiring: &Wiring, dragged: &BTreeMap<DeviceId, CanvasPoint>, rows: Rows) -> Self {
        let chains = Chains::of(rig, wiring);
        let limit = match rows {
            Rows::Fit(sheet) => fitting(&chains, sheet),
            Rows::Wide(width) => width,
        };
        Self::in_rows(&chains, dragged, limit)
    }

    /// The same in rows of a width.
    fn in_rows(chains: &Chains<'_>, dragged: &BTreeMap<DeviceId, CanvasPoint>, limit: f32) -> Self {
        let width = |device: &Device| chains.size(device).0;
        let mut arranged = Self { width: limit, ..Self::default() };
        let parting: BTreeSet<DeviceId> = chains.found.iter().filter_map(|chain| chain.from).collect();
        let mut y = -ROW;
        let mut depth = 0.0_f32;
        for Chain { from, devices, .. } in &chains.found {
            let start = from.and_then(|id| arranged.places.get(&id).map(|at: &Pos2| at.x + 0.5 * STEP));
            let chain_width: f32 = devices.iter().map(|device| width(device)).sum();
            // A branch stands under the device that it leaves, if there is room.
            let under = start.filter(|x| x + chain_width <= limit * 1.05);
            let mut x = under.unwrap_or(0.0);
            // Units that hang above their line reach up to the bracket below the row before.
            let branch = if devices.iter().any(|device| device.has_switch()) { BRANCH + HANGING } else { BRANCH };
            y += depth + if under.is_some() { branch } else { ROW };
            depth = 0.0;
            for (at, device) in devices.iter().enumerate() {
                let (w, down) = chains.size(device);
                // What follows a device at which the way parts stays on its row, if a row has
                // room for that: the lead to a further row would cross the branch.
                let rest = || devices[at..].iter().map(|device| width(device)).sum::<f32>();
                let needed = if parting.contains(&device.id) { rest() } else { w };
                let needed = if needed <= limit { needed } else { w };
                // What comes together here stands before it, so that no lead goes back.
                x = x.max(arranged.behind_what_joins(chains, device.id, y));
                if x > 0.0 && x + needed > limit {
                    x = 0.0;
                    y += ROW + depth;
                    depth = 0.0;
                }
                arranged.put(chains, device, pos2(x + 0.5 * w, y), dragged);
                depth = depth.max(down);
                x += w;
            }
        }
        arranged
    }

    /// How much room all of it takes, with its words.
    fn extent(&self, chains: &Chains<'_>) -> Vec2 {
        let mut all = Rect::NOTHING;
        for chain in &chains.found {
            for device in &chain.devices {
                let Some(at) = self.places.get(&device.id) else { continue };
                let (width, down) = chains.size(device);
                all = all.union(Rect::from_center_size(*at, vec2(width, 0.0)));
                all = all.union(Rect::from_min_size(*at, vec2(0.0, down)));
            }
        }
        all.size() + BESIDE
    }

    /// Where on a row a device begins at the earliest, so that a chain that leaves this row
    /// and joins at the device ends before it.
    fn behind_what_joins(&self, chains: &Chains<'_>, device: DeviceId, y: f32) -> f32 {
        let joining = chains.found.iter().filter(|chain| chain.joins == Some(device));
        let begins = joining.filter_map(|chain| {
            let from = self.places.get(&chain.from?).filter(|from| (from.y - y).abs() < 1.0)?;
            let width: f32 = chain.devices.iter().map(|device| chains.size(device).0).sum();
            // Its last output, a corner, and the input at the device's left foot.
            Some(from.x + 0.5 * STEP + width - 82.0)
        });
        begins.fold(0.0, f32::max)
    }

    /// Puts a device where it belongs, or where it was dragged to, its loops below it.
    fn put(&mut self, chains: &Chains<'_>, device: &Device, at: Pos2, dragged: &BTreeMap<DeviceId, CanvasPoint>) {
        let at = dragged.get(&device.id).map_or(at, |place| pos2(place.x as f32, place.y as f32));
        self.places.insert(device.id, at);
        let Some(loops) = chains.loops.get(&device.id) else { return };
        let columns = side_by_side(&chains.widths(loops));
        for (units, column) in loops.iter().zip(&columns) {
            let mut y = at.y;
            for unit in units {
                y += DOWN;
                self.put(chains, unit, pos2(at.x + column.middle, y), dragged);
                y += chains.size(unit).1;
            }
        }
        self.columns.insert(device.id, columns);
    }
}
