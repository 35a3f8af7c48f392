//! Own parts to a file and back, what is refused, and lists that are added to.

use super::*;
use crate::file;
use crate::rig::{Bypass, Kind, LONGEST_NAME, Power, Project};
use crate::units::{Grams, Hertz, Price};

fn devices(project: Project) -> Vec<Device> {
    project.variants.iter().flat_map(|variant| variant.rig.devices.clone()).collect()
}

/// One of each device of the shipped rigs, under its own name.
fn many() -> Vec<OwnPart> {
    let rigs = [file::demo(), file::few_on_a_daisy(), file::large_modular(), file::multi_effects()];
    let mut parts = Vec::new();
    for device in rigs.into_iter().flat_map(|project| devices(project.unwrap())) {
        add_own_part(&mut parts, &own_part(&device, &device.name));
    }
    assert!(parts.len() > 40, "{}", parts.len());
    parts
}

/// A pedal of the demo.
fn pedal() -> Device {
    let is_plain = |device: &Device| device.kind.pedal().is_some() && device.part == "mild-drive";
    devices(file::demo().unwrap()).into_iter().find(is_plain).unwrap()
}

#[test]
fn all_comes_back_as_it_was_with_one_text_for_one_list() {
    let mut parts = many();
    parts[0].heard_to = Some(Hertz::of(5e3));
    parts[1].name = "two \"lines\" and a \\ ♭ñ̃".to_owned();
    parts[2].power = Power::Unknown;
    let text = write_own_parts(&parts).unwrap();
    assert_eq!(read_own_parts(text.as_bytes()).unwrap(), parts);
    assert_eq!(write_own_parts(&read_own_parts(text.as_bytes()).unwrap()).unwrap(), text);
    assert!(text.starts_with("(\n    own_parts: 1,\n"), "{text}");
    assert!(is_own_parts(text.as_bytes()) && is_own_parts(b"\xef\xbb\xbf \n( own_parts : 1)"));
    assert_eq!(read_own_parts(b"(own_parts: 1)"), Ok(Vec::new()));
    for other in [&b""[..], b"(", b"(own_parts", b"(version: 4, own_parts: 1)", b"\xff", file::DEMO_BYTES] {
        assert!(!is_own_parts(other), "{other:?}");
    }
}

#[test]
fn a_part_keeps_the_devices_numbers_and_goes_back_to_its_part() {
    let mut device = pedal();
    device.body.price = Price::of(77.0);
    device.stays_on = true;
    let part = own_part(&device, "Red box");
    assert!(part.key.starts_with("mild-drive~"), "{}", part.key);
    assert_eq!((part.name.as_str(), part.effect), ("Red box", device.effect));
    assert_eq!((&part.kind, &part.power, part.body), (&device.kind, &device.power, device.body));
    // A part that is kept of a device that was made of it goes back to the same one.
    let made = Device { part: part.key.clone(), ..device.clone() };
    let again = own_part(&made, "Redder box");
    assert!(again.key.starts_with("mild-drive~") && again.key != part.key, "{}", again.key);
    // What was made by hand goes back to none, and odd keys stay out of the file's way.
    device.part.clear();
    assert!(own_part(&device, "Red box").key.starts_with('~'));
    device.part = "Ärger \"mit\" (x".to_owned();
    let odd = own_part(&device, "Red box");
    assert!(odd.key.starts_with("rgermitx~"), "{}", odd.key);
    write_own_parts(&[odd]).unwrap();
}

/// The text of one part with something in it changed.
fn changed(old: &str, new: &str) -> String {
    let text = write_own_parts(&[own_part(&pedal(), "Red box")]).unwrap();
    assert!(text.contains(old), "no {old} in {text}");
    text.replacen(old, new, 1)
}

#[test]
fn what_is_wrong_is_said_with_its_place() {
    let refused = |text: &str| read_own_parts(text.as_bytes()).unwrap_err().to_string();
    let start = "expected one that starts with “(own_parts: 1,”";
    for nothing in ["", "  \n", "()", "[1]", "(version: 4)", std::str::from_utf8(file::BLANK_BYTES).unwrap()] {
        assert_eq!(refused(nothing), format!("this is no file of own parts; {start}"), "{nothing}");
    }
    assert_eq!(read_own_parts(b"\xff\xd8\xff"), Err(OwnPartsError::NotOwnParts));
    // A newer one is refused as newer, whatever else is in it.
    assert_eq!(
        refused("(own_parts: 2, later: [1])"),
        "these own parts are from a newer Rigwright (version 2; this one knows 1 at most)"
    );
    assert_eq!(refused("(own_parts: 0)"), format!("no program wrote own parts of version 0; {start}"));
    assert_eq!(refused("(own_parts: x)"), "line 1, column 13, in “own_parts”: expected a whole number");
    let unknown = refused(&changed("name:", "nome:"));
    assert!(unknown.starts_with("line 6, column 13, in the 1st part: “nome” doesn't belong here;"), "{unknown}");
    let inside = refused(&changed("bypass: ", "bypass: Un"));
    assert!(inside.contains("of the 1st part: “UnTrue” is no choice here; expected “True”"), "{inside}");
    let key = refused(&changed("mild-drive~", "mild-drive"));
    assert!(key.starts_with("line 5, column 19, in “key” of the 1st part: “mild-drive"), "{key}");
    let name = refused(&changed("\"Red box\"", "\" \""));
    assert_eq!(name, "line 6, column 22, in “name” of the 1st part: an own part has no name here; expected one");
    let long = refused(&changed("Red box", &"x".repeat(LONGEST_NAME + 1)));
    assert!(long.contains("this name has 201 characters; expected 200 at most"), "{long}");
    let mass = refused(&changed("mass: ", "mass: -"));
    assert!(mass.contains("in “body.mass” of the 1st part"), "{mass}");
    let early = refused("(own_parts: 1, parts: []");
    assert!(early.contains("expected a comma or a closing bracket before this"), "{early}");
}

