//! A drawn allocation: every figure of it, and every problem.

use super::battery::BatteryLife;
use super::problem::{PowerFault, PowerProblem};
use super::zero_volts::{Return, ZeroVolts};
use super::{battery, drop, loads, rules};
use crate::rig::{DeviceId, FeedId, Form, Limits, OutletRef, Power, Rig, ZeroVolt};

/// How much of what is rated may be used, and how far a voltage may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Headroom {
    /// The part of a rated current or power that may be used, 0 to 1.
    pub used: f64,
    /// The part by which a voltage may lie outside a unit's range, 0 to 1.
    pub tolerance: f64,
    /// The part from which on a voltage above a unit's range can destroy an analogue one, 0 to 1.
    pub destroys: f64,
}

impl Default for Headroom {
    /// Four fifths of a rating [practice]; a tenth of a voltage [practice; memory: what 9 V units stand,
    /// from a fresh battery's 9.6 V down to 8.1 V], and a quarter above it [practice].
    fn default() -> Self {
        Self { used: 0.8, tolerance: 0.1, destroys: 0.25 }
    }
}

impl Headroom {
    /// As the player set it.
    #[must_use]
    pub fn of(limits: &Limits) -> Self {
        Self { used: limits.headroom.get(), tolerance: limits.voltage.get(), destroys: limits.over_voltage.get() }
    }
}

/// A load beside what it may be; in A at an outlet, in W of a group or a whole supply.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Load {
    /// While all works.
    pub running: f64,
    /// While all is switched on at once.
    pub start_up: f64,
    /// What of that lasts longer than milliseconds, so that a rating has to bear it.
    pub lasting: f64,
    /// The rating; none where only the single outlets are rated.
    pub limit: Option<f64>,
}

impl Load {
    /// The part of the rating that is used while all works; 0 where there is none, infinite of nothing.
    #[must_use]
    pub fn part(&self) -> f64 {
        self.limit.map_or(0.0, |limit| if self.running > 0.0 { self.running / limit } else { 0.0 })
    }

    /// So many times another one on top of it; the rating stays.
    pub(super) fn add(&mut self, times: f64, other: &Self) {
        self.running += times * other.running;
        self.start_up += times * other.start_up;
        self.lasting += times * other.lasting;
    }
}

/// An outlet's figures.
#[derive(Debug, Clone, PartialEq)]
pub struct OutletCheck {
    /// Which.
    pub outlet: OutletRef,
    /// The voltage it gives at its load, in V; none where nothing comes in.
    pub volts: Option<f64>,
    /// Its load in A.
    pub load: Load,
    /// Which 0 V it has, in [`Check::zero_volts`].
    pub zero_volt: Return,
    /// What hangs on it, in the order of the plugs.
    pub devices: Vec<DeviceId>,
}

/// The figures of outlets that are rated together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroupCheck {
    /// Which of the supply's outlets.
    pub zero_volt: ZeroVolt,
    /// Their load in W.
    pub load: Load,
}

/// A supply's or module's figures.
#[derive(Debug, Clone, PartialEq)]
pub struct SupplyCheck {
    /// Which device.
    pub supply: DeviceId,
    /// Its outlets, in order.
    pub outlets: Vec<OutletCheck>,
    /// Its groups, in order.
    pub groups: Vec<GroupCheck>,
    /// All its outlets together, in W.
    pub total: Load,
    /// Whether power comes in.
    pub fed: bool,
    /// What it takes while all works, in W.
    pub taken: f64,
    /// The same as apparent power where it is the mains', in VA.
    pub volt_amperes: f64,
}

/// What a unit gets at its plug.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TapCheck {
    /// Which unit.
    pub device: DeviceId,
    /// The voltage at its socket in V, lead counted; none where nothing comes in.
    pub volts: Option<f64>,
    /// What is lost in the lead up to it, in V.
    pub drop: f64,
    /// How it comes, an adapter counted.
    pub form: Form,
    /// Which of the unit's ways that is, from 0; none where it fits none.
    pub way: Option<usize>,
    /// What the unit draws, in A; a module with all that hangs on it.
    pub running: f64,
    /// What it draws at start-up, in A.
    pub start_up: f64,
    /// What of that lasts longer than milliseconds, in A.
    pub lasting: f64,
}

/// A feed's figures.
#[derive(Debug, Clone, PartialEq)]
pub struct FeedCheck {
    /// Which.
    pub feed: FeedId,
    /// The voltage at the outlet or the pair, in V; none where nothing comes in.
    pub volts: Option<f64>,
    /// Its plugs, in order.
    pub taps: Vec<TapCheck>,
    /// By how much the 0 V of the first and the last plug differ, in V: the path of noise.
    pub return_offset: f64,
}

