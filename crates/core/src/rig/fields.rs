//! Every number of a device by its path, so that an inspector can list them
//! and a catalogue can say where each comes from.

use super::{
    Amp, Device, DirectBox, EffectsLoop, Input, Kind, Mixer, MixerInput, Pedal, Pot, Power, Selector, Splitter, Stage,
    Taper, Treadle, TrebleBleed, Tuner, fields_pickups,
};
use crate::units::{
    AmpereHours, Amperes, Coupling, Decibels, Dimension, Farads, Grams, Henries, Hertz, Metres, MixingOhms, Ohms,
    OutOfRange, Price, Ratio, Seconds, Turn, Volts, Watts,
};

/// One number of a device.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Where it stands, as in the catalogue's files: "on.input.resistance".
    pub path: String,
    /// What a person calls it.
    pub label: &'static str,
    /// What kind of number it is.
    pub dimension: Dimension,
    /// Its unit's symbol.
    pub unit: &'static str,
    /// The number, in the SI unit.
    pub value: f64,
}

/// All numbers of a device but those of its power, in the order in which a person wants to read them.
#[must_use]
pub fn fields(device: &Device) -> Vec<Field> {
    listed(device, visit)
}

/// The numbers of a device's power: what it takes, and what a supply gives.
#[must_use]
pub fn power_fields(device: &Device) -> Vec<Field> {
    listed(device, visit_power)
}

fn listed(device: &Device, visit: fn(&mut Device, &mut Visitor<'_>)) -> Vec<Field> {
    let mut found = Vec::new();
    let mut copy = device.clone();
    visit(&mut copy, &mut |path, label, slot| {
        found.push(Field {
            path: path.to_owned(),
            label,
            dimension: slot.dimension(),
            unit: slot.unit(),
            value: slot.get(),
        });
    });
    found
}

/// Sets the number at `path`. `Ok(false)` if the device has no such number;
/// the error says which range was expected.
pub fn set_field(device: &mut Device, path: &str, value: f64) -> Result<bool, OutOfRange> {
    let mut outcome = Ok(false);
    let mut set = |at: &str, _: &'static str, slot: &mut dyn Slot| {
        if at == path {
            outcome = slot.set(value).map(|()| true);
        }
    };
    visit(device, &mut set);
    visit_power(device, &mut set);
    outcome
}

/// A number that can be read and set without knowing its type.
pub(super) trait Slot {
    fn get(&self) -> f64;
    fn set(&mut self, value: f64) -> Result<(), OutOfRange>;
    fn dimension(&self) -> Dimension;
    fn unit(&self) -> &'static str;
}

macro_rules! slots {
    ($($quantity:ident => $dimension:ident),* $(,)?) => {$(
        impl Slot for $quantity {
            fn get(&self) -> f64 {
                $quantity::get(*self)
            }
            fn set(&mut self, value: f64) -> Result<(), OutOfRange> {
                *self = $quantity::new(value)?;
                Ok(())
            }
            fn dimension(&self) -> Dimension {
                Dimension::$dimension
            }
            fn unit(&self) -> &'static str {
                $quantity::UNIT
            }
        }
    )*};
}

slots! {
    Ohms => Resistance, MixingOhms => Resistance, Farads => Capacitance, Henries => Inductance, Decibels => Level,
    Ratio => Number, Hertz => Frequency, Turn => Part, Grams => Mass, Price => Number,
    Metres => Length, Coupling => Number,
    Volts => Voltage, Amperes => Current, Watts => Power, AmpereHours => Capacity, Seconds => Time,
}

pub(super) type Visitor<'a> = dyn FnMut(&str, &'static str, &mut dyn Slot) + 'a;

