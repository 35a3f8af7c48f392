//! What is said of ground loops never endangers anybody and never costs the
//! signal its return, whatever the rig.

use std::collections::BTreeSet;
use std::sync::Arc;

use rigwright_core::ground::{Cure, GroundLoop, GroundNode, Link, count, ground_loops};
use rigwright_core::hum::{self, hum};
use rigwright_core::parts::{Group, catalogue};
use rigwright_core::plan::plan;
use rigwright_core::power::{Headroom, check};
use rigwright_core::rig::{
    DeviceId, FeedId, Kind, Lead, LeadId, Limits, Mains, OutletRef, Power, PowerEdit, Project, Rig, State, Variant,
    VariantId, apply,
};
use rigwright_core::units::{Metres, Turn, Volts, Watts};

use crate::generator::{Dice, healthy};

/// A random rig, some of it earthed, some of it fed, by plugs that fit or don't.
pub fn wired(seed: u64) -> (Rig, u64) {
    let mut dice = Dice::new(seed ^ 0x9d0);
    let mut rig = healthy(seed, 2 + dice.below(14)).rig;
    let parts: Vec<_> = catalogue().parts.iter().filter(|part| part.group == Group::Supplies).collect();
    let ids = rig.devices.iter().map(|device| device.id.0).chain(rig.leads.iter().map(|lead| lead.id.0));
    let mut next = ids.max().unwrap_or(0) + 1;
    for device in &mut rig.devices {
        device.power = match &device.kind {
            Kind::Guitar(_) => Power::Nothing,
            Kind::Amp(_) | Kind::Interface(_) => Power::Mains(Mains {
                least: Volts::of(220.0),
                most: Volts::of(240.0),
                earthed: dice.chance(0.8),
                plug_top: false,
                draw: Watts::of(50.0),
                power_factor: Turn::FULL,
            }),
            _ => catalogue().part(dice.pick(&["mild-drive", "compact-digital-delay"])).unwrap().power.clone(),
        };
    }
    let mut outlets = Vec::new();
    for _ in 0..1 + dice.below(2) {
        let supply = parts[dice.below(parts.len())].device(DeviceId(next));
        let inside = supply.kind.supply().unwrap().outlets.len();
        outlets.extend((1..=inside).map(|outlet| OutletRef::new(DeviceId(next), outlet as u8)));
        rig.devices.push(supply);
        next += 1;
    }
    let units: Vec<DeviceId> =
        rig.devices.iter().filter(|device| device.power.need().is_some()).map(|device| device.id).collect();
    for device in units {
        let outlet = outlets[dice.below(outlets.len())];
        if outlet.supply == device {
            continue;
        }
        let edit = PowerEdit::PlugIn { device, outlet, feed: FeedId(next) };
        rig = PowerEdit::tried(&[edit], &rig).unwrap();
        next += 1;
    }
    (rig, next)
}

/// The leads that a high impedance drives while everything is off.
fn high(rig: &Rig) -> BTreeSet<LeadId> {
    let state = State::default();
    let runs = plan(rig, &state).runs(&state);
    runs.iter().filter(|run| run.high_impedance).flat_map(|run| run.leads.iter().copied()).collect()
}

fn may_be_changed(rig: &Rig, lead: &Lead) {
    assert!(lead.length >= Metres::of(1.0), "a patch lead of {} m", lead.length.get());
    let from = rig.device(lead.from.device).unwrap();
    assert!(!matches!(from.kind, Kind::Guitar(_) | Kind::Active(_)), "the lead of {}", from.name);
}

fn lawful(rig: &Rig, high: &BTreeSet<LeadId>, found: &GroundLoop, cure: Cure) -> &'static str {
    let words = cure.words(rig);
    assert!(!words.to_lowercase().contains("earth"), "{words}");
    match cure {
        Cure::Transformer(lead) => {
            may_be_changed(rig, rig.lead(lead).unwrap());
            assert!(!high.contains(&lead), "{words}");
            "transformer"
        }
        Cure::BufferAndTransformer(lead) => {
            may_be_changed(rig, rig.lead(lead).unwrap());
            "buffer and transformer"
        }
        Cure::ScreenAtOneEnd(id) => {
            let lead = rig.lead(id).unwrap();
            may_be_changed(rig, lead);
            assert!(!high.contains(&id), "{words}");
            let by_earth = found.steps.iter().any(|(node, link)| *node == GroundNode::Earth || link.is_earth());
            assert!(!by_earth, "{}: {words}", found.path);
            let ends = |lead: &Lead| BTreeSet::from([lead.from.device, lead.to.device]);
            let beside = |other: &&Lead| other.id != id && ends(other) == ends(lead) && !high.contains(&other.id);
            assert!(rig.leads.iter().any(|other| beside(&other)), "{words}");
            "screen at one end"
        }
        Cure::GroundLift(device) => {
            let Kind::DirectBox(direct) = &rig.device(device).unwrap().kind else { panic!("{words}") };
            assert!(direct.to_desk().joins() && found.steps.iter().any(|(_, link)| *link == Link::Desk(device)));
            "ground lift"
        }
        Cure::OneDistribution(a, b) => {
            assert!(a != b && a.is_earth() && b.is_earth(), "{words}");
            "one distribution"
        }
        Cure::IsolatedOutlet(device) => {
            let fed =
                found.steps.iter().any(|(_, link)| matches!(link, Link::Return { device: d, .. } if *d == device));
            assert!(fed, "{words}");
            "isolated outlet"
        }
    }
}

#[test]
fn no_cure_names_an_earth_a_guitar_lead_a_patch_lead_or_a_screen_in_a_loop_by_the_mains() {
    let mut met = BTreeSet::new();
    for seed in 0..1500 {
        let (rig, _) = wired(seed);
        let high = high(&rig);
        for found in ground_loops(&rig) {
            for cure in &found.cures {
                met.insert(lawful(&rig, &high, &found, *cure));
            }
        }
    }
    // Every kind was met, so that each was tried.
    let all = [
        "buffer and transformer",
        "ground lift",
        "isolated outlet",
        "one distribution",
        "screen at one end",
        "transformer",
    ];
    assert!(met.iter().copied().eq(all), "{met:?}");
}

#[test]
fn what_a_button_does_breaks_what_it_says() {
    let mut pressed = 0;
    for seed in 0..300 {
        let (rig, next) = wired(seed);
        let loops = ground_loops(&rig);
        let headroom = Headroom::of(&Limits::default());
        let figures = check(&rig, &headroom);
        let before = count(&rig);
        let variant = Arc::new(Variant::of(VariantId(next), "only", rig));
        let project = Project::around(Arc::clone(&variant), next + 1);
        let question = hum::HumQuestion { variant: &variant, loops: &loops, check: &figures, headroom: &headroom };
        let told = hum(&question);
        let mut all: Vec<usize> = told.told.iter().flat_map(|one| one.about.loops.iter().copied()).collect();
        all.sort_unstable();
        assert!(all.into_iter().eq(0..loops.len()), "each loop is told once");
        for remedy in told.told.iter().flat_map(|one| &one.remedies) {
            assert!(!remedy.words.to_lowercase().contains("earth"), "{}", remedy.words);
            if let Some(edit) = &remedy.edit {
                let after = apply(&project, edit).unwrap();
                assert!(count(&after.variants[0].rig) < before, "{}", remedy.words);
                pressed += 1;
            }
        }
    }
    assert!(pressed > 100, "{pressed}");
}
