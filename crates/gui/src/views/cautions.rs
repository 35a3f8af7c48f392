//! The page of cautions, and the sentences of it that stand on a screen itself
//! where a rig calls for them.

use egui::{Id, Label, Modal, RichText, ScrollArea, Ui};
use rigwright_core::diagnosis::Warning;
use rigwright_core::power::{Caution, cautions};
use rigwright_core::rig::Rig;

use crate::state::PowerAnswer;
use crate::theme::{self, Tokens, text};
use crate::widgets::panel;

/// Heading, and what there is to say.
const PAGE: [(&str, &[&str]); 9] = [
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
const SOURCES: &str = "Sources: public pages on stage safety; IEC 62368-1 for 60 V DC (from memory); NIOSH's recommended limit for the ears; the rest is common practice, no source.";

/// The page, over everything; false when it is put away.
pub fn ui(ui: &Ui, called: &[Caution]) -> bool {
    let tokens = Tokens::of(ui);
    let mut open = true;
    let modal = Modal::new(Id::unique("cautions")).frame(panel::modal(ui)).show(ui.ctx(), |ui| {
        ui.set_width(560.0_f32.min(ui.ctx().content_rect().width() - 60.0));
        ui.label(RichText::new("Cautions").font(text::title()));
        let height = (ui.ctx().content_rect().height() - 180.0).clamp(120.0, 620.0);
        // Of that height from the first frame on: else the page would grow under the pointer.
        let area = ScrollArea::vertical().max_height(height).min_scrolled_height(height).auto_shrink([false, true]);
        area.show(ui, |ui| {
            let section = |ui: &mut Ui, heading: &str, sentences: &[&str]| {
                ui.add_space(6.0);
                ui.label(RichText::new(heading).font(text::heading()).color(tokens.copper));
                for sentence in sentences {
                    ui.add(Label::new(*sentence).wrap());
                }
            };
            let (first, rest) = PAGE.split_at(1);
            first.iter().for_each(|(heading, sentences)| section(ui, heading, sentences));
            let called: Vec<&str> = called.iter().map(|caution| caution.words()).collect();
            if !called.is_empty() {
                section(ui, "What this rig calls for", &called);
            }
            rest.iter().for_each(|(heading, sentences)| section(ui, heading, sentences));
            ui.add_space(6.0);
            panel::quiet(ui, SOURCES);
        });
        ui.add_space(6.0);
        let button = ui.button("Back to the rig");
        if ui.memory(|memory| memory.focused().is_none()) {
            button.request_focus();
        }
        open = !button.clicked();
    });
    open && !modal.should_close()
}

/// What a rig calls for, the most urgent first.
#[must_use]
pub fn called_for(rig: &Rig, answer: Option<&PowerAnswer>) -> Vec<Caution> {
    let mut told = answer.into_iter().flat_map(|answer| &answer.told.problems);
    // What would be wrong in another country isn't yet.
    cautions(rig, told.any(|told| told.warning == Some(Warning::SwitchOn)))
}

/// So many stand on the screen itself; the rest is on the page.
pub const IN_STRIP: usize = 3;

/// The most urgent, one under the other.
pub fn strip(ui: &mut Ui, called: &[Caution]) {
    let tokens = Tokens::of(ui);
    for caution in called.iter().take(IN_STRIP) {
        let loud = *caution == Caution::Danger;
        let ink = if loud { tokens.alarm } else { tokens.copper };
        let words = RichText::new(caution.words()).font(text::small()).color(ink);
        let words = if loud { words.family(theme::semibold()) } else { words };
        ui.add(Label::new(words).wrap());
    }
}
