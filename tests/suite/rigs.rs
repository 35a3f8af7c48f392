//! The reference guitars [S: reference-guitars], and rigs to plug them into.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::file;
use rigwright_core::network::{Branch, Ladder, Sweep};
use rigwright_core::parts::{Part, catalogue};
use rigwright_core::response::{Request, Response, respond};
use rigwright_core::rig::{
    ActiveSource, Amp, Body, Buffer, Bypass, Cable, Control, Device, DeviceId, Edit, Guitar, Input, Instrument,
    Interface, Jack, JackRef, Kind, Knob, Lead, LeadId, Mixer, MixerInput, Pedal, Pickup, Polarity, Position, Pot,
    Power, Project, Rig, SizeClass, Splitter, Stage, State, SwitchRef, SwitchSetting, Switcher, Taper, Tone, ToneOrder,
    VariantId, apply,
};
use rigwright_core::units::{
    Decibels, Farads, FaradsPerMetre, Grams, Henries, HenriesPerMetre, Level, LossTangent, Metres, Ohms, OhmsPerMetre,
    Price, Ratio, Turn,
};

/// A reference guitar: no eddy loss, tone capacitor 22 nF.
#[derive(Clone, Copy)]
pub struct Reference {
    pub ohms: f64,
    pub henries: f64,
    pub winding: f64,
    pub pots: f64,
}

/// 6 kΩ, 2.5 H, 100 pF, 250 k pots.
pub const SC: Reference = Reference { ohms: 6e3, henries: 2.5, winding: 100e-12, pots: 250e3 };
/// 8 kΩ, 4.5 H, 120 pF, 500 k pots.
pub const HB: Reference = Reference { ohms: 8e3, henries: 4.5, winding: 120e-12, pots: 500e3 };
/// 14 kΩ, 8 H, 150 pF, 500 k pots.
pub const HO: Reference = Reference { ohms: 14e3, henries: 8.0, winding: 150e-12, pots: 500e3 };
/// 8 kΩ, 6.5 H, 110 pF, 500 k pots.
pub const WS: Reference = Reference { ohms: 8e3, henries: 6.5, winding: 110e-12, pots: 500e3 };

impl Reference {
    /// The whole guitar, its pots linear.
    pub fn guitar(self) -> Guitar {
        let pot = Pot::of(Ohms::of(self.pots), Taper::Linear);
        Guitar {
            volume: Some(pot),
            tone: Some(Tone { pot, capacitor: Farads::of(22e-9), order: ToneOrder::OnInput }),
            ..Guitar::of(Instrument::Guitar, self.pickup())
        }
    }

    /// Its pickup alone.
    pub fn pickup(self) -> Pickup {
        Pickup::of(Ohms::of(self.ohms), Henries::of(self.henries), Farads::of(self.winding))
    }
}

/// A ladder of R and L in series, for the checks of bare circuits.
pub fn coil(reference: Reference) -> Ladder {
    let mut ladder = Ladder::new();
    ladder.series(ohms(reference.ohms));
    ladder.series(Branch::Inductor(Henries::of(reference.henries)));
    ladder
}

pub fn ohms(value: f64) -> Branch {
    Branch::Resistor(Ohms::of(value))
}

pub fn farads(value: f64) -> Branch {
    Branch::Capacitor(Farads::of(value))
}

/// A lead that is nothing but 100 pF/m, so that 4.5 m are the 450 pF of the checks.
pub fn bare_cable() -> Cable {
    Cable {
        name: "100 pF a metre".into(),
        capacitance: FaradsPerMetre::of(100e-12),
        resistance: OhmsPerMetre::of(0.0),
        inductance: HenriesPerMetre::of(0.0),
        loss_tangent: LossTangent::of(0.0),
        plug: Farads::of(0.0),
    }
}

