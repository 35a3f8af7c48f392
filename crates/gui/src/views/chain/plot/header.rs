//! The plot's header: what is shown and where, and the one place where variants
//! are switched on and off.

use egui::{RichText, Role, Sense, Stroke, Ui, WidgetInfo, vec2};
use rigwright_core::compare::LEVEL_TAKEN;
use rigwright_core::rig::{DeviceId, Feeding, Jack, JackRef, Rig, device_name};

use super::style::{SAMPLE, sample};
use super::{compared, other_ends, sound_lines, string_comb};
use crate::command::Command;
use crate::state::Input;
use crate::theme::{Tokens, text};
use crate::views::{Facts, Intent};
use crate::widgets::panel;

/// Heading, the switch between levels and differences, and a chip a variant.
pub fn ui(ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
    ui.horizontal_wrapped(|ui| {
        heading(ui, facts, out);
        view_switch(ui, facts.inputs.is_difference(), out);
        let tokens = Tokens::of(ui);
        for (index, variant) in facts.project.variants.iter().enumerate() {
            let shown = facts.inputs.shows(variant.id);
            if chip(ui, tokens, index, &variant.name, shown) {
                out.push(Intent::Input(Input::Variant(variant.id, !shown)));
            }
        }
        sound_lines::legend(ui, facts);
        other_ends::legend(ui, facts);
        string_comb::choose(ui, facts, out);
        feeding(ui, facts, out);
    });
}

/// The same as words: what is shown and where, and whose line is whose.
pub fn picture(ui: &mut Ui, facts: &Facts<'_>) {
    ui.horizontal_wrapped(|ui| {
        let response = facts.response();
        let endpoint = response.and_then(|response| response.endpoints.get(facts.inputs.endpoint_of(response)));
        let place = match facts.project.test_point {
            Some(_) => TEST_POINT,
            None => endpoint.map_or(NO_ENDPOINT, |endpoint| endpoint.name.as_str()),
        };
        let (what, from) = of_what(facts);
        let base = if facts.inputs.is_difference() { compared::base(facts).name } else { "" };
        panel::heading(ui, format!("{what} at {place}, {from} {base}").trim_end());
        let tokens = Tokens::of(ui);
        for (index, variant) in facts.project.variants.iter().enumerate() {
            if facts.inputs.shows(variant.id) {
                chip(ui, tokens, index, &variant.name, true);
            }
        }
        sound_lines::legend(ui, facts);
        other_ends::legend(ui, facts);
        let fed = &facts.answers.fed;
        let unfed = fed.unfed(facts.variant.id);
        let words = no_feed(&facts.variant.rig, unfed);
        let words = match fed.feeding() {
            Feeding::AllFed if unfed.is_empty() => return,
            Feeding::AllFed => format!("{AS_IF_FED}: {words}"),
            Feeding::AsDrawn => words,
        };
        ui.add(egui::Label::new(RichText::new(words).font(text::small()).color(tokens.quiet)).extend());
    });
}

const AS_IF_FED: &str = "As if all were fed";
const TEST_POINT: &str = "the test point";
const NO_ENDPOINT: &str = "the end";

/// What the curves are, and what they are measured from.
fn of_what(facts: &Facts<'_>) -> (&'static str, String) {
    if facts.inputs.is_difference() {
        return ("Difference", "dB from".to_owned());
    }
    let shown = facts.response().and_then(|response| match facts.project.test_point {
        Some(_) => response.test_point.as_ref(),
        None => response.endpoints.get(facts.inputs.endpoint_of(response)).map(|endpoint| &endpoint.at),
    });
    // Behind an amp's send 0 dB is what leaves by that.
    let from = match shown.map(|point| point.source) {
        Some(JackRef { device, jack: Jack::Send(_) }) => {
            format!("dB from the send of {}", device_name(&facts.variant.rig, device))
        }
        _ => "dB from the pickup".to_owned(),
    };
    ("Level", from)
}

/// Who has no feed, and the switch between the tone as if all were fed and as drawn.
fn feeding(ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
    let fed = &facts.answers.fed;
    let all_fed = fed.feeding() == Feeding::AllFed;
    let unfed = fed.unfed(facts.variant.id);
    if unfed.is_empty() && all_fed {
        return;
    }
    let tokens = Tokens::of(ui);
    let mut ticked = all_fed;
    let words = RichText::new(AS_IF_FED).font(text::small());
    if ui.checkbox(&mut ticked, words).on_hover_text(Command::Feeding.tooltip()).changed() {
        out.push(Intent::Command(Command::Feeding));
    }
    let ink = if all_fed || unfed.is_empty() { tokens.quiet } else { tokens.alarm };
    // In one piece: a sentence that is cut in two reads badly between the chips.
    let words = RichText::new(no_feed(&facts.variant.rig, unfed)).font(text::small()).color(ink);
    ui.add(egui::Label::new(words).extend());
}

