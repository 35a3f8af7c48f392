//! Rigs that no player has and that a file may hold all the same: what must
//! answer in bounded time and memory.

use std::sync::Arc;

use rigwright_core::file;
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{
    Apart, Bypass, Connector, DeviceId, Feed, FeedId, Form, Input, Interface, Jack, JackRef, Kind, Lead, LeadId, Mains,
    Mixer, MixerInput, Need, Outlet, OutletRef, Pedal, Polarity, Power, Project, Rig, Setting, Sound, SoundId,
    Splitter, Supply, Tap, Variant, VariantId, Way, ZeroVolt,
};
use rigwright_core::units::{Amperes, Decibels, Farads, Metres, Ohms, Turn, Volts, Watts};
use rigwright_tests::Dice;

use super::rigs;

/// Ids of leads begin above those of devices, ids of feeds above those.
const LEADS: u64 = 100_000;
const FEEDS: u64 = 300_000;
const VARIANTS: u64 = 400_000;
const SOUNDS: u64 = 500_000;
const FREE: u64 = 600_000;

/// A rig that grows device by device.
#[derive(Default)]
pub struct Growing(pub Rig);

impl Growing {
    /// One more device.
    pub fn add(&mut self, kind: Kind) -> DeviceId {
        let id = self.0.devices.len() as u64 + 1;
        self.0.devices.push(rigs::device(id, &format!("Unit {id}"), kind));
        DeviceId(id)
    }

    /// A lead between two jacks, taken or not.
    pub fn join(&mut self, from: (DeviceId, Jack), to: (DeviceId, Jack)) {
        let at = self.0.leads.len() as u64;
        self.0.leads.push(Lead {
            id: LeadId(LEADS + at),
            from: JackRef::new(from.0, from.1),
            to: JackRef::new(to.0, to.1),
            // Different, so that no two-port is found that was made for another.
            length: Metres::of(0.15 + 1e-4 * at as f64),
            cable: rigs::real_cable(),
        });
    }

    /// A device behind a jack.
    pub fn plug(&mut self, from: (DeviceId, Jack), kind: Kind) -> DeviceId {
        let to = self.add(kind);
        self.join(from, (to, Jack::In));
        to
    }

    fn feed(&mut self, supply: DeviceId, outlet: u8, devices: impl IntoIterator<Item = DeviceId>) {
        let mut taps = devices.into_iter().map(Tap::next);
        let Some(first) = taps.next() else { return };
        let id = FeedId(FEEDS + self.0.feeds.len() as u64);
        let feed = Feed::straight(id, OutletRef::new(supply, outlet), first.device);
        self.0.feeds.push(Feed { taps: std::iter::once(Tap::first(first.device)).chain(taps).collect(), ..feed });
    }
}

/// A guitar, such units one behind another, an amp.
pub fn chain(units: usize, kind: impl Fn(usize) -> Kind) -> Rig {
    let mut rig = Growing::default();
    let mut last = rig.add(Kind::Guitar(rigs::SC.guitar()));
    for at in 0..units {
        last = rig.plug((last, Jack::Out), kind(at));
    }
    rig.plug((last, Jack::Out), rigs::amp(1e6, 100e-12));
    rig.0
}

/// A unit of that bypass, its level not 0 dB, on and off not alike.
pub fn unit(bypass: Bypass, at: usize) -> Kind {
    let mut on = rigs::stage(400e3 + 1e3 * at as f64, 1e3);
    on.level = Decibels::of(3.0);
    let off = rigs::stage(900e3, 200.0 + at as f64);
    let selectable = vec![bypass, Bypass::Buffered];
    Kind::Pedal(Pedal { selectable, ..Pedal::of(bypass, on, off, Farads::of(20e-12)) })
}

fn splitter() -> Kind {
    Kind::Splitter(Splitter::Passive { wiring: Farads::of(30e-12) })
}

fn interface() -> Kind {
    Kind::Interface(Interface::of(Input::of(Ohms::of(1e6), Farads::of(50e-12))))
}

