//! What can be found: commands, devices and leads, findings, parts, help; and which of it
//! fits what was typed.

use rigwright_core::diagnosis::{Diagnosis, Severity};
use rigwright_core::parts::{Catalogue, Part, catalogue};
use rigwright_core::rig::{Rig, name_of};
use rigwright_core::terms::{TERMS, Term};
use rigwright_core::units::metres;
use rigwright_core::words::search::{Match, Query};

use crate::command::Command;
use crate::help::Topic;
use crate::state::Selected;
use crate::views::{Facts, diagnoses};

/// The groups of the list, in its order where nothing fits better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// What a menu or a key does.
    Commands,
    /// Devices and leads of the rig in hand.
    Devices,
    /// What is wrong or worth knowing.
    Findings,
    /// Parts of the player's own.
    OwnParts,
    /// What the catalogue has.
    Parts,
    /// Pages of help.
    Help,
}

impl Group {
    /// Its heading.
    pub fn name(self) -> &'static str {
        match self {
            Self::Commands => "Commands",
            Self::Devices => "Devices and leads",
            Self::Findings => "Findings",
            Self::OwnParts => "My own parts",
            Self::Parts => "Parts of the catalogue",
            Self::Help => "Help",
        }
    }
}

/// What Enter does.
#[derive(Debug, Clone)]
pub enum Does {
    /// A command, or why it can't be done now.
    Command(Command, Option<&'static str>),
    /// Selects and shows.
    Select(Selected),
    /// Shows a diagnosis in its list.
    Diagnosis(Box<Diagnosis>),
    /// Inserts a part, by its key; and what it is.
    Part(String, String),
    /// Shows a page, and a term of it.
    Help(Topic, Option<&'static Term>),
}

/// One line of the list.
#[derive(Debug, Clone)]
pub struct Entry {
    /// What it is called.
    pub words: String,
    /// At its end: keys, or what it is.
    pub right: String,
    /// What Enter does.
    pub does: Does,
}

impl Entry {
    /// Why it can't be done now, if so.
    pub fn cannot(&self) -> Option<&'static str> {
        match &self.does {
            Does::Command(_, why) => *why,
            _ => None,
        }
    }

    /// What it does, in a sentence.
    pub fn about(&self) -> String {
        match &self.does {
            Does::Command(command, None) => command.tooltip().to_owned(),
            Does::Command(_, Some(why)) => (*why).to_owned(),
            Does::Select(_) => "Selects it and shows where it is.".to_owned(),
            Does::Diagnosis(_) => "Shows it in the list of findings, with what mends it.".to_owned(),
            Does::Part(_, about) => about.clone(),
            Does::Help(_, Some(term)) => format!("{} {}", term.what, term.so),
            Does::Help(_, None) => "Opens this page of help.".to_owned(),
        }
    }
}

/// A group with what fits in it, best first.
pub struct Found {
    /// Which group.
    pub group: Group,
    /// As much of it as is listed.
    pub entries: Vec<Entry>,
    /// How much more there is.
    pub more: usize,
}

/// So much of a group is listed: more letters find what is further down.
const MOST: usize = 60;

/// What fits what was typed. Groups in which something fits best stand first, of equals in
/// their order, or help before the others.
pub fn found(typed: &str, facts: &Facts<'_>, possible: &Possible<'_>, help_first: bool) -> Vec<Found> {
    let query = Query::of(typed);
    let mut groups = [
        gathered(Group::Commands, commands(&query, possible)),
        gathered(Group::Devices, devices(&query, &facts.variant.rig)),
        gathered(Group::Findings, findings(&query, facts)),
        gathered(Group::OwnParts, parts(facts.own_parts.shelf(), typed)),
        gathered(Group::Parts, parts(catalogue(), typed)),
        gathered(Group::Help, help(&query)),
    ];
    groups.sort_by_key(|(best, found)| (*best, help_first && found.group != Group::Help));
    groups.into_iter().map(|(_, found)| found).filter(|found| !found.entries.is_empty()).collect()
}

/// Why a command can't be done now, if so.
pub type Possible<'a> = dyn Fn(Command) -> Option<&'static str> + 'a;

type Matched = Vec<(Match, Entry)>;

fn gathered(group: Group, mut matched: Matched) -> (Match, Found) {
    // A stable sort: equals stay as they come.
    matched.sort_by_key(|(how, _)| *how);
    let best = matched.first().map_or(Match::Elsewhere, |(how, _)| *how);
    // Commands have an end of their own.
    let most = if group == Group::Commands { matched.len() } else { MOST };
    let more = matched.len() - matched.len().min(most);
    let entries = matched.into_iter().take(most).map(|(_, entry)| entry).collect();
    (best, Found { group, entries, more })
}

/// All commands that fit, those that can't be done behind the others.
fn commands(query: &Query, possible: &Possible<'_>) -> Matched {
    let one = |command: Command| {
        let how = query.matched(command.name(), &[command.tooltip()])?;
        let right = command.keys().join(" or ");
        Some((how, Entry { words: command.name().to_owned(), right, does: Does::Command(command, possible(command)) }))
    };
    Command::ALL.into_iter().filter_map(one).collect()
}

fn devices(query: &Query, rig: &Rig) -> Matched {
    let device = |device: &rigwright_core::rig::Device| {
        let words = name_of(device);
        let how = query.matched(&words, &[device.kind.noun()])?;
        let does = Does::Select(Selected::Device(device.id));
        Some((how, Entry { words, right: device.kind.noun().to_owned(), does }))
    };
    let end = |id| rig.device(id).map_or_else(|| "nothing".to_owned(), name_of);
    let lead = |lead: &rigwright_core::rig::Lead| {
        let words = format!("Lead from {} to {}", end(lead.from.device), end(lead.to.device));
        let how = query.matched(&words, &[lead.cable.name.as_str()])?;
        let does = Does::Select(Selected::Lead(lead.id));
        Some((how, Entry { words, right: metres(lead.length.get()), does }))
    };
    rig.devices.iter().filter_map(device).chain(rig.leads.iter().filter_map(lead)).collect()
}

fn findings(query: &Query, facts: &Facts<'_>) -> Matched {
    let one = |told: &Diagnosis| {
        let how = query.matched(&told.text, &[told.why.as_str()])?;
        let right = match told.severity {
            Severity::Danger => "danger",
            Severity::Act => "to act on",
            Severity::Know => "to know",
        };
        let does = Does::Diagnosis(Box::new(told.clone()));
        Some((how, Entry { words: told.text.clone(), right: right.to_owned(), does }))
    };
    diagnoses::drawn_wrong(facts).chain(diagnoses::all(facts)).filter_map(|(told, _)| one(told)).collect()
}

/// By name and by need.
fn parts(of: &Catalogue, typed: &str) -> Matched {
    let one = |(how, part): (Match, &Part)| {
        let (words, right) = (part.name.clone(), part.group.name().to_owned());
        (how, Entry { words, right, does: Does::Part(part.key.clone(), part.about.clone()) })
    };
    of.ranked(typed).into_iter().map(one).collect()
}

fn help(query: &Query) -> Matched {
    let topic = |topic: Topic| {
        let how = query.matched(topic.title(), &[topic.also()])?;
        let does = Does::Help(topic, None);
        Some((how, Entry { words: topic.title().to_owned(), right: "page".to_owned(), does }))
    };
    let term = |term: &'static Term| {
        let words = format!("What is “{}”?", term.name);
        // Found by the term itself, and not by the question around it.
        let how = query.matched(term.name, &[&term.also.join(" "), term.what, &words])?;
        Some((how, Entry { words, right: "term".to_owned(), does: Does::Help(Topic::Terms, Some(term)) }))
    };
    Topic::ALL.into_iter().filter_map(topic).chain(TERMS.iter().filter_map(term)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_is_listed_with_its_keys_and_why_it_cannot_be_done() {
        let possible = |command: Command| (command == Command::Undo).then_some("Nothing to undo.");
        let listed = commands(&Query::of(""), &possible);
        assert_eq!(listed.len(), Command::ALL.len());
        for (command, (_, entry)) in Command::ALL.into_iter().zip(&listed) {
            assert_eq!(entry.words, command.name());
            assert_eq!(entry.right, command.keys().join(" or "));
            assert_eq!(entry.cannot().is_some(), command == Command::Undo);
            assert!(entry.about().ends_with('.'), "{}", entry.about());
        }
    }

    #[test]
    fn a_command_is_found_by_its_own_words_first() {
        let listed = commands(&Query::of("undo"), &|_| None);
        let mut found: Vec<_> = listed.iter().collect();
        found.sort_by_key(|(how, _)| *how);
        assert_eq!(found[0].1.words, "Undo");
    }

    #[test]
    fn every_topic_and_term_is_found_by_its_name() {
        for topic in Topic::ALL {
            let listed = help(&Query::of(topic.title()));
            assert!(listed.iter().any(|(_, entry)| entry.words == topic.title()), "{topic:?}");
        }
        for term in TERMS {
            let listed = help(&Query::of(term.name));
            let best = listed.iter().min_by_key(|(how, _)| *how);
            assert!(best.is_some_and(|(how, _)| *how == Match::NameStarts), "{}", term.name);
        }
    }
}
