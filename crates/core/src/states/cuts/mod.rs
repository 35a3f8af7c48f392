//! What buffers would leave of the worst jump, for any choice of their places at once.
//!
//! A buffer only cuts stretches: those that lie between two buffers don't know
//! of others. So for every pair of ends, buffers' places among them, the largest
//! swing of any switch between is looked up once; for a set of places the worst
//! jump is the largest of what lies within its segments. Two buffers in a rig of
//! n units have n²/2 pairs of places, and each costs three look-ups.

mod chain;
mod glimpse;
mod segments;
mod stretches;
mod swings;

use std::sync::Arc;

use crate::cascade::LineCache;
use crate::rig::{DeviceId, Rig, SwitchRef};
use crate::watch::{Pace, Stopped, Watch};

use super::{NoStates, Question};
use chain::Chain;
use segments::Segments;
use stretches::Stretches;

pub use glimpse::{Glimpse, glimpse};

/// A rig that has one more unit in it, which always isolates.
#[derive(Debug, Clone)]
pub struct Cut {
    /// The unit.
    pub device: DeviceId,
    /// The rig with it.
    pub rig: Arc<Rig>,
}

/// A cut that lies on the way, and changes nothing else of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct CutPlace {
    number: usize,
    /// Which of the cuts that were asked for, by index.
    pub cut: usize,
}

/// The largest rise or fall of any switch among all states.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worst {
    /// Its size in dB, at or above zero.
    pub db: f64,
    /// Which switch.
    pub switch: SwitchRef,
    /// At which frequency of the sweep, by index.
    pub at: usize,
}

/// Why there is no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoCuts {
    /// No state of the rig as it is reaches the target with a sound.
    NoStates(NoStates),
    /// There is more to look at than is kept at once; one rig at a time goes on.
    TooMany,
    /// It was told to stop.
    Stopped,
}

impl From<NoStates> for NoCuts {
    fn from(why: NoStates) -> Self {
        Self::NoStates(why)
    }
}

impl From<Stopped> for NoCuts {
    fn from(Stopped: Stopped) -> Self {
        Self::Stopped
    }
}

/// The worst jump for every set of cuts.
pub struct Cuts {
    segments: Segments,
    places: Vec<CutPlace>,
}

impl Cuts {
    /// The cuts that lie on the way, in the order of the signal. For the others
    /// the edited rig has to be explored by itself.
    #[must_use]
    pub fn places(&self) -> &[CutPlace] {
        &self.places
    }

    /// The worst jump with units at all of these places at once, which stand on
    /// different leads; with none, of the rig as it is. `None` if no switch is heard.
    #[must_use]
    pub fn worst(&self, places: &[CutPlace]) -> Option<Worst> {
        let mut numbers: Vec<usize> = places.iter().map(|place| place.number).collect();
        numbers.sort_unstable();
        let swing = self.segments.largest(&numbers)?;
        Some(Worst { db: 10.0 * swing.ratio.log10(), switch: swing.switch, at: swing.at })
    }
}

/// Looks at all sets of cuts of a rig, over the cache's sweep.
pub fn cuts(question: &Question, cuts: &[Cut], line_cache: &mut LineCache, watch: &dyn Watch) -> Result<Cuts, NoCuts> {
    line_cache.next_generation();
    let chain = Chain::lay_out(question, cuts, line_cache)?;
    let ends = chain.sources.len();
    let mut pace = Pace::new(watch, (ends * ends * (ends / 3 + 8) * line_cache.sweep().len() / 2) as u64);
    pace.did(0)?;
    let stretches = Stretches::of(&chain, line_cache, &mut pace)?;
    let segments = Segments::of(&chain, &stretches, &mut pace)?;
    let places = chain.places.iter().enumerate();
    let places = places.map(|(number, place)| CutPlace { number, cut: place.cut }).collect();
    Ok(Cuts { segments, places })
}
