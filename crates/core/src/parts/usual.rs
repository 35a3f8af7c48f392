//! What a device has that its part hasn't: the numbers with which it begins, and where
//! each comes from.

use super::usual_pickups as pickups;
use super::{Label, Source};
use crate::rig::{
    Amp, Device, EffectsLoop, Field, Input, Kind, LevelPot, NO_LATENCY, Pot, Stage, Stereo, Taper, TrebleBleed, fields,
};
use crate::units::{Decibels, Farads, Ohms, Seconds, Turn, Volts};

/// A small capacitor in the way to an input: a treble booster's. [memory, S: treble-booster]
pub const COUPLING: Farads = Farads::of(5e-9);
/// A passive piezo's own capacitance. [memory, S: piezo]
pub const PIEZO: Farads = Farads::of(1e-9);
/// A usual level pot, at half of its resistance. [memory, S: level-pot]
pub const LEVEL_POT: LevelPot = LevelPot { pot: Pot::of(Ohms::of(100e3), Taper::Linear), turn: Turn::of(0.5) };
/// A buffer inside a loop switcher. [memory, S: loop-switcher]
pub const BUFFER: Stage = Stage::of(Input::of(Ohms::of(1e6), Farads::of(20e-12)), Ohms::of(100.0), Decibels::of(0.0));
/// A send and a return in the middle of a unit or an amp. [memory, S: send-return]
pub const EFFECTS_LOOP: EffectsLoop = EffectsLoop::of(Ohms::of(1e3), Input::of(Ohms::of(100e3), Farads::of(50e-12)));
/// How late a digital unit is. [memory, S: latency]
pub const LATENCY: Seconds = Seconds::of(2e-3);
/// A sound in the middle between left and right.
pub const PAN: Turn = Turn::of(0.5);
/// The dry signal beside a loop: as loud as what comes back.
pub const DRY: Decibels = Decibels::of(0.0);
/// A single coil's highest voltage, struck hard. [memory, S: instrument-peaks]
pub const PEAK: Volts = Volts::of(1.0);
/// A treble bleed of a capacitor alone. [page, S: tone-and-bleed]
pub const BLEED: TrebleBleed = TrebleBleed::Capacitor { capacitance: Farads::of(1e-9) };
/// One of a capacitor and a resistor side by side. [page, S: tone-and-bleed]
pub const PARALLEL_BLEED: TrebleBleed =
    TrebleBleed::Parallel { capacitance: Farads::of(1e-9), resistance: Ohms::of(150e3) };
/// One of a capacitor and a resistor in series. [page, S: tone-and-bleed]
pub const SERIES_BLEED: TrebleBleed =
    TrebleBleed::Series { capacitance: Farads::of(680e-12), resistance: Ohms::of(130e3) };

/// Of what a device may have besides: its numbers as they begin, each with its source.
#[must_use]
pub fn usual(device: &Device) -> Vec<(Field, Source)> {
    let mut model = device.clone();
    begin(&mut model);
    fields(&model)
        .into_iter()
        .filter_map(|field| source(&model.kind, &field.path).map(|source| (field, source)))
        .collect()
}

/// Sets what there is besides to what it begins with.
fn begin(device: &mut Device) {
    if let Some(stage) = device.kind.stage_mut().filter(|stage| stage.latency != NO_LATENCY) {
        stage.latency = LATENCY;
    }
    if let Some(Some(stereo)) = device.kind.stereo_mut() {
        let right_latency = if stereo.right_latency == NO_LATENCY { NO_LATENCY } else { LATENCY };
        let pan = stereo.pan.map(|_| PAN);
        *stereo = Stereo { right_latency, pan, right_level: Decibels::of(0.0), ..*stereo };
    }
    if let Some(input) = device.kind.input_mut() {
        input.coupling = input.coupling.map(|_| COUPLING);
    }
    if let Some(pedal) = device.kind.pedal_mut() {
        pedal.off.input.coupling = pedal.off.input.coupling.map(|_| COUPLING);
        pedal.level_pot = pedal.level_pot.map(|_| LEVEL_POT);
    }
    match &mut device.kind {
        Kind::Guitar(guitar) => {
            pickups::begin(guitar);
            guitar.peak = guitar.peak.map(|_| PEAK);
            guitar.treble_bleed = guitar.treble_bleed.map(|bleed| match bleed {
                TrebleBleed::Capacitor { .. } => BLEED,
                TrebleBleed::Parallel { .. } => PARALLEL_BLEED,
                TrebleBleed::Series { .. } => SERIES_BLEED,
            });
        }
        Kind::Active(active) => {
            active.peak = active.peak.map(|_| PEAK);
            active.piezo = active.piezo.map(|_| PIEZO);
        }
        Kind::Selector(selector) => {
            let buffer = selector.buffer_mut();
            *buffer = buffer.map(|_| BUFFER);
        }
        Kind::Switcher(switcher) => {
            switcher.input = switcher.input.map(|_| BUFFER);
            switcher.output = switcher.output.map(|_| BUFFER);
        }
        Kind::Amp(Amp { effects_loop, .. }) => *effects_loop = effects_loop.map(begin_loop),
        Kind::MultiEffects(unit) => unit.effects_loop = unit.effects_loop.map(begin_loop),
        _ => {}
    }
}

