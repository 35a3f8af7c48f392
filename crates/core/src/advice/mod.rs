//! What would make a rig better: a search over edits, each tried out in full. Buffers and
//! leads that it puts in are of the catalogue that ships with the program, and none of the
//! player's own parts.

mod buffers;
mod bypass;
mod effects_loop;
mod fuzz;
mod leads;
mod moves;
mod orders;
mod practice;
mod price;
mod proof;
mod rank;
mod signal_path;
mod switchers;
mod trial;
mod words;

use std::sync::Arc;

use crate::cascade::LineCache;
use crate::parts::{CablePart, catalogue};
use crate::rig::{DeviceId, Edit, Limits, State, Variant};
use crate::states::{NoStates, Target, worst_jump_db};
use crate::units::{Metres, Price};
use crate::watch::{Part, Rising, Stopped, Watch};
use rank::Mark;
use signal_path::SignalPath;
use trial::{Trial, worst_jump};

pub use words::figures as figures_words;

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
    /// Units may go into the loops of a loop switcher.
    pub switcher: bool,
}

impl Default for Wishes {
    /// All that a player would try, with 3 m from the guitar to the board. [common practice, no source]
    fn default() -> Self {
        Self { buffers: 2, bypass: true, leads: true, shortest_lead: Metres::of(3.0), order: true, switcher: true }
    }
}

/// All that advice depends on.
#[derive(Debug, Clone, PartialEq)]
pub struct AdviceQuestion {
    /// The rig, in its variant.
    pub variant: Arc<Variant>,
    /// Where controls stand; its switches don't matter.
    pub controls: State,
    /// Where the level is wanted.
    pub target: Target,
    /// What may be changed.
    pub wishes: Wishes,
    /// Which fuzzes have so low an input that their switch counts for nothing here.
    pub limits: Limits,
}

/// A rig's figures, as far as advice weighs them.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// The largest rise or fall of any switch that a player minds, in dB, at or
    /// above zero; and whose it is and at which frequency in Hz
    /// ([`crate::states::worst_jump`], among all states with no low-impedance fuzz on).
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
    /// What it needs besides, in one sentence, if anything.
    pub needs: Option<String>,
    /// What it is good for besides, in sentences, if anything.
    pub besides: Option<String>,
}

/// What a search found.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// The rig as it is.
    pub now: Figures,
    /// What is better than that, the best first; never two that do the same.
    pub suggestions: Vec<Suggestion>,
    /// Why nothing was tried, in a sentence, if nothing was.
    pub left_out: Option<String>,
    /// What the search proved, in sentences: "No single buffer leaves a smaller jump than this one".
    pub proved: Vec<String>,
    /// What is usually done, as a second opinion: another order of the units, or some of them in
    /// the amp's loop.
    pub practice: Vec<Suggestion>,
}

impl Advice {
    /// Where nothing sounds there is nothing to say.
    fn none(why: NoStates) -> Self {
        let why = match why {
            NoStates::NoWay => "no signal gets there",
            NoStates::Silent => "nothing comes through",
            NoStates::Stopped => "it was stopped before it was done",
        };
        let now = Figures { worst_jump: None, lead_equivalent: Err(why.to_owned()), peak_hz: None };
        Self { now, suggestions: Vec::new(), left_out: None, proved: Vec::new(), practice: Vec::new() }
    }
}

/// The patch lead that is put in.
fn patch() -> Option<&'static CablePart> {
    catalogue().cable("patch-lead").or_else(|| catalogue().cables.first())
}

/// In rigs of more devices nothing better is looked for: each order, and each
/// place for a buffer, is one more rig to go through.
pub const MOST_DEVICES: usize = 250;

/// Searches; it says how far it is and can be stopped.
pub fn advise(question: &AdviceQuestion, cache: &mut LineCache, watch: &dyn Watch) -> Result<Advice, Stopped> {
    let watch: &dyn Watch = &Rising::new(watch);
    go_on(watch, 0.0)?;
    let share = |from, to| Part { whole: watch, from, to };
    let Wishes { buffers, bypass, leads, shortest_lead, order, switcher } = question.wishes;
    let variant = Arc::clone(&question.variant);
    let mut trial = Trial::new(question, cache);
    let states = match trial.states(&variant) {
        Ok(states) => states,
        Err(why) => return Ok(Advice::none(why)),
    };
    let Some(path) = SignalPath::to(question.target, &variant.rig, &question.controls) else {
        return Ok(Advice::none(NoStates::NoWay));
    };
    let (now, dull) = trial.figures_with(&variant, worst_jump(&states));
    if states.in_groups() || variant.rig.carriers().count() > MOST_DEVICES {
        let left_out = "In so large a rig nothing better is looked for: it has more than 250 devices, or too many switches \
                   to go through all their settings.";
        return Ok(Advice { now, left_out: Some(left_out.to_owned()), ..Advice::none(NoStates::NoWay) });
    }
    trial.start_from(&states, Mark { jump_db: worst_jump_db(&states), dull });
    let exact = states.exact;
    drop(states);
    let mut ideas = Vec::new();
    if leads {
        ideas.extend(leads::search(&mut trial, &path, shortest_lead, &share(0.02, 0.05))?);
    }
    if bypass {
        ideas.extend(bypass::search(&mut trial, &share(0.05, 0.1))?);
    }
    let mut put_in = buffers::Found::default();
    if buffers > 0 {
        put_in = buffers::search(&mut trial, &path, buffers, &share(0.1, 0.35))?;
        ideas.append(&mut put_in.ideas);
    }
    if switcher {
        ideas.extend(switchers::search(&mut trial, &path, &share(0.35, 0.4))?);
    }
    let (mut usual, mut moved) = (None, moves::Found::default());
    if order {
        usual = practice::order(&mut trial);
        moved = moves::search(&mut trial, &share(0.4, 0.9))?;
        ideas.append(&mut moved.ideas);
    }
    let best = rank::best(trial.now, ideas, rank::MOST);
    let mut suggestions = Vec::with_capacity(best.len());
    for (at, idea) in best.iter().enumerate() {
        go_on(watch, 0.9 + 0.1 * at as f64 / (best.len() + 1) as f64)?;
        suggestions.push(trial.in_full(&idea.idea));
    }
    go_on(watch, 0.99)?;
    let mut practice: Vec<Suggestion> = usual.map(|idea| trial.in_full(&idea)).into_iter().collect();
    if order && let Some(idea) = effects_loop::idea(&mut trial) {
        let suggestion = trial.in_full(&idea);
        let caution = suggestion.caution.or(Some(effects_loop::CAUTION.to_owned()));
        practice.push(Suggestion { caution, besides: Some(effects_loop::BESIDES.to_owned()), ..suggestion });
    }
    let proved = if exact { proof::sentences(&put_in, &moved) } else { Vec::new() };
    go_on(watch, 1.0)?;
    Ok(Advice { now, suggestions, left_out: None, proved, practice })
}

/// Says how far it is; an error if it is told to stop.
fn go_on(watch: &dyn Watch, done: f64) -> Result<(), Stopped> {
    if watch.go_on(done) { Ok(()) } else { Err(Stopped) }
}
