//! Sounds in hand: the one that everything stands as or came from, and the curves
//! of those that are shown, computed when something changed.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, Response, respond};
use rigwright_core::rig::{DeviceId, Project, Sound, SoundId, Variant, VariantId};

use super::Document;
use super::answers::{CURVES_AT_ONCE, is_quick, respond_afresh, weight};
use super::deferred::{Deferred, Schedule};
use super::same_question::narrowed;
use crate::jobs::{Host, Lane};

/// So many steps are looked back for the sound that everything came from.
const LOOK_BACK: usize = 100;

/// The curve of a sound on the variant in hand.
#[derive(Debug, Clone)]
pub struct SoundCurve {
    /// The sound.
    pub sound: SoundId,
    /// What the player calls it.
    pub name: String,
    /// The rig in hand with everything as the sound has it.
    pub response: Arc<Response>,
}

/// What there is to know of the project's sounds.
#[derive(Debug, Default)]
pub struct Sounds {
    /// The sound that was chosen or kept last: of two that are alike, it is meant.
    chosen: Option<SoundId>,
    came_from: Option<SoundId>,
    /// What that was found from.
    looked_at: Option<(Arc<Project>, Option<SoundId>, VariantId)>,
    curves: Vec<SoundCurve>,
    kept: BTreeMap<SoundId, Deferred<Request, Response>>,
    cache: Option<LineCache>,
}

impl Sounds {
    /// Takes up that a sound was chosen or kept.
    pub fn choose(&mut self, sound: SoundId) {
        self.chosen = Some(sound);
    }

    /// Finds where everything came from, and sees to it that there are curves of
    /// the sounds `shown` on a variant without the devices `unfed`: now, or in a
    /// while where they take long.
    pub fn update(
        &mut self,
        document: &Document,
        (variant, unfed): (&Variant, &BTreeSet<DeviceId>),
        shown: &BTreeSet<SoundId>,
        host: &dyn Host,
    ) {
        let project = document.project();
        let known = self.looked_at.as_ref();
        if !known.is_some_and(|known| Arc::ptr_eq(&known.0, project) && (known.1, known.2) == (self.chosen, variant.id))
        {
            let steps = std::iter::once(project).chain(document.past().take(LOOK_BACK));
            self.came_from = came_from(project, steps, self.chosen, variant.id);
            self.looked_at = Some((Arc::clone(project), self.chosen, variant.id));
        }
        self.kept.retain(|id, _| shown.contains(id) && project.sounds.iter().any(|sound| sound.id == *id));
        self.curves.clear();
        let mut left = CURVES_AT_ONCE;
        for sound in project.sounds.iter().filter(|sound| shown.contains(&sound.id)) {
            let state = sound.realise(variant).state;
            let request = Request { state, unfed: unfed.clone(), ..Request::of(project, variant) };
            let request = narrowed(request);
            let kept = self.kept.entry(sound.id).or_default();
            let weight = weight(&request.rig);
            if kept.answers(&request) || (is_quick(&request.rig) && weight <= left) {
                if !kept.answers(&request) {
                    left -= weight;
                }
                let cache = self.cache.get_or_insert_with(|| LineCache::new(Sweep::audio()));
                kept.answer(&request, || respond(&request, cache));
            } else {
                let schedule = Schedule { host, lane: Lane::Answers, finish_running: true };
                let asked = request.clone();
                kept.ask(&request, schedule, move |_| Some(respond_afresh(&asked)));
            }
            // Another rig's curve isn't this one's.
            if let Some(found) = kept.shown().filter(|found| !found.old) {
                let response = Arc::clone(found.answer);
                self.curves.push(SoundCurve { sound: sound.id, name: sound.name.clone(), response });
            }
        }
    }

    /// Whether curves are being worked out.
    #[must_use]
    pub fn is_computing(&self) -> bool {
        self.kept.values().any(|kept| kept.progress().is_some())
    }

    /// The sound that everything stands as, or that it stood as before it was changed.
    #[must_use]
    pub fn came_from(&self) -> Option<SoundId> {
        self.came_from
    }

    /// The curves of the sounds that are shown, in the project's order.
    #[must_use]
    pub fn curves(&self) -> &[SoundCurve] {
        &self.curves
    }
}

