//! What would be: worked out before a frame for what was pointed at or looked at in
//! the last one. Screens only say what that is, and show what there is of it.

use std::sync::Arc;

use egui::{Context, Key};
use rigwright_core::rig::{Device, Edit, Project, Variant};

use super::Desk;
use crate::state::{Preview, PreviewedChange};
use crate::views::{Pointed, StateHighlight, Subject};

impl Desk {
    /// Sees to it that there is a preview of what is pointed at and of what is looked at.
    pub(super) fn preview(&mut self) {
        let project = Arc::clone(self.document.project());
        let Some(variant) = project.variant(self.showing) else { return };
        let pointed = self.pointed.as_ref().and_then(|pointed| pointed_change(pointed, &project, variant));
        // With the very ids that it would get.
        let pointed = pointed.map(|preview| Preview { edit: self.document.resolved(&preview.edit), ..preview });
        self.refusal.update(&project, pointed.as_ref().map(|preview| &preview.edit));
        let place = (variant.id, self.answers.fed.feeding());
        let cache = self.answers.cache(variant.id);
        self.ghosts.update(&project, place, pointed.as_ref(), cache, &*self.host);
        self.power_previews.update(&project, variant, &self.power_answers, &*self.host);
    }

    /// Looks at a change of power, or at the rig as it is.
    pub(super) fn look_at(&mut self, change: Option<PreviewedChange>) {
        self.power_previews.look_at(self.document.project(), self.showing, change);
    }

    /// Escape puts a preview away.
    pub(super) fn put_preview_away(&mut self, ctx: &Context) {
        let here = self.screen().subject() == Subject::Supplies && !self.picker_is_open();
        if here && ctx.input(|input| input.key_pressed(Key::Escape)) {
            self.look_at(None);
        }
    }
}

/// The change whose curve is shown while something is pointed at.
fn pointed_change(pointed: &Pointed, project: &Project, variant: &Variant) -> Option<Preview> {
    match pointed {
        Pointed::Change(preview) | Pointed::Typed(preview) => Some(preview.clone()),
        Pointed::Unit(device) => {
            let found = variant.rig.device(*device)?;
            let setting = found.stepped_on(&project.state)?;
            let words = format!("{} {}", found.name, found.position_name(setting.switch.key, setting.to));
            Some(Preview { words, edit: Edit::Switch(setting) })
        }
        Pointed::State(_) | Pointed::About(_) => None,
    }
}

/// The state that is highlighted while something is pointed at.
pub fn state_highlight(pointed: &Pointed, variant: &Variant) -> Option<StateHighlight> {
    match pointed {
        Pointed::State(highlight) => Some(highlight.clone()),
        Pointed::About(about) => {
            let chief = about.devices.first().and_then(|id| variant.rig.device(*id));
            let subject = chief.and_then(Device::on_off).map(|switch| switch.id);
            about.among.clone().map(|set| StateHighlight { set, subject })
        }
        Pointed::Unit(_) | Pointed::Change(_) | Pointed::Typed(_) => None,
    }
}
