//! The whole window on a machine in memory, and hands to use it with.
//!
//! What a journey asks for is what a person asks for: a name that is read out, a
//! place on the screen, a key. Each event is a frame of its own.

use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use egui::accesskit::Role;
use egui::{
    Event, Key, Modifiers, PointerButton, Pos2, Rect, Shape, Ui, UiBuilder, ViewportCommand, ViewportEvent, ViewportId,
};
use egui_kittest::kittest::NodeT;
use egui_kittest::{Harness, Node};
use rigwright::desk::{Desk, Start};
use rigwright::jobs::TestHost;
use rigwright_core::file;
use rigwright_core::rig::{Project, Variant};

use crate::raster::SoftwareRenderer;

/// A program that was started.
pub struct Window {
    pub harness: Harness<'static, Desk>,
    pub host: Arc<TestHost>,
}

/// How it is started.
pub struct Setup {
    pub host: Arc<TestHost>,
    pub start: Start,
    /// In points.
    pub size: [f32; 2],
    /// Pixels a point.
    pub scale: f32,
}

impl Setup {
    /// On a desktop like any other, with the program's own demo.
    pub fn demo() -> Self {
        Self { host: Arc::new(TestHost::new()), start: Start::Demo, size: [1440.0, 900.0], scale: 1.0 }
    }

    /// With a file that holds these bytes.
    pub fn file(path: &str, bytes: impl Into<Vec<u8>>) -> Self {
        let setup = Self { start: Start::File(path.into()), ..Self::demo() };
        setup.host.put_file(path, bytes);
        setup
    }

    /// With a look that was chosen in an earlier session; a picture needs that.
    /// The strip of other starts was put away then, too.
    pub fn look(self, theme: &str) -> Self {
        self.host.put_settings(&format!("(theme: \"{theme}\", starts_dismissed: true)"));
        self
    }

    pub fn open(self) -> Window {
        let desk = Desk::new(Arc::clone(&self.host) as Arc<_>, self.start);
        let harness = Harness::builder().with_size(self.size).with_pixels_per_point(self.scale);
        // What has no name fails a journey of its own, not all of them.
        let harness = harness.with_max_steps(8).with_accessibility_check(false);
        let harness = harness.with_render_cursor(false).renderer(SoftwareRenderer::default());
        let harness = harness.build_ui_state(frame, desk);
        // The program's style came with the first frame, and its text cursor blinks.
        harness.ctx.all_styles_mut(|style| style.visuals.text_cursor.blink = false);
        let mut window = Window { harness, host: self.host };
        window.run();
        window
    }
}

/// The window in all the room there is, as the native one has it.
fn frame(ui: &mut Ui, desk: &mut Desk) {
    desk.logic(&ui.ctx().clone());
    let whole = UiBuilder::new().max_rect(ui.ctx().content_rect());
    ui.scope_builder(whole, |ui| desk.ui(ui));
}

impl Window {
    pub fn demo() -> Self {
        Setup::demo().open()
    }

    /// A guitar, a lead and an amp, in `/rigs/blank.ron`.
    pub fn blank() -> Self {
        Setup::file("/rigs/blank.ron", file::BLANK_BYTES).open()
    }

    pub fn of(project: &Project) -> Self {
        Setup::file("/rigs/own.ron", file::write(project)).open()
    }

    pub fn project(&self) -> Arc<Project> {
        Arc::clone(self.harness.state().project())
    }

    /// The variant at an index.
    pub fn variant(&self, index: usize) -> Arc<Variant> {
        Arc::clone(&self.project().variants[index])
    }

    /// Fails unless the project is just like that; names the first difference.
    #[track_caller]
    pub fn assert_is(&self, expected: &Project) {
        let now = self.project();
        let (text, other) = (file::write(&now), file::write(expected));
        let mut lines = text.lines().zip(other.lines()).enumerate();
        let different = lines.find(|(_, (line, other))| line != other);
        assert!(*now == *expected, "the project is another: line and what is there, and what should be: {different:?}");
    }