/// The first of the steps, the youngest first, in which everything stood as a sound
/// of the project stands: that sound. History says it and no flag, so that it is
/// true after any undo.
fn came_from<'a>(
    project: &Project,
    steps: impl Iterator<Item = &'a Arc<Project>>,
    chosen: Option<SoundId>,
    variant: VariantId,
) -> Option<SoundId> {
    if project.sounds.is_empty() {
        return None;
    }
    steps.into_iter().find_map(|step| {
        let made = |sound: &Sound| match step.variant(variant) {
            Some(variant) => sound.realise(variant).state,
            None => sound.state_in(variant).clone(),
        };
        let like = |sound: &&Sound| made(sound).stands_as(&step.state);
        let mut alike = project.sounds.iter().filter(like).map(|sound| sound.id);
        let first = alike.next()?;
        Some(chosen.filter(|chosen| alike.any(|id| id == *chosen)).unwrap_or(first))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jobs::TestHost;
    use crate::state::Change;
    use rigwright_core::file;
    use rigwright_core::rig::{Edit, SoundEdit};

    struct Played {
        document: Document,
        sounds: Sounds,
    }

    impl Played {
        fn demo() -> Self {
            Self { document: Document::new(file::demo().unwrap()), sounds: Sounds::default() }
        }

        fn id(&self, name: &str) -> SoundId {
            self.document.project().sounds.iter().find(|sound| sound.name == name).unwrap().id
        }

        fn push(&mut self, edit: Edit) {
            self.document.push(Change::new("step", edit)).unwrap();
        }

        fn recall(&mut self, name: &str) {
            let id = self.id(name);
            self.push(Edit::Sound(SoundEdit::Recall { sound: id, variant: self.document.project().variants[0].id }));
            self.sounds.choose(id);
        }

        fn switch(&mut self, name: &str, on: bool) {
            let rig = Arc::clone(&self.document.project().variants[0].rig);
            let device = rig.devices.iter().find(|device| device.name == name).unwrap();
            let stands = device.is_on(&self.document.project().state);
            assert_ne!(stands, on);
            self.push(Edit::Switch(device.stepped_on(&self.document.project().state).unwrap()));
        }

        fn came_from(&mut self) -> Option<String> {
            self.show(&[]);
            let id = self.sounds.came_from()?;
            self.document.project().sounds.iter().find(|sound| sound.id == id).map(|sound| sound.name.clone())
        }

        fn show(&mut self, shown: &[SoundId]) -> Vec<Arc<Response>> {
            let variant = Arc::clone(&self.document.project().variants[0]);
            let shown = shown.iter().copied().collect();
            self.sounds.update(&self.document, (&variant, &BTreeSet::new()), &shown, &TestHost::new());
            self.sounds.curves().iter().map(|curve| Arc::clone(&curve.response)).collect()
        }
    }

    #[test]
    fn everything_comes_from_the_sound_that_was_chosen_until_that_is_undone() {
        let mut played = Played::demo();
        assert_eq!(played.came_from(), None);
        played.recall("Solo");
        assert_eq!(played.came_from().as_deref(), Some("Solo"));
        played.switch("Chorus", true);
        played.switch("Phaser", true);
        assert_eq!(played.came_from().as_deref(), Some("Solo"));
        played.recall("Tune");
        assert_eq!(played.came_from().as_deref(), Some("Tune"));
        for expected in ["Solo", "Solo", "Solo"] {
            played.document.undo();
            assert_eq!(played.came_from().as_deref(), Some(expected));
        }
        played.document.undo();
        assert_eq!(played.came_from(), None);
    }

    #[test]
    fn of_two_sounds_that_are_alike_the_chosen_one_is_meant() {
        let mut played = Played::demo();
        let solo = played.document.project().sounds.iter().find(|sound| sound.name == "Solo").unwrap().clone();
        let id = SoundId(played.document.fresh_id());
        let twin = rigwright_core::rig::Sound { id, name: "Encore".to_owned(), ..solo };
        played.push(Edit::Sound(SoundEdit::Add(Box::new(twin))));
        for name in ["Encore", "Solo", "Encore"] {
            played.recall(name);
            assert_eq!(played.came_from().as_deref(), Some(name));
        }
    }

    #[test]
    fn a_curve_is_the_rigs_with_everything_as_the_sound_has_it() {
        let mut played = Played::demo();
        let (solo, verse) = (played.id("Solo"), played.id("Verse, clean"));
        let shown = played.show(&[solo, verse]);
        // In the project's order, whichever was shown first.
        let names: Vec<&str> = played.sounds.curves().iter().map(|curve| curve.name.as_str()).collect();
        assert_eq!(names, ["Verse, clean", "Solo"]);
        played.recall("Solo");
        let project = Arc::clone(played.document.project());
        let really = respond(&Request::of(&project, &project.variants[0]), &mut LineCache::new(Sweep::audio()));
        assert_eq!(*shown[1], really);
        // Neither the switches nor another name make it old; a change of the sound does, and only of that one.
        let again = played.show(&[solo, verse]);
        assert!(shown.iter().zip(&again).all(|(a, b)| Arc::ptr_eq(a, b)));
        played.switch("Octave", true);
        let now = played.document.project().sounds.iter().find(|sound| sound.id == solo).unwrap().clone();
        let changed = rigwright_core::rig::Sound { state: played.document.project().state.clone(), ..now };
        played.push(Edit::Sound(SoundEdit::Set(Box::new(changed))));
        let later = played.show(&[solo, verse]);
        assert!(Arc::ptr_eq(&shown[0], &later[0]) && !Arc::ptr_eq(&shown[1], &later[1]));
        assert!(played.show(&[]).is_empty());
    }
}
