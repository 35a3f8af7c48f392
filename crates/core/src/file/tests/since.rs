//! What a version couldn't say is refused in its files, where it stands.

use super::super::parse;
use super::super::since::{ADDED, Holder, Names};
use super::*;

/// A file that every version reads.
const BARE: &str = r#"(
    version: 1,
    sounds: [],
    variants: [
        (
            id: 1,
            name: "bare",
            devices: [
                (id: 2, name: "bass", body: (size: OffBoard, mass: 0, price: 0), kind: Active(instrument: Bass, output: 1e3, gain: 1)),
            ],
            leads: [],
        ),
    ],
)
"#;

/// The limits of version 2.
const LIMITS: &str = "limits: (jump: 3, dull: 10, loading: 2, fuzz: 50e3, long_lead: 3, useless: 0.5, guitar_peak: 1, \
                      input_peak: 4";

/// A field or a choice that came later.
struct Sample {
    holder: &'static str,
    name: &'static str,
    /// What is replaced in the bare file, and by what, so that it has it.
    change: (&'static str, String),
    /// What is said of it in a file of the version before. Up to version 3 these are
    /// the sentences of the programs that had each version's structs apart.
    refused: &'static str,
}

/// One for each row of [`ADDED`].
fn samples() -> Vec<Sample> {
    let sample =
        |holder, name, old, new: &str, refused| Sample { holder, name, change: (old, new.to_owned()), refused };
    vec![
        sample(
            "Device",
            "power",
            "body:",
            "power: Nothing, body:",
            "line 9, column 39, in the 1st device of the 1st variant: “power” doesn't belong here; expected “id”, “name”, \
             “part”, “stays_on”, “body” or “kind”",
        ),
        sample(
            "Device",
            "stays_on",
            "body:",
            "stays_on: true, body:",
            "line 9, column 39, in the 1st device of the 1st variant: “stays_on” doesn't belong here; expected “id”, \
             “name”, “part”, “body” or “kind”",
        ),
        sample(
            "Kind",
            "Supply",
            "Active(instrument: Bass, output: 1e3, gain: 1)",
            "Supply(outlets: [], efficiency: 1)",
            "line 9, column 88, in the 1st device of the 1st variant: “Supply” is no choice here; expected “Guitar”, \
             “Active”, “Pedal”, “Buffer”, “Tuner”, “Treadle”, “Splitter”, “Wireless”, “DirectBox”, “Interface” or “Amp”",
        ),
        sample(
            "Limits",
            "headroom",
            "sounds",
            &format!("{LIMITS}, headroom: 0.8), sounds"),
            "line 3, column 116, in “limits”: “headroom” doesn't belong here; expected “jump”, “dull”, “loading”, “fuzz”, \
             “long_lead”, “useless”, “guitar_peak” or “input_peak”",
        ),
        sample("Need", "apart_must", "body:", "power: Low(ways: [], apart_must: true), body:", "?"),
        sample(
            "Project",
            "limits",
            "sounds",
            &format!("{LIMITS}), sounds"),
            "line 3, column 5: “limits” doesn't belong here; expected “version”, “title”, “notes”, “currency”, “state”, \
             “test_point”, “sounds”, “variants” or “next_id”",
        ),
        sample(
            "Variant",
            "feeds",
            "leads",
            "feeds: [], leads",
            "line 11, column 13, in the 1st variant: “feeds” doesn't belong here; expected “id”, “name”, “devices”, \
             “leads”, “places” or “kept_orders”",
        ),
        sample(
            "Variant",
            "kept_orders",
            "leads",
            "kept_orders: [], leads",
            "line 11, column 13, in the 1st variant: “kept_orders” doesn't belong here; expected “id”, “name”, “devices”, \
             “leads” or “places”",
        ),
    ]
}

#[test]
fn what_came_later_is_refused_before_and_read_since() {
    let samples = samples();
    assert!(ADDED.is_sorted(), "a row is found where the alphabet has it");
    for (holder, name, since) in ADDED {
        assert!((2..=VERSION).contains(since), "{holder}.{name} stands since version {since}");
        let sample = samples.iter().find(|sample| (sample.holder, sample.name) == (*holder, *name));
        let Sample { change: (old, new), refused, .. } =
            sample.unwrap_or_else(|| panic!("no sample of {holder}.{name}"));
        assert_eq!(BARE.matches(old).count(), 1, "{old}");
        let of = |version: u32| BARE.replace("version: 1", &format!("version: {version}")).replace(old, new);
        for version in *since..=VERSION {
            read(of(version).as_bytes())
                .unwrap_or_else(|error| panic!("{holder}.{name} in version {version}: {error}"));
        }
        assert_eq!(read(of(since - 1).as_bytes()).unwrap_err().to_string(), *refused);
        for version in 1..*since {
            assert!(read(of(version).as_bytes()).is_err(), "{holder}.{name} in version {version}");
        }
    }
    assert_eq!(samples.len(), ADDED.len());
    for version in 1..=VERSION {
        read(BARE.replace("version: 1", &format!("version: {version}")).as_bytes()).unwrap();
    }
}

/// What is said of a name that no version has leaves out what came later, too.
#[test]
fn a_slip_in_an_old_file_is_told_without_what_came_later() {
    let slip = |version: u32| {
        let text = BARE.replace("version: 1", &format!("version: {version}")).replace("leads", "kabels");
        read(text.as_bytes()).unwrap_err().to_string()
    };
    let start = "line 11, column 13, in the 1st variant: “kabels” doesn't belong here; expected “id”, “name”, “devices”, \
                 “leads”, ";
    assert_eq!(slip(1), format!("{start}“places”").replace(", “places”", " or “places”"));
    assert_eq!(slip(2), format!("{start}“places” or “kept_orders”"));
    assert_eq!(slip(3), format!("{start}“feeds”, “places” or “kept_orders”"));
}

/// A choice with a field that came later.
#[derive(Debug, PartialEq, serde::Deserialize)]
enum Lamp {
    Bulb {
        watts: u8,
        #[serde(default)]
        dimmed: bool,
    },
    Tube {
        watts: u8,
        #[serde(default)]
        dimmed: bool,
    },
}

/// As in a version in which bulbs couldn't be dimmed.
#[derive(Clone, Copy)]
struct Old;

impl Names for Old {
    fn stands(self, holder: &Holder, name: &str) -> bool {
        (holder.of, holder.choice, name) != ("Lamp", Some("Bulb"), "dimmed")
    }
}

#[test]
fn a_field_of_one_choice_is_refused_in_that_choice_alone() {
    let lamps = |text: &str| parse::strict::<Vec<Lamp>>(text, Old).map_err(|error| error.to_string());
    let tube = Lamp::Tube { watts: 8, dimmed: true };
    assert_eq!(lamps("[Tube(watts: 8, dimmed: true)]"), Ok(vec![tube]));
    assert_eq!(lamps("[Bulb(watts: 8)]"), Ok(vec![Lamp::Bulb { watts: 8, dimmed: false }]));
    let error = lamps("[Tube(watts: 8),\n Bulb(watts: 8, dimmed: true)]").unwrap_err();
    assert!(error.starts_with("line 2, column 17, in "), "{error}");
    assert!(error.ends_with(": “dimmed” doesn't belong here; expected “watts”"), "{error}");
}
