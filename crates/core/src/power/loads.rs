//! Currents, from the units up to the mains: what each outlet, group and supply carries.

use std::collections::BTreeMap;

use super::check::{GroupCheck, Load, OutletCheck, SupplyCheck};
use super::zero_volts::{Return, ZeroVolts};
use crate::rig::{Device, DeviceId, Feed, FeedFrom, Form, Kind, Need, OutletRef, Power, Rig, Setting, Supply, Tap};

/// What a plug carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TapFlow {
    /// The rated voltage that comes to it, in V.
    pub nominal: Option<f64>,
    /// How it comes, its adapter counted.
    pub form: Form,
    /// Which of the unit's ways that is.
    pub way: Option<usize>,
    /// In A.
    pub running: f64,
    /// At the moment all is switched on, in A.
    pub start_up: f64,
    /// At start-up, and for longer than milliseconds, in A.
    pub lasting: f64,
}

/// All currents of a rig.
pub struct Flow {
    /// The plugs of each feed, in the order of feeds.
    pub taps: Vec<Vec<TapFlow>>,
    /// Load of each outlet in A: running, and what of its start-up lasts.
    pub outlets: BTreeMap<OutletRef, (f64, f64)>,
    /// Load of each outlet at the moment all is switched on, in A.
    pub surges: BTreeMap<OutletRef, f64>,
    /// The voltage of each outlet at its load, in V; none where nothing comes in.
    pub volts: BTreeMap<OutletRef, Option<f64>>,
    /// The rated voltage of each outlet in V: a distributor's is what comes in.
    pub nominal: BTreeMap<OutletRef, Option<f64>>,
    /// The voltage of each outlet with nothing on it, in V.
    pub no_load: BTreeMap<OutletRef, Option<f64>>,
    /// Supplies to which power comes.
    pub fed: BTreeMap<DeviceId, bool>,
    index: BTreeMap<crate::rig::FeedId, usize>,
}

impl Flow {
    /// The plugs of a feed.
    pub fn of(&self, feed: &Feed) -> &[TapFlow] {
        self.index.get(&feed.id).and_then(|at| self.taps.get(*at)).map_or(&[], Vec::as_slice)
    }

    /// What an outlet carries, in A.
    pub fn load(&self, outlet: OutletRef) -> Load {
        let (running, lasting) = self.outlets.get(&outlet).copied().unwrap_or_default();
        let start_up = self.surges.get(&outlet).copied().unwrap_or_default();
        Load { running, start_up, lasting, limit: None }
    }

    /// A feed's voltage at its outlets, by one of the tables of voltages.
    pub fn source(&self, from: FeedFrom, table: &BTreeMap<OutletRef, Option<f64>>) -> Option<f64> {
        let volts = |outlet: OutletRef| table.get(&outlet).copied().flatten();
        match from {
            FeedFrom::One(outlet) => volts(outlet),
            FeedFrom::Series { lower, upper } => Some(volts(lower)? + volts(upper)?),
            // Of two that differ the higher one drives the lead.
            FeedFrom::Parallel { first, second } => Some(volts(first)?.max(volts(second)?)),
        }
    }
}

/// How a feed's current comes to a plug.
pub fn form(rig: &Rig, feed: &Feed, tap: &Tap) -> Option<Form> {
    let outlet = feed.from.outlets().next()?;
    let form = rig.outlet(outlet)?.setting()?.form;
    Some(match (form, tap.adapter.swaps_poles) {
        (Form::CentreNegative, true) => Form::CentrePositive,
        (Form::CentrePositive, true) => Form::CentreNegative,
        (form, _) => form,
    })
}

/// The first way of a unit that takes a voltage in V in this form.
pub fn way(need: &Need, volts: f64, form: Form, tolerance: f64) -> Option<usize> {
    need.ways.iter().position(|way| way.form == form && way.takes(volts, tolerance))
}

