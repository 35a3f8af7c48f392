//! The page of cautions, and the sentences of it that stand on a screen itself
//! where a rig calls for them.

use egui::{Context, Id, Label, Modal, RichText, ScrollArea, Ui};
use rigwright_core::diagnosis::Warning;
use rigwright_core::power::{CAUTIONS, CAUTIONS_SOURCES, Caution, cautions};
use rigwright_core::rig::Rig;

use crate::state::PowerAnswer;
use crate::theme::{self, Tokens, text};
use crate::widgets::panel;

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
            let (first, rest) = CAUTIONS.split_at(1);
            first.iter().for_each(|(heading, sentences)| section(ui, heading, sentences));
            // What has no place of its own on the page; nothing is said twice.
            let own: Vec<&str> =
                called.iter().filter(|caution| caution.heading().is_none()).map(|caution| caution.words()).collect();
            if !own.is_empty() {
                section(ui, "As it is drawn", &own);
            }
            let is_called = |heading: &str| called.iter().any(|caution| caution.heading() == Some(heading));
            for wanted in [true, false] {
                for (heading, sentences) in rest.iter().filter(|(heading, _)| is_called(heading) == wanted) {
                    let heading =
                        if wanted { format!("{heading} (this rig calls for it)") } else { (*heading).to_owned() };
                    section(ui, &heading, sentences);
                }
            }
            ui.add_space(6.0);
            panel::quiet(ui, CAUTIONS_SOURCES);
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

/// So many stand on the screen itself; the rest is on the page. In a small window there is
/// room for the most urgent one.
#[must_use]
pub fn in_strip(ctx: &Context) -> usize {
    let window = ctx.content_rect();
    if window.width() < 900.0 || window.height() < 620.0 { 1 } else { 3 }
}

/// Whether one stands on the screen itself, so that nothing else there says it again.
#[must_use]
pub fn is_in_strip(ctx: &Context, called: &[Caution], caution: Caution) -> bool {
    called.iter().take(in_strip(ctx)).any(|other| *other == caution)
}

/// The most urgent, one under the other.
pub fn strip(ui: &mut Ui, called: &[Caution]) {
    let tokens = Tokens::of(ui);
    for caution in called.iter().take(in_strip(ui.ctx())) {
        let loud = *caution == Caution::Danger;
        let ink = if loud { tokens.alarm } else { tokens.copper };
        let words = RichText::new(caution.words()).font(text::small()).color(ink);
        let words = if loud { words.family(theme::semibold()) } else { words };
        ui.add(Label::new(words).wrap());
    }
}
