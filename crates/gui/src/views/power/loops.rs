//! Ground loops, the likeliest first: what each is, its way, what breaks it.

use egui::{Label, RichText, Ui};
use rigwright_core::ground::{GroundLoop, Rank};

use super::canvas::Scene;
use super::panel::link;
use super::words;
use crate::theme::{Tokens, text};
use crate::views::{Facts, Intent, Pointed};
use crate::widgets::entry::entry;
use crate::widgets::{panel, small};

/// So many are listed to begin with.
const FIRST: usize = 3;

/// The list's own state.
#[derive(Debug, Default)]
pub struct Loops {
    whole: bool,
}

impl Loops {
    /// The list.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, scene: &Scene<'_>, out: &mut Vec<Intent>) {
        let Some(answer) = scene.answer else { return };
        ui.separator();
        panel::heading(ui, "Ground loops");
        let count = answer.loops.len();
        match count {
            0 => return panel::quiet(ui, "None: no current finds a second way back."),
            1 => panel::quiet(ui, "One possible cause of hum."),
            _ => panel::quiet(ui, format!("{count} possible causes of hum, the likeliest first.")),
        }
        ui.horizontal_wrapped(|ui| {
            let tokens = Tokens::of(ui);
            let never =
                RichText::new("Never lift a mains earth to break one.").font(text::small()).color(tokens.copper);
            ui.label(never);
            link(ui, "Cautions", out);
        });
        for found in answer.loops.iter().take(if self.whole { usize::MAX } else { FIRST }) {
            one(ui, facts, scene, found, out);
        }
        if count > FIRST {
            let words =
                if self.whole { "Show the likeliest only".to_owned() } else { format!("Show all {count} loops") };
            if ui.add(small::button(words)).clicked() {
                self.whole = !self.whole;
            }
        }
    }
}

fn one(ui: &mut Ui, facts: &Facts<'_>, scene: &Scene<'_>, found: &GroundLoop, out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    let shown = facts.power.loop_shown == Some(found);
    let ink = match found.rank {
        Rank::TwoEarths | Rank::WithDigital => tokens.copper,
        Rank::Local => tokens.border,
    };
    let hovered = entry(ui, ink, if scene.old { 0.55 } else { 1.0 }, |ui| {
        ui.add(Label::new(RichText::new(format!("{}.", found.text)).color(tokens.ink)).wrap());
        panel::quiet(ui, &found.path);
        if found.rank != Rank::Local {
            for cure in &found.cures {
                panel::quiet(ui, format!("Would break it: {}.", words::lower(&cure.words(scene.rig))));
            }
        }
        let does = if shown { "Hide the loop" } else { "Show the loop" };
        let button =
            ui.add_enabled(!scene.old, egui::Button::new(RichText::new(does).font(text::small()).color(tokens.teal)));
        let named = format!("{does}: {}", found.path);
        button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, !scene.old, &named));
        if button.on_hover_text("Lights its way here and on the Chain screen").clicked() {
            out.push(Intent::ShowLoop((!shown).then(|| Box::new(found.clone()))));
        }
    });
    if hovered && !scene.old {
        out.push(Intent::Point(Pointed::Loop(Box::new(found.clone()))));
    }
}
