//! Edits of sounds: states under names.

use super::edit::{known_device, use_id};
use super::{EditError, Project, Sound, SoundId, State, VariantId};

/// What can be done to sounds.
#[derive(Debug, Clone, PartialEq)]
pub enum SoundEdit {
    /// Keep a new sound at the end of the list.
    Add(Box<Sound>),
    /// Let go of one.
    Remove(SoundId),
    /// Put a changed sound in the place of the one with its id.
    Set(Box<Sound>),
    /// Put a sound in another place of the list; past its end is the end.
    Move {
        /// The sound.
        sound: SoundId,
        /// Its new place, counted without it.
        to: usize,
    },
    /// Set all switches and controls as a variant makes a sound.
    Recall {
        /// The sound.
        sound: SoundId,
        /// The variant.
        variant: VariantId,
    },
    /// Make a sound by a state of its own in one variant, or (`None`) as in all others again.
    MakeIn {
        /// The sound.
        sound: SoundId,
        /// The variant.
        variant: VariantId,
        /// Its state there.
        state: Option<Box<State>>,
    },
}

pub fn change(project: &mut Project, edit: &SoundEdit) -> Result<(), EditError> {
    match edit {
        SoundEdit::Add(sound) => {
            if project.sounds.iter().any(|known| known.id == sound.id) {
                return Err(EditError::IdTaken(sound.id.0));
            }
            use_id(project, sound.id.0)?;
            let sound = known_in(project, sound);
            project.sounds.push(sound);
        }
        SoundEdit::Remove(id) => {
            let at = place(project, *id)?;
            project.sounds.remove(at);
        }
        SoundEdit::Set(sound) => {
            let at = place(project, sound.id)?;
            project.sounds[at] = known_in(project, sound);
        }
        SoundEdit::Move { sound, to } => {
            let at = place(project, *sound)?;
            let moved = project.sounds.remove(at);
            let to = (*to).min(project.sounds.len());
            project.sounds.insert(to, moved);
        }
        SoundEdit::Recall { sound, variant } => {
            let at = place(project, *sound)?;
            let variant = project.variant(*variant).ok_or(EditError::NoVariant(*variant))?;
            project.state = project.sounds[at].realise(variant).state;
        }
        SoundEdit::MakeIn { sound, variant, state } => {
            let at = place(project, *sound)?;
            project.variant(*variant).ok_or(EditError::NoVariant(*variant))?;
            match state {
                Some(state) => {
                    let state = known_state(project, state);
                    project.sounds[at].made_in.insert(*variant, state)
                }
                None => project.sounds[at].made_in.remove(variant),
            };
        }
    }
    Ok(())
}

/// A sound without what no variant has, as it is where a device has gone from all of them.
fn known_in(project: &Project, sound: &Sound) -> Sound {
    let made_in = sound.made_in.iter().map(|(variant, state)| (*variant, known_state(project, state)));
    Sound { state: known_state(project, &sound.state), made_in: made_in.collect(), ..sound.clone() }
}

fn known_state(project: &Project, state: &State) -> State {
    let mut state = state.clone();
    state.positions.retain(|switch, _| known_device(project, switch.device).is_ok());
    state.turned.retain(|knob, _| known_device(project, knob.device).is_ok());
    state
}

fn place(project: &Project, id: SoundId) -> Result<usize, EditError> {
    project.sounds.iter().position(|sound| sound.id == id).ok_or(EditError::NoSound(id))
}
