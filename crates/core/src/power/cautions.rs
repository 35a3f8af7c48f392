//! What can hurt somebody in a rig, and what of a page of cautions it calls for.

use crate::rig::{Device, Kind, Mains, Power, Rig};

/// Something to be careful with, the most urgent first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caution {
    /// As it is drawn, something would be destroyed.
    Danger,
    /// Something is joined to the mains earth.
    Earth,
    /// A valve amp.
    Valves,
    /// Something on the mains has no earth.
    ClassTwo,
    /// An amp drives a speaker.
    Speaker,
    /// Something takes one country's mains only.
    Selector,
    /// Something on the mains may have a fuse.
    Fuse,
}

impl Caution {
    /// One sentence.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Danger => "Don't switch on as it is drawn: something would be destroyed, and it may get hot.",
            // [page, S: cautions]
            Self::Earth => "Never lift a mains earth to cure hum: it is what keeps strings and cases safe to touch.",
            // [page, S: cautions]
            Self::Valves => {
                "A valve amp holds several hundred volts long after it is unplugged: trained persons only, and never \
                 run it without its speaker."
            }
            // [common practice, no source]
            Self::ClassTwo => {
                "What has no earth in its mains plug (class II) can make strings tingle while it is sound, and a fault \
                 feels the same: only a test tells. Stop, and have it tested."
            }
            // [common practice, no source]
            Self::Speaker => {
                "Between amp and speaker goes a speaker lead, never an instrument lead, and the speaker's ohms have \
                 to match the amp's output."
            }
            // [common practice, no source]
            Self::Selector => {
                "On tour, set the mains selector to the country's voltage before the plug goes in; what has no \
                 selector takes its own country's mains only."
            }
            // [common practice, no source]
            Self::Fuse => {
                "Replace a fuse by one of the same type and rating only, with the unit unplugged; one that blows \
                 again is a technician's."
            }
        }
    }
}

impl Caution {
    /// The heading of the page under which the same is told at length; none of what only a rig calls for.
    #[must_use]
    pub fn heading(self) -> Option<&'static str> {
        match self {
            Self::Danger => None,
            Self::Earth => Some("The mains earth stays on"),
            Self::Valves => Some("Valve amps"),
            Self::ClassTwo => Some("If it tingles"),
            Self::Speaker => Some("Speakers"),
            Self::Selector | Self::Fuse => Some("Mains on tour"),
        }
    }
}

/// The page of cautions: heading, and what there is to say.
pub const CAUTIONS: [(&str, &[&str]); 9] = [
    (
        "Before anything else",
        &[
            "This program calculates; it can't see your wiring. The rules of your country, the venue's technician and a licensed electrician come first, always.",
        ],
    ),
    (
        "The mains earth stays on",
        &[
            "Never lift a mains earth to cure hum: no cut pin, no tape, no adapter without earth. When something fails inside an amp, that wire is what keeps its case, your strings and your microphone from killing you.",
            "Hum is cured on the signal's side: an outlet with a 0 V of its own, a transformer behind a buffer, or a lead whose screen is joined at one end only, between two powered units, where another 0 V path stays, and marked. Never on a guitar lead, a speaker lead or a mains lead.",
        ],
    ),
    (
        "If it tingles",
        &[
            "A tingle from strings or a microphone is a fault that can kill. Stop, let go, switch off at the wall, and have the supply tested before anybody touches it again.",
            "A supply without an earth pin (class II) can make things tingle while it is sound. A fault feels the same, and only a test tells the two apart: until it has been tested, it is a fault.",
            "Use a residual-current device (RCD) wherever you play; press its test button first.",
        ],
    ),
    (
        "Mains on tour",
        &[
            "Check the venue's supply: its voltage, and that its sockets have an earth. The mains selector of an amp or supply is set before the plug goes in; what has no selector takes the voltage on its label only.",
            "A fuse is replaced by one of the same type and rating, with the unit unplugged. One that blows again is a technician's work.",
        ],
    ),
    (
        "Valve amps",
        &[
            "A valve amp holds several hundred volts long after it is unplugged. Its inside is for trained persons only.",
            "Never run one without its speaker: its output transformer may not survive it.",
        ],
    ),
    (
        "Speakers",
        &[
            "A speaker lead is no instrument lead: the one is two stout wires without a screen, the other is thin inside, gets hot on an amp's output and fails. They look alike, so mark them.",
            "The speaker's ohms match the amp's output: set the amp's selector, or plug in at the jack that says so. Two speakers in parallel are half the ohms of one.",
        ],
    ),
    (
        "Before a plug goes in",
        &[
            "Check four things on both sides: volts, AC or DC, polarity (which pole is in the centre), milliamps. More volts, reversed polarity and AC into a DC unit destroy; a supply that could give more milliamps does no harm.",
            "Two outlets in series only if each has a 0 V of its own, and never past 60 V. In parallel only where the maker allows it.",
        ],
    ),
    (
        "Batteries",
        &[
            "Never bridge a battery's poles, and keep lithium packs from keys and wet. By air up to 100 Wh, in the hand luggage; ask the airline.",
        ],
    ),
    (
        "Ears",
        &[
            "Try sounds out quietly and turn up. Recommended limit: average 85 dB(A) over 8 h; every 3 dB more halve the time.",
        ],
    ),
];

