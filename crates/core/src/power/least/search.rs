//! The cheapest set of supplies: a covering problem whose oracle tries sets out.

use rigwright_search::cover::{self, Cost, Oracle, Row, Verdict};
use rigwright_search::{Allowance, Answer};

use super::covering::Covering;
use super::tryout::{self, Tried};
use crate::power::allocate::model::Model;
use crate::power::allocate::terms::Terms;
use crate::rig::{Device, DeviceId, Rig};
use crate::watch::{Still, Stopped, Unwatched, Watch};

/// Sets looked at after which it gives up, and proves nothing.
const MOST_SETS: u64 = 200_000;

/// What it takes to see whether a set feeds one unit, the search left out.
const ONE_SET_STEPS: u64 = 500;

/// What a set has to do.
pub struct Task<'a> {
    /// The rig with what is there already, modules fed as drawn.
    pub base: &'a Rig,
    /// One device of each part, its id to be replaced.
    pub parts: &'a [Device],
    pub units: &'a [&'a Device],
    pub terms: Terms<'a>,
    /// Ids from here on are free.
    pub first_free: u64,
    /// For all of it.
    pub allowance: &'a Allowance<'a>,
}

/// The cheapest set that feeds all units: how many of each part.
pub fn search(task: &Task<'_>, mut covering: Covering, watch: &dyn Watch) -> Result<Answer<Vec<usize>, Cost>, Stopped> {
    let counting = task.allowance.part(0.2);
    covering.program.most =
        task.parts.iter().enumerate().map(|(at, part)| covering.most_of(at, part, &counting)).collect();
    let known = task.one_box_a_unit(&covering, watch)?;
    let options = cover::Options { known, most_nodes: MOST_SETS, allowance: task.allowance };
    let program = covering.program.clone();
    cover::solve(program, &mut Trials { task, covering }, options, watch)
}

/// The rig with so many of each part added.
pub fn with_parts(base: &Rig, parts: &[Device], counts: &[usize], first_free: u64) -> Rig {
    let mut rig = base.clone();
    let mut id = first_free;
    for (part, count) in parts.iter().zip(counts) {
        for number in 1..=*count {
            let name = if *count == 1 { part.name.clone() } else { format!("{} {number}", part.name) };
            rig.devices.push(Device { id: DeviceId(id), name, ..part.clone() });
            id += 1;
        }
    }
    rig
}

impl Task<'_> {
    /// A first set to beat: for each unit the cheapest box that feeds it by
    /// itself, and where that is a module, the cheapest box for the module.
    fn one_box_a_unit(&self, covering: &Covering, watch: &dyn Watch) -> Result<Option<Vec<usize>>, Stopped> {
        let prices = &covering.program.costs;
        let mut order: Vec<usize> = (0..self.parts.len()).collect();
        order.sort_by(|a, b| prices[*a].total_cmp(&prices[*b]));
        let pairs = order.iter().flat_map(|a| order.iter().map(move |b| (*a, *b)));
        let mut sets: Vec<Vec<usize>> = order.iter().map(|part| vec![*part]).collect();
        sets.extend(pairs.map(|(a, b)| vec![a, b]));
        let price = |set: &Vec<usize>| set.iter().fold(Cost::default(), |sum, part| sum + prices[*part]);
        sets.sort_by(|a, b| price(a).total_cmp(&price(b)));
        let mut counts = vec![0; self.parts.len()];
        // What it can't say in its part of the allowance remains open.
        let allowance = self.allowance.part(0.4);
        for units in covering.types() {
            let Some(unit) = self.units.iter().find(|unit| units.contains(&unit.id)) else { continue };
            let none = Rig { feeds: Vec::new(), devices: Vec::new(), ..self.base.clone() };
            let mut feeds = false;
            for set in &sets {
                let mut chosen = vec![0; self.parts.len()];
                set.iter().for_each(|part| chosen[*part] += 1);
                let rig = with_parts(&none, self.parts, &chosen, self.first_free);
                if allowance.is_spent() {
                    return Ok(None);
                }
                allowance.take(ONE_SET_STEPS);
                let model = Model::of(&rig, &[unit], &self.terms, &|_| false, &allowance);
                if model.feeds(&|_| true, &allowance, &Unwatched)? == Some(true) {
                    set.iter().for_each(|part| counts[*part] += units.len());
                    feeds = true;
                    break;
                }
            }
            if !feeds {
                return Ok(None);
            }
        }
        // Several of them may share the mains earth, where not all units may be.
        let still = Still { whole: watch, done: 0.0 };
        let tried = self.tried(&counts, &allowance, &still)?;
        Ok(matches!(tried, Tried::Feeds).then_some(counts))
    }

    /// What a set comes to when it is tried.
    fn tried(&self, counts: &[usize], allowance: &Allowance<'_>, watch: &dyn Watch) -> Result<Tried, Stopped> {
        let rig = with_parts(self.base, self.parts, counts, self.first_free);
        tryout::try_out(&rig, self.units, &self.terms, &|id| id.0 >= self.first_free, allowance, watch)
    }
}

/// Sets are tried out, and what fails says what else they need.
struct Trials<'a> {
    task: &'a Task<'a>,
    covering: Covering,
}

impl Trials<'_> {
    /// How many of each type are among some units; all of them, if none are named.
    fn kinds(&self, units: Option<&[usize]>) -> Vec<usize> {
        let all = || self.covering.types().iter().map(Vec::len).collect();
        units.map_or_else(all, <[usize]>::to_vec)
    }
}

impl Oracle for Trials<'_> {
    fn verdict(&mut self, counts: &[usize], allowance: &Allowance<'_>, watch: &dyn Watch) -> Result<Verdict, Stopped> {
        let of_type =
            |units: &Vec<DeviceId>, conflict: &[DeviceId]| units.iter().filter(|unit| conflict.contains(unit)).count();
        Ok(match self.task.tried(counts, allowance, watch)? {
            Tried::Feeds => Verdict::Feasible,
            Tried::Fails(conflict) => {
                Verdict::Infeasible(self.covering.types().iter().map(|units| of_type(units, &conflict)).collect())
            }
            Tried::Unknown => Verdict::Unknown,
        })
    }

    /// What can't be fed together is to be fed.
    fn row(&mut self, items: Option<&[usize]>, allowance: &Allowance<'_>) -> Row {
        self.covering.row(&self.kinds(items), allowance)
    }

    /// A part that feeds some of those, or that takes a module off another's hands.
    fn helps(&mut self, items: Option<&[usize]>, counts: &[usize], allowance: &Allowance<'_>) -> Vec<bool> {
        let (kinds, parts) = (self.kinds(items), counts.len());
        let feeds: Vec<bool> =
            (0..parts).map(|part| self.covering.feeds_at_most(part, &kinds, allowance) > 0).collect();
        let hosts = |part: usize| (0..parts).any(|module| counts[module] > 0 && self.covering.hosts(part, module));
        (0..parts).map(|part| feeds[part] || hosts(part) || self.covering.hosts_loose(part)).collect()
    }
}
