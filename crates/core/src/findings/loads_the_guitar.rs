//! An input takes height off the guitar's peak.

use super::inspection::Inspection;
use super::mend::{self, Mend};
use super::passage::Passage;
use super::rig_at_target::{RigAtTarget, can_be};
use super::words::{A_UNIT_TO_BUY, ohms, plain};
use super::{About, Diagnosis, Severity, SizedFinding, rules, wrong_treadle};
use crate::cascade::LineCache;
use crate::plan::Behaviour;
use crate::response::NoPeak;
use crate::rig::{
    Bypass, Control, Device, DeviceId, DirectBox, Input, Kind, Knob, Mixer, Position, Splitter, State, Treadle, Tuner,
};
use crate::units::{Level, Ohms, hertz};
use crate::watch::{Stopped, Watch};
use crate::words::few;

/// An input is compared with one of this resistance: what an amp or a buffer
/// has. [practice, S: usual-input]
const USUAL: f64 = 1e6;
/// The heights of peaks are told from the level here.
const REFERENCE_HZ: f64 = 200.0;

/// What an input takes off the guitar's peak.
pub struct Loss {
    /// Whose input.
    pub device: DeviceId,
    /// By how much the highest point is lower than it would be, in dB; where
    /// no maximum is left, by how much the level at the peak is.
    pub db: f64,
    /// The input's resistance in Ω.
    pub ohms: f64,
    /// Where the peak would be, in Hz.
    pub hz: f64,
    /// How high above the level at 200 Hz it would be, in dB.
    pub height_db: f64,
    /// Whether no maximum is left.
    pub lost: bool,
}

pub fn check(
    inspection: &Inspection<'_>,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Vec<SizedFinding>, Stopped> {
    let mut found = Vec::new();
    let off = with_everything_off(inspection, cache);
    for loss in &off {
        if !watch.go_on(0.0) {
            return Err(Stopped);
        }
        found.extend(always(inspection, loss, cache));
    }
    found.extend(while_on(inspection, &off, cache));
    Ok(found)
}

/// The inputs that take more than the limit in every state in which the guitar gets to them.
pub fn with_everything_off(inspection: &Inspection<'_>, cache: &mut LineCache) -> Vec<Loss> {
    let Some(first) = inspection.now.first() else { return Vec::new() };
    let devices = inspection.now.devices_on(first.run).into_iter();
    let losses = devices.filter_map(|device| measure(&inspection.now, device, &[], cache));
    losses.filter(|loss| loss.db > inspection.limits.loading.get()).collect()
}

fn always(inspection: &Inspection<'_>, loss: &Loss, cache: &mut LineCache) -> Option<SizedFinding> {
    let device = inspection.now.rig.device(loss.device)?;
    let noun = inspection.now.first()?.noun;
    let name = inspection.now.name(device.id);
    let subject = if device.has_switch() { format!("{name}, even off,") } else { name };
    let words = fixes(inspection, device).into_iter().filter_map(|mend| {
        let at_target = inspection.tried(&mend.edit)?;
        let left = measure(&at_target, device.id, &[], cache).map_or(0.0, |left| left.db);
        let better = left <= inspection.limits.loading.get() || left < 0.5 * loss.db;
        better.then(|| mend.fix(&inspection.now, &format!("{} left", plain(left))))
    });
    let told = Diagnosis {
        why: format!(
            "With {} in its place the peak would stand {} above the level at 200 Hz, at {}.",
            ohms(USUAL),
            plain(loss.height_db),
            hertz(loss.hz)
        ),
        about: About {
            devices: vec![device.id],
            leads: inspection.now.lead_into(device.id).into_iter().collect(),
            among: Some(Vec::new()),
            hz: Some(loss.hz),
            ..About::default()
        },
        remedies: words.collect(),
        ..Diagnosis::new(rules::LOADS_THE_GUITAR, Severity::Act, sentence(&subject, device, noun, loss))
    };
    Some(SizedFinding::new(told, loss.db, inspection.limits.loading.get()))
}

fn sentence(subject: &str, device: &Device, noun: &str, loss: &Loss) -> String {
    let what = match device.kind {
        Kind::Treadle(Treadle::PassiveVolume { .. }) => format!("{} pot, toe down", ohms(loss.ohms)),
        _ => ohms(loss.ohms),
    };
    if loss.lost {
        let (less, at) = (plain(loss.db), hertz(loss.hz));
        format!("{subject} takes the {noun}'s peak: {less} less at {at} ({what}).")
    } else {
        format!("{subject} takes {} off the {noun}'s peak ({what}).", plain(loss.db))
    }
}

