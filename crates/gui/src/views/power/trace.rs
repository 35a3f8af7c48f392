//! The way of a ground loop over the drawing: pure geometry. Returns go along
//! the rails, earths along the mains; what goes by a signal's lead is a line of
//! its own, since no signal is drawn here.

use egui::{Pos2, pos2};
use rigwright_core::ground::{GroundLoop, GroundNode, Link};
use rigwright_core::rig::{DeviceId, FeedId, Rig};

use super::layout::{Layout, RailKey, first};

/// A stretch of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// Its corners.
    pub points: Vec<Pos2>,
    /// Whether it is a signal lead's screen, which this screen doesn't draw otherwise.
    pub signal: bool,
}

/// From a box down to a signal lead that goes by under its neighbours.
const UNDER: f32 = 4.0;

/// The stretches of a loop, in its order.
pub fn trace(rig: &Rig, layout: &Layout, found: &GroundLoop) -> Vec<Stretch> {
    let steps = &found.steps;
    let mut out = Vec::new();
    // Where the signal's way began whose far end isn't on this screen.
    let mut pending: Option<DeviceId> = None;
    let mut skip = false;
    let mut lanes = 0;
    for (at, (node, link)) in steps.iter().enumerate() {
        if std::mem::take(&mut skip) {
            continue;
        }
        let next = &steps[(at + 1) % steps.len()];
        match *link {
            Link::Screen(_) => {
                let from = pending.take().or_else(|| box_of(layout, *node));
                match (from, box_of(layout, next.0)) {
                    (Some(from), Some(to)) => out.extend(between(layout, from, to, &mut lanes)),
                    (from, None) => pending = from,
                    (None, Some(_)) => {}
                }
            }
            Link::Return { feed, device } => match next.1 {
                // From one plug of a lead to another of the same: no further than that.
                Link::Return { feed: onward, device: other }
                    if onward == feed && matches!(next.0, GroundNode::ZeroVolt(_)) && at + 1 < steps.len() =>
                {
                    out.extend(along(layout, device, other));
                    skip = true;
                }
                _ => out.extend(home(rig, layout, feed, device, &[*node, next.0])),
            },
            // Desk and computer aren't drawn here: the way goes down to the mains.
            Link::Earth(device) | Link::Desk(device) | Link::Computer(device) => out.extend(earth(layout, device)),
            Link::DeskEarth => {}
            Link::Pair(feed) => out.extend(pair(rig, layout, feed)),
        }
    }
    out.extend(on_the_mains(layout, found));
    out
}

fn box_of(layout: &Layout, node: GroundNode) -> Option<DeviceId> {
    match node {
        GroundNode::Device(device) | GroundNode::FarSide(device) => layout.unit(device).map(|unit| unit.device),
        _ => None,
    }
}

/// A signal lead between two boxes; over several rows in a lane of its own to their right.
fn between(layout: &Layout, from: DeviceId, to: DeviceId, lanes: &mut u8) -> Option<Stretch> {
    let (a, b) = (layout.unit(from)?.rect, layout.unit(to)?.rect);
    let (left, right) = if a.center().x <= b.center().x { (a, b) } else { (b, a) };
    let beside = (a.center().y - b.center().y).abs() < 1.0;
    let points = if beside && right.left() - left.right() < 40.0 {
        vec![left.right_center(), right.left_center()]
    } else if beside {
        // Under the boxes between.
        let y = a.bottom() + UNDER;
        let (x, to_x) = (left.right() - 12.0, right.left() + 12.0);
        vec![pos2(x, a.bottom()), pos2(x, y), pos2(to_x, y), pos2(to_x, b.bottom())]
    } else {
        let rows = a.top().min(b.top())..=a.bottom().max(b.bottom());
        let passed = layout.boxes.iter().filter(|unit| rows.contains(&unit.rect.center().y));
        let lane = passed.map(|unit| unit.rect.right()).fold(0.0, f32::max) + 14.0 + 9.0 * f32::from(*lanes);
        *lanes = (*lanes + 1) % 8;
        let end = |rect: egui::Rect| {
            [pos2(rect.right() - 12.0, rect.bottom()), pos2(rect.right() - 12.0, rect.bottom() + UNDER)]
        };
        let ([start, under], [goal, up]) = (end(a), end(b));
        vec![start, under, pos2(lane, under.y), pos2(lane, up.y), up, goal]
    };
    Some(Stretch { points, signal: true })
}

