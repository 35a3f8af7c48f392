//! The Chain screen: the rig as a circuit drawing, its curves, and what is selected.

mod plot;
mod sheet;
mod side;

use egui::{CentralPanel, Frame, Margin, Panel, Rect, Ui, UiBuilder};

use crate::command::Command;
use crate::state::Selection;
use crate::theme::{Tokens, size};
use crate::views::picker::{Picker, Stays};
use crate::views::{Facts, Intent, Purpose, Screen, StatusFacts, Subject};
use crate::widgets::panel;
use rigwright_core::rig::standing::state_words;
use rigwright_core::rig::{Jack, JackRef, Variant};

/// The Chain screen's own state; no part of the project.
#[derive(Debug, Default)]
pub struct Chain {
    canvas: sheet::canvas::Canvas,
    plot: plot::LevelPlot,
    side: side::Side,
    picker: Option<Picker>,
}

impl Screen for Chain {
    fn opened_by(&self) -> Command {
        Command::ShowChain
    }

    fn subject(&self) -> Subject {
        Subject::Signal
    }

    fn status_line(&self, about: &StatusFacts<'_>) -> String {
        state_words(&about.project.state, about.variant)
    }

    fn fit(&mut self) {
        self.canvas.fit();
    }

    fn zoom(&mut self, factor: f32) {
        self.canvas.zoom(factor);
    }

    /// On the selected lead, or behind the selected device: on the lead that leaves it.
    fn insertion(&self, selection: &Selection, variant: &Variant) -> Purpose {
        let rig = &variant.rig;
        let Some(device) = selection.device().and_then(|id| rig.device(id)) else {
            return selection.lead().map_or(Purpose::Sheet, Purpose::Lead);
        };
        match sheet::drag::output_of(device) {
            Some(output) => rig.lead_from(output).map_or(Purpose::Behind(output), |lead| Purpose::Lead(lead.id)),
            // Where the signal ends, before it.
            None => {
                rig.lead_to(JackRef::new(device.id, Jack::In)).map_or(Purpose::Sheet, |lead| Purpose::Lead(lead.id))
            }
        }
    }

    fn open_picker(&mut self, purpose: Purpose) {
        self.picker = Some(Picker::open(purpose));
    }

    fn picker_is_open(&self) -> bool {
        self.picker.is_some()
    }

    fn is_busy(&self) -> bool {
        self.picker.is_some() || self.canvas.is_dragging()
    }

    fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let tokens = Tokens::of(ui);
        let gap = size::GAP as i8;
        let room = ui.available_size();
        let outer = Frame::new().inner_margin(Margin { left: gap, right: gap, top: 0, bottom: gap });
        Panel::bottom("lower")
            .frame(outer)
            .resizable(true)
            .show_separator_line(false)
            .default_size((0.46 * room.y).max(170.0))
            .min_size(150.0)
            .max_size(0.75 * room.y)
            .show(ui, |ui| self.lower(ui, facts, out));
        let sheet =
            Frame::new().inner_margin(Margin { left: gap, right: gap, top: 0, bottom: gap }).fill(tokens.ground);
        CentralPanel::no_frame().frame(sheet).show(ui, |ui| self.canvas.ui(ui, facts, out));
        if let Some(picker) = &mut self.picker {
            match picker.ui(ui, facts.variant, out) {
                Stays::Open => {}
                Stays::Closed => self.picker = None,
                Stays::Carried(part) => {
                    self.picker = None;
                    self.canvas.carry(part);
                }
            }
        }
    }
}

impl Chain {
    fn lower(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let tokens = Tokens::of(ui);
        let room = ui.available_rect_before_wrap();
        let width = (0.34 * room.width()).clamp(300.0, 520.0);
        // Fixed places: what there is to say of a device must not push the plot about.
        let (plot, side) = room.split_left_right_at_x(room.right() - width);
        let plot = plot.with_max_x(plot.right() - size::GAP);
        let child = |ui: &mut Ui, place: Rect, salt: &str| {
            let mut child = ui.new_child(UiBuilder::new().max_rect(place).id_salt(salt));
            child.shrink_clip_rect(place);
            child
        };
        let mut left = child(ui, plot, "plot");
        panel::frame(tokens).show(&mut left, |ui| {
            ui.set_min_size(ui.available_size());
            self.plot.ui(ui, facts, out);
        });
        let mut right = child(ui, side, "side");
        panel::frame(tokens).show(&mut right, |ui| {
            ui.set_min_size(ui.available_size());
            self.side.ui(ui, facts, out);
        });
        ui.advance_cursor_after_rect(room);
    }
}
