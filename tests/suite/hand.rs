//! A hand for the real window: what somebody does with mouse and keys to draw a first rig,
//! found by names in the window in memory and written down as places and keys. The smoke
//! test does the same in a window on a screen (`.ci/smoke`) and must come to the same file.
//!
//! `UPDATE_SNAPSHOTS=1` writes both anew.

use std::path::Path;

use egui::{Key, Pos2, vec2};
use rigwright_core::file;

use crate::window::{Setup, Window};

/// The window's size on the screen, in points; one pixel each.
const SIZE: [f32; 2] = [1280.0, 800.0];

struct Hand {
    window: Window,
    script: String,
}

impl Hand {
    fn write(&mut self, line: &str) {
        self.script.push_str(line);
        self.script.push('\n');
    }

    fn at(&mut self, word: &str, at: Pos2) {
        self.write(&format!("{word} {:.0} {:.0}", at.x, at.y));
    }

    fn click(&mut self, at: Pos2) {
        let at = at.round();
        self.at("move", at);
        self.write("down");
        self.write("up");
        self.window.click_at(at);
    }

    fn key(&mut self, key: Key) {
        let name = match key {
            Key::Enter => "Return".to_owned(),
            key => key.name().to_lowercase(),
        };
        self.write(&format!("key {name}"));
        self.window.press(key);
    }

    fn words(&mut self, words: &str) {
        self.write(&format!("type {words}"));
        self.window.type_text(words);
    }

    fn save(&mut self) {
        self.write("key ctrl+s");
        self.window.command(Key::S);
    }

    fn drag(&mut self, from: Pos2, to: Pos2) {
        let (from, to) = (from.round(), to.round());
        self.at("move", from);
        self.write("down");
        for part in [0.2, 0.5, 0.8, 1.0] {
            self.at("move", from.lerp(to, part).round());
        }
        self.write("up");
        self.window.drag(from, to);
    }

    fn middle(&self, device: &str) -> Pos2 {
        self.window.device(device).rect().center()
    }

    fn insert(&mut self, part: &str) {
        self.key(Key::I);
        self.words(part);
        self.key(Key::Enter);
    }
}

/// Holds what is kept against what came out, or keeps it.
fn kept(name: &str, text: &str) {
    let path = Path::new("hand").join(name);
    if std::env::var_os("UPDATE_SNAPSHOTS").is_some() {
        std::fs::create_dir_all("hand").unwrap();
        std::fs::write(&path, text).unwrap();
    }
    let there = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(there == text, "tests/hand/{name} is another; look at what changed, and write it anew:\n{text}");
}

#[test]
fn what_the_smoke_test_does_by_hand_draws_a_first_rig() {
    let setup = Setup { size: SIZE, ..Setup::file("/rigs/hand.ron", file::BLANK_BYTES) };
    let mut hand = Hand { window: setup.look("dark").open(), script: String::new() };
    // Three units, each behind the one before.
    hand.click(hand.middle("Guitar"));
    for part in ["tuner, true", "mild drive", "hall reverb"] {
        hand.insert(part);
    }
    // One is dragged between two others.
    let onto = hand.window.from("Lead from Tuner, true bypass to Mild drive").rect().center();
    hand.drag(hand.middle("Hall reverb"), onto);
    // A loose unit is joined by dropping it on a lead.
    let paper = hand.window.sheet().left_bottom() + vec2(30.0, -30.0);
    hand.click(paper);
    hand.insert("buffer");
    let onto = hand.window.lead("Guitar", "Tuner, true bypass").rect().center();
    hand.drag(hand.middle("Buffer"), onto + vec2(14.0, -20.0));
    let order = super::journeys::chain_of(&hand.window.variant(0).rig);
    assert_eq!(order, ["Guitar", "Buffer", "Tuner, true bypass", "Hall reverb", "Mild drive", "Amp"]);
    hand.save();
    let saved = hand.window.file("/rigs/hand.ron").unwrap();
    assert_eq!(file::read(saved.as_bytes()).unwrap(), *hand.window.project());
    kept("script.txt", &hand.script);
    kept("rig.ron", &saved);
}
