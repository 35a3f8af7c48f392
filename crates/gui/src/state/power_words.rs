//! Allocations in words, for the window and for the command line.

use rigwright_core::power::{Allocation, Changed, Conflict, Cure, Headroom, Hours, Life, Noise, Noisy, Relaxation};
use rigwright_core::rig::{
    Connector, DeviceId, Edit, FeedFrom, Form, Need, OutletRef, PowerEdit, Rig, Way, device_name,
};
use rigwright_core::units::trimmed;
use rigwright_core::words::list;

/// "9 V", "9-18 V", with AC where it is.
#[must_use]
pub fn range(way: &Way) -> String {
    let (least, most) = (trimmed(way.least.get(), 4), trimmed(way.most.get(), 4));
    let alternating = if way.form == Form::Alternating { " AC" } else { "" };
    if least == most { format!("{least} V{alternating}") } else { format!("{least}-{most} V{alternating}") }
}

/// "9 V", "9 V or 18 V", "12 V AC".
#[must_use]
pub fn wants(need: &Need) -> String {
    let mut ways: Vec<String> = need.ways.iter().map(range).collect();
    ways.dedup();
    if ways.is_empty() { "nobody has said how much".to_owned() } else { ways.join(" or ") }
}

/// "28-50 h", "1 h 30 min to 2 h 45 min" (for what doesn't last long).
#[must_use]
pub fn band(hours: &Hours) -> String {
    let Hours { least, most } = *hours;
    if most >= 10.0 {
        // Of a band no more figures than it is wide.
        let figures = |value: f64| trimmed(value, if value < 1.0 { 1 } else { 2 });
        let (least, most) = (figures(least), figures(most));
        return if least == most { format!("{most} h") } else { format!("{least}-{most} h") };
    }
    let clock = |value: f64| {
        let minutes = (value * 60.0).round();
        format!("{:.0} h {:.0} min", (minutes / 60.0).floor(), minutes % 60.0)
    };
    let (least, most) = (clock(least), clock(most));
    if least == most { least } else { format!("{least} to {most}") }
}

/// "lasts 7-13 h down to 8.1 V, the least that what hangs on it is made for, and 28-50 h until it is empty".
#[must_use]
pub fn lasts(life: &Life) -> String {
    match (life.until, &life.empty) {
        (Some(until), Some(empty)) => format!(
            "lasts {} down to {} V, the least that what hangs on it is made for, and {} until it is empty",
            band(&life.hours),
            trimmed(until, 3),
            band(empty)
        ),
        _ => format!("lasts {}", band(&life.hours)),
    }
}

/// What empties batteries most.
pub const PLUG_LEFT_IN: &str =
    "A plug left in a unit's input empties its battery, played or not: pull it out afterwards.";

/// "outlet 3 of Supply"; where there is but one, "Supply".
#[must_use]
pub fn outlet(rig: &Rig, at: OutletRef) -> String {
    let device = rig.device(at.supply);
    let supply = device.map_or_else(|| "a supply".to_owned(), |device| device.name.clone());
    match device.and_then(|device| device.kind.supply()).map(|supply| supply.outlets.len()) {
        Some(1) => supply,
        _ => format!("outlet {} of {supply}", at.outlet),
    }
}

/// Where a lead begins: "outlet 3 of Supply", "outlets 3 and 4 of Supply in series".
#[must_use]
pub fn from(rig: &Rig, from: FeedFrom) -> String {
    let pair = |a: OutletRef, b: OutletRef, how: &str| {
        if a.supply == b.supply {
            let supply = rig.device(a.supply).map_or_else(|| "a supply".to_owned(), |device| device.name.clone());
            format!("outlets {} and {} of {supply} {how}", a.outlet, b.outlet)
        } else {
            format!("{} and {} {how}", outlet(rig, a), outlet(rig, b))
        }
    };
    match from {
        FeedFrom::One(at) => outlet(rig, at),
        FeedFrom::Series { lower, upper } => pair(lower, upper, "in series"),
        FeedFrom::Parallel { first, second } => pair(first, second, "in parallel"),
    }
}

