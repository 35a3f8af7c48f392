//! What a change of power does, lead by lead.

use super::{from, outlet};
use crate::rig::{Edit, PowerEdit, Rig};
use crate::units::trimmed;

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
