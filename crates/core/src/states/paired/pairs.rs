//! Both rigs side by side, step by step.

use std::collections::BTreeMap;

use super::super::lanes::{EQUAL, LANES, Lanes, Range};
use super::walk::{Progress, Turn, Walk};
use crate::rig::SwitchSetting;
use crate::watch::{Pace, Stopped};

/// How far both have come.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Both {
    /// Before the step on the switch and after it.
    at: [Progress; 2],
    /// Where switches stand that one of them has passed and the other may be to pass.
    agreed: Vec<SwitchSetting>,
    /// Whether one of them came by a place at which the switch acts.
    is_there: bool,
}

/// A step of one of the two.
#[derive(Debug, Clone, Copy)]
struct Step {
    /// By number, from where to where.
    from: u32,
    to: u32,
    /// Which of the two: 0 before the step on the switch, 1 after it.
    side: u8,
    /// The level of the turn, and its number there.
    level: u32,
    turn: u32,
    /// The entry of the stretch that ends, if one does.
    entry: Option<u32>,
    /// What it makes of the ratio of powers besides that.
    factor: f64,
}

/// All that both can be together.
#[derive(Debug)]
pub struct Pairs {
    /// Each behind all that lead to where it begins.
    steps: Vec<Step>,
    /// How many different pairs of places there are.
    many: usize,
    /// Those in which both have arrived, the switch being heard.
    arrived: Vec<usize>,
    /// In how many ways.
    contexts: usize,
}