#[test]
fn one_key_stands_once_and_there_is_an_end() {
    let part = own_part(&pedal(), "Red box");
    let two = text(&[part.clone(), part.clone()]).unwrap();
    let second = two.lines().collect::<Vec<_>>().iter().rposition(|line| line.contains("key:")).unwrap() + 1;
    let said = read_own_parts(two.as_bytes()).unwrap_err().to_string();
    assert_eq!(
        said,
        format!("line {second}, column 18: the key “{}” is there twice; expected each part once", part.key)
    );
    assert!(write_own_parts(&[part.clone(), part.clone()]).is_err(), "nothing is handed out that can't be read");
    let numbered = |number: usize| OwnPart { key: format!("~{number}"), ..part.clone() };
    let full: Vec<OwnPart> = (0..MOST_OWN_PARTS).map(numbered).collect();
    assert_eq!(read_own_parts(write_own_parts(&full).unwrap().as_bytes()).unwrap().len(), MOST_OWN_PARTS);
    let more: Vec<OwnPart> = (0..=MOST_OWN_PARTS).map(numbered).collect();
    assert_eq!(
        read_own_parts(text(&more).unwrap().as_bytes()).unwrap_err().to_string(),
        "there would be 501 own parts; 500 is the most"
    );
    let mut parts = full.clone();
    assert_eq!(add_own_part(&mut parts, &own_part(&pedal(), "Another")), Added::Full);
    assert_eq!(parts, full);
}

#[test]
fn a_file_of_own_parts_has_the_fields_of_projects_as_they_are_now() {
    assert_eq!(FIELDS_OF.last(), Some(&file::VERSION), "new fields want a new version of own parts too");
}

#[test]
fn nothing_is_added_twice_and_nothing_that_is_there_is_changed() {
    let mine = own_part(&pedal(), "Red box");
    let mut parts = Vec::new();
    assert_eq!(add_own_part(&mut parts, &mine), Added::As("Red box".to_owned()));
    assert_eq!(add_own_part(&mut parts, &mine), Added::Before);
    // Another pedal under the same name: both are kept.
    let mut device = pedal();
    device.body.mass = Grams::of(999.0);
    let theirs = own_part(&device, "Red box");
    assert_eq!(add_own_part(&mut parts, &theirs), Added::As("Red box 2".to_owned()));
    assert_eq!(add_own_part(&mut parts, &theirs), Added::Before);
    assert_eq!((parts.len(), &parts[0]), (2, &mine));
    // One that was changed since under its old key: both, and once.
    let mut dearer = mine.clone();
    dearer.body.price = Price::of(1.0);
    assert_eq!(add_own_part(&mut parts, &dearer), Added::As("Red box 3".to_owned()));
    assert_eq!(add_own_part(&mut parts, &dearer), Added::Before);
    assert_ne!(parts[2].key, mine.key);
    // And though its second key was taken meanwhile by something else.
    parts[2].body.price = Price::of(2.0);
    assert_eq!(add_own_part(&mut parts, &dearer), Added::As("Red box 4".to_owned()));
    assert_eq!(add_own_part(&mut parts, &dearer), Added::Before);
    // A new name alone is no other part.
    parts[0].name = "Old red box".to_owned();
    assert_eq!(add_own_part(&mut parts, &mine), Added::Before);
    read_own_parts(write_own_parts(&parts).unwrap().as_bytes()).unwrap();
}

#[test]
fn a_file_is_taken_in_once_and_what_is_alike_but_for_its_name_is_two_parts() {
    let (red, blue) = (own_part(&pedal(), "Red box"), own_part(&pedal(), "Blue box"));
    let mut other = pedal();
    other.kind.pedal_mut().unwrap().bypass = Bypass::Buffered;
    let mut parts = vec![own_part(&other, "Red box")];
    let before = parts.clone();
    let file = read_own_parts(write_own_parts(&[red, blue]).unwrap().as_bytes()).unwrap();
    let taken = take_in_own_parts(&mut parts, &file);
    assert_eq!(taken, TakenIn { added: 2, renamed: 1, before: 0, left_out: 0 });
    assert_eq!(parts.iter().map(|part| part.name.as_str()).collect::<Vec<_>>(), ["Red box", "Red box 2", "Blue box"]);
    assert_eq!(parts[..1], before);
    let all = parts.clone();
    assert_eq!(take_in_own_parts(&mut parts, &file), TakenIn { before: 2, ..TakenIn::default() });
    assert_eq!(parts, all);
    assert!(matches!(parts[1].kind, Kind::Pedal(_)));
}
