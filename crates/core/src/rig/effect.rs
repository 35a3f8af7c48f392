//! What a pedal does to the sound: no analysis reads it, the drawing shows it.

/// A pedal's kind of effect.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Deserialize)]
pub enum Effect {
    /// Louder, and nothing else.
    Boost,
    /// Clips softly.
    Drive,
    /// Clips hard.
    Distortion,
    /// Squares the wave.
    Fuzz,
    /// Evens out loud and soft.
    Compressor,
    /// Shuts where it is soft.
    Gate,
    /// Raises and lowers bands of frequencies.
    Equaliser,
    /// Lets one band through.
    Filter,
    /// The signal beside itself, a little out of tune.
    Chorus,
    /// The signal beside itself, shortly delayed.
    Flanger,
    /// The signal beside itself, its phase turned.
    Phaser,
    /// The pitch goes up and down.
    Vibrato,
    /// The level goes up and down.
    Tremolo,
    /// A speaker that turns.
    Rotary,
    /// Multiplied by another tone.
    RingModulator,
    /// An octave away.
    Octave,
    /// Some other interval away.
    PitchShifter,
    /// Repeats what was played.
    Delay,
    /// Sounds like a room.
    Reverb,
    /// Records and plays over and over.
    Looper,
    /// None of these.
    Other,
}

impl Effect {
    /// All of them, in the order of the catalogue's groups.
    pub const ALL: [Self; 21] = [
        Self::Boost,
        Self::Drive,
        Self::Distortion,
        Self::Fuzz,
        Self::Compressor,
        Self::Gate,
        Self::Equaliser,
        Self::Filter,
        Self::Chorus,
        Self::Flanger,
        Self::Phaser,
        Self::Vibrato,
        Self::Tremolo,
        Self::Rotary,
        Self::RingModulator,
        Self::Octave,
        Self::PitchShifter,
        Self::Delay,
        Self::Reverb,
        Self::Looper,
        Self::Other,
    ];

    /// In words, for lists and for a screen reader.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Boost => "booster",
            Self::Drive => "drive",
            Self::Distortion => "distortion",
            Self::Fuzz => "fuzz",
            Self::Compressor => "compressor",
            Self::Gate => "gate",
            Self::Equaliser => "equaliser",
            Self::Filter => "filter",
            Self::Chorus => "chorus",
            Self::Flanger => "flanger",
            Self::Phaser => "phaser",
            Self::Vibrato => "vibrato",
            Self::Tremolo => "tremolo",
            Self::Rotary => "rotary speaker",
            Self::RingModulator => "ring modulator",
            Self::Octave => "octave",
            Self::PitchShifter => "pitch shifter",
            Self::Delay => "delay",
            Self::Reverb => "reverb",
            Self::Looper => "looper",
            Self::Other => "another kind",
        }
    }

    /// What it does, in a sentence.
    #[must_use]
    pub fn what(self) -> &'static str {
        match self {
            Self::Boost => "Makes the signal louder and leaves its shape alone.",
            Self::Drive => "Rounds off the tops of a loud signal.",
            Self::Distortion => "Cuts off the tops of the signal with sharp corners.",
            Self::Fuzz => "Turns nearly any signal into a square wave.",
            Self::Compressor => "Holds loud notes back, so that soft ones come nearer to them.",
            Self::Gate => "Shuts while the signal is softer than a threshold.",
            Self::Equaliser => "Raises or lowers some bands of frequencies.",
            Self::Filter => "Lets one band of frequencies through, which moves.",
            Self::Chorus => "Adds the signal again, a little late and a little out of tune.",
            Self::Flanger => "Adds the signal again a few milliseconds late, which makes a comb of dips that moves.",
            Self::Phaser => "Adds the signal again with its phase turned, which makes some dips that move.",
            Self::Vibrato => "Moves the pitch up and down.",
            Self::Tremolo => "Moves the level up and down.",
            Self::Rotary => "Sounds like a loudspeaker that turns.",
            Self::RingModulator => "Multiplies the signal by a tone of its own.",
            Self::Octave => "Adds or makes notes an octave away.",
            Self::PitchShifter => "Makes notes some other interval away.",
            Self::Delay => "Repeats what was played, softer each time.",
            Self::Reverb => "Sounds on as in a room, and dies away.",
            Self::Looper => "Records a phrase and plays it over and over.",
            Self::Other => "Does something that has no mark of its own.",
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn each_is_listed_once_and_has_words_of_its_own() {
        assert!(Effect::ALL.is_sorted());
        let own = |words: fn(Effect) -> &'static str| Effect::ALL.map(words).into_iter().collect::<BTreeSet<_>>().len();
        assert_eq!((own(Effect::name), own(Effect::what)), (Effect::ALL.len(), Effect::ALL.len()));
        assert_eq!(Effect::ALL.len(), Effect::Other as usize + 1, "the last one, counted from 0");
        assert!(Effect::ALL.iter().all(|effect| effect.what().ends_with('.')));
    }
}
