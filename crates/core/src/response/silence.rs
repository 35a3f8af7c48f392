//! What keeps a signal from coming through, where nothing does.

use super::Request;
use crate::plan::{Origin, Spot, plan};
use crate::rig::{Control, Device, DeviceId, Guitar, JackRef, Kind, OwnVolumes, Rig, State, Treadle, Tuner};
use crate::units::{Level, Turn};

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
    /// An instrument's selector joins no pickup where it stands.
    NoPickup(DeviceId),
    /// The own volume of one of an instrument's pickups, counted from 1, is at 0 and nothing gets past it.
    PickupAtZero(DeviceId, u8),
    /// The pickups that are joined cancel.
    PickupsCancel(DeviceId),
}

impl Silencer {
    /// The device.
    #[must_use]
    pub fn device(self) -> DeviceId {
        match self {
            Self::VolumeAtZero(id) | Self::HeelDown(id) | Self::Mutes(id) | Self::NotFed(id) => id,
            Self::NoPickup(id) | Self::PickupAtZero(id, _) | Self::PickupsCancel(id) => id,
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
            Self::NoPickup(_) => format!("the selector of {name} joins no pickup where it stands"),
            Self::PickupAtZero(_, pickup) => {
                let wiring = device.pickup_wiring()?;
                let why = match wiring.own_volumes {
                    OwnVolumes::WipersJoined => "its wiper is a short for all pickups that are joined",
                    OwnVolumes::PickupsOnWipers => "no other pickup that is joined is up",
                };
                format!("the volume of {} of {name} is at 0, and {why}", wiring.name(pickup))
            }
            Self::PickupsCancel(_) => format!("the pickups of {name} that are joined cancel each other"),
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
    if let Some(silencer) = pickups(device, state, silent && !request.unfed.contains(&id)) {
        return Some(silencer);
    }
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

/// What of an instrument with several pickups lets nothing through; `silent` where nothing comes out.
fn pickups(device: &Device, state: &State, silent: bool) -> Option<Silencer> {
    let (wiring, (joined, _)) = (device.pickup_wiring()?, device.joined_pickups(state)?);
    let id = device.id;
    if joined.pickups.is_empty() {
        return Some(Silencer::NoPickup(id));
    }
    let at_zero = |pickup: u8| {
        let has_volume = wiring.own(pickup).is_some_and(|own| own.volume.is_some());
        has_volume && state.turn(id, Control::VolumeOf(pickup)) == Turn::CLOSED
    };
    let in_use = if joined.in_series { &joined.pickups[..1] } else { &joined.pickups[..] };
    let mut closed = in_use.iter().map(|one| one.pickup).filter(|pickup| at_zero(*pickup));
    let first = match wiring.own_volumes {
        OwnVolumes::WipersJoined => closed.next(),
        OwnVolumes::PickupsOnWipers => closed.clone().next().filter(|_| closed.count() == in_use.len()),
    };
    let cancels = silent && state.turn(id, Control::Volume) != Turn::CLOSED;
    first.map(|pickup| Silencer::PickupAtZero(id, pickup)).or_else(|| cancels.then_some(Silencer::PickupsCancel(id)))
}

fn passed(device: &Device, state: &State) -> Option<Silencer> {
    let heel_down = state.turn(device.id, Control::Treadle).get() == 0.0;
    (heel_down && matches!(device.kind, Kind::Treadle(Treadle::PassiveVolume { .. })))
        .then_some(Silencer::HeelDown(device.id))
}
