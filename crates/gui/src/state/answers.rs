//! What the rigs amount to, computed when something changed and not each frame.

use std::collections::BTreeMap;
use std::sync::Arc;

use rigwright_core::cascade::Bank;
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, Response, respond};
use rigwright_core::rig::{DeviceId, JackRef, Project, State, VariantId};
use rigwright_core::states::{self, NoStates, Question, States, Target};

/// The last answer for one variant, the question it answers, and what speeds up the next one.
#[derive(Debug, Clone)]
struct Kept {
    request: Request,
    response: Arc<Response>,
    bank: Bank,
    /// All states at once, for the last target that was asked for.
    all: Option<(Question, Arc<Result<States, NoStates>>)>,
}

/// The last answer for each variant.
#[derive(Debug, Clone, Default)]
pub struct Answers {
    kept: BTreeMap<VariantId, Kept>,
    computed: u64,
}

impl Answers {
    /// Computes what a change made old, and nothing else. True if any answer is new or gone.
    pub fn update(&mut self, project: &Project) -> bool {
        let before = (self.computed, self.kept.len());
        self.kept.retain(|id, _| project.variant(*id).is_some());
        let mut changed = self.kept.len() != before.1;
        for variant in &project.variants {
            let request = narrowed(Request::of(project, variant));
            match self.kept.get_mut(&variant.id) {
                Some(kept) if same(&kept.request, &request) => {}
                Some(kept) => {
                    kept.response = Arc::new(respond(&request, &mut kept.bank));
                    kept.request = request;
                    self.computed += 1;
                }
                None => {
                    let mut bank = Bank::new(Sweep::audio());
                    let response = Arc::new(respond(&request, &mut bank));
                    self.kept.insert(variant.id, Kept { request, response, bank, all: None });
                    self.computed += 1;
                }
            }
        }
        changed |= self.computed != before.0;
        changed
    }

    /// The answer for a variant as of the last update.
    #[must_use]
    pub fn get(&self, variant: VariantId) -> Option<&Arc<Response>> {
        self.kept.get(&variant).map(|kept| &kept.response)
    }

    /// All footswitch states of a variant at its test point, or else at the
    /// endpoint `at`: computed when something changed that they depend on. A
    /// switch is no such thing.
    pub fn all_states(&mut self, variant: VariantId, at: Option<JackRef>) -> Option<&Arc<Result<States, NoStates>>> {
        let kept = self.kept.get_mut(&variant)?;
        let target = match kept.request.test_point {
            Some(point) => Target::Point(point),
            None => Target::Endpoint(at?),
        };
        let controls = State { on: std::collections::BTreeSet::<DeviceId>::new(), ..kept.request.state.clone() };
        let question = Question { rig: Arc::clone(&kept.request.rig), controls, target };
        let old = kept.all.as_ref().is_some_and(|(asked, _)| {
            let rig = Arc::ptr_eq(&asked.rig, &question.rig) || asked.rig == question.rig;
            rig && asked.controls == question.controls && asked.target == question.target
        });
        if !old {
            let answer = Arc::new(states::explore(&question, &mut kept.bank));
            kept.all = Some((question, answer));
            self.computed += 1;
        }
        kept.all.as_ref().map(|(_, answer)| answer)
    }

    /// How many answers were computed in all: moving a symbol computes none.
    #[must_use]
    pub fn computed(&self) -> u64 {
        self.computed
    }
}

/// The question without what the rig doesn't have: a switch of one variant
/// leaves the others' answers alone.
fn narrowed(mut request: Request) -> Request {
    let Request { rig, state, .. } = &mut request;
    state.on.retain(|id| rig.device(*id).is_some());
    state.turned.retain(|knob, _| rig.device(knob.device).is_some());
    request
}

/// Equality that looks at the pointers first: comparing two rigs device by device is slower.
fn same(a: &Request, b: &Request) -> bool {
    a.state == b.state && a.test_point == b.test_point && (Arc::ptr_eq(&a.rig, &b.rig) || a.rig == b.rig)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rigwright_core::file;
    use rigwright_core::rig::{Edit, Place, Variant, apply};

    /// The blank rig twice: the variants share the rig, and the second gets a device that the first hasn't.
    fn two() -> Project {
        let blank = file::blank().unwrap();
        let id = VariantId(blank.next_id);
        let copy = Variant { id, name: "copy".to_owned(), ..(*blank.variants[0]).clone() };
        apply(&blank, &Edit::AddVariant(Arc::new(copy))).unwrap()
    }

    #[test]
    fn what_no_answer_depends_on_computes_none() {
        let project = two();
        let mut answers = Answers::default();
        assert!(answers.update(&project));
        assert_eq!(answers.computed(), 2);
        assert!(!answers.update(&project));
        let (variant, device) = (project.variants[0].id, project.variants[0].rig.devices[0].id);
        let place = Some(Place { x: 3.0, y: 4.0 });
        let moved = apply(&project, &Edit::Place { variant, device, place }).unwrap();
        let renamed = apply(&moved, &Edit::SetTitle("tour".to_owned())).unwrap();
        assert!(!answers.update(&renamed));
        assert_eq!(answers.computed(), 2);
    }

    #[test]
    fn an_edit_computes_its_own_variant_only() {
        let project = two();
        let mut answers = Answers::default();
        answers.update(&project);
        let (first, second) = (project.variants[0].id, project.variants[1].id);
        let before = Arc::clone(answers.get(first).unwrap());
        let mut lead = project.variants[1].rig.leads[0].clone();
        lead.length = rigwright_core::units::Metres::of(30.0);
        let edit = Edit::SetLead { variant: second, lead: Box::new(lead) };
        let longer = apply(&project, &edit).unwrap();
        assert!(answers.update(&longer));
        assert_eq!(answers.computed(), 3);
        assert!(Arc::ptr_eq(answers.get(first).unwrap(), &before));
        assert_ne!(**answers.get(second).unwrap(), *before);
        assert!(answers.update(&project), "back again");
        assert_eq!(**answers.get(second).unwrap(), *before);
    }

    #[test]
    fn a_switch_that_a_variant_lacks_is_nothing_to_it() {
        let mut project = two();
        let mut device = project.variants[0].rig.devices[0].clone();
        device.id = rigwright_core::rig::DeviceId(project.next_id);
        let id = device.id;
        let (first, second) = (project.variants[0].id, project.variants[1].id);
        let add = Edit::AddDevice { variant: second, device: Box::new(device), place: None };
        project = apply(&project, &add).unwrap();
        let mut answers = Answers::default();
        answers.update(&project);
        let before = Arc::clone(answers.get(first).unwrap());
        let stepped = apply(&project, &Edit::Switch { device: id, on: true }).unwrap();
        answers.update(&stepped);
        assert!(Arc::ptr_eq(answers.get(first).unwrap(), &before));
        assert_eq!(answers.computed(), 3);
    }

    #[test]
    fn gone_variants_are_dropped() {
        let project = two();
        let mut answers = Answers::default();
        answers.update(&project);
        let gone = project.variants[1].id;
        let one = apply(&project, &Edit::RemoveVariant(gone)).unwrap();
        assert!(answers.update(&one));
        assert!(answers.get(gone).is_none());
        assert_eq!(answers.computed(), 2);
    }
}
