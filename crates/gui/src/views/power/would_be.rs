//! The rig as it would be after a change that is only looked at.

use std::sync::Arc;

use rigwright_core::ground::{self, ground_loops};
use rigwright_core::power::{Headroom, check_at, told_only, words as said};
use rigwright_core::rig::{Edit, Project, Rig, VariantId, apply};

use crate::state::{PowerAnswer, Preview};
use crate::views::Facts;

/// What a change would make of the rig in hand.
#[derive(Debug)]
pub struct Seen {
    before: Arc<Project>,
    variant: VariantId,
    /// The change.
    pub preview: Preview,
    /// What it is called: "the best allocation".
    pub name: &'static str,
    /// The rig after it.
    pub rig: Arc<Rig>,
    /// Its figures.
    pub answer: PowerAnswer,
}

/// The change that is looked at, if one is; and the lines of what the last one that was offered changes.
#[derive(Debug, Default)]
pub struct WouldBe {
    seen: Option<Seen>,
    lines: Vec<(Arc<Project>, VariantId, Edit, Vec<String>)>,
}

impl WouldBe {
    /// What is looked at. A rig that changed meanwhile ends that.
    pub fn seen(&mut self, facts: &Facts<'_>) -> Option<&Seen> {
        self.seen.take_if(|seen| !Arc::ptr_eq(&seen.before, facts.project) || seen.variant != facts.variant.id);
        self.seen.as_ref()
    }

    /// Whether it is this one.
    pub fn is_of(&self, facts: &Facts<'_>, edit: &Edit) -> bool {
        let of = |seen: &Seen| Arc::ptr_eq(&seen.before, facts.project) && seen.preview.edit == *edit;
        self.seen.as_ref().is_some_and(of)
    }

    /// Looks at a change.
    pub fn open(&mut self, facts: &Facts<'_>, preview: Preview, name: &'static str) {
        let Some(rig) = after(facts, &preview.edit) else { return };
        let check = check_at(&rig, &Headroom::of(&facts.project.limits), &facts.project.mains);
        let (loops, loop_count) = (ground_loops(&rig), ground::count(&rig));
        // What mends it isn't looked for in what is only looked at.
        let told = told_only(&rig, &check);
        let answer = PowerAnswer { loops, loop_count, told, check, ..PowerAnswer::default() };
        let before = Arc::clone(facts.project);
        self.seen = Some(Seen { before, variant: facts.variant.id, preview, name, rig, answer });
    }

    /// Whether a change is looked at.
    pub fn is_open(&self) -> bool {
        self.seen.is_some()
    }

    /// Looks at the rig as it is.
    pub fn close(&mut self) {
        self.seen = None;
    }

    /// What a change would change, one line each.
    pub fn changes(&mut self, facts: &Facts<'_>, edit: &Edit) -> Vec<String> {
        let of = |(before, variant, kept, _): &&(Arc<Project>, VariantId, Edit, Vec<String>)| {
            Arc::ptr_eq(before, facts.project) && *variant == facts.variant.id && kept == edit
        };
        if let Some((.., lines)) = self.lines.iter().find(of) {
            return lines.clone();
        }
        // What is about an older rig is of no more use.
        self.lines.retain(|(before, ..)| Arc::ptr_eq(before, facts.project));
        let rig = after(facts, edit);
        let lines = rig.map_or_else(Vec::new, |rig| said::changes(&facts.variant.rig, &rig, edit));
        self.lines.push((Arc::clone(facts.project), facts.variant.id, edit.clone(), lines.clone()));
        lines
    }
}

fn after(facts: &Facts<'_>, edit: &Edit) -> Option<Arc<Rig>> {
    let next = apply(facts.project, edit).ok()?;
    Some(Arc::clone(&next.variant(facts.variant.id)?.rig))
}
