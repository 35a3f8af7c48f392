//! Who shares a 0 V, or a winding, with whom it shouldn't.

use rigwright_search::assignment::mix::{Member, Mix};

use super::check::Check;
use super::compatibility;
use super::problem::{PowerFault, PowerProblem};
use super::zero_volts::Return;
use crate::rig::{Apart, Device, DeviceId, FeedId, Form, Need, Rig, ZeroVolt};

/// Problems of sharing, 0 V after 0 V; each unit is told once.
pub fn problems(rig: &Rig, check: &Check) -> Vec<PowerProblem> {
    let mut found = Vec::new();
    for (zero_volt, devices) in check.zero_volts.all() {
        let units: Vec<Unit<'_>> = devices.iter().filter_map(|id| unit(rig, check, *id)).collect();
        let earthed = check.zero_volts.is_earthed(zero_volt);
        gain(&units, &mut found);
        poles(&units, earthed, &mut found);
        windings(&units, earthed, &mut found);
        apart(&units, &mut found);
        clocks(rig, check, zero_volt, &units, &mut found);
    }
    found
}

struct Unit<'a> {
    device: &'a Device,
    need: &'a Need,
    feed: Option<FeedId>,
    /// Whether alternating current comes to it.
    alternating: bool,
}

impl Unit<'_> {
    fn is(&self, other: &Self) -> bool {
        self.device.id == other.device.id
    }
}

fn unit<'a>(rig: &'a Rig, check: &Check, id: DeviceId) -> Option<Unit<'a>> {
    let device = rig.device(id)?;
    Some(Unit {
        device,
        need: device.power.need()?,
        feed: rig.feed_to(id).map(|feed| feed.id),
        alternating: check.tap(id).is_some_and(|tap| tap.form == Form::Alternating),
    })
}

/// Much gain on one 0 V; told once for all of them.
fn gain(units: &[Unit<'_>], found: &mut Vec<PowerProblem>) {
    let members: Vec<Member> = units.iter().map(|unit| compatibility::member(unit.device, unit.need)).collect();
    let mix = members.iter().fold(Mix::default(), |mix, member| mix.with(member));
    let mut loud = units.iter().zip(&members).filter(|(_, member)| member.burdens()).map(|(unit, _)| unit);
    if mix.excess(&compatibility::EASE) > 0
        && let (Some(unit), Some(with)) = (loud.next(), loud.next())
    {
        let (stages, gain) = (mix.marked, f64::from(mix.weight) / 10.0);
        let what = PowerFault::MuchGain { device: unit.device.id, with: with.device.id, stages, gain };
        found.push(PowerProblem::new(what, unit.feed));
    }
}

/// Units whose plus is the signal's ground get on with each other: the plus is then the ground of both.
fn poles(units: &[Unit<'_>], earthed: bool, found: &mut Vec<PowerProblem>) {
    for unit in units.iter().filter(|unit| unit.need.positive_ground) {
        let with = units.iter().find(|other| !other.need.positive_ground).map(|other| other.device.id);
        if with.is_some() || earthed {
            found.push(PowerProblem::new(PowerFault::PositiveGround { device: unit.device.id, with }, unit.feed));
        }
    }
}

/// A bridge rectifier keeps its unit's ground a diode away from both ends of
/// the winding; whatever else joins the two, through screens, conducts every
/// other half-wave through that diode alone. [reasoning, S: winding]
fn windings(units: &[Unit<'_>], earthed: bool, found: &mut Vec<PowerProblem>) {
    let mut told: Vec<DeviceId> = Vec::new();
    for unit in units.iter().filter(|unit| unit.alternating && !unit.need.shares_winding) {
        if told.contains(&unit.device.id) {
            continue;
        }
        // One that is fed by AC as well says it best.
        let others = || units.iter().filter(|other| !other.is(unit));
        let with = others().find(|other| other.alternating).or_else(|| others().next());
        if with.is_none() && !earthed {
            continue;
        }
        let both = with.is_some_and(|with| with.alternating);
        told.extend(with.filter(|_| both).map(|with| with.device.id));
        let with = with.map(|with| with.device.id);
        found.push(PowerProblem::new(PowerFault::SharedWinding { device: unit.device.id, with, both }, unit.feed));
    }
}

fn apart(units: &[Unit<'_>], found: &mut Vec<PowerProblem>) {
    for unit in units.iter().filter(|unit| !unit.need.positive_ground) {
        let mut others = units.iter().filter(|other| !other.is(unit));
        let unwanted = match unit.need.apart {
            Apart::Nobody => None,
            Apart::OtherKind => others.find(|other| other.need.digital != unit.need.digital),
            Apart::Everybody => others.next(),
        };
        if let Some(with) = unwanted.map(|other| other.device.id) {
            found.push(PowerProblem::new(PowerFault::KeepApart { device: unit.device.id, with }, unit.feed));
        }
    }
}

/// Modules with a clock inside that leave the 0 V as it comes, as small doublers do. [page, S: charge-pump]
fn clocks(rig: &Rig, check: &Check, zero_volt: Return, units: &[Unit<'_>], found: &mut Vec<PowerProblem>) {
    let Some(with) = units.iter().find(|unit| !unit.need.digital).map(|unit| unit.device.id) else { return };
    for (device, supply) in rig.supplies() {
        let clock = device.power.need().is_some_and(|need| need.digital);
        let through = supply.outlets.iter().any(|outlet| outlet.zero_volt == ZeroVolt::Inlet);
        let here = check.zero_volts.of_group(device.id, ZeroVolt::Inlet) == Some(zero_volt);
        let feeds = rig.feeds.iter().any(|feed| feed.from.outlets().any(|outlet| outlet.supply == device.id));
        if let Some(feed) = rig.feed_to(device.id).filter(|_| clock && through && here && feeds) {
            found.push(PowerProblem::new(PowerFault::Clock { supply: device.id, with }, Some(feed.id)));
        }
    }
}
