//! What the window would show of a rig, worked out to its end: pictures and tables
//! are made from that.

use std::sync::Arc;
use std::thread;
use std::time::Duration;

use rigwright_core::power::Headroom;
use rigwright_core::response::Response;
use rigwright_core::rig::{Project, Variant, VariantId};
use rigwright_core::watch::Watch;

use super::{Aside, refuse, stopped};
use crate::jobs::{Host, RealHost};
use crate::state::{
    Answers, Habits, Input, Inputs, OwnParts, PowerAnswers, PowerQuestion, Selection, Sounds, Straight, WantedAnswers,
};
use crate::views::{Facts, PowerFacts};

/// How long nothing is looked at while threads work.
const LOOK_EVERY: Duration = Duration::from_millis(40);

/// All that a screen reads of a project, with one variant in hand.
pub struct Worked {
    project: Arc<Project>,
    variant: Arc<Variant>,
    answers: Answers,
    inputs: Inputs,
    power: PowerAnswers,
    sounds: Sounds,
    straight: Straight,
    selection: Selection,
    /// None are known here: a picture is of the rig alone.
    own_parts: OwnParts,
}

impl Worked {
    /// Works out the answers of the variants that `shows` names, and the power of the
    /// one in hand.
    pub fn out(
        project: Project,
        in_hand: VariantId,
        shows: &dyn Fn(VariantId) -> bool,
        watch: &dyn Watch,
    ) -> Result<Self, Aside> {
        let mut project = project;
        // What isn't shown is in nobody's way.
        project.variants.retain(|variant| variant.id == in_hand || shows(variant.id));
        let Some(variant) = project.variant(in_hand).cloned() else {
            return refuse("There is no such variant.");
        };
        let mut worked = Self {
            project: Arc::new(project),
            variant,
            answers: Answers::default(),
            inputs: Inputs::default(),
            power: PowerAnswers::default(),
            sounds: Sounds::default(),
            straight: Straight::default(),
            selection: Selection::default(),
            own_parts: OwnParts::default(),
        };
        if !shows(in_hand) {
            worked.inputs.set(Input::Variant(in_hand, false));
        }
        let caller = thread::current();
        // It keeps nothing: no settings, nothing against a crash.
        let host = RealHost::in_folders(Arc::new(move || caller.unpark()), None, None);
        while worked.go_on(&host) {
            if !watch.go_on(worked.progress()) {
                return stopped();
            }
            thread::park_timeout(LOOK_EVERY);
        }
        let variants = worked.project.variants.iter();
        if worked.power.died() || variants.map(|variant| variant.id).any(|id| worked.answers.curves_died(id)) {
            return refuse("The answers came to a bad end, which is this program's own fault.");
        }
        Ok(worked)
    }

    /// Whether something is still being worked out.
    fn go_on(&mut self, host: &dyn Host) -> bool {
        self.answers.update(&self.project, self.variant.id, host);
        let endpoint = |response: &Response| self.inputs.endpoint(response);
        self.answers.refresh(&WantedAnswers {
            project: &self.project,
            showing: self.variant.id,
            endpoint: &endpoint,
            compares: false,
            peaks: 0,
            host,
        });
        let question = PowerQuestion {
            variant: Arc::clone(&self.variant),
            headroom: Headroom::of(&self.project.limits),
            mains: self.project.mains.clone(),
        };
        self.power.refresh(&question, true, host);
        self.power.poll();
        self.answers.is_computing_curves() || self.power.is_computing()
    }

    fn progress(&self) -> f64 {
        let curves = self.project.variants.iter().filter_map(|variant| self.answers.progress(variant.id));
        curves.chain(self.power.progress()).fold(1.0, f64::min)
    }

    /// What a screen reads.
    pub fn facts(&self) -> Facts<'_> {
        Facts {
            project: &self.project,
            variant: &self.variant,
            answers: &self.answers,
            sounds: &self.sounds,
            inputs: &self.inputs,
            straight: &self.straight,
            selection: &self.selection,
            state_highlight: None,
            looked_at: None,
            string_comb: None,
            ghost: None,
            refused: None,
            advice: None,
            habits: Habits::default(),
            used_parts: &[],
            own_parts: &self.own_parts,
            power: PowerFacts { answer: self.power.shown(), ..PowerFacts::default() },
        }
    }
}
