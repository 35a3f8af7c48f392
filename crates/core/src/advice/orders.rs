//! The orders of two units that the player wants kept.

use super::signal_path::reached_from;
use crate::rig::{KeptOrder, Rig, Variant};

/// Whether the one stands before the other: its signal gets there.
fn holds(rig: &Rig, order: KeptOrder) -> bool {
    reached_from(rig, order.before).contains(&order.behind)
}

/// Whether every kept order that a variant has still holds in another.
pub fn are_kept(before: &Variant, after: &Variant) -> bool {
    before.kept_orders.iter().all(|order| holds(&after.rig, *order) || !holds(&before.rig, *order))
}
