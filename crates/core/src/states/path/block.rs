//! What lies between where ways part and where they meet, as one stop.

use std::collections::BTreeSet;
use std::ops::Range;

use super::parting::{self, blocks};
use super::{Mode, Stop, WaysToSpot};
use crate::arrival::{Begin, Choice, Choices, Goal, MOST_COMBINATIONS, MOST_KEPT, MOST_PASSED, Stand};
use crate::cascade::LineCache;
use crate::network::{Ladder, Sweep};
use crate::plan::{Alternative, Behaviour, Spot, Station, Wire};
use crate::rig::{DeviceId, Switch, SwitchRef, SwitchSetting};
use crate::states::count::Count;
use crate::units::Level;
use crate::watch::{Pace, Unwatched};

/// What lies between where ways part and where they meet, and can be as many
/// things as its switches make.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    /// What the ways part at.
    pub begin: Begin,
    /// Where all of them have met.
    pub goal: Goal,
    /// The level where the stretch comes next.
    pub to: usize,
    /// How many things it can be, of those that are looked at.
    pub choices: usize,
    /// The most that are looked at.
    pub most: usize,
    /// How many stations it has, side runs counted.
    pub stations: usize,
    /// Whether these are all that there are.
    pub complete: bool,
    /// How many there are; where these aren't all that are looked at, no less than there are.
    pub all: Count,
    /// Its switches, in the signal's order.
    pub switches: Vec<SwitchRef>,
    /// Its devices, in the signal's order.
    pub devices: Vec<DeviceId>,
}

