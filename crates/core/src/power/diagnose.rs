//! What is told of a rig's power: each problem as a diagnosis, with what remedies it.

use super::check::{Check, Headroom};
use super::mend::Mender;
use super::problem::{PowerFault, PowerProblem};
use super::words::{names, wants, when_unfed};
use crate::diagnosis::{About, Diagnosis, Remedy, Rule, Severity, Subject};
use crate::parts::catalogue;
use crate::rig::{Device, PowerEdit, Rig, Variant};
use crate::watch::{Stopped, Watch};
use crate::words::capital;

/// What is told of a rig's power.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PowerTold {
    /// One diagnosis for each of [`Check::problems`], in their order, the loudest first.
    pub problems: Vec<Diagnosis>,
    /// Units that want power where no supply is drawn: nobody forgot to plug them in.
    pub waiting: Vec<Diagnosis>,
    /// Units of which nobody has said what they take.
    pub unknown: Option<Diagnosis>,
    /// Of so many of the problems nobody looked for remedies, the rig being too large for it.
    pub without_remedies: usize,
}

impl PowerTold {
    /// The problems without those that another one says already. `check` is what they
    /// were told from.
    pub fn problems_once<'a>(&'a self, check: &'a Check) -> impl Iterator<Item = &'a Diagnosis> {
        let problems = self.problems.iter().zip(&check.problems);
        problems.filter(|(_, problem)| !check.says_already(problem)).map(|(told, _)| told)
    }

    /// What a list has of it, each thing once, the loudest first. `check` is what it
    /// was told from.
    pub fn listed<'a>(&'a self, check: &'a Check) -> impl Iterator<Item = &'a Diagnosis> {
        self.problems_once(check).chain(&self.waiting).chain(&self.unknown)
    }
}

impl PowerTold {
    /// That nobody looked for what remedies some of the problems, if so.
    #[must_use]
    pub fn left_out_words(&self) -> Option<String> {
        let problems = match self.without_remedies {
            0 => return None,
            1 => "one of them",
            _ => "others",
        };
        Some(format!("What mends {problems} {NOT_LOOKED_FOR}"))
    }
}

/// Where nothing that is drawn can feed a unit.
const NO_OUTLET: &str = "No outlet here fits it as things stand.";
/// Where nobody looked for what it begins with.
const NOT_LOOKED_FOR: &str = "wasn't looked for: in so large a rig it would take too long.";

/// Tells what a check found, and looks for what remedies it.
pub fn diagnose(
    variant: &Variant,
    headroom: &Headroom,
    check: &Check,
    watch: &dyn Watch,
) -> Result<PowerTold, Stopped> {
    let rig: &Rig = &variant.rig;
    let mender = Mender::new(rig, headroom, check);
    let steps = check.problems.len().max(1) as f64;
    let mut problems = Vec::with_capacity(check.problems.len());
    for (at, problem) in check.problems.iter().enumerate() {
        if !watch.go_on(at as f64 / steps) {
            return Err(Stopped);
        }
        let before = mender.left_out();
        let mends = mender.mends(problem);
        let remedies: Vec<Remedy> = mends.iter().map(|mend| mend.remedy(variant.id)).collect();
        let no_remedy = match (remedies.is_empty() && is_unplugged(problem), mender.left_out() > before) {
            (false, _) => None,
            (true, false) => Some(NO_OUTLET.to_owned()),
            (true, true) => Some(format!("Which outlet fits it {NOT_LOOKED_FOR}")),
        };
        problems.push(Diagnosis { remedies, no_remedy, ..problem.told(rig) });
    }
    let (waiting, unknown) = (waiting(rig, check), unknown(variant, check));
    Ok(PowerTold { problems, waiting, unknown, without_remedies: mender.left_out() })
}

/// The same without anything that remedies it, as of a rig that is only looked at.
#[must_use]
pub fn told_only(rig: &Rig, check: &Check) -> PowerTold {
    let problems = check.problems.iter().map(|problem| problem.told(rig)).collect();
    PowerTold { problems, waiting: waiting(rig, check), unknown: None, without_remedies: 0 }
}

/// Units without a feed where no supply is drawn; else each is a problem.
fn waiting(rig: &Rig, check: &Check) -> Vec<Diagnosis> {
    if rig.supplies().next().is_some() {
        return Vec::new();
    }
    check.unfed.iter().filter_map(|id| rig.device(*id)).map(waits).collect()
}

/// "Chorus wants 9 V and is not fed."
fn waits(device: &Device) -> Diagnosis {
    let wants = device.power.need().map_or_else(|| "power".to_owned(), wants);
    let then = when_unfed(&device.kind).map_or_else(String::new, |then| format!("{}.", capital(then)));
    let rule = Rule { subject: Subject::Power, key: "unfed" };
    let text = format!("{} wants {wants} and is not fed.", device.name);
    Diagnosis { why: then, about: About::devices(vec![device.id]), ..Diagnosis::new(rule, Severity::Know, text) }
}

/// What nobody has said, and what the catalogue says of it.
fn unknown(variant: &Variant, check: &Check) -> Option<Diagnosis> {
    if check.unknown.is_empty() {
        return None;
    }
    let said = check.unknown.iter().filter_map(|id| {
        let part = catalogue().part(&variant.rig.device(*id)?.part)?;
        Some(PowerEdit::SetPower { device: *id, power: Box::new(part.power.clone()) })
    });
    let said: Vec<PowerEdit> = said.collect();
    let remedy = (!said.is_empty()).then(|| Remedy::of_power("Take what the catalogue says", variant.id, &said));
    let rule = Rule { subject: Subject::Power, key: "unknown" };
    let text = format!("Nobody has said what {} takes.", names(&variant.rig, &check.unknown));
    Some(Diagnosis {
        about: About::devices(check.unknown.clone()),
        no_remedy: remedy.is_none().then(|| "Say it of each unit on the Power screen.".to_owned()),
        remedies: remedy.into_iter().collect(),
        ..Diagnosis::new(rule, Severity::Know, text)
    })
}

/// Whether it is a unit that hangs nowhere.
fn is_unplugged(problem: &PowerProblem) -> bool {
    matches!(problem.what, PowerFault::Unfed { at: None, .. })
}
