//! Which command a key is: the one place where keys are matched.

use egui::{Context, Event, Id, Key, Modifiers};

use super::{Command, KEYS};

impl Command {
    /// The command whose key went down, if any; its event is used up.
    ///
    /// Call it once a frame, before anything is shown. What a focused text
    /// field needs is left to it: plain keys that type something, and undo and redo, which there
    /// are about what is being typed. Space is left to any focused widget,
    /// since it presses a focused button. A symbol of the drawing that has the focus
    /// (`focus_is_a_symbol`) has no use for other keys.
    #[must_use]
    pub fn pressed(ctx: &Context, focus_is_a_symbol: bool) -> Option<Self> {
        let focus = if ctx.text_edit_focused() {
            Focus::Text
        } else if focus_is_a_symbol {
            Focus::Symbol
        } else if ctx.egui_wants_keyboard_input() {
            Focus::Widget
        } else {
            Focus::Drawing
        };
        let space_is_over = space_is_over(ctx, focus);
        ctx.input_mut(|input| {
            let (at, command) = input
                .events
                .iter()
                .enumerate()
                .find_map(|(at, event)| matched(event, focus, space_is_over).map(|command| (at, command)))?;
            input.events.remove(at);
            // The letter that comes with a plain key isn't for the text field
            // that the command may open.
            if matches!(input.events.get(at), Some(Event::Text(_))) {
                input.events.remove(at);
            }
            Some(command)
        })
    }

    /// Whether a text field does this with its own text.
    fn is_of_text(self) -> bool {
        use Command::{Copy, Cut, Paste, Redo, SelectAll, Undo};
        matches!(self, Undo | Redo | Copy | Cut | Paste | SelectAll)
    }

    /// Whether holding the key down does it again and again.
    fn repeats(self) -> bool {
        use Command::{Nudge, Redo, ScaleLarger, ScaleSmaller, Undo, Walk, ZoomIn, ZoomOut};
        matches!(self, Undo | Redo | ZoomIn | ZoomOut | ScaleLarger | ScaleSmaller | Walk(_) | Nudge(_))
    }
}

/// Who has the keyboard.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Focus {
    /// A text field.
    Text,
    /// A button or the like.
    Widget,
    /// A symbol of the drawing.
    Symbol,
    /// The drawing, or nobody.
    Drawing,
}

/// Whether Space was let go after it had gone down for the drawing, and nothing was dragged
/// meanwhile: held down, Space is for moving the sheet.
fn space_is_over(ctx: &Context, focus: Focus) -> bool {
    let id = Id::unique("space is down for the drawing");
    let mut armed = ctx.data(|data| data.get_temp::<bool>(id)).unwrap_or(false);
    let mut is_over = false;
    ctx.input(|input| {
        for event in &input.events {
            match event {
                Event::Key { key: Key::Space, pressed: true, repeat: false, modifiers, .. } => {
                    armed = focus == Focus::Drawing && modifiers.is_none() && !input.pointer.any_down();
                }
                Event::Key { key: Key::Space, pressed: false, .. } => is_over = std::mem::take(&mut armed),
                Event::PointerButton { pressed: true, .. } => armed = false,
                _ => {}
            }
        }
    });
    ctx.data_mut(|data| data.insert_temp(id, armed));
    is_over
}

fn matched(event: &Event, focus: Focus, space_is_over: bool) -> Option<Command> {
    let Event::Key { key, pressed, repeat, modifiers, .. } = event else {
        return None;
    };
    if *key == Key::Space {
        // What goes down for the drawing is done when it is let go.
        return (!pressed && space_is_over).then_some(Command::ToggleSwitch);
    }
    if !pressed {
        return None;
    }
    let fits = |pattern: Modifiers, wanted: Key| {
        // Plus is a shifted key on many keyboards.
        let shift_is_part_of_the_key = wanted == Key::Plus;
        let held = Modifiers { shift: modifiers.shift && !shift_is_part_of_the_key, ..*modifiers };
        *key == wanted && held.matches_exact(pattern)
    };
    let (command, pattern, _) = KEYS.iter().find(|(_, pattern, wanted)| fits(*pattern, *wanted))?;
    let others = match focus {
        // A function key types nothing.
        Focus::Text => !(pattern.command || *key == Key::F1) || command.is_of_text(),
        // A slider or a list has its own use for these.
        Focus::Widget => matches!(command, Command::Walk(_) | Command::Nudge(_)),
        Focus::Symbol | Focus::Drawing => false,
    };
    (!others && (!repeat || command.repeats())).then_some(*command)
}
