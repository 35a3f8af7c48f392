//! The level plot: one curve a variant, peaks, string notes, a readout under the pointer.

use std::collections::BTreeSet;

use egui::{Color32, Pos2, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use egui_plot::{FilledArea, Line, LineStyle, PlotBounds, PlotPoint, PlotTransform, VLine};
use rigwright_core::response::{PointAnswer, Response};
use rigwright_core::rig::{JackRef, Project, VariantId};
use rigwright_core::units::{Level, hertz};

use super::axes::{self, strings};
use super::figures;
use super::sound_lines;
use crate::theme::{Tokens, size, text};
use crate::views::Facts;
use crate::widgets::panel;

/// The axis runs a little past the audio band, so that its ends can be labelled.
const LOW_HZ: f64 = 18.5;
const HIGH_HZ: f64 = 24_000.0;

/// The plot's own state; no part of the project.
#[derive(Debug, Default)]
pub struct LevelPlot {
    hidden: BTreeSet<VariantId>,
    endpoint: usize,
}

/// A curve to draw.
struct Shown<'a> {
    name: &'a str,
    ink: Color32,
    style: LineStyle,
    answer: &'a PointAnswer,
    in_hand: bool,
}

impl LevelPlot {
    /// Where curves are taken in a response: the test point if there is one in
    /// the project, or else the chosen endpoint. A rig without the test point's
    /// lead has no curve then: its level somewhere else would be no comparison.
    #[must_use]
    pub fn answer<'r>(&self, project: &Project, response: &'r Response) -> Option<&'r PointAnswer> {
        if project.test_point.is_some() {
            return response.test_point.as_ref();
        }
        response.endpoints.get(self.endpoint_of(response)).map(|endpoint| &endpoint.at)
    }

    /// The jack of the chosen endpoint.
    #[must_use]
    pub fn endpoint(&self, response: &Response) -> Option<JackRef> {
        response.endpoints.get(self.endpoint_of(response)).map(|endpoint| endpoint.jack)
    }

    /// The chosen endpoint, or the first where there are fewer.
    fn endpoint_of(&self, response: &Response) -> usize {
        if self.endpoint < response.endpoints.len() { self.endpoint } else { 0 }
    }

    /// Heading, legend and plot in all the room there is.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>) {
        self.head(ui, facts);
        let tokens = Tokens::of(ui);
        let shown: Vec<Shown<'_>> = facts
            .project
            .variants
            .iter()
            .enumerate()
            .filter(|(_, variant)| !self.hidden.contains(&variant.id))
            .filter_map(|(index, variant)| {
                let answer = self.answer(facts.project, facts.answers.get(variant.id)?)?;
                let in_hand = variant.id == facts.variant.id;
                Some(Shown { name: &variant.name, ink: tokens.accent(index), style: style(index), answer, in_hand })
            })
            .chain(self.sounds(facts, tokens))
            .collect();
        let (bottom, top) = range(&shown);
        let notes = strings(&facts.variant.rig);
        let plot = axes::plot(tokens, ui.available_size()).show(ui, |plot| {
            plot.set_plot_bounds(PlotBounds::from_min_max([LOW_HZ.log10(), bottom], [HIGH_HZ.log10(), top]));
            for (hz, name) in notes {
                plot.vline(
                    VLine::new(*name, hz.log10())
                        .color(tokens.grid)
                        .width(1.0)
                        .style(LineStyle::dotted_dense())
                        .allow_hover(false),
                );
            }
            if let Some(band) = band(facts, tokens).filter(|_| shown.iter().any(|curve| curve.in_hand)) {
                plot.add(band);
            }
            // The one in hand last, on top of the others.
            for curve in shown.iter().filter(|c| !c.in_hand).chain(shown.iter().filter(|c| c.in_hand)) {
                let width = if curve.in_hand { size::CURVE } else { size::CURVE - 0.6 };
                for stretch in stretches(curve.answer) {
                    plot.line(
                        Line::new(curve.name, stretch)
                            .color(curve.ink)
                            .width(width)
                            .style(curve.style)
                            .allow_hover(false),
                    );
                }
            }
        });
        let words = summary(&shown);
        plot.response.widget_info(move || WidgetInfo::labeled(Role::Image, true, &words));
        let painter = ui.painter().with_clip_rect(*plot.transform.frame());
        if !shown.is_empty() && shown.iter().all(|curve| stretches(curve.answer).is_empty()) {
            let words = format!("Nothing comes through. {}", figures::silent_because(facts));
            let centre = plot.transform.frame().center();
            painter.text(centre, egui::Align2::CENTER_CENTER, words.trim(), text::body(), tokens.ink);
        }
        note_names(&painter, &plot.transform, notes, top, tokens);
        peak_labels(&painter, &plot.transform, &shown);
        if let Some(pointer) = plot.response.hover_pos() {
            readout(&painter, &plot.transform, pointer, &shown, tokens);
        }
    }

    /// The curves of the sounds that are shown.
    fn sounds<'f>(&self, facts: &'f Facts<'_>, tokens: &'f Tokens) -> impl Iterator<Item = Shown<'f>> {
        facts.sound_curves().iter().enumerate().filter_map(move |(at, curve)| {
            let answer = self.answer(facts.project, &curve.response)?;
            let (ink, style) = (sound_lines::ink(tokens, facts, at), sound_lines::style(at));
            Some(Shown { name: &curve.name, ink, style, answer, in_hand: false })
        })
    }

    fn head(&mut self, ui: &mut Ui, facts: &Facts<'_>) {
        let tokens = Tokens::of(ui);
        let response = facts.response();
        ui.horizontal_wrapped(|ui| {
            let names: Vec<String> =
                response.map_or_else(Vec::new, |r| r.endpoints.iter().map(|e| e.name.clone()).collect());
            let tested = facts.project.test_point.is_some();
            if tested {
                panel::heading(ui, "Level at the test point, dB from the pickup");
            } else if names.len() > 1 {
                panel::heading(ui, "Level at");
                let at = response.map_or(0, |response| self.endpoint_of(response));
                let combo =
                    egui::ComboBox::from_id_salt("endpoint").selected_text(names[at].as_str()).show_ui(ui, |ui| {
                        for (i, name) in names.iter().enumerate() {
                            ui.selectable_value(&mut self.endpoint, i, name);
                        }
                    });
                combo.response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, "where the level is taken"));
                panel::heading(ui, "dB from the pickup");
            } else {
                let place = names.first().map_or_else(|| "the end".to_owned(), Clone::clone);
                panel::heading(ui, &format!("Level at {place}, dB from the pickup"));
            }
            for (index, variant) in facts.project.variants.iter().enumerate() {
                let mut shown = !self.hidden.contains(&variant.id);
                if legend(ui, tokens, &variant.name, tokens.accent(index), style(index), &mut shown) {
                    if shown {
                        self.hidden.remove(&variant.id);
                    } else {
                        self.hidden.insert(variant.id);
                    }
                }
            }
            sound_lines::legend(ui, facts);
        });
    }
}

