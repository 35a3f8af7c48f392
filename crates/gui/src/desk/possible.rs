//! Which commands would do something now, and why the others wouldn't.

use std::collections::BTreeMap;
use std::sync::Arc;

use rigwright_core::rig::{Device, Variant};

use super::Desk;
use crate::command::Command;
use crate::state::Scale;
use crate::views::Subject;

impl Desk {
    /// The commands that would do nothing now, each with a sentence that says why.
    pub(super) fn impossible(&self) -> BTreeMap<Command, &'static str> {
        Command::ALL.into_iter().filter_map(|command| Some((command, self.cannot(command)?))).collect()
    }

    fn cannot(&self, command: Command) -> Option<&'static str> {
        let devices = self.selection.devices();
        let has_devices = !devices.is_empty();
        let several = self.selection.is_several();
        // Several are switched on and off together; one by whichever switch it has.
        let is_switched = |device: &Device| if several { device.has_switch() } else { device.main_switch().is_some() };
        let has_switch = self
            .showing()
            .is_some_and(|variant| devices.iter().filter_map(|id| variant.rig.device(*id)).any(is_switched));
        let on_supplies = self.screen().subject() == Subject::Supplies;
        let (possible, why) = match command {
            Command::Undo => (self.document.can_undo(), "There is nothing to undo."),
            Command::Redo => (self.document.can_redo(), "There is nothing to do again."),
            Command::Delete if on_supplies => (
                self.can_plug().is_some_and(|(_, feed)| feed.is_some()) || self.supply_is_selected(),
                "Select a unit that is fed first, or a supply.",
            ),
            Command::Delete => (!self.selection.is_empty(), "Select a device or a lead first."),
            Command::Copy | Command::Cut | Command::Duplicate => {
                (has_devices || !self.selection.notes().is_empty(), "Select a device or a note first.")
            }
            Command::FitSelected if on_supplies => (false, "That is done on the Chain screen."),
            Command::FitSelected => (!self.selection.is_empty(), "Select a device or a lead first."),
            Command::Unplug => (
                self.can_plug().is_some_and(|(_, feed)| feed.is_some()),
                "On the Power screen, select a unit that is fed first.",
            ),
            Command::OutletBefore | Command::OutletBehind => {
                (self.can_plug().is_some(), "On the Power screen, select a unit that takes power first.")
            }
            Command::ToggleSwitch
            | Command::TestPoint
            | Command::RemoveTestPoint
            | Command::Tidy
            | Command::Walk(_)
            | Command::Nudge(_)
            | Command::AddNote
            | Command::TypeOver
                if on_supplies =>
            {
                (false, "That is done on the Chain screen.")
            }
            Command::ToggleSwitch => (has_switch, "Select a device with a switch first."),
            Command::Nudge(_) => {
                (has_devices || !self.selection.notes().is_empty(), "Select a device or a note first.")
            }
            Command::TypeOver => (self.selection.item().is_some(), "Select one device, lead or note first."),
            Command::Tidy => {
                let is_dragged = |variant: &Arc<Variant>| !variant.places.is_empty() || variant.row_width.is_some();
                (self.showing().is_some_and(is_dragged), "Every symbol stands where the drawing puts it.")
            }
            Command::KeepPart => (self.selection.device().is_some(), "Select one device first."),
            Command::SaveOwnParts => (!self.own_parts.kept().is_empty(), "There are no own parts yet."),
            Command::TestPoint => (self.selection.lead().is_some(), "Select the lead first on which it is to stand."),
            Command::RemoveTestPoint => (self.document.project().test_point.is_some(), "There is no test point."),
            Command::ScaleLarger => (Scale::above(self.settings.zoom).is_some(), "It is as large as it goes."),
            Command::ScaleSmaller => (Scale::below(self.settings.zoom).is_some(), "It is as small as it goes."),
            _ => (true, ""),
        };
        (!possible).then_some(why)
    }
}
