//! A page of help, in place of the list.

use egui::{Grid, Label, RichText, ScrollArea, Ui};
use rigwright_core::terms::Term;
use rigwright_core::words::capital;

use crate::help::{Line, Section, Topic};
use crate::theme::{self, Tokens, text};
use crate::views::signs;

/// Shows a page, from a term on if one was looked for; true if the list is wanted back.
/// `fresh` in its first frame.
pub fn ui(ui: &mut Ui, topic: Topic, term: Option<&Term>, fresh: bool) -> bool {
    let page = topic.page();
    ui.label(RichText::new(page.title).font(text::title()));
    let height = (ui.ctx().content_rect().height() - 190.0).clamp(100.0, 480.0);
    let area = ScrollArea::vertical().id_salt(page.title).max_height(height).min_scrolled_height(height);
    area.auto_shrink([false, true]).show(ui, |ui| {
        for section in &page.sections {
            match topic {
                Topic::Terms => terms(ui, section, term, fresh),
                _ => self::section(ui, section),
            }
        }
    });
    ui.add_space(6.0);
    let button = ui.button("Back to the list");
    if fresh {
        button.request_focus();
    }
    button.clicked()
}

/// A section of a page: its heading, its signs, its pairs, its sentences.
pub fn section(ui: &mut Ui, section: &Section) {
    if !section.heading.is_empty() {
        ui.add_space(6.0);
        ui.label(RichText::new(section.heading).font(text::heading()).color(Tokens::of(ui).copper));
    }
    signs(ui, section);
    Grid::new(section.heading).num_columns(2).spacing([14.0, 3.0]).min_row_height(0.0).show(ui, |ui| {
        for line in &section.lines {
            if let Line::Pair(of, words) = line {
                ui.label(RichText::new(of).family(theme::medium()));
                ui.add(Label::new(words).wrap());
                ui.end_row();
            }
        }
    });
    for line in &section.lines {
        if let Line::Sentence(sentence) = line {
            ui.add_space(3.0);
            ui.add(Label::new(*sentence).wrap());
        }
    }
}

/// Each sign, drawn, beside what it looks like and what it means.
fn signs(ui: &mut Ui, section: &Section) {
    for line in &section.lines {
        let Line::Sign(sign, looks, words) = line else { continue };
        ui.horizontal(|ui| {
            signs::show(ui, *sign, looks);
            ui.vertical(|ui| {
                ui.label(RichText::new(looks).family(theme::medium()));
                ui.add(Label::new(words).wrap());
            });
        });
    }
}

/// Each term over its two sentences; the one that was looked for is brought into sight.
fn terms(ui: &mut Ui, section: &Section, wanted: Option<&Term>, fresh: bool) {
    for line in &section.lines {
        let Line::Pair(name, words) = line else { continue };
        let tokens = Tokens::of(ui);
        ui.add_space(5.0);
        let is_wanted = wanted.is_some_and(|term| capital(term.name) == *name);
        let ink = if is_wanted { tokens.copper } else { tokens.ink };
        let heading = ui.label(RichText::new(name).family(theme::semibold()).color(ink));
        ui.add(Label::new(words).wrap());
        // Once, so that the page can be read on.
        if is_wanted && fresh {
            heading.scroll_to_me(Some(egui::Align::Min));
        }
    }
}