/// Units that load the guitar only while they are the first that is on: one finding for all.
fn while_on(inspection: &Inspection<'_>, off: &[Loss], cache: &mut LineCache) -> Option<SizedFinding> {
    let first = inspection.now.first()?;
    let passed = first.run.passed.iter().map(|at| &inspection.now.plan.stations[*at]);
    let sounds = passed.filter(|station| {
        station.alternatives.iter().any(|alternative| {
            let isolates = matches!(alternative.behaviour, Behaviour::Isolate { level: Level::Decibels(_), .. });
            alternative.position == Some(Position::ON) && isolates
        })
    });
    // A fuzz is meant to, and one that loads all the time has been told of.
    let devices = sounds.map(|station| station.device()).filter(|id| off.iter().all(|loss| loss.device != *id));
    let devices = devices
        .filter(|id| inspection.now.rig.device(*id).is_some_and(|device| !device.is_low_fuzz(inspection.limits)));
    let mut losses: Vec<Loss> = devices.filter_map(|id| measure(&inspection.now, id, &[id], cache)).collect();
    losses.retain(|loss| loss.db > inspection.limits.loading.get());
    losses.sort_by(|a, b| b.db.total_cmp(&a.db));
    let (worst, others) = losses.split_first()?;
    let device = inspection.now.rig.device(worst.device)?;
    let subject = format!("{}, as the first unit on,", inspection.now.name(device.id));
    let mut why = format!(
        "With an input of {} the peak would stand {} above the level at 200 Hz, at {}.",
        ohms(USUAL),
        plain(worst.height_db),
        hertz(worst.hz)
    );
    if !others.is_empty() {
        let each: Vec<String> =
            others.iter().map(|loss| format!("{} {}", inspection.now.name(loss.device), plain(loss.db))).collect();
        why += &format!(" Others do so too: {}.", few(&each, 4));
    }
    let told = Diagnosis {
        why,
        about: About {
            devices: losses.iter().map(|loss| loss.device).collect(),
            among: Some(inspection.now.rig.all_turned_on(&[worst.device])),
            hz: Some(worst.hz),
            ..About::default()
        },
        ..Diagnosis::new(rules::LOADS_THE_GUITAR, Severity::Know, sentence(&subject, device, first.noun, worst))
    };
    Some(SizedFinding::new(told, worst.db, inspection.limits.loading.get()))
}

fn fixes(inspection: &Inspection<'_>, device: &Device) -> Vec<Mend> {
    let name = inspection.now.name(device.id);
    let part = |words: &str, key: &str, gives_up: &str| {
        let edit = mend::swap(inspection, device, key)?;
        let words = format!("Put {words} in the place of {name}");
        Some(Mend { words, edit, hides: Vec::new(), gives_up: Some(gives_up.to_owned()) })
    };
    let mut found = Vec::new();
    if can_be(device, Bypass::True) {
        found.push(mend::set_bypass(inspection, device, Bypass::True));
    }
    match &device.kind {
        Kind::Buffer(_) => found.extend(part("a buffer of 1 MΩ", "buffer", A_UNIT_TO_BUY)),
        Kind::Treadle(Treadle::PassiveVolume { .. }) => {
            let power = "It is a unit to buy, and needs power: without, nothing comes through.";
            found.extend(part("a buffered volume pedal", "buffered-volume-treadle", power));
            let half = "It is a unit to buy, and half-way down it dulls more than one of 250 kΩ.";
            found.extend(part("a 500 kΩ volume pedal", "volume-treadle-500k", half));
        }
        // A buffer before a fuzz would take it its guitar.
        _ if device.is_low_fuzz(inspection.limits) => {}
        _ => found.extend(mend::buffer_before(inspection, device.id)),
    }
    found
}

/// What a device's input takes with these units on. None where its resistance
/// isn't below the usual, or where even with the usual one there is no peak.
pub fn measure(at_target: &RigAtTarget, device: DeviceId, on: &[DeviceId], cache: &mut LineCache) -> Option<Loss> {
    let found = at_target.rig.device(device)?;
    let state = toe_down(at_target.with_on(on), found);
    let resistance = resistance(found, found.is_on(&state)).filter(|resistance| *resistance < USUAL)?;
    let mut usual = found.clone();
    set_resistance(&mut usual, found.is_on(&state), USUAL);
    loss(at_target, &state, &[usual], cache).map(|loss| Loss { ohms: resistance, ..loss })
}

/// A passive treadle is judged with the toe down.
pub fn toe_down(mut state: State, device: &Device) -> State {
    state.turned.remove(&Knob { device: device.id, control: Control::Treadle });
    state
}

