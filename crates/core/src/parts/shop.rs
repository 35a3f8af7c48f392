//! A lead as a shop sees it: what it costs, and which other lead is just the same.

use super::catalogue;
use crate::rig::Lead;
use crate::units::Price;

/// Leads that differ by less than this in length are the same lead to a shop: 1 mm.
const SAME_LENGTH: f64 = 1e-3;

/// What a lead costs, plugs and all, in the project's currency; none where the
/// catalogue doesn't know its make.
#[must_use]
pub fn lead_price(lead: &Lead) -> Option<Price> {
    let part = catalogue().cables.iter().find(|part| part.cable.name == lead.cable.name)?;
    Some(part.price(lead.length))
}

/// Whether two leads are of one make and one length, so that either will do.
#[must_use]
pub fn same_to_a_shop(a: &Lead, b: &Lead) -> bool {
    (a.length.get() - b.length.get()).abs() < SAME_LENGTH && a.cable == b.cable
}