fn visit(device: &mut Device, see: &mut Visitor<'_>) {
    match &mut device.kind {
        Kind::Guitar(guitar) => {
            fields_pickups::first_pickup(guitar, see);
            if let Some(volume) = &mut guitar.volume {
                pot("volume", ["volume pot", "volume taper at half turn"], volume, see);
            }
            if let Some(tone) = &mut guitar.tone {
                pot("tone.pot", ["tone pot", "tone taper at half turn"], &mut tone.pot, see);
                see("tone.capacitor", "tone capacitor", &mut tone.capacitor);
            }
            treble_bleed(
                "treble_bleed",
                ["treble bleed capacitor", "treble bleed resistor"],
                &mut guitar.treble_bleed,
                see,
            );
            if let Some(wiring) = &mut guitar.pickup_wiring {
                fields_pickups::wiring(wiring, see);
            }
            if let Some(scale) = &mut guitar.scale {
                see("scale", "length of the strings", scale);
            }
            if let Some(peak) = &mut guitar.peak {
                see("peak", PEAK, peak);
            }
        }
        Kind::Active(source) => {
            see("output", "output resistance", &mut source.output);
            see("gain", "gain", &mut source.gain);
            if let Some(piezo) = &mut source.piezo {
                see("piezo", "the piezo's own capacitance", piezo);
            }
            if let Some(peak) = &mut source.peak {
                see("peak", PEAK, peak);
            }
        }
        Kind::Pedal(p) | Kind::Tuner(Tuner::Through { pedal: p, .. }) | Kind::Treadle(Treadle::Wah { pedal: p }) => {
            pedal(p, see);
        }
        Kind::Buffer(buffer) => {
            stage(
                "stage",
                ["input resistance", "input capacitance", COUPLING, "output resistance", "output capacitance", "level"],
                &mut buffer.stage,
                see,
            );
            see("wiring", WIRING, &mut buffer.wiring);
        }
        Kind::Tuner(Tuner::Tap { input: i }) => input("input", i, see),
        Kind::Treadle(Treadle::PassiveVolume { pot: p, wiring }) => {
            pot("pot", ["pot", "taper at half travel"], p, see);
            see("wiring", WIRING, wiring);
        }
        Kind::Treadle(Treadle::BufferedVolume { stage: s, taper, wiring }) => {
            stage(
                "stage",
                [
                    "input resistance",
                    "input capacitance",
                    COUPLING,
                    "output resistance",
                    "output capacitance",
                    "level, toe down",
                ],
                s,
                see,
            );
            half("taper", "taper at half travel", taper, see);
            see("wiring", WIRING, wiring);
        }
        Kind::Splitter(Splitter::Passive { wiring }) => see("wiring", WIRING, wiring),
        Kind::Splitter(Splitter::Buffered { stage: s, wiring }) => {
            stage(
                "stage",
                ["input resistance", "input capacitance", COUPLING, "output resistance", "output capacitance", "level"],
                s,
                see,
            );
            see("wiring", WIRING, wiring);
        }
        Kind::Mixer(Mixer::Buffered { first, second, output, wiring }) => {
            mixer_input(
                "first",
                ["first input resistance", "first input capacitance", COUPLING, "level of the first input"],
                first,
                see,
            );
            mixer_input(
                "second",
                ["second input resistance", "second input capacitance", COUPLING, "level of the second input"],
                second,
                see,
            );
            see("output", "output resistance", output);
            see("wiring", WIRING, wiring);
        }
        Kind::Mixer(Mixer::Passive { first, second, wiring }) => {
            see("first", "resistor of the first input", first);
            see("second", "resistor of the second input", second);
            see("wiring", WIRING, wiring);
        }
        Kind::Switcher(switcher) => {
            if let Some(buffer) = &mut switcher.input {
                let words = [
                    "input buffer’s input resistance",
                    "input buffer’s input capacitance",
                    COUPLING,
                    "input buffer’s output resistance",
                    "input buffer’s output capacitance",
                    "input buffer’s level",
                ];
                stage("input", words, buffer, see);
            }
            if let Some(buffer) = &mut switcher.output {
                let words = [
                    "output buffer’s input resistance",
                    "output buffer’s input capacitance",
                    COUPLING,
                    "output buffer’s output resistance",
                    "output buffer’s output capacitance",
                    "output buffer’s level",
                ];
                stage("output", words, buffer, see);
            }
            see("contacts", "capacitance of a loop’s contacts", &mut switcher.contacts);
            see("wiring", WIRING, &mut switcher.wiring);
        }
        Kind::Selector(selector) => {
            if let Some(buffer) = selector.buffer_mut() {
                let words = [
                    "buffer’s input resistance",
                    "buffer’s input capacitance",
                    COUPLING,
                    "buffer’s output resistance",
                    "buffer’s output capacitance",
                    "buffer’s level",
                ];
                stage("buffer", words, buffer, see);
            }
            let (Selector::Outputs { wiring, .. } | Selector::Inputs { wiring, .. }) = selector;
            see("wiring", WIRING, wiring);
        }
        Kind::MultiEffects(unit) => {
            let words =
                ["input resistance", "input capacitance", COUPLING, "output resistance", "output capacitance", "level"];
            stage("stage", words, &mut unit.stage, see);
            see("wiring", WIRING, &mut unit.wiring);
            if let Some(way) = &mut unit.effects_loop {
                see("effects_loop.send_level", "level at the send", &mut way.send_level);
                effects_loop(way, see);
                see("effects_loop.back_latency", "latency that the loop adds", &mut way.back_latency);
            }
        }
        Kind::Wireless(set) => {
            stage(
                "stage",
                [
                    "transmitter input",
                    "transmitter input capacitance",
                    COUPLING,
                    "receiver output",
                    "receiver output capacitance",
                    "level",
                ],
                &mut set.stage,
                see,
            );
        }
        Kind::DirectBox(DirectBox::Active { input: i, .. }) => input("input", i, see),
        Kind::DirectBox(DirectBox::Transformer { turns, load, .. }) => {
            see("turns", "turns ratio", turns);
            see("load", "microphone input behind it", load);
        }
        Kind::Interface(interface) => input("input", &mut interface.input, see),
        Kind::Transformer(transformer) => {
            see("winding", "resistance of each winding", &mut transformer.winding);
            see("magnetising", "magnetising inductance", &mut transformer.magnetising);
            see("capacitance", "winding capacitance", &mut transformer.capacitance);
        }
        Kind::Amp(amp) => visit_amp(amp, see),
        Kind::Supply(_) => {}
    }
    if let Some(Some(stereo)) = device.kind.stereo_mut() {
        see("stereo.right_level", "the right side’s level to the left’s", &mut stereo.right_level);
        if stereo.right_latency.get() > 0.0 {
            see("stereo.right_latency", "latency of the right side", &mut stereo.right_latency);
        }
        if let Some(pan) = &mut stereo.pan {
            see("stereo.pan", "panned from left to right", pan);
        }
    }
    if let Some(usual) = device.kind.heard_to() {
        let mut heard = device.heard_to.unwrap_or(usual);
        see("heard_to", "a change of tone is heard up to", &mut heard);
        // What is as usual follows its kind.
        device.heard_to = (heard != usual).then_some(heard).or(device.heard_to.filter(|kept| *kept == heard));
    }
    see("mass", "mass", &mut device.body.mass);
    see("price", "price", &mut device.body.price);
}

