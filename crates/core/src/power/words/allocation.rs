//! Allocations: how one does, what it gives up, whether it is the best, what stands in the way.

use super::names;
use crate::power::{Allocation, Changed, Conflict, Cure, Headroom, Noise, Noisy, Relaxation};
use crate::rig::{Connector, DeviceId, Rig, device_name};
use crate::units::trimmed;

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
        return NOT_PROVED.to_owned();
    }
    let proved = "Proved: nothing better is possible with these supplies and rules.";
    let modules = || rig.supplies().filter_map(|(device, _)| Some((device, device.power.need()?)));
    let mut loose = modules().filter(|(device, _)| rig.feed_to(device.id).is_none());
    let hangs =
        |loose: DeviceId| modules().any(|(device, need)| device.id != loose && need.connector != Connector::Link);
    if loose.any(|(device, _)| hangs(device.id)) { format!("{proved} {LAST_IN_ROW}") } else { proved.to_owned() }
}

/// Where a search came to its end before it was through.
pub const NOT_PROVED: &str = "Not proved: the search gave up before it had tried everything.";

/// Where the best is how the rig is plugged in.
pub const LIKE_THAT_ALREADY: &str = "It is plugged in like that already.";

/// What searches for supplies leave out.
pub const LAST_IN_ROW: &str = "Left out: a module on a plain plug that feeds another module.";

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

    use crate::parts::catalogue;
    use crate::power::{AllocationQuestion, Rules, allocate};
    use crate::rig::{Kind, Power};
    use crate::units::Amperes;
    use crate::watch::Unwatched;

    use super::*;

    fn proof_of(parts: &[&str]) -> String {
        let part = |(id, key): (u64, &&str)| catalogue().part(key).unwrap().device(DeviceId(id));
        let rig = Rig { devices: (1..).zip(parts).map(part).collect(), ..Rig::default() };
        let question = AllocationQuestion { rig: Arc::new(rig.clone()), rules: Rules::default() };
        proof(&rig, &allocate(&question, &Unwatched).unwrap())
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
        let question = AllocationQuestion { rig: Arc::new(rig.clone()), rules: Rules::default() };
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
