//! What of a switcher a sound needs: loops with the units in them that are wanted on.

use std::collections::{BTreeMap, BTreeSet};

use super::{DeviceId, JackRef, Kind, LoopContact, Position, Rig, State};
use super::{Jack, SwitchKey, SwitchRef};

/// Loops that a sound needs and that no setting of their switcher puts in together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OutOfReach {
    /// The switcher.
    pub switcher: DeviceId,
    /// The loops, counted from 1.
    pub loops: BTreeSet<u8>,
}

impl Rig {
    /// The loops that a device stands in, the innermost first: the switcher of each,
    /// and its number.
    #[must_use]
    pub fn loops_around(&self, device: DeviceId) -> Vec<(DeviceId, u8)> {
        let (mut found, mut seen) = (Vec::new(), BTreeSet::new());
        let mut input = JackRef::new(device, Jack::In);
        while seen.insert(input)
            && let Some(from) = self.lead_to(input).map(|lead| lead.from)
            && let Some(sender) = self.device(from.device)
        {
            // What is always in is nobody's to put in.
            let is_loop = |number| sender.loop_contact(number).is_some_and(|contact| contact.can_be(false));
            input = match (from.jack, sender.kind.input_of(from.jack)) {
                (Jack::Send(number), _) if is_loop(number) => {
                    found.push((sender.id, number));
                    JackRef::new(sender.id, Jack::In)
                }
                (_, Some(jack)) => JackRef::new(sender.id, jack),
                (_, None) => break,
            };
        }
        found
    }

    /// Puts the loops in that units stand in which a state turns on, with as few other
    /// loops as can be. What the state says of a switcher itself stays as it is. What
    /// comes back can't be put in together.
    pub(super) fn put_loops_in(&self, state: &mut State) -> Vec<OutOfReach> {
        let turned_on = state.positions.iter().filter(|(switch, to)| {
            let own = self.device(switch.device).and_then(|device| device.on_off());
            **to == Position::ON && own.is_some_and(|own| own.id == **switch)
        });
        let mut needed: BTreeMap<DeviceId, BTreeSet<u8>> = BTreeMap::new();
        for (switcher, number) in turned_on.flat_map(|(switch, _)| self.loops_around(switch.device)) {
            needed.entry(switcher).or_default().insert(number);
        }
        let mut out_of_reach = Vec::new();
        for (id, loops) in needed {
            let Some(settings) = self.device(id).and_then(|switcher| {
                let is_said = |key| state.positions.contains_key(&SwitchRef { device: id, key });
                let contacts = loops.iter().map(|number| Some((*number, switcher.loop_contact(*number)?)));
                let contacts: BTreeMap<u8, LoopContact> = contacts.collect::<Option<_>>()?;
                let all_said = || loops.iter().all(|number| is_said(SwitchKey::Loop(*number)));
                if is_said(SwitchKey::Preset)
                    || is_said(SwitchKey::Patch)
                    || all_said()
                    || loops.iter().all(|number| switcher.is_loop_in(*number, state))
                {
                    return Some(Vec::new());
                }
                let Kind::Switcher(inside) = &switcher.kind else {
                    // Of a unit's or an amp's one loop the first position in which it is in.
                    return Some(vec![setting(contacts.values().next()?, |_| true)?]);
                };
                if !inside.is_worked_by_presets() {
                    let each = contacts.into_iter().filter(|(number, _)| !is_said(SwitchKey::Loop(*number)));
                    let put_in = each.map(|(_, contact)| setting(&contact, |position| position == Position::ON));
                    return put_in.collect();
                }
                // Of the presets that have them all, the one with the fewest loops.
                let presets = inside.presets.iter().zip(0_u8..);
                let fits = presets.filter(|(preset, _)| loops.is_subset(&preset.loops));
                let (_, best) = fits.min_by_key(|(preset, number)| (preset.loops.len(), *number))?;
                let contact = contacts.into_values().next()?;
                Some(vec![setting(&contact, |position| position == Position(best))?])
            }) else {
                out_of_reach.push(OutOfReach { switcher: id, loops });
                continue;
            };
            state.positions.extend(settings);
        }
        out_of_reach
    }
}

/// A contact's switch in a position in which the loop is in; none where nothing moves it there.
fn setting(contact: &LoopContact, is_meant: impl Fn(Position) -> bool) -> Option<(SwitchRef, Position)> {
    let LoopContact::Switched { switch, positions } = contact else { return None };
    let to = positions.iter().find(|(position, is_in)| *is_in && is_meant(*position))?.0;
    switch.locked.is_none_or(|locked| locked == to).then_some((switch.id, to))
}
