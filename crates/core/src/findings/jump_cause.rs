//! Why a switch makes the tone jump.

use super::rig_at_target::{RigAtTarget, series_ohms};
use super::tone_jump::run_of;
use super::words::ohms;
use crate::cascade::LineCache;
use crate::plan::{Behaviour, Origin, Run};
use crate::response::MovedPeak;
use crate::rig::{Device, Pedal, State, SwitchKey, SwitchSetting};
use crate::states::Furthest;
use crate::units::Ohms;

/// The input that a cause is tried with, in Ω: it loads nothing.
const NO_LOAD: Ohms = Ohms::of(1e9);

/// Where no more than that is known of a unit with two sides.
const TWO_SIDES: &str = "While it is on its two sides differ, and what stands behind it hears both of them or one.";

/// Why a switch makes the level jump furthest, among these others, as one sentence;
/// empty where no cause is known.
pub fn why(at_target: &RigAtTarget, device: &Device, furthest: Furthest, among: &[SwitchSetting]) -> String {
    match furthest.setting().switch.key {
        SwitchKey::Loop(_) => return "With the loop in, the signal goes through what stands there.".to_owned(),
        SwitchKey::Preset | SwitchKey::Patch | SwitchKey::Selector => {
            return "The signal then goes another way, past other inputs and outputs.".to_owned();
        }
        SwitchKey::Pickups | SwitchKey::PushPull(_) => {
            return "Other pickups drive the lead, or the same joined otherwise.".to_owned();
        }
        SwitchKey::Bypass | SwitchKey::Mute | SwitchKey::Channel => {}
    }
    let Some(run) = run_of(at_target, device.id, among) else {
        return match device.kind.stereo() {
            Some(_) => TWO_SIDES.to_owned(),
            None => String::new(),
        };
    };
    let off = at_target.with(&and_unswitched(among, furthest));
    let on = at_target.with(&and_switched(among, furthest));
    match cause(at_target, device, furthest, &run, (&off, &on)) {
        Some(cause) => format!("{cause}."),
        None if device.kind.stereo().is_some() => TWO_SIDES.to_owned(),
        None => String::new(),
    }
}

/// What a switch does to the peak at the target, among these others.
pub fn moved_peak(
    at_target: &RigAtTarget,
    furthest: Furthest,
    among: &[SwitchSetting],
    cache: &mut LineCache,
) -> MovedPeak {
    MovedPeak {
        before: at_target.peak_hz(&and_unswitched(among, furthest), cache),
        after: at_target.peak_hz(&and_switched(among, furthest), cache),
    }
}

/// These switches and the one that jumps, as it stood before that.
fn and_unswitched(among: &[SwitchSetting], furthest: Furthest) -> Vec<SwitchSetting> {
    among.iter().copied().chain([furthest.before()]).collect()
}

/// These switches and the one that jumps, as it is set where it jumps furthest.
fn and_switched(among: &[SwitchSetting], furthest: Furthest) -> Vec<SwitchSetting> {
    among.iter().copied().chain([furthest.setting()]).collect()
}

fn cause(
    at_target: &RigAtTarget,
    device: &Device,
    furthest: Furthest,
    run: &Run,
    states: (&State, &State),
) -> Option<String> {
    let (off, on) = states;
    let station = at_target.station(device.id)?;
    let pedal = device.kind.pedal()?;
    let driver = driver(at_target, run, off);
    let goes_through = at_target.route(on)?.iter().any(|route_run| match route_run.origin {
        // By any of its inputs.
        Origin::Output { station: from, .. } => at_target.plan.stations[from].device() == device.id,
        Origin::Start(_) => false,
    });
    if !goes_through {
        return Some(format!("It hangs beside the signal's way and loads {driver}, on and off not alike"));
    }
    if !matches!(at_target.plan.stations[station].in_state(off)?, Behaviour::Pass { .. }) {
        return Some(format!(
            "Off it is a buffer, and not the same: its input is {} off and {} on, its output {} off and {} on",
            ohms(pedal.off.input.resistance.get()),
            ohms(pedal.on.input.resistance.get()),
            ohms(pedal.off.output.get()),
            ohms(pedal.output().get())
        ));
    }
    // Each cause is taken away by itself; the one without which most of a fall is gone is told.
    let input = level_gain(at_target, device, furthest, on, &|pedal| pedal.on.input.resistance = NO_LOAD)?;
    let half = -0.5 * furthest.db;
    Some(if furthest.db < 0.0 && gain_of_ideal_output(at_target, device, furthest, on)? > input.max(half) {
        format!("While it is on, its output of {} drives what stands behind it", ohms(pedal.output().get()))
    } else if furthest.db < 0.0 && input > half {
        format!("While it is on, its input of {} loads {driver}", ohms(pedal.on.input.resistance.get()))
    } else {
        format!("While it is on, what stands behind it no longer loads {driver}")
    })
}

/// Whether a switch makes the level fall because of the unit's own output.
pub fn is_its_output(at_target: &RigAtTarget, device: &Device, furthest: Furthest, among: &[SwitchSetting]) -> bool {
    let on = at_target.with(&and_switched(among, furthest));
    let fall = -furthest.db;
    fall > 0.0 && gain_of_ideal_output(at_target, device, furthest, &on).is_some_and(|gained| gained > 0.5 * fall)
}

/// What an output of no resistance would give back, in dB.
fn gain_of_ideal_output(at_target: &RigAtTarget, device: &Device, furthest: Furthest, on: &State) -> Option<f64> {
    level_gain(at_target, device, furthest, on, &|pedal| (pedal.on.output, pedal.level_pot) = (Ohms::of(0.0), None))
}

/// By how much a change of a unit lifts the level at the target while the unit is on,
/// in dB, at the frequency of its furthest jump.
fn level_gain(
    at_target: &RigAtTarget,
    device: &Device,
    furthest: Furthest,
    on: &State,
    change: &dyn Fn(&mut Pedal),
) -> Option<f64> {
    let mut changed = device.clone();
    changed.kind.pedal_mut().into_iter().for_each(change);
    let level = |device: &Device| at_target.level_with(device, on, furthest.hz);
    Some(level(&changed)? - level(device)?)
}

/// "the guitar", "the 25 kΩ output of Hard drive".
fn driver(at_target: &RigAtTarget, run: &Run, state: &State) -> String {
    match run.origin {
        Origin::Start(at) if at_target.plan.starts[at].high_impedance && at_target.plan.starts[at].is_instrument => {
            format!("the {}", at_target.rig.device(run.from.device).map_or("guitar", |device| device.kind.noun()))
        }
        origin => {
            let source = at_target.plan.source(origin, state).map_or(0.0, |source| series_ohms(&source));
            format!("the {} output of {}", ohms(source), at_target.name(run.from.device))
        }
    }
}