/// A lead with everything that a lead has.
pub fn real_cable() -> Cable {
    Cable {
        name: "whole".into(),
        capacitance: FaradsPerMetre::of(100e-12),
        resistance: OhmsPerMetre::of(0.12),
        inductance: HenriesPerMetre::of(0.35e-6),
        loss_tangent: LossTangent::of(0.02),
        plug: Farads::of(10e-12),
    }
}

pub fn input(resistance: f64, capacitance: f64) -> Input {
    Input::of(Ohms::of(resistance), Farads::of(capacitance))
}

pub fn stage(input_ohms: f64, output_ohms: f64) -> Stage {
    Stage::of(input(input_ohms, 0.0), Ohms::of(output_ohms), Decibels::of(0.0))
}

pub fn amp(resistance: f64, capacitance: f64) -> Kind {
    Kind::Amp(Amp::of(input(resistance, capacitance)))
}

pub fn buffer(input_ohms: f64, output_ohms: f64) -> Kind {
    Kind::Buffer(Buffer { stage: stage(input_ohms, output_ohms), wiring: Farads::of(0.0) })
}

pub fn true_bypass(wiring: f64) -> Kind {
    Kind::Pedal(Pedal::of(Bypass::True, stage(1e6, 1e3), stage(1e6, 1e3), Farads::of(wiring)))
}

pub fn device(id: u64, name: &str, kind: Kind) -> Device {
    let body = Body { size: SizeClass::Compact, mass: Grams::of(300.0), price: Price::of(100.0) };
    Device {
        id: DeviceId(id),
        name: name.to_owned(),
        part: String::new(),
        stays_on: false,
        switches: Default::default(),
        heard_to: None,
        effect: None,
        body,
        power: Power::Unknown,
        kind,
    }
}

/// Devices in a row, numbered from 1, with a lead of so many metres between
/// each and the next; the leads are numbered from 1001.
pub fn chain(kinds: Vec<(&str, Kind)>, metres: &[f64], cable: &Cable) -> Rig {
    assert_eq!(kinds.len(), metres.len() + 1, "one lead fewer than devices");
    let devices: Vec<Device> = kinds.into_iter().zip(1..).map(|((name, kind), id)| device(id, name, kind)).collect();
    let leads = metres
        .iter()
        .zip(1..)
        .map(|(&length, at)| Lead {
            id: LeadId(1000 + at),
            from: JackRef::new(DeviceId(at), Jack::Out),
            to: JackRef::new(DeviceId(at + 1), Jack::In),
            length: Metres::of(length),
            cable: cable.clone(),
        })
        .collect();
    Rig { devices, leads, ..Rig::default() }
}

/// A guitar, a switcher with so many units in each loop, and an amp. Units are
/// numbered from 11 on, leads from 1001 on.
pub fn looped(loops: u8, units: usize) -> Rig {
    let inside = Switcher::of(loops, Farads::of(2e-12), Farads::of(30e-12));
    let mut rig = Rig {
        devices: vec![
            device(1, "guitar", Kind::Guitar(HB.guitar())),
            device(2, "amp", amp(1e6, 0.0)),
            device(3, "switcher", Kind::Switcher(inside)),
        ],
        ..Rig::default()
    };
    let plug = |rig: &mut Rig, from: (u64, Jack), to: (u64, Jack), metres: f64| {
        let id = LeadId(1001 + rig.leads.len() as u64);
        let (from, to) = (JackRef::new(DeviceId(from.0), from.1), JackRef::new(DeviceId(to.0), to.1));
        rig.leads.push(Lead { id, from, to, length: Metres::of(metres), cable: real_cable() });
    };
    plug(&mut rig, (1, Jack::Out), (3, Jack::In), 6.0);
    plug(&mut rig, (3, Jack::Out), (2, Jack::In), 6.0);
    for number in 1..=loops {
        let mut from = (3, Jack::Send(number));
        for _ in 0..units {
            let id = 11 + rig.devices.len() as u64 - 3;
            rig.devices.push(device(id, &format!("unit {id}"), true_bypass(20e-12 + id as f64 * 1e-12)));
            plug(&mut rig, from, (id, Jack::In), 0.3 + id as f64 * 0.01);
            from = (id, Jack::Out);
        }
        // No two sums of these are alike.
        plug(&mut rig, from, (3, Jack::Return(number)), 0.05 * 1.7_f64.powi(i32::from(number)));
    }
    rig
}