impl Pairs {
    /// Of the rig before a step on a switch and after it; none where it is more than so many steps.
    pub fn new(walks: [&Walk<'_>; 2], most: usize, pace: &mut Pace<'_>) -> Result<Option<Self>, Stopped> {
        let start = Both { at: walks.map(Walk::start), agreed: Vec::new(), is_there: false };
        // By how far both have come together: every step goes farther.
        let mut waiting: BTreeMap<usize, BTreeMap<Both, u32>> = BTreeMap::new();
        let far = |both: &Both| both.at[0].level + both.at[1].level;
        waiting.entry(far(&start)).or_default().insert(start, 0);
        let mut found = Self { steps: Vec::new(), many: 1, arrived: Vec::new(), contexts: 0 };
        let mut ways = vec![1_usize];
        while let Some((_, these)) = waiting.pop_first() {
            for (both, from) in these {
                let arrived = [0, 1].map(|side| walks[side].has_arrived(both.at[side]));
                if arrived == [true; 2] {
                    if both.is_there {
                        found.arrived.push(from as usize);
                        found.contexts = found.contexts.saturating_add(ways[from as usize]);
                    }
                    continue;
                }
                // The one goes on that is not so far in the order of the signal.
                let behind = arrived[0] || (!arrived[1] && walks[1].rank(both.at[1]) < walks[0].rank(both.at[0]));
                let side = usize::from(behind);
                for (number, turn) in walks[side].turns(both.at[side]).iter().enumerate() {
                    let Some((next, entry)) = both.after(walks, side, turn) else { continue };
                    let there = waiting.entry(far(&next)).or_default();
                    let new = found.many as u32;
                    let to = *there.entry(next).or_insert(new);
                    if to == new {
                        found.many += 1;
                        ways.push(0);
                    }
                    ways[to as usize] = ways[to as usize].saturating_add(ways[from as usize]);
                    let sign = if side == 0 { -1.0 } else { 1.0 };
                    found.steps.push(Step {
                        from,
                        to,
                        side: side as u8,
                        level: both.at[side].level as u32,
                        turn: number as u32,
                        entry: entry.map(|entry| entry as u32),
                        factor: 10f64.powf(sign * turn.gain_db / 10.0),
                    });
                }
                if found.steps.len() > most {
                    return Ok(None);
                }
            }
            pace.did(1)?;
        }
        Ok(Some(found))
    }

    /// How many steps there are.
    pub fn len(&self) -> usize {
        self.steps.len()
    }

    /// In how many ways both can arrive.
    pub fn contexts(&self) -> usize {
        self.contexts
    }

    /// The greatest and the least power after the step over that before it.
    pub fn range(&self, losses_before: &[Lanes], gains_after: &[Lanes], all: &mut Vec<Range>) -> Range {
        all.clear();
        all.resize(self.many, Range::NONE);
        if let Some(start) = all.first_mut() {
            start.take(&[1.0; LANES]);
        }
        for step in &self.steps {
            let here = all[step.from as usize];
            let stretches = if step.side == 0 { losses_before } else { gains_after };
            let next = match step.entry {
                Some(entry) => here.times(&stretches[entry as usize].map(|ratio| ratio * step.factor)),
                None => here,
            };
            all[step.to as usize].take_in(&next);
        }
        let mut range = Range::NONE;
        self.arrived.iter().for_each(|at| range.take_in(&all[*at]));
        range
    }

    /// The other switches that are moved where the ratio is greatest, or with a
    /// negative sign least, in one lane; of equal ones with fewest moved.
    pub fn furthest(
        &self,
        walks: [&Walk<'_>; 2],
        (losses_before, gains_after): (&[Lanes], &[Lanes]),
        lane: usize,
        sign: f64,
    ) -> Option<Vec<SwitchSetting>> {
        /// The way to a pair that goes furthest.
        #[derive(Clone, Copy)]
        struct Best {
            ratio: f64,
            moved: usize,
            step: Option<usize>,
        }
        let turn = |step: &Step| &walks[usize::from(step.side)].at_level(step.level as usize)[step.turn as usize];
        let farther = |new: &Best, old: &Best| {
            let more = if sign > 0.0 { new.ratio / old.ratio } else { old.ratio / new.ratio };
            more > 1.0 + EQUAL || (more > 1.0 - EQUAL && new.moved < old.moved)
        };
        let mut all: Vec<Option<Best>> = vec![None; self.many];
        *all.first_mut()? = Some(Best { ratio: 1.0, moved: 0, step: None });
        for (number, step) in self.steps.iter().enumerate() {
            let Some(here) = all[step.from as usize] else { continue };
            let stretches = if step.side == 0 { losses_before } else { gains_after };
            let ratio = step.entry.map_or(1.0, |entry| stretches[entry as usize][lane] * step.factor);
            let next =
                Best { ratio: here.ratio * ratio, moved: here.moved + turn(step).moved.len(), step: Some(number) };
            let there = &mut all[step.to as usize];
            if next.ratio > 0.0 && there.as_ref().is_none_or(|old| farther(&next, old)) {
                *there = Some(next);
            }
        }
        let arrived = self.arrived.iter().filter_map(|at| all[*at]);
        let mut at = arrived.reduce(|best, next| if farther(&next, &best) { next } else { best })?;
        let mut found = Vec::new();
        while let Some(number) = at.step {
            let step = &self.steps[number];
            found.extend(&turn(step).moved);
            at = all[step.from as usize]?;
        }
        Some(found)
    }
}

impl Both {
    /// What comes of a turn of one of them, if switches can stand so in both.
    fn after(&self, walks: [&Walk<'_>; 2], side: usize, turn: &Turn) -> Option<(Self, Option<usize>)> {
        let set = |setting: &SwitchSetting| self.agreed.iter().find(|set| set.switch == setting.switch);
        if turn.settings.iter().any(|setting| set(setting).is_some_and(|set| set.to != setting.to)) {
            return None;
        }
        let mut at = self.at;
        let (next, entry) = walks[side].after(at[side], turn);
        at[side] = next;
        let mut agreed: Vec<SwitchSetting> = self.agreed.iter().chain(&turn.settings).copied().collect();
        agreed.retain(|set| [0, 1].into_iter().any(|side| walks[side].asks_for(set.switch, at[side])));
        agreed.sort_unstable();
        agreed.dedup();
        Some((Self { at, agreed, is_there: self.is_there || turn.is_there }, entry))
    }
}
