//! A field for a quantity: it shows "4.7 kΩ", takes "4k7", steps through the values that
//! a shop has, and asks where what was typed can be read in two ways.

use egui::{Align2, Id, Key, Modifiers, Response, RichText, Role, TextEdit, Ui, WidgetInfo, vec2};
use rigwright_core::rig::Field;
use rigwright_core::units::{Dimension, Parsed, Step, parse, shown, stepped, steps_words};

use super::small;
use crate::theme::{Tokens, text};

/// What a field is for.
#[derive(Debug, Clone, Copy)]
pub struct Quantity<'a> {
    /// What it is called where it is read out; no other field of the screen is called so.
    pub name: &'a str,
    /// The number as it stands, in the SI unit.
    pub value: f64,
    /// What kind of number it is.
    pub dimension: Dimension,
    /// Its unit's symbol.
    pub unit: &'a str,
}

impl<'a> Quantity<'a> {
    /// A device's number under a name.
    #[must_use]
    pub fn of(field: &Field, name: &'a str) -> Self {
        Self { name, value: field.value, dimension: field.dimension, unit: field.unit }
    }

    /// What the field shows of a number.
    #[must_use]
    pub fn show(&self, value: f64) -> String {
        shown(value, self.dimension, self.unit)
    }
}

/// What a person did in a field.
pub enum Typed {
    /// Nothing.
    Nothing,
    /// Looks at a number, in the SI unit, which isn't taken yet: it is being typed, or
    /// one of two readings is pointed at.
    Looked(f64),
    /// Gave a new number.
    Value(f64),
    /// Stepped on to another number; more steps may follow.
    Stepped(f64),
    /// Gave up what was typed.
    GaveUp,
    /// Typed something that is no such number; a sentence.
    Wrong(String),
}

/// A field after a frame.
pub struct Edited {
    /// The field itself.
    pub response: Response,
    /// What was done in it.
    pub typed: Typed,
    id: Id,
    question: Option<Question>,
}

/// A field for a number with all that belongs to it, one below the other. `about` is told
/// in the tooltip besides the keys, where there is something.
pub fn edit(ui: &mut Ui, asked: &Quantity<'_>, about: &str) -> (Response, Typed) {
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        let mut edited = alone(ui, asked, about, WIDTH);
        edited.ask(ui, asked);
        (edited.response, edited.typed)
    })
    .inner
}

/// How wide a field is, in points.
pub const WIDTH: f32 = 104.0;

/// The field alone, as wide as it is told. Enter or leaving it takes what was typed, Escape
/// gives it up, arrow and page keys step. What can be read in two ways isn't taken:
/// [`Edited::ask`] asks.
pub fn alone(ui: &mut Ui, asked: &Quantity<'_>, about: &str, width: f32) -> Edited {
    let id = ui.unique_id().with(("quantity", asked.name));
    let mut question = Question::pending(ui, id);
    let (response, typed) = field(ui, asked, id, width, &mut question);
    // While somebody types the tooltip would stand in the way.
    let response = match response.has_focus() {
        true => response,
        false => response.on_hover_text(format!("{about}\n{}", steps_words(asked.dimension, asked.unit)).trim()),
    };
    Edited { response, typed, id, question }
}

impl Edited {
    /// Whether it has to be asked which of two numbers was meant.
    #[must_use]
    pub fn asks(&self) -> bool {
        self.question.is_some()
    }

    /// Two buttons where what was typed can be read in two ways; nothing is taken until one
    /// of them is chosen.
    pub fn ask(&mut self, ui: &mut Ui, asked: &Quantity<'_>) {
        if let Some(question) = self.question.take()
            && let Some(answer) = question.ask(ui, asked, self.id, &self.response)
        {
            self.typed = answer;
        }
    }
}

