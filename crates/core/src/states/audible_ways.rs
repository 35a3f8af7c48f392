//! Which nodes a sound gets to and away from, and with as few units on as may be.
//!
//! A unit that is on with a short for its input is a node that no state sounds
//! through: what a switch would do there is no context of it.

use super::layout::{Layout, Place, Stretch};
use super::table::Table;
use crate::rig::SwitchSetting;

/// The stretch that leads on to the next node, towards the start or the spot.
#[derive(Debug, Clone, Copy)]
struct Link {
    /// None at the end of the way.
    place: Option<Place>,
    /// Switches that are moved along all links from here.
    moved: usize,
}

/// Which ways from a stretch belong to a context of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The way to it from the start: the stretch ends at a unit that isolates on and off.
    Before,
    /// The way from it to the spot: it begins at such a unit.
    Behind,
    /// Both.
    Both,
}

/// For each node the way to the start and the way to the spot.
#[derive(Debug)]
pub struct AudibleWays {
    before: Vec<Option<Link>>,
    behind: Vec<Option<Link>>,
}

impl AudibleWays {
    /// Looks for both ways of all nodes; the table's first block must be there.
    pub fn of(layout: &Layout, table: &Table) -> Self {
        let end = Link { place: None, moved: 0 };
        let mut before: Vec<Option<Link>> = vec![None; layout.nodes.len()];
        let mut behind = before.clone();
        before[0] = Some(end);
        behind[layout.spots()].fill(Some(end));
        let sounding = |stretch: &Stretch| {
            // A side run's first choice is the one with nothing on.
            stretch.entries.clone().find(|entry| !table.is_silent(*entry)).map(|entry| layout.place(entry))
        };
        for stretch in &layout.stretches {
            let place = sounding(stretch);
            let link = link(layout, place, stretch.from, before[stretch.from]);
            shorter(&mut before[stretch.to], link);
        }
        for stretch in layout.stretches.iter().rev() {
            let place = sounding(stretch);
            let link = link(layout, place, stretch.to, behind[stretch.to]);
            shorter(&mut behind[stretch.from], link);
        }
        Self { before, behind }
    }

    /// Whether some state that sounds goes by a node.
    pub fn goes_by(&self, node: usize) -> bool {
        self.before[node].is_some() && self.behind[node].is_some()
    }

    /// Whether any state sounds at all.
    pub fn is_any(&self) -> bool {
        self.goes_by(0)
    }

    /// How many switches are moved at a node and on the way to it.
    pub fn count_before(&self, layout: &Layout, node: usize) -> usize {
        self.before[node].map_or(0, |link| link.moved) + layout.nodes[node].moved.len()
    }

    /// How many are moved at a node and on the way from it to the spot.
    pub fn count_behind(&self, layout: &Layout, node: usize) -> usize {
        self.behind[node].map_or(0, |link| link.moved) + layout.nodes[node].moved.len()
    }

    /// The switches that are moved at a node and on the way from the start to it, or
    /// from it to the spot. One may be named twice.
    pub fn moved_beyond(&self, layout: &Layout, node: usize, side: Side) -> Vec<SwitchSetting> {
        let links = if side == Side::Before { &self.before } else { &self.behind };
        let mut moved = layout.nodes[node].moved.clone();
        let mut at = node;
        while let Some(Link { place: Some(place), .. }) = links[at] {
            at = if place.to == at { place.from } else { place.to };
            moved.extend(&layout.nodes[at].moved);
            moved.extend(layout.moved_between(place));
        }
        moved
    }

    /// How many switches are moved where a stretch is as said.
    pub fn count(&self, layout: &Layout, place: Place, side: Side) -> usize {
        let before = self.before[place.from].filter(|_| side != Side::Behind);
        let behind = self.behind[place.to].filter(|_| side != Side::Before);
        let links = [before, behind].into_iter().flatten();
        let ends = [place.from, place.to].map(|node| layout.nodes[node].moved.len());
        links.map(|link| link.moved).chain(ends).chain([layout.count_between(place)]).sum()
    }

    /// The switches that are moved where a stretch is as said, and as few others
    /// as the signal needs before it and behind it. One may be named twice.
    pub fn among(&self, layout: &Layout, place: Place, side: Side) -> Vec<SwitchSetting> {
        let mut moved: Vec<SwitchSetting> = layout.moved_between(place).collect();
        let ways = [(place.from, Side::Before), (place.to, Side::Behind)];
        for (node, beyond) in ways {
            if side == Side::Both || side == beyond {
                moved.extend(self.moved_beyond(layout, node, beyond));
            }
        }
        moved
    }
}

/// A stretch as a link of the way that goes on at `node`; none if it is silent.
fn link(layout: &Layout, place: Option<Place>, node: usize, onward: Option<Link>) -> Option<Link> {
    let (place, onward) = (place?, onward?);
    let more = layout.nodes[node].moved.len() + layout.count_between(place);
    Some(Link { place: Some(place), moved: onward.moved + more })
}

fn shorter(kept: &mut Option<Link>, new: Option<Link>) {
    if let Some(new) = new
        && kept.is_none_or(|kept| new.moved < kept.moved)
    {
        *kept = Some(new);
    }
}
