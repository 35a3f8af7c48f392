//! Which nodes a sound gets to and away from, and with as few units on as may be.
//!
//! A unit that is on with a short for its input is a node that no state sounds
//! through: what a switch would do there is no context of it.

use super::table::Table;
use crate::rig::DeviceId;

/// The stretch that leads on to the next node, towards the start or the spot.
#[derive(Debug, Clone, Copy)]
struct Link {
    node: usize,
    combination: usize,
    /// Units that are on along all links from here.
    on: usize,
}

/// For each node the way to the start and the way to the spot.
#[derive(Debug)]
pub struct Sounding {
    before: Vec<Option<Link>>,
    behind: Vec<Option<Link>>,
}

impl Sounding {
    /// Looks for both ways of all nodes.
    pub fn of(table: &Table) -> Self {
        let end = Link { node: usize::MAX, combination: 0, on: 0 };
        let spot = table.nodes.last().map_or(0, |node| node.level);
        let mut before: Vec<Option<Link>> = vec![None; table.nodes.len()];
        let mut behind: Vec<Option<Link>> =
            table.nodes.iter().map(|node| (node.level == spot).then_some(end)).collect();
        if let Some(start) = before.first_mut() {
            *start = Some(end);
        }
        for stretch in &table.stretches {
            let link = link(table, stretch.from, stretch.to, stretch.from, before[stretch.from]);
            shorter(&mut before[stretch.to], link);
        }
        for stretch in table.stretches.iter().rev() {
            let link = link(table, stretch.from, stretch.to, stretch.to, behind[stretch.to]);
            shorter(&mut behind[stretch.from], link);
        }
        Self { before, behind }
    }

    /// Whether some state that sounds goes by a node.
    pub fn goes_by(&self, node: usize) -> bool {
        self.before[node].is_some() && self.behind[node].is_some()
    }

    /// The units that are on before one node and behind another, where nothing says more.
    pub fn around(&self, table: &Table, from: usize, to: usize) -> Vec<DeviceId> {
        let mut on = Vec::new();
        for (links, start) in [(&self.before, from), (&self.behind, to)] {
            let mut at = start;
            while let Some(Some(link)) = links.get(at)
                && let Some(next) = table.nodes.get(link.node)
            {
                on.extend(&next.on);
                let ends = (table.nodes[at].level, next.level);
                let legs = table.chosen(ends.0.min(ends.1), ends.0.max(ends.1), link.combination);
                on.extend(legs.iter().flat_map(|choice| &choice.on));
                at = link.node;
            }
        }
        on
    }
}

/// A stretch as a link of the way that goes on at `node`; none if it is silent.
fn link(table: &Table, from: usize, to: usize, node: usize, onward: Option<Link>) -> Option<Link> {
    let onward = onward?;
    // A side run's first choice is the one with nothing on.
    let combination = table.stretch(from, to)?.loss.iter().position(Option::is_some)?;
    let legs = table.chosen(table.nodes[from].level, table.nodes[to].level, combination);
    let more = table.nodes[node].on.len() + legs.iter().map(|choice| choice.on.len()).sum::<usize>();
    Some(Link { node, combination, on: onward.on + more })
}

fn shorter(kept: &mut Option<Link>, new: Option<Link>) {
    if let Some(new) = new
        && kept.is_none_or(|kept| new.on < kept.on)
    {
        *kept = Some(new);
    }
}