/// Names in a row: "Tuner, Wah and Octave".
#[must_use]
pub fn names(rig: &Rig, devices: &[DeviceId]) -> String {
    let names: Vec<String> = devices.iter().map(|device| device_name(rig, *device)).collect();
    if names.is_empty() { "nothing".to_owned() } else { list(&names) }
}

/// How an allocation does, in a sentence: "All 13 units are fed, with no adapter."
#[must_use]
pub fn outcome(rig: &Rig, allocation: &Allocation) -> String {
    let fed: usize = allocation
        .placed
        .iter()
        .flat_map(|placed| &placed.plugs)
        .filter(|(device, _)| rig.device(*device).is_some_and(|device| device.kind.supply().is_none()))
        .count();
    let adapters = match allocation.penalty.adapters {
        0 => "with no adapter".to_owned(),
        1 => "with one adapter or special lead".to_owned(),
        count => format!("with {count} adapters or special leads"),
    };
    let all = fed + allocation.unfed.len();
    match allocation.unfed.as_slice() {
        _ if all == 0 => "No unit here wants a supply.".to_owned(),
        [] => format!("All {all} units are fed, {adapters}."),
        unfed => format!("{fed} of {all} units are fed, {adapters}; without: {}.", names(rig, unfed)),
    }
}

/// In which order wishes give way, for who sets the rules.
pub const ORDER: &str = "Nothing is ever destroyed. Then, in this order: everybody is fed, each unit keeps the voltage that it runs at, little is noisy, headroom is kept, few adapters, little sharing of a 0 V (it can close ground loops), few watts.";

/// The wishes that an allocation doesn't keep, one line each.
#[must_use]
pub fn given_up(rig: &Rig, allocation: &Allocation, headroom: &Headroom) -> Vec<String> {
    let mut lines: Vec<String> = allocation.changed.iter().map(|one| changed(rig, one)).collect();
    lines.extend(allocation.noisy.iter().map(|one| noisy(rig, one)));
    let part = format!("{} %", trimmed(headroom.used * 100.0, 3));
    match allocation.penalty.tight {
        0 => {}
        1 => lines.push(format!("One outlet or supply carries more than {part} of its rating.")),
        count => lines.push(format!("{count} outlets and supplies carry more than {part} of their ratings.")),
    }
    lines
}

/// "Chorus runs at 9 V; it was 18 V."
#[must_use]
pub fn changed(rig: &Rig, changed: &Changed) -> String {
    let (now, was) = (trimmed(changed.now, 4), trimmed(changed.was, 4));
    format!("{} runs at {now} V; it was {was} V.", device_name(rig, changed.device))
}

/// Who is likely noisy together, and why.
#[must_use]
pub fn noisy(rig: &Rig, noisy: &Noisy) -> String {
    let units = names(rig, &noisy.units);
    match noisy.why {
        Noise::Together => format!("Likely noisy: {units} share a 0 V, and not all of them want to."),
        Noise::OneLead => format!("Likely noisy: {units} hang on one lead, digital with analogue."),
        Noise::Gain { stages, .. } if stages > 2 => {
            format!("Likely noisy: {units} share a 0 V, {stages} drives, fuzzes or compressors.")
        }
        Noise::Gain { gain, .. } => {
            let gain = trimmed(gain, 3);
            format!("Likely noisy: {units} share a 0 V, with {gain} dB of gain if all are on.")
        }
    }
}

/// Whether it is the best there is, and what wasn't looked at.
#[must_use]
pub fn proof(rig: &Rig, allocation: &Allocation) -> String {
    if !allocation.proved {
        return "Not proved: the search gave up before it had tried everything.".to_owned();
    }
    let proved = "Proved: nothing better is possible with these supplies and rules.";
    let modules = || rig.supplies().filter_map(|(device, _)| Some((device, device.power.need()?)));
    let mut loose = modules().filter(|(device, _)| rig.feed_to(device.id).is_none());
    let hangs =
        |loose: DeviceId| modules().any(|(device, need)| device.id != loose && need.connector != Connector::Link);
    if loose.any(|(device, _)| hangs(device.id)) { format!("{proved} {LAST_IN_ROW}") } else { proved.to_owned() }
}