/// From one plug along the rail to another.
fn along(layout: &Layout, from: DeviceId, to: DeviceId) -> Option<Stretch> {
    let (a, b) = (layout.unit(from)?, layout.unit(to)?);
    let mut points = vec![a.rect.center_top(), a.tap];
    if (a.tap.y - b.tap.y).abs() > 1.0 {
        let left = layout.row(a.key)?.title.x;
        points.extend([pos2(left, a.tap.y), pos2(left, b.tap.y)]);
    }
    points.extend([b.tap, b.rect.center_top()]);
    Some(Stretch { points, signal: false })
}

/// From a unit along its rail to the supply, and there to the rail that stands for the 0 V.
fn home(rig: &Rig, layout: &Layout, feed: FeedId, device: DeviceId, ends: &[GroundNode]) -> Option<Stretch> {
    let unit = layout.unit(device)?;
    let own = layout.row(RailKey::Outlet(first(rig.feed(feed)?.from)))?;
    let mut points = vec![unit.rect.center_top(), unit.tap];
    if (unit.tap.y - own.y).abs() > 1.0 {
        points.extend([pos2(own.title.x, unit.tap.y), pos2(own.title.x, own.y)]);
    }
    points.push(pos2(own.left, own.y));
    let stands = ends.iter().find_map(|node| match node {
        GroundNode::ZeroVolt(outlet) => layout.row(RailKey::Outlet(*outlet)),
        _ => None,
    });
    if let Some(stands) = stands {
        points.push(pos2(own.left, stands.y));
        points.push(pos2(stands.left, stands.y));
    }
    points.dedup();
    Some(Stretch { points, signal: false })
}

/// From a device to the mains rail.
fn earth(layout: &Layout, device: DeviceId) -> Option<Stretch> {
    let (x, ..) = layout.mains;
    let points = if let Some(converter) = layout.converter(device) {
        vec![pos2(converter.spine.0, converter.spine.1), pos2(x, converter.spine.1)]
    } else {
        let unit = layout.unit(device)?;
        let mut points = vec![unit.rect.center_top(), unit.tap];
        let row = layout.row(unit.key)?;
        points.extend([pos2(x, unit.tap.y), pos2(x, row.y)]);
        points
    };
    Some(Stretch { points, signal: false })
}

/// Along the mains rail, between what is earthed.
fn on_the_mains(layout: &Layout, found: &GroundLoop) -> Option<Stretch> {
    let heights = found.steps.iter().filter_map(|(_, link)| match link {
        Link::Earth(device) | Link::Desk(device) | Link::Computer(device) => match layout.converter(*device) {
            Some(converter) => Some(converter.spine.1),
            None => layout.unit(*device).and_then(|unit| layout.row(unit.key)).map(|row| row.y),
        },
        _ => None,
    });
    let heights: Vec<f32> = heights.collect();
    let top = heights.iter().copied().reduce(f32::min)?;
    let bottom = heights.iter().copied().reduce(f32::max)?;
    let (x, ..) = layout.mains;
    (bottom > top).then(|| Stretch { points: vec![pos2(x, top), pos2(x, bottom)], signal: false })
}

/// Between the rails of two outlets that are put together.
fn pair(rig: &Rig, layout: &Layout, feed: FeedId) -> Option<Stretch> {
    let rows = rig.feed(feed)?.from.outlets().filter_map(|outlet| layout.row(RailKey::Outlet(outlet)));
    let points: Vec<Pos2> = rows.map(|row| pos2(row.left, row.y)).collect();
    (points.len() > 1).then_some(Stretch { points, signal: false })
}