/// The band of all footswitch states of the variant in hand.
fn band(facts: &Facts<'_>, tokens: &Tokens) -> Option<FilledArea> {
    let states = facts.all()?;
    let hz: Vec<f64> = states.hz().iter().map(|hz| hz.log10()).collect();
    let ink = tokens.accent(facts.index()).gamma_multiply(0.16);
    Some(FilledArea::new("all states", &hz, states.lowest_db(), states.highest_db()).fill_color(ink).allow_hover(false))
}

/// A line's sample and name that shows or hides its curve.
fn legend(ui: &mut Ui, tokens: &Tokens, name: &str, ink: Color32, style: LineStyle, shown: &mut bool) -> bool {
    let galley = ui.painter().layout_no_wrap(name.to_owned(), text::small(), tokens.ink);
    let (rect, hit) = ui.allocate_exact_size(vec2(galley.size().x + 40.0, 20.0), Sense::click());
    let label = format!("Curve of {name}");
    hit.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, *shown, &label));
    let ink = if *shown { ink } else { tokens.faint };
    let (from, to) = (rect.left_center() + vec2(4.0, 0.0), rect.left_center() + vec2(28.0, 0.0));
    let stroke = Stroke::new(2.0, ink);
    match style {
        LineStyle::Solid => {
            ui.painter().line_segment([from, to], stroke);
        }
        LineStyle::Dashed { .. } => {
            ui.painter().extend(egui::Shape::dashed_line(&[from, to], stroke, 6.0, 3.0));
        }
        LineStyle::Dotted { .. } => {
            ui.painter().extend(egui::Shape::dotted_line(&[from, to], ink, 4.5, 1.2));
        }
    }
    let colour = if *shown { tokens.ink } else { tokens.faint };
    ui.painter().galley_with_override_text_color(
        rect.left_center() + vec2(34.0, -0.5 * galley.size().y),
        galley,
        colour,
    );
    if hit.has_focus() || hit.hovered() {
        ui.painter().rect_stroke(rect, 4.0, Stroke::new(1.0, tokens.border), egui::StrokeKind::Inside);
    }
    let tip = if *shown { "Hide this curve" } else { "Show this curve" };
    let clicked = hit.on_hover_text(tip).clicked();
    if clicked {
        *shown = !*shown;
    }
    clicked
}

