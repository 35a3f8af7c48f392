//! Keys find their commands, and keep out of the way of typing.

use std::collections::BTreeSet;

use egui::{Context, Event, RawInput, TextEdit, Ui};

use super::*;

fn key(key: Key, modifiers: Modifiers) -> Event {
    Event::Key { key, physical_key: None, pressed: true, repeat: false, modifiers }
}

fn released(key: Key) -> Event {
    Event::Key { key, physical_key: None, pressed: false, repeat: false, modifiers: NONE }
}

fn ctrl(shift: bool) -> Modifiers {
    Modifiers { shift, ctrl: true, command: true, ..Modifiers::NONE }
}

/// A frame with these events; the command, and the events that are left.
fn frame(ctx: &Context, events: Vec<Event>, mut show: impl FnMut(&mut Ui)) -> (Option<Command>, Vec<Event>) {
    let mut answer = (None, Vec::new());
    run(ctx, events, |ui| {
        answer = (Command::pressed(ui.ctx(), false), ui.input(|input| input.events.clone()));
        show(ui);
    });
    answer
}

fn run(ctx: &Context, events: Vec<Event>, show: impl FnMut(&mut Ui)) {
    let input = RawInput { events, ..RawInput::default() };
    // Nothing is painted, and the library insists on knowing that.
    ctx.run_ui(input, show).textures_delta.clear();
}

fn alone(event: Event) -> Option<Command> {
    frame(&Context::default(), vec![event], |_| {}).0
}

#[test]
fn every_command_has_words_and_no_key_has_two() {
    let all: BTreeSet<Command> = Command::ALL.into_iter().collect();
    assert_eq!(all.len(), Command::ALL.len());
    let texts: BTreeSet<_> = Command::ALL.into_iter().map(Command::text).collect();
    assert_eq!(texts.len(), Command::ALL.len());
    assert!(Command::ALL.iter().all(|command| command.tooltip().ends_with('.')));
    for (i, (_, modifiers, key)) in KEYS.iter().enumerate() {
        assert!(KEYS[..i].iter().all(|(_, other, taken)| (other, taken) != (modifiers, key)), "{key:?}");
    }
}

#[test]
fn all_that_can_leave_the_program_does_so_in_both_ways() {
    for what in Exported::ALL {
        for command in [Command::SaveExport(what), Command::CopyExport(what)] {
            assert!(Command::EXPORTS.contains(&command) && Command::ALL.contains(&command), "{command:?}");
        }
    }
    let pictures = Exported::ALL.into_iter().filter(|what| what.is_picture());
    let as_svg: Vec<Command> = pictures.map(Command::CopyAsSvg).collect();
    assert!(as_svg.iter().all(|command| Command::EXPORTS.contains(command)));
    assert_eq!(Command::EXPORTS.len(), 2 * Exported::ALL.len() + as_svg.len());
}

#[test]
fn keys_find_their_commands() {
    for (command, modifiers, wanted) in KEYS {
        let held = Modifiers { ctrl: modifiers.command, ..*modifiers };
        let let_go = (*wanted == Key::Space).then(|| released(Key::Space));
        let events = [key(*wanted, held)].into_iter().chain(let_go).collect();
        assert_eq!(frame(&Context::default(), events, |_| {}).0, Some(*command));
    }
    assert_eq!(alone(key(Key::Z, ctrl(false))), Some(Command::Undo));
    assert_eq!(alone(key(Key::Z, ctrl(true))), Some(Command::Redo));
    assert_eq!(alone(key(Key::Y, ctrl(false))), Some(Command::Redo));
    assert_eq!(alone(key(Key::Plus, SHIFT)), Some(Command::ZoomIn));
    assert_eq!(alone(key(Key::Plus, ctrl(false))), Some(Command::ScaleLarger));
    assert_eq!(
        alone(key(Key::Plus, ctrl(true))),
        Some(Command::ScaleLarger),
        "Plus is a shifted key on many keyboards"
    );
    assert_eq!(alone(key(Key::T, Modifiers::ALT)), None);
    assert_eq!(alone(key(Key::Delete, SHIFT)), None);
}

