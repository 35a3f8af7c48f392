//! Since which version each field and each choice stands.

/// Who holds something younger than version 1, what it is called, and the
/// version since which it stands. A holder is a struct or an enum of the
/// schema, or `Enum::Choice` for a field of one choice. What isn't listed
/// stands since version 1; a row never changes once its version is out.
pub const ADDED: &[(&str, &str, u32)] = &[
    ("ActiveSource", "peak", 4),
    ("ActiveSource", "piezo", 4),
    ("Amp", "channels", 4),
    ("Amp", "polarity", 4),
    ("Control", "Blend", 4),
    ("Control", "ToneOf", 4),
    ("Control", "VolumeOf", 4),
    ("Device", "effect", 4),
    ("Device", "heard_to", 4),
    ("Device", "power", 3),
    ("Device", "stays_on", 2),
    ("Device", "switches", 4),
    ("DirectBox::Active", "to_desk", 4),
    ("DirectBox::Transformer", "to_desk", 4),
    ("EffectsLoop", "back_expects", 4),
    ("EffectsLoop", "back_latency", 4),
    ("EffectsLoop", "back_level", 4),
    ("EffectsLoop", "back_polarity", 4),
    ("EffectsLoop", "dry", 4),
    ("EffectsLoop", "has_switch", 4),
    ("EffectsLoop", "send_gives", 4),
    ("EffectsLoop", "send_level", 4),
    ("Guitar", "peak", 4),
    ("Guitar", "pickup_wiring", 4),
    ("Guitar", "scale", 4),
    ("Input", "coupling", 4),
    ("Interface", "earthed_computer", 4),
    ("Interface", "is_desk", 4),
    ("Interface", "phantom", 4),
    ("Interface", "second", 4),
    ("Interface", "takes", 4),
    ("Jack", "PowerStage", 4),
    ("Kind", "Mixer", 4),
    ("Kind", "MultiEffects", 4),
    ("Kind", "Selector", 4),
    ("Kind", "Supply", 3),
    ("Kind", "Switcher", 4),
    ("Kind", "Transformer", 4),
    ("Limits", "headroom", 3),
    ("Limits", "over_voltage", 4),
    ("Limits", "voltage", 4),
    ("Mains", "power_factor", 4),
    ("Need", "apart_must", 4),
    ("Need", "heaters", 4),
    ("Need", "shares_winding", 4),
    ("Need", "transformer", 4),
    ("Pedal", "gain_by_source", 4),
    ("Pedal", "level_pot", 4),
    ("Pedal", "stereo", 4),
    ("Pedal", "without_power", 4),
    ("Pickup", "place", 4),
    ("Pot", "no_load", 4),
    ("Project", "limits", 2),
    ("Project", "mains", 4),
    ("Sound", "made_in", 4),
    ("Stage", "latency", 4),
    ("Stage", "output_capacitance", 4),
    ("Stage", "polarity", 4),
    ("State", "instrument", 4),
    ("State", "positions", 4),
    ("Variant", "feeds", 3),
    ("Variant", "kept_orders", 2),
    ("Variant", "notes", 4),
    ("Variant", "row_width", 4),
];

/// Fields that a later version says in another way, and the last version that
/// had each: a step of `migrate` reads them. A row never changes.
pub const LAST: &[(&str, &str, u32)] = &[("State", "on", 3)];

/// Whose name is read: a field of a struct, a choice of an enum, or a field of
/// one choice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Holder {
    /// The struct or the enum.
    pub of: &'static str,
    /// The choice whose field it is.
    pub choice: Option<&'static str>,
    /// All names that today's version has there.
    pub names: &'static [&'static str],
}

impl Holder {
    /// Whether a row of [`ADDED`] means this holder.
    fn is(&self, row: &str) -> bool {
        match self.choice {
            None => row == self.of,
            Some(choice) => row.split_once("::") == Some((self.of, choice)),
        }
    }
}

/// Which names may stand where.
pub trait Names: Copy {
    /// Whether one of the holder's names may stand there.
    fn stands(self, holder: &Holder, name: &str) -> bool;
}

/// The names of a file of one version.
#[derive(Debug, Clone, Copy)]
pub struct Version(pub u32);

impl Names for Version {
    fn stands(self, holder: &Holder, name: &str) -> bool {
        let younger = |(of, added, since): &(&str, &str, u32)| *since > self.0 && *added == name && holder.is(of);
        let older = |(of, gone, last): &(&str, &str, u32)| *last < self.0 && *gone == name && holder.is(of);
        !ADDED.iter().any(younger) && !LAST.iter().any(older)
    }
}
