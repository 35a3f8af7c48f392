//! What keeps a signal from coming through, where nothing does.

use super::Request;
use crate::plan::{Origin, Spot, plan};
use crate::rig::{Control, Device, DeviceId, Guitar, JackRef, Kind, Rig, State, Treadle, Tuner};
use crate::units::Level;

/// One thing that silences what comes after it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Silencer {
    /// An instrument's volume is at 0.
    VolumeAtZero(DeviceId),
    /// A volume pedal has its heel down.
    HeelDown(DeviceId),
    /// A unit that mutes is on.
    Mutes(DeviceId),
    /// A unit gets no power, and passes nothing without it.
    NotFed(DeviceId),
}

impl Silencer {
    /// The device.
    #[must_use]
    pub fn device(self) -> DeviceId {
        match self {
            Self::VolumeAtZero(id) | Self::HeelDown(id) | Self::Mutes(id) | Self::NotFed(id) => id,
        }
    }

    /// "Delay has no feed", without a full stop; none for a device that the rig hasn't.
    #[must_use]
    pub fn told(self, rig: &Rig) -> Option<String> {
        let device = rig.device(self.device())?;
        let name = &device.name;
        Some(match self {
            Self::VolumeAtZero(_) => format!("the volume of {name} is at 0"),
            Self::HeelDown(_) => format!("{name} has its heel down"),
            Self::Mutes(_) if device.stays_on => format!("{name} mutes while it is on, and it stays on"),
            Self::Mutes(_) => format!("{name} mutes while it is on"),
            Self::NotFed(_) => format!("{name} has no feed"),
        })
    }
}

/// What stands in the way of the signal that goes to an endpoint, or with none
/// given to the request's test point, in the signal's order. Empty where the
/// signal comes through, and where it has no way at all.
#[must_use]
pub fn silencers(request: &Request, endpoint: Option<JackRef>) -> Vec<Silencer> {
    let (rig, state) = (&request.rig, &request.state);
    let plan = plan(rig, state).without_power(&request.unfed);
    let spot = match (endpoint, request.test_point) {
        (Some(jack), _) => plan.stations.iter().position(|station| station.jack == jack).map(Spot::Input),
        (None, Some(point)) => Some(Spot::Lead { lead: point.lead, along: point.along.get() }),
        (None, None) => None,
    };
    let runs = plan.runs(state);
    let Some(route) = spot.and_then(|spot| plan.route(&runs, state, spot)) else { return Vec::new() };
    let mut found = Vec::new();
    for hop in route {
        let origin = match hop.origin {
            Origin::Start(at) => plan.starts[at].jack.device,
            Origin::Output { station, .. } => plan.stations[station].device(),
        };
        let device = rig.device(origin);
        found.extend(device.and_then(|device| at_origin(device, state, hop.gain == Level::Silent, request)));
        let run = runs.iter().find(|run| run.origin == hop.origin);
        for &at in run.map_or(&[][..], |run| &run.passed) {
            let device = rig.device(plan.stations[at].device());
            found.extend(device.filter(|_| plan.goes_on_to(at, state, hop.spot)).and_then(|it| passed(it, state)));
        }
    }
    found
}

fn at_origin(device: &Device, state: &State, silent: bool, request: &Request) -> Option<Silencer> {
    let id = device.id;
    match &device.kind {
        Kind::Guitar(Guitar { volume: Some(_), .. }) if state.turn(id, Control::Volume).get() == 0.0 => {
            Some(Silencer::VolumeAtZero(id))
        }
        _ if !silent => None,
        _ if request.unfed.contains(&id) => Some(Silencer::NotFed(id)),
        Kind::Treadle(Treadle::BufferedVolume { .. }) => Some(Silencer::HeelDown(id)),
        Kind::Tuner(Tuner::Through { mutes: true, .. }) => Some(Silencer::Mutes(id)),
        _ => None,
    }
}

fn passed(device: &Device, state: &State) -> Option<Silencer> {
    let heel_down = state.turn(device.id, Control::Treadle).get() == 0.0;
    (heel_down && matches!(device.kind, Kind::Treadle(Treadle::PassiveVolume { .. })))
        .then_some(Silencer::HeelDown(device.id))
}
