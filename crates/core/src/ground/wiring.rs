//! What joins one 0 V to another: screens, returns of supply leads, protective earths.

use std::collections::{BTreeMap, BTreeSet};

use crate::rig::{
    Desk, Device, DeviceId, FeedFrom, FeedId, Jack, JackRef, Kind, LeadId, OutletRef, Power, Rig, ZeroVolt,
};

use super::cycles::Graph;

/// A piece of metal at one potential, or what would be one if no current flowed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum GroundNode {
    /// A device's signal ground.
    Device(DeviceId),
    /// The far side of a device that lets no direct current through: a transformer, a radio link.
    FarSide(DeviceId),
    /// A 0 V of a supply: the lowest outlet that has it stands for it.
    ZeroVolt(OutletRef),
    /// The building's protective earth.
    Earth,
    /// The signal ground of the desk that DI boxes feed.
    Desk,
}

/// What joins two nodes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Link {
    /// A lead's screen.
    Screen(LeadId),
    /// The return of a supply lead, from a device to a 0 V.
    Return {
        /// The supply lead.
        feed: FeedId,
        /// The device that it feeds.
        device: DeviceId,
    },
    /// A supply lead that joins two outlets, in series or in parallel.
    Pair(FeedId),
    /// The protective earth in a mains lead.
    Earth(DeviceId),
    /// The screen of the XLR lead from a DI box.
    Desk(DeviceId),
    /// The protective earth in the desk's mains lead.
    DeskEarth,
    /// The protective earth in the mains lead of the computer that an interface is plugged into.
    Computer(DeviceId),
}

impl Link {
    /// Whether it is a protective earth.
    #[must_use]
    pub fn is_earth(self) -> bool {
        matches!(self, Self::Earth(_) | Self::DeskEarth | Self::Computer(_))
    }
}

/// The graph of a rig's grounds.
#[derive(Debug, Default)]
pub struct Wiring {
    /// What the graph's nodes are.
    pub nodes: Vec<GroundNode>,
    /// What its edges are.
    pub links: Vec<Link>,
    /// The graph.
    pub graph: Graph,
    /// The outlet that stands for the 0 V of each.
    pub zero_volts: BTreeMap<OutletRef, OutletRef>,
}

/// Gathers what a rig joins. What nobody has said the power of joins nothing but screens.
pub fn wiring(rig: &Rig) -> Wiring {
    let zero_volts = zero_volts(rig);
    let mut joints: Vec<(GroundNode, GroundNode, Link)> = Vec::new();
    for lead in &rig.leads {
        if let (Some(from), Some(to)) = (node_of(rig, lead.from), node_of(rig, lead.to)) {
            joints.push((from, to, Link::Screen(lead.id)));
        }
    }
    for feed in &rig.feeds {
        let known = |outlet: OutletRef| zero_volts.get(&outlet).copied().map(GroundNode::ZeroVolt);
        let (home, other) = match feed.from {
            FeedFrom::One(outlet) => (known(outlet), None),
            FeedFrom::Series { lower, upper } => (known(lower), known(upper)),
            FeedFrom::Parallel { first, second } => (known(first), known(second)),
        };
        let Some(home) = home else { continue };
        if let Some(other) = other {
            joints.push((home, other, Link::Pair(feed.id)));
        }
        for tap in &feed.taps {
            let Some(device) = rig.device(tap.device) else { continue };
            let link = Link::Return { feed: feed.id, device: device.id };
            // A module hangs on the outlet with its inlet; its outlets that have
            // the inlet's 0 V are joined to it inside.
            if device.kind.supply().is_none() {
                joints.push((GroundNode::Device(device.id), home, link));
            }
        }
    }
    for device in &rig.devices {
        let Power::Mains(mains) = &device.power else { continue };
        if !mains.earthed {
            continue;
        }
        let link = Link::Earth(device.id);
        match device.kind.supply() {
            None => joints.push((GroundNode::Device(device.id), GroundNode::Earth, link)),
            Some(supply) => {
                let mut named = supply.outlets.iter().take(usize::from(u8::MAX));
                let inlet = named.position(|outlet| outlet.zero_volt == ZeroVolt::Inlet);
                let outlet = inlet.map(|at| OutletRef::new(device.id, at as u8 + 1));
                if let Some(known) = outlet.and_then(|outlet| zero_volts.get(&outlet)) {
                    joints.push((GroundNode::ZeroVolt(*known), GroundNode::Earth, link));
                }
            }
        }
    }
    // After what is drawn: of two loops of one length that by the amps is told.
    joints.extend(to_desks(rig));
    let mut wiring = Wiring { zero_volts, ..Wiring::default() };
    let mut nodes: Vec<GroundNode> = joints.iter().flat_map(|(a, b, _)| [*a, *b]).collect();
    nodes.sort_unstable();
    nodes.dedup();
    wiring.graph = Graph::new(nodes.len());
    let number = |node: &GroundNode| nodes.binary_search(node).unwrap_or(0);
    for (a, b, link) in &joints {
        wiring.graph.join(number(a), number(b));
        wiring.links.push(*link);
    }
    wiring.nodes = nodes;
    wiring
}

