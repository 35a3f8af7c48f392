//! Set levels add up to more than an input takes.

use super::inspection::Inspection;
use super::mend;
use super::rig_at_target::RigAtTarget;
use super::words::{plain, signed};
use super::{About, Diagnosis, Remedy, Severity, SizedFinding, rules};
use crate::cascade;
use crate::plan::{Behaviour, Origin, RouteRun, Spot, Station};
use crate::rig::{
    Buffer, Device, DeviceId, DirectBox, Edit, JackRef, Kind, Mixer, Position, Splitter, State, Treadle, Wireless,
};
use crate::units::{Decibels, Level, engineering};
use crate::watch::{Stopped, Watch};
use crate::words::few;

/// Levels between units are taken here, in Hz, where leads do little.
const AT_HZ: f64 = 1000.0;

/// A unit gives at most about half of its supply less this, in V, either way: an
/// output stage between 0 V and the supply. [memory, S: unit-headroom]
const LEFT_OVER: f64 = 0.5;

/// An input that gets too much.
struct Hot {
    device: DeviceId,
    /// Its input, or a point inside it.
    jack: JackRef,
    volts: f64,
    /// What it would be if outputs had no end.
    without_end: f64,
    /// The instrument's own peak, in V.
    peak: f64,
    /// The units that are switched on for it, the driven one left out.
    on: Vec<DeviceId>,
    /// All that the signal goes through before it, the instrument left out.
    through: Vec<DeviceId>,
}

pub fn check(inspection: &Inspection<'_>, watch: &dyn Watch) -> Result<Vec<SizedFinding>, Stopped> {
    let limit = inspection.limits.input_peak.get();
    let mut hot: Vec<Hot> = Vec::new();
    // Without a set level, and with instruments below the limit, nothing is hot.
    let loudest = inspection.now.rig.devices.iter().filter_map(|device| peak(inspection, device)).fold(0.0, f64::max);
    if loudest <= limit && !inspection.now.rig.devices.iter().any(makes_louder) {
        return Ok(Vec::new());
    }
    for at in 0..inspection.now.plan.stations.len() {
        if !watch.go_on(0.0) {
            return Err(Stopped);
        }
        hot.extend(hottest(inspection, &inspection.now, at).filter(|hot| hot.volts > limit));
    }
    hot.sort_by(|a, b| b.volts.total_cmp(&a.volts));
    Ok(told(inspection, &hot).into_iter().collect())
}

/// The highest voltage of an instrument: its own, or what the player's limit says.
fn peak(inspection: &Inspection<'_>, device: &Device) -> Option<f64> {
    let own = match &device.kind {
        Kind::Guitar(guitar) => guitar.peak,
        Kind::Active(source) => source.peak,
        _ => return None,
    };
    Some(own.unwrap_or(inspection.limits.guitar_peak).get())
}

/// Whether too high a level clips at an input, an amp's aside: that is meant to be driven.
fn can_clip(kind: &Kind) -> bool {
    match kind {
        Kind::Pedal(_) | Kind::Buffer(_) | Kind::Wireless(_) | Kind::MultiEffects(_) | Kind::Interface(_) => true,
        Kind::Mixer(mixer) => matches!(mixer, Mixer::Buffered { .. }),
        Kind::Tuner(_) => kind.pedal().is_some(),
        Kind::Treadle(treadle) => !matches!(treadle, Treadle::PassiveVolume { .. }),
        Kind::Splitter(splitter) => matches!(splitter, Splitter::Buffered { .. }),
        Kind::DirectBox(direct) => matches!(direct, DirectBox::Active { .. }),
        Kind::Switcher(switcher) => switcher.input.is_some() || switcher.output.is_some(),
        Kind::Selector(selector) => selector.buffer().is_some(),
        Kind::Guitar(_) | Kind::Active(_) | Kind::Transformer(_) | Kind::Amp(_) | Kind::Supply(_) => false,
    }
}

