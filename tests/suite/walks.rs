//! Somebody who knows nothing of the program does whatever comes to hand: thousands of
//! gestures and keys by the dice. Nothing panics, the project can be written after each, and
//! undoing all of it gives back the first bytes, redoing it the last.

use egui::accesskit::Role;
use egui::{Event, Key, Modifiers, OutputCommand, PointerButton, Pos2, Rect, pos2, vec2};
use egui_kittest::kittest::NodeT;
use rigwright_core::file;
use rigwright_core::rig::Project;

use crate::generator::Dice;
use crate::window::{Setup, Window};

/// Gestures of one walk, and walks of one test.
const GESTURES: usize = 360;
const WALKS: u64 = 7;
/// A rig that has grown to this is made smaller again, so that a walk comes to its end.
const MOST_DEVICES: usize = 14;
const MOST_VARIANTS: usize = 3;

/// What leaves the document for another, or the window, isn't done: there is nothing to
/// undo then.
const NOT_CLICKED: [&str; 14] = [
    "Rig",
    "Save",
    "Open it",
    "Drop it",
    "A guitar and an amp",
    "A file of mine",
    "Start from…",
    "Close",
    "Undo",
    "Redo",
    "Look for something better",
    "Find the best allocation",
    "Find the least supplies",
    "New variant from this one",
];

const KEYS: [(Modifiers, Key); 35] = [
    (Modifiers::NONE, Key::Delete),
    (Modifiers::NONE, Key::Space),
    (Modifiers::NONE, Key::T),
    (Modifiers::SHIFT, Key::T),
    (Modifiers::NONE, Key::F),
    (Modifiers::NONE, Key::L),
    (Modifiers::NONE, Key::I),
    (Modifiers::NONE, Key::Enter),
    (Modifiers::NONE, Key::Enter),
    (Modifiers::NONE, Key::Escape),
    (Modifiers::NONE, Key::Escape),
    (Modifiers::NONE, Key::Tab),
    (Modifiers::SHIFT, Key::Tab),
    (Modifiers::NONE, Key::ArrowDown),
    (Modifiers::NONE, Key::ArrowUp),
    (Modifiers::NONE, Key::ArrowLeft),
    (Modifiers::NONE, Key::ArrowRight),
    (Modifiers::NONE, Key::Plus),
    (Modifiers::NONE, Key::Minus),
    (Modifiers::NONE, Key::E),
    (Modifiers::NONE, Key::U),
    (Modifiers::NONE, Key::PageDown),
    (Modifiers::COMMAND, Key::Z),
    (Modifiers::COMMAND, Key::Y),
    (Modifiers::COMMAND, Key::Num1),
    (Modifiers::COMMAND, Key::Num2),
    (Modifiers::COMMAND, Key::A),
    (Modifiers::COMMAND, Key::D),
    (Modifiers::SHIFT, Key::F),
    (Modifiers::SHIFT, Key::ArrowLeft),
    (Modifiers::SHIFT, Key::ArrowDown),
    (Modifiers::NONE, Key::N),
    (Modifiers::NONE, Key::N),
    (Modifiers::NONE, Key::F2),
    (Modifiers::NONE, Key::F2),
];

const TEXTS: [&str; 8] = ["buffer", "drive", "4k7", "12", "", "−3", "splitter", "ü"];

struct Walk {
    window: Window,
    dice: Dice,
    /// What was copied last.
    clipboard: String,
}

impl Walk {
    fn step(&mut self) {
        self.window.harness.step();
    }

    fn button(&mut self, at: Pos2, pressed: bool, modifiers: Modifiers) {
        self.any_button(PointerButton::Primary, at, pressed, modifiers);
    }

    fn any_button(&mut self, button: PointerButton, at: Pos2, pressed: bool, modifiers: Modifiers) {
        self.window.harness.event(Event::PointerButton { pos: at, button, pressed, modifiers });
        self.step();
    }

    fn move_to(&mut self, at: Pos2) {
        self.window.harness.event(Event::PointerMoved(at));
        self.step();
    }

    fn key(&mut self, modifiers: Modifiers, key: Key) {
        for pressed in [true, false] {
            self.window.harness.event(Event::Key { key, physical_key: None, pressed, repeat: false, modifiers });
            self.step();
        }
    }