/// Passive splitters one behind another, a switched unit and a listener on the second side of each.
fn comb(splitters: usize) -> Rig {
    let mut rig = Growing::default();
    let mut last = rig.add(Kind::Guitar(rigs::SC.guitar()));
    for at in 0..splitters {
        last = rig.plug((last, Jack::Out), splitter());
        let side = rig.plug((last, Jack::SecondOut), unit(Bypass::True, at));
        rig.plug((side, Jack::Out), interface());
    }
    rig.plug((last, Jack::Out), rigs::amp(1e6, 100e-12));
    rig.0
}

/// Splitters and mixers in turn, a switched unit in one way of each; or all
/// splitters first, so that each pair stands within the one before.
pub fn ways(pairs: usize, nested: bool) -> Rig {
    let mut rig = Growing::default();
    let guitar = rig.add(Kind::Guitar(rigs::SC.guitar()));
    let mut last = (guitar, Jack::Out);
    let mut open = Vec::new();
    for at in 0..pairs {
        let parts = rig.plug(last, splitter());
        let unit = rig.plug((parts, Jack::Out), unit(Bypass::True, at));
        last = (unit, Jack::Out);
        open.push(parts);
        if !nested || at + 1 == pairs {
            while let Some(parts) = open.pop() {
                let mixer = rig.plug(last, mixer());
                rig.join((parts, Jack::SecondOut), (mixer, Jack::SecondIn));
                last = (mixer, Jack::Out);
            }
        }
    }
    rig.plug(last, rigs::amp(1e6, 100e-12));
    rig.0
}

/// One way of buffers beside one without.
pub fn long_way(buffers: usize) -> Rig {
    let mut rig = Growing::default();
    let guitar = rig.add(Kind::Guitar(rigs::SC.guitar()));
    let parts = rig.plug((guitar, Jack::Out), splitter());
    let mut last = (parts, Jack::Out);
    for at in 0..buffers {
        last = (rig.plug(last, if at % 2 == 0 { rigs::buffer(1e6, 100.0) } else { unit(Bypass::True, at) }), Jack::Out);
    }
    let mixer = rig.plug(last, mixer());
    rig.join((parts, Jack::SecondOut), (mixer, Jack::SecondIn));
    rig.plug((mixer, Jack::Out), rigs::amp(1e6, 100e-12));
    rig.0
}

fn mixer() -> Kind {
    let into = MixerInput { input: rigs::input(1e6, 20e-12), level: Decibels::of(-6.0), polarity: Polarity::Same };
    Kind::Mixer(Mixer::Buffered { first: into, second: into, output: Ohms::of(100.0), wiring: Farads::of(30e-12) })
}

/// A tree of splitters, a switched unit before each, an earthed amp on every last branch.
fn tree(devices: usize) -> Rig {
    let mut rig = Growing::default();
    let guitar = rig.add(Kind::Guitar(rigs::SC.guitar()));
    let mut open = std::collections::VecDeque::from([(guitar, Jack::Out)]);
    while let Some(jack) = open.pop_front() {
        if rig.0.devices.len() + 2 * open.len() + 6 > devices {
            let amp = rig.plug(jack, rigs::amp(1e6, 100e-12));
            earth(&mut rig, amp);
            continue;
        }
        let at = rig.0.devices.len();
        let unit = rig.plug(jack, unit(Bypass::True, at));
        let parts = rig.plug((unit, Jack::Out), splitter());
        open.extend([(parts, Jack::Out), (parts, Jack::SecondOut)]);
    }
    rig.0
}

fn earth(rig: &mut Growing, device: DeviceId) {
    if let Some(device) = rig.0.devices.iter_mut().find(|other| other.id == device) {
        device.power = mains(true);
    }
}

/// Each output of each device joined to many inputs: nothing that works, and many closed paths of screens.
fn mesh(devices: usize, leads: usize) -> Rig {
    let mut rig = Growing(chain(devices - 2, |at| unit(Bypass::True, at)));
    let mut dice = Dice::new(7);
    while rig.0.leads.len() < leads {
        let mut device = || DeviceId(1 + dice.below(devices) as u64);
        let (from, to) = (device(), device());
        rig.join((from, Jack::Out), (to, Jack::In));
    }
    rig.0
}

/// All leads between the same two jacks.
fn two_jacks(leads: usize) -> Rig {
    let mut rig = Growing(chain(0, |_| splitter()));
    while rig.0.leads.len() < leads {
        rig.join((DeviceId(1), Jack::Out), (DeviceId(2), Jack::In));
    }
    rig.0
}

