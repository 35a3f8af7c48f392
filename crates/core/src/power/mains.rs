//! What the mains of a project does to the devices that hang on it, at home and on tour.

use super::check::{Check, Headroom, check};
use super::problem::{PowerFault, PowerProblem};
use crate::rig::{Device, Mains, MainsSupply, Power, Rig};

/// The figures and problems of a rig's power, those of the mains that it is played on among them.
#[must_use]
pub fn check_at(rig: &Rig, headroom: &Headroom, mains: &MainsSupply) -> Check {
    let mut check = check(rig, headroom);
    check.problems.extend(problems(rig, mains));
    // Stable: of one loudness, those of feeds and supplies first.
    check.problems.sort_by_key(|problem| problem.severity);
    check
}

/// Devices for which the mains is too high or too low somewhere: each told once, where it is worst.
fn problems(rig: &Rig, mains: &MainsSupply) -> Vec<PowerProblem> {
    let inlets = rig.devices.iter().filter_map(|device| match &device.power {
        Power::Mains(inlet) => Some((device, inlet)),
        _ => None,
    });
    inlets.flat_map(|(device, inlet)| [high(device, inlet, mains), low(device, inlet, mains)]).flatten().collect()
}

/// A voltage that is just at the limit is not over it.
const LAST_BIT: f64 = 1e-9;

fn high(device: &Device, inlet: &Mains, mains: &MainsSupply) -> Option<PowerProblem> {
    let most = inlet.most.get();
    let over = |volts: f64| volts > most * (1.0 + MainsSupply::TOLERANCE) + LAST_BIT;
    let wrong: Vec<_> = mains.all().filter(|(_, volts)| over(volts.get())).collect();
    // Of two that are as high the first, so that home comes before the tour.
    let (country, volts) = wrong.iter().rev().max_by(|a, b| a.1.get().total_cmp(&b.1.get()))?;
    let (volts, more) = (volts.get(), wrong.len() - 1);
    Some(PowerProblem::new(PowerFault::MainsTooHigh { device: device.id, volts, most, country: *country, more }, None))
}

fn low(device: &Device, inlet: &Mains, mains: &MainsSupply) -> Option<PowerProblem> {
    let least = inlet.least.get();
    let under = |volts: f64| volts < least * (1.0 - MainsSupply::TOLERANCE) - LAST_BIT;
    let wrong: Vec<_> = mains.all().filter(|(_, volts)| under(volts.get())).collect();
    let (country, volts) = wrong.iter().min_by(|a, b| a.1.get().total_cmp(&b.1.get()))?;
    let (volts, more) = (volts.get(), wrong.len() - 1);
    Some(PowerProblem::new(PowerFault::MainsTooLow { device: device.id, volts, least, country: *country, more }, None))
}
