//! Which outlets and devices share a 0 V.

use std::collections::BTreeMap;

use crate::rig::{DeviceId, FeedFrom, OutletRef, Power, Rig, ZeroVolt};

/// One 0 V of a rig: all that have the same number share it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Return(pub usize);

/// Who shares a 0 V with whom, through supplies and their leads alone: signal
/// leads are no part of this.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ZeroVolts {
    returns: BTreeMap<(DeviceId, ZeroVolt), Return>,
    earth: Option<Return>,
    /// The devices on each, in the rig's order of feeds.
    devices: BTreeMap<Return, Vec<DeviceId>>,
}

impl ZeroVolts {
    /// Reads a rig's supplies and feeds.
    #[must_use]
    pub fn of(rig: &Rig) -> Self {
        let mut nodes: BTreeMap<(DeviceId, ZeroVolt), usize> = BTreeMap::new();
        for (device, supply) in rig.supplies() {
            let groups = supply.outlets.iter().map(|outlet| outlet.zero_volt).chain([ZeroVolt::Inlet]);
            for zero_volt in groups {
                let next = nodes.len();
                nodes.entry((device.id, zero_volt)).or_insert(next);
            }
        }
        let earth = nodes.len();
        let mut joined = Joined((0..=earth).collect());
        let node = |outlet: OutletRef| {
            let zero_volt = rig.outlet(outlet)?.zero_volt;
            nodes.get(&(outlet.supply, zero_volt)).copied()
        };
        for (device, _) in rig.supplies() {
            let inlet = nodes.get(&(device.id, ZeroVolt::Inlet)).copied().unwrap_or(earth);
            match &device.power {
                Power::Mains(mains) if mains.earthed => joined.join(inlet, earth),
                Power::Low(_) => {
                    if let Some(above) = rig.feed_to(device.id).and_then(|feed| node(lowest(feed.from))) {
                        joined.join(inlet, above);
                    }
                }
                _ => {}
            }
        }
        for feed in &rig.feeds {
            if let FeedFrom::Parallel { first, second } = feed.from
                && let (Some(first), Some(second)) = (node(first), node(second))
            {
                joined.join(first, second);
            }
        }
        let returns: BTreeMap<(DeviceId, ZeroVolt), Return> =
            nodes.iter().map(|(key, node)| (*key, Return(joined.root(*node)))).collect();
        let mut devices: BTreeMap<Return, Vec<DeviceId>> = BTreeMap::new();
        for feed in &rig.feeds {
            let Some(zero_volt) = node(lowest(feed.from)).map(|node| Return(joined.root(node))) else { continue };
            for tap in &feed.taps {
                // A module is no load of its own: what hangs on it is.
                if rig.device(tap.device).is_some_and(|device| device.kind.supply().is_none()) {
                    devices.entry(zero_volt).or_default().push(tap.device);
                }
            }
        }
        Self { returns, earth: Some(Return(joined.root(earth))), devices }
    }

    /// The 0 V of an outlet.
    #[must_use]
    pub fn of_outlet(&self, rig: &Rig, outlet: OutletRef) -> Option<Return> {
        self.returns.get(&(outlet.supply, rig.outlet(outlet)?.zero_volt)).copied()
    }

    /// The 0 V of a supply's outlets of one kind.
    #[must_use]
    pub fn of_group(&self, supply: DeviceId, zero_volt: ZeroVolt) -> Option<Return> {
        self.returns.get(&(supply, zero_volt)).copied()
    }

    /// The devices that share a 0 V, modules left out.
    #[must_use]
    pub fn devices(&self, zero_volt: Return) -> &[DeviceId] {
        self.devices.get(&zero_volt).map_or(&[], Vec::as_slice)
    }

    /// Whether a 0 V is joined to the mains earth.
    #[must_use]
    pub fn is_earthed(&self, zero_volt: Return) -> bool {
        self.earth == Some(zero_volt)
    }

    /// Every 0 V that has devices on it, with them.
    pub fn all(&self) -> impl Iterator<Item = (Return, &[DeviceId])> {
        self.devices.iter().map(|(zero_volt, devices)| (*zero_volt, devices.as_slice()))
    }
}

/// The outlet whose 0 V the devices have.
pub fn lowest(from: FeedFrom) -> OutletRef {
    match from {
        FeedFrom::One(outlet) => outlet,
        FeedFrom::Series { lower, .. } => lower,
        FeedFrom::Parallel { first, .. } => first,
    }
}

/// Sets that grow together.
struct Joined(Vec<usize>);

impl Joined {
    fn root(&self, mut node: usize) -> usize {
        while self.0[node] != node {
            node = self.0[node];
        }
        node
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        // The smaller number stays, so that names don't depend on the order of feeds.
        self.0[a.max(b)] = a.min(b);
    }
}