fn begin_loop(way: EffectsLoop) -> EffectsLoop {
    EffectsLoop { dry: way.dry.map(|_| DRY), has_switch: way.has_switch, ..EFFECTS_LOOP }
}

/// Where the number at a path comes from, if it is one of those.
fn source(kind: &Kind, path: &str) -> Option<Source> {
    if let Some(source) = pickups::source(path) {
        return Some(source);
    }
    let buffer = matches!(kind, Kind::Switcher(_)) && (path.starts_with("input.") || path.starts_with("output."))
        || matches!(kind, Kind::Selector(_)) && path.starts_with("buffer.");
    let (label, note) = match path {
        "on.latency" | "stage.latency" | "buffer.latency" | "stereo.right_latency" => {
            (Label::Memory, "digital units 1-3 ms each")
        }
        "stereo.right_level" => (Label::Invented, "both sides alike until you set it"),
        "stereo.pan" => (Label::Invented, "in the middle until you set it"),
        _ if path.ends_with(".coupling") => (Label::Memory, "a treble booster's, about 5 nF"),
        _ if buffer && !path.ends_with("latency") => {
            (Label::Memory, "a buffer inside a switcher: 1 MΩ in, 47-1000 Ω out")
        }
        _ if path.starts_with("treble_bleed.") => (Label::Page, "articles on wiring"),
        "effects_loop.send" => (Label::Memory, "send 0.1-10 kΩ"),
        "effects_loop.back.resistance" => (Label::Memory, "return 10-1000 kΩ"),
        "effects_loop.back.capacitance" => (Label::Memory, "some tens of pF"),
        _ if path.starts_with("effects_loop.") => (Label::Invented, "nothing changed until you set it"),
        "piezo" => (Label::Memory, "a passive piezo, about 1 nF"),
        "level_pot.pot.resistance" => (Label::Memory, "100 kΩ in most units, 500 kΩ in two-transistor fuzzes"),
        "level_pot.turn" => (Label::Invented, "half-way, to begin with"),
        "peak" => (Label::Memory, "single coil 0.3-1 V, humbucker 0.5-2 V, high output 3 V"),
        _ => return None,
    };
    Some(Source { label, note: note.to_owned() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parts::catalogue;
    use crate::rig::{DeviceId, set_field};

    fn device(part: &str) -> Device {
        catalogue().part(part).unwrap().device(DeviceId(1))
    }

    fn value(device: &Device, path: &str) -> Option<f64> {
        usual(device).into_iter().find(|(field, _)| field.path == path).map(|(field, _)| field.value)
    }

    #[test]
    fn what_is_added_begins_with_usual_numbers_whatever_it_was_set_to() {
        let mut guitar = device("single-coil-guitar");
        let Kind::Guitar(circuit) = &mut guitar.kind else { panic!("no guitar") };
        (circuit.treble_bleed, circuit.peak) = (Some(SERIES_BLEED), Some(PEAK));
        assert_eq!(set_field(&mut guitar, "treble_bleed.capacitance", 1e-9), Ok(true));
        assert_eq!(value(&guitar, "treble_bleed.capacitance"), Some(680e-12));
        assert_eq!(value(&guitar, "peak"), Some(1.0));
        assert_eq!(value(&guitar, "pickup.inductance"), None, "that one is the part's");
        let mut buffer = device("buffer");
        assert_eq!(value(&buffer, "stage.input.coupling"), None);
        buffer.kind.input_mut().unwrap().coupling = Some(Farads::of(1e-6));
        assert_eq!(value(&buffer, "stage.input.coupling"), Some(5e-9));
    }
}
