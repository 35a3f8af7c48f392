//! The legend: what the signs of the drawing mean. What a sign looks like is drawn by whoever
//! shows the page; here it is only named.

use rigwright_core::words::capital;

use super::{Line, Mark, Section};

/// A sign that a page of help shows, to be drawn as the screens draw it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// The line of a high-impedance run.
    HighImpedance,
    /// The line of a buffered run.
    Buffered,
    /// Where a lead is plugged in.
    Jack,
    /// Where none is.
    FreeJack,
    /// The screen of a long lead.
    Screen,
    /// A pedal that is off.
    Off,
    /// A pedal that is on.
    On,
    /// What a foot steps on.
    Footswitch,
    /// What an input loads its source with.
    Load,
    /// What spans a run.
    Bracket,
    /// The test point.
    TestPoint,
    /// A unit without a feed.
    NoFeed,
    /// The symbol of a device, made from the part of the catalogue with this key.
    Device(&'static str),
    /// The mark in a box.
    Mark(Mark),
    /// A curve of the plot.
    Curve,
    /// The band of all states.
    Band,
    /// The curve of what would be.
    Ghost,
    /// The strings' notes.
    Notes,
    /// An outlet's rail.
    Rail,
    /// An outlet's load.
    LoadBar,
    /// A 0 V that is shared.
    SharedReturn,
    /// The way of a ground loop.
    LoopWay,
}

impl Sign {
    /// Whether it is one of the Power screen's.
    #[must_use]
    pub fn is_of_power(self) -> bool {
        matches!(self, Self::Rail | Self::LoadBar | Self::SharedReturn | Self::LoopWay)
    }

    /// Whether it is one of the level plot's.
    #[must_use]
    pub fn is_of_plot(self) -> bool {
        matches!(self, Self::Curve | Self::Band | Self::Ghost | Self::Notes)
    }
}

/// Signs and what they mean.
pub fn sections() -> Vec<Section> {
    let signs = |signs: &[(Sign, &str, &str)]| {
        signs.iter().map(|(sign, of, words)| Line::Sign(*sign, (*of).to_owned(), (*words).to_owned())).collect()
    };
    let marks = Mark::all().map(|mark| {
        let words = format!("{}: {}", capital(mark.name()), mark.what());
        Line::Sign(Sign::Mark(mark), mark.looks().to_owned(), words)
    });
    vec![
        Section { heading: "Chain", lines: signs(&CHAIN) },
        Section { heading: "Devices", lines: signs(&DEVICES) },
        Section { heading: "Marks in the boxes of pedals", lines: marks.collect() },
        Section { heading: "Level plot", lines: signs(&PLOT) },
        Section { heading: "Power", lines: signs(&POWER) },
    ]
}

const CHAIN: [(Sign, &str, &str); 12] = [
    (Sign::HighImpedance, "Thick copper line", "A high-impedance run: lead and inputs take the treble away here"),
    (Sign::Buffered, "Thin teal line", "A buffered run: leads do little harm"),
    (Sign::Jack, "Small rings in the line", "Jacks, where a lead is plugged in"),
    (Sign::FreeJack, "Ring in the alarm's colour", "A free jack: nothing is plugged in"),
    (Sign::Screen, "Ellipse around the line", "The screen of a long lead, at 0 V"),
    (Sign::Off, "Faint box above the line", "A unit that is off: the signal goes past it"),
    (Sign::On, "Line up through a box", "A unit that is on"),
    (Sign::Footswitch, "Double ring under a name", "Its footswitch"),
    (Sign::Load, "Resistor to 0 V", "What an input loads its source with"),
    (Sign::Bracket, "Bracket", "A whole run, and what it amounts to"),
    (Sign::TestPoint, "T in a circle", "The test point; at rest in the corner of the sheet"),
    (Sign::NoFeed, "Plug, struck through", "A unit that gets no power"),
];

const DEVICES: [(Sign, &str, &str); 17] = [
    (
        Sign::Device("single-coil-guitar"),
        "Source, coil and pot",
        "A guitar or a bass: its pickup, and its volume control as it stands",
    ),
    (Sign::Device("active-bass"), "Source and triangle", "An instrument with electronics of its own"),
    (Sign::Device("buffer"), "Triangle", "What amplifies: a buffer, an amp's input"),
    (Sign::Device("volume-treadle-250k"), "Pot in the line", "A passive volume pedal, as the foot holds it"),
    (Sign::Device("buffered-volume-treadle"), "Triangle with an arrow", "A buffered volume pedal"),
    (Sign::Device("tuner-tap"), "Ring with an arrow", "A tuner on a tap: it only listens"),
    (Sign::Device("passive-splitter"), "Line that parts", "A passive splitter: each side loads the other"),
    (Sign::Device("buffered-splitter"), "Triangle, then a line that parts", "A buffered splitter"),
    (Sign::Device("mixer-2"), "Plus in a ring", "A mixer: two inputs add up"),
    (Sign::Device("passive-mixer-2"), "Two resistors that meet", "A passive mixer: each input loads the other"),
    (Sign::Device("loop-switcher-4"), "Rail with contacts", "A loop switcher: each loop is in the way or out of it"),
    (Sign::Device("digital-wireless"), "Two aerials", "A wireless set"),
    (Sign::Device("active-di"), "Triangle that hangs on the line", "An active DI box"),
    (Sign::Device("transformer-di"), "Coils that hang on the line", "A transformer DI box"),
    (
        Sign::Device("line-transformer"),
        "Coils in the line",
        "An isolating transformer: the signal goes on, the 0\u{a0}V doesn't",
    ),
    (Sign::Device("interface-hi-z"), "Square with a diagonal", "A recording interface"),
    (Sign::Device("valve-amp"), "Resistor to 0 V, then a triangle", "An amp"),
];

const PLOT: [(Sign, &str, &str); 4] = [
    (Sign::Curve, "Line", "What arrives as everything stands, one line a variant"),
    (Sign::Band, "Hatched band", "What any state of the footswitches makes"),
    (Sign::Ghost, "Dotted line", "What a change would give that is pointed at or typed"),
    (Sign::Notes, "E2, A2, D3 …", "The notes of the open strings"),
];

const POWER: [(Sign, &str, &str); 4] = [
    (Sign::Rail, "Rail", "An outlet, with what hangs on it"),
    (Sign::LoadBar, "Bar", "The load of an outlet beside its rating, with the mark of the headroom"),
    (Sign::SharedReturn, "Broken line under boxes", "A 0 V that several units share"),
    (Sign::LoopWay, "Broad line", "The way of a ground loop that is shown"),
];