    /// Goes on until the screen is at rest; fails if it doesn't come to rest.
    #[track_caller]
    pub fn run(&mut self) {
        self.harness.run();
    }

    /// Fails if the window asks for another frame although nothing goes on.
    #[track_caller]
    pub fn assert_idle(&mut self) {
        self.harness.remove_cursor();
        // Unsaved work is kept once more after two seconds.
        self.host.advance(2.0);
        self.run();
        let delay = self.harness.output().viewport_output[&ViewportId::ROOT].repaint_delay;
        assert_eq!(delay, Duration::MAX, "{:?}", self.harness.ctx.repaint_causes());
    }

    /// Goes on until the screen is at rest, and gives back what the desktop was told.
    pub fn told(&mut self) -> Vec<ViewportCommand> {
        let mut told = Vec::new();
        for _ in 0..10 {
            self.harness.step();
            let output = &self.harness.output().viewport_output[&ViewportId::ROOT];
            told.extend(output.commands.iter().cloned());
            if output.repaint_delay != Duration::ZERO {
                break;
            }
        }
        told
    }

    /// Does these one after another, and gives back what the desktop was told meanwhile.
    pub fn told_after(&mut self, events: impl IntoIterator<Item = Event>) -> Vec<ViewportCommand> {
        let mut told = Vec::new();
        for event in events {
            self.harness.event(event);
            told.extend(self.told());
        }
        told
    }

