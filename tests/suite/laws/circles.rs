//! Problems are found where they are, and nowhere else.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use rigwright_core::rig::{
    Device, DeviceId, Jack, JackRef, Kind, Lead, LeadId, Preset, Problem, Rig, Switcher, problems,
};
use rigwright_core::units::{Farads, Metres};

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

/// The same with two loop switchers among the units, some worked by presets.
fn tangled_with_switchers(seed: u64, units: usize) -> Rig {
    let mut dice = Dice::new(seed ^ 0x5717c4);
    let mut rig = tangled(seed, units);
    let next = 3 + units as u64;
    for id in [next, next + 1] {
        let loops = 1 + dice.below(3) as u8;
        let mut switcher = Switcher::of(loops, Farads::of(0.0), Farads::of(0.0));
        switcher.by_presets = dice.chance(0.5);
        let preset = |dice: &mut Dice| (1..=loops).filter(|_| dice.chance(0.5)).collect();
        switcher.presets =
            (0..1 + dice.below(3)).map(|at| Preset { name: format!("{at}"), loops: preset(&mut dice) }).collect();
        rig.devices.push(device(id, &format!("switcher {id}"), Kind::Switcher(switcher)));
    }
    rig.leads.clear();
    let all: Vec<JackRef> = rig
        .devices
        .iter()
        .flat_map(|device| device.kind.jacks().iter().map(|jack| JackRef::new(device.id, *jack)))
        .collect();
    let (outputs, mut inputs): (Vec<JackRef>, Vec<JackRef>) = all.into_iter().partition(|jack| jack.jack.is_output());
    for (from, id) in outputs.into_iter().zip(100..) {
        if inputs.is_empty() || dice.chance(0.15) {
            continue;
        }
        let to = inputs.swap_remove(dice.below(inputs.len()));
        rig.leads.push(Lead { id: LeadId(id), from, to, length: Metres::of(1.0), cable: bare_cable() });
    }
    rig
}

/// Whether the signal can go round in a circle in some setting of the switchers, found by
/// going through all of them.
fn goes_round(rig: &Rig) -> bool {
    let switchers: Vec<(DeviceId, &Switcher)> = rig
        .devices
        .iter()
        .filter_map(|device| match &device.kind {
            Kind::Switcher(switcher) => Some((device.id, switcher)),
            _ => None,
        })
        .collect();
    let settings = |switcher: &Switcher| -> Vec<BTreeSet<u8>> {
        if switcher.by_presets && !switcher.presets.is_empty() {
            return switcher.presets.iter().map(|preset| preset.loops.clone()).collect();
        }
        let all = 0..1_u32 << switcher.loops;
        all.map(|bits| (1..=switcher.loops).filter(|number| bits >> (number - 1) & 1 == 1).collect()).collect()
    };
    let mut all: Vec<BTreeMap<DeviceId, BTreeSet<u8>>> = vec![BTreeMap::new()];
    for (id, switcher) in &switchers {
        let one_more = |known: BTreeMap<DeviceId, BTreeSet<u8>>| {
            settings(switcher).into_iter().map(move |loops| {
                let mut more = known.clone();
                more.insert(*id, loops);
                more
            })
        };
        all = all.into_iter().flat_map(one_more).collect();
    }
    all.iter().any(|setting| goes_round_in(rig, setting))
}

fn goes_round_in(rig: &Rig, setting: &BTreeMap<DeviceId, BTreeSet<u8>>) -> bool {
    let plugged = |jack: JackRef| rig.leads.iter().any(|lead| lead.from == jack || lead.to == jack);
    // Where a signal that comes in by a lead goes on to.
    let onward = |lead: &Lead| -> Vec<JackRef> {
        let at = rig.device(lead.to.device).unwrap();
        let Kind::Switcher(switcher) = &at.kind else {
            return at.kind.onward(lead.to.jack).iter().map(|out| JackRef::new(at.id, *out)).collect();
        };
        let jack = |jack| JackRef::new(at.id, jack);
        let is_in = |number: u8| {
            let is_empty = !plugged(jack(Jack::Send(number))) && !plugged(jack(Jack::Return(number)));
            setting[&at.id].contains(&number) && !is_empty
        };
        let passed = match lead.to.jack {
            Jack::Return(number) if is_in(number) => number,
            Jack::Return(_) => return Vec::new(),
            _ => 0,
        };
        let next = (passed + 1..=switcher.loops).find(|number| is_in(*number));
        vec![jack(next.map_or(Jack::Out, Jack::Send))]
    };
    // Leads that lead on to no lead are taken away until none is: what is left goes round.
    let mut left: Vec<&Lead> = rig.leads.iter().collect();
    loop {
        let goes_on = |lead: &&Lead| onward(lead).iter().any(|out| left.iter().any(|next| next.from == *out));
        let kept: Vec<&Lead> = left.iter().copied().filter(goes_on).collect();
        if kept.len() == left.len() {
            return !left.is_empty();
        }
        left = kept;
    }
}

proptest! {
    #![proptest_config(cases(2000))]

    /// With switchers a circle is reported exactly when some setting of theirs closes one.
    #[test]
    fn circles_past_switchers(seed: u64, units in 1_usize..7) {
        let rig = tangled_with_switchers(seed, units);
        let reported = problems(&rig).iter().any(|problem| matches!(problem, Problem::Circle { .. }));
        prop_assert_eq!(reported, goes_round(&rig));
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
