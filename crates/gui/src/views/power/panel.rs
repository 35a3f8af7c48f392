//! The panel at the side: what is selected, or else what there is to know.

use egui::{RichText, ScrollArea, Ui};

use super::canvas::Scene;
use super::energy::Energy;
use super::feed::FeedPanel;
use super::findings;
use super::loops::Loops;
use super::needs::Needs;
use super::plan::Plan;
use super::supply::SupplyPanel;
use crate::theme::{Tokens, text};
use crate::views::{Facts, Intent, diagnoses};
use crate::widgets::{panel, small};

/// The panel's own state.
#[derive(Debug, Default)]
pub struct Side {
    needs: Needs,
    supply: SupplyPanel,
    feed: FeedPanel,
    loops: Loops,
    plan: Plan,
    findings: findings::Findings,
    energy: Energy,
}

impl Side {
    /// The panel in all the room there is.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, scene: &Scene<'_>, out: &mut Vec<Intent>) {
        let device = scene.selected.and_then(|id| scene.rig.device(id));
        // Cautions have a place of their own, which nothing pushes out of sight.
        egui::Panel::bottom("cautions of power").frame(egui::Frame::NONE).show_separator_line(false).show(ui, |ui| {
            cautions(ui, out);
        });
        let salt = if device.is_some() { "selected" } else { "all" };
        ScrollArea::vertical().id_salt(salt).auto_shrink([false, false]).show(ui, |ui| match device {
            Some(device) => {
                if ui.add(small::button("Back to the findings")).on_hover_text("Selects nothing (Escape)").clicked() {
                    out.push(Intent::Select(None));
                }
                ui.add_space(2.0);
                panel::heading(ui, &device.name);
                findings::of_device(ui, facts, device, out);
                self.feed.ui(ui, scene, device, out);
                self.needs.ui(ui, scene, device, out);
                self.supply.ui(ui, scene, device, out);
            }
            None => {
                findings::all(ui, &mut self.findings, facts, scene, out);
                self.plan.ui(ui, facts, scene, out);
                self.loops.ui(ui, facts, scene, out);
                self.energy.ui(ui, facts, scene, out);
            }
        });
    }
}

fn cautions(ui: &mut Ui, out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Mains and valve-amp work:").font(text::small()).color(tokens.quiet));
        diagnoses::cautions(ui, out);
    });
}
