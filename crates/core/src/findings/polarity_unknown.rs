//! Ways that meet, and one of them through what may turn its signal over, and nobody says.

use super::inspection::Inspection;
use super::mend;
use super::ways_cancel::{mixes, put_in};
use super::words::signed;
use super::{About, Diagnosis, Remedy, Severity, SizedFinding, rules};
use crate::cascade::LineCache;
use crate::rig::{Amp, DeviceId, Kind, Mixer, Polarity, SwitchSetting};
use crate::units::{Level, engineering};
use crate::watch::{Stopped, Watch};

/// Where both answers are compared, in Hz.
const AT_HZ: [f64; 3] = [1000.0, 200.0, 3000.0];
/// A difference of less is none. [practice, S: small-differences]
const LEAST_DB: f64 = 0.5;
/// So many units are asked about.
const MOST: usize = 16;

pub fn check(
    inspection: &Inspection<'_>,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Vec<SizedFinding>, Stopped> {
    let rig = &inspection.now.rig;
    if !rig.devices.iter().any(mixes) {
        return Ok(Vec::new());
    }
    let loops: Vec<SwitchSetting> = rig.devices.iter().flat_map(put_in).collect();
    let mut found = Vec::new();
    let unknown = rig.devices.iter().filter(|device| settle(&mut device.kind.clone(), Polarity::Same));
    for device in unknown.take(MOST) {
        let remedies = both_answers(inspection, device.id);
        let on: Vec<SwitchSetting> = loops.iter().copied().chain(rig.all_turned_on(&[device.id])).collect();
        for set in [on, loops.clone()] {
            if !watch.go_on(0.0) {
                return Err(Stopped);
            }
            let Some((hz, levels)) = apart(inspection, &remedies, &set, cache) else { continue };
            let name = inspection.now.name(device.id);
            let [same, turned] = levels.map(said);
            let is_on = set.iter().any(|setting| setting.switch.device == device.id);
            let while_on = if is_on && device.has_footswitch() { " while it is on" } else { "" };
            let told = Diagnosis {
                why: "Its signal meets another way’s: alike they add up, and turned over they cancel.".to_owned(),
                remedies,
                about: About { devices: vec![device.id], among: Some(set), hz: Some(hz), ..About::default() },
                ..Diagnosis::new(
                    rules::POLARITY_UNKNOWN,
                    Severity::Know,
                    format!(
                        "Nobody says whether {name} turns the signal over{while_on}: at {} there is {same} if it \
                         doesn’t, and {turned} if it does.",
                        engineering(hz, "Hz", 3)
                    ),
                )
            };
            found.push(SizedFinding::new(told, 1.0, 1.0));
            break;
        }
    }
    Ok(found)
}

fn said(level: Level) -> String {
    level.decibels().map_or_else(|| "silence".to_owned(), signed)
}

/// Where both answers differ most of the frequencies compared, and the level in each.
fn apart(
    inspection: &Inspection<'_>,
    answers: &[Remedy],
    set: &[SwitchSetting],
    cache: &mut LineCache,
) -> Option<(f64, [Level; 2])> {
    let mut levels = |at: usize| -> Option<[Level; 3]> {
        let tried = inspection.tried(answers.get(at)?.edit.as_ref()?)?;
        let answer = tried.answer(set, cache)?;
        Some(AT_HZ.map(|hz| answer.level_at(hz)))
    };
    let (same, turned) = (levels(0)?, levels(1)?);
    let difference = |at: usize| match (same[at], turned[at]) {
        (Level::Decibels(a), Level::Decibels(b)) => (a - b).abs(),
        (Level::Silent, Level::Silent) => 0.0,
        _ => f64::INFINITY,
    };
    // The first of those that are alike.
    let most = (0..AT_HZ.len()).rev().max_by(|a, b| difference(*a).total_cmp(&difference(*b)))?;
    (difference(most) >= LEAST_DB).then(|| (AT_HZ[most], [same[most], turned[most]]))
}

/// Both answers to a device's sign that nobody says.
pub fn both_answers(inspection: &Inspection<'_>, device: DeviceId) -> Vec<Remedy> {
    let Some(found) = inspection.now.rig.device(device) else { return Vec::new() };
    let name = inspection.now.name(device);
    let each = [(Polarity::Same, "It doesn’t"), (Polarity::Inverted, "It does")];
    let said = each.into_iter().filter_map(|(polarity, says)| {
        let mut kind = found.kind.clone();
        let known = settle(&mut kind, polarity);
        let words = format!("{says}: {name} has {}", polarity.name());
        known.then(|| Remedy { words, gives_up: None, edit: Some(mend::set(inspection, device, kind)) })
    });
    said.collect()
}

/// Sets all signs of a device that nobody says; false where there are none.
fn settle(kind: &mut Kind, to: Polarity) -> bool {
    let mut any = false;
    let mut set = |polarity: &mut Polarity| {
        if *polarity == Polarity::Unknown {
            (*polarity, any) = (to, true);
        }
    };
    if let Kind::Amp(Amp { channels, polarity, .. }) = kind {
        channels.iter_mut().for_each(|channel| set(&mut channel.polarity));
        set(polarity);
    }
    if let Kind::Mixer(Mixer::Buffered { first, second, .. }) = kind {
        set(&mut first.polarity);
        set(&mut second.polarity);
    }
    if let Some(pedal) = kind.pedal_mut() {
        set(&mut pedal.off.polarity);
    }
    if let Some(stage) = kind.stage_mut() {
        set(&mut stage.polarity);
    }
    if let Some(Some(stereo)) = kind.stereo_mut() {
        set(&mut stereo.right);
    }
    if let Some(way) = kind.effects_loop_mut() {
        set(&mut way.back_polarity);
    }
    any
}
