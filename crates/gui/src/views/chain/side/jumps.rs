//! What each switch does to the tone, in the worst company of the others.

use std::sync::Arc;

use egui::{RichText, Ui};
use rigwright_core::cascade::Bank;
use rigwright_core::compare::{Heard, heard, peaks_within};
use rigwright_core::network::Sweep;
use rigwright_core::rig::{
    Rig, SwitchKey, SwitchSetting, device_name, left_out_words, moved_words, step_words, switch_words, unmoved_word,
};
use rigwright_core::states::{Extreme, Jump, States};
use rigwright_core::units::{Level, hertz};
use rigwright_core::words::capital;

use super::jump_curve;
use crate::state::AllStates;
use crate::theme::{Tokens, text};
use crate::views::{DIED, Facts, Intent, Lit, Pointed};
use crate::widgets::more::More;
use crate::widgets::{panel, small};

/// So many switches are listed to begin with.
const FIRST: usize = 4;
/// So many devices are gone over in a frame for what switches do to the peak.
const IN_A_FRAME: usize = 1_000;
/// Smaller jumps than this are not worth a word. [practice, S: small-differences]
const LEAST_DB: f64 = 0.5;

/// The list's own state.
#[derive(Debug, Default)]
pub struct Jumps {
    whole: bool,
    more: More,
    peaks: Peaks,
}

/// What the switches that are listed do to the peak, kept for as long as the states are the same.
#[derive(Debug, Default)]
struct Peaks {
    of: Option<Arc<AllStates>>,
    /// Of so many the peak was looked at.
    looked: usize,
    heard: Vec<Heard>,
}

impl Peaks {
    /// So many switches, the furthest first.
    fn see(&mut self, facts: &Facts<'_>, most: usize) {
        let Some(states) = facts.states(facts.variant.id) else { return };
        let most = most.min(peaks_within(IN_A_FRAME, &facts.variant.rig));
        let same = self.of.as_ref().is_some_and(|of| Arc::ptr_eq(of, states));
        if same && self.looked >= most {
            return;
        }
        *self = Self { of: Some(Arc::clone(states)), looked: 0, heard: Vec::new() };
        // Old states answer another question than the one that is asked now.
        let question = facts.answers.states_question(facts.variant.id);
        if let (Some(question), Ok(found), false) = (question, states.as_ref(), facts.states_are_old(facts.variant.id))
        {
            self.heard = heard(question, found, most, &mut Bank::new(Sweep::audio()));
            self.looked = most;
        }
    }

    /// "Peak 2.43 kHz to 3.68 kHz, +10.0 dB at 4.93 kHz."
    fn told(&self, jump: &Jump) -> Option<String> {
        let heard = self.heard.iter().find(|heard| heard.furthest.is_of(jump))?;
        let level = format!("{} at {}", Level::Decibels(heard.furthest.db), hertz(heard.furthest.hz));
        Some(match heard.peak.map(|peak| peak.moved_words()) {
            Some(Some(moved)) => format!("Peak {moved}, {level}."),
            Some(None) => format!("The peak stays, {level}."),
            None => format!("{level}; in so large a rig the peak isn't looked at."),
        })
    }
}

