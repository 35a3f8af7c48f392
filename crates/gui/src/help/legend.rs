//! The legend: what the signs of the drawing mean.

use super::{Line, Section};

/// Signs and what they mean.
pub fn sections() -> Vec<Section> {
    let pairs = |pairs: &[(&str, &str)]| {
        pairs.iter().map(|(of, words)| Line::Pair((*of).to_owned(), (*words).to_owned())).collect()
    };
    vec![
        Section { heading: "Chain", lines: pairs(&CHAIN) },
        Section { heading: "Level plot", lines: pairs(&PLOT) },
        Section { heading: "Power", lines: pairs(&POWER) },
    ]
}

const CHAIN: [(&str, &str); 13] = [
    ("Thick copper line", "A high-impedance run: lead and inputs take the treble away here"),
    ("Thin teal line", "A buffered run: leads do little harm"),
    ("Small rings in the line", "Jacks, where a lead is plugged in"),
    ("Ring in the alarm's colour", "A free jack: nothing is plugged in"),
    ("Ellipse around the line", "The screen of a long lead, at 0 V"),
    ("Faint box above the line", "A unit that is off: the signal goes past it"),
    ("Line up through a box", "A unit that is on"),
    ("Double ring under a name", "Its footswitch"),
    ("Triangle", "What amplifies: a buffer, an amp's input"),
    ("Resistor to 0 V", "What an input loads its source with"),
    ("Bracket", "A whole run, and what it amounts to"),
    ("T in a circle", "The test point; at rest in the corner of the sheet"),
    ("Plug, struck through", "A unit that gets no power"),
];

const PLOT: [(&str, &str); 4] = [
    ("Line", "What arrives as everything stands, one line a variant"),
    ("Hatched band", "What any state of the footswitches makes"),
    ("Dotted line", "What a change would give that is pointed at or typed"),
    ("E2, A2, D3 …", "The notes of the open strings"),
];

const POWER: [(&str, &str); 4] = [
    ("Rail", "An outlet, with what hangs on it"),
    ("Bar", "The load of an outlet beside its rating, with the mark of the headroom"),
    ("Broken line under boxes", "A 0 V that several units share"),
    ("Broad line", "The way of a ground loop that is shown"),
];
