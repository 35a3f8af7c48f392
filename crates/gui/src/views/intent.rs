//! What a screen reads, and what it asks for. A screen changes nothing itself.

use std::path::PathBuf;
use std::sync::Arc;

use rigwright_core::response::Response;
use rigwright_core::rig::{DeviceId, JackRef, LeadId, Project, Variant, VariantId};
use rigwright_core::states::{NoStates, States};

use crate::command::Command;
use crate::state::{Answers, Change, Selected, Selection};

/// What a screen reads.
pub struct Facts<'a> {
    /// The project.
    pub project: &'a Arc<Project>,
    /// The variant in hand.
    pub variant: &'a Arc<Variant>,
    /// The answers that there are.
    pub answers: &'a Answers,
    /// What is selected.
    pub selection: &'a Selection,
    /// All footswitch states of the variant in hand, where its curve is taken.
    pub all: Option<&'a Arc<Result<States, NoStates>>>,
}

impl Facts<'_> {
    /// The answer for the variant in hand.
    #[must_use]
    pub fn response(&self) -> Option<&Arc<Response>> {
        self.answers.get(self.variant.id)
    }

    /// Which of the project's variants is in hand.
    #[must_use]
    pub fn index(&self) -> usize {
        self.project.variants.iter().position(|variant| variant.id == self.variant.id).unwrap_or(0)
    }
}

/// What a part of the catalogue is wanted for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// To be plugged in on a lead.
    Lead(LeadId),
    /// To be put on the sheet.
    Sheet,
    /// To take the place of a device.
    Replace(DeviceId),
}

/// What a screen asks for.
#[derive(Debug, Clone, PartialEq)]
pub enum Intent {
    /// Change the project.
    Change(Change),
    /// A gesture is over: the next change is another step.
    EndGesture,
    /// Select something, or nothing.
    Select(Option<Selected>),
    /// Do what a key or a menu does.
    Command(Command),
    /// Plug a new part of the catalogue in on a lead.
    Insert {
        /// The lead.
        lead: LeadId,
        /// The part's key.
        part: String,
    },
    /// Plug a device that stands loose in on a lead.
    Plug {
        /// The device.
        device: DeviceId,
        /// The lead.
        onto: LeadId,
    },
    /// Put a new part of the catalogue on the sheet, joined to nothing.
    Add {
        /// The part's key.
        part: String,
    },
    /// Plug a new lead into two free jacks.
    Join {
        /// The output.
        from: JackRef,
        /// The input.
        to: JackRef,
    },
    /// Take another variant in hand.
    Show(VariantId),
    /// Make a device into another part of the catalogue; its leads stay.
    Replace {
        /// The device.
        device: DeviceId,
        /// The part's key.
        part: String,
    },
    /// Open the catalogue.
    OpenPicker(Purpose),
    /// Open a file.
    OpenFile(PathBuf),
    /// Switch on exactly these of the rig in hand, and select a device.
    Adopt {
        /// The devices that are on.
        on: Vec<DeviceId>,
        /// What is looked at.
        select: DeviceId,
    },
    /// Flip the switch of a device.
    Toggle(DeviceId),
}
