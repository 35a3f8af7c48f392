//! A sound for each preset of a loop switcher, or each patch of a multi-effects unit, under its number.

use super::{Device, Position, Project, Sound, SoundId, State, SwitchKey, Variant, fitting_name, placeholder};

impl Device {
    /// The key of the switch that calls its presets or its patches, if it is worked by these.
    #[must_use]
    pub fn calls(&self) -> Option<SwitchKey> {
        [SwitchKey::Preset, SwitchKey::Patch].into_iter().find(|key| self.switch(*key).is_some())
    }
}

/// What is called that no sound of a variant calls yet, each as a sound: “3 solo”. All other switches
/// and controls stand in it as they stand now. Ids are placeholders.
#[must_use]
pub fn numbered_sounds(project: &Project, variant: &Variant, device: &Device) -> Vec<Sound> {
    let Some(switch) = device.calls().and_then(|key| device.switch(key)) else { return Vec::new() };
    let called = |state: &State| state.position(&switch);
    let taken: Vec<Position> = project.sounds.iter().map(|sound| called(&sound.realise(variant).state)).collect();
    let open = switch.all_positions().filter(|to| !taken.contains(to));
    let sound = |(at, to): (usize, Position)| {
        let mut state = project.state.clone();
        state.positions.insert(switch.id, to);
        let number = format!("{} ", usize::from(to.0) + 1);
        let name = fitting_name(&format!("{number}{}", device.position_name(switch.id.key, to)), "");
        Sound::of(SoundId(placeholder(at as u64)), name, state.clone()).kept_as(&state, variant)
    };
    open.enumerate().map(sound).collect()
}
