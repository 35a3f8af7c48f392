//! Allocations in words, for the window and for the command line.

use rigwright_core::power::{Allocation, Conflict, Cure, Relaxation};
use rigwright_core::rig::{Connector, DeviceId, Edit, FeedFrom, Form, Need, OutletRef, PowerEdit, Rig, Way};
use rigwright_core::units::trimmed;

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

fn name(rig: &Rig, device: DeviceId) -> String {
    rig.device(device).map_or_else(|| "a unit".to_owned(), |device| device.name.clone())
}

/// Names in a row: "Tuner, Wah and Octave".
#[must_use]
pub fn names(rig: &Rig, devices: &[DeviceId]) -> String {
    let names: Vec<String> = devices.iter().map(|device| name(rig, *device)).collect();
    match names.split_last() {
        None => "nothing".to_owned(),
        Some((last, [])) => last.clone(),
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
    }
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
        Relaxation::Headroom => "Use ratings to the full",
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use rigwright_core::parts::catalogue;
    use rigwright_core::power::{Question, Rules, allocate};
    use rigwright_core::watch::Unwatched;

    use super::*;

    fn proof_of(parts: &[&str]) -> String {
        let part = |(id, key): (u64, &&str)| catalogue().part(key).unwrap().device(DeviceId(id));
        let rig = Rig { devices: (1..).zip(parts).map(part).collect(), ..Rig::default() };
        let question = Question { rig: Arc::new(rig.clone()), rules: Rules::default() };
        proof(&rig, &allocate(&question, &Unwatched).unwrap())
    }

    #[test]
    fn a_proof_says_what_was_left_out_where_that_could_matter() {
        let proved = "Proved: nothing better is possible with these supplies and rules.";
        assert_eq!(proof_of(&["wall-adaptor-9v", "voltage-doubler", "mild-drive"]), proved);
        let both = proof_of(&["wall-adaptor-9v", "voltage-doubler", "distributor-five", "mild-drive"]);
        assert_eq!(both, format!("{proved} {LAST_IN_ROW}"));
    }
}
