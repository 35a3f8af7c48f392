//! The way from a start to where the level is wanted, with all that may happen on it.

use super::NoStates;
use crate::network::Ladder;
use crate::plan::{Alternative, Plan, Spot, Station, Through, Wire};
use crate::rig::{DeviceId, Position, SwitchSetting};
use crate::units::Level;

/// A switch in one of its positions, on the way or beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stand {
    /// The switch and its position.
    pub setting: SwitchSetting,
    /// Whether it stands there only where somebody has set it so.
    pub moved: bool,
}

impl Stand {
    /// What an alternative of a station takes.
    pub fn of(station: &Station, alternative: &Alternative) -> Option<Self> {
        let setting = station.setting(alternative)?;
        Some(Self { setting, moved: !station.at_rest(setting) })
    }

    /// Whether it is off or on.
    pub fn is(stand: Option<Self>, position: Position) -> bool {
        stand.is_some_and(|stand| stand.setting.to == position)
    }
}

/// One way that a station ends a stretch.
#[derive(Debug, Clone)]
pub struct Mode {
    /// The switch's position that it takes, if it takes one.
    pub stand: Option<Stand>,
    /// What hangs at the end of the stretch.
    pub load: Ladder,
    /// What the next stretch starts from.
    pub source: Ladder,
    /// Level in dB between the two.
    pub gain_db: f64,
}

/// A station on the way.
#[derive(Debug, Clone)]
pub struct Stop {
    /// The device.
    pub device: DeviceId,
    /// Rungs from the output before to this station's input, its wiring included.
    pub arrive: Ladder,
    /// The modes in which it isolates.
    pub modes: Vec<Mode>,
    /// The rungs on to its outputs where it lets the stretch go on, and in which position.
    pub pass: Option<(Option<Stand>, Ladder)>,
    /// Side runs that hang on its outputs where it passes.
    pub legs: Vec<Wire>,
}

/// The whole way.
#[derive(Debug, Clone)]
pub struct Path {
    /// From the EMF to the first jack.
    pub source: Ladder,
    /// Level of the start.
    pub gain_db: f64,
    /// The stations in order, up to the last isolating one that may feed the spot.
    pub stops: Vec<Stop>,
    /// Rungs from the last stop's output to the spot.
    pub last: Ladder,
    /// What hangs on the spot.
    pub rest: Rest,
    /// Positions of switches that silence the spot.
    pub mutes: Vec<SwitchSetting>,
}

/// What hangs on the spot, away from the source.
#[derive(Debug, Clone)]
pub enum Rest {
    /// The rest of a lead with its far plug, and all that comes after it.
    Wire(Wire),
    /// A station, and all that comes after it.
    Station(usize),
}

/// The path to a spot, if the plan has a way there from a start that sounds.
pub fn path(plan: &Plan, spot: Spot) -> Result<Path, NoStates> {
    let found = plan.starts.iter().find_map(|start| {
        let mut path = Path {
            source: start.source.clone(),
            gain_db: 0.0,
            stops: Vec::new(),
            last: Ladder::new(),
            rest: Rest::Station(0),
            mutes: Vec::new(),
        };
        follow(plan, start.wire.as_ref()?, spot, &mut path).then_some((path, start.level))
    });
    match found {
        Some((path, Level::Decibels(gain_db))) => Ok(Path { gain_db, ..path }),
        Some((_, Level::Silent)) => Err(NoStates::Silent),
        None => Err(NoStates::NoWay),
    }
}

fn follow(plan: &Plan, wire: &Wire, spot: Spot, path: &mut Path) -> bool {
    let mut arrive = Ladder::new();
    arrive.shunt(wire.plug.clone());
    if let Spot::Lead { lead, along } = spot
        && lead == wire.lead
    {
        let (near, far) = wire.line.cut(along);
        arrive.line(near);
        path.last = arrive;
        path.rest = Rest::Wire(Wire { line: far, ..wire.clone() });
        return true;
    }
    arrive.line(wire.line);
    arrive.shunt(wire.plug.clone());
    let Some(at) = wire.to else { return false };
    if spot == Spot::Input(at) {
        path.last = arrive;
        path.rest = Rest::Station(at);
        return true;
    }
    let station = &plan.stations[at];
    let kept = (path.stops.len(), path.mutes.len());
    for (out, (_, onward)) in station.outs.iter().enumerate() {
        let Some(onward) = onward else { continue };
        let stop = stop(station, out, arrive.clone(), &mut path.mutes);
        path.stops.push(stop);
        if follow(plan, onward, spot, path) {
            return true;
        }
        path.stops.truncate(kept.0);
        path.mutes.truncate(kept.1);
    }
    false
}

fn stop(station: &Station, out: usize, mut arrive: Ladder, mutes: &mut Vec<SwitchSetting>) -> Stop {
    arrive.shunt(station.wiring.clone());
    let mut stop = Stop { device: station.device(), arrive, modes: Vec::new(), pass: None, legs: Vec::new() };
    for alternative in &station.alternatives {
        let stand = Stand::of(station, alternative);
        match &alternative.through {
            Through::Isolate { load, output, level: Level::Decibels(gain_db), .. } => {
                let mut hang = Ladder::new();
                hang.shunt(load.clone());
                stop.modes.push(Mode { stand, load: hang, source: output.clone(), gain_db: *gain_db });
            }
            Through::Isolate { .. } => mutes.extend(stand.map(|stand| stand.setting)),
            Through::Pass { rungs, .. } => stop.pass = Some((stand, rungs.clone())),
            Through::End { .. } => {}
        }
    }
    let others = station.outs.iter().enumerate().filter(|(i, _)| *i != out);
    stop.legs = others.filter_map(|(_, (_, wire))| wire.clone()).collect();
    stop
}
