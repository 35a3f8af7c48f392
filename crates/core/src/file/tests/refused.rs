//! What is refused, and in which words.

use super::{blank_text, changed};
use crate::file::{FileError, MAX_BYTES, read};

fn sentence(text: &str) -> String {
    read(text.as_bytes()).unwrap_err().to_string()
}

#[track_caller]
fn refused(old: &str, new: &str, expected: &str) {
    assert_eq!(sentence(&changed(old, new)), expected);
}

#[test]
fn fields() {
    refused(
        "part: \"single",
        "colour: \"red\", part: \"single",
        "line 17, column 21, in the 1st device of the 1st variant: “colour” doesn't belong here; \
         expected “id”, “name”, “part”, “stays_on”, “switches”, “body”, “power”, “heard_to”, “effect” or “kind”",
    );
    refused(
        "Exponential(half: ",
        "TwoSegments(middle: ",
        "line 28, column 72, in “volume.taper” of the 1st device of the 1st variant: “middle” doesn't belong here; expected “half”",
    );
    refused(
        "length: 6.0,",
        "",
        "line 75, column 17, in the 1st lead of the 1st variant: “length” is missing; expected it before this bracket closes",
    );
    refused(
        "length: 6.0,",
        "length: 6.0, length: 6.0,",
        "line 66, column 34, in the 1st lead of the 1st variant: “length” stands here twice; expected it once",
    );
    refused(
        "size: OffBoard",
        "size: Middle",
        "line 18, column 34, in “body.size” of the 1st device of the 1st variant: “Middle” is no choice here; \
         expected “Mini”, “Compact”, “Standard”, “Wide”, “Large”, “ExtraLarge”, “Treadle” or “OffBoard”",
    );
    assert_eq!(
        sentence("(version: 1, title: \"x\")"),
        "line 1, column 24: “variants” is missing; expected it before this bracket closes"
    );
}

#[test]
fn numbers() {
    refused(
        "capacitance: 20e-12",
        "capacitance: -20e-12",
        "line 50, column 63, in “input.capacitance” of the 2nd device of the 1st variant: \
         a capacitance can't be −20 pF; expected 0 F to 1 mF",
    );
    refused(
        "inductance: 2.5",
        "inductance: NaN",
        "line 24, column 41, in “pickup.inductance” of the 1st device of the 1st variant: \
         an inductance can't be NaN; expected 0 H to 100 H",
    );
    refused(
        "eddy_loss: 1e6",
        "eddy_loss: 1e999",
        "line 26, column 40, in “pickup.eddy_loss” of the 1st device of the 1st variant: \
         a resistance can't be inf; expected 0 Ω to 1 GΩ",
    );
    refused(
        "length: 6.0",
        "length: 10000",
        "line 66, column 29, in “length” of the 1st lead of the 1st variant: a length can't be 10000 m; expected 0 m to 300 m",
    );
    for other in ["\"6 m\"", "true", "(6.0)", "6.0f32"] {
        let text = sentence(&changed("length: 6.0", &format!("length: {other}")));
        assert!(
            text.ends_with("in “length” of the 1st lead of the 1st variant: expected a number, such as 6.0 or 22e-9"),
            "{text}"
        );
    }
    refused(
        "places: []",
        "places: [(device: 1, x: 0, y: inf)]",
        "line 77, column 43, in “y” of the 1st place of the 1st variant: \
         a place can't be inf; expected a number from -1000000 to 1000000",
    );
    refused(
        "id: 1,",
        "id: 18446744073709551615,",
        "line 15, column 25, in “id” of the 1st device of the 1st variant: \
         an id can't be 18446744073709551615; expected a number below 9007199254740992",
    );
}

/// An id near the end of its range leaves no room for the next: what is new then
/// would get one that no file can hold.
#[test]
fn ids_that_leave_no_room() {
    let id = "an id can't be 9007199254740992; expected a number below 9007199254740992";
    refused(
        "id: 1,",
        "id: 9007199254740992,",
        &format!("line 15, column 25, in “id” of the 1st device of the 1st variant: {id}"),
    );
    refused(
        "next_id: 5,",
        "next_id: 9007199254740993,",
        "line 80, column 14, in “next_id”: the next id can't be 9007199254740993; expected 9007199254740992 at most",
    );
    let last = read(changed("id: 1,", "id: 9007199254740991,").as_bytes()).unwrap();
    assert_eq!(last.next_id, 9_007_199_254_740_992);
    assert_eq!(read(crate::file::write(&last).unwrap().as_bytes()), Ok(last));
}

