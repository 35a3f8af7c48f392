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
            let is_loop = matches!(sender.kind, Kind::Switcher(_));
            input = match (from.jack, sender.kind.input_of(from.jack)) {
                (Jack::Send(number), _) if is_loop => {
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
                if is_said(SwitchKey::Preset) || loops.iter().all(|number| switcher.is_loop_in(*number, state)) {
                    return Some(Vec::new());
                }
                let Kind::Switcher(inside) = &switcher.kind else { return None };
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::file;
    use crate::rig::{Preset, Sound, SoundId, Variant};

    /// Guitar, switcher of three loops, amp; unit 11 in loop 1, unit 12 in loop 3, and
    /// in loop 2 a second switcher with unit 13 in its only loop.
    fn variant() -> Variant {
        let body = "body: (size: Mini, mass: 0, price: 0)";
        let stage = "(input: (resistance: 1e6, capacitance: 0), output: 100, level: 0)";
        let pedal = |id: u8| {
            format!(
                "(id: {id}, name: \"{id}\", {body}, kind: Pedal(bypass: True, on: {stage}, off: {stage}, wiring: 0)),"
            )
        };
        let switcher = |id: u8, loops: u8| {
            format!(
                "(id: {id}, name: \"{id}\", {body}, kind: Switcher(loops: {loops}, contacts: 0, wiring: 0, without_power: Passes)),"
            )
        };
        let leads = [
            (1, "Out", 3, "In"),
            (3, "Out", 2, "In"),
            (3, "Send(1)", 11, "In"),
            (11, "Out", 3, "Return(1)"),
            (3, "Send(2)", 4, "In"),
            (4, "Send(1)", 13, "In"),
            (13, "Out", 4, "Return(1)"),
            (4, "Out", 3, "Return(2)"),
            (3, "Send(3)", 12, "In"),
            (12, "Out", 3, "Return(3)"),
        ];
        let lead = |((from, out, to, into), id): ((u8, &str, u8, &str), u8)| {
            format!(
                "(id: {id}, from: (device: {from}, jack: {out}), to: (device: {to}, jack: {into}), length: 1, cable: (name: \"\", \
                 capacitance: 0, resistance: 0, inductance: 0, loss_tangent: 0, plug: 0)),"
            )
        };
        let text = format!(
            "#![enable(implicit_some, unwrap_variant_newtypes)]\n(version: 4, sounds: [], variants: [(id: 90, name: \"\", \
             devices: [(id: 1, name: \"source\", {body}, kind: Active(instrument: Bass, output: 1e3, gain: 1)), \
             (id: 2, name: \"end\", {body}, kind: Interface(input: (resistance: 1e6, capacitance: 0))), {}], leads: [{}])])",
            [switcher(3, 3), switcher(4, 1), pedal(11), pedal(12), pedal(13)].concat(),
            leads.into_iter().zip(50..).map(lead).collect::<String>()
        );
        let project = file::read(text.as_bytes()).unwrap_or_else(|error| panic!("{error}"));
        (*project.variants[0]).clone()
    }

    fn on(units: &[u64]) -> Sound {
        let positions = units.iter().map(|id| (SwitchRef::bypass(DeviceId(*id)), Position::ON)).collect();
        Sound::of(SoundId(99), "on", State { positions, ..State::default() })
    }

    fn loops_in(variant: &Variant, sound: &Sound) -> Vec<(u64, u8)> {
        let made = sound.realise(variant);
        let all = variant.rig.devices.iter().flat_map(|device| {
            let numbers = (1..=3).filter(|number| device.is_loop_in(*number, &made.state));
            numbers.map(|number| (device.id.0, number)).collect::<Vec<_>>()
        });
        all.collect()
    }

    #[test]
    fn loops_are_put_in_for_units_that_are_wanted_on() {
        let variant = variant();
        assert_eq!(variant.rig.loops_around(DeviceId(13)), [(DeviceId(4), 1), (DeviceId(3), 2)]);
        assert_eq!(loops_in(&variant, &on(&[])), []);
        assert_eq!(loops_in(&variant, &on(&[11])), [(3, 1)]);
        assert_eq!(loops_in(&variant, &on(&[12, 13])), [(3, 2), (3, 3), (4, 1)]);
    }

    #[test]
    fn of_presets_the_one_with_the_fewest_other_loops_is_called() {
        let mut variant = variant();
        let rig = std::sync::Arc::make_mut(&mut variant.rig);
        let Kind::Switcher(switcher) = &mut rig.devices[2].kind else { panic!("the switcher") };
        let preset = |loops: &[u8]| Preset { name: String::new(), loops: loops.iter().copied().collect() };
        switcher.presets = vec![preset(&[]), preset(&[1, 2, 3]), preset(&[1, 2]), preset(&[2])];
        switcher.by_presets = true;
        assert_eq!(loops_in(&variant, &on(&[])), []);
        assert_eq!(loops_in(&variant, &on(&[11])), [(3, 1), (3, 2)]);
        assert_eq!(loops_in(&variant, &on(&[11, 12])), [(3, 1), (3, 2), (3, 3)]);
        assert!(on(&[12]).realise(&variant).out_of_reach.is_empty());
        let rig = std::sync::Arc::make_mut(&mut variant.rig);
        let Kind::Switcher(switcher) = &mut rig.devices[2].kind else { panic!("the switcher") };
        switcher.presets.remove(1);
        let made = on(&[11, 12]).realise(&variant);
        assert_eq!(made.out_of_reach, [OutOfReach { switcher: DeviceId(3), loops: [1, 3].into() }]);
        assert_eq!(made.state, on(&[11, 12]).state);
    }

    #[test]
    fn a_sound_that_is_kept_stands_as_it_was_kept() {
        let variant = variant();
        // The unit is on, and its loop is out.
        let state = on(&[11]).state;
        let kept = on(&[]).kept_as(&state, &variant);
        assert!(kept.realise(&variant).own);
        assert_eq!(kept.realise(&variant).state, state);
        // With the loop in there is nothing to be said of this variant alone.
        let made = on(&[11]).realise(&variant).state;
        let kept = on(&[]).kept_as(&made, &variant);
        assert!(!kept.realise(&variant).own);
        assert_eq!(kept.realise(&variant).state, made);
    }
}
