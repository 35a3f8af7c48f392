//! What must hold of the catalogue that ships with the program.

use std::collections::BTreeSet;

use super::super::load::paths;
use super::*;
use crate::parts::{Group, Label};
use crate::rig::{Apart, Body, Bypass, Cable, DeviceId, Kind, Power, Treadle, Tuner, Way, ZeroVolt, set_field};
use crate::units::{Metres, Volts};

fn keys(found: &[&Part]) -> Vec<String> {
    found.iter().map(|part| part.key.clone()).collect()
}

#[test]
fn every_file_reads_and_there_is_enough_to_choose_from() {
    let catalogue = catalogue();
    assert!(catalogue.parts.len() >= 70, "{}", catalogue.parts.len());
    assert!(catalogue.cables.len() >= 8);
    assert!(catalogue.parts.is_sorted_by_key(|part| part.group));
    for group in Group::ALL {
        assert!(catalogue.parts.iter().any(|part| part.group == group), "{}", group.name());
    }
    for key in ["single-coil-guitar", "valve-amp", "buffer"] {
        assert!(catalogue.part(key).is_some(), "{key}");
    }
    for key in ["patch-lead", "everyday-guitar-lead"] {
        assert!(catalogue.cable(key).is_some(), "{key}");
    }
}

#[test]
fn every_number_says_where_it_comes_from_and_no_source_speaks_of_nothing() {
    for part in &catalogue().parts {
        let wanted = paths(part);
        let given: BTreeSet<String> = part.sources.keys().cloned().collect();
        assert_eq!(wanted, given, "{}", part.key);
        assert_eq!(part.sources["price"].label, Label::Invented, "{}", part.key);
        assert!(part.sources.values().all(|source| !source.note.is_empty()), "{}", part.key);
    }
    for cable in &catalogue().cables {
        let given: BTreeSet<&str> = cable.sources.keys().map(String::as_str).collect();
        assert_eq!(given, BTreeSet::from(crate::parts::CablePart::PATHS), "{}", cable.key);
    }
}