/// A source that nothing loads, split without loss into two ways, mixed again in
/// front of an interface. Units have ids from 11 on in the first way and from 21 on
/// in the second; the mixer's inputs are at 0 dB, of these signs.
pub fn mixed(first: Vec<Kind>, second: Vec<Kind>, signs: [Polarity; 2]) -> Rig {
    let into = |polarity| MixerInput { input: input(1e6, 0.0), level: Decibels::of(0.0), polarity };
    let mixer = Mixer::Buffered {
        first: into(signs[0]),
        second: into(signs[1]),
        output: Ohms::of(0.0),
        wiring: Farads::of(0.0),
    };
    let source = ActiveSource::of(Instrument::Guitar, Ohms::of(0.0), Ratio::of(1.0));
    let splitter = Splitter::Buffered { stage: stage(1e6, 0.0), wiring: Farads::of(0.0) };
    let mut rig = Rig {
        devices: vec![
            device(1, "source", Kind::Active(source)),
            device(2, "interface", Kind::Interface(Interface::of(input(1e6, 0.0)))),
            device(3, "splitter", Kind::Splitter(splitter)),
            device(4, "mixer", Kind::Mixer(mixer)),
        ],
        ..Rig::default()
    };
    let plug = |rig: &mut Rig, from: (u64, Jack), to: (u64, Jack)| {
        let id = LeadId(1001 + rig.leads.len() as u64);
        let (from, to) = (JackRef::new(DeviceId(from.0), from.1), JackRef::new(DeviceId(to.0), to.1));
        rig.leads.push(Lead { id, from, to, length: Metres::of(0.0), cable: bare_cable() });
    };
    plug(&mut rig, (1, Jack::Out), (3, Jack::In));
    plug(&mut rig, (4, Jack::Out), (2, Jack::In));
    for (units, base, out, into) in [(first, 11, Jack::Out, Jack::In), (second, 21, Jack::SecondOut, Jack::SecondIn)] {
        let mut from = (3, out);
        for (id, kind) in (base..).zip(units) {
            rig.devices.push(device(id, &format!("unit {id}"), kind));
            plug(&mut rig, from, (id, Jack::In));
            from = (id, Jack::Out);
        }
        plug(&mut rig, from, (4, into));
    }
    rig
}

/// A unit with true bypass that nothing loads and that loads nothing, at a level while on.
pub fn level_unit(level_db: f64) -> Kind {
    let on = Stage { level: Decibels::of(level_db), ..stage(1e6, 0.0) };
    Kind::Pedal(Pedal::of(Bypass::True, on, stage(1e6, 0.0), Farads::of(0.0)))
}

/// A guitar, one lead of 100 pF/m, an amp of 1 MΩ.
pub fn straight(guitar: Guitar, metres: f64) -> Rig {
    let kinds = vec![("guitar", Kind::Guitar(guitar)), ("amp", amp(1e6, 0.0))];
    chain(kinds, &[metres], &bare_cable())
}

/// A state with these pedals on.
pub fn on(ids: &[u64]) -> State {
    let on = |id: &u64| (SwitchRef::bypass(DeviceId(*id)), Position::ON);
    State { positions: ids.iter().map(on).collect(), ..State::default() }
}

/// A state in which of a rig's units that a foot switches just these are on, all
/// else as given.
pub fn turned_on(rig: &Rig, ids: impl IntoIterator<Item = DeviceId>, controls: &State) -> State {
    let on: std::collections::BTreeSet<DeviceId> = ids.into_iter().collect();
    let mut state = controls.clone();
    for device in rig.devices.iter().filter(|device| device.has_footswitch()) {
        let switch = device.on_off().expect("it has one").id;
        state.positions.insert(switch, if on.contains(&device.id) { Position::ON } else { Position::OFF });
    }
    state
}

