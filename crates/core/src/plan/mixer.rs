//! A mixer as the signal sees it: two inputs, and a point where they come together.

use super::build::{Leaving, Point};
use super::kinds::{load, pass, resistor_ladder};
use super::{Alternative, Behaviour, HIGH_IMPEDANCE, Station};
use crate::network::{Branch, Ladder};
use crate::rig::{Device, Jack, JackRef, Mixer, NO_LATENCY, Polarity};
use crate::units::{Farads, Level, MixingOhms, Ohms};

/// The station at one of a mixer's inputs, or where they come together.
pub fn mixer_station(device: &Device, mixer: &Mixer, point: Point) -> Option<(Station, Vec<Leaving>)> {
    let (first, second, output, wiring) = match mixer {
        Mixer::Buffered { first, second, output, wiring } => (first, second, output, wiring),
        Mixer::Passive { first, second, wiring } => return passive(device, [*first, *second], *wiring, point),
    };
    match point {
        Point::Input(JackRef { jack, .. }) => {
            let from = match jack {
                Jack::In => first,
                Jack::SecondIn => second,
                _ => return None,
            };
            let isolate = |level: Level| Behaviour::Isolate {
                load: load(&from.input),
                output: Ladder::new(),
                level,
                polarity: from.polarity,
                latency: NO_LATENCY,
                high_impedance: false,
            };
            let with_power = isolate(Level::Decibels(from.level.get()));
            let station = station(device, jack, *wiring, [with_power, isolate(Level::Silent)]);
            Some((station, vec![Leaving::Contact(Point::Sum(device.id))]))
        }
        Point::Sum(_) => {
            let isolate = |level: Level| Behaviour::Isolate {
                load: Branch::Open,
                output: resistor_ladder(*output),
                level,
                polarity: Polarity::Same,
                latency: NO_LATENCY,
                high_impedance: *output >= HIGH_IMPEDANCE,
            };
            let through = [isolate(Level::Decibels(0.0)), isolate(Level::Silent)];
            let out = Leaving::Jack(JackRef::new(device.id, Jack::Out));
            Some((station(device, Jack::Out, Farads::of(0.0), through), vec![out]))
        }
        Point::Rail(..) | Point::RailBuffer(_) | Point::Inside(..) | Point::Stereo(..) => None,
    }
}

/// The station at an input of two resistors, or where these are joined.
fn passive(
    device: &Device,
    [first, second]: [MixingOhms; 2],
    wiring: Farads,
    point: Point,
) -> Option<(Station, Vec<Leaving>)> {
    let passing = |resistor: Option<MixingOhms>| {
        let ohms = resistor.map_or(0.0, MixingOhms::get);
        pass(resistor_ladder(Ohms::clamped(ohms)), ohms >= HIGH_IMPEDANCE.get())
    };
    match point {
        Point::Input(JackRef { jack, .. }) => {
            let resistor = match jack {
                Jack::In => first,
                Jack::SecondIn => second,
                _ => return None,
            };
            let through = [passing(Some(resistor)), passing(Some(resistor))];
            Some((station(device, jack, wiring, through), vec![Leaving::Contact(Point::Sum(device.id))]))
        }
        Point::Sum(_) => {
            let joined = station(device, Jack::Out, Farads::of(0.0), [passing(None), passing(None)]);
            let out = Leaving::Jack(JackRef::new(device.id, Jack::Out));
            Some((Station { is_junction: true, ..joined }, vec![out]))
        }
        Point::Rail(..) | Point::RailBuffer(_) | Point::Inside(..) | Point::Stereo(..) => None,
    }
}

fn station(device: &Device, jack: Jack, wiring: Farads, [behaviour, unpowered]: [Behaviour; 2]) -> Station {
    Station::new(
        JackRef::new(device.id, jack),
        wiring,
        vec![Alternative::always(behaviour)],
        Some(Alternative::always(unpowered)),
    )
}