#[test]
fn holding_a_key_down_repeats_what_may_be_repeated() {
    // A second press with no release between is a repetition.
    let again = |event: Event| {
        let ctx = Context::default();
        frame(&ctx, vec![event.clone()], |_| {});
        frame(&ctx, vec![event], |_| {}).0
    };
    assert_eq!(again(key(Key::Z, ctrl(false))), Some(Command::Undo));
    assert_eq!(again(key(Key::Space, NONE)), None);
    assert_eq!(again(key(Key::Delete, NONE)), None);
}

#[test]
fn a_key_is_used_up_with_the_letter_that_it_types() {
    let events = vec![key(Key::I, NONE), Event::Text("i".to_owned()), key(Key::F, NONE)];
    let (command, left) = frame(&Context::default(), events, |_| {});
    assert_eq!(command, Some(Command::Insert));
    assert_eq!(left, [key(Key::F, NONE)]);
}

#[test]
fn while_typing_plain_keys_and_undo_are_the_text_fields() {
    let ctx = Context::default();
    let mut text = "4.7k".to_owned();
    let mut show = |ui: &mut Ui| {
        ui.add(TextEdit::singleline(&mut text)).request_focus();
    };
    frame(&ctx, vec![], &mut show);
    frame(&ctx, vec![], &mut show);
    assert!(ctx.text_edit_focused());
    for plain in [Key::Delete, Key::Backspace, Key::Space, Key::T, Key::F, Key::I, Key::Minus] {
        let (command, left) = frame(&ctx, vec![key(plain, NONE)], &mut show);
        assert_eq!((command, left.len()), (None, 1), "{plain:?}");
    }
    for undo in [key(Key::Z, ctrl(false)), key(Key::Z, ctrl(true))] {
        assert_eq!(frame(&ctx, vec![undo], &mut show).0, None);
    }
    let save = key(Key::S, ctrl(false));
    assert_eq!(frame(&ctx, vec![save], &mut show).0, Some(Command::Save));
    assert_eq!(frame(&ctx, vec![key(Key::F1, NONE)], &mut show).0, Some(Command::Help), "it types nothing");
}

#[test]
fn space_presses_the_button_that_has_the_focus() {
    let ctx = Context::default();
    let mut clicked = false;
    let mut show = |ui: &mut Ui| {
        let button = ui.button("a button");
        button.request_focus();
        clicked |= button.clicked();
    };
    frame(&ctx, vec![], &mut show);
    frame(&ctx, vec![], &mut show);
    let space = key(Key::Space, NONE);
    assert_eq!(frame(&ctx, vec![space.clone(), released(Key::Space)], &mut show).0, None);
    // An arrow is the button's too, and of no use to a symbol of the drawing.
    let arrow = || vec![key(Key::ArrowRight, NONE)];
    assert_eq!(frame(&ctx, arrow(), &mut show).0, None);
    assert!(clicked);
    let mut command = None;
    run(&ctx, arrow(), |ui| command = Command::pressed(ui.ctx(), true));
    assert_eq!(command, Some(Command::Walk(Way::Right)));
}

#[test]
fn space_steps_on_a_switch_when_it_is_let_go_unless_the_sheet_was_moved_meanwhile() {
    let space = || key(Key::Space, NONE);
    let ctx = Context::default();
    assert_eq!(frame(&ctx, vec![space()], |_| {}).0, None);
    assert_eq!(frame(&ctx, vec![], |_| {}).0, None);
    assert_eq!(frame(&ctx, vec![released(Key::Space)], |_| {}).0, Some(Command::ToggleSwitch));
    assert_eq!(frame(&ctx, vec![released(Key::Space)], |_| {}).0, None, "it had not gone down");
    let button = |pressed| Event::PointerButton {
        pos: egui::pos2(5.0, 5.0),
        button: egui::PointerButton::Primary,
        pressed,
        modifiers: NONE,
    };
    frame(&ctx, vec![space()], |_| {});
    frame(&ctx, vec![button(true)], |_| {});
    frame(&ctx, vec![button(false)], |_| {});
    assert_eq!(frame(&ctx, vec![released(Key::Space)], |_| {}).0, None);
}