/// Supplies with those that feed them first; one that feeds itself is left out.
fn order(rig: &Rig) -> Vec<DeviceId> {
    fn visit(rig: &Rig, id: DeviceId, state: &mut BTreeMap<DeviceId, bool>, done: &mut Vec<DeviceId>) -> bool {
        if let Some(sound) = state.get(&id) {
            return *sound;
        }
        // Until it is done it counts as unsound: whoever meets it again is in a circle.
        state.insert(id, false);
        let Some(device) = rig.device(id).filter(|device| device.kind.supply().is_some()) else { return false };
        let sound = match (&device.power, rig.feed_to(id)) {
            (Power::Low(_), Some(feed)) => feed.from.outlets().all(|outlet| visit(rig, outlet.supply, state, done)),
            _ => true,
        };
        state.insert(id, sound);
        if sound {
            done.push(id);
        }
        sound
    }
    let (mut state, mut done) = (BTreeMap::new(), Vec::new());
    for (device, _) in rig.supplies() {
        visit(rig, device.id, &mut state, &mut done);
    }
    done
}

pub fn flow(rig: &Rig, tolerance: f64) -> Flow {
    let mut flow = Flow {
        taps: rig.feeds.iter().map(|feed| vec![NOTHING; feed.taps.len()]).collect(),
        outlets: BTreeMap::new(),
        surges: BTreeMap::new(),
        volts: BTreeMap::new(),
        nominal: BTreeMap::new(),
        no_load: BTreeMap::new(),
        fed: rig.supplies().map(|(device, _)| (device.id, false)).collect(),
        index: rig.feeds.iter().enumerate().map(|(at, feed)| (feed.id, at)).collect(),
    };
    let order = order(rig);
    for id in &order {
        rated_voltages(rig, *id, &mut flow);
    }
    // The currents from the last module up, and each feed's before its supply's.
    for id in order.iter().rev() {
        for (at, feed) in rig.feeds.iter().enumerate() {
            let begins = feed.from.outlets().any(|outlet| outlet.supply == *id);
            let other = feed.from.outlets().find(|outlet| outlet.supply != *id);
            // A pair over two supplies counts at the one that stands later in the order.
            let later = other.is_none_or(|other| place(&order, other.supply) < place(&order, *id));
            if begins && later {
                currents(rig, at, feed, tolerance, &mut flow);
            }
        }
    }
    for id in &order {
        voltages(rig, *id, &mut flow);
    }
    flow
}

const NOTHING: TapFlow =
    TapFlow { nominal: None, form: Form::CentreNegative, way: None, running: 0.0, start_up: 0.0, lasting: 0.0 };

fn place(order: &[DeviceId], id: DeviceId) -> Option<usize> {
    order.iter().position(|other| *other == id)
}