/// The highest voltage at a station's input: with every unit before it on that
/// is set to a level above 0 dB.
fn hottest(inspection: &Inspection<'_>, at_target: &RigAtTarget, at: usize) -> Option<Hot> {
    let station = &at_target.plan.stations[at];
    let device = station.device();
    if !can_clip(&at_target.rig.device(device)?.kind) {
        return None;
    }
    // Contacts don't clip: of a switcher or a selector its buffers do.
    let contacts = matches!(at_target.rig.device(device)?.kind, Kind::Switcher(_) | Kind::Selector(_));
    if contacts
        && station.alternatives.iter().any(|alternative| !matches!(alternative.behaviour, Behaviour::Isolate { .. }))
    {
        return None;
    }
    let louder = at_target.plan.stations.iter().filter(|other| at_target.is_behind(other.device(), device));
    let louder = louder.filter(|other| raises(other)).map(Station::device);
    let on: Vec<DeviceId> = louder.collect();
    let with_it: Vec<DeviceId> = on.iter().copied().chain([device]).collect();
    let state = at_target.with_on(&with_it);
    let runs = at_target.plan.runs(&state);
    let route = at_target.plan.route(&runs, &state, Spot::Input(at))?;
    let (first, others) = route.split_first()?;
    let Origin::Start(start) = first.origin else { return None };
    let start = at_target.plan.starts.get(start).filter(|start| start.is_instrument)?;
    // The guitar's own peak is what comes out of its jack, whatever it drives;
    // the level of an active one is above that.
    let jack = RouteRun { spot: Spot::Lead { lead: start.wire.as_ref()?.lead?, along: 0.0 }, ..*first };
    let ratio = |db: f64| 10f64.powf(db / 20.0);
    let peak = peak(inspection, at_target.rig.device(start.jack.device)?)?;
    let db = start.level.decibels()? + level(at_target, &state, first)? - level(at_target, &state, &jack)?;
    let (mut volts, mut without_end) = (peak * ratio(db), peak * ratio(db));
    let mut through = Vec::new();
    for route_run in others {
        let (own, after) = (ratio(route_run.gain.decibels()?), ratio(level(at_target, &state, route_run)?));
        (volts, without_end) = (volts * own, without_end * own * after);
        if let Origin::Output { station, .. } = route_run.origin {
            let unit = at_target.plan.stations[station].device();
            through.push(unit);
            // What it works at is the end of what it gives.
            let end = inspection.question.volts.get(&unit).map(|supply| (supply.get() / 2.0 - LEFT_OVER).max(0.0));
            volts = end.map_or(volts, |end| volts.min(end));
        }
        volts *= after;
    }
    Some(Hot { device, jack: station.jack, volts, without_end, peak, on, through })
}

/// Whether a device lifts the level at all.
fn makes_louder(device: &Device) -> bool {
    let louder = |level: Decibels| level.get() > 0.0;
    match &device.kind {
        Kind::Active(source) => source.gain.get() > 1.0,
        Kind::Buffer(Buffer { stage, .. })
        | Kind::Wireless(Wireless { stage })
        | Kind::Splitter(Splitter::Buffered { stage, .. })
        | Kind::Treadle(Treadle::BufferedVolume { stage, .. }) => louder(stage.level),
        Kind::Selector(selector) => selector.buffer().is_some_and(|stage| louder(stage.level)),
        Kind::MultiEffects(unit) => louder(unit.stage.level) || unit.patches.iter().any(|patch| louder(patch.level)),
        Kind::Mixer(Mixer::Buffered { first, second, .. }) => louder(first.level) || louder(second.level),
        Kind::Switcher(switcher) => [switcher.input, switcher.output].iter().flatten().any(|stage| louder(stage.level)),
        kind => kind.pedal().is_some_and(|pedal| louder(pedal.on.level) || louder(pedal.off.level)),
    }
}

/// Whether switching a unit on makes it louder.
fn raises(station: &Station) -> bool {
    station.alternatives.iter().any(|alternative| match alternative.behaviour {
        Behaviour::Isolate { level: Level::Decibels(db), .. } => alternative.position == Some(Position::ON) && db > 0.0,
        _ => false,
    })
}

fn level(at_target: &RigAtTarget, state: &State, route_run: &RouteRun) -> Option<f64> {
    let marked = at_target.plan.ladder(route_run.origin, state, route_run.spot)?;
    cascade::level_at(&marked.ladder, marked.mark, AT_HZ).decibels()
}

