//! Circles that the signal can go round in where loops that are in or out decide which ways hold.
//!
//! A walk that comes to each input once finds every circle of a rig without switchers. With
//! them it may come to an input first by a way that can't hold, and miss a circle that can:
//! such circles are looked for here, way by way.

use std::collections::{BTreeMap, BTreeSet};

use super::problems::Index;
use super::{Device, DeviceId, Jack, JackRef, Kind, Tuner};

/// An input that the signal has come in by, with the output that it goes on to.
pub type Step = (JackRef, Jack);

/// Past so many steps a rig whose ways are that tangled counts as one with a circle.
const MOST_STEPS: usize = 50_000;

/// Whether switches can stand so that all of a way holds at once: of a switcher, that no
/// loop would have to be both in and out.
pub fn can_close(index: &Index<'_>, way: &[Step]) -> bool {
    let devices = &index.devices;
    let mut wanted: BTreeMap<DeviceId, Vec<(u8, bool)>> = BTreeMap::new();
    for (input, out) in way {
        let Some(device) = devices.get(&input.device).filter(|device| has_loops(device)) else { continue };
        let is_plugged = |jack| index.plugged.contains(&JackRef::new(input.device, jack));
        // An empty loop is passed by, wherever its switch stands.
        let counts = |(number, _): &(u8, bool)| is_plugged(Jack::Send(*number)) || is_plugged(Jack::Return(*number));
        let between = device.kind.loops_between(input.jack, *out).into_iter().filter(counts);
        wanted.entry(input.device).or_default().extend(between);
    }
    wanted.iter().all(|(id, loops)| devices.get(id).is_none_or(|device| device.can_have_loops(loops)))
}

/// Whether the signal may go past some of a device's outputs, as its loops stand. It doesn't go
/// through an amp at all.
fn has_loops(device: &Device) -> bool {
    matches!(device.kind, Kind::Switcher(_) | Kind::MultiEffects(_)) && device.kind.loops() > 0
}

/// A circle that can close, by its devices in the signal's order; none where there is none,
/// or nothing with loops.
pub fn past_switchers(index: &Index<'_>) -> Option<Vec<DeviceId>> {
    if !index.devices.values().any(|device| has_loops(device)) {
        return None;
    }
    let ways = Ways::of(index);
    let mut search = Search { index, ways: &ways, way: Vec::new(), seen: BTreeSet::new(), steps: 0 };
    ways.0.keys().find_map(|root| {
        search.leads_back(*root, *root).then(|| {
            let mut circle: Vec<DeviceId> = search.way.iter().map(|(input, _)| input.device).collect();
            circle.dedup();
            circle
        })
    })
}

/// Of each input that may lie on a circle where its signal goes on: by which output, to which input.
struct Ways(BTreeMap<JackRef, Vec<(Jack, JackRef)>>);

impl Ways {
    fn of(index: &Index<'_>) -> Self {
        let Index { devices, leads, .. } = index;
        let mut ways: BTreeMap<JackRef, Vec<(Jack, JackRef)>> = BTreeMap::new();
        for input in leads.values().map(|lead| lead.to) {
            let Some(device) = devices.get(&input.device) else { continue };
            if !device.kind.jacks().contains(&input.jack) || matches!(device.kind, Kind::Tuner(Tuner::Tap { .. })) {
                continue;
            }
            let onward = device.kind.onward(input.jack).iter();
            let onward = onward.filter_map(|out| Some((*out, leads.get(&JackRef::new(device.id, *out))?.to)));
            ways.insert(input, onward.collect());
        }
        let known: BTreeSet<JackRef> = ways.keys().copied().collect();
        ways.values_mut().for_each(|on| on.retain(|(_, to)| known.contains(to)));
        // What is come to from nothing, or leads on to nothing, lies on no circle.
        let froms = |ways: &BTreeMap<JackRef, Vec<(Jack, JackRef)>>| {
            let mut froms: BTreeMap<JackRef, Vec<JackRef>> = BTreeMap::new();
            for (from, on) in ways {
                on.iter().for_each(|(_, to)| froms.entry(*to).or_default().push(*from));
            }
            froms
        };
        let onward = ways.iter().map(|(from, on)| (*from, on.iter().map(|(_, to)| *to).collect())).collect();
        let dead = dead_ends(ways.keys(), &froms(&ways), &onward);
        ways.retain(|from, _| !dead.contains(from));
        let dead = dead_ends(ways.keys(), &onward, &froms(&ways));
        ways.retain(|from, _| !dead.contains(from));
        ways.values_mut().for_each(|on| on.retain(|(_, to)| !dead.contains(to)));
        Self(ways)
    }
}

type Neighbours = BTreeMap<JackRef, Vec<JackRef>>;

/// The inputs that nothing on one side leads to for ever: those without a neighbour there, and
/// then those whose neighbours there are all dead ends.
fn dead_ends<'a>(
    inputs: impl Iterator<Item = &'a JackRef>,
    before: &Neighbours,
    behind: &Neighbours,
) -> BTreeSet<JackRef> {
    let count = |at: &JackRef| before.get(at).map_or(0, Vec::len);
    let mut left: BTreeMap<JackRef, usize> = inputs.map(|at| (*at, count(at))).collect();
    let mut todo: Vec<JackRef> = left.iter().filter(|(_, count)| **count == 0).map(|(at, _)| *at).collect();
    let mut dead = BTreeSet::new();
    while let Some(at) = todo.pop() {
        dead.insert(at);
        for next in behind.get(&at).into_iter().flatten() {
            if let Some(count) = left.get_mut(next) {
                *count = count.saturating_sub(1);
                if *count == 0 {
                    todo.push(*next);
                }
            }
        }
    }
    dead
}

/// A search for a way back to a root, which is the first of the circle's inputs.
struct Search<'a> {
    index: &'a Index<'a>,
    ways: &'a Ways,
    way: Vec<Step>,
    /// The inputs on the way.
    seen: BTreeSet<JackRef>,
    steps: usize,
}

impl Search<'_> {
    /// Whether the signal comes back from an input to the root; the way then is the circle.
    fn leads_back(&mut self, input: JackRef, root: JackRef) -> bool {
        let ways = self.ways;
        let switches_loops = self.index.devices.get(&input.device).is_some_and(|device| has_loops(device));
        self.seen.insert(input);
        for (out, to) in ways.0.get(&input).into_iter().flatten() {
            self.steps += 1;
            self.way.push((input, *out));
            let closes = *to == root;
            // Circles whose first input comes before the root were found from there.
            let goes_on = *to > root && !self.seen.contains(to);
            // Only loops can be in the way of what held until here.
            let holds = (closes || goes_on) && (!switches_loops || can_close(self.index, &self.way));
            if self.steps > MOST_STEPS || holds && (closes || self.leads_back(*to, root)) {
                return true;
            }
            self.way.pop();
        }
        self.seen.remove(&input);
        false
    }
}
