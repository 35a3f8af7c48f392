//! A passive volume pedal whose pot is of the wrong kind for its place.

use super::inspection::Inspection;
use super::loads_the_guitar::{Loss, loss, toe_down};
use super::mend::{self, Mend};
use super::passage::Passage;
use super::rig_at_target::RigAtTarget;
use super::words::{A_UNIT_TO_BUY, ohms, plain};
use super::{About, Diagnosis, Severity, SizedFinding, rules};
use crate::cascade::LineCache;
use crate::plan::{Run, Spot, plan};
use crate::response::{Minus3, NoMinus3};
use crate::rig::{Control, Device, DeviceId, Kind, Knob, LeadId, Pot, State, Treadle};
use crate::units::{Ohms, Turn, hertz};
use crate::watch::{Stopped, Watch};

/// A pot of so much or less is for after a buffer. [practice, S: volume-pedal]
pub const LOW: Ohms = Ohms::of(100e3);
/// A pot of so much or more is for straight after the guitar. [practice, S: volume-pedal]
const HIGH: Ohms = Ohms::of(200e3);
/// What a treadle in the guitar's run is compared with.
const AFTER_THE_GUITAR: (&str, &str) = ("volume-treadle-250k", "250 kΩ");
const AFTER_A_BUFFER: (&str, &str) = ("volume-treadle-25k", "25 kΩ");

pub fn check(
    inspection: &Inspection<'_>,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Vec<SizedFinding>, Stopped> {
    let mut found = Vec::new();
    for device in &inspection.now.rig.devices {
        let Kind::Treadle(Treadle::PassiveVolume { pot, .. }) = &device.kind else { continue };
        if !watch.go_on(0.0) {
            return Err(Stopped);
        }
        // The guitar's run is longest with everything off.
        let drives = |run: &Run| run.passed.iter().any(|at| inspection.now.plan.stations[*at].device() == device.id);
        let guitars = inspection.now.first().is_some_and(|first| drives(first.run));
        if guitars && pot.resistance <= LOW {
            found.extend(low_after_the_guitar(inspection, device, pot, cache));
        } else if !guitars && pot.resistance >= HIGH {
            found.extend(high_after_a_buffer(inspection, device, pot, cache));
        }
    }
    Ok(found)
}

fn low_after_the_guitar(
    inspection: &Inspection<'_>,
    device: &Device,
    pot: &Pot,
    cache: &mut LineCache,
) -> Option<SizedFinding> {
    let noun = inspection.now.first()?.noun;
    let taken = against_1_megohm(&inspection.now, device.id, cache)?;
    let (name, resistance) = (inspection.now.name(device.id), ohms(pot.resistance.get()));
    let text = if taken.lost {
        format!(
            "{name} takes the {noun}'s peak: its {resistance} pot leaves {} less at {}, toe down.",
            plain(taken.db),
            hertz(taken.hz)
        )
    } else {
        format!("{name} takes {} off the {noun}'s peak: its pot is {resistance}.", plain(taken.db))
    };
    let mut fixes = Vec::new();
    for mend in [swap(inspection, device, AFTER_THE_GUITAR), behind_a_buffer(inspection, device)].into_iter().flatten()
    {
        let Some(at_target) = inspection.tried(&mend.edit) else { continue };
        let left = against_1_megohm(&at_target, device.id, cache).map_or(0.0, |left| left.db);
        if left < 0.7 * taken.db {
            fixes.push(mend.fix(&inspection.now, &format!("{} left", plain(left))));
        }
    }
    let told = Diagnosis {
        why: format!(
            "The whole pot hangs on the {noun}, with the toe down too; {resistance} is for after a buffer, and straight \
             after a {noun} 250 kΩ or 500 kΩ are usual."
        ),
        about: About {
            devices: vec![device.id],
            leads: inspection.now.lead_into(device.id).into_iter().collect(),
            among: Some(Vec::new()),
            hz: Some(taken.hz),
            ..About::default()
        },
        remedies: fixes,
        ..Diagnosis::new(rules::WRONG_TREADLE, Severity::Act, text)
    };
    Some(SizedFinding::new(told, taken.db, inspection.limits.loading.get()))
}

/// What the treadle takes off the guitar's peak with the toe down, against a pot of 1 MΩ.
fn against_1_megohm(at_target: &RigAtTarget, device: DeviceId, cache: &mut LineCache) -> Option<Loss> {
    let found = at_target.rig.device(device)?;
    let mut usual = found.clone();
    if let Kind::Treadle(Treadle::PassiveVolume { pot, .. }) = &mut usual.kind {
        pot.resistance = Ohms::of(1e6);
    }
    loss(at_target, &toe_down(at_target.off.clone(), found), &[usual], cache)
}