fn style(index: usize) -> LineStyle {
    match index % 3 {
        0 => LineStyle::Solid,
        1 => LineStyle::Dashed { length: 9.0 },
        _ => LineStyle::Dotted { spacing: 5.0 },
    }
}

/// The curve as stretches of points (log10 f, dB), cut where it is silent.
fn stretches(answer: &PointAnswer) -> Vec<Vec<[f64; 2]>> {
    let mut found = vec![Vec::new()];
    for (hz, level) in answer.curve.hz().iter().zip(answer.curve.levels()) {
        match level {
            Level::Decibels(db) => {
                if let Some(stretch) = found.last_mut() {
                    stretch.push([hz.log10(), *db]);
                }
            }
            Level::Silent if found.last().is_some_and(|stretch| !stretch.is_empty()) => found.push(Vec::new()),
            Level::Silent => {}
        }
    }
    found.retain(|stretch| !stretch.is_empty());
    found
}

/// Bottom and top of the plot in dB: all of every curve, but not more than 45 dB.
fn range(shown: &[Shown<'_>]) -> (f64, f64) {
    let levels = shown.iter().flat_map(|curve| curve.answer.curve.levels()).filter_map(|level| level.decibels());
    let (low, high) = levels.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), db| (low.min(db), high.max(db)));
    if low > high {
        return (-25.0, 10.0);
    }
    let top = ((high + 6.0) / 5.0).ceil() * 5.0;
    let bottom = ((low - 1.0) / 5.0).floor() * 5.0;
    (bottom.max(top - 45.0).min(top - 15.0), top)
}

fn note_names(painter: &egui::Painter, transform: &PlotTransform, notes: &[(f64, &str)], top: f64, tokens: &Tokens) {
    let mut free_from = f32::NEG_INFINITY;
    for (hz, name) in notes {
        let at = transform.position_from_point(&PlotPoint::new(hz.log10(), top));
        let galley = painter.layout_no_wrap((*name).to_owned(), text::small(), tokens.quiet);
        let left = at.x - 0.5 * galley.size().x;
        if left >= free_from {
            free_from = left + galley.size().x + 4.0;
            painter.galley(pos2(left, at.y + 3.0), galley, tokens.quiet);
        }
    }
}

