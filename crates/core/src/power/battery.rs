//! How long a battery lasts: a band, since no two batteries and no two evenings are alike.

use super::check::{FeedCheck, Headroom, SupplyCheck};
use crate::rig::{Battery, Device, DeviceId, Power, Rig, Supply};

/// How long a battery lasts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BatteryLife {
    /// Whose: a supply that is a battery, or a device with its own.
    pub device: DeviceId,
    /// How long; none where nothing is drawn.
    pub life: Option<Life>,
}

/// A band of hours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hours {
    /// What can be counted on.
    pub least: f64,
    /// What a good fresh one can give.
    pub most: f64,
}

/// How long a battery lasts under a load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Life {
    /// Until what hangs on it gets too little.
    pub hours: Hours,
    /// What is too little, in V; none where a converter keeps the voltage.
    pub until: Option<f64>,
    /// Until it counts as empty, where units have had too little before.
    pub empty: Option<Hours>,
}

impl Hours {
    /// In the middle of the band.
    #[must_use]
    pub fn middle(&self) -> f64 {
        0.5 * (self.least + self.most)
    }

    fn of(capacity: f64, current: f64, (least, most): (f64, f64)) -> Self {
        Self { least: least * capacity / current, most: most * capacity / current }
    }
}

/// Voltage under load, as a part of the rated one, beside the part of its
/// capacity that is used by then. [page: half of it at 1.25 V a cell of 1.5 V;
/// the rest memory: the shape of an alkaline cell's discharge down to 0.9 V]
const CURVE: [(f64, f64); 8] = [
    (1.55 / 1.5, 0.0),
    (1.40 / 1.5, 0.15),
    (1.30 / 1.5, 0.35),
    (1.25 / 1.5, 0.50),
    (1.20 / 1.5, 0.62),
    (1.10 / 1.5, 0.80),
    (1.00 / 1.5, 0.92),
    (0.90 / 1.5, 1.0),
];

/// What counts as empty, as a part of the rated voltage: 5.4 V of 9 V. [standard, memory, S: discharge]
const EMPTY: f64 = 0.6;

/// Current as a part of the capacity per hour, beside the part of it that can
/// be had at that current: 550 mAh at 25 mA, 400 at 100, 250 at 250.
/// [page, memory, S: block]
const RATES: [(f64, f64); 3] = [(25.0 / 550.0, 1.0), (100.0 / 550.0, 400.0 / 550.0), (250.0 / 550.0, 250.0 / 550.0)];

/// From the least that a block must serve to what good ones do, as parts of the
/// usual figure. [memory, S: least-service]
const SPREAD: (f64, f64) = (0.6, 1.1);

/// The same of a pack behind a converter: cells lose a fifth with age. [practice, S: pack]
const PACK_SPREAD: (f64, f64) = (0.8, 1.0);

/// The part of its capacity that a battery has given when its voltage has
/// fallen to a part of the rated one.
#[must_use]
pub fn used(part: f64) -> f64 {
    let mut before = CURVE[0];
    if part >= before.0 {
        return 0.0;
    }
    for point in CURVE {
        if part >= point.0 {
            return before.1 + (before.0 - part) / (before.0 - point.0) * (point.1 - before.1);
        }
        before = point;
    }
    1.0
}

/// What can be had of a capacity in Ah at a current in A, in Ah: on straight
/// lines over the current's logarithm, past the last point on its line on.
#[must_use]
pub fn capacity(rated: f64, current: f64) -> f64 {
    if rated <= 0.0 || current <= 0.0 {
        return rated.max(0.0);
    }
    let rate = (current / rated).ln();
    let line = |a: (f64, f64), b: (f64, f64)| a.1 + (rate - a.0.ln()) / (b.0.ln() - a.0.ln()) * (b.1 - a.1);
    let [first, second, third] = RATES;
    let part = match rate {
        _ if rate <= first.0.ln() => 1.0,
        _ if rate <= second.0.ln() => line(first, second),
        _ => line(second, third),
    };
    rated * part.max(0.0)
}

/// The batteries of a rig, in its order.
pub fn lives(rig: &Rig, headroom: &Headroom, supplies: &[SupplyCheck], feeds: &[FeedCheck]) -> Vec<BatteryLife> {
    let of = |device: &Device| {
        let Power::Battery(battery) = &device.power else { return None };
        let life = match device.kind.supply() {
            None => block(battery, battery.draw.get(), 0.0),
            Some(supply) => {
                let figures = supplies.iter().find(|figures| figures.supply == device.id)?;
                if is_bare(battery, supply) {
                    let current = battery.draw.get() + figures.outlets.iter().map(|o| o.load.running).sum::<f64>();
                    block(battery, current, least(rig, headroom, device.id, feeds))
                } else {
                    pack(battery, figures.taken)
                }
            }
        };
        Some(BatteryLife { device: device.id, life })
    };
    rig.devices.iter().filter_map(of).collect()
}

/// Whether its outlets are the battery's own poles.
fn is_bare(battery: &Battery, supply: &Supply) -> bool {
    let same = |outlet: &crate::rig::Outlet| outlet.setting().is_some_and(|setting| setting.volts == battery.volts);
    supply.efficiency.get() >= 1.0 && supply.outlets.iter().all(same)
}

/// The highest voltage in V below which some unit on a supply isn't made to work.
fn least(rig: &Rig, headroom: &Headroom, supply: DeviceId, feeds: &[FeedCheck]) -> f64 {
    let here = rig.feeds.iter().zip(feeds).filter(|(feed, _)| feed.from.outlets().any(|from| from.supply == supply));
    let taps = here.flat_map(|(_, figures)| &figures.taps);
    let least = taps.filter_map(|tap| {
        let need = rig.device(tap.device)?.power.need()?;
        Some(need.ways.get(tap.way?)?.least.get() * (1.0 - headroom.tolerance))
    });
    least.fold(0.0, f64::max)
}

/// A block of cells whose own voltage the units get.
fn block(battery: &Battery, current: f64, least: f64) -> Option<Life> {
    let volts = battery.volts.get();
    if current <= 0.0 || volts <= 0.0 {
        return None;
    }
    let empty = Hours::of(capacity(battery.capacity.get(), current), current, SPREAD);
    let part = (least / volts).max(EMPTY);
    let used = used(part);
    Some(Life {
        hours: Hours { least: used * empty.least, most: used * empty.most },
        until: Some(part * volts),
        // A voltage calculated as 6 × 0.9 is the 5.4 V that count as empty.
        empty: (used < 1.0 - 1e-9).then_some(empty),
    })
}

/// A pack behind a converter, which keeps the voltage until the cells are empty.
fn pack(battery: &Battery, watts: f64) -> Option<Life> {
    let energy = battery.capacity.get() * battery.volts.get();
    (watts > 0.0).then(|| Life { hours: Hours::of(energy, watts, PACK_SPREAD), until: None, empty: None })
}
