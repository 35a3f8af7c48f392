//! Two amps, or two inputs of a desk, of one instrument: against each other, or one later than the other.

use std::collections::BTreeSet;

use super::inspection::Inspection;
use super::mend;
use super::polarity_unknown::both_answers;
use super::rig_at_target::RigAtTarget;
use super::{About, Diagnosis, Remedy, Severity, SizedFinding, rules};
use crate::plan::{Behaviour, Origin, Spot};
use crate::rig::{Amp, DeviceId, Jack, JackRef, Kind, Polarity, SwitchKey, SwitchSetting, place_name};
use crate::units::engineering;
use crate::words::few;

/// Of sound in air at room temperature, in m/s. [textbook, S: two-ways]
const SPEED_OF_SOUND: f64 = 343.0;
/// A delay that no more than a step makes is nothing, in s. [practice, S: two-ways]
const LEAST_APART: f64 = 0.1e-3;

/// What a signal is when it comes to one end.
struct Arrived {
    jack: JackRef,
    /// The start that it comes from.
    start: usize,
    /// 1 or −1, as far as anybody says.
    sign: f64,
    seconds: f64,
    /// Whose signs nobody says, each once: what turns a signal twice leaves it.
    unknown: BTreeSet<DeviceId>,
    /// The stations behind which its phases are its own.
    apart: BTreeSet<usize>,
}

/// What two ends are to one another.
enum Odds {
    /// One pushes where the other pulls.
    Against,
    /// So many seconds apart.
    Apart(f64),
    /// One of these may turn its signal over, and nobody says.
    Unknown(Vec<DeviceId>),
}

pub fn check(inspection: &Inspection<'_>) -> Vec<SizedFinding> {
    let at_target = &inspection.now;
    let ends = ends(at_target);
    if ends.len() < 2 {
        return Vec::new();
    }
    let mut found: Vec<SizedFinding> = Vec::new();
    for (set, on) in settings(at_target) {
        for (pair, odds) in odds(at_target, &ends, &set) {
            let told = told(inspection, pair, &odds, &on);
            // The first setting in which two ends are at odds is told.
            let is_new = |other: &SizedFinding| {
                other.diagnosis.rule != told.rule || other.diagnosis.about.devices[..2] != told.about.devices[..2]
            };
            if found.iter().all(is_new) {
                let about = About { among: Some(set.clone()), ..told.about };
                found.push(SizedFinding::new(Diagnosis { about, ..told }, 1.0, 1.0));
            }
        }
    }
    found
}

/// The inputs of amps, desks and interfaces.
fn ends(at_target: &RigAtTarget) -> Vec<usize> {
    let is_end = |jack: JackRef| {
        let kind = at_target.rig.device(jack.device).map(|device| &device.kind);
        matches!((kind, jack.jack), (Some(Kind::Amp(_)), Jack::In) | (Some(Kind::Interface(_)), _))
    };
    let stations = at_target.plan.stations.iter().enumerate();
    stations.filter(|(_, station)| station.is_endpoint && is_end(station.jack)).map(|(at, _)| at).collect()
}

/// Everything off; each unit on by itself that may alter when or how a signal arrives; each channel of an amp.
fn settings(at_target: &RigAtTarget) -> Vec<(Vec<SwitchSetting>, Vec<DeviceId>)> {
    let rig = &at_target.rig;
    let alters = |polarity: Polarity, seconds: f64| polarity != Polarity::Same || seconds > 0.0;
    let mut found = vec![(Vec::new(), Vec::new())];
    for device in &rig.devices {
        let pedal = device.kind.pedal().filter(|_| device.has_footswitch());
        let by_pedal = pedal.is_some_and(|pedal| {
            let sides = pedal.stereo.is_some_and(|both| alters(both.right, both.right_latency.get()));
            sides || alters(pedal.on.polarity, pedal.on.latency.get()) || alters(pedal.off.polarity, 0.0)
        });
        found.extend(by_pedal.then(|| (rig.all_turned_on(&[device.id]), vec![device.id])));
        if let Some(switch) = device.switch(SwitchKey::Channel).filter(|switch| switch.varies()) {
            let others = switch.all_positions().filter(|to| *to != switch.default);
            found.extend(others.map(|to| (vec![SwitchSetting { switch: switch.id, to }], Vec::new())));
        }
    }
    found
}

/// Which ends are at odds with the first that the same signal comes to.
fn odds(at_target: &RigAtTarget, ends: &[usize], set: &[SwitchSetting]) -> Vec<([JackRef; 2], Odds)> {
    let arrived: Vec<Arrived> = ends.iter().filter_map(|at| arrived(at_target, *at, set)).collect();
    let Some((first, others)) = arrived.split_first() else { return Vec::new() };
    let mut found = Vec::new();
    for other in others.iter().filter(|other| other.start == first.start && other.apart == first.apart) {
        let pair = [first.jack, other.jack];
        let unknown: Vec<DeviceId> = first.unknown.symmetric_difference(&other.unknown).copied().collect();
        if !unknown.is_empty() {
            found.push((pair, Odds::Unknown(unknown)));
        } else if first.sign != other.sign {
            found.push((pair, Odds::Against));
        }
        let seconds = (first.seconds - other.seconds).abs();
        if seconds >= LEAST_APART {
            let pair = if first.seconds < other.seconds { pair } else { [other.jack, first.jack] };
            found.push((pair, Odds::Apart(seconds)));
        }
    }
    found
}

