//! Ways to one place that cancel: one is late, or turned over.

use super::inspection::Inspection;
use super::mend;
use super::rig_at_target::RigAtTarget;
use super::{About, Diagnosis, Remedy, Severity, SizedFinding, rules};
use crate::cascade::LineCache;
use crate::response::{NoPeak, PointAnswer, respond};
use crate::rig::{
    Alone, Device, DeviceId, EffectsLoop, Kind, LoopContact, Mixer, Polarity, SwitchSetting, place_name,
    test_point_name,
};
use crate::states::Target;
use crate::units::{Level, Seconds, engineering};
use crate::watch::{Stopped, Watch};
use crate::words::few;

/// Ways without a delay cancel where less than a tenth of their power is left at all of these, in Hz.
const AT_HZ: [f64; 3] = [200.0, 1000.0, 3000.0];
/// A tenth of the power, in dB.
const TENTH_DB: f64 = 10.0;

/// What ways do to one another.
enum Cancelled {
    /// One comes so many seconds late: they cancel at these frequencies in Hz, and on.
    Comb { seconds: f64, nulls_hz: Vec<f64> },
    /// One is turned over: so many dB of what they make up are lost; none for all.
    Against { lost_db: Option<f64> },
}

pub fn check(
    inspection: &Inspection<'_>,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Option<SizedFinding>, Stopped> {
    let at_target = &inspection.now;
    let mixing: Vec<&Device> = at_target.rig.devices.iter().filter(|device| mixes(device)).collect();
    if mixing.is_empty() {
        return Ok(None);
    }
    let Some(Cancelling { place, set, on, cancelled }) = cancelling(at_target, cache) else { return Ok(None) };
    let names: Vec<String> = on.iter().map(|id| at_target.name(*id)).collect();
    let with = if names.is_empty() { "Two".to_owned() } else { format!("With {} on, two", few(&names, 3)) };
    let (text, why, size) = match &cancelled {
        Cancelled::Comb { seconds, nulls_hz } => {
            let at: Vec<String> = nulls_hz.iter().take(2).map(|hz| engineering(*hz, "Hz", 3)).collect();
            (
                format!(
                    "{with} ways to {place} arrive {} apart and cancel at {} and so on: a comb.",
                    engineering(*seconds, "s", 3),
                    at.join(", ")
                ),
                "What has gone through converters comes later than what hasn't; where both are mixed they cancel \
                 wherever one is half a period behind the other.",
                1.0,
            )
        }
        Cancelled::Against { lost_db } => {
            let lost = lost_db.map_or_else(|| "nothing is left".to_owned(), |db| format!("{db:.1} dB are lost"));
            (
                format!("{with} ways to {place} are against each other: {lost} of what they make up together."),
                "One of them is turned over, so that where one pushes the other pulls.",
                2.0,
            )
        }
    };
    let mut remedies = Vec::new();
    for device in &mixing {
        if !watch.go_on(0.0) {
            return Err(Stopped);
        }
        remedies.extend(remedy(inspection, device, &cancelled, cache));
        if !remedies.is_empty() {
            break;
        }
    }
    let told = Diagnosis {
        why: why.to_owned(),
        about: About {
            devices: mixing.iter().map(|device| device.id).chain(on).collect(),
            among: Some(set),
            ..About::default()
        },
        remedies,
        ..Diagnosis::new(rules::WAYS_CANCEL, Severity::Act, text)
    };
    Ok(Some(SizedFinding::new(told, size, 1.0)))
}

/// Whether ways meet in it that hold at once.
pub fn mixes(device: &Device) -> bool {
    matches!(device.kind, Kind::Mixer(_))
        || device.kind.effects_loop().is_some_and(|way| way.dry.is_some())
        || device.kind.stereo().is_some_and(|stereo| stereo.alone == Alone::Both)
}

/// Where ways cancel.
struct Cancelling {
    /// What the place is called.
    place: String,
    /// The switches that are moved.
    set: Vec<SwitchSetting>,
    /// The units that are on.
    on: Vec<DeviceId>,
    /// How.
    cancelled: Cancelled,
}