fn outlets<'a>(rig: &'a Rig, id: DeviceId) -> impl Iterator<Item = (OutletRef, &'a Setting)> + 'a {
    let supply = rig.device(id).and_then(|device| device.kind.supply());
    supply.into_iter().flat_map(move |supply| {
        (1..=u8::MAX)
            .zip(&supply.outlets)
            .filter_map(move |(number, outlet)| Some((OutletRef::new(id, number), outlet.setting()?)))
    })
}

fn rated_voltages(rig: &Rig, id: DeviceId, flow: &mut Flow) {
    let Some(device) = rig.device(id) else { return };
    let passes = device.kind.supply().is_some_and(|supply| supply.passes);
    let incoming = match (&device.power, rig.feed_to(id)) {
        (Power::Mains(_) | Power::Battery(_), _) => None,
        (Power::Low(_), Some(feed)) => Some(flow.source(feed.from, &flow.nominal)),
        _ => Some(None),
    };
    let fed = incoming.is_none_or(|volts| volts.is_some());
    flow.fed.insert(id, fed);
    for (outlet, setting) in outlets(rig, id) {
        let own = if passes { incoming.flatten() } else { Some(setting.volts.get()) };
        flow.nominal.insert(outlet, own.filter(|_| fed));
    }
}

fn currents(rig: &Rig, at: usize, feed: &Feed, tolerance: f64, flow: &mut Flow) {
    let nominal = flow.source(feed.from, &flow.nominal);
    let taps: Vec<TapFlow> = feed.taps.iter().map(|tap| tap_flow(rig, feed, tap, nominal, tolerance, flow)).collect();
    let running: f64 = taps.iter().map(|tap| tap.running).sum();
    let lasting: f64 = taps.iter().map(|tap| tap.lasting).sum();
    let start_up: f64 = taps.iter().map(|tap| tap.start_up).sum();
    flow.taps[at] = taps;
    for (outlet, part) in shares(rig, feed.from) {
        let load = flow.outlets.entry(outlet).or_default();
        load.0 += running * part;
        load.1 += lasting * part;
        *flow.surges.entry(outlet).or_default() += start_up * part;
    }
}

/// The part of a feed's current that each of its outlets carries.
pub fn shares(rig: &Rig, from: FeedFrom) -> Vec<(OutletRef, f64)> {
    match from {
        FeedFrom::One(outlet) => vec![(outlet, 1.0)],
        // All of it flows through both.
        FeedFrom::Series { lower, upper } => vec![(lower, 1.0), (upper, 1.0)],
        FeedFrom::Parallel { first, second } => {
            let limit = |outlet: OutletRef| {
                rig.outlet(outlet).and_then(|outlet| outlet.setting()).map_or(0.0, |setting| setting.limit.get())
            };
            let (a, b) = (limit(first), limit(second));
            let part = if a + b > 0.0 { a / (a + b) } else { 0.5 };
            vec![(first, part), (second, 1.0 - part)]
        }
    }
}

fn tap_flow(rig: &Rig, feed: &Feed, tap: &Tap, nominal: Option<f64>, tolerance: f64, flow: &Flow) -> TapFlow {
    let form = form(rig, feed, tap).unwrap_or(Form::CentreNegative);
    let Some((device, need)) = rig.device(tap.device).and_then(|d| Some((d, d.power.need()?))) else {
        return TapFlow { nominal, form, ..NOTHING };
    };
    let way = nominal.and_then(|volts| way(need, volts, form, tolerance));
    // In the wrong way it draws about what it does in its usual one.
    let draws = way.or((!need.ways.is_empty()).then_some(0)).and_then(|at| need.ways.get(at));
    let mut tap = TapFlow { nominal, form, way, ..NOTHING };
    if nominal.is_none() {
        return tap;
    }
    if let Some(way) = draws {
        (tap.running, tap.start_up, tap.lasting) = (way.running.get(), way.start_up.get(), need.lasting(way));
    }
    if let (Kind::Supply(supply), Some(volts)) = (&device.kind, nominal) {
        let given = given(rig, device.id, flow);
        let efficiency = supply.efficiency.get();
        if efficiency > 0.0 && volts > 0.0 {
            tap.running += given.running / efficiency / volts;
            tap.start_up += given.start_up / efficiency / volts;
            tap.lasting += given.lasting / efficiency / volts;
        }
    }
    tap
}

/// What a supply's outlets give together, in W.
fn given(rig: &Rig, id: DeviceId, flow: &Flow) -> Load {
    let mut sum = Load::default();
    for (outlet, _) in outlets(rig, id) {
        let volts = flow.nominal.get(&outlet).copied().flatten().unwrap_or(0.0);
        sum.add(volts, &flow.load(outlet));
    }
    sum
}

/// From the mains down: what each outlet gives at its load, and with nothing on it.
fn voltages(rig: &Rig, id: DeviceId, flow: &mut Flow) {
    let Some(device) = rig.device(id) else { return };
    let passes = device.kind.supply().is_some_and(|supply| supply.passes);
    let feed = rig.feed_to(id).filter(|_| passes);
    let lost = feed.map_or(0.0, |feed| super::drop::lost(feed, flow.of(feed), id));
    for (outlet, setting) in outlets(rig, id) {
        let fed = flow.nominal.get(&outlet).copied().flatten().is_some();
        let (at_load, no_load) = match feed {
            Some(feed) => {
                let incoming = flow.source(feed.from, &flow.volts).map(|volts| volts - lost);
                (incoming, flow.source(feed.from, &flow.no_load))
            }
            None => {
                let (running, _) = flow.outlets.get(&outlet).copied().unwrap_or_default();
                (Some(at_load(setting, running)), Some(setting.no_load.unwrap_or(setting.volts).get()))
            }
        };
        flow.volts.insert(outlet, at_load.filter(|_| fed));
        flow.no_load.insert(outlet, no_load.filter(|_| fed));
    }
}

/// The voltage of an outlet at a current in A: an unregulated one falls from
/// its voltage with nothing on it to the rated one at the rated current.
/// [page, memory, S: no-load]
fn at_load(setting: &Setting, current: f64) -> f64 {
    let rated = setting.volts.get();
    match setting.no_load {
        Some(no_load) if setting.limit.get() > 0.0 => {
            no_load.get() + (rated - no_load.get()) * current / setting.limit.get()
        }
        Some(no_load) => no_load.get(),
        None => rated,
    }
}

pub fn supply_check(rig: &Rig, device: &Device, supply: &Supply, flow: &Flow, zero_volts: &ZeroVolts) -> SupplyCheck {
    let outlets: Vec<OutletCheck> = (1..=u8::MAX)
        .zip(&supply.outlets)
        .map(|(number, outlet)| {
            let at = OutletRef::new(device.id, number);
            let limit = outlet.setting().map(|setting| setting.limit.get());
            let fed = rig.feeds.iter().filter(|feed| feed.from.outlets().any(|from| from == at));
            OutletCheck {
                outlet: at,
                volts: flow.volts.get(&at).copied().flatten(),
                load: Load { limit, ..flow.load(at) },
                zero_volt: zero_volts.of_outlet(rig, at).unwrap_or(Return(usize::MAX)),
                devices: fed.flat_map(|feed| feed.taps.iter().map(|tap| tap.device)).collect(),
            }
        })
        .collect();
    let sum = |pick: &dyn Fn(usize) -> bool, limit: Option<f64>| {
        let mut sum = Load { limit, ..Load::default() };
        for (_, outlet) in outlets.iter().enumerate().filter(|(at, _)| pick(*at)) {
            let volts = flow.nominal.get(&outlet.outlet).copied().flatten().unwrap_or(0.0);
            sum.add(volts, &outlet.load);
        }
        sum
    };
    let groups = supply.groups.iter().map(|group| GroupCheck {
        zero_volt: group.zero_volt,
        load: sum(&|at| supply.outlets[at].zero_volt == group.zero_volt, Some(group.limit.get())),
    });
    let groups: Vec<GroupCheck> = groups.collect();
    let total = sum(&|_| true, supply.total.map(|total| total.get()));
    let efficiency = supply.efficiency.get();
    let own = match &device.power {
        Power::Mains(mains) => mains.draw.get(),
        Power::Battery(battery) => battery.draw.get() * battery.volts.get(),
        _ => 0.0,
    };
    let fed = flow.fed.get(&device.id).copied().unwrap_or(false);
    let taken = match &device.power {
        Power::Low(_) => rig.feed_to(device.id).map_or(0.0, |feed| {
            let plugs = feed.taps.iter().zip(flow.of(feed)).filter(|(tap, _)| tap.device == device.id);
            plugs.map(|(_, flow)| flow.running * flow.nominal.unwrap_or(0.0)).sum()
        }),
        _ if efficiency > 0.0 => own + total.running / efficiency,
        _ => own,
    };
    let volt_amperes = match &device.power {
        Power::Mains(mains) => mains.volt_amperes(taken),
        _ => taken,
    };
    SupplyCheck { supply: device.id, outlets, groups, total, fed, taken, volt_amperes }
}
