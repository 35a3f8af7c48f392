//! What puts a loop in or leaves it out: a switch, a preset or a patch, or nothing.

use super::{Amp, Device, EffectsLoop, Jack, Kind, MultiEffects, Position, Preset, State, Switch, SwitchKey};

/// What puts a loop in or leaves it out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LoopContact {
    /// A switch, in these of its positions.
    Switched {
        /// The switch.
        switch: Switch,
        /// Of each position, whether the loop is in.
        positions: Vec<(Position, bool)>,
    },
    /// Nothing: it stays so.
    Fixed(bool),
}

impl LoopContact {
    /// The same, and nothing where the loop stands alike in all positions.
    #[must_use]
    pub fn simplified(self) -> Self {
        match (self.can_be(true), self.can_be(false)) {
            (true, true) => self,
            (is_in, _) => Self::Fixed(is_in),
        }
    }

    /// Whether the loop can be in, or can be out.
    #[must_use]
    pub fn can_be(&self, is_in: bool) -> bool {
        match self {
            Self::Fixed(fixed) => *fixed == is_in,
            Self::Switched { positions, .. } => positions.iter().any(|(_, own)| *own == is_in),
        }
    }
}

impl Kind {
    /// How many loops it has, counted from 1: a loop switcher's, or the one that a multi-effects
    /// unit or an amp may have.
    #[must_use]
    pub fn loops(&self) -> u8 {
        match self {
            Self::Switcher(switcher) => switcher.all_loops().last().unwrap_or(0),
            _ => u8::from(self.effects_loop().is_some()),
        }
    }

    /// The send and the return in the middle of it, if it has them.
    #[must_use]
    pub fn effects_loop(&self) -> Option<&EffectsLoop> {
        match self {
            Self::MultiEffects(MultiEffects { effects_loop, .. }) | Self::Amp(Amp { effects_loop, .. }) => {
                effects_loop.as_ref()
            }
            _ => None,
        }
    }

    /// The same, to change.
    pub fn effects_loop_mut(&mut self) -> Option<&mut EffectsLoop> {
        match self {
            Self::MultiEffects(MultiEffects { effects_loop, .. }) | Self::Amp(Amp { effects_loop, .. }) => {
                effects_loop.as_mut()
            }
            _ => None,
        }
    }

    /// Which loops have to be in, and which out, for a signal that comes in at one jack to
    /// leave by another.
    #[must_use]
    pub fn loops_between(&self, input: Jack, out: Jack) -> Vec<(u8, bool)> {
        match (self, input, out) {
            (Self::Switcher(switcher), ..) => switcher.loops_between(input, out),
            (Self::MultiEffects(_), Jack::In, Jack::Send(_)) | (Self::MultiEffects(_), Jack::Return(_), _) => {
                vec![(1, true)]
            }
            (Self::MultiEffects(MultiEffects { effects_loop: Some(way), .. }), Jack::In, _) if way.dry.is_none() => {
                vec![(1, false)]
            }
            _ => Vec::new(),
        }
    }
}

impl Device {
    /// What puts one of its loops in; none where it has no such loop.
    #[must_use]
    pub fn loop_contact(&self, number: u8) -> Option<LoopContact> {
        if number == 0 || number > self.kind.loops() {
            return None;
        }
        let by = |key, is_in: &dyn Fn(Position) -> bool| {
            let switch = self.switch(key)?;
            let positions = switch.all_positions().map(|at| (at, is_in(at))).collect();
            Some(LoopContact::Switched { switch, positions })
        };
        match &self.kind {
            Kind::Switcher(switcher) if switcher.is_worked_by_presets() => {
                let is_in = |preset: &Preset| preset.loops.contains(&number);
                let at = |at: Position| switcher.presets.get(usize::from(at.0)).is_some_and(is_in);
                by(SwitchKey::Preset, &at).or(Some(LoopContact::Fixed(switcher.presets.first().is_some_and(is_in))))
            }
            Kind::MultiEffects(unit) if !unit.patches.is_empty() => {
                let at = |at: Position| unit.patches.get(usize::from(at.0)).is_some_and(|patch| patch.loop_in);
                by(SwitchKey::Patch, &at).or(Some(LoopContact::Fixed(at(Position(0)))))
            }
            // A loop without a switch is in.
            kind => by(SwitchKey::Loop(number), &|at| at == Position::ON)
                .or(kind.effects_loop().map(|_| LoopContact::Fixed(true))),
        }
    }

    /// Whether one of its loops is in, in a state.
    #[must_use]
    pub fn is_loop_in(&self, number: u8, state: &State) -> bool {
        match self.loop_contact(number) {
            None => false,
            Some(LoopContact::Fixed(is_in)) => is_in,
            Some(LoopContact::Switched { switch, positions }) => {
                let at = state.position(&switch);
                positions.iter().any(|(position, is_in)| *position == at && *is_in)
            }
        }
    }

    /// Whether its loops can stand like this all at once.
    #[must_use]
    pub fn can_have_loops(&self, loops: &[(u8, bool)]) -> bool {
        if let Kind::Switcher(switcher) = &self.kind {
            return switcher.can_have(loops);
        }
        let agree = loops.iter().all(|(number, is_in)| !loops.contains(&(*number, !is_in)));
        agree && loops.iter().all(|(number, is_in)| self.loop_contact(*number).is_some_and(|own| own.can_be(*is_in)))
    }

    /// Which of its presets or patches is called in a state; the first where nothing calls another.
    #[must_use]
    pub fn preset_called(&self, state: &State) -> usize {
        let switch = self.switch(SwitchKey::Preset).or_else(|| self.switch(SwitchKey::Patch));
        switch.map_or(0, |switch| usize::from(state.position(&switch).0))
    }
}
