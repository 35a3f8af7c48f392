//! The guitar straight into the amp, and what arrives there: worked out when
//! something changed and not each frame.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::compare;
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, Response, respond};
use rigwright_core::rig::{JackRef, Project, Rig, State, Variant};

use super::same_question::same_rig;

/// The last answer, and what it was made from.
#[derive(Debug, Default)]
pub struct Straight {
    kept: Option<Kept>,
    computed: u64,
}

#[derive(Debug)]
struct Kept {
    /// Each variant's rig, and the endpoint at which its level is taken.
    rigs: Vec<(Arc<Rig>, Option<JackRef>)>,
    controls: State,
    found: Option<(Arc<Rig>, Arc<Response>)>,
}

impl Straight {
    /// Sees to it that the answer is the project's as it stands. `endpoint` is
    /// where a variant's level is taken.
    pub fn update(&mut self, project: &Project, endpoint: impl Fn(&Variant) -> Option<JackRef>) {
        let rigs = project.variants.iter().map(|variant| (Arc::clone(&variant.rig), endpoint(variant)));
        let rigs: Vec<_> = rigs.collect();
        let same = |kept: &&mut Kept| {
            let each = kept.rigs.iter().zip(&rigs).all(|(a, b)| a.1 == b.1 && same_rig(&a.0, &b.0));
            each && kept.rigs.len() == rigs.len() && kept.controls.turned == project.state.turned
        };
        if let Some(kept) = self.kept.as_mut().filter(|kept| same(kept)) {
            kept.rigs = rigs;
            return;
        }
        // Nothing that has a switch is in it.
        let controls = State { positions: Default::default(), ..project.state.clone() };
        let found = compare::first_straight(project, &endpoint).map(|(_, rig)| {
            let rig = Arc::new(rig);
            let request =
                Request { rig: Arc::clone(&rig), state: controls.clone(), test_point: None, unfed: Default::default() };
            (rig, Arc::new(respond(&request, &mut LineCache::new(Sweep::audio()))))
        });
        self.computed += 1;
        self.kept = Some(Kept { rigs, controls, found });
    }

    /// The rig and its answer, as of the last update; none where no variant has one.
    #[must_use]
    pub fn get(&self) -> Option<(&Arc<Rig>, &Arc<Response>)> {
        let (rig, response) = self.kept.as_ref()?.found.as_ref()?;
        Some((rig, response))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rigwright_core::file;
    use rigwright_core::rig::{Control, Edit, Jack, Knob, PowerEdit, apply};
    use rigwright_core::units::Turn;

    fn first_amp(variant: &Variant) -> Option<JackRef> {
        let amp = variant.rig.devices.iter().find(|device| device.kind.noun() == "amp")?;
        Some(JackRef::new(amp.id, Jack::In))
    }

    #[test]
    fn it_is_worked_out_when_something_changed_and_not_before() {
        let project = file::demo().unwrap();
        let mut straight = Straight::default();
        straight.update(&project, first_amp);
        straight.update(&project, first_amp);
        assert_eq!(straight.computed, 1);
        let rig = Arc::clone(straight.get().unwrap().0);
        assert_eq!((rig.devices.len(), rig.leads.len()), (2, 1));
        let before = Arc::clone(straight.get().unwrap().1);
        // A switch is nothing to it, a knob of the guitar is.
        let unit = project.variants[0].rig.devices.iter().find(|device| device.has_switch()).unwrap();
        let switched = apply(&project, &Edit::Switch(unit.stepped_on(&project.state).unwrap())).unwrap();
        straight.update(&switched, first_amp);
        assert_eq!(straight.computed, 1);
        // So is power: another variant's feeds, or those of this one.
        let feed = project.variants[0].rig.feeds[0].id;
        let edit = Edit::Power { variant: project.variants[0].id, edit: PowerEdit::RemoveFeed(feed) };
        straight.update(&apply(&project, &edit).unwrap(), first_amp);
        assert_eq!(straight.computed, 1);
        let knob = Knob { device: rig.devices[0].id, control: Control::Volume };
        let mut turned = project.clone();
        turned.state.turned.insert(knob, Turn::of(0.5));
        straight.update(&turned, first_amp);
        assert_eq!(straight.computed, 2);
        assert_ne!(**straight.get().unwrap().1, *before);
        straight.update(&turned, |_| None);
        assert!(straight.get().is_none());
    }
}
