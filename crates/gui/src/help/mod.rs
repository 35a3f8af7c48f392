//! Help: short pages of words, on the screen and printed. Nothing in here draws.

mod keys;
mod legend;
mod marks;

pub use legend::Sign;
pub use marks::Mark;
use rigwright_core::terms::TERMS;
use rigwright_core::words::capital;

/// What there is a page about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Topic {
    /// How a rig is drawn.
    Drawing,
    /// How numbers are typed.
    Numbers,
    /// All keys.
    Keys,
    /// What the drawing's signs mean.
    Legend,
    /// The field's words.
    Terms,
}

/// A page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Page {
    /// What it is called.
    pub title: &'static str,
    /// What it says.
    pub sections: Vec<Section>,
}

/// A stretch of a page under a heading of its own, which may be empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// The heading.
    pub heading: &'static str,
    /// Line after line.
    pub lines: Vec<Line>,
}

/// A line of a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Line {
    /// A sentence or two.
    Sentence(&'static str),
    /// Something, and what belongs to it: a key, a term.
    Pair(String, String),
    /// A sign to be drawn, what it looks like, and what it means.
    Sign(Sign, String, String),
}

impl Topic {
    /// All of them, as a list has them.
    pub const ALL: [Self; 5] = [Self::Drawing, Self::Numbers, Self::Keys, Self::Legend, Self::Terms];

    /// What the page is called.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::Drawing => "How to draw a rig",
            Self::Numbers => "How to type numbers",
            Self::Keys => "Keys and the mouse",
            Self::Legend => "Signs on the drawing",
            Self::Terms => "Terms",
        }
    }

    /// What else it may be looked for by.
    #[must_use]
    pub fn also(self) -> &'static str {
        match self {
            Self::Drawing => "begin start insert add pedal lead plug unplug variant undo test point compare",
            Self::Numbers => "units ohm farad metre feet inches comma thousands step E24 default",
            Self::Keys => "keyboard shortcut key card wheel drag click",
            Self::Legend => "symbols legend colours lines rings brackets marks effects",
            Self::Terms => "words glossary meaning",
        }
    }

    /// The page.
    #[must_use]
    pub fn page(self) -> Page {
        let sections = match self {
            Self::Drawing => vec![plain(&DRAWING)],
            Self::Numbers => vec![plain(&NUMBERS)],
            Self::Keys => keys::sections(),
            Self::Legend => legend::sections(),
            Self::Terms => {
                let line = |term: &rigwright_core::terms::Term| {
                    Line::Pair(capital(term.name), format!("{} {}", term.what, term.so))
                };
                vec![Section { heading: "", lines: TERMS.iter().map(line).collect() }]
            }
        };
        Page { title: self.title(), sections }
    }
}

fn plain(sentences: &[&'static str]) -> Section {
    Section { heading: "", lines: sentences.iter().map(|sentence| Line::Sentence(sentence)).collect() }
}

const DRAWING: [&str; 9] = [
    "Every lead has a plus in its middle: it opens the catalogue, and the part that you choose is plugged in there. \
     The long lead stays with the guitar or the amp, a short one joins the units on the floor.",
    "Click a unit or a lead, and its numbers stand in the panel at the side. Each can be changed, and says where it \
     comes from.",
    "The ring under a unit is its footswitch: a click steps on it.",
    "Drag a unit onto another lead to move it there. Drag from a free jack to another one to plug a lead in.",
    "With Shift a click selects one more; dragging on empty paper selects all that lies in the band. What is selected \
     is copied as text, and put into another rig, another window or a file.",
    "Take a unit out with Delete: the gap closes. Nothing is lost, since every step can be undone.",
    "A variant is a copy of the rig in which you try something else; the plot shows the curves of both.",
    "A test point on a lead shows the level there, so that you see where on the way the treble is lost.",
    "The findings say what to act on, with a number and a button that mends it. Point at the button, and the plot \
     shows what it would do.",
];

const NUMBERS: [&str; 6] = [
    "Type a number as you would write it on a label: 4k7, 4.7k and 4700 are the same resistance, 22n and 0.022u the \
     same capacitance. The unit may be left out.",
    "Lengths are metres unless you say otherwise: 6, 15 cm, 20 ft, 5'6\", 1 m 20.",
    "A comma is a decimal point, as in 1,5. Where it could part thousands as well, as in 1,500, nothing is taken \
     until you have chosen one of both readings.",
    "While you type, the plot shows the curve that the number would give, and below the field stands what becomes of \
     the peak. Enter takes the number, Escape leaves everything as it was.",
    "The arrow keys step through the values that parts come in (E24), Page Up and Page Down in larger steps (E6). \
     Lengths, levels and the like are stepped evenly.",
    "The round arrow beside a field sets the number back to what the catalogue has. Its tooltip says where that \
     comes from.",
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::command::Command;

    /// A page as one text.
    fn text(topic: Topic) -> String {
        let page = topic.page();
        let line = |line: &Line| match line {
            Line::Sentence(sentence) => (*sentence).to_owned(),
            Line::Pair(of, words) | Line::Sign(_, of, words) => format!("{of}: {words}"),
        };
        let lines = page.sections.iter().flat_map(|section| &section.lines);
        lines.map(line).collect::<Vec<_>>().join("\n")
    }

    #[test]
    fn every_page_says_something() {
        for topic in Topic::ALL {
            assert!(text(topic).len() > 400, "{topic:?}");
            assert_eq!(topic.page().title, topic.title());
        }
    }

    #[test]
    fn the_card_has_every_key_of_every_command() {
        let page = Topic::Keys.page();
        let pairs: Vec<&Line> = page.sections.iter().flat_map(|section| &section.lines).collect();
        for command in Command::ALL {
            let keys = command.keys();
            let line = Line::Pair(keys.join(" or "), command.name().to_owned());
            assert_eq!(pairs.contains(&&line), !keys.is_empty(), "{command:?}");
        }
    }

    #[test]
    fn every_term_is_on_its_page() {
        let text = text(Topic::Terms);
        for term in TERMS {
            assert!(text.contains(&format!("{}: {}", capital(term.name), term.what)), "{}", term.name);
        }
    }
}