impl Jumps {
    /// The states in a sentence, and the switches that jump most.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        if facts.answers.died(facts.variant.id) {
            panel::quiet(ui, DIED);
        }
        let Some(states) = facts.all() else { return };
        if states.jumps.is_empty() {
            return;
        }
        let tokens = Tokens::of(ui);
        // Lines of a list, and no row of buttons.
        ui.spacing_mut().interact_size.y = 15.0;
        ui.spacing_mut().button_padding.y = 1.0;
        ui.spacing_mut().item_spacing.y = 3.0;
        let old = if facts.states_are_old(facts.variant.id) { " As before the last change." } else { "" };
        panel::quiet(ui, format!("{}.{old}", states.note()));
        let rig = &facts.variant.rig;
        if !states.mutes.is_empty() {
            panel::quiet(ui, format!("{}.", left_out_words(&states.mutes, |device| device_name(rig, device))));
        }
        if !states.exact {
            panel::quiet(ui, "A switch that isn't listed may be heard all the same.");
        }
        let mut worst: Vec<&Jump> = states.jumps.iter().filter(|jump| size(jump) >= LEAST_DB).collect();
        let heard_db = |jump: &Jump| states.furthest_jump(jump).map_or(0.0, |furthest| furthest.db.abs());
        worst.sort_by(|a, b| heard_db(b).total_cmp(&heard_db(a)));
        if worst.is_empty() {
            panel::quiet(ui, "No switch changes the tone by as much as half a decibel, whatever the others do.");
        }
        let count = worst.len();
        if count > 0 {
            let top = hertz(states.heard_hz.1);
            panel::quiet(ui, format!("In the order of what is heard up to {top}; what goes on above is told too."));
            self.peaks.see(facts, if self.whole { states.jumps.len() } else { FIRST.min(states.jumps.len()) });
        }
        for jump in worst.into_iter().take(if self.whole { self.more.shown() } else { FIRST }) {
            let name = device_name(rig, jump.device());
            let step = SwitchSetting { switch: jump.switch, to: jump.to };
            let words = capital(&step_words(rig, step, &name));
            let button = egui::Button::new(RichText::new(words).font(text::small())).frame(false);
            if ui.add(button).on_hover_text("Selects it in the drawing").clicked() {
                out.push(Intent::Select(Some(crate::state::Selected::Device(jump.device()))));
            }
            if let Some(words) = self.peaks.told(jump) {
                panel::quiet(ui, words);
            }
            for (end, up) in [(&jump.rise, true), (&jump.fall, false)] {
                let Some(words) = told(rig, states, end, up) else { continue };
                let words = RichText::new(words).font(text::small()).color(tokens.quiet);
                let before = before_words(jump.switch.key);
                let tip = format!("Sets all switches like that, {} {before} and see", switch_words(jump.switch, &name));
                let line = ui.add(egui::Button::new(words).frame(false).wrap());
                if line.hovered() || line.has_focus() {
                    let lit = Lit { set: end.among.clone(), subject: Some(jump.switch) };
                    out.push(Intent::Point(Pointed::State(lit)));
                }
                if line.on_hover_text(tip).clicked() {
                    out.push(Intent::Adopt { set: end.among.clone(), select: Some(jump.device()) });
                }
            }
            for words in alone(states, jump).into_iter().chain(own_level(rig, jump)) {
                panel::quiet(ui, words);
            }
            jump_curve::ui(ui, states, jump, &switch_words(jump.switch, &name));
        }
        if self.whole {
            self.more.ui(ui, count);
        }
        if count > FIRST {
            let words = if self.whole { "Show the largest only".to_owned() } else { format!("Show all {count}") };
            if ui.add(small::button(words)).clicked() {
                self.whole = !self.whole;
            }
        }
    }
}

fn size(jump: &Jump) -> f64 {
    jump.rise.db.abs().max(jump.fall.db.abs())
}

/// How a switch stands before the step, and what is to be done to hear it.
fn before_words(key: SwitchKey) -> &'static str {
    match key {
        SwitchKey::Bypass | SwitchKey::Mute => "off: switch it on",
        SwitchKey::Loop(_) => "out: put it in",
        SwitchKey::Channel | SwitchKey::Preset => "as before: set it",
    }
}

/// "10.0 dB up at 5.02 kHz, with Delay on"; nothing for what is no rise, or no fall.
fn told(rig: &Rig, states: &States, end: &Extreme, up: bool) -> Option<String> {
    if end.db.abs() < LEAST_DB || (end.db > 0.0) != up {
        return None;
    }
    let hz = states.hz().get(end.at).copied()?;
    let moved = moved_words(&end.among, |device| device_name(rig, device), |names| names.join(", "));
    let company = moved.unwrap_or_else(|| format!("everything else {}", unmoved_word(rig)));
    let way = if up { "up" } else { "down" };
    Some(format!("{:.1} dB {way} at {}, with {company}", end.db.abs(), hertz(hz)))
}

/// What it does with everything else off, where that isn't told as its furthest.
fn alone(states: &States, jump: &Jump) -> Option<String> {
    if jump.rise.among.is_empty() || jump.fall.among.is_empty() {
        return None;
    }
    let curve = jump.alone_db.as_ref()?;
    let at = (0..curve.len()).max_by(|&a, &b| curve[a].abs().total_cmp(&curve[b].abs()))?;
    let (db, hz) = (*curve.get(at)?, *states.hz().get(at)?);
    let way = if db > 0.0 { "up" } else { "down" };
    Some(format!("By itself, {:.1} dB {way} at most, at {}.", db.abs(), hertz(hz)))
}

/// What becomes of the level that a unit is set to: it is no part of its jump, but
/// where the signal goes another way at the same time.
fn own_level(rig: &Rig, jump: &Jump) -> Option<String> {
    let level = rig.device(jump.device())?.kind.pedal()?.on.level.get();
    let words = Level::Decibels(level);
    match (jump.has_level, jump.is_whole) {
        (true, _) => Some(format!("Its own level of {words} is a part of that: it is in one of several ways.")),
        (false, false) if level != 0.0 => Some(format!("Its own level of {words} isn't counted.")),
        _ => None,
    }
}
