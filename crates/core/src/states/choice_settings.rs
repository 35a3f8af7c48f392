//! What the choices of a side run say of its switches, and so which two of them
//! one switch leads between.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::contexts::Step;
use crate::arrival::Choice;
use crate::rig::{Position, SwitchRef, SwitchSetting};

/// What each of some choices says, to be compared quickly.
#[derive(Debug, Default)]
pub struct ChoiceSettings {
    /// All positions of switches that any choice takes, in order.
    settings: Vec<SwitchSetting>,
    /// Of each choice what it takes, and what that rules out.
    each: Vec<(Bits, Bits)>,
    /// Of each choice the switches that a signal gets to unheard; none for all.
    hidden: Vec<Option<Vec<Arc<BTreeSet<SwitchRef>>>>>,
}

impl ChoiceSettings {
    /// Of these choices.
    pub fn of<'a>(choices: impl IntoIterator<Item = &'a Choice> + Clone) -> Self {
        let said = |choice: &'a Choice| choice.stands.iter().map(|stand| stand.setting);
        let settings: BTreeSet<SwitchSetting> = choices.clone().into_iter().flat_map(said).collect();
        let settings: Vec<SwitchSetting> = settings.into_iter().collect();
        let hidden = choices.clone().into_iter().map(|choice| choice.hidden.clone()).collect();
        let mut each = Vec::new();
        for choice in choices {
            let (mut takes, mut rules_out) = (Bits::none(settings.len()), Bits::none(settings.len()));
            for setting in said(choice) {
                for at in of_switch(&settings, setting.switch) {
                    if settings[at] == setting { takes.set(at) } else { rules_out.set(at) }
                }
            }
            each.push((takes, rules_out));
        }
        Self { settings, each, hidden }
    }

    /// The switches that any choice says something of, in order.
    pub fn switches(&self) -> impl Iterator<Item = SwitchRef> + '_ {
        let switches: BTreeSet<SwitchRef> = self.settings.iter().map(|setting| setting.switch).collect();
        switches.into_iter()
    }

    /// Choices after a step on a switch and before it that agree wherever else both
    /// say something; where a choice doesn't hear the switch that a signal gets to, it twice. Empty if
    /// the run hasn't both positions of the switch.
    pub fn pairs(&self, Step { switch, from, to }: Step) -> Vec<(usize, usize)> {
        let at = |to: Position| self.settings.binary_search(&SwitchSetting { switch, to });
        let (Ok(on), Ok(off)) = (at(to), at(from)) else { return Vec::new() };
        let mut others = Bits::none(self.settings.len());
        others.0.fill(u64::MAX);
        of_switch(&self.settings, switch).for_each(|at| others.clear(at));
        let having = |at: usize| (0..self.each.len()).filter(move |choice| self.each[*choice].0.has(at));
        let off_ones: Vec<usize> = having(off).collect();
        let mut found = Vec::new();
        for a in having(on) {
            let agrees = |b: &usize| !self.each[*b].0.meets(&self.each[a].1, &others);
            found.extend(off_ones.iter().copied().filter(agrees).map(|b| (a, b)));
        }
        if !found.is_empty() {
            let of_switch = of_switch(&self.settings, switch);
            let hears = |choice: usize| of_switch.clone().any(|at| self.each[choice].0.has(at));
            let gets_there = |choice: usize| {
                self.hidden[choice].as_ref().is_none_or(|hidden| hidden.iter().any(|hidden| hidden.contains(&switch)))
            };
            let unheard = (0..self.each.len()).filter(|choice| !hears(*choice) && gets_there(*choice));
            found.extend(unheard.map(|choice| (choice, choice)));
        }
        found
    }
}

/// Where a switch's positions are in an ordered list.
fn of_switch(settings: &[SwitchSetting], switch: SwitchRef) -> std::ops::Range<usize> {
    let first = settings.partition_point(|setting| setting.switch < switch);
    let many = settings[first..].iter().take_while(|setting| setting.switch == switch).count();
    first..first + many
}

/// A set of places in a list.
#[derive(Debug, Clone)]
struct Bits(Vec<u64>);

impl Bits {
    fn none(len: usize) -> Self {
        Self(vec![0; len.div_ceil(64)])
    }

    fn set(&mut self, at: usize) {
        self.0[at / 64] |= 1 << (at % 64);
    }

    fn clear(&mut self, at: usize) {
        self.0[at / 64] &= !(1 << (at % 64));
    }

    fn has(&self, at: usize) -> bool {
        self.0[at / 64] >> (at % 64) & 1 == 1
    }

    /// Whether the two have anything of a third in common.
    fn meets(&self, other: &Self, of: &Self) -> bool {
        self.0.iter().zip(&other.0).zip(&of.0).any(|((a, b), of)| a & b & of != 0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arrival::Stand;
    use crate::network::SeenAdmittance;
    use crate::rig::DeviceId;

    fn choice(stands: &[(u64, u8)]) -> Choice {
        let stand = |(device, to): &(u64, u8)| {
            let setting = SwitchSetting { switch: SwitchRef::bypass(DeviceId(*device)), to: Position(*to) };
            Stand { setting, moved: *to != 0 }
        };
        Choice {
            seen: SeenAdmittance::Open,
            stands: stands.iter().map(stand).collect(),
            hidden: None,
            transfer: None,
            reach: None,
        }
    }

    /// Of two units one behind another the second isn't heard while the first is on.
    #[test]
    fn pairs_differ_in_one_switch_and_agree_in_all_others() {
        let choices = [choice(&[(1, 0), (2, 0)]), choice(&[(1, 0), (2, 1)]), choice(&[(1, 1)])];
        let said = ChoiceSettings::of(&choices);
        let pairs = |device: u64| {
            said.pairs(Step { switch: SwitchRef::bypass(DeviceId(device)), from: Position::OFF, to: Position::ON })
        };
        assert_eq!(pairs(1), [(2, 0), (2, 1)]);
        assert_eq!(pairs(2), [(1, 0), (2, 2)]);
        assert_eq!(pairs(3), []);
        assert_eq!(said.switches().map(|switch| switch.device.0).collect::<Vec<_>>(), [1, 2]);
    }
}
