//! What can't be as it is drawn, told as everything else that is wrong: each
//! [`Problem`] with what takes it out of the way, where one change does.

use crate::diagnosis::{About, Diagnosis, Remedy, Rule, Severity, Subject};
use crate::rig::{
    Edit, FeedId, LeadId, PowerEdit, Problem, Project, Rig, Variant, VariantId, forget_position, power_problems,
    signal_problems, switch_problems,
};
use crate::words::capital;

/// Of so many switches that are set and aren't there it is said how to forget them:
/// each such change holds a whole sound.
const MOST_FORGOTTEN: usize = 256;

/// All of a rig that can't be as it is drawn.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drawn {
    /// Of instruments, units and leads, in their order.
    pub signal: Vec<Diagnosis>,
    /// Of supplies and their leads.
    pub power: Vec<Diagnosis>,
}

impl Drawn {
    /// All of them, the signal's first.
    pub fn all(&self) -> impl Iterator<Item = &Diagnosis> {
        self.signal.iter().chain(&self.power)
    }
}

/// What can't be as it is drawn in a variant's rig.
#[must_use]
pub fn drawn(rig: &Rig, variant: VariantId) -> Drawn {
    let all =
        |problems: Vec<Problem>| problems.iter().map(|problem| told(problem, remedy(problem, rig, variant))).collect();
    Drawn { signal: all(signal_problems(rig)), power: all(power_problems(rig)) }
}

/// Switches that the state in hand or a sound sets, and that a variant hasn't.
#[must_use]
pub fn set_in_vain(project: &Project, variant: &Variant) -> Vec<Diagnosis> {
    let found = switch_problems(project, variant);
    let tell = |(number, problem): (usize, &Problem)| {
        let edit = (number < MOST_FORGOTTEN).then(|| forget_position(problem, project, variant)).flatten();
        let mut told = told(problem, edit.map(|edit| Remedy::of("Forget that position", edit)));
        told.why = "The position stays in the file, and counts again once the unit has that switch.".to_owned();
        told
    };
    found.iter().enumerate().map(tell).collect()
}

fn told(problem: &Problem, remedy: Option<Remedy>) -> Diagnosis {
    let rule = Rule { subject: Subject::Drawing, key: problem.rule() };
    let mut told = Diagnosis::new(rule, Severity::Act, capital(&format!("{problem}.")));
    told.about = about(problem);
    told.remedies.extend(remedy);
    if let Problem::FeedsItself { .. } = problem {
        told.why = "What feeds itself gets its power from nowhere.".to_owned();
    }
    told
}

/// What to look at in the drawing.
fn about(problem: &Problem) -> About {
    let leads = |leads: Vec<LeadId>| About { leads, ..About::default() };
    let feeds = |feed: FeedId| About { feeds: vec![feed], ..About::default() };
    match problem {
        Problem::MissingJack { lead, .. } | Problem::WrongWay { lead, .. } => leads(vec![*lead]),
        Problem::TwoLeads { leads: (first, second), .. } => leads(vec![*first, *second]),
        Problem::DeadLoop { device, .. } | Problem::NotJoined { device, .. } | Problem::Pickups { device, .. } => {
            About::devices(vec![*device])
        }
        Problem::NoSuchPosition { switch, .. } => About::devices(vec![switch.device]),
        Problem::NoSuchSetting { outlet, .. } => About::devices(vec![outlet.supply]),
        Problem::TakesNoFeed { feed, device, .. } | Problem::FedTwice { feed, device, .. } => {
            About { devices: vec![*device], ..feeds(*feed) }
        }
        Problem::MissingOutlet { feed, .. }
        | Problem::OutletTwice { feed, .. }
        | Problem::FeedsNothing { feed, .. }
        | Problem::FeedsMissingDevice { feed, .. } => feeds(*feed),
        Problem::Circle { .. } | Problem::NoInstrument | Problem::EndsNowhere { .. } | Problem::FeedsItself { .. } => {
            About::default()
        }
    }
}

/// The one change that takes it out of the way, where there is one.
fn remedy(problem: &Problem, rig: &Rig, variant: VariantId) -> Option<Remedy> {
    let power = |words: &str, edit| Remedy::of_power(words, variant, &[edit]);
    let lead = |words: &str, lead: &LeadId| Remedy::of(words, Edit::RemoveLead { variant, lead: *lead });
    let away = |feed: &FeedId| power("Take this lead away", PowerEdit::RemoveFeed(*feed));
    Some(match problem {
        Problem::MissingJack { lead: id, .. } | Problem::WrongWay { lead: id, .. } => lead("Take this lead away", id),
        Problem::TwoLeads { leads: (_, second), .. } => lead("Take the second lead away", second),
        Problem::MissingOutlet { feed, .. }
        | Problem::OutletTwice { feed, .. }
        | Problem::FeedsNothing { feed, .. } => away(feed),
        Problem::FeedsMissingDevice { feed, .. } => {
            let mut kept = rig.feed(*feed)?.clone();
            kept.taps.retain(|tap| rig.device(tap.device).is_some());
            match kept.taps.is_empty() {
                true => away(feed),
                false => power("Take this plug away", PowerEdit::SetFeed(Box::new(kept))),
            }
        }
        Problem::TakesNoFeed { device, .. } | Problem::FedTwice { device, .. } => {
            power("Unplug it", PowerEdit::Unplug(*device))
        }
        Problem::NoSuchSetting { outlet, .. } => {
            power("Set it to its first voltage", PowerEdit::Choose { outlet: *outlet, setting: 1 })
        }
        Problem::Circle { .. }
        | Problem::NoInstrument
        | Problem::EndsNowhere { .. }
        | Problem::DeadLoop { .. }
        | Problem::NotJoined { .. }
        | Problem::Pickups { .. }
        | Problem::FeedsItself { .. }
        | Problem::NoSuchPosition { .. } => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::file;
    use crate::rig::{DeviceId, Jack, JackRef};

    /// What is drawn wrong is no more so once its remedy was done, whatever it is.
    #[test]
    fn a_remedy_takes_its_problem_out_of_the_way() {
        let project = file::demo().expect("the demo that ships with the program opens");
        let variant = &project.variants[0];
        let mut rig = (*variant.rig).clone();
        let first = rig.leads[0].clone();
        rig.leads.push(crate::rig::Lead { id: LeadId(900_000), ..first.clone() });
        rig.leads.push(crate::rig::Lead {
            id: LeadId(900_001),
            from: JackRef::new(DeviceId(999_999), Jack::Out),
            to: first.to,
            ..first
        });
        if let Some(feed) = rig.feeds.first_mut() {
            feed.taps.clear();
        }
        let found = drawn(&rig, variant.id);
        let rules = |drawn: &Drawn| drawn.all().map(|told| told.rule.key).collect::<Vec<_>>();
        for rule in ["two-leads", "missing-jack", "feeds-nothing"] {
            assert!(rules(&found).contains(&rule), "{rule} of {:?}", rules(&found));
        }
        for told in found.all().filter(|told| !told.remedies.is_empty()) {
            let mut project = project.clone();
            let changed = std::sync::Arc::make_mut(&mut project.variants[0]);
            changed.rig = std::sync::Arc::new(rig.clone());
            let edit = told.remedies[0].edit.clone().expect("a change of the drawing");
            let project = crate::rig::apply(&project, &edit).expect("it can be done");
            let left = drawn(&project.variants[0].rig, variant.id);
            assert!(left.all().count() < found.all().count(), "{} is still there", told.text);
        }
    }
}