/// What comes to an end with these switches set; none where nothing does, or by several ways.
fn arrived(at_target: &RigAtTarget, end: usize, set: &[SwitchSetting]) -> Option<Arrived> {
    let (plan, state) = (&at_target.plan, at_target.with(set));
    let route = plan.route(&plan.runs(&state), &state, Spot::Input(end))?;
    let Origin::Start(start) = route.first()?.origin else { return None };
    if route.iter().any(|run| run.adds_up || run.gain.decibels().is_none()) {
        return None;
    }
    let jack = plan.stations[end].jack;
    let (mut unknown, mut apart) = (BTreeSet::new(), BTreeSet::new());
    let (mut sign, mut seconds) = (1.0, 0.0);
    let mut turn = |polarity: Polarity, device: DeviceId| {
        sign *= polarity.sign();
        if polarity == Polarity::Unknown && !unknown.remove(&device) {
            unknown.insert(device);
        }
    };
    for run in &route {
        let Origin::Output { station, .. } = run.origin else { continue };
        let Some(Behaviour::Isolate { polarity, latency, .. }) = plan.stations[station].in_state(&state) else {
            continue;
        };
        turn(*polarity, plan.stations[station].device());
        seconds += latency.get();
        if *polarity == Polarity::Uncorrelated {
            apart.insert(station);
        }
    }
    let device = at_target.rig.device(jack.device)?;
    if let Kind::Amp(amp) = &device.kind {
        let channel = device.switch(SwitchKey::Channel).map(|switch| state.position(&switch)).unwrap_or_default();
        turn(amp.polarity_at(channel), jack.device);
    }
    Some(Arrived { jack, start, sign, seconds, unknown, apart })
}

fn told(inspection: &Inspection<'_>, pair: [JackRef; 2], odds: &Odds, on: &[DeviceId]) -> Diagnosis {
    let at_target = &inspection.now;
    let [one, other] = pair.map(|jack| place_name(&at_target.rig, jack));
    let names = |devices: &[DeviceId]| {
        let names: Vec<String> = devices.iter().map(|id| at_target.name(*id)).collect();
        few(&names, 3)
    };
    let with = if on.is_empty() { String::new() } else { format!("With {} on, ", names(on)) };
    let mut devices: Vec<DeviceId> = pair.iter().map(|jack| jack.device).chain(on.iter().copied()).collect();
    match odds {
        Odds::Against => Diagnosis {
            why: "Where one loudspeaker pushes the other pulls: the lows go first, since there the two are most alike."
                .to_owned(),
            remedies: swapped(inspection, pair[1]).into_iter().collect(),
            about: About::devices(devices),
            ..Diagnosis::new(
                rules::ENDS_AGAINST,
                Severity::Act,
                format!(
                    "{with}{one} and {other} are against each other: alike and equally loud they leave nothing where \
                     they could make up 6 dB more."
                ),
            )
        },
        Odds::Apart(seconds) => Diagnosis {
            why: "A digital unit takes its time. A listener half-way between the two hears a comb, and from one side \
                  of the stage to the other it moves; as an echo nobody hears so little."
                .to_owned(),
            about: About::devices(devices),
            ..Diagnosis::new(
                rules::ENDS_APART,
                Severity::Know,
                format!(
                    "{with}{other} comes {} after {one}, as if it stood {:.2} m farther away: heard alike they cancel \
                     first at {}.",
                    engineering(*seconds, "s", 3),
                    seconds * SPEED_OF_SOUND,
                    engineering(0.5 / seconds, "Hz", 4)
                ),
            )
        },
        Odds::Unknown(unknown) => {
            let (name, turn) = (names(unknown), if unknown.len() == 1 { "turns" } else { "turn" });
            devices.extend(unknown);
            Diagnosis {
                why:
                    "Many units turn a signal over while they are on, and few say so. A battery at a lead's plug tells \
                      which way a loudspeaker moves; so do two amps side by side: against each other they have no lows."
                        .to_owned(),
                remedies: unknown.first().map_or_else(Vec::new, |id| both_answers(inspection, *id)),
                about: About::devices(devices),
                ..Diagnosis::new(
                    rules::POLARITY_UNKNOWN,
                    Severity::Know,
                    format!(
                        "{with}nobody says whether {name} {turn} the signal over: {one} and {other} make up 6 dB \
                         together, or leave nothing."
                    ),
                )
            }
        }
    }
}

/// An amp whose loudspeaker is wired the other way round, if no two ends are against each other then.
fn swapped(inspection: &Inspection<'_>, end: JackRef) -> Option<Remedy> {
    let mut kind = inspection.now.rig.device(end.device)?.kind.clone();
    let Kind::Amp(Amp { channels, polarity, .. }) = &mut kind else { return None };
    channels.iter_mut().for_each(|channel| channel.polarity = channel.polarity.turned_over());
    *polarity = polarity.turned_over();
    let edit = mend::set(inspection, end.device, kind);
    let after = inspection.tried(&edit)?;
    let ends = ends(&after);
    let against = |(set, _): (Vec<SwitchSetting>, Vec<DeviceId>)| {
        odds(&after, &ends, &set).iter().any(|(_, odds)| matches!(odds, Odds::Against))
    };
    let name = inspection.now.name(end.device);
    let words = format!("Swap the two wires at the loudspeaker of {name}, the amp switched off and unplugged");
    let gives_up = "With another cabinet it has to be looked at again.".to_owned();
    let is_cured = !settings(&after).into_iter().any(against);
    is_cured.then_some(Remedy { words, gives_up: Some(gives_up), edit: Some(edit) })
}