/// Ways, outlets and settings are counted from 1 in the path; the catalogue
/// says where a number comes from by the path with or without the counts.
fn visit_power(device: &mut Device, see: &mut Visitor<'_>) {
    match &mut device.power {
        Power::Unknown | Power::Nothing => {}
        Power::Mains(mains) => {
            see("power.least", "mains from", &mut mains.least);
            see("power.most", "mains up to", &mut mains.most);
            see("power.draw", "takes of the mains", &mut mains.draw);
            see("power.power_factor", "power factor", &mut mains.power_factor);
        }
        Power::Low(need) => {
            for (at, way) in need.ways.iter_mut().enumerate() {
                let at = format!("power.ways.{}", at + 1);
                see(&format!("{at}.least"), "voltage from", &mut way.least);
                see(&format!("{at}.most"), "voltage up to", &mut way.most);
                see(&format!("{at}.running"), "draws", &mut way.running);
                see(&format!("{at}.start_up"), "draws at start-up", &mut way.start_up);
            }
        }
        Power::Battery(battery) => {
            see("power.volts", "battery voltage", &mut battery.volts);
            see("power.capacity", "battery capacity", &mut battery.capacity);
            see("power.draw", "draws", &mut battery.draw);
        }
    }
    let Kind::Supply(supply) = &mut device.kind else { return };
    for (at, outlet) in supply.outlets.iter_mut().enumerate() {
        for (position, setting) in outlet.settings.iter_mut().enumerate() {
            let at = format!("outlets.{}.settings.{}", at + 1, position + 1);
            see(&format!("{at}.volts"), "outlet voltage", &mut setting.volts);
            see(&format!("{at}.limit"), "most current", &mut setting.limit);
            if let Some(no_load) = &mut setting.no_load {
                see(&format!("{at}.no_load"), "voltage with nothing on it", no_load);
            }
        }
    }
    for (at, group) in supply.groups.iter_mut().enumerate() {
        see(&format!("groups.{}.limit", at + 1), "outlets of one 0 V together", &mut group.limit);
    }
    if let Some(total) = &mut supply.total {
        see("total", "all outlets together", total);
    }
    see("efficiency", "efficiency", &mut supply.efficiency);
}

const WIRING: &str = "jacks and wiring";
const COUPLING: &str = "coupling capacitor at the input";
const PEAK: &str = "highest voltage, a string struck hard";

fn visit_amp(amp: &mut Amp, see: &mut Visitor<'_>) {
    input("input", &mut amp.input, see);
    if let Some(grid) = &mut amp.grid {
        see("grid.stopper", "grid stopper", &mut grid.stopper);
        see("grid.grid_cathode", "grid to cathode", &mut grid.grid_cathode);
        see("grid.grid_plate", "grid to plate", &mut grid.grid_plate);
        see("grid.gain", "first stage gain", &mut grid.gain);
    }
    if let Some(way) = &mut amp.effects_loop {
        effects_loop(way, see);
    }
}