    /// Copies or cuts what is selected, or puts in what was copied last.
    fn clipboard(&mut self) -> String {
        let event = match self.dice.below(5) {
            0 | 1 => Event::Copy,
            2 => Event::Cut,
            _ => Event::Paste(self.clipboard.clone()),
        };
        let words = format!("{event:?}").chars().take(40).collect();
        self.window.harness.event(event);
        for _ in 0..2 {
            self.step();
            for command in &self.window.harness.output().platform_output.commands {
                if let OutputCommand::CopyText(text) = command {
                    self.clipboard.clone_from(text);
                }
            }
        }
        words
    }

    /// Something with a name, and where it is.
    fn thing(&mut self, fits: impl Fn(&str, Role) -> bool) -> Option<Rect> {
        let nodes = self.window.harness.root().children_recursive();
        let found: Vec<Rect> = nodes
            .filter(|node| {
                let node = node.accesskit_node();
                node.label().is_some_and(|name| fits(&name, node.role()))
            })
            .map(|node| node.rect())
            .collect();
        (!found.is_empty()).then(|| found[self.dice.below(found.len())])
    }

    fn somewhere(&mut self) -> Pos2 {
        let sheet = self.thing(|name, role| role == Role::Group && name.starts_with("Sheet"));
        if let Some(sheet) = sheet.filter(|_| self.dice.chance(0.8)) {
            return sheet.min + sheet.size() * vec2(self.dice.unit() as f32, self.dice.unit() as f32);
        }
        pos2((800.0 * self.dice.unit()) as f32, (560.0 * self.dice.unit()) as f32)
    }

    /// A symbol, a lead, a jack, a plug or the test point.
    fn on_the_sheet(&mut self) -> Option<Pos2> {
        let is_there = |name: &str, _: Role| {
            let starts = ["Lead from", "Free jack", "Plug in", "Test point", "Note: ", "Arrow of", "Run: "]
                .iter()
                .any(|start| name.starts_with(start));
            let counted = |part: &str| part.split_once(" of ").is_some_and(|(at, _)| at.parse::<usize>().is_ok());
            starts || name.split(", ").any(counted)
        };
        let rect = self.thing(is_there)?;
        let off = |dice: &mut Dice, size: f32| (0.6 * dice.unit() as f32 - 0.3) * size;
        let by = vec2(off(&mut self.dice, rect.width()), off(&mut self.dice, rect.height()));
        Some(rect.center() + by)
    }

    /// One gesture, and what it was.
    fn gesture(&mut self) -> String {
        match self.dice.below(18) {
            0..=4 => {
                let from = self.on_the_sheet().filter(|_| self.dice.chance(0.8)).unwrap_or_else(|| self.somewhere());
                let to = match self.dice.chance(0.6) {
                    true => self.on_the_sheet().unwrap_or_else(|| self.somewhere()),
                    false => self.somewhere(),
                };
                let modifiers = self.dice.pick(&[Modifiers::NONE, Modifiers::NONE, Modifiers::ALT, Modifiers::SHIFT]);
                let button = if self.dice.chance(0.9) { PointerButton::Primary } else { PointerButton::Middle };
                self.move_to(from);
                self.any_button(button, from, true, modifiers);
                self.move_to(from.lerp(to, 0.5));
                self.move_to(to);
                if self.dice.chance(0.08) {
                    self.key(Modifiers::NONE, Key::Escape);
                }
                self.any_button(button, to, false, modifiers);
                format!("drag from {from} to {to}")
            }
            5..=7 => {
                let wanted = |name: &str, role: Role| {
                    let role = matches!(role, Role::Button | Role::CheckBox | Role::Tab | Role::ComboBox);
                    role && !NOT_CLICKED.contains(&name) && !name.starts_with("Open ")
                };
                let Some(rect) = self.thing(wanted) else { return "nothing to click".into() };
                let at = rect.center();
                let modifiers = self.dice.pick(&[Modifiers::NONE, Modifiers::NONE, Modifiers::SHIFT]);
                let button = if self.dice.chance(0.9) { PointerButton::Primary } else { PointerButton::Secondary };
                self.move_to(at);
                self.any_button(button, at, true, modifiers);
                self.any_button(button, at, false, modifiers);
                format!("click at {at}")
            }
            8..=10 => {
                let (modifiers, key) = self.dice.pick(&KEYS);
                self.key(modifiers, key);
                format!("{modifiers:?} {key:?}")
            }
            16 | 17 => self.clipboard(),
            // What people do most: take hold of something, and do something to it.
            12..=14 => {
                let at = self.on_the_sheet().unwrap_or_else(|| self.somewhere());
                self.move_to(at);
                self.button(at, true, Modifiers::NONE);
                self.button(at, false, Modifiers::NONE);
                let key = self.dice.pick(&[Key::Delete, Key::Space, Key::I, Key::I, Key::T]);
                self.key(Modifiers::NONE, key);
                if key == Key::I {
                    let text = self.dice.pick(&["buffer", "drive", "splitter", "mixer", "amp", "4 loops"]);
                    self.window.harness.event(Event::Text(text.to_owned()));
                    self.step();
                    self.key(Modifiers::NONE, Key::Enter);
                }
                format!("click at {at} and {key:?}")
            }
            _ => {
                let text = self.dice.pick(&TEXTS);
                self.window.harness.event(Event::Text(text.to_owned()));
                self.step();
                format!("type “{text}”")
            }
        }
    }