fn high_after_a_buffer(
    inspection: &Inspection<'_>,
    device: &Device,
    pot: &Pot,
    cache: &mut LineCache,
) -> Option<SizedFinding> {
    let minus3 = half_way(&inspection.now, device.id, cache)?.ok()?;
    let (name, resistance) = (inspection.now.name(device.id), ohms(pot.resistance.get()));
    let mut fixes = Vec::new();
    for mend in
        [swap(inspection, device, AFTER_A_BUFFER), mend::buffer_behind(inspection, device.id)].into_iter().flatten()
    {
        let Some(at_target) = inspection.tried(&mend.edit) else { continue };
        let figure = match half_way(&at_target, device.id, cache) {
            Some(Ok(left)) if left.hz > 1.5 * minus3.hz => format!("it then falls from {}", hertz(left.hz)),
            Some(Err(NoMinus3::NeverCrosses)) => "it then falls beyond 20 kHz only".to_owned(),
            _ => continue,
        };
        fixes.push(mend.fix(&inspection.now, &figure));
    }
    let told = Diagnosis {
        why: format!(
            "Half-way the pot is a source of {}, and that drives the leads behind it; after a buffer, 25 kΩ will do.",
            ohms(pot.resistance.get() / 4.0)
        ),
        about: About {
            devices: vec![device.id],
            leads: run_through(&inspection.now, device.id)
                .map_or_else(Vec::new, |run| behind(&inspection.now, run, device.id)),
            among: Some(Vec::new()),
            hz: Some(minus3.hz),
            ..About::default()
        },
        remedies: fixes,
        ..Diagnosis::new(
            rules::WRONG_TREADLE,
            Severity::Act,
            format!(
                "Turned down by 6 dB, {name} ({resistance}) dulls what it drives: it falls from {}.",
                hertz(minus3.hz)
            ),
        )
    };
    // 20 kHz is as far as one hears.
    Some(SizedFinding::new(told, 20_000.0, minus3.hz))
}

fn run_through(at_target: &RigAtTarget, device: DeviceId) -> Option<&Run> {
    at_target.runs.iter().find(|run| run.passed.iter().any(|at| at_target.plan.stations[*at].device() == device))
}

/// The −3 dB point of the treadle's run, the treadle where its pot is halved.
fn half_way(at_target: &RigAtTarget, device: DeviceId, cache: &mut LineCache) -> Option<Result<Minus3, NoMinus3>> {
    let run = run_through(at_target, device)?;
    let pot = passive_pot(at_target, device)?;
    let mut state = at_target.off.clone();
    halve(&mut state, device, pot);
    let plan = plan(&at_target.rig, &state).without_power(&at_target.unfed);
    // Where the run ends behind the treadle, and not on a side run before it.
    let mut ends = run.ends.iter().copied();
    let end = ends.find(|at| at_target.is_behind(device, at_target.plan.stations[*at].device()))?;
    Some(Passage::new(&plan, &state, run.origin, Spot::Input(end))?.minus3(cache))
}

fn behind(at_target: &RigAtTarget, run: &Run, device: DeviceId) -> Vec<LeadId> {
    run.leads.iter().copied().filter(|lead| at_target.lead_is_behind(device, *lead)).collect()
}

fn passive_pot(at_target: &RigAtTarget, device: DeviceId) -> Option<&Pot> {
    match &at_target.rig.device(device)?.kind {
        Kind::Treadle(Treadle::PassiveVolume { pot, .. }) => Some(pot),
        _ => None,
    }
}

/// Whether a device is a passive volume pedal.
pub fn is_passive(at_target: &RigAtTarget, device: DeviceId) -> bool {
    passive_pot(at_target, device).is_some()
}

/// Whether it is one for straight after the guitar.
pub fn is_high(at_target: &RigAtTarget, device: DeviceId) -> bool {
    passive_pot(at_target, device).is_some_and(|pot| pot.resistance >= HIGH)
}

/// Puts a treadle where half of its pot stands below the wiper.
pub fn halve(state: &mut State, device: DeviceId, pot: &Pot) {
    state.turned.insert(Knob { device, control: Control::Treadle }, halving_turn(pot));
}

/// Where half of a pot's resistance stands below the wiper.
fn halving_turn(pot: &Pot) -> Turn {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if pot.taper.part_below(Turn::clamped(middle)) < 0.5 { low = middle } else { high = middle }
    }
    Turn::clamped(0.5 * (low + high))
}

fn swap(inspection: &Inspection<'_>, device: &Device, part: (&str, &str)) -> Option<Mend> {
    let edit = mend::swap(inspection, device, part.0)?;
    let words = format!("Put a {} volume pedal in the place of {}", part.1, inspection.now.name(device.id));
    Some(Mend { words, edit, hides: Vec::new(), gives_up: Some(A_UNIT_TO_BUY.to_owned()) })
}

/// The treadle behind the unit in which the guitar's run ends, if a buffer is that.
fn behind_a_buffer(inspection: &Inspection<'_>, device: &Device) -> Option<Mend> {
    let first = inspection.now.first()?;
    let stations = first.run.ends.iter().map(|at| &inspection.now.plan.stations[*at]);
    let ends = stations.filter(|station| inspection.now.is_behind(device.id, station.device()));
    let (buffer, onto) = ends
        .filter_map(|station| station.outs.iter().find_map(|out| Some((station.device(), out.wire.as_ref()?.lead?))))
        .next()?;
    let words = format!("Move {} behind {}", inspection.now.name(device.id), inspection.now.name(buffer));
    let gives_up = format!(
        "There it turns down what comes out of {}, and no longer how hard the units before it are driven.",
        inspection.now.name(buffer)
    );
    let edit = mend::move_onto(inspection, device.id, onto);
    Some(Mend { words, edit, hides: Vec::new(), gives_up: Some(gives_up) })
}
