//! What each switch does to the tone, in the worst company of the others.

use egui::{RichText, Ui};
use rigwright_core::rig::{SwitchKey, SwitchSetting, device_name, left_out_words, step_words, switch_words};
use rigwright_core::states::{Extreme, Jump, words};
use rigwright_core::units::hertz;
use rigwright_core::words::capital;

use super::jump_curve;
use crate::state::Input;
use crate::theme::{Tokens, text};
use crate::views::{AS_BEFORE, DIED, Facts, Intent, Pointed, StateHighlight};
use crate::widgets::more::More;
use crate::widgets::{panel, small};

/// So many switches are listed to begin with.
const FIRST: usize = 4;

/// The list's own state.
#[derive(Debug, Default)]
pub struct Jumps {
    whole: bool,
    more: More,
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
        let old = if facts.states_are_old(facts.variant.id) { AS_BEFORE } else { "" };
        panel::quiet(ui, format!("{}. {old}", states.note()).trim_end());
        let rig = &facts.variant.rig;
        if !states.mutes.is_empty() {
            panel::quiet(ui, format!("{}.", left_out_words(&states.mutes, |device| device_name(rig, device))));
        }
        if !states.exact {
            panel::quiet(ui, "A switch that isn't listed may be heard all the same.");
        }
        let mut worst: Vec<&Jump> = states.jumps.iter().filter(|jump| size(jump) >= words::LEAST_DB).collect();
        let heard_db = |jump: &Jump| states.furthest_jump(jump).map_or(0.0, |furthest| furthest.db.abs());
        worst.sort_by(|a, b| heard_db(b).total_cmp(&heard_db(a)));
        if worst.is_empty() {
            panel::quiet(ui, "No switch changes the tone by as much as half a decibel, whatever the others do.");
        }
        let count = worst.len();
        if count > 0 {
            let top = hertz(states.heard_hz.1);
            panel::quiet(ui, format!("In the order of what is heard up to {top}; what goes on above is told too."));
            let wanted = if self.whole { states.jumps.len() } else { FIRST.min(states.jumps.len()) };
            if facts.inputs.peaks() != wanted {
                out.push(Intent::Input(Input::Peaks(wanted)));
            }
        }
        for jump in worst.into_iter().take(if self.whole { self.more.shown() } else { FIRST }) {
            let name = device_name(rig, jump.device());
            let step = SwitchSetting { switch: jump.switch, to: jump.to };
            let has = rig.device(jump.device()).and_then(|device| Some((device, device.switch(jump.switch.key)?)));
            // Of several positions it matters from which one.
            let from = has.filter(|(_, switch)| switch.positions > 2).map_or_else(String::new, |(device, _)| {
                format!(", from {}", device.position_name(jump.switch.key, jump.from))
            });
            let does = format!("{}{from}", capital(&step_words(rig, step, &name)));
            let stood = SwitchSetting { switch: jump.switch, to: jump.from };
            let stood = has.is_some_and(|(_, switch)| switch.default != jump.from).then_some(stood);
            let button = egui::Button::new(RichText::new(does).font(text::small())).frame(false);
            if ui.add(button).on_hover_text("Selects it in the drawing").clicked() {
                out.push(Intent::Select(Some(crate::state::Selected::Device(jump.device()))));
            }
            if let Some(heard) = facts.answers.peaks.of(jump) {
                panel::quiet(ui, heard.words());
            }
            for (end, up) in [(&jump.rise, true), (&jump.fall, false)] {
                let Some(line) = words::extreme(rig, states, end, up) else { continue };
                let line = RichText::new(line).font(text::small()).color(tokens.quiet);
                let before = before_words(jump.switch.key);
                let tip = format!("Sets all switches like that, {} {before} and see", switch_words(jump.switch, &name));
                let line = ui.add(egui::Button::new(line).frame(false).wrap());
                if line.hovered() || line.has_focus() {
                    let highlight = StateHighlight { set: before_it(end, stood), subject: Some(jump.switch) };
                    out.push(Intent::Point(Pointed::State(highlight)));
                }
                if line.on_hover_text(tip).clicked() {
                    out.push(Intent::Adopt { set: before_it(end, stood), select: Some(jump.device()) });
                }
            }
            for line in words::alone(states, jump).into_iter().chain(words::own_level(rig, jump)) {
                panel::quiet(ui, line);
            }
            jump_curve::ui(ui, states, jump, &switch_words(jump.switch, &name));
        }
        if self.whole {
            self.more.ui(ui, count);
        }
        if count > FIRST {
            let face = if self.whole { "Show the largest only".to_owned() } else { format!("Show all {count}") };
            if ui.add(small::button(face)).clicked() {
                self.whole = !self.whole;
            }
        }
    }
}

/// How all switches stand before the step.
fn before_it(end: &Extreme, stood: Option<SwitchSetting>) -> Vec<SwitchSetting> {
    end.among.iter().copied().chain(stood).collect()
}

fn size(jump: &Jump) -> f64 {
    jump.rise.db.abs().max(jump.fall.db.abs())
}

/// How a switch stands before the step, and what is to be done to hear it.
fn before_words(key: SwitchKey) -> &'static str {
    match key {
        SwitchKey::Bypass | SwitchKey::Mute => "off: switch it on",
        SwitchKey::Loop(_) => "out: put it in",
        SwitchKey::PushPull(_) => "pushed: pull it",
        SwitchKey::Channel | SwitchKey::Preset | SwitchKey::Patch | SwitchKey::Selector | SwitchKey::Pickups => {
            "as before: set it"
        }
    }
}
