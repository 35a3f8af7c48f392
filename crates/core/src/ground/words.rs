//! Loops in words.

use super::{GroundNode, Likelihood, Link, Rank};
use crate::rig::{LeadId, OutletRef, Rig, device_name};
use crate::units::{counted, metres};

/// "Amp left → 6 m lead → Splitter → …", back to where it began.
pub fn path(rig: &Rig, steps: &[(GroundNode, Link)]) -> String {
    // It reads best from a device on.
    let first = steps.iter().position(|(node, _)| matches!(node, GroundNode::Device(_))).unwrap_or(0);
    let mut words = Vec::new();
    for at in 0..steps.len() {
        let (node, link) = steps[(first + at) % steps.len()];
        words.push(here(rig, node));
        words.push(by(rig, link));
    }
    words.extend(steps.get(first).map(|(node, _)| here(rig, *node)));
    words.join(" → ")
}

/// What it is, in a sentence.
pub fn sentence(rig: &Rig, rank: Rank, likelihood: Likelihood, length: f64, steps: &[(GroundNode, Link)]) -> String {
    let mut earths: Vec<Link> = steps.iter().map(|(_, link)| *link).filter(|link| link.is_earth()).collect();
    // What the player has drawn comes first.
    earths.sort_unstable();
    let earthed: Vec<String> = earths.into_iter().map(|link| earthed(rig, link)).collect();
    let fed: Vec<String> = steps
        .iter()
        .filter_map(
            |(_, link)| if let Link::Return { device, .. } = link { Some(device_name(rig, *device)) } else { None },
        )
        .collect();
    let (way, heard) = (metres(length), likelihood.words());
    match (rank, earthed.as_slice(), fed.as_slice()) {
        (Rank::TwoEarths, [a, b, ..], _) => {
            format!("{a} and {b} are both earthed, and {way} of leads join them: {heard}")
        }
        (Rank::WithDigital, _, [a, b, ..]) => {
            format!(
                "{a} and {b} share a 0 V with a digital unit, and {way} of leads close the loop: a possible cause of whine"
            )
        }
        (_, _, [a, b, ..]) => format!("{a} and {b} share a 0 V, and their leads close a loop of {way}: {heard}"),
        _ => format!("Leads close a loop of {way}: {heard}"),
    }
}

/// What the leads of a loop by two earths get of the voltage between them, and
/// why cutting a screen is no cure.
pub fn why(rig: &Rig, shares: &[(LeadId, f64)]) -> Option<String> {
    let each: Vec<String> = shares
        .iter()
        .filter(|(_, share)| *share >= 0.01)
        .take(2)
        .map(|(lead, share)| {
            let (from, to) = rig.lead(*lead).map_or((String::new(), String::new()), |lead| {
                (device_name(rig, lead.from.device), device_name(rig, lead.to.device))
            });
            format!("about {:.0} % in the lead from {from} to {to}", share * 100.0)
        })
        .collect();
    (!each.is_empty()).then(|| {
        format!(
            "Of the voltage between the two earths {} add to the signal; with a screen cut at one end, all of it would.",
            each.join(" and ")
        )
    })
}

fn here(rig: &Rig, node: GroundNode) -> String {
    match node {
        GroundNode::Device(device) => device_name(rig, device),
        GroundNode::FarSide(device) => format!("far side of {}", device_name(rig, device)),
        GroundNode::ZeroVolt(outlet) => zero_volt(rig, outlet),
        GroundNode::Earth => "mains earth of the building".to_owned(),
        GroundNode::Desk => "the desk".to_owned(),
    }
}

/// "0 V of Adaptor", or of which of its outlets where they don't all share one.
fn zero_volt(rig: &Rig, outlet: OutletRef) -> String {
    let supply = device_name(rig, outlet.supply);
    let outlets = rig.device(outlet.supply).and_then(|device| device.kind.supply()).map(|supply| &supply.outlets);
    let (Some(outlets), Some(own)) = (outlets, rig.outlet(outlet)) else {
        return format!("0 V of {supply}, outlet {}", outlet.outlet);
    };
    let sharing = (1..=u8::MAX).zip(outlets).filter(|(_, other)| other.zero_volt == own.zero_volt);
    let numbers: Vec<String> = sharing.map(|(number, _)| number.to_string()).collect();
    match numbers.split_last() {
        _ if numbers.len() == outlets.len() && numbers.len() > 1 => format!("0 V of {supply}"),
        Some((last, rest)) if !rest.is_empty() => format!("0 V of {supply}, outlets {} and {last}", rest.join(", ")),
        _ => format!("0 V of {supply}, outlet {}", outlet.outlet),
    }
}

fn by(rig: &Rig, link: Link) -> String {
    match link {
        Link::Screen(lead) => screen(rig, lead),
        Link::Return { feed, .. } => {
            let daisy = rig.feed(feed).is_some_and(crate::rig::Feed::is_daisy);
            if daisy { "daisy lead".to_owned() } else { "supply lead".to_owned() }
        }
        Link::Pair(_) => "lead that joins two outlets".to_owned(),
        Link::Desk(_) => "XLR lead".to_owned(),
        Link::Earth(_) | Link::DeskEarth | Link::Computer(_) => {
            format!("earth in the mains lead of {}", earthed(rig, link))
        }
    }
}

/// Whose mains lead a protective earth is in.
pub fn earthed(rig: &Rig, link: Link) -> String {
    match link {
        Link::Earth(device) => device_name(rig, device),
        Link::DeskEarth => "the desk".to_owned(),
        Link::Computer(interface) => format!("the computer of {}", device_name(rig, interface)),
        _ => "a device".to_owned(),
    }
}

fn screen(rig: &Rig, lead: LeadId) -> String {
    rig.lead(lead).map_or_else(|| "lead".to_owned(), |lead| format!("{} lead", metres(lead.length.get())))
}

/// How many loops there are: "11 possible causes of hum, the likeliest first"; none where there is none.
#[must_use]
pub fn count_words(count: usize) -> Option<String> {
    match count {
        0 => None,
        1 => Some("one possible cause of hum".to_owned()),
        count => Some(format!("{} possible causes of hum, the likeliest first", counted(count))),
    }
}

/// Of `count` loops so many are told, if there are more.
#[must_use]
pub fn more_words(told: usize, count: usize) -> Option<String> {
    let more = count.checked_sub(told).filter(|more| *more > 0)?;
    let are = if more == 1 { "is" } else { "are" };
    Some(format!("Told here are {}; there {are} {} more like them.", counted(told), counted(more)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_and_many_are_told_apart() {
        assert_eq!((count_words(0), more_words(7, 7)), (None, None));
        assert_eq!(more_words(100, 101).as_deref(), Some("Told here are 100; there is 1 more like them."));
        assert_eq!(more_words(100, 3999).as_deref(), Some("Told here are 100; there are 3899 more like them."));
        assert_eq!(count_words(12_345).as_deref(), Some("12\u{202F}345 possible causes of hum, the likeliest first"));
    }
}
