//! What the window keeps: the document with its history, the selection, the
//! answers and the settings. Nothing in here draws.

mod answers;
mod deferred;
mod document;
mod fed;
mod ghost;
mod history;
mod inputs;
pub mod loops;
pub mod noting;
pub mod own_parts;
mod peaks;
mod piece;
pub mod plugging;
mod power_answers;
mod power_preview;
mod refusal;
mod same_question;
mod scale;
mod selection;
mod set_in_vain;
mod settings;
pub mod several;
mod sounds;
mod straight;
mod string_combs;

pub use answers::{AllStates, Answers, WantedAnswers, weight as curve_weight};
pub use deferred::{Deferred, SameQuestion, Schedule, Shown};
pub use document::{Change, Document, Gesture};
pub use fed::Fed;
pub use ghost::{Ghost, Ghosts, Preview};
pub use inputs::{Input, Inputs};
pub use own_parts::{OwnChange, OwnParts};
pub use peaks::Peaks;
pub use piece::{NoPiece, Piece};
pub use power_answers::{PowerAnswer, PowerAnswers, PowerQuestion};
pub use power_preview::{Offer, PowerPreviews, PreviewedChange, PreviewedRig};
pub use refusal::Refusal;
pub use scale::Scale;
pub use selection::{Selected, Selection};
pub use set_in_vain::SetInVain;
pub use settings::{Amendment, Habits, Settings, Theme};
pub use sounds::{SoundCurve, Sounds};
pub use straight::Straight;
pub use string_combs::{StringCombs, open_strings};
