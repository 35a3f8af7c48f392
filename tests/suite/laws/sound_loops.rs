//! A sound puts the loops in that it needs.

use std::sync::Arc;

use rigwright_core::file;
use rigwright_core::rig::{DeviceId, Kind, OutOfReach, Position, Preset, Sound, SoundId, State, SwitchRef, Variant};

/// Guitar, switcher of three loops, amp; unit 11 in loop 1, unit 12 in loop 3, and
/// in loop 2 a second switcher with unit 13 in its only loop.
fn variant() -> Variant {
    let body = "body: (size: Mini, mass: 0, price: 0)";
    let stage = "(input: (resistance: 1e6, capacitance: 0), output: 100, level: 0)";
    let pedal = |id: u8| {
        format!("(id: {id}, name: \"{id}\", {body}, kind: Pedal(bypass: True, on: {stage}, off: {stage}, wiring: 0)),")
    };
    let switcher = |id: u8, loops: u8| {
        format!(
            "(id: {id}, name: \"{id}\", {body}, kind: Switcher(loops: {loops}, contacts: 0, wiring: 0, without_power: Passes)),"
        )
    };
    let leads = [
        (1, "Out", 3, "In"),
        (3, "Out", 2, "In"),
        (3, "Send(1)", 11, "In"),
        (11, "Out", 3, "Return(1)"),
        (3, "Send(2)", 4, "In"),
        (4, "Send(1)", 13, "In"),
        (13, "Out", 4, "Return(1)"),
        (4, "Out", 3, "Return(2)"),
        (3, "Send(3)", 12, "In"),
        (12, "Out", 3, "Return(3)"),
    ];
    let lead = |((from, out, to, into), id): ((u8, &str, u8, &str), u8)| {
        format!(
            "(id: {id}, from: (device: {from}, jack: {out}), to: (device: {to}, jack: {into}), length: 1, cable: (name: \"\", \
             capacitance: 0, resistance: 0, inductance: 0, loss_tangent: 0, plug: 0)),"
        )
    };
    let text = format!(
        "#![enable(implicit_some, unwrap_variant_newtypes)]\n(version: 4, sounds: [], variants: [(id: 90, name: \"\", \
         devices: [(id: 1, name: \"source\", {body}, kind: Active(instrument: Bass, output: 1e3, gain: 1)), \
         (id: 2, name: \"end\", {body}, kind: Interface(input: (resistance: 1e6, capacitance: 0))), {}], leads: [{}])])",
        [switcher(3, 3), switcher(4, 1), pedal(11), pedal(12), pedal(13)].concat(),
        leads.into_iter().zip(50..).map(lead).collect::<String>()
    );
    let project = file::read(text.as_bytes()).unwrap_or_else(|error| panic!("{error}"));
    (*project.variants[0]).clone()
}

fn on(units: &[u64]) -> Sound {
    let positions = units.iter().map(|id| (SwitchRef::bypass(DeviceId(*id)), Position::ON)).collect();
    Sound::of(SoundId(99), "on", State { positions, ..State::default() })
}

fn loops_in(variant: &Variant, sound: &Sound) -> Vec<(u64, u8)> {
    let made = sound.realise(variant);
    let all = variant.rig.devices.iter().flat_map(|device| {
        let numbers = (1..=3).filter(|number| device.is_loop_in(*number, &made.state));
        numbers.map(|number| (device.id.0, number)).collect::<Vec<_>>()
    });
    all.collect()
}

#[test]
fn loops_are_put_in_for_units_that_are_wanted_on() {
    let variant = variant();
    assert_eq!(variant.rig.loops_around(DeviceId(13)), [(DeviceId(4), 1), (DeviceId(3), 2)]);
    assert_eq!(loops_in(&variant, &on(&[])), []);
    assert_eq!(loops_in(&variant, &on(&[11])), [(3, 1)]);
    assert_eq!(loops_in(&variant, &on(&[12, 13])), [(3, 2), (3, 3), (4, 1)]);
}

#[test]
fn of_presets_the_one_with_the_fewest_other_loops_is_called() {
    let mut variant = variant();
    let rig = Arc::make_mut(&mut variant.rig);
    let Kind::Switcher(switcher) = &mut rig.devices[2].kind else { panic!("the switcher") };
    let preset = |loops: &[u8]| Preset { name: String::new(), loops: loops.iter().copied().collect() };
    switcher.presets = vec![preset(&[]), preset(&[1, 2, 3]), preset(&[1, 2]), preset(&[2])];
    switcher.by_presets = true;
    assert_eq!(loops_in(&variant, &on(&[])), []);
    assert_eq!(loops_in(&variant, &on(&[11])), [(3, 1), (3, 2)]);
    assert_eq!(loops_in(&variant, &on(&[11, 12])), [(3, 1), (3, 2), (3, 3)]);
    assert!(on(&[12]).realise(&variant).out_of_reach.is_empty());
    let rig = Arc::make_mut(&mut variant.rig);
    let Kind::Switcher(switcher) = &mut rig.devices[2].kind else { panic!("the switcher") };
    switcher.presets.remove(1);
    let made = on(&[11, 12]).realise(&variant);
    assert_eq!(made.out_of_reach, [OutOfReach { switcher: DeviceId(3), loops: [1, 3].into() }]);
    assert_eq!(made.state, on(&[11, 12]).state);
}

#[test]
fn a_sound_that_is_kept_stands_as_it_was_kept() {
    let variant = variant();
    // The unit is on, and its loop is out.
    let state = on(&[11]).state;
    let kept = on(&[]).kept_as(&state, &variant);
    assert!(kept.realise(&variant).own);
    assert_eq!(kept.realise(&variant).state, state);
    // With the loop in there is nothing to be said of this variant alone.
    let made = on(&[11]).realise(&variant).state;
    let kept = on(&[]).kept_as(&made, &variant);
    assert!(!kept.realise(&variant).own);
    assert_eq!(kept.realise(&variant).state, made);
    assert_eq!(kept.state, on(&[11]).state, "a rig without the switcher isn't asked for its loop");
}