/// "Tuner and Delay have no feed", "5 units have no feed", "Everything is fed".
fn no_feed(rig: &Rig, unfed: &[DeviceId]) -> String {
    let name = |id: &DeviceId| rig.device(*id).map_or("A unit", |device| device.name.as_str());
    match unfed {
        [] => "Everything is fed".to_owned(),
        _ if rig.supplies().next().is_none() => "No supply is drawn".to_owned(),
        [one] => format!("{} has no feed", name(one)),
        [one, two] => format!("{} and {} have no feed", name(one), name(two)),
        many => format!("{} units have no feed", many.len()),
    }
}

/// "Level at Amp left, dB from the pickup", "Difference at Amp left, dB from …".
fn heading(ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
    let difference = facts.inputs.is_difference();
    let (what, from) = of_what(facts);
    let response = facts.response();
    let names: Vec<&str> = response.map_or_else(Vec::new, |r| r.endpoints.iter().map(|e| e.name.as_str()).collect());
    if facts.project.test_point.is_some() {
        panel::heading(ui, &format!("{what} at {TEST_POINT}, {from}"));
    } else if names.len() > 1 {
        panel::heading(ui, &format!("{what} at"));
        let at = response.map_or(0, |response| facts.inputs.endpoint_of(response));
        let combo = egui::ComboBox::from_id_salt("endpoint").selected_text(names[at]).show_ui(ui, |ui| {
            for (i, name) in names.iter().enumerate() {
                if ui.selectable_label(i == at, *name).clicked() {
                    out.push(Intent::Input(Input::Endpoint(i)));
                }
            }
            ui.separator();
            other_ends::choose(ui, facts, out);
        });
        combo.response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, LEVEL_TAKEN));
        panel::heading(ui, &from);
    } else {
        let place = names.first().copied().unwrap_or(NO_ENDPOINT);
        panel::heading(ui, &format!("{what} at {place}, {from}"));
    }
    if difference {
        compared::choose(ui, facts, "what the difference is from", out);
    }
}

fn view_switch(ui: &mut Ui, is_difference: bool, out: &mut Vec<Intent>) {
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        for (difference, words, tip) in [
            (false, "Level", "What arrives, in dB from the pickup"),
            (
                true,
                "Difference",
                "How much more arrives than with another rig, or with the guitar straight into the amp",
            ),
        ] {
            let words = egui::RichText::new(words).font(text::small());
            let button = egui::Button::selectable(is_difference == difference, words).frame_when_inactive(true);
            // On the next line rather than broken into letters.
            let button = button.wrap_mode(egui::TextWrapMode::Extend);
            if ui.add(button).on_hover_text(tip).clicked() {
                out.push(Intent::Input(Input::Difference(difference)));
            }
        }
    });
}

/// A variant's line and hatching with its name; true if it is to be shown or hidden.
fn chip(ui: &mut Ui, tokens: &Tokens, index: usize, name: &str, shown: bool) -> bool {
    let galley = ui.painter().layout_no_wrap(name.to_owned(), text::small(), tokens.ink);
    let (rect, hit) = ui.allocate_exact_size(vec2(galley.size().x + SAMPLE.x + 16.0, 20.0), Sense::click());
    let label = format!("Curve of {name}");
    hit.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, shown, &label));
    let ink = if shown { tokens.accent(index) } else { tokens.faint };
    let place = egui::Rect::from_center_size(rect.left_center() + vec2(4.0 + 0.5 * SAMPLE.x, 0.0), SAMPLE);
    sample(ui.painter(), place, index, ink);
    let colour = if shown { tokens.ink } else { tokens.quiet };
    let words = rect.left_center() + vec2(SAMPLE.x + 10.0, -0.5 * galley.size().y);
    ui.painter().galley_with_override_text_color(words, galley, colour);
    if hit.has_focus() || hit.hovered() {
        ui.painter().rect_stroke(rect, 4.0, Stroke::new(1.0, tokens.teal), egui::StrokeKind::Inside);
    }
    let tip = if shown { "Leaves this rig out: curve, band and table" } else { "Shows this rig again" };
    hit.on_hover_text(tip).clicked()
}
