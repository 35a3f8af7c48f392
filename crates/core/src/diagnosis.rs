//! What everything that is wrong or worth knowing is told as, whatever it is
//! about: a rule, how much it matters, a sentence, why, what it is about, and the
//! changes that remedy it.
//!
//! What it is told from stands with its own answer: figures of the signal in
//! [`crate::findings`], of power in [`crate::power`], ground loops in [`crate::hum`],
//! what can't be as it is drawn in [`crate::drawn`].

use crate::rig::{DeviceId, Edit, FeedId, Id, LeadId, PowerEdit, SwitchSetting, VariantId};
use crate::units::counted;
use crate::words::capital;

/// What a rule looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Subject {
    /// What can't be as it is drawn.
    Drawing,
    /// The signal's way, and the tone.
    Signal,
    /// Supplies and what they feed.
    Power,
    /// Closed paths of screens, returns and earths.
    Ground,
    /// What a search found that would be better; nothing is wrong.
    Advice,
}

/// Which rule speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Rule {
    /// What it looks at.
    pub subject: Subject,
    /// Its name for programs, one of its subject's; it stays as it is.
    pub key: &'static str,
}

/// How much something matters, the loudest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// It can destroy something: never switch it on like this.
    Danger,
    /// It won't work as it should: something to act on.
    Act,
    /// Something to know.
    Know,
}

impl Severity {
    /// Its name for programs; it stays as it is.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Danger => "danger",
            Self::Act => "act",
            Self::Know => "know",
        }
    }
}

/// What never to do while a danger lasts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Warning {
    /// Switching the rig on.
    SwitchOn,
    /// Plugging it in where the tour goes; at home it can be switched on.
    PlugInAbroad,
}

impl Warning {
    /// In a few words, without a full stop.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::SwitchOn => "Don't switch it on like this",
            Self::PlugInAbroad => "Don't plug it in there",
        }
    }
}

/// What a diagnosis is about: what to look at.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct About {
    /// Devices, the chief one first.
    pub devices: Vec<DeviceId>,
    /// Leads of the signal.
    pub leads: Vec<LeadId>,
    /// Leads from supplies.
    pub feeds: Vec<FeedId>,
    /// The switches that are moved where it shows most; none where the state doesn't matter.
    pub among: Option<Vec<SwitchSetting>>,
    /// The frequency in Hz where it shows most, if there is one.
    pub hz: Option<f64>,
    /// Its ground loops: their places among those of the rig that are told, from
    /// 0, the likeliest first.
    pub loops: Vec<usize>,
}

impl About {
    /// Only devices.
    #[must_use]
    pub fn devices(devices: Vec<DeviceId>) -> Self {
        Self { devices, ..Self::default() }
    }
}

/// One thing to know of a rig.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnosis {
    /// Which rule speaks.
    pub rule: Rule,
    /// How much it matters.
    pub severity: Severity,
    /// Of a danger: what never to do while it lasts.
    pub warning: Option<Warning>,
    /// One sentence with its number.
    pub text: String,
    /// Why, in one or two sentences; empty where the first says it all.
    pub why: String,
    /// What it is about.
    pub about: About,
    /// What remedies it, the best first.
    pub remedies: Vec<Remedy>,
    /// Why there is no remedy, where that wants saying.
    pub no_remedy: Option<String>,
}

impl Diagnosis {
    /// One that says no more than this.
    #[must_use]
    pub fn new(rule: Rule, severity: Severity, text: impl Into<String>) -> Self {
        Self {
            rule,
            severity,
            warning: None,
            text: text.into(),
            why: String::new(),
            about: About::default(),
            remedies: Vec::new(),
            no_remedy: None,
        }
    }

    /// The same, its remedies with placeholders for what was numbered from `free`
    /// on while they were tried out.
    #[must_use]
    pub fn with_placeholders(mut self, free: Id) -> Self {
        for remedy in &mut self.remedies {
            remedy.edit = remedy.edit.as_ref().map(|edit| edit.with_placeholders(free));
        }
        self
    }
}

/// How many there are of each severity, as a sentence: "1 can destroy something,
/// 2 to act on, 3 to know." `fine` is said where there is none of them, and before
/// what is only to know: "nothing to act on: every unit gets what it wants".
#[must_use]
pub fn count_words<'a>(all: impl IntoIterator<Item = &'a Diagnosis>, fine: &str) -> String {
    let mut counts = [0_usize; 3];
    for one in all {
        counts[one.severity as usize] += 1;
    }
    let [danger, act, know] = counts;
    let parts = [(danger, "can destroy something"), (act, "to act on"), (know, "to know")];
    let mut said: Vec<String> = parts
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, words)| format!("{} {words}", counted(*count)))
        .collect();
    match (danger + act, know) {
        (0, 0) => format!("{}.", capital(fine)),
        (0, _) => {
            said.insert(0, "Nothing to act on".to_owned());
            format!("{}.", said.join(", "))
        }
        _ => format!("{}.", said.join(", ")),
    }
}

/// Something that remedies.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// What it does, with the figure that is left, as a button says it.
    pub words: String,
    /// What is given up for it, in one sentence, if anything.
    pub gives_up: Option<String>,
    /// The change; none where the drawing can't have it, so that words must do.
    pub edit: Option<Edit>,
}

impl Remedy {
    /// One that gives nothing up.
    #[must_use]
    pub fn of(words: impl Into<String>, edit: Edit) -> Self {
        Self { words: words.into(), gives_up: None, edit: Some(edit) }
    }

    /// What the drawing can't have, in words.
    #[must_use]
    pub fn in_words(words: impl Into<String>) -> Self {
        Self { words: words.into(), gives_up: None, edit: None }
    }

    /// One that changes a variant's power, one step after another.
    #[must_use]
    pub fn of_power(words: impl Into<String>, variant: VariantId, edits: &[PowerEdit]) -> Self {
        let edits: Vec<Edit> = edits.iter().map(|edit| Edit::Power { variant, edit: edit.clone() }).collect();
        let edit = match <[Edit; 1]>::try_from(edits) {
            Ok([edit]) => edit,
            Err(edits) => Edit::Batch(edits),
        };
        Self::of(words, edit)
    }

    /// What it does, without the figure: "Put a buffer after the guitar" of "Put
    /// a buffer after the guitar: 0.3 dB left".
    #[must_use]
    pub fn without_figure(&self) -> String {
        self.words.split(':').next().unwrap_or(&self.words).trim().to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_is_one_count_of_all() {
        let rule = Rule { subject: Subject::Power, key: "unfed" };
        let told = |severity: Severity| Diagnosis::new(rule, severity, "It is so.");
        let words = |all: &[Severity]| {
            let all: Vec<Diagnosis> = all.iter().map(|severity| told(*severity)).collect();
            count_words(&all, "nothing to act on: all is well")
        };
        use Severity::{Act, Danger, Know};
        assert_eq!(words(&[]), "Nothing to act on: all is well.");
        assert_eq!(words(&[Know, Know]), "Nothing to act on, 2 to know.");
        assert_eq!(words(&[Act]), "1 to act on.");
        assert_eq!(words(&[Danger, Know, Act, Act]), "1 can destroy something, 2 to act on, 1 to know.");
    }

    #[test]
    fn a_remedy_is_called_without_its_figure() {
        let remedy = Remedy::in_words("Put a buffer after the guitar: 0.3 dB left");
        assert_eq!((remedy.without_figure().as_str(), remedy.edit), ("Put a buffer after the guitar", None));
    }
}
