//! Circles that the signal can go round in where loop switchers decide which ways hold.
//!
//! A walk that comes to each input once finds every circle of a rig without switchers. With
//! them it may come to an input first by a way that can't hold, and so pass a circle by that
//! can: those are looked for here, way by way.

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
        let Some(Device { kind: Kind::Switcher(switcher), .. }) = devices.get(&input.device) else {
            continue;
        };
        let is_plugged = |jack| index.plugged.contains(&JackRef::new(input.device, jack));
        // An empty loop is passed by, wherever its switch stands.
        let counts = |(number, _): &(u8, bool)| is_plugged(Jack::Send(*number)) || is_plugged(Jack::Return(*number));
        let between = switcher.loops_between(input.jack, *out).into_iter().filter(counts);
        wanted.entry(input.device).or_default().extend(between);
    }
    wanted.iter().all(|(id, loops)| match devices.get(id).map(|device| &device.kind) {
        Some(Kind::Switcher(switcher)) => switcher.can_have(loops),
        _ => true,
    })
}

/// A circle that can close, by its devices in the signal's order; none where there is none,
/// or no switcher.
pub fn past_switchers(index: &Index<'_>) -> Option<Vec<DeviceId>> {
    if !index.devices.values().any(|device| matches!(device.kind, Kind::Switcher(_))) {
        return None;
    }
    let ways = Ways::of(index);
    let mut search = Search { index, ways: &ways, root: None, way: Vec::new(), steps: 0 };
    ways.0.keys().find_map(|root| {
        search.root = Some(*root);
        search.from(*root).then(|| {
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
        // What leads on to nothing, or is come to from nothing, lies on no circle.
        loop {
            let come_to: BTreeSet<JackRef> = ways.values().flatten().map(|(_, to)| *to).collect();
            let kept: BTreeSet<JackRef> = ways
                .iter()
                .filter(|(from, on)| come_to.contains(from) && !on.is_empty())
                .map(|(from, _)| *from)
                .collect();
            if kept.len() == ways.len() {
                return Self(ways);
            }
            ways.retain(|from, _| kept.contains(from));
            ways.values_mut().for_each(|on| on.retain(|(_, to)| kept.contains(to)));
        }
    }
}

/// A search for a way back to its root, which is the first of its inputs.
struct Search<'a> {
    index: &'a Index<'a>,
    ways: &'a Ways,
    root: Option<JackRef>,
    way: Vec<Step>,
    steps: usize,
}

impl Search<'_> {
    fn from(&mut self, input: JackRef) -> bool {
        let ways = self.ways;
        for (out, to) in ways.0.get(&input).into_iter().flatten() {
            self.steps += 1;
            self.way.push((input, *out));
            let closes = Some(*to) == self.root;
            // Circles whose first input comes before the root were found from there.
            let goes_on = Some(*to) > self.root && !self.way.iter().any(|(seen, _)| seen == to);
            if self.steps > MOST_STEPS
                || (closes || goes_on) && can_close(self.index, &self.way) && (closes || self.from(*to))
            {
                return true;
            }
            self.way.pop();
        }
        false
    }
}
