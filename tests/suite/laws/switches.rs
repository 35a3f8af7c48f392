//! Switches that are set and aren't there: told, kept, and counted again when they are back.

use rigwright_core::file;
use rigwright_core::rig::{
    Buffer, Edit, Kind, Position, Project, SwitchKey, SwitchRef, SwitchSetting, apply, forget_position, switch_problems,
};
use rigwright_core::units::Farads;

fn told(project: &Project) -> Vec<String> {
    switch_problems(project, &project.variants[0]).iter().map(ToString::to_string).collect()
}

#[test]
fn a_switch_that_is_gone_is_told_kept_and_counts_when_it_is_back() {
    let demo = file::demo().unwrap();
    assert!(told(&demo).is_empty());
    let rig = &demo.variants[0].rig;
    let fuzz = rig.devices.iter().find(|device| device.name == "Fuzz").unwrap();
    let on = apply(&demo, &Edit::Switch(SwitchSetting::on(fuzz.id))).unwrap();
    let asking: Vec<&str> = demo.sounds.iter().filter(|sound| fuzz.is_on(&sound.state)).map(|s| &*s.name).collect();
    assert!(!asking.is_empty());
    // It becomes a buffer in both rigs.
    let stage = fuzz.kind.pedal().unwrap().on;
    let buffer = Kind::Buffer(Buffer { stage, wiring: Farads::of(0.0) });
    let to_buffer = |project: &Project, at: usize| {
        let variant = project.variants[at].id;
        let kind = Box::new(buffer.clone());
        apply(project, &Edit::SetKind { variant, device: fuzz.id, kind }).unwrap()
    };
    // While another rig has it there is nothing wrong.
    let one = to_buffer(&on, 0);
    assert!(told(&one).is_empty());
    let both = to_buffer(&one, 1);
    let mut expected = vec!["the state in hand sets the bypass of Fuzz, which has no such switch".to_owned()];
    let sound = |name: &&str| format!("the sound “{name}” sets the bypass of Fuzz, which has no such switch");
    expected.extend(asking.iter().map(sound));
    assert_eq!(told(&both), expected);
    let again = file::read(file::write(&both).unwrap().as_bytes()).unwrap();
    assert_eq!(again, both, "the file keeps it");
    // Each can be taken from where it is set, and then nothing is told.
    let mut clean = both.clone();
    for problem in switch_problems(&both, &both.variants[0]) {
        let edit = forget_position(&problem, &clean, &clean.variants[0]).unwrap();
        clean = apply(&clean, &edit).unwrap();
    }
    assert!(told(&clean).is_empty() && !clean.state.positions.contains_key(&SwitchRef::bypass(fuzz.id)));
    let variant = both.variants[0].id;
    let back = Edit::SetKind { variant, device: fuzz.id, kind: Box::new(fuzz.kind.clone()) };
    let back = apply(&both, &back).unwrap();
    assert!(told(&back).is_empty());
    assert!(back.variants[0].rig.device(fuzz.id).unwrap().is_on(&back.state));
    // Taken from the list where nothing has it.
    let off = SwitchSetting { switch: SwitchRef::bypass(fuzz.id), to: Position::OFF };
    assert!(!apply(&both, &Edit::Switch(off)).unwrap().state.positions.contains_key(&off.switch));
}

#[test]
fn a_position_past_the_last_is_told() {
    let mut demo = file::demo().unwrap();
    let tuner = demo.variants[0].rig.devices.iter().find(|device| device.name == "Tuner").unwrap().id;
    demo.state.positions.insert(SwitchRef { device: tuner, key: SwitchKey::Mute }, Position(4));
    assert_eq!(told(&demo), ["the state in hand sets the mute of Tuner to position 5, and it has 2"]);
    assert!(!demo.variants[0].rig.device(tuner).unwrap().is_on(&demo.state), "it stands at its default");
}