/// The first of a few states, and the first of the places where levels are told, at which ways cancel.
fn cancelling(at_target: &RigAtTarget, cache: &mut LineCache) -> Option<Cancelling> {
    let rig = &at_target.rig;
    let loops: Vec<SwitchSetting> = rig.devices.iter().flat_map(put_in).collect();
    let alters = |device: &&Device| {
        let pedal = device.kind.pedal().filter(|_| device.has_footswitch());
        let is_other = |polarity: Polarity, latency: Seconds| latency.get() > 0.0 || polarity == Polarity::Inverted;
        pedal.is_some_and(|pedal| {
            let right = pedal.stereo.is_some_and(|stereo| is_other(stereo.right, stereo.right_latency));
            right || is_other(pedal.on.polarity, pedal.on.latency)
        })
    };
    let units: Vec<DeviceId> = rig.devices.iter().filter(alters).map(|device| device.id).collect();
    let with_all = loops.iter().copied().chain(rig.all_turned_on(&units)).collect();
    [(with_all, units), (loops, Vec::new()), (Vec::new(), Vec::new())].into_iter().find_map(|(set, on)| {
        let response = respond(&at_target.request(&set), cache);
        let point = match at_target.target {
            Target::Point(point) => Some(format!("the test point {}", test_point_name(&at_target.rig, point))),
            Target::Endpoint(_) => None,
        };
        let point = point.zip(response.test_point);
        let ends = response.endpoints.into_iter().map(|end| (place_name(&at_target.rig, end.jack), end.at));
        let (place, cancelled) =
            point.into_iter().chain(ends).find_map(|(place, answer)| Some((place, cancelled(&answer)?)))?;
        Some(Cancelling { place, set, on, cancelled })
    })
}

/// What puts a device's loops in.
pub fn put_in(device: &Device) -> Vec<SwitchSetting> {
    let contacts = (1..=device.kind.loops()).filter_map(|number| device.loop_contact(number));
    let settings = contacts.filter_map(|contact| {
        let LoopContact::Switched { switch, positions } = contact else { return None };
        let (to, _) = positions.iter().find(|(_, is_in)| *is_in)?;
        Some(SwitchSetting { switch: switch.id, to: *to })
    });
    let mut found: Vec<SwitchSetting> = settings.collect();
    // Presets have one switch for all loops.
    found.dedup_by_key(|setting| setting.switch);
    found
}

fn cancelled(answer: &PointAnswer) -> Option<Cancelled> {
    if let (Err(NoPeak::Comb { apart }), false) = (&answer.peak, answer.nulls_hz.is_empty()) {
        return Some(Cancelled::Comb { seconds: *apart, nulls_hz: answer.nulls_hz.clone() });
    }
    let lost = |hz: f64| match (answer.level_at(hz), answer.magnitudes_at(hz)) {
        (Level::Decibels(left), Level::Decibels(all)) => Some(all - left),
        (Level::Silent, Level::Decibels(_)) => Some(f64::INFINITY),
        (_, Level::Silent) => None,
    };
    let all: Option<Vec<f64>> = AT_HZ.into_iter().map(lost).collect();
    let least = all?.into_iter().fold(f64::INFINITY, f64::min);
    let lost_db = Some(least).filter(|db| db.is_finite());
    (least >= TENTH_DB).then_some(Cancelled::Against { lost_db })
}

/// A change of a device after which no ways cancel any more.
fn remedy(inspection: &Inspection<'_>, device: &Device, what: &Cancelled, cache: &mut LineCache) -> Option<Remedy> {
    let (mut kind, name) = (device.kind.clone(), inspection.now.name(device.id));
    let (words, gives_up) = match (what, &mut kind) {
        (Cancelled::Comb { .. }, kind) => {
            let way: &mut EffectsLoop = kind.effects_loop_mut()?;
            way.dry = None;
            let gives_up = "All of the signal then goes through what stands in the loop.";
            (format!("Put the loop of {name} in series: no comb left"), Some(gives_up.to_owned()))
        }
        (Cancelled::Against { .. }, Kind::Mixer(Mixer::Buffered { second, .. })) => {
            second.polarity = second.polarity.turned_over();
            (format!("Turn the second input of {name} over: both ways push together"), None)
        }
        (Cancelled::Against { .. }, kind) => {
            let way = kind.effects_loop_mut()?;
            way.back_polarity = way.back_polarity.turned_over();
            (format!("Turn over what comes back to {name}: both ways push together"), None)
        }
    };
    let edit = mend::set(inspection, device.id, kind);
    let after = inspection.tried(&edit)?;
    cancelling(&after, cache).is_none().then_some(Remedy { words, gives_up, edit: Some(edit) })
}