#[test]
fn keys_and_names_are_used_once_and_keys_are_plain() {
    let catalogue = catalogue();
    let parts = catalogue.parts.iter().map(|part| (&part.key, &part.name, &part.about));
    let cables = catalogue.cables.iter().map(|cable| (&cable.key, &cable.name, &cable.about));
    let mut seen = BTreeSet::new();
    for (key, name, about) in parts.chain(cables) {
        assert!(key.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'), "{key}");
        assert!(seen.insert(key) && seen.insert(name), "{key}");
        assert!(about.ends_with('.') && about.chars().count() < 170, "{about}");
        assert!(!name.starts_with(char::is_lowercase), "{name}");
    }
}

#[test]
fn a_selectable_bypass_can_be_what_it_is_set_to() {
    let mut choices = 0;
    for part in &catalogue().parts {
        if let Some(pedal) = part.kind.pedal().filter(|pedal| !pedal.selectable.is_empty()) {
            assert!(pedal.selectable.contains(&pedal.bypass), "{}", part.key);
            choices += 1;
        }
    }
    assert!(choices > 5);
}

#[test]
fn guitars_lose_some_of_their_peak_in_metal() {
    let mut guitars = 0;
    for part in &catalogue().parts {
        if let Kind::Guitar(guitar) = &part.kind {
            assert!(guitar.pickup.eddy_loss.is_some_and(|loss| loss.get() >= 1e5), "{}", part.key);
            assert!((1.0..=10.0).contains(&guitar.pickup.inductance.get()), "{}", part.key);
            guitars += 1;
        }
    }
    assert!(guitars >= 10);
}

#[test]
fn the_tuner_mutes_the_fuzz_is_hungry_and_old_switching_loads() {
    let kind = |key: &str| &catalogue().part(key).unwrap().kind;
    assert!(matches!(kind("tuner-true-bypass"), Kind::Tuner(Tuner::Through { mutes: true, .. })));
    // [S: fuzz-input]
    let fuzz = kind("low-impedance-fuzz").pedal().unwrap();
    assert_eq!(fuzz.bypass, Bypass::True);
    assert!((5e3..=20e3).contains(&fuzz.on.input.resistance.get()));
    // [S: old-switching]
    for key in ["classic-fuzz", "old-wah"] {
        let pedal = kind(key).pedal().unwrap();
        assert_eq!(pedal.bypass, Bypass::AlwaysLoading);
        assert!((50e3..=500e3).contains(&pedal.off.input.resistance.get()));
    }
    assert!(matches!(kind("volume-treadle-25k"), Kind::Treadle(Treadle::PassiveVolume { .. })));
    let Kind::Amp(amp) = kind("valve-amp") else { panic!() };
    // [S: miller]: 1.6 + 1.6·61 = 99.20 pF.
    assert!((amp.grid.unwrap().miller().get() - 99.2e-12).abs() < 1e-15);
}

#[test]
fn every_part_says_what_it_takes_and_supplies_are_whole() {
    let mut supplies = 0;
    for part in &catalogue().parts {
        assert_ne!(part.power, Power::Unknown, "{}", part.key);
        assert_eq!(part.group == Group::Supplies, part.kind.supply().is_some(), "{}", part.key);
        if let Power::Low(need) = &part.power {
            for way in &need.ways {
                assert!(way.least <= way.most && way.running <= way.start_up, "{}", part.key);
            }
            assert!(!need.ways.is_empty(), "{}", part.key);
            // Two of positive ground get on with each other, so they ask for nobody's absence themselves.
            assert!(!need.positive_ground || need.apart == Apart::Nobody, "{}", part.key);
            // At start-up digital 3-10 times, heaters 3-5 times, analogue once. [S: start-up]
            let factor = need.usual_start_up();
            let usual = |way: &Way| (way.start_up.get() - factor * way.running.get()).abs() < 1e-9;
            assert!(part.kind.supply().is_some() || need.ways.iter().all(usual), "{}", part.key);
        }
        let Some(supply) = part.kind.supply() else { continue };
        supplies += 1;
        assert!(!supply.outlets.is_empty() && supply.efficiency.get() > 0.0, "{}", part.key);
        assert!(supply.outlets.iter().all(|outlet| outlet.setting().is_some()), "{}", part.key);
        let groups: Vec<ZeroVolt> = supply.outlets.iter().map(|outlet| outlet.zero_volt).collect();
        assert!(supply.groups.iter().all(|group| groups.contains(&group.zero_volt)), "{}", part.key);
    }
    assert!(supplies >= 20, "{supplies}");
    // [S: draw]: fuzz < 1 mA, analogue drive 5-20, digital 100-300.
    let running = |key: &str| catalogue().part(key).unwrap().power.need().unwrap().ways[0].running.get();
    assert!(running("low-impedance-fuzz") < 1e-3);
    assert!((5e-3..=20e-3).contains(&running("mild-drive")));
    assert!((0.1..=0.3).contains(&running("compact-digital-delay")));
    // One adaptor marked 9 V read 13.6 V unloaded, 9 V blocks hold 500-600 and 300-400 mAh. [S: no-load, block]
    let unregulated = catalogue().part("unregulated-adaptor-9v").unwrap().kind.supply().unwrap();
    assert_eq!(unregulated.outlets[0].settings[0].no_load, Some(Volts::of(13.6)));
    // Small switching inlets have a power factor of 0.5-0.65. [S: power-factor]
    let Power::Mains(adaptor) = catalogue().part("wall-adaptor-9v").unwrap().power else { panic!() };
    assert!((0.5..=0.65).contains(&adaptor.power_factor.get()));
    let capacity = |key: &str| match &catalogue().part(key).unwrap().power {
        Power::Battery(battery) => battery.capacity.get(),
        other => panic!("{other:?}"),
    };
    assert!((0.5..=0.6).contains(&capacity("battery-9v")) && (0.3..=0.4).contains(&capacity("battery-9v-carbon")));
}

#[test]
fn leads_have_the_capacitance_of_their_cross_section_or_their_class() {
    let per_metre = |key: &str| catalogue().cable(key).unwrap().cable.capacitance.get() * 1e12;
    assert_eq!(per_metre("everyday-guitar-lead"), 100.0);
    assert!((per_metre("coiled-lead") * 6.0 - 2400.0).abs() < 1e-9);
    // [S: coax].
    assert!((per_metre("studio-coax") - 97.20).abs() < 0.005);
    assert!((per_metre("low-capacitance-coax") - 67.73).abs() < 0.005);
    // [S: coax]: its core is stranded, and the formula for a solid one gives 108.9.
    assert!((per_metre("thin-coax-patch-lead") - 101.7).abs() < 1e-9);
    let thin = &catalogue().cable("thin-coax-patch-lead").unwrap().cable;
    // L′C′ = µ₀ε₀ε_r [S: coax], ε_r 2.25, c 299 792 458 m/s: 0.2462 µH/m.
    let inductance = 2.25 / (299_792_458f64.powi(2) * thin.capacitance.get());
    assert!((thin.inductance.get() / inductance - 1.0).abs() < 1e-3);
    let lead = catalogue().cable("everyday-guitar-lead").unwrap();
    assert_eq!(lead.price(Metres::of(6.0)).get(), 27.0);
}

#[test]
fn a_device_keeps_its_part_and_can_be_changed() {
    let mut device = catalogue().part("mild-drive").unwrap().device(DeviceId(7));
    assert_eq!((device.id, device.name.as_str(), device.part.as_str()), (DeviceId(7), "Mild drive", "mild-drive"));
    assert_eq!(set_field(&mut device, "on.level", 3.0), Ok(true));
}

#[test]
fn searching_finds_the_best_first() {
    let catalogue = catalogue();
    assert_eq!(catalogue.search("").len(), catalogue.parts.len());
    assert_eq!(catalogue.search("  ?! "), catalogue.search(""));
    assert_eq!(keys(&catalogue.search("BUFFER"))[0], "buffer");
    assert_eq!(keys(&catalogue.search("single-coil"))[0], "single-coil-guitar");
    let drives = keys(&catalogue.search("drive"));
    assert!(drives.iter().position(|key| key == "mild-drive") < drives.iter().position(|key| key == "clean-boost"));
    assert!(drives.contains(&"valve-voiced-overdrive".to_owned()));
    assert_eq!(keys(&catalogue.search("delay digital compact")), ["compact-digital-delay"]);
    assert!(catalogue.search("di").iter().any(|part| part.key == "active-di"));
    assert!(!catalogue.search("di").iter().any(|part| part.key == "small-wireless"));
    assert!(catalogue.search("tone suck").iter().any(|part| part.key == "old-wah"));
    assert!(catalogue.search("kazoo").is_empty());
}

/// What a project's file shares with the catalogue; the file's own reader stands beside this module.
#[derive(serde::Deserialize)]
struct DemoFile {
    notes: String,
    variants: Vec<DemoVariant>,
}

#[derive(serde::Deserialize)]
struct DemoVariant {
    devices: Vec<DemoDevice>,
    leads: Vec<DemoLead>,
}

#[derive(serde::Deserialize)]
struct DemoDevice {
    part: String,
    body: Body,
    power: Power,
    kind: Kind,
}

#[derive(serde::Deserialize)]
struct DemoLead {
    cable: Cable,
}

#[test]
fn the_demo_is_made_of_parts_as_they_are_in_the_catalogue() {
    use ron::extensions::Extensions;
    let reader =
        ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME | Extensions::UNWRAP_VARIANT_NEWTYPES);
    let demo: DemoFile = reader.from_str(include_str!("../../../../../assets/rigs/demo.ron")).unwrap();
    assert!(demo.notes.contains("Invented"));
    assert_eq!(demo.variants.iter().map(|variant| variant.devices.len()).collect::<Vec<_>>(), [20, 21]);
    for variant in &demo.variants {
        for device in &variant.devices {
            let part = catalogue().part(&device.part).unwrap_or_else(|| panic!("no part {}", device.part));
            let mut kind = device.kind.clone();
            if let Kind::Supply(supply) = &mut kind {
                // Where its selectors stand is the player's.
                supply.outlets.iter_mut().for_each(|outlet| outlet.chosen = 1);
            }
            if let (Kind::DirectBox(direct), Kind::DirectBox(usual)) = (&mut kind, &part.kind) {
                // Where it is plugged in and its ground lift, too.
                *direct.to_desk_mut() = usual.to_desk();
            }
            assert_eq!((&kind, &device.power, device.body), (&part.kind, &part.power, part.body), "{}", part.key);
        }
        for lead in &variant.leads {
            assert!(catalogue().cables.iter().any(|cable| cable.cable == lead.cable), "{}", lead.cable.name);
        }
    }
}