/// The mains, as a supply or an amp takes it.
pub fn mains(earthed: bool) -> Power {
    let (least, most) = (Volts::of(100.0), Volts::of(240.0));
    Power::Mains(Mains { least, most, earthed, plug_top: false, draw: Watts::of(20.0), power_factor: Turn::FULL })
}

/// A need of 9 V.
pub fn nine(milliamperes: f64, digital: bool) -> Power {
    let way = Way::of([9.0, 9.0], Form::CentreNegative, [milliamperes, 1.5 * milliamperes]);
    let apart = if digital { Apart::OtherKind } else { Apart::Nobody };
    Power::Low(Need { ways: vec![way], connector: Connector::Barrel21, digital, apart, ..Need::default() })
}

/// A supply of so many 9 V outlets.
pub fn supply(outlets: usize, isolated: bool) -> Kind {
    let setting = |volts: f64| Setting {
        volts: Volts::of(volts),
        limit: Amperes::of(0.5),
        form: Form::CentreNegative,
        no_load: None,
    };
    let outlet = |at: usize| Outlet {
        settings: vec![setting(9.0), setting(12.0)],
        chosen: 1,
        connector: Connector::Barrel21,
        zero_volt: if isolated { ZeroVolt::Group(at as u8) } else { ZeroVolt::Inlet },
        parallel: true,
    };
    Kind::Supply(Supply { outlets: (0..outlets).map(outlet).collect(), efficiency: Turn::of(0.8), ..Supply::default() })
}

/// A chain of units that all hang on one daisy lead, every fifth one digital.
fn one_daisy(units: usize) -> Rig {
    let mut rig = Growing(powered_chain(units));
    let id = rig.add(supply(1, false));
    earth(&mut rig, id);
    rig.feed(id, 1, (0..units as u64).map(|at| DeviceId(at + 2)));
    rig.0
}

fn powered_chain(units: usize) -> Rig {
    let mut rig = chain(units, |at| unit(Bypass::Buffered, at));
    let last = rig.devices.len() - 1;
    for (at, device) in rig.devices.iter_mut().enumerate() {
        device.power = match at {
            0 => Power::Nothing,
            at if at == last => mains(true),
            at => nine(10.0 + (at % 7) as f64, at % 5 == 0),
        };
    }
    rig
}

/// Units in a row and supplies of many outlets, each unit on one of its own.
fn many_outlets(units: usize, supplies: usize, outlets: usize, isolated: bool) -> Rig {
    let mut rig = Growing(powered_chain(units));
    let mut fed = (0..units as u64).map(|at| DeviceId(at + 2));
    for _ in 0..supplies {
        let id = rig.add(supply(outlets, isolated));
        earth(&mut rig, id);
        for outlet in 1..=outlets.min(255) {
            rig.feed(id, outlet as u8, fed.next());
        }
    }
    rig.0
}

/// No two units take the same current.
fn different(mut rig: Rig) -> Rig {
    for (at, device) in rig.devices.iter_mut().enumerate() {
        if device.power.need().is_some() {
            device.power = nine(10.0 + 0.7 * at as f64, at % 5 == 0);
        }
    }
    rig
}

/// Units that want many things, no two of them the same current.
fn mixed_units(units: usize) -> Growing {
    let mut rig = Growing(powered_chain(units));
    for (at, device) in rig.0.devices.iter_mut().enumerate().filter(|(_, device)| device.power.need().is_some()) {
        device.power = Power::Low(mixed_need(at));
    }
    rig
}

fn mixed_need(at: usize) -> Need {
    use Form::{Alternating, CentreNegative, CentrePositive};
    let (least, most, form) = match at % 12 {
        0 | 6 => (18.0, 18.0, CentreNegative),
        1 => (9.0, 18.0, CentreNegative),
        2 => (12.0, 12.0, CentreNegative),
        3 => (9.0, 9.0, Alternating),
        4 => (9.0, 9.0, CentrePositive),
        5 => (9.0, 12.0, CentreNegative),
        _ => (9.0, 9.0, CentreNegative),
    };
    let current = 4.0 + 1.3 * at as f64;
    let way = Way::of([least, most], form, [current, 2.0 * current]);
    let digital = at.is_multiple_of(5);
    Need {
        ways: vec![way],
        digital,
        apart: if digital { Apart::OtherKind } else { Apart::Nobody },
        positive_ground: at % 17 == 7,
        shares_winding: at % 24 == 3,
        ..Need::default()
    }
}

