//! In which order a drawing is read: as the signal goes, and not as things came into the rig.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use rigwright_core::rig::{DeviceId, Jack, Lead, Rig};

/// The place of each device in the order of the signal: from the first instrument on, along
/// what each output feeds, then from the next one. What feeds a device comes before it,
/// but in a circle.
pub fn places(rig: &Rig) -> BTreeMap<DeviceId, usize> {
    let mut fed: BTreeMap<DeviceId, Vec<&Lead>> = BTreeMap::new();
    for lead in &rig.leads {
        fed.entry(lead.from.device).or_default().push(lead);
    }
    // What is followed last is read first: loops before what is behind the output.
    let is_send = |lead: &Lead| matches!(lead.from.jack, Jack::Send(_));
    fed.values_mut().for_each(|leads| leads.sort_by_key(|lead| Reverse((!is_send(lead), lead.from.jack))));
    let is_fed: BTreeSet<DeviceId> = rig.leads.iter().map(|lead| lead.to.device).collect();
    let (others, starts): (Vec<DeviceId>, Vec<DeviceId>) =
        rig.devices.iter().map(|device| device.id).partition(|id| is_fed.contains(id));
    // Circles by themselves, in which no signal starts, come last.
    let mut seen = BTreeSet::new();
    let read = [starts, others].into_iter().flat_map(|from| {
        // Each behind all that it feeds: read from the back that is the signal's order.
        let mut behind = Vec::new();
        from.into_iter().rev().for_each(|start| follow(start, &fed, &mut seen, &mut behind));
        behind.into_iter().rev()
    });
    read.enumerate().map(|(place, id)| (id, place)).collect()
}

/// The leads, each by its place in the rig, in the order of the devices that they come from;
/// of one device in the order of its jacks.
pub fn leads(rig: &Rig, devices: &BTreeMap<DeviceId, usize>) -> Vec<usize> {
    let mut read: Vec<usize> = (0..rig.leads.len()).collect();
    let place = |id: DeviceId| devices.get(&id).copied();
    read.sort_by_key(|at| {
        let Lead { from, to, .. } = &rig.leads[*at];
        let is_send = matches!(from.jack, Jack::Send(_));
        (place(from.device), !is_send, from.jack, place(to.device))
    });
    read
}

/// Puts a device behind all that it feeds, and those before it.
fn follow(
    start: DeviceId,
    fed: &BTreeMap<DeviceId, Vec<&Lead>>,
    seen: &mut BTreeSet<DeviceId>,
    behind: &mut Vec<DeviceId>,
) {
    if !seen.insert(start) {
        return;
    }
    let onward = |id: DeviceId| fed.get(&id).into_iter().flatten().map(|lead| lead.to.device).collect::<Vec<_>>();
    // Each with what it feeds and isn't followed yet, the next one last.
    let mut way = vec![(start, onward(start).into_iter())];
    while let Some((at, left)) = way.last_mut() {
        match left.next() {
            Some(next) if seen.insert(next) => {
                let further = onward(next).into_iter();
                way.push((next, further));
            }
            Some(_) => {}
            None => {
                behind.push(*at);
                way.pop();
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use rigwright_core::file;
    use rigwright_core::rig::{Device, JackRef, LeadId};

    use super::*;

    fn rig(count: u64, leads: &[(u64, Jack, u64)]) -> Rig {
        let project = file::demo().unwrap();
        let model = &project.variants[0].rig;
        let devices = (1..=count).map(|id| Device { id: DeviceId(id), ..model.devices[0].clone() }).collect();
        let lead = |(at, (from, jack, to)): (usize, &(u64, Jack, u64))| Lead {
            id: LeadId(100 + at as u64),
            from: JackRef::new(DeviceId(*from), *jack),
            to: JackRef::new(DeviceId(*to), Jack::In),
            ..model.leads[0].clone()
        };
        Rig { devices, leads: leads.iter().enumerate().map(lead).collect(), feeds: Vec::new() }
    }

    fn read(rig: &Rig) -> Vec<u64> {
        let mut order: Vec<(usize, u64)> = places(rig).into_iter().map(|(id, place)| (place, id.0)).collect();
        order.sort_unstable();
        order.into_iter().map(|(_, id)| id).collect()
    }

    #[test]
    fn a_chain_is_read_along_it_whatever_came_first() {
        assert_eq!(read(&rig(4, &[(1, Jack::Out, 4), (4, Jack::Out, 2), (2, Jack::Out, 3)])), [1, 4, 2, 3]);
        assert_eq!(read(&rig(3, &[(2, Jack::Out, 1)])), [2, 1, 3]);
    }

    #[test]
    fn ways_that_part_are_read_one_after_the_other_and_a_meeting_last() {
        let parts = rig(5, &[(1, Jack::SecondOut, 2), (1, Jack::Out, 3), (2, Jack::Out, 4), (3, Jack::Out, 4)]);
        assert_eq!(read(&parts), [1, 3, 2, 4, 5]);
        let loops = [(1, Jack::Out, 2), (2, Jack::Send(0), 3), (2, Jack::Send(1), 5), (2, Jack::Out, 4)];
        assert_eq!(read(&rig(5, &loops)), [1, 2, 3, 5, 4]);
    }

    #[test]
    fn leads_are_read_with_the_devices_that_they_come_from() {
        let loops =
            [(5, Jack::Out, 2), (2, Jack::Out, 4), (2, Jack::Send(1), 3), (1, Jack::Out, 5), (2, Jack::Send(0), 3)];
        let rig = rig(5, &loops);
        assert_eq!(leads(&rig, &places(&rig)), [3, 0, 4, 2, 1]);
    }

    #[test]
    fn a_circle_is_read_once_and_to_its_end() {
        let circle = rig(4, &[(3, Jack::Out, 4), (4, Jack::Out, 3), (1, Jack::Out, 2)]);
        let order = read(&circle);
        assert_eq!((order.len(), &order[..2]), (4, &[1, 2][..]));
    }

    #[test]
    fn what_feeds_a_device_comes_before_it_in_the_shipped_rigs() {
        for project in [file::demo(), file::few_on_a_daisy(), file::large_modular(), file::multi_effects()] {
            for variant in project.unwrap().variants {
                let rig = Arc::clone(&variant.rig);
                let places = places(&rig);
                assert_eq!(places.len(), rig.devices.len());
                for lead in rig.leads.iter().filter(|lead| !matches!(lead.to.jack, Jack::Return(_))) {
                    assert!(places[&lead.from.device] < places[&lead.to.device], "{lead:?}");
                }
            }
        }
    }
}
