//! What the window keeps: the document with its history, the selection, the
//! answers and the settings. Nothing in here draws.

mod answers;
mod document;
mod history;
mod selection;
mod settings;

pub use answers::Answers;
pub use document::{Change, Document, Gesture};
pub use selection::{Selected, Selection};
pub use settings::{Settings, Theme};
