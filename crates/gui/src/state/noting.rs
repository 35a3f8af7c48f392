//! What putting a note on the sheet and changing one is as a change.

use rigwright_core::rig::{CanvasPoint, Edit, Note, NoteEdit, NoteId, Variant, placeholder};

use super::{Change, Selected};

/// What a new note says until somebody types.
pub const NEW: &str = "Note";

/// The change that makes a note as given, under a name.
#[must_use]
pub fn put(variant: &Variant, note: Note, step: &str) -> Change {
    Change::new(step, Edit::Note { variant: variant.id, edit: NoteEdit::Put(Box::new(note)) })
}

/// A note, with what its arrow points to, farther to the right and down by canvas units.
#[must_use]
pub fn moved(note: &Note, right: f64, down: f64) -> Note {
    let by = |at: CanvasPoint| CanvasPoint { x: (at.x + right).round(), y: (at.y + down).round() };
    Note { at: by(note.at), arrow: note.arrow.map(by), ..note.clone() }
}

/// A new note at a place, selected.
#[must_use]
pub fn add(variant: &Variant, at: CanvasPoint) -> Change {
    let id = NoteId(placeholder(0));
    let note = Note { id, text: NEW.to_owned(), at, arrow: None };
    put(variant, note, "add a note").selecting(Selected::Note(id))
}

/// An arrow that points beside its note until it is dragged, or none.
#[must_use]
pub fn with_arrow(variant: &Variant, note: &Note, has_arrow: bool) -> Change {
    let beside = CanvasPoint { x: note.at.x - 70.0, y: note.at.y + 50.0 };
    let arrow = has_arrow.then_some(note.arrow.unwrap_or(beside));
    put(variant, Note { arrow, ..note.clone() }, if has_arrow { "add an arrow" } else { "take an arrow away" })
}
