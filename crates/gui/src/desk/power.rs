//! Doing what the Power screen asks for, and what its keys do.

use std::sync::Arc;

use rigwright_core::power::{AllocationQuestion, Headroom, Rules};
use rigwright_core::rig::{DeviceId, Edit, FeedId, OutletRef, PowerEdit};

use super::Desk;
use super::bars::Notice;
use crate::command::Command;
use crate::state::{Change, PowerQuestion};
use crate::views::Subject;

impl Desk {
    /// The question of what the power of the rig in hand amounts to.
    fn power_question(&self) -> Option<PowerQuestion> {
        Some(PowerQuestion {
            variant: Arc::clone(self.showing()?),
            headroom: Headroom::of(&self.document.project().limits),
            mains: self.document.project().mains.clone(),
        })
    }

    /// Sees to it that what is shown of power is of the rig as it stands.
    pub(super) fn refresh_power(&mut self) {
        if let Some(question) = self.power_question() {
            // On another screen it is told among other things, and may come a little later.
            let at_once = self.screen().subject() == Subject::Supplies || self.loop_shown.is_some();
            self.power_answers.refresh(&question, at_once, &*self.host);
        }
        self.power_answers.poll();
        // A loop that is no longer there isn't highlighted.
        if let (Some(shown), Some(answer)) = (&self.loop_shown, self.power_answers.shown())
            && !answer.old
            && !answer.answer.loops.contains(shown)
        {
            self.loop_shown = None;
        }
    }

    pub(super) fn seek_allocation(&mut self, rules: Rules) {
        let Some(variant) = self.showing() else { return };
        let question = AllocationQuestion { rig: variant.rig.clone(), rules };
        self.power_answers.seek(&question, &*self.host);
    }

    pub(super) fn plug_in(&mut self, device: DeviceId, outlet: OutletRef) {
        let Some(variant) = self.showing().cloned() else { return };
        let name = variant.rig.device(device).map_or_else(String::new, |device| device.name.clone());
        let feed = FeedId(self.document.fresh_id());
        let edit = Edit::Power { variant: variant.id, edit: PowerEdit::PlugIn { device, outlet, feed } };
        let outlets = variant.rig.device(outlet.supply).and_then(|device| device.kind.supply());
        let supply = variant.rig.device(outlet.supply).map_or_else(String::new, |device| device.name.clone());
        let place = match outlets.map(|supply| supply.outlets.len()) {
            Some(1) => supply,
            _ => format!("outlet {} of {supply}", outlet.outlet),
        };
        self.push(Change::new(format!("plug {name} in at {place}"), edit));
    }

    /// Whether the selected device has a plug for a supply's lead.
    pub(super) fn can_plug(&self) -> Option<(DeviceId, Option<OutletRef>)> {
        if self.screen().subject() != Subject::Supplies {
            return None;
        }
        let device = self.selection.device()?;
        let rig = &self.showing()?.rig;
        rig.device(device)?.power.need()?;
        Some((device, rig.feed_to(device).and_then(|feed| feed.from.outlets().next())))
    }

    pub(super) fn supply_is_selected(&self) -> bool {
        let device = self.selection.device().and_then(|id| self.showing()?.rig.device(id));
        device.is_some_and(|device| device.kind.supply().is_some())
    }

    pub(super) fn unplug(&mut self) {
        let (Some((device, Some(_))), Some(variant)) = (self.can_plug(), self.showing().cloned()) else { return };
        let name = variant.rig.device(device).map_or_else(String::new, |device| device.name.clone());
        let edit = Edit::Power { variant: variant.id, edit: PowerEdit::Unplug(device) };
        self.push(Change::new(format!("unplug {name}"), edit));
    }

    /// The outlet before or after the one that feeds what is selected.
    pub(super) fn other_outlet(&mut self, command: Command) {
        let (Some((device, now)), Some(variant)) = (self.can_plug(), self.showing().cloned()) else { return };
        let outlets: Vec<OutletRef> = variant
            .rig
            .supplies()
            .filter(|(supply, _)| supply.id != device)
            .flat_map(|(supply, inside)| {
                (1..=u8::MAX).take(inside.outlets.len()).map(|number| OutletRef::new(supply.id, number))
            })
            .collect();
        let at = now.and_then(|now| outlets.iter().position(|outlet| *outlet == now));
        let next = match (command, at) {
            (Command::OutletBefore, Some(at)) => at.checked_sub(1).and_then(|at| outlets.get(at)),
            (Command::OutletBefore, None) => outlets.last(),
            (_, Some(at)) => outlets.get(at + 1),
            (_, None) => outlets.first(),
        };
        match next {
            Some(&outlet) => self.plug_in(device, outlet),
            None if outlets.is_empty() => self.notice = Some(Notice::word("There is no supply yet; add one first.")),
            None => {}
        }
    }
}
