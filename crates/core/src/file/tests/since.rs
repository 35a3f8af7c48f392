//! What a version couldn't say is refused in its files, where it stands.

use super::super::parse;
use super::super::since::{ADDED, Holder, LAST, Names};
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
    refused: String,
}

/// One for each row of [`ADDED`]; what is refused is said of the version before.
fn samples() -> Vec<Sample> {
    let sample = |holder, name, old, new: &str, refused: &str| Sample {
        holder,
        name,
        change: (old, new.to_owned()),
        refused: refused.to_owned(),
    };
    let active = "Active(instrument: Bass, output: 1e3, gain: 1)";
    let input = "(resistance: 1e6, capacitance: 0)";
    let pedal = |more: &str| {
        let stage = format!("(input: {input}, output: 1e3, level: 0)");
        format!("Pedal(bypass: True, on: {stage}, off: {stage}, wiring: 0, {more})")
    };
    // A field of one thing inside a device: what comes before it in the device's kind, and all that may stand there.
    let added = |holder, name, value: &str, (before, behind): (&str, &str), within: &str, expected: &str| {
        let new = format!("{before}{name}: {value}{behind}");
        let column = 88 + before.len();
        let refused = format!(
            "line 9, column {column}, in {within}the 1st device of the 1st variant: “{name}” doesn't belong here; expected {expected}"
        );
        sample(holder, name, active, &new, &refused)
    };
    let before_loop = format!("Amp(input: {input}, effects_loop: Some(send: 1e3, back: {input}, ");
    let of_loop = |name, value: &str| {
        added("EffectsLoop", name, value, (&before_loop, "))"), "“effects_loop” of ", "“send” or “back”")
    };
    let before_interface = format!("Interface(input: {input}, ");
    let of_interface = |name, value: &str| added("Interface", name, value, (&before_interface, ")"), "", "“input”");
    let mut all = vec![
        of_loop("back_expects", "Some(PlusFour)"),
        of_loop("back_latency", "2e-3"),
        of_loop("back_level", "-10"),
        of_loop("back_polarity", "Inverted"),
        of_loop("dry", "Some(-3)"),
        of_loop("has_switch", "true"),
        of_loop("send_gives", "Some(MinusTen)"),
        of_loop("send_level", "6"),
        of_interface("is_desk", "true"),
        of_interface("phantom", "true"),
        of_interface("second", "true"),
        of_interface("takes", "Microphone"),
        sample(
            "Jack",
            "PowerStage",
            "leads: []",
            "leads: [(id: 9, from: (device: 2, jack: Out), to: (device: 2, jack: PowerStage), length: 1, cable: (name: \"\", \
             capacitance: 1e-10, resistance: 0, inductance: 0, loss_tangent: 0, plug: 0))]",
            "line 11, column 81, in “to.jack” of the 1st lead of the 1st variant: “PowerStage” is no choice here; expected “In”, \
             “Out”, “SecondIn”, “SecondOut”, “Send” or “Return”",
        ),
        sample(
            "Kind",
            "Selector",
            active,
            "Selector(Outputs(both: true, wiring: 30e-12))",
            "line 9, column 88, in the 1st device of the 1st variant: “Selector” is no choice here; expected “Guitar”, \
             “Active”, “Pedal”, “Buffer”, “Tuner”, “Treadle”, “Splitter”, “Wireless”, “DirectBox”, “Interface”, “Amp” or \
             “Supply”",
        ),
        sample(
            "Kind",
            "MultiEffects",
            active,
            &format!("MultiEffects(stage: (input: {input}, output: 1e3, level: 0), wiring: 0, stereo: ())"),
            "line 9, column 88, in the 1st device of the 1st variant: “MultiEffects” is no choice here; expected “Guitar”, \
             “Active”, “Pedal”, “Buffer”, “Tuner”, “Treadle”, “Splitter”, “Wireless”, “DirectBox”, “Interface”, “Amp” or \
             “Supply”",
        ),
    ];
    all.extend([
        sample(
            "ActiveSource",
            "peak",
            active,
            "Active(instrument: Bass, output: 1e3, gain: 1, peak: 3)",
            "line 9, column 135, in the 1st device of the 1st variant: “peak” doesn't belong here; expected “instrument”, “output” or “gain”",
        ),
        sample(
            "ActiveSource",
            "piezo",
            active,
            "Active(instrument: Bass, output: 1e3, gain: 1, piezo: 1e-9)",
            "line 9, column 135, in the 1st device of the 1st variant: “piezo” doesn't belong here; expected “instrument”, “output” or “gain”",
        ),
        sample(
            "Amp",
            "channels",
            active,
            &format!("Amp(input: {input}, channels: [(name: \"clean\"), (name: \"lead\")])"),
            "line 9, column 134, in the 1st device of the 1st variant: “channels” doesn't belong here; expected “input”, “grid” or “effects_loop”",
        ),
        sample(
            "Amp",
            "polarity",
            active,
            &format!("Amp(input: {input}, polarity: Inverted)"),
            "line 9, column 134, in the 1st device of the 1st variant: “polarity” doesn't belong here; expected “input”, “grid” or “effects_loop”",
        ),
        sample(
            "Device",
            "switches",
            "body:",
            "switches: [(switch: Channel, worked_by: Hand)], body:",
            "line 9, column 39, in the 1st device of the 1st variant: “switches” doesn't belong here; expected “id”, “name”, “part”, “stays_on”, “body”, “power” or “kind”",
        ),
        sample(
            "Sound",
            "made_in",
            "sounds: []",
            "sounds: [(id: 9, name: \"solo\", made_in: [(variant: 1, state: (turned: []))])]",
            "line 3, column 36, in the 1st sound: “made_in” doesn't belong here; expected “id”, “name”, “state” or “notes”",
        ),
        sample(
            "State",
            "positions",
            "sounds",
            "state: (positions: [(device: 2, switch: Bypass, to: 1)]), sounds",
            "line 3, column 13, in “state”: “positions” doesn't belong here; expected “on” or “turned”",
        ),
        sample(
            "Device",
            "effect",
            "body:",
            "effect: Fuzz, body:",
            "line 9, column 39, in the 1st device of the 1st variant: “effect” doesn't belong here; expected “id”, “name”, “part”, “stays_on”, “body”, “power” or “kind”",
        ),
        sample(
            "Device",
            "heard_to",
            "body:",
            "heard_to: 8e3, body:",
            "line 9, column 39, in the 1st device of the 1st variant: “heard_to” doesn't belong here; expected “id”, “name”, “part”, “stays_on”, “body”, “power” or “kind”",
        ),
        sample(
            "Guitar",
            "peak",
            active,
            "Guitar(instrument: Bass, pickup: (resistance: 6e3, inductance: 2.5, capacitance: 0), peak: 1)",
            "line 9, column 173, in the 1st device of the 1st variant: “peak” doesn't belong here; expected “instrument”, “pickup”, “volume”, “tone” or “treble_bleed”",
        ),
        sample(
            "Guitar",
            "pickup_wiring",
            active,
            "Guitar(instrument: Bass, pickup: (resistance: 6e3, inductance: 2.5, capacitance: 0), pickup_wiring: (first: (name: \"bridge\"), others: [(pickup: (resistance: 6e3, inductance: 2.5, capacitance: 0), own: (name: \"neck\"))]))",
            "line 9, column 173, in the 1st device of the 1st variant: “pickup_wiring” doesn't belong here; expected “instrument”, “pickup”, “volume”, “tone” or “treble_bleed”",
        ),
        sample(
            "Guitar",
            "scale",
            active,
            "Guitar(instrument: Bass, pickup: (resistance: 6e3, inductance: 2.5, capacitance: 0), scale: 0.86)",
            "line 9, column 173, in the 1st device of the 1st variant: “scale” doesn't belong here; expected “instrument”, “pickup”, “volume”, “tone” or “treble_bleed”",
        ),
        sample(
            "Pickup",
            "place",
            active,
            "Guitar(instrument: Bass, pickup: (resistance: 6e3, inductance: 2.5, capacitance: 0, place: (from_bridge: 0.09, width: 0.01)))",
            "line 9, column 172, in “pickup” of the 1st device of the 1st variant: “place” doesn't belong here; expected “resistance”, “inductance”, “capacitance” or “eddy_loss”",
        ),
        sample(
            "Pot",
            "no_load",
            active,
            "Guitar(instrument: Bass, pickup: (resistance: 6e3, inductance: 2.5, capacitance: 0), volume: (resistance: 250e3, taper: Linear, no_load: true))",
            "line 9, column 216, in “volume” of the 1st device of the 1st variant: “no_load” doesn't belong here; expected “resistance” or “taper”",
        ),
        sample(
            "Control",
            "Blend",
            "sounds: []",
            "state: (turned: [(device: 2, control: Blend, to: 0)]), sounds: []",
            "line 3, column 43, in “control” of the 1st turned knob of “state”: “Blend” is no choice here; expected “Volume”, “Tone” or “Treadle”",
        ),
        sample(
            "Control",
            "ToneOf",
            "sounds: []",
            "state: (turned: [(device: 2, control: ToneOf(2), to: 0)]), sounds: []",
            "line 3, column 43, in “control” of the 1st turned knob of “state”: “ToneOf” is no choice here; expected “Volume”, “Tone” or “Treadle”",
        ),
        sample(
            "Control",
            "VolumeOf",
            "sounds: []",
            "state: (turned: [(device: 2, control: VolumeOf(2), to: 0)]), sounds: []",
            "line 3, column 43, in “control” of the 1st turned knob of “state”: “VolumeOf” is no choice here; expected “Volume”, “Tone” or “Treadle”",
        ),
        sample(
            "Input",
            "coupling",
            active,
            "Interface(input: (resistance: 1e6, capacitance: 0, coupling: 5e-9))",
            "line 9, column 139, in “input” of the 1st device of the 1st variant: “coupling” doesn't belong here; expected “resistance” or “capacitance”",
        ),
        sample(
            "Pedal",
            "gain_by_source",
            active,
            &pedal("gain_by_source: false"),
            "line 9, column 262, in the 1st device of the 1st variant: “gain_by_source” doesn't belong here; expected “bypass”, “selectable”, “on”, “off” or “wiring”",
        ),
        sample(
            "Pedal",
            "level_pot",
            active,
            &pedal("level_pot: (pot: (resistance: 100e3, taper: Linear), turn: 0.5)"),
            "line 9, column 262, in the 1st device of the 1st variant: “level_pot” doesn't belong here; expected “bypass”, “selectable”, “on”, “off” or “wiring”",
        ),
        sample(
            "Pedal",
            "stereo",
            active,
            &pedal("stereo: (right: Uncorrelated)"),
            "line 9, column 262, in the 1st device of the 1st variant: “stereo” doesn't belong here; expected “bypass”, “selectable”, “on”, “off” or “wiring”",
        ),
        sample(
            "Pedal",
            "without_power",
            active,
            &pedal("without_power: Unknown"),
            "line 9, column 262, in the 1st device of the 1st variant: “without_power” doesn't belong here; expected “bypass”, “selectable”, “on”, “off” or “wiring”",
        ),
        sample(
            "Stage",
            "output_capacitance",
            active,
            "Wireless(stage: (input: (resistance: 1e6, capacitance: 0), output: 1e3, output_capacitance: 1e-9, level: 0))",
            "line 9, column 160, in “stage” of the 1st device of the 1st variant: “output_capacitance” doesn't belong here; expected “input”, “output” or “level”",
        ),
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
            "DirectBox::Active",
            "to_desk",
            "Active(instrument: Bass, output: 1e3, gain: 1)",
            "DirectBox(Active(input: (resistance: 1e6, capacitance: 0), to_desk: (desk: Earthed, lifted: true, phantom: true)))",
            "line 9, column 147, in the 1st device of the 1st variant: “to_desk” doesn't belong here; expected “input”",
        ),
        sample(
            "DirectBox::Transformer",
            "to_desk",
            "Active(instrument: Bass, output: 1e3, gain: 1)",
            "DirectBox(Transformer(turns: 12, load: 1500, to_desk: (desk: NotEarthed, lifted: false, phantom: false)))",
            "line 9, column 133, in the 1st device of the 1st variant: “to_desk” doesn't belong here; expected “turns” or “load”",
        ),
        sample(
            "Interface",
            "earthed_computer",
            "Active(instrument: Bass, output: 1e3, gain: 1)",
            "Interface(input: (resistance: 1e6, capacitance: 0), earthed_computer: true)",
            "line 9, column 140, in the 1st device of the 1st variant: “earthed_computer” doesn't belong here; expected “input”",
        ),
        sample(
            "Kind",
            "Mixer",
            "Active(instrument: Bass, output: 1e3, gain: 1)",
            "Mixer(Buffered(first: (input: (resistance: 1e6, capacitance: 0), level: 0), second: (input: (resistance: 1e6, \
             capacitance: 0), level: -3, polarity: Inverted), output: 100, wiring: 0))",
            "line 9, column 88, in the 1st device of the 1st variant: “Mixer” is no choice here; expected “Guitar”, \
             “Active”, “Pedal”, “Buffer”, “Tuner”, “Treadle”, “Splitter”, “Wireless”, “DirectBox”, “Interface”, “Amp” or \
             “Supply”",
        ),
        sample(
            "Stage",
            "polarity",
            active,
            "Wireless(stage: (input: (resistance: 1e6, capacitance: 0), output: 1e3, level: 0, polarity: Inverted))",
            "line 9, column 170, in “stage” of the 1st device of the 1st variant: “polarity” doesn't belong here; expected “input”, “output” or “level”",
        ),
        sample(
            "Stage",
            "latency",
            active,
            "Wireless(stage: (input: (resistance: 1e6, capacitance: 0), output: 1e3, level: 0, latency: 2e-3))",
            "line 9, column 170, in “stage” of the 1st device of the 1st variant: “latency” doesn't belong here; expected “input”, “output” or “level”",
        ),
        sample(
            "State",
            "instrument",
            "sounds",
            "state: (instrument: Some(1)), sounds",
            "line 3, column 13, in “state”: “instrument” doesn't belong here; expected “on” or “turned”",
        ),
        sample(
            "Kind",
            "Switcher",
            "Active(instrument: Bass, output: 1e3, gain: 1)",
            "Switcher(loops: 4, contacts: 2e-12, wiring: 30e-12, without_power: Passes, presets: [(name: \"solo\", loops: [1, 4])])",
            "line 9, column 88, in the 1st device of the 1st variant: “Switcher” is no choice here; expected “Guitar”, \
             “Active”, “Pedal”, “Buffer”, “Tuner”, “Treadle”, “Splitter”, “Wireless”, “DirectBox”, “Interface”, “Amp” or \
             “Supply”",
        ),
        sample(
            "Kind",
            "Transformer",
            "Active(instrument: Bass, output: 1e3, gain: 1)",
            "Transformer(winding: 300, magnetising: 30, capacitance: 300e-12)",
            "line 9, column 88, in the 1st device of the 1st variant: “Transformer” is no choice here; expected “Guitar”, \
             “Active”, “Pedal”, “Buffer”, “Tuner”, “Treadle”, “Splitter”, “Wireless”, “DirectBox”, “Interface”, “Amp” or \
             “Supply”",
        ),
        sample(
            "Limits",
            "headroom",
            "sounds",
            &format!("{LIMITS}, headroom: 0.8), sounds"),
            "line 3, column 116, in “limits”: “headroom” doesn't belong here; expected “jump”, “dull”, “loading”, “fuzz”, \
             “long_lead”, “useless”, “guitar_peak” or “input_peak”",
        ),
        sample(
            "Need",
            "apart_must",
            "kind: Active",
            "power: Low(ways: [], connector: Barrel21, apart: Nobody, apart_must: true), kind: Active",
            "line 9, column 139, in “power” of the 1st device of the 1st variant: “apart_must” doesn't belong here; \
             expected “ways”, “connector”, “digital”, “positive_ground” or “apart”",
        ),
        sample(
            "Limits",
            "over_voltage",
            "sounds",
            &format!("{LIMITS}, headroom: 0.8, over_voltage: 0.3), sounds"),
            "line 3, column 131, in “limits”: “over_voltage” doesn't belong here; expected “jump”, “dull”, “loading”, “fuzz”, \
             “long_lead”, “useless”, “guitar_peak”, “input_peak” or “headroom”",
        ),
        sample(
            "Limits",
            "voltage",
            "sounds",
            &format!("{LIMITS}, headroom: 0.8, voltage: 0.05), sounds"),
            "line 3, column 131, in “limits”: “voltage” doesn't belong here; expected “jump”, “dull”, “loading”, “fuzz”, \
             “long_lead”, “useless”, “guitar_peak”, “input_peak” or “headroom”",
        ),
        sample(
            "Mains",
            "power_factor",
            "kind: Active",
            "power: Mains(least: 100, most: 240, earthed: true, plug_top: false, draw: 1, power_factor: 0.6), kind: Active",
            "line 9, column 159, in “power” of the 1st device of the 1st variant: “power_factor” doesn't belong here; \
             expected “least”, “most”, “earthed”, “plug_top” or “draw”",
        ),
        sample(
            "Need",
            "heaters",
            "kind: Active",
            "power: Low(ways: [], connector: Barrel21, apart: Nobody, heaters: true), kind: Active",
            "line 9, column 139, in “power” of the 1st device of the 1st variant: “heaters” doesn't belong here; \
             expected “ways”, “connector”, “digital”, “positive_ground” or “apart”",
        ),
        sample(
            "Need",
            "shares_winding",
            "kind: Active",
            "power: Low(ways: [], connector: Barrel21, apart: Nobody, shares_winding: true), kind: Active",
            "line 9, column 139, in “power” of the 1st device of the 1st variant: “shares_winding” doesn't belong here; \
             expected “ways”, “connector”, “digital”, “positive_ground” or “apart”",
        ),
        sample(
            "Need",
            "transformer",
            "kind: Active",
            "power: Low(ways: [], connector: Barrel21, apart: Nobody, transformer: false), kind: Active",
            "line 9, column 139, in “power” of the 1st device of the 1st variant: “transformer” doesn't belong here; \
             expected “ways”, “connector”, “digital”, “positive_ground” or “apart”",
        ),
        sample(
            "Project",
            "limits",
            "sounds",
            &format!("{LIMITS}), sounds"),
            "line 3, column 5: “limits” doesn't belong here; expected “version”, “title”, “notes”, “currency”, “state”, \
             “test_point”, “sounds”, “variants” or “next_id”",
        ),
        sample(
            "Project",
            "mains",
            "sounds",
            "mains: (volts: 120, tour: [(country: Japan, volts: 100)]), sounds",
            "line 3, column 5: “mains” doesn't belong here; expected “version”, “title”, “notes”, “currency”, “state”, \
             “test_point”, “limits”, “sounds”, “variants” or “next_id”",
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
        sample(
            "Variant",
            "row_width",
            "leads",
            "row_width: Some(1400), leads",
            "line 11, column 13, in the 1st variant: “row_width” doesn't belong here; expected “id”, “name”, “devices”, \
             “leads”, “feeds”, “places” or “kept_orders”",
        ),
        sample(
            "Variant",
            "notes",
            "leads",
            "notes: [(id: 400, text: \"a\", x: 1, y: 2)], leads",
            "line 11, column 13, in the 1st variant: “notes” doesn't belong here; expected “id”, “name”, “devices”, \
             “leads”, “feeds”, “places” or “kept_orders”",
        ),
    ]);
    all
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

/// What is said in another way since is read up to its last version, and refused in later files.
#[test]
fn what_went_is_read_before_and_refused_since() {
    let text = |version: u32| {
        let text = BARE.replace("version: 1", &format!("version: {version}"));
        text.replace("sounds", "state: (on: [2]), sounds")
    };
    for (holder, name, last) in LAST {
        assert_eq!((*holder, *name), ("State", "on"), "no sample of {holder}.{name}");
        for version in 1..=*last {
            read(text(version).as_bytes()).unwrap_or_else(|error| panic!("version {version}: {error}"));
        }
        let refused = read(text(last + 1).as_bytes()).unwrap_err().to_string();
        let expected =
            "line 3, column 13, in “state”: “on” doesn't belong here; expected “positions”, “turned” or “instrument”";
        assert_eq!(refused, expected);
    }
    assert_eq!(LAST.len(), 1);
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
