//! Modulation, echo and reverb into the loop of the amp, as a second opinion.
//!
//! [common practice, no source]

use std::sync::Arc;

use super::signal_path::SignalPath;
use super::trial::{Idea, Trial};
use super::{orders, practice};
use crate::rig::{DeviceId, Edit, Jack, JackRef, Kind, Lead, LeadId, LineLevel, Rig, device_name};
use crate::states::Target;
use crate::units::metres;
use crate::words::list;

/// What it is good for.
pub const BESIDES: &str = "In the loop they stand behind the preamplifier: what that distorts is then echoed, and not the \
                           other way round. With a clean amp nothing is gained.";
/// What is to be minded.
pub const CAUTION: &str = "Three leads between the board and the amp close two more loops of screens, which may hum; and \
                           the loop has to be one for units of instrument level";

/// The last units before an amp whose loop is empty and in series, put into it by leads as long
/// as the amp's own; none where there are no such units.
pub fn idea(trial: &mut Trial<'_>) -> Option<Idea> {
    let (old, target) = (Arc::clone(&trial.question.variant), trial.question.target);
    let Target::Endpoint(JackRef { device: amp, jack: Jack::In }) = target else { return None };
    let rig = &old.rig;
    if !has_empty_loop(rig, amp) {
        return None;
    }
    let path = SignalPath::to(target, rig, &trial.question.controls)?;
    let fits = |unit: &&DeviceId| practice::stands_late(rig, **unit) && is_plain(rig, **unit);
    let many = path.units.iter().rev().take_while(fits).count();
    let first = path.units.len().checked_sub(many).filter(|_| many > 0)?;
    // Units and leads take turns: the lead into the first of these, and the one into the amp.
    let (into, last) = (rig.lead(*path.leads.get(first)?)?, rig.lead(*path.leads.last()?)?);
    let own = |jack| JackRef::new(amp, jack);
    let end = *path.units.last()?;
    let variant = old.id;
    let set = |lead: Lead| Edit::SetLead { variant, lead: Box::new(lead) };
    let edits = vec![
        set(Lead { from: into.from, ..last.clone() }),
        set(Lead { from: own(Jack::Send(1)), length: last.length, cable: last.cable.clone(), ..into.clone() }),
        Edit::AddLead {
            variant,
            lead: Box::new(Lead {
                id: LeadId(trial.first_free()),
                from: JackRef::new(end, Jack::Out),
                to: own(Jack::Return(1)),
                ..last.clone()
            }),
        },
    ];
    let edit = Edit::Batch(edits);
    let edited = trial.edited(&old, &edit)?;
    if !orders::are_kept(&old, &edited) {
        return None;
    }
    let names: Vec<String> = path.units[first..].iter().map(|unit| device_name(rig, *unit)).collect();
    let words = format!(
        "Put {} into the loop of {}, by two leads of {} [common practice, no source]",
        list(&names),
        device_name(rig, amp),
        metres(last.length.get())
    );
    Some(Idea { words, edit, variant: edited, steps: many })
}

/// Whether an amp has a loop in series, for no more than −10 dBV, into which nothing is plugged.
fn has_empty_loop(rig: &Rig, amp: DeviceId) -> bool {
    let way = rig.device(amp).filter(|amp| matches!(amp.kind, Kind::Amp(_))).and_then(|amp| amp.kind.effects_loop());
    let fits = way.is_some_and(|way| way.dry.is_none() && way.send_gives != Some(LineLevel::PlusFour));
    fits && [Jack::Send(1), Jack::Return(1)].into_iter().all(|jack| rig.is_free(JackRef::new(amp, jack)))
}

/// Whether a unit has nothing plugged in but its first input and its first output.
fn is_plain(rig: &Rig, unit: DeviceId) -> bool {
    let jacks = rig.device(unit).map_or(&[][..], |device| device.kind.jacks());
    let mut others = jacks.iter().filter(|jack| !matches!(jack, Jack::In | Jack::Out));
    others.all(|jack| rig.is_free(JackRef::new(unit, *jack)))
}
