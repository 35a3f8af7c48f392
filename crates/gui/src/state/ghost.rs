//! Ghosts: the curve that a change would give, while the change is only pointed at.
//! A change that the signal doesn't know, as of power, would give the curve that
//! is there: it has no ghost, and nothing is worked out for it.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, Response, respond};
use rigwright_core::rig::{Edit, Feeding, Project, VariantId, apply};

use super::answers::is_quick;
use super::deferred::{Deferred, SameQuestion, Schedule};
use super::same_question::{narrowed, same};
use crate::jobs::{Host, Lane};

/// A change that is pointed at.
#[derive(Debug, Clone, PartialEq)]
pub struct Preview {
    /// What its curve is called: "with a buffer after the guitar".
    pub words: String,
    /// The change.
    pub edit: Edit,
}

/// The rig in hand as it would be.
#[derive(Debug, Clone)]
pub struct Ghost {
    /// What the curve is called.
    pub words: String,
    /// The answer.
    pub response: Arc<Response>,
}

/// What is pointed at.
#[derive(Debug, Clone)]
struct GhostQuestion {
    project: Arc<Project>,
    variant: VariantId,
    feeding: Feeding,
    preview: Preview,
}

impl SameQuestion for GhostQuestion {
    fn same(&self, other: &Self) -> bool {
        let place = Arc::ptr_eq(&self.project, &other.project) && self.variant == other.variant;
        place && self.feeding == other.feeding && self.preview == other.preview
    }
}

/// The last ghost, and what it was made from.
#[derive(Debug, Default)]
pub struct Ghosts {
    kept: Deferred<GhostQuestion, Option<Ghost>>,
}

impl Ghosts {
    /// The ghost that was asked for last.
    #[must_use]
    pub fn shown(&self) -> Option<&Ghost> {
        // What something else would give is no ghost of this.
        self.kept.shown().filter(|shown| !shown.old)?.answer.as_ref().as_ref()
    }

    /// Whether one is being worked out.
    #[must_use]
    pub fn is_computing(&self) -> bool {
        self.kept.progress().is_some()
    }

    /// Sees to it that there is the ghost of a change, now or in a while; none where
    /// it can't be done or makes no other curve. `cache` is what speeds up the curves
    /// of the same variant.
    pub fn update(
        &mut self,
        project: &Arc<Project>,
        (variant, feeding): (VariantId, Feeding),
        preview: Option<&Preview>,
        cache: Option<&mut LineCache>,
        host: &dyn Host,
    ) {
        let Some(preview) = preview else { return self.kept.forget() };
        let question = GhostQuestion { project: Arc::clone(project), variant, feeding, preview: preview.clone() };
        let is_quick = project.variant(variant).is_none_or(|variant| is_quick(&variant.rig));
        match cache.filter(|_| is_quick) {
            Some(cache) => self.kept.answer(&question, || ghost(&question, cache)),
            None => {
                let schedule = Schedule { host, lane: Lane::Answers, finish_running: false };
                let asked = question.clone();
                self.kept.ask(&question, schedule, move |_| Some(ghost(&asked, &mut LineCache::new(Sweep::audio()))));
            }
        }
    }
}

/// Whether two requests ask for one curve: it knows nothing of what devices weigh and cost,
/// nor of up to where a change of tone is heard.
fn same_curve(before: &Request, after: &Request) -> bool {
    let as_before = || {
        let mut rig = (*after.rig).clone();
        for (device, was) in rig.devices.iter_mut().zip(&before.rig.devices) {
            (device.body, device.heard_to) = (was.body, was.heard_to);
        }
        Request { rig: Arc::new(rig), ..after.clone() }
    };
    same(before, after) || same(before, &as_before())
}

