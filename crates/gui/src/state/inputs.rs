//! What the window asks of the analyses besides the project: where levels are
//! taken, what is compared, which sounds have curves, what a search may change.
//! No part of the project; screens read it and ask for changes.

use std::collections::BTreeSet;

use rigwright_core::advice::Wishes;
use rigwright_core::compare::Against;
use rigwright_core::response::{PointAnswer, Response};
use rigwright_core::rig::{JackRef, Project, SoundId, VariantId};

/// What is asked of the analyses.
#[derive(Debug, Default)]
pub struct Inputs {
    /// The place of the endpoint among those of a response.
    endpoint: usize,
    hidden: BTreeSet<VariantId>,
    against: Option<Against>,
    difference: bool,
    compares: bool,
    peaks: usize,
    wishes: Wishes,
    sounds: BTreeSet<SoundId>,
    other_ends: bool,
    string: Option<usize>,
}

/// A change of one of them.
#[derive(Debug, Clone, PartialEq)]
pub enum Input {
    /// Levels are taken at this endpoint of those that a response has.
    Endpoint(usize),
    /// A variant is shown, or left out.
    Variant(VariantId, bool),
    /// What the others are compared with.
    Against(Against),
    /// The plot shows differences from that, and not levels.
    Difference(bool),
    /// Rigs are compared in figures, so that each one's worst jump is wanted.
    Compares(bool),
    /// Of so many switches, the furthest first, it is wanted what they do to the peak.
    Peaks(usize),
    /// What a search for something better may change.
    Wishes(Wishes),
    /// A sound's curve is shown, or not.
    Sound(SoundId, bool),
    /// The curves at the other ends of the rig in hand are shown, or not.
    OtherEnds(bool),
    /// What the pickups hear of this open string is shown, counted from the lowest; or of none.
    OpenString(Option<usize>),
}

impl Inputs {
    /// Takes a change up.
    pub fn set(&mut self, input: Input) {
        match input {
            Input::Endpoint(at) => self.endpoint = at,
            Input::Variant(variant, shown) => put(&mut self.hidden, variant, !shown),
            Input::Against(against) => self.against = Some(against),
            Input::Difference(difference) => self.difference = difference,
            Input::Compares(compares) => self.compares = compares,
            Input::Peaks(peaks) => self.peaks = peaks,
            Input::Wishes(wishes) => self.wishes = wishes,
            Input::Sound(sound, shown) => put(&mut self.sounds, sound, shown),
            Input::OtherEnds(shown) => self.other_ends = shown,
            Input::OpenString(string) => self.string = string,
        }
    }

    /// Where curves are taken in a response: the test point if there is one in
    /// the project, or else the chosen endpoint. A rig without the test point's
    /// lead has no curve then: its level somewhere else would be no comparison.
    #[must_use]
    pub fn answer<'r>(&self, project: &Project, response: &'r Response) -> Option<&'r PointAnswer> {
        if project.test_point.is_some() {
            return response.test_point.as_ref();
        }
        response.endpoints.get(self.endpoint_of(response)).map(|endpoint| &endpoint.at)
    }

    /// The jack of the chosen endpoint.
    #[must_use]
    pub fn endpoint(&self, response: &Response) -> Option<JackRef> {
        response.endpoints.get(self.endpoint_of(response)).map(|endpoint| endpoint.jack)
    }

    /// The place of the chosen endpoint in a response, or the first where there are fewer.
    #[must_use]
    pub fn endpoint_of(&self, response: &Response) -> usize {
        if self.endpoint < response.endpoints.len() { self.endpoint } else { 0 }
    }

    /// Whether a variant is shown: its curve, its band and its line of the table.
    #[must_use]
    pub fn shows(&self, variant: VariantId) -> bool {
        !self.hidden.contains(&variant)
    }

    /// What the others are compared with: what was chosen, as long as it is there;
    /// or else the first variant, and with only one of them the guitar straight into the amp.
    #[must_use]
    pub fn against(&self, project: &Project) -> Against {
        let there = |against: &Against| match against {
            Against::Variant(id) => project.variant(*id).is_some(),
            Against::Straight => true,
        };
        self.against.filter(there).unwrap_or(match project.variants.as_slice() {
            [first, _, ..] => Against::Variant(first.id),
            _ => Against::Straight,
        })
    }

    /// Whether the plot shows differences, and not levels.
    #[must_use]
    pub fn is_difference(&self) -> bool {
        self.difference
    }

    /// Whether rigs are compared in figures.
    #[must_use]
    pub fn compares(&self) -> bool {
        self.compares
    }

    /// Of how many switches it is wanted what they do to the peak.
    #[must_use]
    pub fn peaks(&self) -> usize {
        self.peaks
    }

    /// What a search for something better may change.
    #[must_use]
    pub fn wishes(&self) -> Wishes {
        self.wishes
    }

    /// Whether the curves at the other ends of the rig in hand are shown.
    #[must_use]
    pub fn other_ends(&self) -> bool {
        self.other_ends
    }

    /// The open string of which it is shown what the pickups hear, counted from the lowest.
    #[must_use]
    pub fn string(&self) -> Option<usize> {
        self.string
    }

    /// The sounds whose curves are shown.
    #[must_use]
    pub fn sounds(&self) -> &BTreeSet<SoundId> {
        &self.sounds
    }
}

fn put<T: Ord>(set: &mut BTreeSet<T>, it: T, inside: bool) {
    if inside {
        set.insert(it);
    } else {
        set.remove(&it);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rigwright_core::file;
    use rigwright_core::rig::{Edit, apply};

    #[test]
    fn the_first_of_several_is_the_base_until_another_is_chosen_and_while_it_is_there() {
        let project = file::demo().unwrap();
        let (first, second) = (project.variants[0].id, project.variants[1].id);
        let mut inputs = Inputs::default();
        assert_eq!(inputs.against(&project), Against::Variant(first));
        inputs.set(Input::Against(Against::Variant(second)));
        assert_eq!(inputs.against(&project), Against::Variant(second));
        let one = apply(&project, &Edit::RemoveVariant(second)).unwrap();
        assert_eq!(inputs.against(&one), Against::Straight);
    }

    #[test]
    fn what_is_left_out_comes_back() {
        let mut inputs = Inputs::default();
        let variant = VariantId(3);
        inputs.set(Input::Variant(variant, false));
        assert!(!inputs.shows(variant));
        inputs.set(Input::Variant(variant, true));
        assert!(inputs.shows(variant));
    }
}