    /// A click as it is heard by the window, and what the desktop was told.
    #[track_caller]
    pub fn click_told(&mut self, name: &str) -> Vec<ViewportCommand> {
        let pos = self.named(name).rect().center();
        let modifiers = Modifiers::NONE;
        let button = |pressed| Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers };
        self.told_after([Event::PointerMoved(pos), button(true), button(false), Event::PointerGone])
    }

    /// Clicks the window's own cross, as the desktop passes it on; true if it closes.
    pub fn close(&mut self) -> bool {
        let root = self.harness.input_mut().viewports.entry(ViewportId::ROOT).or_default();
        root.events.push(ViewportEvent::Close);
        !self.told().contains(&ViewportCommand::CancelClose)
    }

    // What there is to see.

    /// The names of all that has one, and all text, as they are read out.
    pub fn texts(&self) -> Vec<String> {
        let read = |node: Node<'_>| {
            let (label, value) = (node.accesskit_node().label(), node.accesskit_node().value());
            let value = value.filter(|value| label.as_ref() != Some(value));
            [label, value]
        };
        // A text's parts say again what the text has said.
        let whole = |node: &Node<'_>| node.accesskit_node().role() != Role::TextRun;
        self.harness.root().children_recursive().filter(whole).flat_map(read).flatten().collect()
    }

    /// The texts that begin like this, in their order on the screen.
    pub fn texts_from(&self, start: &str) -> Vec<String> {
        self.texts().into_iter().filter(|text| text.starts_with(start)).collect()
    }

    pub fn says(&self, part: &str) -> bool {
        self.texts().iter().any(|text| text.contains(part))
    }

    #[track_caller]
    pub fn assert_says(&self, part: &str) {
        assert!(self.says(part), "“{part}” is nowhere in {:#?}", self.texts());
    }

    /// All text that is painted, whoever can read it out.
    pub fn painted(&self) -> Vec<String> {
        fn gather(shape: &Shape, found: &mut Vec<String>) {
            match shape {
                Shape::Text(text) => found.push(text.galley.text().to_owned()),
                Shape::Vec(shapes) => shapes.iter().for_each(|shape| gather(shape, found)),
                _ => {}
            }
        }
        let mut found = Vec::new();
        self.harness.output().shapes.iter().for_each(|clipped| gather(&clipped.shape, &mut found));
        found
    }

    /// All that can be used and whose name begins like this.
    pub fn all_from(&self, start: &str) -> Vec<Node<'_>> {
        self.nodes(&|name| name.starts_with(start))
    }

    fn nodes(&self, fits: &dyn Fn(&str) -> bool) -> Vec<Node<'_>> {
        let nodes = self.harness.root().children_recursive();
        let named = |node: &Node<'_>| {
            let node = node.accesskit_node();
            node.role() != Role::Label && node.label().is_some_and(|name| fits(&name))
        };
        nodes.filter(named).collect()
    }

    /// Whether something that can be used has just this name.
    pub fn has(&self, name: &str) -> bool {
        !self.nodes(&|other| other == name).is_empty()
    }

    /// The name of what has the keyboard.
    pub fn focused(&self) -> Option<String> {
        let mut nodes = self.harness.root().children_recursive();
        nodes.find(|node| node.is_focused()).and_then(|node| node.accesskit_node().label())
    }

    /// What has this name; a question stands before what it covers.
    #[track_caller]
    pub fn named(&self, name: &str) -> Node<'_> {
        let found = self.nodes(&|other| other == name).pop();
        found.unwrap_or_else(|| panic!("nothing is named “{name}” in {:#?}", self.texts()))
    }

    /// The one thing whose name begins like this.
    #[track_caller]
    pub fn from(&self, start: &str) -> Node<'_> {
        let mut found = self.all_from(start);
        assert_eq!(found.len(), 1, "named “{start}…”: {:?} in {:#?}", found, self.texts());
        found.remove(0)
    }

    /// The symbol of a device.
    #[track_caller]
    pub fn device(&self, name: &str) -> Node<'_> {
        let start = format!("{name}, ");
        let mut found = self.nodes(&|name| name.starts_with(&start) && name.contains(" of "));
        assert_eq!(found.len(), 1, "devices named “{name}”: {found:?} in {:#?}", self.texts());
        found.remove(0)
    }

    /// The slider of a knob; the field beside it has the same name.
    #[track_caller]
    pub fn slider(&self, name: &str) -> Node<'_> {
        let mut found = self.nodes(&|other| other == name);
        found.retain(|node| node.accesskit_node().role() == Role::Slider);
        assert_eq!(found.len(), 1, "sliders named “{name}”: {found:?} in {:#?}", self.texts());
        found.remove(0)
    }

    /// The list that has something chosen, or asks for it.
    #[track_caller]
    pub fn list(&self, shown: &str) -> Node<'_> {
        let mut found: Vec<_> = self.harness.root().children_recursive().collect();
        found.retain(|node| node.accesskit_node().role() == Role::ComboBox);
        found.retain(|node| node.value().is_some_and(|value| value.starts_with(shown)));
        assert_eq!(found.len(), 1, "lists that show “{shown}”: {found:?} in {:#?}", self.texts());
        found.remove(0)
    }

    /// The lead between two devices.
    #[track_caller]
    pub fn lead(&self, from: &str, to: &str) -> Node<'_> {
        self.from(&format!("Lead from {from} to {to}, "))
    }

    // What there is to do.

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
        let at = self.from(entry).rect().center();
        self.click_at(at);
    }

    /// Drags in small steps, one a frame.
    #[track_caller]
    pub fn drag(&mut self, from: Pos2, to: Pos2) {
        self.hold(from, to);
        self.harness.drop_at(to);
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

    /// What a field holds.
    #[track_caller]
    pub fn value(&self, field: &str) -> String {
        self.named(field).value().unwrap_or_default()
    }

    /// A file of the machine, as text.
    pub fn file(&self, path: impl AsRef<Path>) -> Option<String> {
        self.host.file(path).map(|bytes| String::from_utf8(bytes).unwrap())
    }

    /// The sheet with the drawing.
    pub fn sheet(&self) -> Rect {
        self.named("Sheet with the rig as a circuit drawing").rect()
    }
}