/// An outlet of a few: other volts, polarity and limits than the one before.
fn mixed_outlet(at: usize) -> Outlet {
    use Form::{Alternating, CentreNegative, CentrePositive};
    let gives = |volts: f64, amperes: f64, form: Form| Setting {
        volts: Volts::of(volts),
        limit: Amperes::of(amperes),
        form,
        no_load: None,
    };
    let settings = match at % 8 {
        0 => vec![gives(9.0, 0.5, CentreNegative)],
        1 => vec![gives(9.0, 0.3, CentreNegative), gives(18.0, 0.1, CentreNegative)],
        2 => vec![gives(12.0, 0.25, CentreNegative), gives(9.0, 0.1, CentreNegative)],
        3 => vec![gives(9.0, 0.8, Alternating)],
        4 => vec![gives(9.0, 0.1, CentrePositive)],
        5 => vec![gives(18.0, 0.2, CentreNegative)],
        6 => vec![gives(9.0, 2.0, CentreNegative)],
        _ => vec![gives(9.0, 0.1, CentreNegative), gives(12.0, 0.1, CentreNegative), gives(9.0, 0.1, CentrePositive)],
    };
    let zero_volt = ZeroVolt::Group(if at % 3 == 2 { 1 } else { 10 + at as u8 });
    Outlet { settings, chosen: 1, connector: Connector::Barrel21, zero_volt, parallel: at % 4 < 2 }
}

/// Units that want many things, before a few outlets.
pub fn few_outlets(units: usize, outlets: usize) -> Rig {
    let mut rig = mixed_units(units);
    let outlets = (0..outlets).map(mixed_outlet).collect();
    let total = Some(Watts::of(20.0));
    let id = rig.add(Kind::Supply(Supply { outlets, total, efficiency: Turn::of(0.8), ..Supply::default() }));
    earth(&mut rig, id);
    rig.0
}

/// The same before so many of each supply and module that the catalogue has, nothing plugged in.
pub fn whole_shop(units: usize, copies: usize) -> Rig {
    let mut rig = mixed_units(units);
    for part in catalogue().parts.iter().filter(|part| matches!(part.kind, Kind::Supply(_))) {
        for _ in 0..copies {
            let id = rig.0.devices.len() as u64 + 1;
            rig.0.devices.push(part.device(DeviceId(id)));
        }
    }
    rig.0
}

/// Modules that feed one another, a unit on each.
fn chained_modules(modules: usize) -> Rig {
    let mut rig = Growing(powered_chain(modules));
    let mut before = rig.add(supply(2, false));
    earth(&mut rig, before);
    for at in 0..modules {
        let next = rig.add(supply(2, false));
        if let Some(device) = rig.0.devices.last_mut() {
            device.power = nine(5.0, false);
        }
        rig.feed(before, 1, [next]);
        rig.feed(next, 2, [DeviceId(at as u64 + 2)]);
        before = next;
    }
    rig.0
}

/// Many supply leads in one outlet and one device.
fn many_feeds(feeds: usize) -> Rig {
    let mut rig = Growing(powered_chain(1));
    let id = rig.add(supply(1, false));
    for _ in 0..feeds {
        rig.feed(id, 1, [DeviceId(2)]);
    }
    rig.0
}

/// A project of these rigs.
pub fn project(title: &str, variants: Vec<Rig>) -> Project {
    let variant =
        |(at, rig): (usize, Rig)| Arc::new(Variant::of(VariantId(VARIANTS + at as u64), format!("Variant {at}"), rig));
    let mut project = file::blank().expect("the blank rig opens");
    project.title = title.to_owned();
    project.variants = variants.into_iter().enumerate().map(variant).collect();
    project.next_id = FREE;
    project
}

fn many_sounds(sounds: usize) -> Project {
    let mut project = project("many sounds", vec![chain(30, |at| unit(Bypass::True, at))]);
    let sound = |at: usize| Sound {
        id: SoundId(SOUNDS + at as u64),
        name: format!("Sound {at}"),
        state: rigs::on(&(2..32).filter(|unit| at >> ((unit - 2) % 10) & 1 == 1).collect::<Vec<_>>()),
        made_in: Default::default(),
        notes: String::new(),
    };
    project.sounds = (0..sounds).map(sound).collect();
    project
}

