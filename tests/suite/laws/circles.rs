//! Problems are found where they are, and nowhere else.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use rigwright_core::rig::{Device, DeviceId, Jack, JackRef, Kind, Lead, LeadId, Problem, Rig, problems};
use rigwright_core::units::Metres;

use super::cases;
use crate::generator::{Dice, broken, through};
use crate::rigs::{SC, amp, bare_cable, device};

/// Units plugged together blindly, but each jack once and each lead the right way.
fn tangled(seed: u64, units: usize) -> Rig {
    let mut dice = Dice::new(seed);
    let mut devices: Vec<Device> =
        vec![device(1, "guitar", Kind::Guitar(SC.guitar())), device(2, "amp", amp(1e6, 0.0))];
    for id in 3..3 + units as u64 {
        let kind = through(&mut dice);
        devices.push(device(id, &format!("unit {id}"), kind));
    }
    let jacks = |output: bool| {
        devices.iter().flat_map(move |device| {
            let jacks = device.kind.jacks().iter().filter(move |jack| jack.is_output() == output);
            jacks.map(|jack| JackRef::new(device.id, *jack))
        })
    };
    let outputs: Vec<JackRef> = jacks(true).collect();
    let mut inputs: Vec<JackRef> = jacks(false).collect();
    let mut leads = Vec::new();
    for (from, id) in outputs.into_iter().zip(100..) {
        if inputs.is_empty() || dice.chance(0.15) {
            continue;
        }
        let to = inputs.swap_remove(dice.below(inputs.len()));
        let length = Metres::of(1.0);
        leads.push(Lead { id: LeadId(id), from, to, length, cable: bare_cable() });
    }
    Rig { devices, leads, ..Rig::default() }
}

/// A device as a problem calls it. Random names hold their number, so each is one device's.
fn name(rig: &Rig, id: DeviceId) -> String {
    rig.device(id).map_or_else(|| format!("device {}", id.0), |device| device.name.clone())
}

/// Devices on a circle: those that can reach themselves, found by closure.
fn on_circles(rig: &Rig) -> BTreeSet<DeviceId> {
    let next: BTreeMap<DeviceId, BTreeSet<DeviceId>> = rig
        .devices
        .iter()
        .map(|device| {
            let leads = rig.leads.iter().filter(|lead| lead.from.device == device.id);
            (device.id, leads.map(|lead| lead.to.device).collect())
        })
        .collect();
    let reaches = |start: DeviceId| {
        let mut seen = BTreeSet::new();
        let mut todo: Vec<DeviceId> = next[&start].iter().copied().collect();
        while let Some(at) = todo.pop() {
            if seen.insert(at) {
                todo.extend(&next[&at]);
            }
        }
        seen
    };
    rig.devices.iter().map(|device| device.id).filter(|id| reaches(*id).contains(id)).collect()
}

/// Devices that the guitar's signal gets to.
fn reached(rig: &Rig) -> BTreeSet<DeviceId> {
    let mut seen = BTreeSet::from([DeviceId(1)]);
    loop {
        let more: Vec<DeviceId> = rig
            .leads
            .iter()
            .filter(|lead| seen.contains(&lead.from.device) && !seen.contains(&lead.to.device))
            .map(|lead| lead.to.device)
            .collect();
        if more.is_empty() {
            return seen;
        }
        seen.extend(more);
    }
}

proptest! {
    #![proptest_config(cases(500))]

    /// A circle is reported exactly when there is one, and each name is on one.
    #[test]
    fn circles(seed: u64, units in 1_usize..12) {
        let rig = tangled(seed, units);
        let truly = on_circles(&rig);
        let mut reported = 0;
        for problem in problems(&rig) {
            if let Problem::Circle { devices } = problem {
                reported += 1;
                prop_assert!(!devices.is_empty());
                for name in devices {
                    let id = rig.devices.iter().find(|d| d.name == name).map(|d| d.id);
                    prop_assert!(id.is_some_and(|id| truly.contains(&id)), "{name} is on no circle");
                }
            }
        }
        prop_assert_eq!(reported > 0, !truly.is_empty(), "circles: {:?}", truly);
    }

    /// "No signal reaches it" is said of exactly those that none reaches.
    #[test]
    fn what_is_not_joined(seed: u64, units in 1_usize..12) {
        let rig = tangled(seed, units);
        let reached = reached(&rig);
        let expected: BTreeSet<DeviceId> =
            rig.devices.iter().map(|d| d.id).filter(|id| !reached.contains(id)).collect();
        let said: BTreeSet<DeviceId> = problems(&rig)
            .into_iter()
            .filter_map(|problem| match problem {
                Problem::NotJoined { device, .. } => Some(device),
                _ => None,
            })
            .collect();
        prop_assert_eq!(said, expected);
    }

    /// The guitar's signal "ends nowhere" exactly when it gets to no endpoint.
    #[test]
    fn what_ends_nowhere(seed: u64, units in 1_usize..12) {
        let rig = tangled(seed, units);
        let reached = reached(&rig);
        let ends = rig.devices.iter().any(|device| {
            reached.contains(&device.id) && device.kind.is_endpoint(Jack::In)
        });
        // A circle that the guitar runs into is said instead.
        let runs_round = on_circles(&rig).iter().any(|id| reached.contains(id));
        let said = problems(&rig).iter().any(|p| matches!(p, Problem::EndsNowhere { .. }));
        if !runs_round {
            prop_assert_eq!(said, !ends);
        }
    }

    /// Every jack that isn't there and every jack with two leads is named.
    #[test]
    fn jacks(seed: u64, size in 1_usize..20) {
        let rig = broken(seed, size).rig;
        let found = problems(&rig);
        let mut taken: BTreeMap<JackRef, BTreeSet<LeadId>> = BTreeMap::new();
        for lead in &rig.leads {
            for end in [lead.from, lead.to] {
                taken.entry(end).or_default().insert(lead.id);
                let there = rig.device(end.device).is_some_and(|d| d.kind.jacks().contains(&end.jack));
                let name = name(&rig, end.device);
                let said = found.iter().any(|problem| match problem {
                    Problem::MissingJack { lead: id, jack, device, .. } => {
                        *id == lead.id && *jack == end.jack && *device == name
                    }
                    _ => false,
                });
                prop_assert_eq!(said, !there, "{:?} of {:?}", end, lead.id);
            }
        }
        let too_many: BTreeSet<(String, Jack)> = taken
            .iter()
            .filter(|(_, leads)| leads.len() > 1)
            .map(|(end, _)| (name(&rig, end.device), end.jack))
            .collect();
        let said: BTreeSet<(String, Jack)> = found
            .iter()
            .filter_map(|problem| match problem {
                Problem::TwoLeads { device, jack, .. } => Some((device.clone(), *jack)),
                _ => None,
            })
            .collect();
        prop_assert_eq!(said, too_many);
        let wrong_way = rig.leads.iter().flat_map(|l| [(l.from, true), (l.to, false)]).filter(|(end, output)| {
            let there = rig.device(end.device).is_some_and(|d| d.kind.jacks().contains(&end.jack));
            there && end.jack.is_output() != *output
        });
        let said = found.iter().filter(|p| matches!(p, Problem::WrongWay { .. })).count();
        prop_assert_eq!(said, wrong_way.count());
    }
}