fn field(ui: &mut Ui, asked: &Quantity<'_>, id: Id, width: f32, question: &mut Option<Question>) -> (Response, Typed) {
    let shown = asked.show(asked.value);
    let focused = ui.memory(|memory| memory.has_focus(id));
    let kept: Option<String> = ui.data(|data| data.get_temp(id));
    // In the frame in which the focus goes elsewhere, what was typed is still wanted.
    let just_lost = ui.memory(|memory| memory.had_focus_last_frame(id));
    let mut text = kept.filter(|_| focused || just_lost).unwrap_or_else(|| shown.clone());
    let mut typed = Typed::Nothing;
    if focused && let Some(step) = step_pressed(ui) {
        let from = match parse(&text, asked.dimension) {
            Ok(Parsed::Value(from)) if text != shown => from,
            _ => asked.value,
        };
        let next = stepped(from, asked.dimension, step);
        text = asked.show(next);
        typed = Typed::Stepped(next);
    }
    let edit = TextEdit::singleline(&mut text).id(id).desired_width(width - 12.0).align(Align2::RIGHT_CENTER);
    let response = ui.add_sized(vec2(width, ui.spacing().interact_size.y), edit);
    let (label, current) = (asked.name.to_owned(), text.clone());
    response.widget_info(move || {
        let mut info = WidgetInfo::labeled(Role::TextInput, true, &label);
        info.current_text_value = Some(current.clone());
        info
    });
    if response.gained_focus() {
        // What is asked about can be typed on.
        text = question.as_ref().map_or_else(|| shown.clone(), |question| question.text.clone());
    }
    let is_new = text != shown && matches!(typed, Typed::Nothing);
    let reading = parse(&text, asked.dimension);
    if response.lost_focus() {
        if ui.input(|input| input.key_pressed(Key::Escape)) {
            (typed, *question) = (Typed::GaveUp, None);
        } else if is_new {
            (typed, *question) = match reading {
                Ok(Parsed::Value(value)) if value == asked.value => (Typed::GaveUp, None),
                Ok(Parsed::Value(value)) => (Typed::Value(value), None),
                Ok(Parsed::Ambiguous(readings)) => (Typed::GaveUp, Some(Question { text, readings })),
                Err(error) => (Typed::Wrong(error.to_string()), None),
            };
        }
        ui.data_mut(|data| data.remove::<String>(id));
    } else if response.has_focus() {
        *question = None;
        match reading {
            Ok(Parsed::Value(value)) if is_new && value != asked.value => typed = Typed::Looked(value),
            Ok(Parsed::Ambiguous(readings)) if is_new => *question = Some(Question { text: text.clone(), readings }),
            Err(_) if text != shown => {
                let alarm = Tokens::of(ui).alarm;
                ui.painter().hline(response.rect.x_range(), response.rect.bottom(), (2.0, alarm));
            }
            _ => {}
        }
        ui.data_mut(|data| data.insert_temp(id, text));
    }
    (response, typed)
}

/// The step whose key went down, if any; its event is used up.
fn step_pressed(ui: &Ui) -> Option<Step> {
    let keys = [
        (Key::ArrowUp, true, false),
        (Key::ArrowDown, false, false),
        (Key::PageUp, true, true),
        (Key::PageDown, false, true),
    ];
    let pressed = |key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
    keys.into_iter().find(|(key, ..)| pressed(*key)).map(|(_, up, large)| Step { up, large })
}

/// Which of two numbers was meant.
#[derive(Debug, Clone)]
struct Question {
    /// What was typed.
    text: String,
    /// What it can be read as, in the SI unit.
    readings: [f64; 2],
}

impl Question {
    /// The one that stood below the field in the last frame: it goes with the field.
    fn pending(ui: &Ui, id: Id) -> Option<Self> {
        let now = ui.ctx().cumulative_pass_nr();
        let (question, shown): (Self, u64) = ui.data_mut(|data| data.get_temp(Self::id(id)))?;
        (shown + 1 >= now).then_some(question)
    }

    fn id(field: Id) -> Id {
        field.with("question")
    }

    /// The buttons; what was done with them, if anything.
    fn ask(self, ui: &mut Ui, asked: &Quantity<'_>, field: Id, response: &Response) -> Option<Typed> {
        let enter = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        let mut answer = None;
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(4.0, 2.0);
            let words = RichText::new(format!("“{}” is", self.text.trim()));
            ui.label(words.font(text::small()).color(Tokens::of(ui).quiet));
            for (at, reading) in self.readings.into_iter().enumerate() {
                let words = asked.show(reading);
                let named = format!("{words}: {}", asked.name);
                let button = ui.add(small::button(words));
                button.widget_info(|| WidgetInfo::labeled(Role::Button, true, &named));
                if enter && at == 0 {
                    button.request_focus();
                }
                if button.lost_focus() && ui.input(|input| input.key_pressed(Key::Escape)) {
                    answer = Some(Typed::GaveUp);
                } else if button.clicked() {
                    ui.memory_mut(|memory| memory.request_focus(field));
                    answer = Some(Typed::Value(reading));
                } else if (button.hovered() || button.has_focus()) && answer.is_none() {
                    answer = Some(Typed::Looked(reading));
                }
            }
        });
        if matches!(answer, Some(Typed::GaveUp | Typed::Value(_))) {
            ui.data_mut(|data| data.remove::<(Self, u64)>(Self::id(field)));
        } else {
            let now = ui.ctx().cumulative_pass_nr();
            ui.data_mut(|data| data.insert_temp(Self::id(field), (self, now)));
        }
        answer
    }
}
