//! The marks that tell kinds of effect apart: which one a unit has, and what it looks like.

use rigwright_core::parts::effect;
use rigwright_core::rig::{Device, Effect, Kind, Treadle, Tuner};

/// A mark in the box of a unit with a footswitch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mark {
    /// A pedal's, by its kind of effect.
    Effect(Effect),
    /// A wah's.
    Wah,
    /// A tuner's.
    Tuner,
}

impl Mark {
    /// All of them, as the legend has them.
    pub fn all() -> impl Iterator<Item = Self> {
        let effects = Effect::ALL.into_iter().filter(|effect| *effect != Effect::Other).map(Self::Effect);
        effects.chain([Self::Wah, Self::Tuner])
    }

    /// A device's; none where it has none, or nobody says which effect it makes.
    #[must_use]
    pub fn of(device: &Device) -> Option<Self> {
        match device.kind {
            Kind::Pedal(_) => effect(device).filter(|effect| *effect != Effect::Other).map(Self::Effect),
            Kind::Treadle(Treadle::Wah { .. }) => Some(Self::Wah),
            Kind::Tuner(Tuner::Through { .. }) => Some(Self::Tuner),
            _ => None,
        }
    }

    /// What it stands for, in a word or two.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Effect(effect) => effect.name(),
            Self::Wah => "wah",
            Self::Tuner => "tuner",
        }
    }

    /// What such a unit does.
    #[must_use]
    pub fn what(self) -> &'static str {
        match self {
            Self::Effect(effect) => effect.what(),
            Self::Wah => "Lets one band of frequencies through, which the foot moves.",
            Self::Tuner => "Shows the pitch that is played.",
        }
    }

    /// What the mark looks like.
    #[must_use]
    pub fn looks(self) -> &'static str {
        match self {
            Self::Wah => "Hump with an arrow",
            Self::Tuner => "Ring with a needle",
            Self::Effect(effect) => match effect {
                Effect::Boost => "Triangle in a line",
                Effect::Drive => "Rounded step",
                Effect::Distortion => "Wave cut flat",
                Effect::Fuzz => "Square wave",
                Effect::Compressor => "Bent line over axes",
                Effect::Gate => "Single pulse",
                Effect::Equaliser => "Three sliders",
                Effect::Filter => "Hump",
                Effect::Chorus => "Two waves",
                Effect::Flanger => "Row of arches",
                Effect::Phaser => "Ring with a stroke through it",
                Effect::Vibrato => "Wave that gets closer and wider",
                Effect::Tremolo => "Wave that swells",
                Effect::Rotary => "Oval with an arrow's head",
                Effect::RingModulator => "Cross over a ring",
                Effect::Octave => "Figure 8",
                Effect::PitchShifter => "Stairs",
                Effect::Delay => "Strokes that get shorter",
                Effect::Reverb => "Wave that dies away",
                Effect::Looper => "Lying figure 8",
                Effect::Other => "Empty box",
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use rigwright_core::parts::catalogue;
    use rigwright_core::rig::DeviceId;

    use super::*;

    #[test]
    fn each_has_a_name_and_a_look_of_its_own() {
        let all: Vec<Mark> = Mark::all().collect();
        assert_eq!(all.len(), Effect::ALL.len() + 1);
        let own = |words: fn(Mark) -> &'static str| all.iter().copied().map(words).collect::<BTreeSet<_>>().len();
        assert_eq!((own(Mark::name), own(Mark::what), own(Mark::looks)), (all.len(), all.len(), all.len()));
    }

    #[test]
    fn units_with_a_box_have_a_mark_and_others_none() {
        let mark = |part: &str| Mark::of(&catalogue().part(part).unwrap().device(DeviceId(1)));
        assert_eq!(mark("mild-drive"), Some(Mark::Effect(Effect::Drive)));
        assert_eq!(mark("wah"), Some(Mark::Wah));
        assert_eq!(mark("tuner-true-bypass"), Some(Mark::Tuner));
        for part in ["buffer", "valve-amp", "passive-volume-250k", "tuner-tap"] {
            let Some(part) = catalogue().part(part) else { continue };
            assert_eq!(Mark::of(&part.device(DeviceId(1))), None, "{}", part.key);
        }
        let mut other = catalogue().part("phaser").unwrap().device(DeviceId(1));
        other.effect = Some(Effect::Other);
        assert_eq!(Mark::of(&other), None);
    }
}