fn peak_labels(painter: &egui::Painter, transform: &PlotTransform, shown: &[Shown<'_>]) {
    let mut taken: Vec<Rect> = Vec::new();
    for curve in shown {
        let Ok(peak) = curve.answer.peak else {
            continue;
        };
        let at = transform.position_from_point(&PlotPoint::new(peak.hz.log10(), peak.db));
        painter.circle_filled(at, 3.0, curve.ink);
        let galley = painter.layout_no_wrap(hertz(peak.hz), text::small(), curve.ink);
        let frame = transform.frame().shrink(2.0);
        let (w, h) = (galley.size().x, galley.size().y);
        // Above the peak, or else beside it, or else below: the first that is free.
        let tries = [
            vec2(0.0, -14.0),
            vec2(0.5 * w + 10.0, -6.0),
            vec2(-0.5 * w - 10.0, -6.0),
            vec2(0.0, 14.0),
            vec2(0.0, -14.0 - h),
        ];
        let rect = tries
            .map(|by| Rect::from_center_size(at + by, galley.size()))
            .into_iter()
            .find(|rect| frame.contains_rect(*rect) && !taken.iter().any(|other| other.expand(2.0).intersects(*rect)))
            .unwrap_or(Rect::from_center_size(at - vec2(0.0, 14.0), galley.size()));
        taken.push(rect);
        painter.galley(rect.min, galley, curve.ink);
    }
}

/// The levels of all curves at the pointer's frequency, exactly.
fn readout(painter: &egui::Painter, transform: &PlotTransform, pointer: Pos2, shown: &[Shown<'_>], tokens: &Tokens) {
    let frame = *transform.frame();
    if !frame.contains(pointer) || shown.is_empty() {
        return;
    }
    let hz = 10.0_f64.powf(transform.value_from_position(pointer).x);
    painter.vline(pointer.x, frame.y_range(), Stroke::new(1.0, tokens.quiet));
    let mut lines = vec![(hertz(hz), tokens.ink)];
    for curve in shown {
        let level = curve.answer.level_at(hz);
        if let Level::Decibels(db) = level {
            painter.circle_filled(pos2(pointer.x, transform.position_from_point_y(db)), 3.2, curve.ink);
        }
        lines.push((format!("{level}  {}", curve.name), curve.ink));
    }
    let galleys: Vec<_> =
        lines.into_iter().map(|(words, ink)| (painter.layout_no_wrap(words, text::small(), ink), ink)).collect();
    let width = galleys.iter().map(|(galley, _)| galley.size().x).fold(0.0, f32::max) + 16.0;
    let height = galleys.iter().map(|(galley, _)| galley.size().y + 3.0).sum::<f32>() + 11.0;
    let left = if pointer.x + 14.0 + width < frame.right() { pointer.x + 14.0 } else { pointer.x - 14.0 - width };
    let top =
        (pointer.y - 0.5 * height).clamp(frame.top() + 4.0, (frame.bottom() - height - 4.0).max(frame.top() + 4.0));
    let card = Rect::from_min_size(pos2(left, top), vec2(width, height));
    painter.rect(card, 5.0, tokens.panel, Stroke::new(1.0, tokens.border), egui::StrokeKind::Inside);
    let mut at = card.min + vec2(8.0, 6.0);
    for (galley, ink) in galleys {
        let step = galley.size().y + 3.0;
        painter.galley(at, galley, ink);
        at.y += step;
    }
}

/// What the plot shows, for a screen reader.
fn summary(shown: &[Shown<'_>]) -> String {
    let curves: Vec<String> = shown
        .iter()
        .map(|curve| match curve.answer.peak {
            Ok(peak) => format!("{}: peak at {}, {:.1} dB above 200 Hz", curve.name, hertz(peak.hz), peak.height_db),
            Err(why) => format!("{}: no peak, {why}", curve.name),
        })
        .collect();
    format!("Level plot from 20 Hz to 20 kHz. {}", curves.join(". "))
}
