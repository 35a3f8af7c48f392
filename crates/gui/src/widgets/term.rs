//! Words that explain themselves: the field's terms in a text, each underlined; what a term
//! means comes up under the pointer, and with the keyboard on it.
//!
//! A term is explained to keyboard and screen reader once a frame, where it stands first: a
//! list of sentences would else be a list of stops.

use egui::{FontId, Id, Label, Rect, Response, RichText, Role, Sense, Shape, Stroke, Ui, WidgetInfo, pos2};
use rigwright_core::terms::{TERMS, Term, said_in};

use super::term_picture;
use crate::theme::{Tokens, text};

/// As wide as the explanation is, in points.
const WIDTH: f32 = 300.0;

/// A text in a font and ink, that wraps, and its terms; the text's own response.
pub fn sentence(ui: &mut Ui, words: &str, font: FontId, ink: egui::Color32, sense: Option<Sense>) -> Explained {
    let width = ui.available_width();
    let label = Label::new(RichText::new(words).font(font.clone()).color(ink)).wrap();
    let response = ui.add(match sense {
        Some(sense) => label.sense(sense),
        None => label,
    });
    let mut on_a_term = false;
    let said = if ui.is_rect_visible(response.rect) { said_in(words) } else { Vec::new() };
    if !said.is_empty() {
        let galley = ui.painter().layout(words.to_owned(), font, ink, width);
        for (place, term) in said {
            let [from, to] = [place.start, place.end].map(|at| words[..at].chars().count());
            for (part, rect) in lines(&galley, from, to).into_iter().enumerate() {
                let rect = rect.translate(response.rect.min.to_vec2());
                underline(ui, rect);
                on_a_term |= zone(ui, rect, response.id.with((term.name, part)), term).contains_pointer();
            }
        }
    }
    if on_a_term && response.is_tooltip_open() {
        // What the sentence itself says makes room.
        ui.request_repaint();
    }
    Explained { response, on_a_term }
}

/// A text on the screen.
pub struct Explained {
    /// The whole text's.
    pub response: Response,
    /// Whether the pointer is on one of its terms, so that nothing else comes up.
    pub on_a_term: bool,
}

/// Second-rank text that wraps, and its terms.
pub fn quiet(ui: &mut Ui, words: &str) {
    sentence(ui, words, text::small(), Tokens::of(ui).quiet, None);
}

/// A place in which words stand that are painted already, and one term of which they speak.
pub fn zone(ui: &Ui, rect: Rect, id: Id, term: &'static Term) -> Response {
    let first = is_first(ui, term);
    let hit = ui.interact(rect, id, if first { Sense::focusable_noninteractive() } else { Sense::hover() });
    if first {
        hit.widget_info(|| WidgetInfo::labeled(Role::Term, true, named(term)));
        ui.ctx().accesskit_node_builder(hit.id, |node| node.set_description(format!("{} {}", term.what, term.so)));
    }
    if hit.has_focus() {
        let stroke = Stroke::new(1.0, Tokens::of(ui).teal);
        ui.painter().rect_stroke(rect.expand(2.0), 3.0, stroke, egui::StrokeKind::Outside);
        hit.show_tooltip_ui(|ui| card(ui, term));
        return hit;
    }
    hit.on_hover_ui(|ui| card(ui, term))
}

/// By which a screen reader and a test find it.
fn named(term: &Term) -> String {
    format!("What “{}” means", term.name)
}

/// The explanation: the word, two sentences, a picture where one helps.
fn card(ui: &mut Ui, term: &Term) {
    ui.set_max_width(WIDTH);
    let tokens = Tokens::of(ui);
    ui.label(RichText::new(term.name).font(text::heading()).color(tokens.copper));
    ui.add(Label::new(term.what).wrap());
    ui.add(Label::new(term.so).wrap());
    term_picture::show(ui, term);
}

/// A dotted line under a term.
fn underline(ui: &Ui, rect: Rect) {
    let ends = [pos2(rect.left() + 1.0, rect.bottom() - 0.5), pos2(rect.right(), rect.bottom() - 0.5)];
    ui.painter().extend(Shape::dotted_line(&ends, Tokens::of(ui).quiet, 3.0, 0.6));
}

/// Where the letters from one to another stand, a rectangle a line.
fn lines(galley: &egui::Galley, from: usize, to: usize) -> Vec<Rect> {
    let (mut found, mut at) = (Vec::new(), 0);
    for row in &galley.rows {
        let glyphs = row.glyphs.iter().enumerate();
        let own = glyphs.filter(|(i, _)| (from..to).contains(&(at + i)));
        let place = own.fold(Rect::NOTHING, |all, (_, glyph)| all.union(glyph.logical_rect()));
        if place.is_positive() {
            found.push(place.translate(row.pos.to_vec2()));
        }
        at += row.char_count_including_newline().0;
    }
    found
}

/// The terms that were explained in a frame by now.
#[derive(Debug, Clone, Default)]
struct Told {
    pass: u64,
    names: Vec<&'static str>,
}

/// Whether a term comes up for the first time in this frame.
fn is_first(ui: &Ui, term: &Term) -> bool {
    let pass = ui.ctx().cumulative_pass_nr();
    let Some(name) = TERMS.iter().map(|one| one.name).find(|name| *name == term.name) else { return false };
    ui.data_mut(|data| {
        let told: &mut Told = data.get_temp_mut_or_default(Id::unique("terms that are explained"));
        if told.pass != pass {
            *told = Told { pass, names: Vec::new() };
        }
        let first = !told.names.contains(&name);
        if first {
            told.names.push(name);
        }
        first
    })
}

#[cfg(test)]
mod tests {
    use egui::Pos2;

    use super::*;

    /// Words that stand on two lines have two places, and the letters between are left out.
    #[test]
    fn a_term_that_is_broken_has_a_place_on_each_line() {
        let mut found = Vec::new();
        let ctx = egui::Context::default();
        crate::theme::install(&ctx);
        let mut output = ctx.run_ui(Default::default(), |ui| {
            let words = "lead equivalent";
            let font = text::body();
            let whole = ui.painter().layout(words.to_owned(), font.clone(), Tokens::of(ui).ink, f32::INFINITY);
            let broken = ui.painter().layout(words.to_owned(), font, Tokens::of(ui).ink, 0.8 * whole.size().x);
            found = vec![lines(&whole, 0, 15), lines(&broken, 0, 15), lines(&whole, 5, 15)];
        });
        // Nobody paints it: the letters' picture isn't wanted.
        output.textures_delta.clear();
        let [whole, broken, second] = found.try_into().unwrap();
        assert_eq!((whole.len(), broken.len(), second.len()), (1, 2, 1));
        assert!(broken[0].bottom() <= broken[1].top() + 1.0 && broken[1].left() < 1.0);
        assert!(second[0].left() > 10.0 && (second[0].right() - whole[0].right()).abs() < 0.1);
        assert!(whole[0].min.distance(Pos2::ZERO) < 8.0);
    }
}