/// What searches for supplies leave out.
pub const LAST_IN_ROW: &str = "Left out: a module on a plain plug that feeds another module.";

/// What of a rig an edit changes, one line a lead or selector; empty if nothing.
#[must_use]
pub fn changes(before: &Rig, after: &Rig, edit: &Edit) -> Vec<String> {
    // What is new comes first, since the rest hangs on it.
    let new = after.devices.iter().filter(|device| before.device(device.id).is_none());
    let mut lines: Vec<String> = new.map(|device| format!("{} is new", device.name)).collect();
    for device in &after.devices {
        let (was, is) = (before.feed_to(device.id), after.feed_to(device.id));
        match (was, is) {
            (Some(was), Some(is)) if was.from == is.from => {}
            (_, Some(is)) => lines.push(format!("{} → {}", device.name, from(after, is.from))),
            (Some(_), None) => lines.push(format!("{} is unplugged", device.name)),
            (None, None) => {}
        }
        let adapter = |rig: &Rig| {
            let tap = rig.feed_to(device.id)?.taps.iter().find(|tap| tap.device == device.id).copied()?;
            Some(tap.adapter)
        };
        if let (was, Some(is)) = (adapter(before), adapter(after))
            && was.unwrap_or_default() != is
        {
            let swaps = if is.swaps_poles { " that reverses the polarity" } else { "" };
            let plug = is.plug.map_or_else(String::new, |plug| format!(" that ends in “{}”", plug.name()));
            lines.push(match is.is_none() {
                true => format!("{}: no adapter any more", device.name),
                false => format!("{}: an adapter{swaps}{plug}", device.name),
            });
        }
    }
    lines.extend(settings(after, edit));
    lines
}

/// Selectors that are set.
fn settings(after: &Rig, edit: &Edit) -> Vec<String> {
    match edit {
        Edit::Batch(edits) => edits.iter().flat_map(|edit| settings(after, edit)).collect(),
        Edit::Power { edit: PowerEdit::Choose { outlet: at, .. }, .. } => {
            let volts = after.outlet(*at).and_then(|outlet| outlet.setting()).map(|setting| setting.volts.get());
            volts.map(|volts| format!("{} is set to {} V", outlet(after, *at), trimmed(volts, 4))).into_iter().collect()
        }
        _ => Vec::new(),
    }
}

/// What stands in the way.
#[must_use]
pub fn conflict(rig: &Rig, conflict: &Conflict) -> String {
    let units = names(rig, &conflict.units);
    match (conflict.units.as_slice(), conflict.proved) {
        ([_], _) => format!("No outlet here can feed {units}."),
        ([_, _], true) => format!("{units} can't both be fed; without either of them the other can."),
        (_, true) => format!("{units} can't all be fed; without any one of them the others can."),
        (_, false) => format!("No way was found to feed all of {units}."),
    }
}

/// What would help.
#[must_use]
pub fn cure(rig: &Rig, cure: &Cure) -> String {
    match cure {
        Cure::LeaveOut(devices) => format!("Leave out {}", names(rig, devices)),
        Cure::Relax(relaxation) => relax(*relaxation).to_owned(),
    }
}