impl<'a> WaysToSpot<'a> {
    /// Where several ways hold at once: from one place of the order to another, and what begins there.
    pub(super) fn blocks(&self, order: &[usize], first: &Wire) -> Vec<(Range<usize>, Begin)> {
        let stations = || order.iter().map(|at| &self.plan.stations[*at]);
        let ways = |station: &'a Station, alternative| {
            station.wires(alternative).map(|(_, wire)| wire).filter(|wire| self.goes_there(wire))
        };
        // Almost no rig has any.
        let parts = |station: &'a Station| station.alternatives.iter().any(|one| ways(station, one).count() > 1);
        let joined = self.joined(order, first);
        if !stations().any(parts) && joined.is_empty() {
            return Vec::new();
        }
        let mut place = vec![order.len(); self.plan.stations.len()];
        order.iter().enumerate().for_each(|(number, at)| place[*at] = number);
        let to = |wire: &Wire| if self.is_at(wire) { order.len() } else { wire.to.map_or(order.len(), |to| place[to]) };
        let onward = |station: &'a Station| -> parting::Onward {
            station.alternatives.iter().map(|one| ways(station, one).map(to).collect()).collect()
        };
        let onward: Vec<parting::Onward> = stations().map(onward).collect();
        let found = blocks(&onward, &joined, |place| {
            let station = &self.plan.stations[order[place]];
            station.adds_up() || (!joined.is_empty() && station.ends_alike())
        });
        let begin = |places: Range<usize>| {
            let at = order[places.start];
            let begin = match &self.plan.stations[at].alternatives[..] {
                [Alternative { behaviour: Behaviour::Isolate { level: Level::Decibels(_), .. }, .. }] => {
                    Begin::Outputs(at)
                }
                _ => Begin::Station(at),
            };
            (places, begin)
        };
        found.into_iter().map(begin).collect()
    }

    /// Gives each station that isn't inside a block its level.
    pub(super) fn number(&mut self, order: &[usize], blocks: &[(Range<usize>, Begin)]) {
        let mut level = 0;
        for (at, station) in order.iter().enumerate() {
            if blocks.iter().any(|(places, _)| at > places.start && at < places.end) {
                continue;
            }
            level += 1;
            self.levels[*station] = level;
            if let Some((_, begin)) = blocks.iter().find(|(places, _)| places.start == at) {
                self.begins[*station] = true;
                level += usize::from(*begin == Begin::Outputs(*station));
            }
        }
        self.end = level + 1;
    }

    /// A station behind whose outputs a block begins.
    pub(super) fn before_block(&self, at: usize, arrive: Ladder, to: usize) -> Stop {
        let station = &self.plan.stations[at];
        let modes = station.alternatives.iter().filter_map(|alternative| {
            let Behaviour::Isolate { load, level: Level::Decibels(gain_db), .. } = &alternative.behaviour else {
                return None;
            };
            let mut hang = Ladder::new();
            hang.shunt(load.clone());
            let stand = Stand::of(station, alternative);
            Some(Mode { stand, load: hang, source: Ladder::new(), gain_db: *gain_db, to })
        });
        let (device, modes) = (station.device(), modes.collect());
        Stop { station: at, device, arrive, modes, exits: Vec::new(), block: None }
    }

    /// What these stations are together, up to where their ways have met: at a
    /// station, or at the spot.
    pub(super) fn block(
        &self,
        begin: Begin,
        inside: &[usize],
        end: Option<usize>,
        mutes: &mut Vec<SwitchSetting>,
    ) -> Block {
        let goal = end.map_or(Goal::Spot(self.spot), |at| match self.plan.stations[at].adds_up() {
            true => Goal::Sum(at),
            false => Goal::Spot(Spot::Input(at)),
        });
        // At no frequency at all only what there is counts, and not how it sounds.
        let (mut line_cache, mut pace) = (LineCache::new(Sweep::at(&[])), Pace::new(&Unwatched, 0));
        let stations: Vec<&Station> = self.behind(begin, inside).collect();
        let parts = |station: &&&Station| station.outs.len() > 1;
        let partings = stations.iter().filter(parts).count();
        let most = MOST_COMBINATIONS.min(MOST_KEPT / partings.max(1)).min(MOST_PASSED / stations.len().max(1)).max(1);
        let mut choices = Choices::to(goal, self.plan, &mut line_cache, most, &mut pace);
        let found = choices.of_block(begin).unwrap_or_default();
        let complete = !choices.is_cut;
        let sounding: Vec<&Choice> = found.iter().filter(|choice| choice.transfer.is_some()).collect();
        let says = |choice: &Choice, setting: &SwitchSetting| {
            choice.stands.iter().find(|stand| stand.setting.switch == setting.switch).map(|stand| stand.setting.to)
        };
        let settings: BTreeSet<SwitchSetting> =
            found.iter().flat_map(|choice| &choice.stands).map(|stand| stand.setting).collect();
        let is_mute = |setting: &SwitchSetting| {
            sounding.iter().all(|choice| says(choice, setting).is_some_and(|to| to != setting.to))
        };
        mutes.extend(settings.iter().filter(|setting| complete && is_mute(setting)));
        let mut order: Vec<Switch> = Vec::new();
        let mut devices: Vec<DeviceId> = Vec::new();
        for station in &stations {
            order.extend(station.switch.filter(|new| !order.iter().any(|known| known.id == new.id)));
            if !devices.contains(&station.device()) {
                devices.push(station.device());
            }
        }
        // Over a junction what doesn't lead to the spot is felt there, too.
        let felt = settings.iter().filter(|setting| !order.iter().any(|known| known.id == setting.switch));
        let felt: BTreeSet<SwitchRef> = felt.map(|setting| setting.switch).collect();
        let all_switches = self.plan.stations.iter().filter_map(|station| station.switch);
        order.extend(felt.iter().filter_map(|switch| all_switches.clone().find(|known| known.id == *switch)));
        let all = match complete {
            true => Count::product([sounding.len()]),
            false => Count::product(order.iter().map(|switch| switch.positions)),
        };
        let to = end.map_or(self.end, |at| self.levels[at]);
        let switches = order.into_iter().map(|switch| switch.id).collect();
        let (choices, stations) = (sounding.len(), stations.len());
        Block { begin, goal, to, choices, most, stations, complete, all, switches, devices }
    }

    /// The stations of a block, and of the side runs that hang there, in the signal's order.
    fn behind(&self, begin: Begin, inside: &[usize]) -> impl Iterator<Item = &'a Station> + use<'a> {
        let mut todo = inside.to_vec();
        let mut found: BTreeSet<usize> = inside.iter().copied().filter(|at| begin != Begin::Outputs(*at)).collect();
        while let Some(at) = todo.pop() {
            let onward = self.plan.stations[at].outs.iter().filter_map(|out| out.wire.as_ref()?.to);
            // What leads on to the spot and is no part of the block comes behind it.
            let beside = onward.filter(|next| self.leads_on[*next] != Some(true));
            todo.extend(beside.filter(|next| found.insert(*next)));
        }
        let plan = self.plan;
        found.into_iter().map(|at| &plan.stations[at])
    }
}
