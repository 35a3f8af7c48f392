//! Units that are alike, and what tells them from others.

use std::collections::BTreeSet;

use rigwright_search::assignment::Kind;

use super::{Socket, Type, milli};
use crate::power::allocate::terms::Terms;
use crate::power::compatibility;
use crate::rig::{Apart, Device, Need};

/// What sockets can give by themselves or as pairs in series, in mV.
pub fn volts(sockets: &[Socket], pairs: bool) -> BTreeSet<i64> {
    let levels = sockets.iter().flat_map(|socket| &socket.settings).filter(|level| level.may);
    let alone: BTreeSet<i64> = levels.map(|level| milli(level.volts)).collect();
    let sums = alone.iter().flat_map(|a| alone.iter().map(move |b| a + b)).filter(|_| pairs);
    alone.iter().copied().chain(sums).collect()
}

/// The types of some units. `volts` are all that sockets can give, in mV.
pub fn types(units: &[&Device], terms: &Terms<'_>, volts: &BTreeSet<i64>) -> Vec<(Type, Kind)> {
    let rules = terms.rules;
    let mut types: Vec<(&Need, Type, Kind)> = Vec::new();
    for unit in units {
        let Some(need) = unit.power.need() else { continue };
        let module = unit.kind.supply().is_some();
        let held = terms.keeps_apart(need);
        let alone = rules.isolated.contains(&unit.id) || (held && need.apart == Apart::Everybody);
        // Where all that it can run at is what it runs at now, it is like one that runs at nothing.
        let takes = |volts: i64| {
            let tolerance = rules.headroom.tolerance;
            need.ways.iter().any(|way| way.takes(volts as f64 * 1e-3, tolerance))
        };
        let in_use = terms.in_use.get(&unit.id).copied();
        let in_use = in_use.filter(|now| volts.iter().any(|other| terms.is_other(*now, *other) && takes(*other)));
        let kind = Kind {
            aside: module,
            member: compatibility::under(compatibility::member(unit, need), rules),
            alone_in_slot: alone || module || rules.own_outlet.contains(&unit.id),
            alone_in_group: alone,
            strict: held && need.apart == Apart::OtherKind,
            sealed: need.positive_ground,
            shares_exclusive: need.shares_winding,
            ..Kind::default()
        };
        let alike = |(known, other, numbers): &&mut (&Need, Type, Kind)| {
            let marks = |kind: &Kind| (kind.aside, kind.member, kind.alone_in_slot, kind.alone_in_group);
            *known == need && other.in_use == in_use && marks(numbers) == marks(&kind)
        };
        match types.iter_mut().find(alike) {
            Some((_, known, _)) => known.units.push(unit.id),
            None => {
                let exchange =
                    |(_, other, _): &(&Need, Type, Kind)| other.in_use == in_use && other.connector == need.connector;
                let exchange = types.iter().position(exchange).unwrap_or(types.len());
                let (units, connector) = (vec![unit.id], need.connector);
                types.push((need, Type { units, module, in_use, connector }, Kind { exchange, ..kind }));
            }
        }
    }
    types.into_iter().map(|(_, kind, numbers)| (kind, numbers)).collect()
}
