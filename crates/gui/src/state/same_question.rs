//! When two questions ask for the same, so that an answer is worked out once.
//!
//! What the signal doesn't know is left out: feeds, what devices take, supplies.

use std::sync::Arc;

use rigwright_core::advice;
use rigwright_core::compare::JumpQuestion;
use rigwright_core::findings;
use rigwright_core::response::Request;
use rigwright_core::rig::{JackRef, Rig, Variant, VariantId};
use rigwright_core::states::Question;

use super::deferred::SameQuestion;

/// Whether two rigs are one to the signal. Pointers first: comparing device by device is slower.
pub fn same_rig(a: &Arc<Rig>, b: &Arc<Rig>) -> bool {
    Arc::ptr_eq(a, b) || a.is_same_but_for_power(b)
}

/// The same rig with the same orders kept; where symbols stand is no matter.
fn same_variant(a: &Variant, b: &Variant) -> bool {
    a.id == b.id && a.kept_orders == b.kept_orders && same_rig(&a.rig, &b.rig)
}

impl SameQuestion for Question {
    fn same(&self, other: &Self) -> bool {
        self.unfed == other.unfed
            && self.target == other.target
            && self.controls == other.controls
            && same_rig(&self.rig, &other.rig)
    }
}

impl SameQuestion for JumpQuestion {
    fn same(&self, other: &Self) -> bool {
        self.limits == other.limits && self.states.same(&other.states)
    }
}

impl SameQuestion for findings::FindingsQuestion {
    fn same(&self, other: &Self) -> bool {
        let rest = self.target == other.target && self.limits == other.limits;
        let rest = rest && self.volts == other.volts && self.unfed == other.unfed;
        rest && self.controls == other.controls && same_variant(&self.variant, &other.variant)
    }
}

impl SameQuestion for advice::AdviceQuestion {
    fn same(&self, other: &Self) -> bool {
        let rest = self.target == other.target && self.wishes == other.wishes && self.limits == other.limits;
        rest && self.controls == other.controls && same_variant(&self.variant, &other.variant)
    }
}

/// Why nothing comes through at an endpoint, or else at the request's test point.
#[derive(Debug, Clone)]
pub struct SilenceQuestion {
    /// The rig, and how everything stands.
    pub request: Request,
    /// The endpoint.
    pub endpoint: Option<JackRef>,
}

impl SameQuestion for SilenceQuestion {
    fn same(&self, other: &Self) -> bool {
        self.endpoint == other.endpoint && same(&self.request, &other.request)
    }
}

/// What is drawn wrong in a variant's rig: all of it counts, and which variant it is, since remedies say so.
#[derive(Debug, Clone)]
pub struct DrawnQuestion(pub Arc<Rig>, pub VariantId);

impl SameQuestion for DrawnQuestion {
    fn same(&self, other: &Self) -> bool {
        self.1 == other.1 && (Arc::ptr_eq(&self.0, &other.0) || self.0 == other.0)
    }
}

impl SameQuestion for Request {
    fn same(&self, other: &Self) -> bool {
        same(self, other)
    }
}

/// The question without what the rig doesn't have: a switch of one variant
/// leaves the others' answers alone.
pub fn narrowed(mut request: Request) -> Request {
    let Request { rig, state, .. } = &mut request;
    state.positions.retain(|switch, _| rig.device(switch.device).is_some());
    state.turned.retain(|knob, _| rig.device(knob.device).is_some());
    request
}

/// Whether two requests ask for the same.
pub fn same(a: &Request, b: &Request) -> bool {
    a.state == b.state && a.test_point == b.test_point && a.unfed == b.unfed && same_rig(&a.rig, &b.rig)
}
