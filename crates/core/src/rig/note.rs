//! Notes on the sheet: words that the player puts beside the drawing, with an arrow or without.
//! No analysis reads them.

use super::{CanvasPoint, EditError, NoteId, Variant};

/// Words on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    /// Its name for good.
    pub id: NoteId,
    /// What it says; lines may be broken.
    pub text: String,
    /// Where its upper left corner stands.
    pub at: CanvasPoint,
    /// What its arrow points at, if it has one.
    pub arrow: Option<CanvasPoint>,
}

impl Note {
    /// The same at places that can be found again.
    #[must_use]
    pub fn on_canvas(self) -> Self {
        Self { at: self.at.on_canvas(), arrow: self.arrow.map(CanvasPoint::on_canvas), ..self }
    }
}

/// What can be done to a variant's notes.
#[derive(Debug, Clone, PartialEq)]
pub enum NoteEdit {
    /// A note is as given from now on; its id says which, or it is one more.
    Put(Box<Note>),
    /// A note goes.
    Remove(NoteId),
}

/// Errors leave the variant as it was.
pub fn change(variant: &mut Variant, edit: &NoteEdit) -> Result<(), EditError> {
    match edit {
        NoteEdit::Put(note) => {
            let note = (**note).clone().on_canvas();
            match variant.notes.iter_mut().find(|own| own.id == note.id) {
                Some(own) => *own = note,
                None => variant.notes.push(note),
            }
            Ok(())
        }
        NoteEdit::Remove(id) => {
            let at = variant.notes.iter().position(|note| note.id == *id).ok_or(EditError::NoNote(*id))?;
            variant.notes.remove(at);
            Ok(())
        }
    }
}
