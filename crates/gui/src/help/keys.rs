//! The key card: the keys of all commands, from the table by which they are matched, and
//! what a field and the mouse do besides.

use super::{Line, Section};
use crate::command::Command;

/// Keys and what they do.
pub fn sections() -> Vec<Section> {
    let commands = Command::ALL.into_iter().filter_map(|command| {
        let keys = command.keys();
        (!keys.is_empty()).then(|| Line::Pair(keys.join(" or "), command.name().to_owned()))
    });
    let pairs = |pairs: &[(&str, &str)]| pairs.iter().map(|(of, words)| pair(of, words)).collect();
    vec![
        Section { heading: "Commands", lines: commands.collect() },
        Section { heading: "Everywhere", lines: pairs(&EVERYWHERE) },
        Section { heading: "In the field of a number", lines: pairs(&FIELD) },
        Section { heading: "On the drawing, with the mouse", lines: pairs(&MOUSE) },
    ]
}

fn pair(of: &str, words: &str) -> Line {
    Line::Pair(of.to_owned(), words.to_owned())
}

const EVERYWHERE: [(&str, &str); 3] = [
    ("Tab, Shift+Tab", "To the next unit, button or field, or to the one before"),
    ("Enter, Space", "Presses the button that has the keyboard"),
    ("Escape", "Closes what is open; selects nothing"),
];

const FIELD: [(&str, &str); 4] = [
    ("Up, Down", "The next value up or down, through E24"),
    ("PageUp, PageDown", "Larger steps, through E6"),
    ("Enter", "Takes what is typed"),
    ("Escape", "Gives up what is typed"),
];

const MOUSE: [(&str, &str); 14] = [
    ("Click", "Selects a unit or a lead; on a plus inserts a part, on a ring steps on the switch"),
    ("Shift+click, Ctrl+click", "Selects one more, or leaves one out"),
    (
        "Double click",
        "On a unit shows its equivalent circuit, on its name renames it; on a run's words selects the run",
    ),
    ("Click a lead's words", "Types another length"),
    ("Drag a unit", "Moves its symbol; onto a lead, plugs it in there; onto another unit, they trade places"),
    ("Drag a plug or a free jack", "Plugs the lead in where it is let go"),
    ("Drag the test point", "Moves it to another lead"),
    ("Drag on empty paper", "Selects what lies in the band; with Shift moves the sheet"),
    ("Middle button, Space", "Held down, dragging moves the sheet"),
    ("Wheel", "Zooms where the pointer is"),
    ("Two fingers", "Move the sheet; a pinch zooms"),
    ("Alt while dragging", "Joins nothing: the symbol only stands there"),
    ("Drag in the overview", "Shows another part of a rig that is larger than the sheet"),
    ("Right click", "What can be done there"),
];
