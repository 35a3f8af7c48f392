//! Files of older versions open for ever, as what they were.

use std::cell::RefCell;
use std::collections::BTreeMap;

use super::super::since::{ADDED, Holder, Names};
use super::super::{parse, schema};
use super::*;
use crate::rig::{Position, SwitchKey, Treadle};
use crate::units::Metres;

/// A file that the first version of the program saved, kept as it was.
const DEMO_V1: &[u8] = include_bytes!("../../../../../tests/files/demo-v1.ron");

#[test]
fn a_file_of_version_1_opens_as_what_it_was() {
    let text = std::str::from_utf8(DEMO_V1).unwrap();
    assert!(text.contains("version: 1,"));
    let old = read(DEMO_V1).unwrap();
    // What version 1 couldn't say is as it was understood then.
    let limits = crate::rig::Limits {
        jump: Decibels::of(3.0),
        dull: Metres::of(10.0),
        loading: Decibels::of(2.0),
        fuzz: Ohms::of(20e3),
        long_lead: Metres::of(3.0),
        useless: Decibels::of(0.5),
        guitar_peak: Volts::of(1.0),
        input_peak: Volts::of(4.0),
        headroom: Turn::of(0.8),
        voltage: Turn::of(0.1),
        over_voltage: Turn::of(0.25),
    };
    assert_eq!(old.limits, limits);
    for variant in &old.variants {
        assert!(variant.kept_orders.is_empty());
        assert!(variant.rig.devices.iter().all(|device| !device.stays_on));
    }
    // Saved now it is a file of today's version, and says the same.
    let saved = write(&old).unwrap();
    assert!(saved.contains("version: 4,"));
    assert_eq!(read(saved.as_bytes()).unwrap(), old);
    assert_eq!((old.variants.len(), old.variants[0].rig.devices.len(), old.sounds.len()), (2, 17, 5));
    let refused = read(text.replacen("part: ", "stays_on: true, part: ", 1).as_bytes()).unwrap_err().to_string();
    assert!(refused.contains("stays_on"), "{refused}");
}

/// A file that the second version of the program saved, kept as it was.
const DEMO_V2: &[u8] = include_bytes!("../../../../../tests/files/demo-v2.ron");

#[test]
fn a_file_of_version_2_opens_as_what_it_was() {
    let text = std::str::from_utf8(DEMO_V2).unwrap();
    assert!(text.contains("version: 2,"));
    let old = read(DEMO_V2).unwrap();
    // What that version brought, as it was set when the file was saved.
    assert_eq!((old.limits.jump, old.limits.fuzz), (Decibels::of(4.5), Ohms::of(30e3)));
    let first = &old.variants[0];
    let kept = KeptOrder { before: DeviceId(5), behind: DeviceId(7) };
    assert!(first.kept_orders.contains(&kept) && first.kept_orders.len() == 1);
    assert_eq!(first.places[&DeviceId(5)], CanvasPoint { x: 120.0, y: -35.5 });
    let staying: Vec<&str> =
        first.rig.devices.iter().filter(|device| device.stays_on).map(|device| device.part.as_str()).collect();
    assert_eq!(staying, ["compact-digital-delay"]);
    // What it couldn't say: passive units take nothing, of others nobody had said.
    assert_eq!(old.limits.headroom, Turn::of(0.8));
    for variant in &old.variants {
        assert!(variant.rig.feeds.is_empty());
        for device in &variant.rig.devices {
            let passive = matches!(device.kind, Kind::Guitar(_) | Kind::Treadle(Treadle::PassiveVolume { .. }));
            assert_eq!(device.power, if passive { Power::Nothing } else { Power::Unknown }, "{}", device.name);
        }
    }
    let saved = write(&old).unwrap();
    assert!(saved.contains("version: 4,"));
    assert_eq!(read(saved.as_bytes()).unwrap(), old);
    let refused = read(text.replacen("body: ", "power: Nothing, body: ", 1).as_bytes()).unwrap_err().to_string();
    assert!(refused.contains("power"), "{refused}");
}

/// A file that the third version of the program saved, kept as it was.
const DEMO_V3: &[u8] = include_bytes!("../../../../../tests/files/demo-v3.ron");

#[test]
fn a_file_of_version_3_opens_as_what_it_was() {
    let text = std::str::from_utf8(DEMO_V3).unwrap();
    assert!(text.contains("version: 3,"));
    let old = read(DEMO_V3).unwrap();
    assert_eq!((old.variants.len(), old.variants[0].rig.devices.len(), old.sounds.len()), (2, 19, 5));
    // What that version brought.
    let rig = &old.variants[0].rig;
    let supplies = rig.devices.iter().filter(|device| matches!(device.kind, Kind::Supply(_))).count();
    assert_eq!((supplies, rig.feeds.len(), old.limits.headroom), (2, 5, Turn::of(0.8)));
    // That program wrote all that it knew, and what came since is left out where it is
    // what files without it are understood to say: saved now, only the version differs,
    // and that states list where switches stand, and no devices that are on.
    let (saved, states) = (write(&old).unwrap(), |text: &str| -> Vec<String> {
        // Lists may be broken into lines; the rest is compared without them.
        let flat: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
        flat.split("state: (").map(str::to_owned).collect()
    });
    let (before, now) = (states(text), states(&saved));
    assert_eq!((before.len(), now.len()), (7, 7), "one in hand, and five sounds");
    assert_eq!(before[0].replace("version: 3,", "version: 4,"), now[0]);
    let rest = |part: &str| part[part.find("turned: ").unwrap()..].replace(", ), ", ", ").replace("), ", ", ");
    for (before, now) in before.iter().zip(&now).skip(1) {
        assert_eq!(rest(before), rest(now));
    }
    // A device that was on stands at its switch's second position; the tuner's is its mute.
    let set: Vec<Vec<(u64, SwitchKey)>> =
        old.sounds.iter().map(|sound| sound.state.positions.keys().map(|at| (at.device.0, at.key)).collect()).collect();
    let bypass = |ids: &[u64]| ids.iter().map(|id| (*id, SwitchKey::Bypass)).collect::<Vec<_>>();
    assert_eq!(
        set,
        [
            bypass(&[3, 13]),
            bypass(&[5, 10, 12, 13]),
            bypass(&[7, 12, 13]),
            bypass(&[11, 13]),
            vec![(2, SwitchKey::Mute)]
        ]
    );
    assert!(old.sounds.iter().flat_map(|sound| sound.state.positions.values()).all(|to| *to == Position::ON));
}

