//! A screen: what a tab shows. The window asks it and knows nothing else of it, so
//! that one more is a folder that has this, a command, and a line in [`super::screens`].

use egui::Ui;
use rigwright_core::diagnosis::Diagnosis;
use rigwright_core::rig::{CanvasPoint, Edit, Project, Variant};

use super::{Facts, Intent, Purpose};
use crate::command::{Command, Way};
use crate::state::{PowerAnswer, Selected, Selection};

/// What the keys of a screen are about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Subject {
    /// The signal's way: units, leads, switches, the test point.
    Signal,
    /// Supplies and the leads from them: the signal stays as it is.
    Supplies,
}

/// What the line beside the variants is made from.
pub struct StatusFacts<'a> {
    /// The project.
    pub project: &'a Project,
    /// The variant in hand.
    pub variant: &'a Variant,
    /// What its power amounts to, where that is known.
    pub power: Option<&'a PowerAnswer>,
}

/// A screen. What it has of its own is no part of the project.
pub trait Screen {
    /// The command that opens it; its tab has that command's words.
    fn opened_by(&self) -> Command;

    /// What its keys are about. Where that is supplies, what power amounts to is
    /// worked out while the screen is open.
    fn subject(&self) -> Subject;

    /// The screen in all the room there is.
    fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>);

    /// How the rig in hand stands, in the line beside the variants.
    fn status_line(&self, about: &StatusFacts<'_>) -> String;

    /// Shows all there is from the next frame on.
    fn fit(&mut self) {}

    /// Shows what is selected as large as there is room for.
    fn fit_selected(&mut self, _selection: &Selection) {}

    /// Sees to it that what is selected is in sight from the next frame on.
    fn reveal(&mut self) {}

    /// Types over what the screen says of what is selected, in its place.
    fn type_over(&mut self) {}

    /// Where a new note goes, on a screen that has notes.
    fn note_place(&mut self) -> Option<CanvasPoint> {
        None
    }

    /// Whether one of the symbols that it draws has the keyboard.
    fn has_focus(&self) -> bool {
        false
    }

    /// What the selection goes on to in a direction.
    fn beside(&self, _selection: &Selection, _variant: &Variant, _way: Way) -> Option<Selected> {
        None
    }

    /// The edit that moves the selected symbols a little in a direction.
    fn nudged(&self, _selection: &Selection, _variant: &Variant, _way: Way) -> Option<Edit> {
        None
    }

    /// Zooms about the middle.
    fn zoom(&mut self, _factor: f32) {}

    /// What the catalogue is opened for where a part is to be put in.
    fn insertion(&self, selection: &Selection, variant: &Variant) -> Purpose;

    /// Shows a diagnosis in the list of them, where the screen has one.
    fn show_diagnosis(&mut self, _told: &Diagnosis) {}

    /// Opens the catalogue.
    fn open_picker(&mut self, purpose: Purpose);

    /// Whether the catalogue is open.
    fn picker_is_open(&self) -> bool {
        false
    }

    /// Whether the catalogue or a preview is open, or something is being dragged.
    fn is_busy(&self) -> bool {
        false
    }
}
