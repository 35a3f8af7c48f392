//! Levels that don't fit where they go: a line into a microphone's input, a send at one level
//! into a return made for another.

use super::inspection::Inspection;
use super::mend;
use super::{About, Diagnosis, Remedy, Severity, SizedFinding, rules};
use crate::rig::{Device, InputFor, Interface, Jack, JackRef, Kind, Lead, LineLevel};

/// Send and return may lie so many dB apart before anybody minds. [common practice, no source]
const LOOP_DB: f64 = 6.0;
/// A level so far above what an input expects overdrives it; so far below, it is noisy. [common practice, no source]
const LEAD_DB: f64 = 15.0;
/// What a microphone gives, in dB over 1 V. [memory, S: levels]
const MICROPHONE_DBV: f64 = -50.0;

pub fn check(inspection: &Inspection<'_>) -> Vec<SizedFinding> {
    let rig = &inspection.now.rig;
    let loops = rig.devices.iter().filter_map(|device| of_a_loop(inspection, device));
    let leads = rig.leads.iter().filter_map(|lead| of_a_lead(inspection, lead));
    loops.chain(leads).collect()
}

/// What goes through a loop comes back louder or quieter than it went out.
fn of_a_loop(inspection: &Inspection<'_>, device: &Device) -> Option<SizedFinding> {
    let way = device.kind.effects_loop()?;
    let (gives, expects) = (way.send_gives?, way.back_expects?);
    let apart = way.mismatch_db();
    let back = JackRef::new(device.id, Jack::Return(1));
    if apart.abs() < LOOP_DB || inspection.now.rig.lead_to(back).is_none() {
        return None;
    }
    let name = inspection.now.name(device.id);
    let words = if apart > 0.0 { "quieter" } else { "louder" };
    let mut kind = device.kind.clone();
    kind.effects_loop_mut()?.back_expects = Some(gives);
    let fix = Remedy {
        words: format!("Set the return of {name} to {}", gives.name()),
        gives_up: Some("Only where its return has a switch for that.".to_owned()),
        edit: Some(mend::set(inspection, device.id, kind)),
    };
    let told = Diagnosis {
        why: "Both halves of a loop are made for one level; what goes out at one and is taken for the other is changed by the difference."
            .to_owned(),
        about: About::devices(vec![device.id]),
        remedies: vec![fix],
        ..Diagnosis::new(
            rules::LINE_LEVEL,
            Severity::Act,
            format!(
                "The send of {name} gives {} and its return expects {}: what goes through the loop comes back {:.1} dB {words}.",
                gives.name(),
                expects.name(),
                apart.abs()
            ),
        )
    };
    Some(SizedFinding::new(told, apart.abs(), LOOP_DB))
}

/// What comes out of a jack is far above or below what the input behind its lead expects.
fn of_a_lead(inspection: &Inspection<'_>, lead: &Lead) -> Option<SizedFinding> {
    let rig = &inspection.now.rig;
    let (from, to) = (rig.device(lead.from.device)?, rig.device(lead.to.device)?);
    let Kind::Interface(inside) = &to.kind else { return None };
    let gives = given(from, lead.from.jack)?;
    let expects = inside.takes;
    let (low, high) = match expects {
        InputFor::Instrument => (LineLevel::Instrument.dbv(), LineLevel::MinusTen.dbv()),
        InputFor::Line => (LineLevel::MinusTen.dbv(), LineLevel::PlusFour.dbv()),
        InputFor::Microphone => (MICROPHONE_DBV, MICROPHONE_DBV),
    };
    let (above, below) = (gives.dbv() - high, low - gives.dbv());
    if above.max(below) < LEAD_DB && !(expects == InputFor::Instrument && above > LOOP_DB) {
        return None;
    }
    let (giver, taker) = (inspection.now.name(from.id), inspection.now.name(to.id));
    let (words, severity) = match above > 0.0 {
        true => (format!("{above:.0} dB too much: it distorts"), Severity::Act),
        false => (format!("{below:.0} dB too little: it is noisy"), Severity::Know),
    };
    let wanted = if gives == LineLevel::Instrument { InputFor::Instrument } else { InputFor::Line };
    let kind = Kind::Interface(Interface { takes: wanted, ..*inside });
    let fix = Remedy {
        words: format!("Set the input of {taker} for {}", wanted.name()),
        gives_up: Some("Its input then has another resistance: set that too.".to_owned()),
        edit: Some(mend::set(inspection, to.id, kind)),
    };
    let told = Diagnosis {
        why: "A microphone gives some millivolts, an instrument about a tenth of a volt, a line 0.3 or 1.2 V; an input's gain is made for one of them."
            .to_owned(),
        about: About { devices: vec![to.id, from.id], leads: vec![lead.id], ..About::default() },
        remedies: vec![fix],
        ..Diagnosis::new(
            rules::LINE_LEVEL,
            severity,
            format!("{giver} gives {}, and {taker} is set for {}: {words}.", gives.name(), expects.name()),
        )
    };
    Some(SizedFinding::new(told, above.max(below), LEAD_DB))
}

/// The level that comes out of a jack, where somebody says: of what is played an instrument's.
fn given(device: &Device, jack: Jack) -> Option<LineLevel> {
    match (&device.kind, jack) {
        (Kind::Guitar(_) | Kind::Pedal(_) | Kind::Buffer(_) | Kind::Tuner(_) | Kind::Treadle(_), _) => {
            Some(LineLevel::Instrument)
        }
        (Kind::MultiEffects(unit), Jack::Out | Jack::SecondOut) => unit.gives,
        (kind, Jack::Send(_)) => kind.effects_loop()?.send_gives,
        _ => None,
    }
}
