//! The level plot: a curve and a band a variant, as levels or as differences
//! from a base, with peaks, strings' notes and a readout under the pointer.

mod axes;
mod band_edge;
pub mod compared;
mod curves;
mod hatch;
mod header;
mod label_places;
mod labels;
mod other_ends;
mod picture;
mod readout;
pub mod signs;
mod sound_lines;
mod string_comb;
pub mod style;

use egui::{Role, Ui, WidgetInfo};
use egui_plot::{LineStyle, PlotBounds, VLine};
use rigwright_core::terms::explained;

use self::curves::{Shown, VerticalAxis};
use self::picture::{Picture, PictureInputs};
use self::readout::Readout;
use self::style::{STYLES, style};
use crate::state::open_strings;
use crate::theme::{Tokens, text};
use crate::views::{Facts, Intent, Pointed};
use crate::widgets::term;

/// The axis runs a little past the audio band, so that its ends can be labelled.
const LOW_HZ: f64 = 18.5;
const HIGH_HZ: f64 = 24_000.0;

/// The plot's own state; no part of the project.
#[derive(Debug, Default)]
pub struct LevelPlot {
    picture: Picture,
}

impl LevelPlot {
    /// A plot whose bands and curves are strokes, as a picture needs them.
    pub fn in_strokes() -> Self {
        Self { picture: Picture::in_strokes() }
    }

    /// Heading, legend and plot in all the room there is.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        header::ui(ui, facts, out);
        self.plot(ui, facts, out);
    }

    /// The same with nothing for a hand to work.
    pub fn picture(&mut self, ui: &mut Ui, facts: &Facts<'_>) {
        header::picture(ui, facts);
        self.plot(ui, facts, &mut Vec::new());
    }

    fn plot(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let difference = facts.inputs.is_difference();
        let tokens = Tokens::of(ui);
        let shown = shown(facts, tokens);
        let base = compared::base(facts);
        let axis = match difference {
            false => VerticalAxis::Level,
            true => VerticalAxis::Difference { base: base.answer, name: base.name },
        };
        let (bottom, top) = axis.range(&shown);
        let notes = open_strings(&facts.variant.rig);
        let plot = axes::plot(tokens, ui.available_size()).show(ui, |plot| {
            plot.set_plot_bounds(PlotBounds::from_min_max([LOW_HZ.log10(), bottom], [HIGH_HZ.log10(), top]));
            for (hz, name) in notes {
                let line = VLine::new(*name, hz.log10()).color(tokens.grid).width(1.0);
                plot.vline(line.style(LineStyle::dotted_dense()).allow_hover(false));
            }
        });
        let words = axis.summary(&shown);
        plot.response.widget_info(move || WidgetInfo::labeled(Role::Image, true, &words));
        let transform = &plot.transform;
        let painter = ui.painter().with_clip_rect(*transform.frame());
        let (mut taken, mut written) = (Vec::new(), Vec::new());
        if difference {
            taken.push(labels::zero(&painter, transform, base.name, tokens));
        }
        let ghost = facts.ghost.and_then(|ghost| {
            let answer = facts.inputs.answer(facts.project, &ghost.response)?;
            Some((ghost.words.as_str(), answer))
        });
        let endpoint = facts.response().map_or(0, |response| facts.inputs.endpoint_of(response));
        let inputs = PictureInputs { transform, base: difference.then_some(base.response), endpoint };
        let bands = self.picture.draw(&painter, axis, &shown, &inputs);
        if let (Some(comb), VerticalAxis::Level) = (facts.string_comb, axis) {
            string_comb::paint(&painter, comb, transform, tokens.quiet);
        }
        taken.extend(labels::notes(&painter, transform, notes, top, tokens));
        if let Some((_, answer)) = ghost {
            picture::ghost(&painter, axis, answer, transform, tokens.ink);
        }
        if let VerticalAxis::Level = axis {
            let peaks = labels::peaks(&painter, transform, &shown, ghost, &mut taken, tokens);
            written.extend(peaks.into_iter().map(|place| ("peak", place)));
        }
        let visible = bands.iter().any(|band| picture::is_seen(band));
        if let Some((words, ink)) = band_caption(&shown, axis, tokens).filter(|_| visible) {
            let place = labels::bands(&painter, *transform.frame(), bands, &taken, &words, ink);
            written.extend(place.map(|place| ("all states", place)));
        }
        if let Some(words) = why_no_curve(facts, &shown, axis) {
            let centre = transform.frame().center();
            let galley = painter.layout(words, text::body(), tokens.ink, 0.8 * transform.frame().width());
            let place = egui::Rect::from_center_size(centre, galley.size());
            // Curves of other rigs may run behind it.
            painter.rect_filled(place.expand(6.0), 4.0, tokens.panel);
            painter.galley(place.min, galley, tokens.ink);
        }
        let on_a_term = explain(ui, plot.response.id, &written);
        if let Some(pointer) = plot.response.hover_pos().filter(|_| !on_a_term) {
            let edge =
                shown.iter().find(|one| one.in_hand).and_then(|one| band_edge::under(pointer, transform, axis, one));
            let name = |id| facts.variant.rig.device(id).map_or_else(String::new, |device| device.name.clone());
            let told = edge.as_ref().map(|edge| edge.told(name, rigwright_core::rig::unmoved_word(&facts.variant.rig)));
            let readout = Readout { axis, shown: &shown, ghost, edge: told };
            readout.paint(&painter, transform, pointer, tokens);
            if let Some(edge) = edge {
                if plot.response.clicked() {
                    out.push(Intent::Adopt { set: edge.highlight.set.clone(), select: None });
                }
                out.push(Intent::Point(Pointed::State(edge.highlight)));
            }
        }
    }
}

