//! Whether a set of supplies feeds all units.

use std::collections::BTreeMap;

use rigwright_search::{Allowance, deletion_filter};

use super::hosts::with_ideal_hosts;
use crate::power::allocate::model::Model;
use crate::power::allocate::modules;
use crate::power::allocate::terms::Terms;
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
    let model = Model::of_one(&ideal, &wanted, terms, &may_host, allowance);
    let found = model.feeding(&|_| true, allowance, watch)?;
    match found.best {
        None if found.proved => return conflict(&model, units, allowance, watch).map(Tried::Fails),
        None => return Ok(Tried::Unknown),
        Some(_) if loose.is_empty() => return Ok(Tried::Feeds),
        Some(solution) => {
            let mut hung = rig.clone();
            for (module, outlet, setting) in model.hung(&solution) {
                modules::hang(&mut hung, module, outlet, setting);
            }
            if Model::of_one(&hung, units, terms, &|_| false, allowance).feeds(&|_| true, allowance, watch)?
                == Some(true)
            {
                return Ok(Tried::Feeds);
            }
        }
    }
    let model = Model::of(rig, units, terms, new, allowance);
    match model.feeds(&|_| true, allowance, watch)? {
        Some(true) => Ok(Tried::Feeds),
        Some(false) => conflict(&model, units, allowance, watch).map(Tried::Fails),
        None => Ok(Tried::Unknown),
    }
}

/// Units that a model can't feed together, as few as a deletion filter leaves.
fn conflict(
    model: &Model,
    units: &[&Device],
    allowance: &Allowance<'_>,
    watch: &dyn Watch,
) -> Result<Vec<DeviceId>, Stopped> {
    let numbers: BTreeMap<DeviceId, usize> = units.iter().map(|unit| unit.id).zip(0..).collect();
    // Modules always take part.
    let feeds = &mut |chosen: &[bool], share: &Allowance<'_>, part: &dyn Watch| {
        model.feeds(&|id| numbers.get(&id).is_none_or(|at| chosen[*at]), share, part)
    };
    let found = deletion_filter(units.len(), feeds, allowance, watch)?;
    Ok(found.members.into_iter().map(|at| units[at].id).collect())
}
