//! What of a string's harmonics an instrument's pickups hear by where they stand: a string taken
//! as an ideal one, shaken everywhere alike.

use std::f64::consts::{PI, TAU};

use num_complex::Complex64;

use super::{Request, respond};
use crate::cascade::LineCache;
use crate::network::{Rung, Sweep};
use crate::plan::{Origin, Spot, plan};
use crate::rig::{DeviceId, Guitar, JackRef, JoinedPickup, Kind, PickupPlace};
use crate::units::{Hertz, Level};

/// Up to where the comb is drawn: past it, its teeth stand too close.
pub const TO: Hertz = Hertz::of(5_000.0);
/// The curve has so many points between two nulls.
const POINTS: f64 = 40.0;
/// The curve begins here.
const FROM_HZ: f64 = 40.0;
/// And has no more points than these.
const MOST_POINTS: usize = 2000;
/// A sum so much smaller than what went into it is a null.
const NULL: f64 = 1e-10;

/// A level in dB from the EMF at frequencies in Hz.
#[derive(Debug, Clone, PartialEq)]
pub struct StringComb {
    /// The instrument.
    pub device: DeviceId,
    /// The frequencies, in Hz.
    pub hz: Vec<f64>,
    /// At each of them the level at the endpoint with the pickups where they stand.
    pub levels: Vec<Level>,
}

/// What an endpoint hears of an open string of its instrument, or of the same string fretted; none where
/// no instrument with pickups is heard there, or one of whose pickups nobody says where they stand.
#[must_use]
pub fn string_comb(request: &Request, endpoint: JackRef, open: Hertz) -> Option<StringComb> {
    let plan = plan(&request.rig, &request.state).without_power(&request.unfed);
    let spot = Spot::Input(plan.stations.iter().position(|station| station.jack == endpoint)?);
    let route = plan.route(&plan.runs(&request.state), &request.state, spot)?;
    let Origin::Start(at) = route.first()?.origin else { return None };
    let start = plan.starts.get(at)?;
    let device = request.rig.device(start.jack.device)?;
    let Kind::Guitar(guitar) = &device.kind else { return None };
    let joined =
        device.joined_pickups(&request.state).map_or_else(|| vec![JoinedPickup::of(1)], |(one, _)| one.pickups);
    let heard: Vec<Heard> = joined.iter().filter_map(|one| Heard::of(guitar, *one, open)).collect();
    if heard.len() < joined.len() || heard.is_empty() {
        return None;
    }
    let hz = frequencies(heard.iter().map(|one| one.first_null_hz).fold(f64::INFINITY, f64::min));
    let network = match start.source.rungs.first() {
        Some(Rung::Source(network)) => Some(network),
        _ => None,
    };
    let answer = respond(request, &mut LineCache::new(Sweep::at(&hz)));
    let there = answer.endpoints.iter().find(|end| end.jack == endpoint)?;
    let level = |(hz, level): (&f64, &Level)| {
        let Level::Decibels(db) = level else { return Level::Silent };
        let parts = match network {
            Some(network) => network.parts_at(TAU * hz),
            None => vec![Complex64::new(1.0, 0.0)],
        };
        let part = |number: u8| parts.get(usize::from(number) - 1).copied().unwrap_or_default();
        let all: Complex64 = heard.iter().map(|one| part(one.pickup)).sum();
        let placed: Complex64 = heard.iter().map(|one| part(one.pickup) * one.at(*hz)).sum();
        let most: f64 = heard.iter().map(|one| part(one.pickup).norm()).sum();
        if placed.norm() <= NULL * most || all.norm() <= 0.0 {
            return Level::Silent;
        }
        Level::Decibels(db + 20.0 * (placed.norm() / all.norm()).log10())
    };
    let levels = hz.iter().zip(there.at.curve.levels()).map(level).collect();
    Some(StringComb { device: device.id, hz, levels })
}

/// Evenly spread, so many between two nulls.
fn frequencies(first_null_hz: f64) -> Vec<f64> {
    let step = (first_null_hz / POINTS).max((TO.get() - FROM_HZ) / MOST_POINTS as f64);
    let many = ((TO.get() - FROM_HZ) / step) as usize;
    (0..=many).map(|at| FROM_HZ + step * at as f64).collect()
}

/// What one pickup hears of a string.
#[derive(Debug, Clone, Copy)]
pub struct Heard {
    pickup: u8,
    place: PickupPlace,
    half: bool,
    /// π over the string's length and the open string's frequency, in s/m.
    wave: f64,
    first_null_hz: f64,
}

impl Heard {
    /// By a pickup of a guitar, as it is joined; none where nobody says where it stands.
    #[must_use]
    pub fn of(guitar: &Guitar, joined: JoinedPickup, open: Hertz) -> Option<Self> {
        let place = guitar.nth_pickup(joined.pickup)?.place?;
        let scale = guitar.scale.unwrap_or(guitar.instrument.usual_scale()).get();
        let first_null_hz = open.get() * scale / place.from_bridge.get();
        let is_there = scale > 0.0 && place.from_bridge.get() > 0.0;
        let heard =
            Self { pickup: joined.pickup, place, half: joined.half, wave: PI / (scale * open.get()), first_null_hz };
        is_there.then_some(heard)
    }

    /// What it hears at a frequency, of −1 to 1: sin(πnx/S), n the frequency over the open string's, in the
    /// mean over the width of each coil. Half of it is the coil nearer the bridge. [textbook, S: string-comb]
    #[must_use]
    pub fn at(&self, hz: f64) -> f64 {
        let wave = self.wave * hz;
        let (x, apart) = (self.place.from_bridge.get(), self.place.coils_apart.map_or(0.0, |apart| apart.get()));
        let over = wave * self.place.width.get() / 2.0;
        let width = if over > 1e-6 { over.sin() / over } else { 1.0 };
        width
            * match self.half {
                true => (wave * (x - apart / 2.0)).sin(),
                false => (wave * x).sin() * (wave * apart / 2.0).cos(),
            }
    }
}
