//! The Chain screen: the rig as a circuit drawing, its curves, and what is selected.

mod advice;
mod axes;
mod camera;
mod canvas;
mod choices;
mod compare;
mod compared;
mod curves;
mod drawing;
mod edge;
mod equivalent;
mod figures;
mod findings;
mod handles;
mod hatch;
mod head;
mod inspector;
mod jump_curve;
mod jumps;
mod labels;
mod lead_inspector;
mod lit;
mod orders;
mod paint;
mod pen;
mod picture;
mod places;
mod plot;
mod readout;
mod route;
mod sheet;
mod side;
mod sound_details;
mod sound_lines;
mod sounds;
mod style;
mod symbols;
mod wiring;

use std::collections::BTreeSet;

use rigwright_core::advice::Wishes;
use rigwright_core::response::Response;
use rigwright_core::rig::{JackRef, SoundId};

use egui::{CentralPanel, Frame, Margin, Panel, Rect, Ui, UiBuilder};

use crate::theme::{Tokens, size};
use crate::views::picker::Picker;
use crate::views::{Facts, Intent, Purpose};
use crate::widgets::panel;

/// The Chain screen's own state; no part of the project.
#[derive(Debug, Default)]
pub struct Chain {
    canvas: canvas::Canvas,
    plot: plot::LevelPlot,
    compared: compared::Compared,
    side: side::Side,
    picker: Option<Picker>,
}

impl Chain {
    /// Shows the whole rig from the next frame on.
    pub fn fit(&mut self) {
        self.canvas.fit();
    }

    /// Zooms the sheet about its middle.
    pub fn zoom(&mut self, factor: f32) {
        self.canvas.zoom(factor);
    }

    /// Opens the catalogue.
    pub fn open_picker(&mut self, purpose: Purpose) {
        self.picker = Some(Picker::open(purpose));
    }

    /// Whether the catalogue is open.
    #[must_use]
    pub fn picker_is_open(&self) -> bool {
        self.picker.is_some()
    }

    /// The endpoint that the curves are taken at.
    #[must_use]
    pub fn endpoint(&self, response: &Response) -> Option<JackRef> {
        self.plot.endpoint(response)
    }

    /// The sounds whose curves are shown.
    #[must_use]
    pub fn sounds_shown(&self) -> &BTreeSet<SoundId> {
        self.side.sounds.shown()
    }

    /// Whether rigs are compared in figures.
    #[must_use]
    pub fn compares(&self) -> bool {
        self.side.compares()
    }

    /// What a search for something better may change.
    #[must_use]
    pub fn wishes(&self) -> Wishes {
        self.side.advice.wishes
    }

    /// Whether the catalogue is open or something is being dragged.
    #[must_use]
    pub fn is_busy(&self) -> bool {
        self.picker.is_some() || self.canvas.is_dragging()
    }

    /// The screen in all the room there is.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
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
            self.plot.ui(ui, facts, &mut self.compared, out);
        });
        let mut right = child(ui, side, "side");
        panel::frame(tokens).show(&mut right, |ui| {
            ui.set_min_size(ui.available_size());
            self.side.ui(ui, facts, &self.plot, &mut self.compared, out);
        });
        ui.advance_cursor_after_rect(room);
    }
}
