//! Choosing a sound, and keeping one.

use rigwright_core::rig::{Edit, Sound, SoundEdit, SoundId};

use super::Desk;
use crate::state::Change;

impl Desk {
    /// Sets all switches and controls as a sound has them.
    pub(super) fn recall(&mut self, id: SoundId) {
        let Some(sound) = self.document.project().sounds.iter().find(|sound| sound.id == id) else { return };
        let step = format!("choose {}", sound.name);
        self.push(Change::new(step, Edit::Sound(SoundEdit::Recall { sound: id, variant: self.showing })));
        self.sounds.choose(id);
    }

    /// Keeps how everything stands under a name.
    pub(super) fn keep_sound(&mut self, name: String) {
        let id = SoundId(self.document.fresh_id());
        let step = format!("keep {name} as a sound");
        let state = self.document.project().state.clone();
        let sound = Sound::of(id, name, state.clone());
        let sound = match self.showing() {
            Some(variant) => sound.kept_as(&state, variant),
            None => sound,
        };
        self.push(Change::new(step, Edit::Sound(SoundEdit::Add(Box::new(sound)))));
        self.sounds.choose(id);
    }
}
