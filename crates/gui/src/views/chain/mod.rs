//! The Chain screen: the rig as a circuit drawing, its curves, and what is selected.

pub mod picture;
mod plot;
mod sheet;
mod side;

pub use plot::signs::paint as plot_sign;
pub use sheet::picture::Miniature;
pub use sheet::signs::paint as sheet_sign;

use egui::{Rect, ScrollArea, Sense, Ui, UiBuilder, Vec2, vec2};

use crate::command::{self, Command};
use crate::state::{Selected, Selection};
use crate::theme::{Tokens, size};
use crate::views::picker::{Picker, Stays};
use crate::views::{Facts, Intent, Purpose, Screen, StatusFacts, Subject};
use crate::widgets::divider::{self, Way};
use crate::widgets::panel;
use rigwright_core::diagnosis::Diagnosis;
use rigwright_core::rig::standing::state_words;
use rigwright_core::rig::{CanvasPoint, Edit, Jack, JackRef, Variant};

/// The Chain screen's own state; no part of the project.
#[derive(Debug)]
pub struct Chain {
    canvas: sheet::canvas::Canvas,
    plot: plot::LevelPlot,
    side: side::Side,
    picker: Option<Picker>,
    /// The part of the height that is left below the drawing, as it was last dragged: a
    /// window that was small for a while changes nothing of it.
    lower_part: f32,
    /// The part of the width that the panel takes where it stands at full height.
    side_part: f32,
}

impl Default for Chain {
    fn default() -> Self {
        Self {
            canvas: sheet::canvas::Canvas::default(),
            plot: plot::LevelPlot::default(),
            side: side::Side::default(),
            picker: None,
            lower_part: 0.46,
            side_part: 0.32,
        }
    }
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

    fn fit_selected(&mut self, selection: &Selection) {
        self.canvas.fit_selected(selection);
    }

    fn reveal(&mut self) {
        self.canvas.reveal();
    }

    fn type_over(&mut self) {
        self.canvas.type_over_selected();
    }

    fn note_place(&mut self) -> Option<CanvasPoint> {
        self.canvas.note_place()
    }

    fn has_focus(&self) -> bool {
        self.canvas.focused.is_some()
    }

    fn beside(&self, selection: &Selection, variant: &Variant, way: command::Way) -> Option<Selected> {
        self.canvas.beside(selection, variant, way)
    }

    fn nudged(&self, selection: &Selection, variant: &Variant, way: command::Way) -> Option<Edit> {
        self.canvas.nudged(selection, variant, way)
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
        self.picker.is_some() || self.canvas.is_dragging() || self.canvas.typing.is_some()
    }

    fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let gap = size::GAP;
        let whole = ui.available_rect_before_wrap();
        let room = Rect::from_min_max(whole.min + vec2(gap, 0.0), whole.max - vec2(gap, gap));
        match Shape::of(room.size()) {
            Shape::Wide => {
                let width = (self.side_part * room.width()).clamp(LEAST_SIDE, 0.5 * room.width());
                let (left, side) = room.split_left_right_at_x(room.right() - width);
                let gap = Rect::from_x_y_ranges(left.right() - gap..=left.right(), room.y_range());
                let by = divider::show(ui, gap, Way::Upright, "Divider between the drawing and the panel");
                if by != 0.0 {
                    self.side_part = (width - by) / room.width();
                }
                let (sheet, plot) = self.upper_and_lower(ui, left.with_max_x(gap.left()));
                self.sheet(ui, sheet, facts, out);
                self.plot(ui, plot, facts, out);
                self.side(ui, side, facts, out);
            }
            Shape::Usual => {
                let (sheet, lower) = self.upper_and_lower(ui, room);
                let width = (0.34 * lower.width()).clamp(LEAST_SIDE, 520.0);
                let (plot, side) = lower.split_left_right_at_x(lower.right() - width);
                self.sheet(ui, sheet, facts, out);
                self.plot(ui, plot.with_max_x(plot.right() - gap), facts, out);
                self.side(ui, side, facts, out);
            }
            Shape::Small => self.stacked(ui, room, facts, out),
        }
        ui.advance_cursor_after_rect(whole);
        if let Some(picker) = &mut self.picker {
            match picker.ui(ui, facts, out) {
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

/// The least width of the panel at the side, in points.
const LEAST_SIDE: f32 = 300.0;
/// The least heights of the drawing and of what is below, in points.
const LEAST_SHEET: f32 = 130.0;
const LEAST_LOWER: f32 = 160.0;

/// Lower than this the parts lie one below the other.
const LEAST_HEIGHT: f32 = 340.0;

/// How the parts of the screen lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Shape {
    /// The panel beside the drawing and the plot, at full height.
    Wide,
    /// The panel beside the plot, below the drawing.
    Usual,
    /// One below the other, to be scrolled.
    Small,
}

impl Shape {
    /// The shape for a room of a size in points.
    fn of(room: Vec2) -> Self {
        match () {
            () if room.x < 560.0 || room.y < LEAST_HEIGHT => Self::Small,
            () if room.x >= 1300.0 => Self::Wide,
            () => Self::Usual,
        }
    }
}

impl Chain {
    /// The drawing's room and what is left below, with the divider between them.
    fn upper_and_lower(&mut self, ui: &Ui, room: Rect) -> (Rect, Rect) {
        let most = (room.height() - LEAST_SHEET).max(LEAST_LOWER);
        let height = (self.lower_part * room.height()).clamp(LEAST_LOWER, most);
        let (sheet, lower) = room.split_top_bottom_at_y(room.bottom() - height);
        let gap = Rect::from_x_y_ranges(room.x_range(), sheet.bottom() - size::GAP..=sheet.bottom());
        let by = divider::show(ui, gap, Way::Level, "Divider between the drawing and the plot");
        if by != 0.0 {
            self.lower_part = (height - by).clamp(LEAST_LOWER, most) / room.height();
        }
        (sheet.with_max_y(gap.top()), lower)
    }

    /// Where there is little room, the parts one below the other; each as large as it needs
    /// to be, the rest is scrolled to.
    fn stacked(&mut self, ui: &mut Ui, room: Rect, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let mut child = ui.new_child(UiBuilder::new().max_rect(room).id_salt("stacked"));
        ScrollArea::vertical().id_salt("stacked").auto_shrink([false, false]).show(&mut child, |ui| {
            let width = ui.available_width();
            for (part, height) in [(0, 230.0_f32.min(room.height().max(150.0))), (1, 250.0), (2, 340.0)] {
                let (rect, _) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
                match part {
                    0 => self.sheet(ui, rect, facts, out),
                    1 => self.plot(ui, rect, facts, out),
                    _ => self.side(ui, rect, facts, out),
                }
            }
        });
    }

    fn sheet(&mut self, ui: &mut Ui, place: Rect, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let mut child = child(ui, place, "drawing");
        self.canvas.ui(&mut child, facts, out);
    }

    fn plot(&mut self, ui: &mut Ui, place: Rect, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let tokens = Tokens::of(ui);
        panel::frame(tokens).show(&mut child(ui, place, "plot"), |ui| {
            ui.set_min_size(ui.available_size());
            self.plot.ui(ui, facts, out);
        });
    }

    fn side(&mut self, ui: &mut Ui, place: Rect, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let tokens = Tokens::of(ui);
        panel::frame(tokens).show(&mut child(ui, place, "side"), |ui| {
            ui.set_min_size(ui.available_size());
            self.side.ui(ui, facts, out);
        });
    }
}

/// A fixed place: what there is to say of a device must not push the plot about.
fn child(ui: &mut Ui, place: Rect, salt: &str) -> Ui {
    let mut child = ui.new_child(UiBuilder::new().max_rect(place).id_salt(salt));
    child.shrink_clip_rect(place);
    child
}
