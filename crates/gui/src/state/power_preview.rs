//! What a change of power would make of the rig in hand, while it is looked at;
//! and what a search found as such a change, with what it changes line by line.

use std::sync::Arc;

use rigwright_core::ground::{self, ground_loops};
use rigwright_core::power::{Headroom, check_at, told_only, words};
use rigwright_core::rig::{Edit, Project, Rig, Variant, VariantId, apply};

use super::Preview;
use super::deferred::{Deferred, SameQuestion, Schedule};
use super::power_answers::{PowerAnswer, PowerAnswers, is_told_at_once};
use crate::jobs::{Host, Lane};

/// A change that can be looked at before it is taken.
#[derive(Debug, Clone, PartialEq)]
pub struct PreviewedChange {
    /// The change.
    pub preview: Preview,
    /// What it is called: "the best allocation".
    pub name: &'static str,
}

/// What a search found, as a change.
#[derive(Debug)]
pub struct Offer {
    /// The change.
    pub change: PreviewedChange,
    /// What it changes, one line each.
    pub changes: Vec<String>,
}

impl Offer {
    /// Whether all is like that already.
    #[must_use]
    pub fn is_nothing(&self) -> bool {
        matches!(&self.change.preview.edit, Edit::Batch(edits) if edits.is_empty())
    }
}

/// The rig in hand as it would be.
#[derive(Debug)]
pub struct PreviewedRig {
    /// After which change.
    pub change: PreviewedChange,
    /// The rig.
    pub rig: Arc<Rig>,
    /// Its figures.
    pub answer: PowerAnswer,
}

/// What is looked at, of which rig.
#[derive(Debug, Clone)]
struct PreviewQuestion {
    project: Arc<Project>,
    variant: VariantId,
    change: PreviewedChange,
}

impl SameQuestion for PreviewQuestion {
    fn same(&self, other: &Self) -> bool {
        let place = Arc::ptr_eq(&self.project, &other.project) && self.variant == other.variant;
        place && self.change == other.change
    }
}

/// An offer, what it was made from, and of which rig.
#[derive(Debug)]
struct Kept<A> {
    project: Arc<Project>,
    variant: VariantId,
    found: Arc<A>,
    offer: Offer,
}

impl<A> Kept<A> {
    /// The offer that is kept, if it is this one; or else a new one.
    fn of(
        kept: Option<Self>,
        (project, variant): (&Arc<Project>, &Variant),
        found: &Arc<A>,
        change: impl FnOnce() -> Option<PreviewedChange>,
    ) -> Option<Self> {
        let same = |kept: &Self| {
            let place = Arc::ptr_eq(&kept.project, project) && kept.variant == variant.id;
            place && Arc::ptr_eq(&kept.found, found)
        };
        kept.filter(same).or_else(|| {
            let change = change()?;
            let after = after(project, variant.id, &change.preview.edit);
            let changes = after.map(|after| words::changes(&variant.rig, &after, &change.preview.edit));
            let offer = Offer { changes: changes.unwrap_or_default(), change };
            Some(Self { project: Arc::clone(project), variant: variant.id, found: Arc::clone(found), offer })
        })
    }
}

/// The change of power that is looked at, and those that are offered.
#[derive(Debug, Default)]
pub struct PowerPreviews {
    looked_at: Option<PreviewQuestion>,
    previewed: Deferred<PreviewQuestion, Option<PreviewedRig>>,
    best: Option<Kept<rigwright_core::power::Allocation>>,
    least: Option<Kept<rigwright_core::power::LeastAnswer>>,
}

impl PowerPreviews {
    /// Looks at a change of the rig in hand, or at the rig as it is.
    pub fn look_at(&mut self, project: &Arc<Project>, variant: VariantId, change: Option<PreviewedChange>) {
        self.looked_at = change.map(|change| PreviewQuestion { project: Arc::clone(project), variant, change });
    }

    /// Sees to it that there is what is looked at, now or in a while, and that what
    /// was found is offered. A rig that changed meanwhile ends the looking.
    pub fn update(&mut self, project: &Arc<Project>, variant: &Variant, answers: &PowerAnswers, host: &dyn Host) {
        self.looked_at.take_if(|asked| !Arc::ptr_eq(&asked.project, project) || asked.variant != variant.id);
        match &self.looked_at {
            None => self.previewed.forget(),
            Some(question) if is_told_at_once(&variant.rig) => self.previewed.answer(question, || preview_of(question)),
            Some(question) => {
                let asked = question.clone();
                let schedule = Schedule { host, lane: Lane::Answers, finish_running: false };
                self.previewed.ask(question, schedule, move |_| Some(preview_of(&asked)));
            }
        }
        let place = (project, variant);
        self.best = answers.allocation(&variant.rig).and_then(|(question, shown)| {
            Kept::of(self.best.take(), place, shown.answer, || {
                let edit = shown.answer.edit(&question.rig, variant.id);
                let preview = Preview { words: "plug everything in as is best".to_owned(), edit };
                Some(PreviewedChange { preview, name: "the best allocation" })
            })
        });
        self.least = answers.least(&variant.rig).and_then(|(_, shown)| {
            Kept::of(self.least.take(), place, shown.answer, || {
                shown.answer.bought.as_ref()?;
                let edit = shown.answer.edit(variant.id);
                let preview = Preview { words: "take the least supply".to_owned(), edit };
                Some(PreviewedChange { preview, name: "the least supply" })
            })
        });
    }