fn told(inspection: &Inspection<'_>, hot: &[Hot]) -> Option<SizedFinding> {
    let (worst, others) = hot.split_first()?;
    let (at_target, limit) = (&inspection.now, inspection.limits.input_peak.get());
    let volts = |volts: f64| engineering(volts, "V", 2);
    let names: Vec<String> = worst.on.iter().map(|id| at_target.name(*id)).collect();
    let with = if names.is_empty() { String::new() } else { format!(" with {} on", few(&names, 3)) };
    let name = at_target.name(worst.device);
    let (gets, takes) = told_apart(worst.volts, limit);
    let mut why = format!(
        "Set levels add up: peaks of {} from the instrument are lifted by {} on their way.",
        volts(worst.peak),
        plain(20.0 * (worst.volts / worst.peak).log10())
    );
    if !others.is_empty() {
        let each: Vec<String> =
            others.iter().map(|hot| format!("{} {}", at_target.name(hot.device), volts(hot.volts))).collect();
        why += &format!(" Others get too much too: {}.", few(&each, 4));
    }
    let told = Diagnosis {
        why,
        about: About {
            devices: std::iter::once(worst.device).chain(worst.on.iter().copied()).collect(),
            leads: at_target.lead_into(worst.device).into_iter().collect(),
            among: Some(
                at_target.rig.all_turned_on(&worst.on.iter().copied().chain([worst.device]).collect::<Vec<_>>()),
            ),
            ..About::default()
        },
        remedies: fix(inspection, worst).into_iter().collect(),
        ..Diagnosis::new(
            rules::TOO_HOT,
            Severity::Act,
            format!("{name} gets peaks of {gets}{with}, and takes {takes}."),
        )
    };
    Some(SizedFinding::new(told, worst.volts, limit))
}

/// Two voltages with as many figures as it takes to tell them apart, two at least.
fn told_apart(one: f64, other: f64) -> (String, String) {
    let both = |figures| (engineering(one, "V", figures), engineering(other, "V", figures));
    (2..5).map(both).find(|(one, other)| one != other).unwrap_or_else(|| both(5))
}

/// Turns down what is set highest, and the next if that isn't enough, none below 0 dB.
fn fix(inspection: &Inspection<'_>, worst: &Hot) -> Option<Remedy> {
    let limit = inspection.limits.input_peak.get();
    // A tenth of a decibel is as fine as a level is told.
    let mut too_much = (200.0 * (worst.without_end / limit).log10()).ceil() / 10.0;
    let mut louder: Vec<(DeviceId, f64)> = worst
        .through
        .iter()
        .filter_map(|id| Some((*id, inspection.now.rig.device(*id)?.kind.pedal()?.on.level.get())))
        .filter(|(_, level)| *level > 0.0)
        .collect();
    louder.sort_by(|a, b| b.1.total_cmp(&a.1));
    let (mut edits, mut words): (Vec<Edit>, Vec<String>) = (Vec::new(), Vec::new());
    for (id, level) in louder {
        if too_much <= 0.0 {
            break;
        }
        let less = too_much.min(level);
        too_much -= less;
        let mut kind = inspection.now.rig.device(id)?.kind.clone();
        let to = ((level - less) * 10.0).round() / 10.0;
        kind.pedal_mut()?.on.level = Decibels::clamped(to);
        words.push(format!("{} to {}", inspection.now.name(id), signed(to)));
        edits.push(mend::set(inspection, id, kind));
    }
    // What isn't set at a unit can't be turned down there.
    if edits.is_empty() {
        return None;
    }
    let edit = if edits.len() == 1 { edits.pop()? } else { Edit::Batch(edits) };
    let at_target = inspection.tried(&edit)?;
    let at = at_target.plan.stations.iter().position(|station| station.jack == worst.jack)?;
    let left = hottest(inspection, &at_target, at)?;
    let words = format!("Turn down {}: {} left", few(&words, 3), told_apart(left.volts, limit).0);
    let gives_up = Some("With it on you are that much quieter.".to_owned());
    (left.volts < worst.volts).then_some(Remedy { words, gives_up, edit: Some(edit) })
}