/// In files up to version 3 a device that is on may be one that has no switch, or is gone.
#[test]
fn devices_that_were_on_without_a_switch_say_nothing() {
    let text = std::str::from_utf8(DEMO_V3).unwrap();
    let asked = text.replacen("on: []", "on: [1, 2, 2, 999]", 1);
    let state = read(asked.as_bytes()).unwrap().state;
    let listed: Vec<_> = state.positions.into_iter().map(|(at, to)| (at.device.0, at.key, to)).collect();
    // The guitar has none. What no rig has any more may come back.
    assert_eq!(listed, [(2, SwitchKey::Mute, Position::ON), (999, SwitchKey::Bypass, Position::ON)]);
}

/// One of each field and each choice that a file of version 3 can hold.
const EVERYTHING_V3: &[u8] = include_bytes!("../../../../../tests/files/everything-v3.ron");

#[test]
fn all_that_version_3_could_say_comes_back_as_it_was() {
    let old = read(EVERYTHING_V3).unwrap();
    let saved = write(&old).unwrap();
    assert_eq!(read(saved.as_bytes()).unwrap(), old);
    // No default stands in for what was said: the text says it all again.
    let rig = &old.variants[0].rig;
    assert_eq!((rig.devices.len(), rig.leads.len(), rig.feeds.len()), (21, 5, 10));
    assert_eq!((old.limits.headroom, old.variants[0].kept_orders.len()), (Turn::of(0.7), 1));
    assert_eq!((rig.devices[1].power.clone(), rig.devices[20].power.clone()), (Power::Unknown, Power::Unknown));
}

/// The names that versions 1 to 3 had, `@` the version since which; taken from the
/// programs that read and wrote them.
const NAMES_V3: &str = include_str!("../../../../../tests/files/names-v3.txt");

/// Notes whose names are asked for, and lets them all stand.
type Seen = RefCell<BTreeMap<String, &'static [&'static str]>>;

impl Names for &Seen {
    fn stands(self, holder: &Holder, _: &str) -> bool {
        let choice = holder.choice.map_or(String::new(), |choice| format!("::{choice}"));
        self.borrow_mut().insert(format!("{}{choice}", holder.of), holder.names);
        true
    }
}

#[test]
fn no_name_of_a_version_that_is_out_comes_goes_or_changes_its_version() {
    let seen = Seen::default();
    let text = std::str::from_utf8(EVERYTHING_V3).unwrap();
    let _: schema::Project = parse::strict(text, &seen).unwrap();
    let mut names = String::new();
    for (holder, all) in seen.take() {
        let since = |name: &str| ADDED.iter().find(|row| (row.0, row.1) == (&holder, name)).map_or(1, |row| row.2);
        let listed = all.iter().filter(|name| since(name) <= 3).map(|name| match since(name) {
            1 => (*name).to_owned(),
            version => format!("{name}@{version}"),
        });
        names.push_str(&format!("{holder}: {}\n", listed.collect::<Vec<_>>().join(" ")));
    }
    assert_eq!(names, NAMES_V3);
}

/// Fowler, Noll and Vo's hash, 1a, 64 bits [S: hash].
fn hash(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3))
}

/// What is out never changes: kept files, and steps between versions.
#[test]
fn kept_files_and_steps_are_as_they_were() {
    // Known values of that hash.
    assert_eq!((hash(b""), hash(b"a")), (0xcbf2_9ce4_8422_2325, 0xaf63_dc4c_8601_ec8c));
    let kept: [(&str, &[u8], u64); 7] = [
        ("demo-v1", DEMO_V1, 0x6dba_d516_de68_b065),
        ("demo-v2", DEMO_V2, 0x8f89_e973_a6f2_4e36),
        ("demo-v3", DEMO_V3, 0x6623_9029_ec34_b394),
        ("everything-v3", EVERYTHING_V3, 0xa980_221b_b571_24be),
        ("names-v3", NAMES_V3.as_bytes(), 0xc326_1f9a_e753_94c8),
        ("the step to version 4", include_bytes!("../migrate/to_4.rs"), 0xf03c_6324_cbf7_4377),
        ("the step to version 3", include_bytes!("../migrate/to_3.rs"), 0x2f49_688b_6ab8_f145),
    ];
    for (what, bytes, expected) in kept {
        assert_eq!(hash(bytes), expected, "{what}");
    }
}
