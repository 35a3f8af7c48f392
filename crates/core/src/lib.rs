//! What a guitar rig does to the tone: the model, its file and the circuit
//! mathematics, with no window, no disk, no clock and no printing.
//!
//! The modules stand on floors, and a module imports only from the floors
//! below its own (a test holds this): `terms`, `units`, `watch` and `words`; `conductor` and `network`; `rig`;
//! `parts`, `file` and `diagnosis`; `plan`, `cascade` and `drawn`; `arrival`; `response` and `states`.
//!
//! ```
//! use rigwright_core::{cascade::LineCache, file, network::Sweep, response};
//!
//! let project = file::demo().expect("the demo that ships with the program opens");
//! let variant = &project.variants[0];
//! let mut cache = LineCache::new(Sweep::audio());
//! let answer = response::respond(&response::Request::of(&project, variant), &mut cache);
//! assert_eq!(answer.endpoints[0].at.curve.hz().len(), 256);
//! ```

pub mod advice;
mod arrival;
pub mod cascade;
pub mod compare;
pub mod conductor;
pub mod diagnosis;
pub mod drawn;
pub mod export;
pub mod file;
pub mod findings;
pub mod ground;
pub mod hum;
pub mod network;
pub mod parts;
pub mod plan;
pub mod power;
pub mod response;
pub mod rig;
pub mod states;
pub mod terms;
pub mod units;
pub mod watch;
pub mod words;