/// One more than there can be of whatever has a list: the place is that of the first
/// that is too many.
#[test]
fn more_than_a_project_can_hold() {
    let entries = |count: usize, entry: &str| {
        let entries = (1000..1000 + count).map(|id| format!("({})", entry.replace('#', &id.to_string())));
        entries.collect::<Vec<_>>().join(",\n")
    };
    let device = "id: #, name: \"\", body: (size: Mini, mass: 0, price: 0), kind: Active(instrument: Guitar, output: 0, gain: 1)";
    let lead = "id: #, from: (device: 1, jack: Out), to: (device: 2, jack: In), length: 1, \
                cable: (name: \"\", capacitance: 0, resistance: 0, inductance: 0, loss_tangent: 0, plug: 0)";
    let feed = "id: #, from: One(supply: 1, outlet: 1), gauge: Half, taps: []";
    let lists = [
        ("variants", "id: #, name: \"\"", 100, "variants in one project"),
        ("sounds", "id: #, name: \"\"", 1000, "sounds in one project"),
        ("devices", device, 1000, "devices in one variant"),
        ("leads", lead, 4000, "leads in one variant"),
        ("feeds", feed, 1000, "supply leads in one variant"),
    ];
    for (list, entry, most, words) in lists {
        let text = |count: usize| match list {
            "variants" => format!("(version: 3, variants: [\n{}])", entries(count, entry)),
            "sounds" => format!("(version: 3, variants: [(id: 1, name: \"\")], sounds: [\n{}])", entries(count, entry)),
            _ => format!("(version: 3, variants: [(id: 1, name: \"\", {list}: [\n{}])])", entries(count, entry)),
        };
        let full = read(text(most).as_bytes()).unwrap_or_else(|error| panic!("{list}: {error}"));
        assert_eq!(read(crate::file::write(&full).unwrap().as_bytes()), Ok(full), "{list}");
        let (count, line) = (most + 1, most + 2);
        let expected = format!("line {line}, column 1: there are {count} {words}; expected {most} at most");
        assert_eq!(sentence(&text(count)), expected);
    }
}

#[test]
fn brackets_and_quotes() {
    refused(
        "length: 6.0,",
        "length: 6.0),",
        "line 66, column 32, in the 1st lead of the 1st variant: “cable” is missing; expected it before this bracket closes",
    );
    refused(
        "length: 6.0,",
        "length: 6.0],",
        "line 66, column 32, in the 1st lead of the 1st variant: expected a comma or a closing bracket before this",
    );
    refused(
        "name: \"Amp\"",
        "name: amp",
        "line 39, column 27, in “name” of the 2nd device of the 1st variant: expected a text in double quotes",
    );
    assert_eq!(
        sentence(&format!("{})", blank_text())),
        "line 82, column 1: something follows the project's closing bracket; expected the file to end here"
    );
    let cut = blank_text().split("name: \"Amp\"").next().unwrap();
    assert_eq!(
        sentence(cut),
        "line 39, column 21, in the 2nd device of the 1st variant: the file ends too early; expected its brackets and quotes to be closed"
    );
}

#[test]
fn versions() {
    let newer = "this file is from a newer Rigwright (version 5; this one reads up to 4)";
    assert_eq!(sentence("(version: 5, colour: \"red\", variants: [])"), newer);
    // Even if it isn't written as files of today are.
    assert_eq!(sentence("(colour: Red(1), version: 5, {{"), newer);
    let none = "this file doesn't say its version; expected a project, which starts with “(version: 4,”";
    for text in ["(title: \"x\")", "()", "[1, 2]", "good morning", "42"] {
        assert_eq!(sentence(text), none);
    }
    assert_eq!(sentence("(version: 0)"), "there is no version 0 of these files; expected a version from 1 to 4");
    assert_eq!(sentence("(version: \"1\")"), "line 1, column 11, in “version”: expected a whole number");
}

