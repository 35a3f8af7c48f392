//! Whether a set of supplies feeds all units.

use super::rows::with_ideal_hosts;
use crate::power::allocate::allowance::Allowance;
use crate::power::allocate::terms::Terms;
use crate::power::allocate::{Ground, modules};
use crate::rig::{Device, DeviceId, Rig};
use crate::watch::{Stopped, Watch};

/// What trying came to.
pub enum Tried {
    Feeds,
    /// It doesn't, and already these units are too many for it.
    Fails(Vec<DeviceId>),
    /// The search gave up.
    Unknown,
}

/// Tries a rig with loose modules, those of `new` ids to hang somewhere; others may stay loose.
///
/// First with an ideal host for each module, the new ones taking a socket each
/// all the same: one search instead of one for each way of hanging them, and
/// what fails there fails in every way. What doesn't shows where they could hang.
pub fn try_out(
    rig: &Rig,
    units: &[&Device],
    terms: &Terms<'_>,
    new: &dyn Fn(DeviceId) -> bool,
    allowance: &Allowance<'_>,
    watch: &dyn Watch,
) -> Result<Tried, Stopped> {
    let loose = modules::loose(rig);
    let ideal = with_ideal_hosts(rig, &loose);
    let bought = loose.iter().copied().filter(|id| new(*id));
    let wanted: Vec<&Device> = units.iter().copied().chain(bought.filter_map(|id| rig.device(id))).collect();
    let may_host = |id: DeviceId| rig.device(id).is_some_and(modules::may_host);
    let ground = Ground::of_one(&ideal, &wanted, terms, &may_host, allowance);
    let found = ground.feeding(&|_| true, allowance, watch)?;
    match found.way {
        None if found.proved => return conflict(&ground, units, allowance, watch).map(Tried::Fails),
        None => return Ok(Tried::Unknown),
        Some(_) if loose.is_empty() => return Ok(Tried::Feeds),
        Some(way) => {
            let mut hung = rig.clone();
            for (module, outlet, setting) in ground.hung(&way) {
                modules::hang(&mut hung, module, outlet, setting);
            }
            if Ground::of_one(&hung, units, terms, &|_| false, allowance).feeds(&|_| true, allowance, watch)?
                == Some(true)
            {
                return Ok(Tried::Feeds);
            }
        }
    }
    let ground = Ground::of(rig, units, terms, new, allowance);
    match ground.feeds(&|_| true, allowance, watch)? {
        Some(true) => Ok(Tried::Feeds),
        Some(false) => conflict(&ground, units, allowance, watch).map(Tried::Fails),
        None => Ok(Tried::Unknown),
    }
}

/// Units that a ground can't feed together, as few as a deletion filter leaves.
fn conflict(
    ground: &Ground,
    units: &[&Device],
    allowance: &Allowance<'_>,
    watch: &dyn Watch,
) -> Result<Vec<DeviceId>, Stopped> {
    let all: Vec<DeviceId> = units.iter().map(|unit| unit.id).collect();
    let mut kept = all.clone();
    for (at, unit) in all.iter().enumerate() {
        let share = allowance.part(1.0 / (all.len() - at) as f64);
        let takes_part = |other: DeviceId| other != *unit && (kept.contains(&other) || !all.contains(&other));
        if ground.feeds(&takes_part, &share, watch)? == Some(false) {
            kept.retain(|other| other != unit);
        }
    }
    Ok(kept)
}