/// What the XLR leads of DI boxes and the computers of interfaces join. All DI
/// boxes of a rig go to one desk: it is earthed if one of them says so.
fn to_desks(rig: &Rig) -> Vec<(GroundNode, GroundNode, Link)> {
    let mut joints = Vec::new();
    let mut earthed = false;
    for device in &rig.devices {
        match &device.kind {
            Kind::DirectBox(direct) if direct.to_desk().joins() => {
                joints.push((GroundNode::Device(device.id), GroundNode::Desk, Link::Desk(device.id)));
                earthed |= direct.to_desk().desk == Desk::Earthed;
            }
            Kind::Interface(interface) if interface.earthed_computer => {
                joints.push((GroundNode::Device(device.id), GroundNode::Earth, Link::Computer(device.id)));
            }
            _ => {}
        }
    }
    joints.extend(earthed.then_some((GroundNode::Desk, GroundNode::Earth, Link::DeskEarth)));
    joints
}

/// The node that a jack's sleeve is joined to.
fn node_of(rig: &Rig, jack: JackRef) -> Option<GroundNode> {
    let device = rig.device(jack.device)?;
    // A DI's through jack is the input's own contact, also where a transformer feeds the desk.
    let far = matches!(device.kind, Kind::Transformer(_) | Kind::Wireless(_)) && jack.jack == Jack::Out;
    Some(if far { GroundNode::FarSide(device.id) } else { GroundNode::Device(device.id) })
}

/// For each outlet the one that stands for its 0 V: the first with it, or, where
/// it is the inlet's and a feed comes in there, the feeding outlet's.
fn zero_volts(rig: &Rig) -> BTreeMap<OutletRef, OutletRef> {
    let mut found = BTreeMap::new();
    for (device, supply) in rig.supplies() {
        let above = fed_by(rig, device);
        for (at, outlet) in supply.outlets.iter().enumerate().take(usize::from(u8::MAX)) {
            let reference = OutletRef::new(device.id, at as u8 + 1);
            let first = supply.outlets.iter().position(|other| other.zero_volt == outlet.zero_volt).unwrap_or(at);
            let own = OutletRef::new(device.id, first as u8 + 1);
            let fed = above.filter(|_| outlet.zero_volt == ZeroVolt::Inlet);
            found.insert(reference, fed.unwrap_or(own));
        }
    }
    // A module on a module: on to the one that stands at the end, or where a circle closes.
    let outlets: Vec<OutletRef> = found.keys().copied().collect();
    let mut done: BTreeSet<OutletRef> = BTreeSet::new();
    for outlet in outlets {
        let mut way = Vec::new();
        let mut at = outlet;
        while done.insert(at) {
            way.push(at);
            match found.get(&at) {
                Some(next) => at = *next,
                None => break,
            }
        }
        // What is behind `at` is known, unless it is on this way itself.
        let end = found.get(&at).copied().filter(|_| !way.contains(&at)).unwrap_or(at);
        found.extend(way.into_iter().map(|on| (on, end)));
    }
    found
}

fn fed_by(rig: &Rig, device: &Device) -> Option<OutletRef> {
    rig.feed_to(device.id)?.from.outlets().next().filter(|outlet| rig.outlet(*outlet).is_some())
}