    /// What is looked at, if a change is.
    #[must_use]
    pub fn looked_at(&self) -> Option<&PreviewedChange> {
        self.looked_at.as_ref().map(|question| &question.change)
    }

    /// What that would make of the rig, where it is worked out already.
    #[must_use]
    pub fn previewed(&self) -> Option<&PreviewedRig> {
        // What something else would make of it is no preview of this.
        self.previewed.shown().filter(|shown| !shown.old)?.answer.as_ref().as_ref()
    }

    /// Whether it is being worked out.
    #[must_use]
    pub fn is_computing(&self) -> bool {
        self.previewed.progress().is_some()
    }

    /// The best allocation that was found last, as a change.
    #[must_use]
    pub fn best(&self) -> Option<&Offer> {
        self.best.as_ref().map(|kept| &kept.offer)
    }

    /// The least supplies that were found last, as a change.
    #[must_use]
    pub fn least(&self) -> Option<&Offer> {
        self.least.as_ref().map(|kept| &kept.offer)
    }
}

fn preview_of(asked: &PreviewQuestion) -> Option<PreviewedRig> {
    let project = &asked.project;
    let rig = after(project, asked.variant, &asked.change.preview.edit)?;
    let check = check_at(&rig, &Headroom::of(&project.limits), &project.mains);
    let (loops, loop_count) = (ground_loops(&rig), ground::count(&rig));
    // What remedies it isn't looked for in what is only looked at.
    let told = told_only(&rig, &check);
    let answer = PowerAnswer { loops, loop_count, told, check, ..PowerAnswer::default() };
    Some(PreviewedRig { change: asked.change.clone(), rig, answer })
}

fn after(project: &Project, variant: VariantId, edit: &Edit) -> Option<Arc<Rig>> {
    let next = apply(project, edit).ok()?;
    Some(Arc::clone(&next.variant(variant)?.rig))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jobs::TestHost;
    use rigwright_core::file;
    use rigwright_core::rig::{DeviceId, PowerEdit};

    fn unplugged(project: &Project) -> (PreviewedChange, DeviceId) {
        let variant = &project.variants[0];
        let delay = variant.rig.devices.iter().find(|device| device.name == "Delay").unwrap().id;
        let edit = Edit::Power { variant: variant.id, edit: PowerEdit::Unplug(delay) };
        (PreviewedChange { preview: Preview { words: "unplug".to_owned(), edit }, name: "a trial" }, delay)
    }

    #[test]
    fn what_is_looked_at_is_the_rig_after_the_change_until_it_changes() {
        let (project, host) = (Arc::new(file::demo().unwrap()), TestHost::new());
        let (variant, answers) = (Arc::clone(&project.variants[0]), PowerAnswers::default());
        let (change, delay) = unplugged(&project);
        let mut previews = PowerPreviews::default();
        previews.look_at(&project, variant.id, Some(change.clone()));
        previews.update(&project, &variant, &answers, &host);
        let seen = previews.previewed().unwrap();
        assert_eq!((&seen.change, seen.rig.feed_to(delay)), (&change, None));
        assert_eq!(seen.answer.check.unfed, [delay]);
        assert!(seen.answer.listed().any(|told| told.text.starts_with("Delay is not fed")));
        let next = Arc::new(apply(&project, &change.preview.edit).unwrap());
        previews.update(&next, &next.variants[0], &answers, &host);
        assert!(previews.looked_at().is_none() && previews.previewed().is_none());
    }

    #[test]
    fn nothing_is_shown_before_it_is_worked_out() {
        let mut project = file::demo().unwrap();
        let rig = Arc::make_mut(&mut Arc::make_mut(&mut project.variants[0]).rig);
        let spare = rig.devices[0].clone();
        rig.devices
            .extend((50_000..50_060).map(|id| rigwright_core::rig::Device { id: DeviceId(id), ..spare.clone() }));
        let (project, host) = (Arc::new(project), TestHost::new());
        let (variant, answers) = (Arc::clone(&project.variants[0]), PowerAnswers::default());
        let mut previews = PowerPreviews::default();
        host.hold_work(true);
        previews.look_at(&project, variant.id, Some(unplugged(&project).0));
        previews.update(&project, &variant, &answers, &host);
        assert!(previews.looked_at().is_some() && previews.previewed().is_none() && previews.is_computing());
        host.hold_work(false);
        previews.update(&project, &variant, &answers, &host);
        assert!(previews.previewed().is_some() && !previews.is_computing());
    }
}
