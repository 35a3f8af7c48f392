//! Questions of power in plain numbers, for a script that knows nothing of ours.

use rigwright_core::parts::{Group, Part, catalogue};
use rigwright_core::power::{AllocationQuestion, LeastAnswer, LeastQuestion, Rules};
use rigwright_core::rig::{Device, Feed, FeedFrom, Kind, Power, Rig};
use serde_json::{Value, json};

/// A question of allocation, with so many seconds for it.
pub fn allocate(question: &AllocationQuestion, seconds: f64) -> Value {
    let rig = &question.rig;
    json!({
        "what": "allocate",
        "seconds": seconds,
        "rules": rules(&question.rules, false, false),
        "devices": rig.devices.iter().map(|one| device(rig, one)).collect::<Vec<_>>(),
        "hung": rig.feeds.iter().filter_map(|feed| hung(rig, feed)).collect::<Vec<_>>(),
    })
}

/// The parts that a question may be answered with.
pub fn choice(question: &LeastQuestion) -> Vec<&'static Part> {
    let named = |part: &&Part| question.parts.as_ref().is_none_or(|keys| keys.contains(&part.key));
    let supply = |part: &&Part| matches!(part.kind, Kind::Supply(_));
    let battery = |part: &&Part| matches!(part.power, Power::Battery(_));
    catalogue().parts.iter().filter(named).filter(supply).filter(|part| question.batteries || !battery(part)).collect()
}

/// How many of a part an answer says to get.
pub fn bought(answer: &LeastAnswer, part: &Part) -> usize {
    answer.bought.iter().flatten().find(|one| one.part == part.key).map_or(0, |one| one.count)
}

/// A question of the least, with our answer, which is to be beaten or not: `order` holds each part's prices in
/// the order in which they are compared, `ours` what we come to.
pub fn least(question: &LeastQuestion, answer: &LeastAnswer, order: &[Vec<u64>], ours: &[u64], seconds: f64) -> Value {
    let parts = choice(question);
    let counts: Vec<usize> = parts.iter().map(|part| bought(answer, part)).collect();
    let told = |part: &&Part| json!({ "key": part.key, "power": part.power, "supply": part.kind.supply() });
    let rig = &question.rig;
    let stays = |device: &&Device| match device.kind.supply() {
        Some(_) => question.keep,
        None => !answer.hopeless.contains(&device.id),
    };
    let feeds = rig.feeds.iter().filter(|_| question.keep);
    json!({
        "what": "least",
        "seconds": seconds,
        // What is to be got has headroom, and is quiet if it can be.
        "rules": rules(&Rules { across: false, ..question.rules.clone() }, answer.quiet, true),
        "quiet_first": true,
        "devices": rig.devices.iter().filter(stays).map(|one| device(rig, one)).collect::<Vec<_>>(),
        "hung": feeds.filter_map(|feed| hung(rig, feed)).collect::<Vec<_>>(),
        "parts": parts.iter().map(told).collect::<Vec<_>>(),
        "bought": answer.bought.as_ref().map(|_| counts),
        "order": order,
        "ours": ours,
    })
}

/// `quiet` and `margin_held` say which wishes are musts here.
fn rules(rules: &Rules, quiet: bool, margin_held: bool) -> Value {
    let ids = |ids: &std::collections::BTreeSet<rigwright_core::rig::DeviceId>| -> Vec<u64> {
        ids.iter().map(|id| id.0).collect()
    };
    json!({
        "used": rules.headroom.used,
        "tolerance": rules.headroom.tolerance,
        "adapters": rules.adapters,
        "pairs": rules.pairs,
        "across": rules.across,
        "most_plugs": rules.most_plugs,
        "keep_apart": format!("{:?}", rules.keep_apart),
        "few_gains": format!("{:?}", rules.few_gains),
        "margin": format!("{:?}", rules.margin),
        "quiet": quiet,
        "margin_held": margin_held,
        "selectors": rules.selectors,
        "own_outlet": ids(&rules.own_outlet),
        "isolated": ids(&rules.isolated),
        "released": ids(&rules.released),
        // A module that is fed by a plain plug feeds no other module.
        "rows": false,
    })
}

/// A device, what it does to its company on a 0 V, and what feeds it as drawn.
fn device(rig: &Rig, device: &Device) -> Value {
    let group = catalogue().part(&device.part).map(|part| part.group);
    let compresses = device.part.contains("compressor");
    let level = match &device.kind {
        Kind::Buffer(buffer) => buffer.stage.level.get(),
        kind => kind.pedal().map_or(0.0, |pedal| pedal.on.level.get()),
    };
    let fed = rig.feed_to(device.id).and_then(|feed| match feed.from {
        FeedFrom::One(outlet) => rig.outlet(outlet)?.setting(),
        _ => None,
    });
    json!({
        "id": device.id.0,
        "power": device.power,
        "supply": device.kind.supply(),
        "stage": matches!(group, Some(Group::Drives | Group::Fuzz)) || compresses,
        "level": level,
        "fed": fed.map(|setting| json!({ "volts": setting.volts, "form": setting.form })),
    })
}

/// Where a module hangs that stays there.
fn hung(rig: &Rig, feed: &Feed) -> Option<Value> {
    let FeedFrom::One(outlet) = feed.from else { return None };
    let module = feed.taps.iter().find(|tap| rig.device(tap.device).is_some_and(|there| there.kind.supply().is_some()));
    module.map(|tap| json!({ "module": tap.device.0, "supply": outlet.supply.0, "outlet": outlet.outlet }))
}
