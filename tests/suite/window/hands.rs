//! What a person does with a mouse and a keyboard.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{Event, Key, Modifiers, PointerButton, Pos2, ViewportCommand};
use egui_kittest::Node;

use super::Window;

/// A file that is let go over the window, which reads files in its own way.
#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        Err("the window reads no file by itself".to_owned())
    }
}

impl Window {
    #[track_caller]
    pub fn click(&mut self, name: &str) {
        let at = self.named(name).rect().center();
        self.click_at(at);
    }

    /// Scrolls to something, and clicks it.
    #[track_caller]
    pub fn find_and_click(&mut self, find: impl Fn(&Self) -> Node<'_>) {
        find(self).scroll_to_me();
        self.run();
        let at = find(self).rect().center();
        self.click_at(at);
    }

    /// Clicks and takes the hand off the mouse, so that no tooltip comes.
    #[track_caller]
    pub fn click_at(&mut self, at: Pos2) {
        self.harness.hover_at(at);
        self.harness.drag_at(at);
        self.harness.drop_at(at);
        self.run();
    }

    /// A right click.
    #[track_caller]
    pub fn right_click_at(&mut self, at: Pos2) {
        self.harness.hover_at(at);
        for pressed in [true, false] {
            let button = PointerButton::Secondary;
            self.harness.event(Event::PointerButton { pos: at, button, pressed, modifiers: Modifiers::NONE });
        }
        self.run();
    }

    /// A click with keys held down.
    #[track_caller]
    pub fn click_with(&mut self, modifiers: Modifiers, at: Pos2) {
        let button = PointerButton::Primary;
        self.harness.event(Event::PointerMoved(at));
        self.harness.event(Event::ModifiersChanged(modifiers));
        for pressed in [true, false] {
            self.harness.event_modifiers(Event::PointerButton { pos: at, button, pressed, modifiers }, modifiers);
        }
        self.harness.event(Event::ModifiersChanged(Modifiers::NONE));
        self.run();
    }

    /// Two clicks in one place, quick enough to be one.
    #[track_caller]
    pub fn double_click_at(&mut self, at: Pos2) {
        let button = PointerButton::Primary;
        self.harness.event(Event::PointerMoved(at));
        for _ in 0..2 {
            for pressed in [true, false] {
                let event = Event::PointerButton { pos: at, button, pressed, modifiers: Modifiers::NONE };
                self.harness.input_mut().events.push(event);
            }
            self.harness.step();
        }
        self.run();
    }

    /// Lets files go over the window.
    pub fn drop_files(&mut self, paths: &[&str]) {
        for path in paths {
            self.harness.input_mut().dropped_files.push(Arc::new(Dropped(PathBuf::from(path))));
        }
        self.harness.step();
        self.run();
    }

    /// Clicks beside the lead's plus, which stands in its middle.
    #[track_caller]
    pub fn click_lead(&mut self, from: &str, to: &str) {
        let rect = self.lead(from, to).rect();
        self.click_at(rect.left_center().lerp(rect.center(), 0.3));
    }

    #[track_caller]
    pub fn click_device(&mut self, name: &str) {
        let at = self.device(name).rect().center();
        self.click_at(at);
    }

    /// Opens the menu and clicks an entry, whose key is part of its name.
    #[track_caller]
    pub fn menu(&mut self, entry: &str) {
        self.click("Rig");
        // In a low window it scrolls.
        self.find_and_click(|window| window.from(entry));
    }

    /// Drags in small steps, one a frame.
    #[track_caller]
    pub fn drag(&mut self, from: Pos2, to: Pos2) {
        self.hold(from, to);
        self.harness.drop_at(to);
        self.run();
    }

    /// Moves the sheet by the middle button.
    #[track_caller]
    pub fn pan(&mut self, from: Pos2, to: Pos2) {
        self.drag_with(PointerButton::Middle, from, to);
    }

    /// Drags with one of the mouse's buttons.
    #[track_caller]
    pub fn drag_with(&mut self, button: PointerButton, from: Pos2, to: Pos2) {
        let modifiers = Modifiers::NONE;
        self.harness.event(Event::PointerMoved(from));
        self.harness.event(Event::PointerButton { pos: from, button, pressed: true, modifiers });
        for step in 1..=12_u8 {
            self.harness.event(Event::PointerMoved(from.lerp(to, f32::from(step) / 12.0)));
        }
        self.harness.event(Event::PointerButton { pos: to, button, pressed: false, modifiers });
        self.run();
    }

    /// A drag that doesn't end.
    pub fn hold(&mut self, from: Pos2, to: Pos2) {
        const STEPS: u8 = 24;
        self.harness.hover_at(from);
        self.harness.drag_at(from);
        for step in 1..=STEPS {
            self.harness.hover_at(from.lerp(to, f32::from(step) / f32::from(STEPS)));
        }
        self.harness.step();
    }

    #[track_caller]
    pub fn press(&mut self, key: Key) {
        self.press_with(Modifiers::NONE, key);
    }

    /// Presses a key; one that stands for a letter sends that too, in the same frame.
    #[track_caller]
    pub fn press_with(&mut self, modifiers: Modifiers, key: Key) {
        let events = &mut self.harness.input_mut().events;
        let event = |pressed| Event::Key { key, physical_key: None, pressed, repeat: false, modifiers };
        events.extend([Event::ModifiersChanged(modifiers), event(true)]);
        let letter = key.name();
        if letter.len() == 1 && !modifiers.command {
            let letter = if modifiers.shift { letter.to_owned() } else { letter.to_lowercase() };
            events.push(Event::Text(letter));
        }
        self.harness.step();
        let events = &mut self.harness.input_mut().events;
        events.extend([event(false), Event::ModifiersChanged(Modifiers::NONE)]);
        self.run();
    }

    /// The same, and what the desktop was told.
    pub fn command_told(&mut self, key: Key) -> Vec<ViewportCommand> {
        let modifiers = Modifiers::COMMAND;
        let event = |pressed| Event::Key { key, physical_key: None, pressed, repeat: false, modifiers };
        let released = Event::ModifiersChanged(Modifiers::NONE);
        self.told_after([Event::ModifiersChanged(modifiers), event(true), event(false), released])
    }

    /// A click as it is heard by the window, and what the desktop was told.
    #[track_caller]
    pub fn click_told(&mut self, name: &str) -> Vec<ViewportCommand> {
        let pos = self.named(name).rect().center();
        let modifiers = Modifiers::NONE;
        let button = |pressed| Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers };
        self.told_after([Event::PointerMoved(pos), button(true), button(false), Event::PointerGone])
    }

    #[track_caller]
    pub fn command(&mut self, key: Key) {
        self.press_with(Modifiers::COMMAND, key);
    }

    /// Puts the keyboard on something without a click, as Tab does in the end.
    #[track_caller]
    pub fn focus(&mut self, name: &str) {
        self.named(name).focus();
        self.run();
    }

    #[track_caller]
    pub fn type_text(&mut self, text: &str) {
        self.harness.event(Event::Text(text.to_owned()));
        self.run();
    }

    /// Types over what a field holds, and presses Enter.
    #[track_caller]
    pub fn fill(&mut self, field: &str, text: &str) {
        self.focus(field);
        self.command(Key::A);
        self.type_text(text);
        self.press(Key::Enter);
    }
}
