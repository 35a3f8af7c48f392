//! What a sound asks for that a rig lacks is told with who has it.

use rigwright_core::file;
use rigwright_core::rig::{DeviceId, Edit, Position, Project, SwitchRef, apply, missing, missing_words};

fn without(project: &Project, at: usize, names: &[&str]) -> Project {
    names.iter().fold(project.clone(), |project, name| {
        let variant = &project.variants[at];
        let device = variant.rig.devices.iter().find(|device| device.name == *name).unwrap().id;
        apply(&project, &Edit::RemoveDevice { variant: variant.id, device }).unwrap()
    })
}

fn told(project: &Project, sound: &str) -> Option<String> {
    let sound = project.sounds.iter().find(|other| other.name == sound).unwrap();
    missing_words(&missing(project, &project.variants[0], sound))
}

#[test]
fn what_a_rig_lacks_is_told_with_the_rig_that_has_it() {
    let demo = file::demo().unwrap();
    assert_eq!(told(&demo, "Solo"), None);
    let one = without(&demo, 0, &["Fuzz"]);
    let words = "Asks for Fuzz, which this rig lacks (it is in Buffer after the guitar).";
    assert_eq!(told(&one, "Solo").as_deref(), Some(words));
    assert_eq!(told(&one, "Tune"), None);
    let three = without(&demo, 0, &["Fuzz", "Delay", "Reverb"]);
    let words = "Asks for Fuzz, Delay and Reverb, which this rig lacks (they are in Buffer after the guitar).";
    assert_eq!(told(&three, "Solo").as_deref(), Some(words));
    // A control is asked for as well.
    let treadle = without(&demo, 0, &["Volume pedal"]);
    assert!(told(&treadle, "Underscore, quiet").unwrap().starts_with("Asks for Volume pedal, "));
}

#[test]
fn a_unit_that_nobody_has_is_told_by_its_number() {
    let mut demo = file::demo().unwrap();
    demo.sounds[0].state.positions.insert(SwitchRef::bypass(DeviceId(9999)), Position::ON);
    let words = "Asks for unit 9999, which this rig lacks (it is in no rig here).";
    assert_eq!(told(&demo, "Verse, clean").as_deref(), Some(words));
}