#[test]
fn files_that_are_no_projects() {
    let empty = "this file is empty; expected a project, which starts with “(version: 4,”";
    assert_eq!(sentence(""), empty);
    assert_eq!(sentence("\u{feff} \r\n"), empty);
    let binary = |bytes: &[u8]| read(bytes).unwrap_err().to_string();
    let words = "this is no text; expected a project, which is plain text in UTF-8";
    assert_eq!(binary(b"(version: 1,\n \xff\xfe"), format!("line 2, column 2: {words}"));
    assert_eq!(binary(b"\x7fABC\x00\x01"), format!("line 1, column 5: {words}"));
    assert_eq!(binary(&vec![b' '; MAX_BYTES + 1]), "this file has 17 MB; expected a project, which has 16 MB at most");
    assert_eq!(sentence("{\"version\": 1}"), "line 1, column 1: expected an opening bracket “(”");
}

#[test]
fn a_hundred_thousand_brackets_are_refused_and_no_more() {
    let deep = "brackets are nested too deep; expected the few levels that a project has";
    for (text, expected) in [
        ("(".repeat(100_000), deep),
        (format!("(a: {}", "[".repeat(100_000)), deep),
        (format!("(a: {}", "B(".repeat(100_000)), deep),
        (format!("(version: 1, variants: {}", "[".repeat(100_000)), "expected an opening bracket “(”"),
        ("/*".repeat(100_000), "a comment that starts with “/*” never ends; expected “*/”"),
    ] {
        assert!(sentence(&text).ends_with(expected), "{}", sentence(&text));
    }
}

#[test]
fn things_that_are_there_twice() {
    refused(
        "id: 2,",
        "id: 1,",
        "line 38, column 25: there are two devices with the id 1 in the variant “First rig”; \
         expected an id of its own for each device",
    );
    let lead = "(id: 3, from: (device: 1, jack: Out), to: (device: 2, jack: Send(1)), length: 1, \
                cable: (name: \"\", capacitance: 0, resistance: 0, inductance: 0, loss_tangent: 0, plug: 0))";
    let text = changed("leads: [", &format!("leads: [{lead},"));
    // What stands before the lead mustn't lose the way to it.
    let text =
        text.replace("effects_loop: None", "effects_loop: Some(send: 1e3, back: (resistance: 1e6, capacitance: 0))");
    let expected =
        "there are two leads with the id 3 in the variant “First rig”; expected an id of its own for each lead";
    assert_eq!(sentence(&text), format!("line 63, column 25: {expected}"));
    refused(
        "variants: [",
        "variants: [(id: 4, name: \"copy\"),",
        "line 11, column 17: there are two variants with the id 4; expected an id of its own for each variant",
    );
    refused(
        "sounds: []",
        "sounds: [(id: 9, name: \"a\"), (id: 9, name: \"b\")]",
        "line 8, column 39: there are two sounds with the id 9; expected an id of its own for each sound",
    );
    let knobs = "turned: [(device: 1, control: Volume, to: 0), (device: 1, control: Tone, to: 0), (device: 1, control: Volume, to: 1)]";
    refused(
        "turned: []",
        knobs,
        "line 6, column 109: the state in hand lists the volume of device 1 twice; expected it once",
    );
    refused(
        "sounds: []",
        &format!("sounds: [(id: 9, name: \"solo\", state: ({knobs}))]"),
        "line 8, column 125: the sound “solo” lists the volume of device 1 twice; expected it once",
    );
    let switch = "(device: 2, switch: Channel, to: 1)";
    refused(
        "positions: []",
        &format!("positions: [{switch}, {switch}]"),
        "line 6, column 62: the state in hand lists the channel of device 2 twice; expected it once",
    );
    refused(
        "places: []",
        "places: [(device: 1, x: 0, y: 0), (device: 1, x: 0, y: 0)]",
        "line 77, column 47: the variant “First rig” lists the place of device 1 twice; expected it once",
    );
    assert_eq!(
        sentence("(version: 1, variants: [])"),
        "line 1, column 24: there is no variant here; expected at least one, since a project keeps at least one"
    );
}

#[test]
fn an_error_knows_its_line_and_its_field() {
    let error = read(changed("inductance: 2.5", "inductance: -1").as_bytes()).unwrap_err();
    assert_eq!(error.line_column(), Some((24, 41)));
    let FileError::Syntax { path, .. } = error else { panic!("{error}") };
    assert_eq!(path, "variants[0].devices[0].kind.Guitar.pickup.inductance");
    assert_eq!(read(b"(version: 9)").unwrap_err().line_column(), None);
}