/// What is taken of the mains.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MainsCheck {
    /// By supplies, in W.
    pub supplies: f64,
    /// By amps and other devices of their own, in W.
    pub devices: f64,
    /// By all together as apparent power, in VA.
    pub volt_amperes: f64,
    /// Wall sockets in use.
    pub plugs: usize,
}

impl MainsCheck {
    /// All together, in W.
    #[must_use]
    pub fn watts(&self) -> f64 {
        self.supplies + self.devices
    }

    /// Energy over some hours, in Wh.
    #[must_use]
    pub fn watt_hours(&self, hours: f64) -> f64 {
        self.watts() * hours
    }
}

/// What a drawn allocation comes to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Check {
    /// Supplies and modules, in the rig's order.
    pub supplies: Vec<SupplyCheck>,
    /// Feeds, in the rig's order.
    pub feeds: Vec<FeedCheck>,
    /// Devices that want a low voltage and have no feed.
    pub unfed: Vec<DeviceId>,
    /// Devices of which nobody has said what they take.
    pub unknown: Vec<DeviceId>,
    /// Who shares a 0 V with whom.
    pub zero_volts: ZeroVolts,
    /// What is wrong or worth a word, the loudest first.
    pub problems: Vec<PowerProblem>,
    /// What is taken of the mains.
    pub mains: MainsCheck,
    /// Batteries, in the rig's order.
    pub batteries: Vec<BatteryLife>,
}

impl Check {
    /// The figures of a supply.
    #[must_use]
    pub fn supply(&self, id: DeviceId) -> Option<&SupplyCheck> {
        self.supplies.iter().find(|supply| supply.supply == id)
    }

    /// The figures of an outlet.
    #[must_use]
    pub fn outlet(&self, outlet: OutletRef) -> Option<&OutletCheck> {
        self.supply(outlet.supply)?.outlets.iter().find(|there| there.outlet == outlet)
    }

    /// Whether another problem says the same: of two on one daisy lead it is said that they don't go together.
    #[must_use]
    pub fn says_already(&self, problem: &PowerProblem) -> bool {
        let about = problem.what.devices().first().copied();
        let daisy = |other: &PowerProblem| matches!(other.what, PowerFault::DaisyDigital { .. });
        matches!(problem.what, PowerFault::KeepApart { .. })
            && self.problems.iter().any(|other| daisy(other) && other.what.devices().first().copied() == about)
    }

    /// What a device gets, at the first plug it has.
    #[must_use]
    pub fn tap(&self, device: DeviceId) -> Option<&TapCheck> {
        self.feeds.iter().flat_map(|feed| &feed.taps).find(|tap| tap.device == device)
    }
}

/// The figures and problems of a rig's power as it is drawn. What isn't there
/// ([`crate::rig::problems`] tells it) is passed over.
#[must_use]
pub fn check(rig: &Rig, headroom: &Headroom) -> Check {
    let flow = loads::flow(rig, headroom.tolerance);
    let zero_volts = ZeroVolts::of(rig);
    let feeds: Vec<FeedCheck> = rig.feeds.iter().map(|feed| drop::feed(feed, &flow)).collect();
    let supplies: Vec<SupplyCheck> =
        rig.supplies().map(|(device, supply)| loads::supply_check(rig, device, supply, &flow, &zero_volts)).collect();
    let mut check = Check {
        unfed: rig.unfed().map(|device| device.id).collect(),
        unknown: rig.devices.iter().filter(|device| device.power == Power::Unknown).map(|device| device.id).collect(),
        mains: mains(rig, &supplies),
        batteries: battery::lives(rig, headroom, &supplies, &feeds),
        supplies,
        feeds,
        zero_volts,
        problems: Vec::new(),
    };
    check.problems = rules::problems(rig, headroom, &check, &flow);
    check
}

fn mains(rig: &Rig, supplies: &[SupplyCheck]) -> MainsCheck {
    let mut mains = MainsCheck::default();
    for device in &rig.devices {
        let Power::Mains(inlet) = &device.power else { continue };
        mains.plugs += 1;
        match supplies.iter().find(|supply| supply.supply == device.id) {
            Some(supply) => {
                mains.supplies += supply.taken;
                mains.volt_amperes += supply.volt_amperes;
            }
            None => {
                mains.devices += inlet.draw.get();
                mains.volt_amperes += inlet.volt_amperes(inlet.draw.get());
            }
        }
    }
    mains
}