fn effects_loop(way: &mut EffectsLoop, see: &mut Visitor<'_>) {
    see("effects_loop.send", "send output resistance", &mut way.send);
    see("effects_loop.back.resistance", "return input resistance", &mut way.back.resistance);
    see("effects_loop.back.capacitance", "return input capacitance", &mut way.back.capacitance);
    if way.mixes_inside() || way.back_level.get() != 0.0 {
        see("effects_loop.back_level", "level of what comes back", &mut way.back_level);
    }
    if let Some(dry) = &mut way.dry {
        see("effects_loop.dry", "level of the dry signal beside the loop", dry);
    }
}

fn input(at: &str, input: &mut Input, see: &mut Visitor<'_>) {
    input_named(at, ["input resistance", "input capacitance", COUPLING], input, see);
}

/// The same with names of its own for resistance, capacitance and coupling capacitor.
fn input_named(at: &str, labels: [&'static str; 3], input: &mut Input, see: &mut Visitor<'_>) {
    see(&format!("{at}.resistance"), labels[0], &mut input.resistance);
    see(&format!("{at}.capacitance"), labels[1], &mut input.capacitance);
    if let Some(coupling) = &mut input.coupling {
        see(&format!("{at}.coupling"), labels[2], coupling);
    }
}

pub(super) fn stage(at: &str, labels: [&'static str; 6], stage: &mut Stage, see: &mut Visitor<'_>) {
    input_named(&format!("{at}.input"), [labels[0], labels[1], labels[2]], &mut stage.input, see);
    see(&format!("{at}.output"), labels[3], &mut stage.output);
    see(&format!("{at}.output_capacitance"), labels[4], &mut stage.output_capacitance);
    see(&format!("{at}.level"), labels[5], &mut stage.level);
    // Of what answers at once nothing is said.
    if stage.latency.get() > 0.0 {
        see(&format!("{at}.latency"), "latency", &mut stage.latency);
    }
}

fn mixer_input(at: &str, labels: [&'static str; 4], from: &mut MixerInput, see: &mut Visitor<'_>) {
    input_named(&format!("{at}.input"), [labels[0], labels[1], labels[2]], &mut from.input, see);
    see(&format!("{at}.level"), labels[3], &mut from.level);
}

fn pedal(pedal: &mut Pedal, see: &mut Visitor<'_>) {
    stage(
        "on",
        [
            "input resistance, on",
            "input capacitance, on",
            "coupling capacitor, on",
            "output resistance, on",
            "output capacitance, on",
            "level, on",
        ],
        &mut pedal.on,
        see,
    );
    match pedal.bypass {
        super::Bypass::True => {}
        super::Bypass::Buffered => {
            let labels = [
                "input resistance, off",
                "input capacitance, off",
                "coupling capacitor, off",
                "output resistance, off",
                "output capacitance, off",
                "level, off",
            ];
            stage("off", labels, &mut pedal.off, see);
        }
        super::Bypass::AlwaysLoading => {
            see("off.input.resistance", "input resistance, off", &mut pedal.off.input.resistance);
            see("off.input.capacitance", "input capacitance, off", &mut pedal.off.input.capacitance);
            if let Some(coupling) = &mut pedal.off.input.coupling {
                see("off.input.coupling", "coupling capacitor, off", coupling);
            }
        }
    }
    if let Some(level) = &mut pedal.level_pot {
        self::pot("level_pot.pot", ["level pot", "level pot's taper at half turn"], &mut level.pot, see);
        see("level_pot.turn", "level pot stands at", &mut level.turn);
    }
    see("wiring", WIRING, &mut pedal.wiring);
}

/// What bridges a volume pot, if anything does.
pub(super) fn treble_bleed(
    at: &str,
    labels: [&'static str; 2],
    bleed: &mut Option<TrebleBleed>,
    see: &mut Visitor<'_>,
) {
    match bleed {
        None => {}
        Some(TrebleBleed::Capacitor { capacitance }) => see(&format!("{at}.capacitance"), labels[0], capacitance),
        Some(TrebleBleed::Parallel { capacitance, resistance } | TrebleBleed::Series { capacitance, resistance }) => {
            see(&format!("{at}.capacitance"), labels[0], capacitance);
            see(&format!("{at}.resistance"), labels[1], resistance);
        }
    }
}

pub(super) fn pot(at: &str, labels: [&'static str; 2], pot: &mut Pot, see: &mut Visitor<'_>) {
    see(&format!("{at}.resistance"), labels[0], &mut pot.resistance);
    half(&format!("{at}.taper"), labels[1], &mut pot.taper, see);
}

fn half(at: &str, label: &'static str, taper: &mut Taper, see: &mut Visitor<'_>) {
    match taper {
        Taper::Linear => {}
        Taper::TwoSegments { half } | Taper::Exponential { half } => see(&format!("{at}.half"), label, half),
    }
}