/// What a rig takes off the guitar's peak in a state against other devices in
/// the places of some; it is told as the first one's.
pub fn loss(at_target: &RigAtTarget, state: &State, without: &[Device], cache: &mut LineCache) -> Option<Loss> {
    let origin = at_target.first()?.run.origin;
    let route_run = *at_target.route(state)?.first().filter(|route_run| route_run.origin == origin)?;
    let passage =
        |others: &[Device]| Passage::new(&at_target.plan_with(others, state), state, route_run.origin, route_run.spot);
    let (loaded, free) = (passage(&[])?, passage(without)?);
    let peak = free.peak(cache).ok()?;
    let (top, lost) = match loaded.peak(cache) {
        Ok(peak) => (peak.db, false),
        Err(NoPeak::TooLow { height_db }) => (loaded.level_at(REFERENCE_HZ).decibels()? + height_db, false),
        Err(NoPeak::NoMaximum) => (loaded.level_at(peak.hz).decibels()?, true),
        Err(NoPeak::Silent | NoPeak::Comb { .. }) => return None,
    };
    let device = without.first()?.id;
    Some(Loss { device, db: peak.db - top, ohms: 0.0, hz: peak.hz, height_db: peak.height_db, lost })
}

/// What all inputs on the guitar's run take together, everything off.
pub fn together(at_target: &RigAtTarget, cache: &mut LineCache) -> Option<Loss> {
    let run = at_target.first()?.run;
    let devices = at_target.devices_on(run).into_iter().filter_map(|device| at_target.rig.device(device));
    let mut usual: Vec<Device> = Vec::new();
    for device in devices {
        let on = device.is_on(&at_target.off);
        if resistance(device, on).is_some_and(|resistance| resistance < USUAL) {
            let mut changed = device.clone();
            set_resistance(&mut changed, on, USUAL);
            usual.push(changed);
        }
    }
    loss(at_target, &at_target.off, &usual, cache)
}

/// The resistance in Ω that a device hangs on the run before it, on or off.
/// None for what hangs none there, and for the treadle that has a rule of its own.
pub fn resistance(device: &Device, on: bool) -> Option<f64> {
    match &device.kind {
        Kind::DirectBox(DirectBox::Transformer { turns, load, .. }) => Some(turns.get() * turns.get() * load.get()),
        Kind::Treadle(Treadle::PassiveVolume { pot, .. }) => {
            (pot.resistance > wrong_treadle::LOW).then(|| pot.resistance.get())
        }
        kind => input(&mut kind.clone(), on).map(|input| input.resistance.get()),
    }
}

fn set_resistance(device: &mut Device, on: bool, value: f64) {
    match &mut device.kind {
        Kind::DirectBox(DirectBox::Transformer { turns, load, .. }) => {
            *load = Ohms::clamped(value / (turns.get() * turns.get()));
        }
        Kind::Treadle(Treadle::PassiveVolume { pot, .. }) => pot.resistance = Ohms::clamped(value),
        kind => {
            if let Some(input) = input(kind, on) {
                input.resistance = Ohms::clamped(value);
            }
        }
    }
}

fn input(kind: &mut Kind, on: bool) -> Option<&mut Input> {
    if let Some(pedal) = kind.pedal_mut() {
        // The second look is for the compiler, which lends it only once.
        return match (on, pedal.bypass) {
            (true, _) => kind.pedal_mut().map(|pedal| &mut pedal.on.input),
            (false, Bypass::True) => None,
            (false, _) => kind.pedal_mut().map(|pedal| &mut pedal.off.input),
        };
    }
    match kind {
        Kind::Buffer(buffer) => Some(&mut buffer.stage.input),
        Kind::Treadle(Treadle::BufferedVolume { stage, .. }) | Kind::Splitter(Splitter::Buffered { stage, .. }) => {
            Some(&mut stage.input)
        }
        Kind::Wireless(set) => Some(&mut set.stage.input),
        Kind::MultiEffects(unit) => Some(&mut unit.stage.input),
        Kind::Selector(selector) => selector.buffer_mut().as_mut().map(|stage| &mut stage.input),
        Kind::Mixer(Mixer::Buffered { first, .. }) => Some(&mut first.input),
        Kind::Switcher(switcher) => switcher.input.as_mut().map(|stage| &mut stage.input),
        Kind::DirectBox(DirectBox::Active { input, .. }) | Kind::Tuner(Tuner::Tap { input }) => Some(input),
        Kind::Interface(interface) => Some(&mut interface.input),
        Kind::Amp(amp) => Some(&mut amp.input),
        _ => None,
    }
}
