//! The page of cautions, and the sentences of it that stand on a screen itself
//! where a rig calls for them.

use egui::{Id, Label, Modal, RichText, ScrollArea, Ui};
use rigwright_core::power::Severity;
use rigwright_core::rig::{Kind, Power, Rig};

use crate::state::PowerAnswer;
use crate::theme::{self, Tokens, text};
use crate::widgets::panel;

/// Heading, and what there is to say.
const PAGE: [(&str, &[&str]); 7] = [
    (
        "Before anything else",
        &[
            "This program reckons; it can't see your wiring. The rules of your country, your house's technician and a licensed electrician come first, always.",
        ],
    ),
    (
        "The mains earth stays on",
        &[
            "Never lift a mains earth to cure hum: no cut pin, no tape, no adapter without earth. When something fails inside an amp, that wire is what keeps its case, your strings and your microphone from killing you.",
            "Hum is cured on the signal's side: an outlet with a 0 V of its own, a transformer behind a buffer, or a lead whose screen is joined at one end only, between two powered units, where another way of 0 V stays, and marked. Never on a guitar lead, a speaker lead or a mains lead.",
        ],
    ),
    (
        "If it tingles",
        &[
            "A tingle from strings or a microphone is a fault that can kill. Stop, let go, switch off at the wall, and have the supply tested before anybody touches it again.",
            "Use a residual-current device (RCD) wherever you play; test its button.",
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
        "Before a plug goes in",
        &[
            "Check four things on both sides: volts, AC or DC, which pole is in the centre, milliamps. More volts, swapped poles and AC into a DC unit destroy; a supply that could give more milliamps does no harm.",
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
        &["Try sounds out quietly and turn up. 85 dB(A) are borne for 8 hours, and every 3 dB more halve that time."],
    ),
];

/// Where it comes from.
const SOURCES: &str = "Sources: public pages on stage safety; IEC 62368-1 for 60 V DC (from memory); NIOSH's recommended limit for the ears; the rest is common practice, no source.";

/// The page, over everything; false when it is put away.
pub fn ui(ui: &Ui) -> bool {
    let tokens = Tokens::of(ui);
    let mut open = true;
    let modal = Modal::new(Id::unique("cautions")).frame(panel::modal(ui)).show(ui.ctx(), |ui| {
        ui.set_width(560.0_f32.min(ui.ctx().content_rect().width() - 60.0));
        ui.label(RichText::new("Cautions").font(text::title()));
        let height = (ui.ctx().content_rect().height() - 180.0).clamp(120.0, 620.0);
        // Of that height from the first frame on: else the page would grow under the pointer.
        let area = ScrollArea::vertical().max_height(height).min_scrolled_height(height).auto_shrink([false, true]);
        area.show(ui, |ui| {
            for (heading, sentences) in PAGE {
                ui.add_space(6.0);
                ui.label(RichText::new(heading).font(text::heading()).color(tokens.copper));
                for sentence in sentences {
                    ui.add(Label::new(*sentence).wrap());
                }
            }
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

/// What a rig calls for, the most urgent first: to stand on the screen itself.
#[must_use]
pub fn urgent(rig: &Rig, answer: Option<&PowerAnswer>) -> Vec<String> {
    let mut found = Vec::new();
    let danger = answer.into_iter().flat_map(|answer| &answer.told);
    let mut danger = danger.filter(|told| told.problem.severity == Severity::Danger && !told.problem.what.is_abroad());
    if danger.next().is_some() {
        found.push("Don't switch on as it is drawn: something would be destroyed, and it may get hot.".to_owned());
    }
    let earthed = |power: &Power| matches!(power, Power::Mains(mains) if mains.earthed);
    if rig.devices.iter().any(|device| earthed(&device.power)) {
        found
            .push("Never lift a mains earth to cure hum: it is what keeps strings and cases safe to touch.".to_owned());
    }
    if rig.devices.iter().any(|device| matches!(&device.kind, Kind::Amp(amp) if amp.grid.is_some())) {
        found.push(
            "A valve amp holds several hundred volts long after it is unplugged: trained persons only, and never run it without its speaker."
                .to_owned(),
        );
    }
    found
}

/// Those sentences, one under the other; the first is the loudest.
pub fn strip(ui: &mut Ui, sentences: &[String], danger: bool) {
    let tokens = Tokens::of(ui);
    for (at, sentence) in sentences.iter().enumerate() {
        let loud = at == 0 && danger;
        let ink = if loud { tokens.alarm } else { tokens.copper };
        let words = RichText::new(sentence).font(text::small()).color(ink);
        let words = if loud { words.family(theme::semibold()) } else { words };
        ui.add(Label::new(words).wrap());
    }
}