/// Has a unit of a rig on, as somebody steps on its switch.
pub fn step_on(rig: &Rig, state: &mut State, device: DeviceId) {
    let setting = rig.turned_on(device).expect("a unit with a switch");
    state.positions.insert(setting.switch, setting.to);
}

/// The units that switches belong to.
pub fn devices(settings: &[SwitchSetting]) -> Vec<DeviceId> {
    settings.iter().map(|setting| setting.switch.device).collect()
}

/// A state with one control turned.
pub fn turned(device: u64, control: Control, to: f64) -> State {
    let mut state = State::default();
    state.turned.insert(Knob { device: DeviceId(device), control }, Turn::of(to));
    state
}

/// The response on the program's own sweep, from a cold cache.
pub fn response(rig: &Rig, state: &State) -> Response {
    let request =
        Request { rig: Arc::new(rig.clone()), state: state.clone(), test_point: None, unfed: Default::default() };
    respond(&request, &mut LineCache::new(Sweep::audio()))
}

/// The number of dB; fails on silence.
#[track_caller]
pub fn db(level: Level) -> f64 {
    level.decibels().expect("a level, not silence")
}

/// A guitar, 62 parts one behind the other in the catalogue's order, an amp; of
/// what stands in a row, so no loop switcher.
pub fn sixty_four() -> Project {
    let mut project = file::blank().unwrap();
    project.title = "Sixty-four devices".to_owned();
    let variant = project.variants[0].id;
    let through = |part: &&Part| {
        let jacks = part.kind.jacks();
        jacks.contains(&Jack::In)
            && jacks.contains(&Jack::Out)
            && !matches!(part.kind, Kind::Switcher(_) | Kind::Mixer(_))
    };
    let mut on = project.variants[0].rig.leads[0].id;
    let patch = catalogue().cable("patch-lead").unwrap();
    for part in catalogue().parts.iter().filter(through).cycle().take(62) {
        let rig = &project.variants[0].rig;
        let old = rig.lead(on).unwrap();
        let (device, lead) = (DeviceId(project.next_id), LeadId(project.next_id + 1));
        let new =
            Lead { id: lead, from: old.from, to: old.to, length: patch.default_length, cable: patch.cable.clone() };
        let device = Box::new(part.device(device));
        let edit = Edit::Insert { variant, lead: on, device, patch: Box::new(new) };
        project = apply(&project, &edit).unwrap();
        on = project.variants[0].rig.leads.last().unwrap().id;
    }
    assert_eq!(project.variants[0].rig.devices.len(), 64);
    project
}

/// A guitar, 62 true-bypass units and an amp: no rig of that size has more stretches.
pub fn sixty_four_true_bypass() -> Project {
    let mut kinds = vec![("Guitar", Kind::Guitar(SC.guitar()))];
    kinds.extend((0..62).map(|_| ("Unit", true_bypass(20e-12))));
    kinds.push(("Amp", amp(1e6, 100e-12)));
    let mut metres = vec![0.15; 63];
    (metres[0], metres[62]) = (5.0, 6.0);
    let mut rig = chain(kinds, &metres, &bare_cable());
    for (at, device) in rig.devices.iter_mut().enumerate().filter(|(_, device)| device.name == "Unit") {
        device.name = format!("Unit {at}");
    }
    let mut project = file::blank().unwrap();
    let ids = rig.devices.iter().map(|device| device.id.0).chain(rig.leads.iter().map(|lead| lead.id.0));
    project.next_id = ids.max().unwrap_or(0) + 100;
    let variant = Arc::make_mut(&mut project.variants[0]);
    variant.id = VariantId(project.next_id - 1);
    variant.rig = Arc::new(rig);
    project
}
