//! Suggestions in a player's words.

use super::{Figures, Suggestion};
use crate::diagnosis::{Diagnosis, Remedy, Rule, Severity, Subject};
use crate::rig::{Device, Jack, JackRef, Kind, LeadId, Rig, device_name};
use crate::units::{hertz, metres};
use crate::words::capital;

fn is_instrument(rig: &Rig, jack: JackRef) -> bool {
    rig.device(jack.device).is_some_and(|device| matches!(device.kind, Kind::Guitar(_) | Kind::Active(_)))
}

fn is_off_board(rig: &Rig, jack: JackRef) -> bool {
    rig.device(jack.device).is_some_and(Device::is_off_board)
}

/// A lead by what it is for: "the guitar's lead", "the lead to Amp left", "the lead from Tuner to Wah".
pub fn lead(rig: &Rig, id: LeadId) -> String {
    let Some(lead) = rig.lead(id) else { return format!("lead {}", id.0) };
    if is_instrument(rig, lead.from) {
        let alone =
            rig.devices.iter().filter(|device| is_instrument(rig, JackRef::new(device.id, Jack::Out))).count() == 1;
        let noun = rig.device(lead.from.device).map_or("guitar", |device| device.kind.noun());
        return if alone {
            format!("the {noun}'s lead")
        } else {
            format!("the lead of {}", device_name(rig, lead.from.device))
        };
    }
    let to = format!("{}{}", device_name(rig, lead.to.device), at_jack(lead.to.jack));
    if is_off_board(rig, lead.to) {
        format!("the lead to {to}")
    } else {
        format!("the lead from {}{} to {to}", device_name(rig, lead.from.device), at_jack(lead.from.jack))
    }
}

/// Which of a device's jacks, where it isn't the usual one.
fn at_jack(jack: Jack) -> String {
    match jack {
        Jack::In | Jack::Out => String::new(),
        jack => format!(" ({jack})"),
    }
}

/// Where a unit stands that is put in at a lead: "after the guitar's lead".
pub fn place(rig: &Rig, id: LeadId) -> String {
    let Some(found) = rig.lead(id) else { return format!("at lead {}", id.0) };
    if is_instrument(rig, found.from) {
        format!("after {}", lead(rig, id))
    } else if is_off_board(rig, found.to) && !is_off_board(rig, found.from) {
        format!("before {}", lead(rig, id))
    } else {
        let (from, to) = (found.from, found.to);
        format!(
            "between {}{} and {}{}",
            device_name(rig, from.device),
            at_jack(from.jack),
            device_name(rig, to.device),
            at_jack(to.jack)
        )
    }
}

/// A jump in dB that is surely no larger than the figure: cut off behind the hundredths.
pub fn at_least_db(db: f64) -> String {
    format!("{:.2} dB", (db * 100.0).floor() / 100.0)
}

/// "worst jump 10.0 dB at 5.02 kHz (Tuner); all off it sounds like 14.3 m of lead".
#[must_use]
pub fn figures(rig: &Rig, figures: &Figures) -> String {
    let jump = match figures.worst_jump {
        Some((db, device, hz)) => {
            let name = rig.device(device).map_or("a new unit", |device| device.name.as_str());
            format!("worst jump {db:.1} dB at {} ({name})", hertz(hz))
        }
        None => "no switch is heard in the tone".to_owned(),
    };
    let lead = match &figures.lead_equivalent {
        Ok(length) => format!("all off it sounds like {} of lead", metres((length * 10.0).round() / 10.0)),
        Err(why) => format!("all off it sounds like no plain lead: {why}"),
    };
    format!("{jump}; {lead}")
}

impl Suggestion {
    /// How it is told: what it is, what the rig `rig` would then be like, what it
    /// takes, and as the remedy the change itself. Prices are in `currency`.
    #[must_use]
    pub fn told(&self, rig: &Rig, currency: &str) -> Diagnosis {
        let mut why = format!("{}.", capital(&figures(rig, &self.after)));
        let mut takes = Vec::new();
        if self.cost.get() > 0.0 {
            takes.push(format!("{:.0} {currency} (invented price)", self.cost.get()));
        }
        if self.width.get() > 0.0 {
            takes.push(format!("{:.0} mm of the board", self.width.get() * 1000.0));
        }
        if !takes.is_empty() {
            why.push_str(&format!(" Takes {}.", takes.join(" and ")));
        }
        if let Some(besides) = &self.besides {
            why.push_str(&format!(" {besides}"));
        }
        let caution = self.caution.as_ref().map(|caution| format!("{caution}."));
        let gives_up: Vec<String> = caution.into_iter().chain(self.needs.clone()).collect();
        let remedy = Remedy {
            words: self.words.clone(),
            gives_up: (!gives_up.is_empty()).then(|| gives_up.join(" ")),
            edit: Some(self.edit.clone()),
        };
        let rule = Rule { subject: Subject::Advice, key: "better" };
        let text = format!("{}.", self.words);
        Diagnosis { why, remedies: vec![remedy], ..Diagnosis::new(rule, Severity::Know, text) }
    }
}