/// Where it comes from.
pub const CAUTIONS_SOURCES: &str = "Sources: public pages on stage safety; IEC 62368-1 for 60 V DC (from memory); NIOSH's recommended limit for the ears; the rest is common practice, no source.";

/// Mains all over the world lies in this range. [memory, S: mains-world]
const WORLD: (f64, f64) = (100.0, 240.0);

/// What a rig calls for, the most urgent first; `danger` where its check found some.
#[must_use]
pub fn cautions(rig: &Rig, danger: bool) -> Vec<Caution> {
    let any = |calls: fn(&Device) -> bool| rig.devices.iter().any(calls);
    let called = |caution: &Caution| match caution {
        Caution::Danger => danger,
        Caution::Earth => any(|device| mains(device).is_some_and(|mains| mains.earthed)),
        Caution::Valves => any(|device| matches!(&device.kind, Kind::Amp(amp) if amp.grid.is_some())),
        Caution::ClassTwo => any(|device| mains(device).is_some_and(|mains| !mains.earthed)),
        Caution::Speaker => any(|device| matches!(device.kind, Kind::Amp(_))),
        Caution::Selector => {
            any(|device| mains(device).is_some_and(|mains| mains.least.get() > WORLD.0 || mains.most.get() < WORLD.1))
        }
        // What hangs on the wall socket itself is closed for good.
        Caution::Fuse => any(|device| mains(device).is_some_and(|mains| !mains.plug_top)),
    };
    use Caution::{ClassTwo, Danger, Earth, Fuse, Selector, Speaker, Valves};
    [Danger, Earth, Valves, ClassTwo, Speaker, Selector, Fuse].into_iter().filter(called).collect()
}

fn mains(device: &Device) -> Option<&Mains> {
    match &device.power {
        Power::Mains(mains) => Some(mains),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::file;
    use crate::units::{Turn, Volts, Watts};

    #[test]
    fn what_a_rig_calls_for_has_its_place_on_the_page() {
        use Caution::{ClassTwo, Danger, Earth, Fuse, Selector, Speaker, Valves};
        assert_eq!(Danger.heading(), None);
        for caution in [Earth, Valves, ClassTwo, Speaker, Selector, Fuse] {
            assert!(CAUTIONS.iter().any(|(heading, _)| Some(*heading) == caution.heading()), "{caution:?}");
        }
    }

    /// A valve amp on this mains.
    fn valves_on(least: f64, most: f64, earthed: bool, plug_top: bool) -> Device {
        let demo = file::demo().unwrap();
        let amp = |device: &&Device| matches!(&device.kind, Kind::Amp(amp) if amp.grid.is_some());
        let mut device = demo.variants[0].rig.devices.iter().find(amp).unwrap().clone();
        let (least, most) = (Volts::of(least), Volts::of(most));
        device.power =
            Power::Mains(Mains { least, most, earthed, plug_top, draw: Watts::of(50.0), power_factor: Turn::FULL });
        device
    }

    /// The same without valves.
    fn on(least: f64, most: f64, earthed: bool, plug_top: bool) -> Device {
        let mut device = valves_on(least, most, earthed, plug_top);
        if let Kind::Amp(amp) = &mut device.kind {
            amp.grid = None;
        }
        device
    }

    fn called(device: Device) -> Vec<Caution> {
        cautions(&Rig { devices: vec![device], ..Rig::default() }, false)
    }

    #[test]
    fn each_is_called_for_by_what_is_in_the_rig() {
        use Caution::*;
        assert_eq!(cautions(&Rig::default(), false), []);
        assert_eq!(cautions(&Rig::default(), true), [Danger]);
        assert_eq!(called(on(100.0, 240.0, true, false)), [Earth, Speaker, Fuse]);
        assert_eq!(called(on(100.0, 240.0, false, false)), [ClassTwo, Speaker, Fuse]);
        assert_eq!(called(on(100.0, 240.0, false, true)), [ClassTwo, Speaker]);
        assert_eq!(called(on(207.0, 253.0, true, false)), [Earth, Speaker, Selector, Fuse]);
        assert_eq!(called(on(100.0, 127.0, false, true)), [ClassTwo, Speaker, Selector]);
        assert_eq!(called(valves_on(100.0, 240.0, true, false)), [Earth, Valves, Speaker, Fuse]);
    }

    #[test]
    fn none_suggests_lifting_an_earth() {
        use Caution::*;
        for caution in [Danger, Earth, Valves, ClassTwo, Speaker, Selector, Fuse] {
            let words = caution.words().to_lowercase();
            assert_eq!(words.matches("lift").count(), words.matches("never lift").count(), "{words}");
        }
    }
}