/// A rule given up, as a button says it.
#[must_use]
pub fn relax(relaxation: Relaxation) -> &'static str {
    match relaxation {
        Relaxation::Adapters => "Allow adapters",
        Relaxation::Pairs => "Allow pairs of outlets",
        Relaxation::Daisy => "Allow daisy leads",
        Relaxation::Wishes => "Let the wishes go",
        Relaxation::KeepApart => "Let digital and analogue units share a 0 V",
        Relaxation::FewGains => "Let many drives share a 0 V",
        Relaxation::Headroom => "Use ratings to the full",
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use rigwright_core::parts::catalogue;
    use rigwright_core::power::{Question, Rules, allocate};
    use rigwright_core::rig::{Kind, Power};
    use rigwright_core::units::Amperes;
    use rigwright_core::watch::Unwatched;

    use super::*;

    fn proof_of(parts: &[&str]) -> String {
        let part = |(id, key): (u64, &&str)| catalogue().part(key).unwrap().device(DeviceId(id));
        let rig = Rig { devices: (1..).zip(parts).map(part).collect(), ..Rig::default() };
        let question = Question { rig: Arc::new(rig.clone()), rules: Rules::default() };
        proof(&rig, &allocate(&question, &Unwatched).unwrap())
    }

    #[test]
    fn how_long_a_battery_lasts_is_told_as_a_person_plans_it() {
        let hours = |least, most| Hours { least, most };
        assert_eq!(band(&hours(27.5, 50.4)), "28-50 h");
        assert_eq!(band(&hours(660.0, 1210.0)), "660-1200 h");
        assert_eq!(band(&hours(55.0, 55.2)), "55 h");
        assert_eq!(band(&hours(1.5, 2.75)), "1 h 30 min to 2 h 45 min");
        assert_eq!(band(&hours(1.9999, 2.0)), "2 h 0 min");
        let life = Life { hours: hours(7.0, 13.0), until: Some(8.1), empty: Some(hours(28.0, 50.0)) };
        assert_eq!(
            lasts(&life),
            "lasts 7-13 h down to 8.1 V, the least that what hangs on it is made for, and 28-50 h until it is empty"
        );
        assert_eq!(lasts(&Life { until: None, empty: None, ..life }), "lasts 7-13 h");
    }

    #[test]
    fn what_is_given_up_is_said_in_whole_sentences() {
        // Three drives and a digital tuner on one adaptor of 80 mA: they take 70 of it, over 80 %.
        let part = |(id, key): (u64, &str)| catalogue().part(key).unwrap().device(DeviceId(id));
        let parts = ["wall-adaptor-9v", "mild-drive", "hard-clipping-distortion", "sustain-fuzz", "tuner-true-bypass"];
        let mut rig = Rig { devices: (1..).zip(parts).map(part).collect(), ..Rig::default() };
        let sum: f64 = rig.devices[1..].iter().map(|d| d.power.need().unwrap().ways[0].running.get()).sum();
        for device in &mut rig.devices {
            match (&mut device.kind, &mut device.power) {
                (Kind::Supply(supply), _) => supply.outlets[0].settings[0].limit = Amperes::of(sum / 0.9),
                (_, Power::Low(need)) => need.ways[0].start_up = need.ways[0].running,
                _ => {}
            }
        }
        let question = Question { rig: Arc::new(rig.clone()), rules: Rules::default() };
        let found = allocate(&question, &Unwatched).unwrap();
        let all = "Mild drive, Hard-clipping distortion, Four-stage fuzz and Tuner";
        let name = &rig.devices[4].name;
        let all = all.replace("Tuner", name);
        let lines = given_up(&rig, &found, &Headroom::default());
        let expected = [
            format!("Likely noisy: {all} share a 0 V, and not all of them want to."),
            "Likely noisy: Mild drive, Hard-clipping distortion and Four-stage fuzz share a 0 V, 3 drives, fuzzes or compressors.".to_owned(),
            format!("Likely noisy: {all} hang on one lead, digital with analogue."),
            "One outlet or supply carries more than 80 % of its rating.".to_owned(),
        ];
        assert_eq!(lines, expected);
        let one = Changed { device: DeviceId(2), was: 18.0, now: 9.0 };
        assert_eq!(changed(&rig, &one), "Mild drive runs at 9 V; it was 18 V.");
        let gain = Noisy { units: vec![DeviceId(2), DeviceId(3)], why: Noise::Gain { stages: 2, gain: 45.5 } };
        let words =
            "Likely noisy: Mild drive and Hard-clipping distortion share a 0 V, with 45.5 dB of gain if all are on.";
        assert_eq!(noisy(&rig, &gain), words);
    }

    #[test]
    fn a_proof_says_what_was_left_out_where_that_could_matter() {
        let proved = "Proved: nothing better is possible with these supplies and rules.";
        assert_eq!(proof_of(&["wall-adaptor-9v", "voltage-doubler", "mild-drive"]), proved);
        let both = proof_of(&["wall-adaptor-9v", "voltage-doubler", "distributor-five", "mild-drive"]);
        assert_eq!(both, format!("{proved} {LAST_IN_ROW}"));
    }
}
