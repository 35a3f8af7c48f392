//! A field for a quantity: it shows "4.7 kΩ", takes "4k7", and steps through
//! the values that a shop has.

use egui::{Key, Response, Role, TextEdit, Ui, WidgetInfo, vec2};
use rigwright_core::rig::Field;
use rigwright_core::units::{Dimension, engineering, parse, preferred, trimmed};

use crate::theme::Tokens;

/// What the field shows of a number, with its unit.
#[must_use]
pub fn show(field: &Field) -> String {
    show_value(field.value, field.dimension, field.unit)
}

/// The same from parts: six figures, so that what is typed comes back.
#[must_use]
pub fn show_value(value: f64, dimension: Dimension, unit: &str) -> String {
    match dimension {
        Dimension::Length => format!("{} m", trimmed(value, 6)),
        Dimension::Level => format!("{} dB", trimmed(value, 6)),
        Dimension::Part => format!("{} %", trimmed(value * 100.0, 6)),
        Dimension::Mass if value >= 1000.0 => format!("{} kg", trimmed(value / 1000.0, 6)),
        Dimension::Mass => format!("{} g", trimmed(value, 6)),
        Dimension::Number => trimmed(value, 6),
        _ => engineering(value, unit, 6),
    }
}

/// The next value up or down: E24 where parts come in E24, even steps elsewhere.
fn stepped(value: f64, dimension: Dimension, up: bool) -> f64 {
    let by = |step: f64| ((value / step).round() + if up { 1.0 } else { -1.0 }) * step;
    match dimension {
        Dimension::Length if value < 1.0 || (value == 1.0 && !up) => by(0.05),
        Dimension::Length => by(0.5),
        Dimension::Level => by(0.5),
        Dimension::Part => by(0.05),
        Dimension::Mass => by(50.0),
        Dimension::Number => by(1.0),
        _ => preferred::step(value, up),
    }
}

/// What a person did in a field.
pub enum Typed {
    /// Nothing.
    Nothing,
    /// Gave a new number, in the SI unit.
    Value(f64),
    /// Gave up what was typed.
    GaveUp,
    /// Typed something that is no such number; a sentence.
    Wrong(String),
}

/// A field named `name` for a number. Enter or leaving it takes what was typed,
/// Escape gives it up, the arrow keys step.
pub fn edit(ui: &mut Ui, name: &str, value: f64, dimension: Dimension, unit: &str) -> (Response, Typed) {
    let id = ui.unique_id().with(("quantity", name));
    let shown = show_value(value, dimension, unit);
    let focused = ui.memory(|memory| memory.has_focus(id));
    let kept: Option<String> = ui.data(|data| data.get_temp(id));
    // In the frame in which the focus goes elsewhere, what was typed is still wanted.
    let just_lost = ui.memory(|memory| memory.had_focus_last_frame(id));
    let mut text = match kept {
        Some(text) if focused || just_lost => text,
        _ => shown.clone(),
    };
    let mut typed = Typed::Nothing;
    if focused {
        for (key, up) in [(Key::ArrowUp, true), (Key::ArrowDown, false)] {
            if ui.input_mut(|input| input.consume_key(egui::Modifiers::NONE, key)) {
                let next = stepped(value, dimension, up);
                text = show_value(next, dimension, unit);
                typed = Typed::Value(next);
            }
        }
    }
    let edit = TextEdit::singleline(&mut text).id(id).desired_width(92.0).align(egui::Align2::RIGHT_CENTER);
    let response = ui.add_sized(vec2(104.0, ui.spacing().interact_size.y), edit);
    let label = name.to_owned();
    let current = text.clone();
    response.widget_info(move || {
        let mut info = WidgetInfo::labeled(Role::TextInput, true, &label);
        info.current_text_value = Some(current.clone());
        info
    });
    if response.gained_focus() {
        text.clone_from(&shown);
    }
    if response.lost_focus() {
        let gave_up = ui.input(|input| input.key_pressed(Key::Escape));
        if gave_up {
            typed = Typed::GaveUp;
        } else if text != shown && matches!(typed, Typed::Nothing) {
            typed = match parse(&text, dimension) {
                Ok(value) => Typed::Value(value),
                Err(error) => Typed::Wrong(error.to_string()),
            };
        }
        ui.data_mut(|data| data.remove::<String>(id));
    } else if response.has_focus() {
        if text != shown && parse(&text, dimension).is_err() {
            let tokens = Tokens::of(ui);
            ui.painter().hline(response.rect.x_range(), response.rect.bottom(), (2.0, tokens.alarm));
        }
        ui.data_mut(|data| data.insert_temp(id, text));
    }
    (response, typed)
}
