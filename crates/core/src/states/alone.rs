//! One state's way through the stretches, and what a jump is like over the
//! whole sweep in one context.

use super::contexts::Step;
use super::lanes::{LANES, decibels, product};
use super::layout::Layout;
use super::table::Table;
use crate::arrival::{Choice, Stand};
use crate::rig::{Position, SwitchRef, SwitchSetting};

/// A jump in one context, in dB at each frequency: losses of the stretches that
/// are only there while the unit is off, over those that are only there while it is on.
pub fn curve(table: &Table, without: &[usize], with: &[usize], off_db: f64) -> Vec<f64> {
    let mut db = Vec::with_capacity(table.points());
    for block in 0..table.blocks() {
        let losses = table.block(block);
        let all = |entries: &[usize]| {
            entries.iter().fold([1.0; LANES], |product_so_far, entry| product(&product_so_far, &losses[*entry]))
        };
        let (without, with) = (all(without), all(with));
        let ratios = without.iter().zip(with).take(table.width(block));
        db.extend(ratios.map(|(without, with)| decibels(without / with) - off_db));
    }
    db
}

/// What a step on a switch does with all others off, the unit's own level left
/// out; none where one of the two is silent. For a unit in a loop the loop is in.
/// With every switch off the signal goes the way `all_off`.
pub fn alone(layout: &Layout, table: &Table, all_off: Option<&Way>, step: Step) -> Option<Vec<f64>> {
    let Step { switch, from, to } = step;
    let needed = leading_to(layout, switch);
    let at = |to: Position| {
        let settings: Vec<SwitchSetting> = needed.iter().copied().chain([SwitchSetting { switch, to }]).collect();
        way(layout, &settings)
    };
    let other = if from == Position::OFF && needed.is_empty() { None } else { at(from) };
    let (before, after) = (other.as_ref().or(all_off)?, at(to)?);
    if before.entries.iter().chain(&after.entries).any(|entry| table.is_silent(*entry)) {
        return None;
    }
    // A way goes from entry to entry upward.
    let only = |here: &[usize], there: &[usize]| -> Vec<usize> {
        here.iter().copied().filter(|one| there.binary_search(one).is_err()).collect()
    };
    let own = |node: &usize| {
        let stand = layout.nodes[*node].stand.filter(|stand| stand.setting.switch == switch);
        stand.is_some_and(|stand| step.leaves_out(stand.setting.to))
    };
    let gain = |here: &Way, there: &Way| -> f64 {
        let nodes = only(&here.nodes, &there.nodes);
        nodes.iter().filter(|node| !own(node)).map(|node| layout.nodes[*node].gain_db).sum()
    };
    let off_db = gain(before, &after) - gain(&after, before);
    Some(curve(table, &only(&before.entries, &after.entries), &only(&after.entries, &before.entries), off_db))
}

/// The way of the signal while all switches are off, if it gets to the spot then.
pub fn all_off(layout: &Layout) -> Option<Way> {
    way(layout, &[])
}

/// The way of the signal in one state.
#[derive(Debug)]
pub struct Way {
    /// The entries that it goes through.
    entries: Vec<usize>,
    /// The nodes.
    nodes: Vec<usize>,
}

/// The positions of switches at which ways part, such that the signal comes by
/// where a switch is: off where that does, and none for one beside the way.
fn leading_to<'l>(layout: &'l Layout, switch: SwitchRef) -> Vec<SwitchSetting> {
    let takes = |stand: &Option<Stand>| stand.is_some_and(|stand| stand.setting.switch == switch);
    let node = layout.nodes.iter().find(|node| takes(&node.stand)).map(|node| node.level);
    let route = || layout.onward.iter().position(|onward| takes(&onward.stand)).map(|at| layout.routes.all[at].from);
    let mut found = Vec::new();
    if layout.is_a_row {
        return found;
    }
    let inside = || {
        let has = |choice: &&Choice| choice.stands.iter().any(|stand| stand.setting.switch == switch);
        let of = |(level, choices): &'l (usize, Vec<Choice>)| {
            Some((*level, choices.iter().filter(has).min_by_key(|choice| choice.moved().count())?))
        };
        layout.blocks.iter().find_map(of)
    };
    let mut level = node.or_else(route).unwrap_or(0);
    if let (0, Some((block, choice))) = (level, inside()) {
        found.extend(choice.stands.iter().map(|stand| stand.setting).filter(|setting| setting.switch != switch));
        level = block;
    }
    while level > 1 {
        let routes = layout.routes.to(level);
        let routes = routes.map(|(number, route)| (route.from, layout.onward[number].stand));
        let nodes = layout.nodes.iter().filter(|node| node.level > 0 && node.level < level && node.to == level);
        let nodes = nodes.map(|node| (node.level, node.stand));
        let is_on = |stand: &Option<Stand>| stand.is_some_and(|stand| stand.setting.to != Position::OFF);
        let Some((from, stand)) = routes.chain(nodes).min_by_key(|(from, stand)| (is_on(stand), *from)) else { break };
        found.extend(stand.map(|stand| stand.setting));
        level = from;
    }
    found
}

/// The way of the signal while switches are set like this, and all others off.
fn way(layout: &Layout, settings: &[SwitchSetting]) -> Option<Way> {
    let as_set = |stand: &Stand| {
        let set = settings.iter().find(|set| set.switch == stand.setting.switch);
        stand.setting.to == set.map_or(Position::OFF, |set| set.to)
    };
    let fits = |choice: &Choice| choice.stands.iter().all(as_set);
    let stands = |stand: Option<Stand>| stand.as_ref().is_none_or(as_set);
    let mut found = Way { entries: Vec::new(), nodes: Vec::new() };
    let (mut from, mut level, mut row) = (0, 1, 0);
    loop {
        let spot = layout.spot();
        let here = match layout.choices_at(level) {
            Some(choices) => choices.iter().position(fits).map(|at| layout.at_level(level).start + at),
            None => layout.at_level(level).find(|node| stands(layout.nodes[*node].stand)),
        };
        if let Some(to) = here {
            found.entries.push(layout.between(from, to)?.start + row);
            if level == spot {
                return Some(found);
            }
            found.nodes.push(to);
            (from, level, row) = (to, layout.nodes[to].to, 0);
            continue;
        }
        let first = layout.nodes[from].to;
        let number = layout.routes.from(level).find(|at| stands(layout.onward[*at].stand))?;
        let (mut choice, mut each) = (0, 1);
        for choices in &layout.onward[number].side_runs {
            choice += each * choices.iter().position(fits)?;
            each *= choices.len();
        }
        row += layout.by_route(first, number) + choice * layout.rows_at(first, level);
        level = layout.routes.all[number].to;
    }
}