/// What is written in the plot explains itself; whether the pointer is on such words.
fn explain(ui: &Ui, id: egui::Id, written: &[(&str, egui::Rect)]) -> bool {
    let mut on_one = false;
    for (at, (name, place)) in written.iter().enumerate() {
        if let Some(term) = explained(name) {
            on_one |= term::zone(ui, *place, id.with((*name, at)), term).contains_pointer();
        }
    }
    on_one
}

/// The curves of the variants that are shown, of sounds, and of the other ends of the rig in hand.
fn shown<'a>(facts: &'a Facts<'_>, tokens: &'a Tokens) -> Vec<Shown<'a>> {
    let variants = facts.project.variants.iter().enumerate();
    let shown = variants.filter(|(_, variant)| facts.inputs.shows(variant.id)).filter_map(|(index, variant)| {
        let response = facts.answers.get(variant.id)?;
        Some(Shown {
            name: &variant.name,
            ink: tokens.accent(index),
            style: style(index),
            response,
            answer: facts.inputs.answer(facts.project, response)?,
            all: facts.states(variant.id),
            old: facts.states_are_old(variant.id),
            curve_old: facts.answers.is_old(variant.id),
            in_hand: variant.id == facts.variant.id,
        })
    });
    shown.chain(sounds(facts, tokens)).chain(other_ends::curves(facts, tokens)).collect()
}

/// The curves of the sounds that are shown.
fn sounds<'f>(facts: &'f Facts<'_>, tokens: &Tokens) -> impl Iterator<Item = Shown<'f>> {
    facts.sound_curves().iter().enumerate().filter_map(move |(at, curve)| {
        let answer = facts.inputs.answer(facts.project, &curve.response)?;
        let (name, ink, style) = (&curve.name, sound_lines::ink(tokens, facts, at), sound_lines::style(at));
        let (response, old) = (&curve.response, false);
        Some(Shown { name, ink, style, response, answer, all: None, old, curve_old: old, in_hand: false })
    })
}

/// What the bands are, in words and ink; nothing where there is none.
fn band_caption(shown: &[Shown<'_>], axis: VerticalAxis<'_>, tokens: &Tokens) -> Option<(String, egui::Color32)> {
    let banded: Vec<&Shown<'_>> = shown.iter().filter(|one| one.states().is_some()).collect();
    let (mut words, ink) = match banded.as_slice() {
        [] => return None,
        [one] => ("band: every state this rig can be in".to_owned(), one.ink),
        many if many.len() > STYLES.len() => {
            let in_hand = many.iter().find(|one| one.in_hand);
            ("band: every state the rig in hand can be in".to_owned(), in_hand?.ink)
        }
        _ => ("bands: every state each rig can be in".to_owned(), tokens.quiet),
    };
    if banded.iter().any(|one| one.states().is_some_and(|states| !states.exact)) {
        words.push_str(", at least");
    }
    if let VerticalAxis::Difference { base, name } = axis {
        base?;
        words.push_str(&format!(", from {name} as it stands"));
    }
    if banded.iter().any(|one| one.old) {
        words.push_str(" (before the last change)");
    }
    Some((words, ink))
}

/// Why no curve is to be seen of the rig in hand, if none is.
fn why_no_curve(facts: &Facts<'_>, shown: &[Shown<'_>], axis: VerticalAxis<'_>) -> Option<String> {
    let is_seen = |curve: &Shown<'_>, axis: VerticalAxis<'_>| !axis.stretches(curve.answer).is_empty();
    let in_hand = shown.iter().find(|curve| curve.in_hand);
    if shown.is_empty() || in_hand.map_or(shown.iter().any(|one| is_seen(one, axis)), |one| is_seen(one, axis)) {
        return None;
    }
    let silent = |name: &str| format!("{name} {}", facts.answers.silence(facts.variant.id)).trim_end().to_owned();
    let heard = |curve: &Shown<'_>| is_seen(curve, VerticalAxis::Level);
    Some(match (axis, in_hand) {
        (VerticalAxis::Difference { name, .. }, Some(curve)) if heard(curve) => {
            format!("There is no level to compare with from {name}.")
        }
        (VerticalAxis::Difference { name, .. }, None) if shown.iter().any(heard) => {
            format!("There is no level to compare with from {name}.")
        }
        (_, Some(curve)) if shown.iter().any(|one| is_seen(one, axis)) => {
            silent(&format!("{}: nothing comes through.", curve.name))
        }
        _ => silent("Nothing comes through."),
    })
}