fn ghost(asked: &GhostQuestion, cache: &mut LineCache) -> Option<Ghost> {
    let request = |project: &Project| {
        let variant = project.variant(asked.variant)?;
        let unfed = asked.feeding.unfed(&variant.rig);
        Some(narrowed(Request { unfed, ..Request::of(project, variant) }))
    };
    let after = request(&apply(&asked.project, &asked.preview.edit).ok()?)?;
    if same_curve(&request(&asked.project)?, &after) {
        return None;
    }
    let response = Arc::new(respond(&after, cache));
    Some(Ghost { words: asked.preview.words.clone(), response })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jobs::TestHost;
    use rigwright_core::file;
    use rigwright_core::rig::{PowerEdit, set_field};
    use rigwright_core::units::Level;

    /// The ghost of a change of the first variant, as a screen would show it.
    fn of<'a>(
        ghosts: &'a mut Ghosts,
        project: &Arc<Project>,
        feeding: Feeding,
        preview: Option<&Preview>,
    ) -> Option<&'a Ghost> {
        let (place, mut cache) = ((project.variants[0].id, feeding), LineCache::new(Sweep::audio()));
        ghosts.update(project, place, preview, Some(&mut cache), &TestHost::new());
        ghosts.shown()
    }

    #[test]
    fn a_ghost_is_what_the_change_would_make() {
        let project = Arc::new(file::demo().unwrap());
        let fuzz = project.variants[0].rig.devices.iter().find(|device| device.name == "Fuzz").unwrap().id;
        let preview =
            Preview { words: "Fuzz on".to_owned(), edit: Edit::Switch(rigwright_core::rig::SwitchSetting::on(fuzz)) };
        let mut ghosts = Ghosts::default();
        let ghost = of(&mut ghosts, &project, Feeding::AllFed, Some(&preview)).unwrap().clone();
        let really = apply(&project, &preview.edit).unwrap();
        let request = Request::of(&really, &really.variants[0]);
        assert_eq!(*ghost.response, respond(&request, &mut LineCache::new(Sweep::audio())));
        // Asked again it is the same one, and not another of its kind.
        let again = of(&mut ghosts, &project, Feeding::AllFed, Some(&preview)).unwrap();
        assert!(Arc::ptr_eq(&again.response, &ghost.response));
        assert!(of(&mut ghosts, &project, Feeding::AllFed, None).is_none());
    }

    #[test]
    fn what_the_signal_does_not_know_has_no_ghost() {
        let project = Arc::new(file::demo().unwrap());
        let variant = project.variants[0].id;
        let delay = project.variants[0].rig.devices.iter().find(|device| device.name == "Delay").unwrap().id;
        let edit = Edit::Power { variant, edit: PowerEdit::Unplug(delay) };
        let preview = Preview { words: "unplugged".to_owned(), edit };
        assert!(apply(&project, &preview.edit).is_ok());
        let mut ghosts = Ghosts::default();
        assert!(of(&mut ghosts, &project, Feeding::AllFed, Some(&preview)).is_none());
        // Unless who gets no power counts: the delay's bypass is buffered, and its buffer falls silent.
        let ghost = of(&mut ghosts, &project, Feeding::AsDrawn, Some(&preview)).unwrap();
        let silent = |response: &Response| response.endpoints[0].at.curve.levels().iter().all(|l| *l == Level::Silent);
        assert!(silent(&ghost.response));
    }

    #[test]
    fn what_a_unit_weighs_and_costs_has_no_ghost() {
        let project = Arc::new(file::demo().unwrap());
        let variant = project.variants[0].id;
        let ghost_of = |path: &str, value: f64| {
            let mut guitar = project.variants[0].rig.devices[0].clone();
            assert_eq!(set_field(&mut guitar, path, value), Ok(true));
            let edit = Edit::SetDevice { variant, device: Box::new(guitar) };
            let preview = Preview { words: path.to_owned(), edit };
            of(&mut Ghosts::default(), &project, Feeding::AllFed, Some(&preview)).is_some()
        };
        assert!(!ghost_of("mass", 1234.0));
        assert!(!ghost_of("price", 12.0));
        assert!(ghost_of("pickup.resistance", 12e3));
    }

    #[test]
    fn what_cannot_be_done_has_no_ghost() {
        let project = Arc::new(file::demo().unwrap());
        let edit = Edit::RemoveVariant(VariantId(99_999));
        let preview = Preview { words: String::new(), edit };
        assert!(of(&mut Ghosts::default(), &project, Feeding::AllFed, Some(&preview)).is_none());
    }
}