/// Makes a project.
pub type Maker = fn() -> Project;

/// All of them, each with its name.
pub fn all() -> Vec<(&'static str, Maker)> {
    vec![
        ("64 true-bypass units", || project("", vec![chain(64, |_| rigs::true_bypass(20e-12))])),
        ("128 true-bypass units", || project("", vec![chain(128, |_| rigs::true_bypass(20e-12))])),
        ("250 true-bypass units", || project("", vec![chain(250, |_| rigs::true_bypass(20e-12))])),
        ("498 true-bypass units", || project("", vec![chain(498, |_| rigs::true_bypass(20e-12))])),
        ("998 true-bypass units", || project("", vec![chain(998, |_| rigs::true_bypass(20e-12))])),
        ("998 louder true-bypass units", || project("", vec![chain(998, |at| unit(Bypass::True, at))])),
        ("998 buffered units", || project("", vec![chain(998, |at| unit(Bypass::Buffered, at))])),
        ("998 always-loading units", || project("", vec![chain(998, |at| unit(Bypass::AlwaysLoading, at))])),
        ("998 buffers", || project("", vec![chain(998, |_| rigs::buffer(1e6, 100.0))])),
        ("998 units of three kinds", || project("", vec![chain(998, three_kinds)])),
        ("332 splitters in a row", || project("", vec![comb(332)])),
        ("330 splitters and mixers in turn", || project("", vec![ways(330, false)])),
        ("330 splitters and mixers one in another", || project("", vec![ways(330, true)])),
        ("a way of 990 units beside one without", || project("", vec![long_way(990)])),
        ("tree of 1000 devices", || project("", vec![tree(1000)])),
        ("mesh of 500 and 2000 leads", || project("", vec![mesh(500, 2000)])),
        ("mesh of 1000 and 4000 leads", || project("", vec![mesh(1000, 4000)])),
        ("4000 leads between two jacks", || project("", vec![two_jacks(4000)])),
        ("daisy of 900", || project("", vec![one_daisy(900)])),
        ("900 units on isolated outlets", || project("", vec![many_outlets(900, 4, 255, true)])),
        ("800 units on 100 supplies of 250", || project("", vec![many_outlets(800, 100, 250, false)])),
        ("100 units on 120 outlets", || project("", vec![different(many_outlets(100, 1, 120, true))])),
        ("100 units on 12 outlets", || project("", vec![different(many_outlets(100, 1, 12, true))])),
        ("100 mixed units on 3 outlets", || project("", vec![few_outlets(100, 3)])),
        ("100 mixed units on 5 outlets", || project("", vec![few_outlets(100, 5)])),
        ("100 mixed units on 8 outlets", || project("", vec![few_outlets(100, 8)])),
        ("100 mixed units on 40 outlets", || project("", vec![few_outlets(100, 40)])),
        ("100 mixed units and a shop's supplies", || project("", vec![whole_shop(100, 1)])),
        ("100 mixed units and two shops' supplies", || project("", vec![whole_shop(100, 2)])),
        ("100 modules in a row", || project("", vec![chained_modules(100)])),
        ("450 modules in a row", || project("", vec![chained_modules(450)])),
        ("1000 feeds of one unit", || project("", vec![many_feeds(1000)])),
        ("1000 sounds", || many_sounds(1000)),
        ("100 small variants", || project("", vec![chain(3, |at| unit(Bypass::True, at)); 100])),
        ("100 variants of 90 units", || project("", vec![chain(90, |at| unit(Bypass::True, at)); 100])),
        ("10 variants of 998 units", || project("", vec![chain(998, |at| unit(Bypass::True, at)); 10])),
    ]
}

/// Runs of switched units with a buffer after every fortieth.
fn three_kinds(at: usize) -> Kind {
    match at % 40 {
        39 => rigs::buffer(1e6, 100.0),
        13 => unit(Bypass::AlwaysLoading, at),
        26 => unit(Bypass::Buffered, at),
        _ => unit(Bypass::True, at),
    }
}