    fn make_small(&mut self) {
        let project = self.window.project();
        let devices = project.variants.iter().map(|variant| variant.rig.devices.len()).max().unwrap_or(0);
        if devices > MOST_DEVICES || project.variants.len() > MOST_VARIANTS {
            self.key(Modifiers::NONE, Key::Escape);
            self.key(Modifiers::NONE, Key::Escape);
            for _ in 0..6 {
                self.key(Modifiers::COMMAND, Key::Z);
            }
        }
    }

    /// Undo or redo until nothing changes any more.
    fn all_the_way(&mut self, key: Key) {
        for _ in 0..4 {
            self.key(Modifiers::NONE, Key::Escape);
        }
        self.button(pos2(-1.0, -1.0), false, Modifiers::NONE);
        for _ in 0..4 * GESTURES {
            let before = self.window.project();
            self.key(Modifiers::COMMAND, key);
            if std::sync::Arc::ptr_eq(&before, &self.window.project()) {
                break;
            }
        }
    }
}

fn bytes(project: &Project, seed: u64) -> String {
    file::write(project).unwrap_or_else(|error| panic!("seed {seed}: {error}"))
}

fn walk(seed: u64) {
    let start = if seed.is_multiple_of(2) { file::blank().unwrap() } else { small() };
    let setup = Setup { size: [800.0, 560.0], ..Setup::file("/rigs/walk.ron", file::write(&start).unwrap()) };
    let mut walk = Walk { window: setup.open(), dice: Dice::new(seed), clipboard: String::new() };
    let first = walk.window.project();
    let first_bytes = bytes(&first, seed);
    let (mut last, mut changes) = (String::new(), 0);
    for at in 0..GESTURES {
        // Whoever is lost in a list or a field gets out again, and back to the signal.
        if walk.dice.chance(0.25) {
            walk.key(Modifiers::NONE, Key::Escape);
            walk.key(Modifiers::NONE, Key::Escape);
        }
        if walk.dice.chance(0.1) {
            walk.key(Modifiers::COMMAND, Key::Num1);
        }
        let before = walk.window.project();
        last = walk.gesture();
        // What is asked for in one frame is done in the next.
        (0..2).for_each(|_| walk.step());
        let after = walk.window.project();
        if !std::sync::Arc::ptr_eq(&before, &after) {
            changes += 1;
            // It is written and read again: whatever was done, the project can be opened.
            assert!(file::write(&after).is_ok(), "seed {seed}, gesture {at}: {last}");
        }
        walk.make_small();
    }
    assert!(changes > GESTURES / 18, "seed {seed}: only {changes} gestures changed anything");
    // What was undone on the way is there to be done again: the last of it is the end.
    walk.all_the_way(Key::Y);
    let end = bytes(&walk.window.project(), seed);
    walk.all_the_way(Key::Z);
    let undone = walk.window.project();
    assert_eq!(undone.variants, first.variants, "seed {seed}, after {last}");
    assert!(bytes(&undone, seed) == first_bytes, "seed {seed}");
    walk.all_the_way(Key::Y);
    assert!(bytes(&walk.window.project(), seed) == end, "seed {seed}: what is done again is not what was");
}

/// Six units and two amps, as somebody has them who plays with few pedals.
fn small() -> Project {
    file::few_on_a_daisy().unwrap()
}

fn walks(first: u64) {
    (first..first + WALKS).for_each(walk);
}

#[test]
fn two_and_a_half_thousand_gestures() {
    walks(0);
}

#[test]
fn two_and_a_half_thousand_more() {
    walks(100);
}

#[test]
fn and_as_many_again() {
    walks(200);
}

#[test]
fn and_the_last_of_ten_thousand() {
    walks(300);
}
