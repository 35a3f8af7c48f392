//! Sounds: what a player wants to hear, and the state of each rig that makes it.

use std::collections::{BTreeMap, BTreeSet};

use super::{DeviceId, OutOfReach, SoundId, State, SwitchKey, Variant, VariantId};

/// A sound under a name, with what the player wants to remember of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Sound {
    /// Its name for good.
    pub id: SoundId,
    /// What the player calls it.
    pub name: String,
    /// Which units are wanted, and where controls stand: the state that makes it
    /// in every variant that has no state of its own for it.
    pub state: State,
    /// The states that the player made it by in single variants.
    pub made_in: BTreeMap<VariantId, State>,
    /// Settings of knobs, patch number, amp channel: free text.
    pub notes: String,
}

/// How a variant makes a sound.
#[derive(Debug, Clone, PartialEq)]
pub struct Realised {
    /// The state.
    pub state: State,
    /// The devices that are asked for and that the variant lacks, in order.
    pub lacks: Vec<DeviceId>,
    /// Loops that it needs and that no setting of their switcher puts in together.
    pub out_of_reach: Vec<OutOfReach>,
    /// Whether the player made it so for this variant.
    pub own: bool,
}

impl Sound {
    /// A sound that every variant makes by one state.
    #[must_use]
    pub fn of(id: SoundId, name: impl Into<String>, state: State) -> Self {
        Self { id, name: name.into(), state, made_in: BTreeMap::new(), notes: String::new() }
    }

    /// The state that is kept for a variant: its own, or the one for all.
    #[must_use]
    pub fn state_in(&self, variant: VariantId) -> &State {
        self.made_in.get(&variant).unwrap_or(&self.state)
    }

    /// How a variant makes it. What it lacks stays in the state, for the day it
    /// has that again; all that isn't wanted stands at its default. Loops are put in
    /// for the units in them that are wanted on, unless the player made it so for this variant.
    #[must_use]
    pub fn realise(&self, variant: &Variant) -> Realised {
        let own = self.made_in.contains_key(&variant.id);
        let mut state = self.state_in(variant.id).clone();
        let turned = state.turned.keys().map(|knob| knob.device);
        let asked: BTreeSet<DeviceId> = state.positions.keys().map(|switch| switch.device).chain(turned).collect();
        let lacks = asked.into_iter().filter(|id| variant.rig.device(*id).is_none()).collect();
        let out_of_reach = if own { Vec::new() } else { variant.rig.put_loops_in(&mut state) };
        Realised { state, lacks, out_of_reach, own }
    }

    /// Makes it by a state that stands in a variant: in all variants, and there exactly
    /// so. Loops that the units in them need anyway aren't asked for of other variants.
    #[must_use]
    pub fn kept_as(mut self, state: &State, variant: &Variant) -> Self {
        self.made_in.remove(&variant.id);
        self.state.clone_from(state);
        self.state.positions.retain(|switch, _| !matches!(switch.key, SwitchKey::Loop(_) | SwitchKey::Preset));
        if self.realise(variant).state == *state {
            return self;
        }
        self.state.clone_from(state);
        if self.realise(variant).state != *state {
            self.made_in.insert(variant.id, state.clone());
        }
        self
    }

    /// All its states: the one for every variant first.
    pub fn states(&self) -> impl Iterator<Item = &State> {
        std::iter::once(&self.state).chain(self.made_in.values())
    }

    /// The same, to change.
    pub fn states_mut(&mut self) -> impl Iterator<Item = &mut State> {
        std::iter::once(&mut self.state).chain(self.made_in.values_mut())
    }
}
