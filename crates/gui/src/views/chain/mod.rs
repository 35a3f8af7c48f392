//! The Chain screen: the rig as a circuit drawing, its curves, and what is selected.

mod plot;
mod sheet;
mod side;

use egui::{CentralPanel, Frame, Margin, Panel, Rect, Ui, UiBuilder};

use crate::command::Command;
use crate::state::Selection;
use crate::theme::{Tokens, size};
use crate::views::picker::Picker;
use crate::views::{Facts, Intent, Purpose, Screen, StatusFacts, Subject};
use crate::widgets::panel;
use rigwright_core::diagnosis::Diagnosis;
use rigwright_core::rig::standing::state_words;

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

    fn insertion(&self, selection: &Selection) -> Purpose {
        selection.lead().map_or(Purpose::Sheet, Purpose::Lead)
    }

    fn show_diagnosis(&mut self, told: &Diagnosis) {
        self.side.show_diagnosis(told);
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
        if let Some(picker) = &mut self.picker
            && !picker.ui(ui, &facts.variant.rig, out)
        {
            self.picker = None;
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
