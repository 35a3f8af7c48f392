//! Random devices and cables.

use std::collections::BTreeMap;

use rigwright_core::rig::{
    ActiveSource, Alone, Amp, Body, Buffer, Bypass, Cable, Desk, Device, DeviceId, DirectBox, Effect, EffectsLoop,
    GridStage, Guitar, Input, Instrument, Interface, Kind, LevelPot, LineLevel, Mixer, MixerInput, MultiEffects, Patch,
    Pedal, Pickup, Polarity, Position, Pot, Power, Selector, SizeClass, Splitter, Stage, Stereo, SwitchHabit,
    SwitchKey, Taper, ToDesk, Tone, ToneOrder, Transformer, Treadle, TrebleBleed, Tuner, Wireless, WithoutPower,
    WorkedBy,
};
use rigwright_core::units::{
    Decibels, Farads, FaradsPerMetre, Grams, Henries, HenriesPerMetre, Hertz, LossTangent, Metres, MixingOhms, Ohms,
    OhmsPerMetre, Price, Ratio, Seconds, Turn, Volts,
};

use super::Dice;

pub fn ohms(dice: &mut Dice) -> Ohms {
    let nasty = dice.pick(&[1.0, 10.0, 1e3, 10e3, 250e3, 1e6, 10e6]);
    Ohms::of(if dice.chance(0.5) { nasty } else { dice.log(1.0, 10e6) })
}

fn output(dice: &mut Dice) -> Ohms {
    if dice.chance(0.1) { Ohms::of(0.0) } else { Ohms::of(dice.log(1.0, 100e3)) }
}

fn small_farads(dice: &mut Dice) -> Farads {
    if dice.chance(0.3) { Farads::of(0.0) } else { Farads::of(dice.log(1e-12, 10e-9)) }
}

/// Once in a while no resistance at all: a short, as somebody typed it.
pub fn input(dice: &mut Dice) -> Input {
    let resistance = match dice.below(40) {
        0 => Ohms::of(0.0),
        1..10 => ohms(dice),
        _ => Ohms::of(dice.log(10e3, 10e6)),
    };
    let coupling = dice.chance(0.2).then(|| Farads::of(dice.pick(&[0.0, 100e-12, 5e-9, 22e-9])));
    Input { resistance, capacitance: small_farads(dice), coupling }
}

pub fn stage(dice: &mut Dice) -> Stage {
    let level = if dice.chance(0.5) { 0.0 } else { 40.0 * dice.unit() - 20.0 };
    let (input, output) = (input(dice), output(dice));
    let output_capacitance = if dice.chance(0.7) { Farads::of(0.0) } else { small_farads(dice) };
    Stage { output_capacitance, ..Stage::of(input, output, Decibels::of(level)) }
}

pub fn taper(dice: &mut Dice) -> Taper {
    let half = Turn::of(dice.pick(&[0.1, 0.15, 0.5, 0.9]));
    dice.pick(&[Taper::Linear, Taper::TwoSegments { half }, Taper::Exponential { half }])
}

pub fn pot(dice: &mut Dice) -> Pot {
    let resistance = if dice.chance(0.1) { ohms(dice) } else { Ohms::of(dice.log(25e3, 1e6)) };
    Pot::of(resistance, taper(dice))
}

pub fn pedal(dice: &mut Dice) -> Pedal {
    let bypass = dice.pick(&[Bypass::True, Bypass::True, Bypass::Buffered, Bypass::AlwaysLoading]);
    let (on, off) = (stage(dice), stage(dice));
    let turn = dice.pick(&[0.0, 0.3, 0.5, 1.0]);
    Pedal {
        level_pot: dice.chance(0.2).then(|| LevelPot { pot: pot(dice), turn: Turn::of(turn) }),
        gain_by_source: dice.pick(&[None, None, None, Some(true), Some(false)]),
        without_power: dice.pick(&[
            None,
            None,
            None,
            Some(WithoutPower::Passes),
            Some(WithoutPower::Silent),
            Some(WithoutPower::Unknown),
        ]),
        ..Pedal::of(bypass, on, off, small_farads(dice))
    }
}

pub fn instrument(dice: &mut Dice) -> Kind {
    if dice.chance(0.15) {
        return Kind::Active(ActiveSource {
            piezo: dice.chance(0.3).then(|| Farads::of(dice.log(100e-12, 10e-9))),
            peak: dice.chance(0.5).then(|| Volts::of(dice.log(0.1, 4.0))),
            ..ActiveSource::of(Instrument::Bass, output(dice), Ratio::of(dice.pick(&[0.5, 1.0, 4.0])))
        });
    }
    let bleed = match dice.below(6) {
        0 => Some(TrebleBleed::Capacitor { capacitance: small_farads(dice) }),
        1 => Some(TrebleBleed::Parallel { capacitance: small_farads(dice), resistance: ohms(dice) }),
        2 => Some(TrebleBleed::Series { capacitance: small_farads(dice), resistance: ohms(dice) }),
        _ => None,
    };
    let order = dice.pick(&[ToneOrder::OnInput, ToneOrder::OnWiper]);
    let tone = Tone { pot: pot(dice), capacitor: Farads::of(dice.log(1e-9, 100e-9)), order };
    let instrument = dice.pick(&[Instrument::Guitar, Instrument::Bass]);
    let pickup = pickup(dice);
    Kind::Guitar(Guitar {
        volume: dice.chance(0.9).then(|| pot(dice)),
        tone: dice.chance(0.8).then_some(tone),
        treble_bleed: bleed,
        peak: dice.chance(0.5).then(|| Volts::of(dice.log(0.1, 4.0))),
        ..Guitar::of(instrument, pickup)
    })
}

/// A pickup of any sort.
pub fn pickup(dice: &mut Dice) -> Pickup {
    let resistance = Ohms::of(dice.log(1.0, 20e3));
    let inductance = Henries::of(if dice.chance(0.05) { 0.0 } else { dice.log(0.5, 12.0) });
    let capacitance = small_farads(dice);
    let eddy_loss = dice.chance(0.5).then(|| Ohms::of(dice.log(10e3, 3e6)));
    Pickup { eddy_loss, ..Pickup::of(resistance, inductance, capacitance) }
}

fn to_desk(dice: &mut Dice) -> ToDesk {
    let desk = dice.pick(&[Desk::Nowhere, Desk::Earthed, Desk::NotEarthed]);
    ToDesk { desk, lifted: dice.chance(0.5), phantom: dice.chance(0.2) }
}

/// A buffer.
pub fn buffer(dice: &mut Dice) -> Kind {
    Kind::Buffer(Buffer { stage: stage(dice), wiring: small_farads(dice) })
}

/// Two inputs and one output, each input with a level and a sign of its own.
pub fn mixer(dice: &mut Dice) -> Kind {
    let from = |dice: &mut Dice| MixerInput {
        input: input(dice),
        level: Decibels::of(if dice.chance(0.5) { 0.0 } else { 40.0 * dice.unit() - 20.0 }),
        polarity: dice.pick(&[Polarity::Same, Polarity::Inverted]),
    };
    let (first, second) = (from(dice), from(dice));
    Kind::Mixer(Mixer::Buffered { first, second, output: output(dice), wiring: small_farads(dice) })
}

/// A resistor from each of two inputs to the output.
pub fn passive_mixer(dice: &mut Dice) -> Kind {
    let [first, second] = [(); 2].map(|()| MixingOhms::of(if dice.chance(0.1) { 1.0 } else { dice.log(1.0, 1e6) }));
    Kind::Mixer(Mixer::Passive { first, second, wiring: small_farads(dice) })
}

/// A device with an input and an output.
pub fn through(dice: &mut Dice) -> Kind {
    match dice.below(20) {
        0..8 => Kind::Pedal(pedal(dice)),
        8 => buffer(dice),
        9 | 10 => Kind::Tuner(Tuner::Through { pedal: pedal(dice), mutes: dice.chance(0.3) }),
        11 => Kind::Treadle(Treadle::Wah { pedal: pedal(dice) }),
        12 | 13 => Kind::Treadle(Treadle::PassiveVolume { pot: pot(dice), wiring: small_farads(dice) }),
        14 => Kind::Treadle(Treadle::BufferedVolume {
            stage: stage(dice),
            taper: taper(dice),
            wiring: small_farads(dice),
        }),
        15 | 16 => Kind::Splitter(Splitter::Passive { wiring: small_farads(dice) }),
        17 => Kind::Splitter(Splitter::Buffered { stage: stage(dice), wiring: small_farads(dice) }),
        18 if dice.chance(0.5) => Kind::Wireless(Wireless { stage: stage(dice) }),
        18 => Kind::DirectBox(DirectBox::Active { input: input(dice), to_desk: to_desk(dice) }),
        _ if dice.chance(0.5) => Kind::Transformer(Transformer {
            winding: Ohms::of(if dice.chance(0.1) { 0.0 } else { dice.log(10.0, 10e3) }),
            magnetising: Henries::of(if dice.chance(0.05) { 0.0 } else { dice.log(0.5, 100.0) }),
            capacitance: small_farads(dice),
        }),
        _ => Kind::DirectBox(DirectBox::Transformer {
            turns: Ratio::of(dice.pick(&[1.0, 10.0, 12.0])),
            load: Ohms::of(dice.log(100.0, 3e3)),
            to_desk: to_desk(dice),
        }),
    }
}

/// A send and a return, in series or with the dry signal beside them, with a switch or without.
pub fn effects_loop(dice: &mut Dice) -> EffectsLoop {
    let level = |dice: &mut Dice| Decibels::of(if dice.chance(0.5) { 0.0 } else { 30.0 * dice.unit() - 15.0 });
    let made_for = [None, Some(LineLevel::Instrument), Some(LineLevel::MinusTen), Some(LineLevel::PlusFour)];
    EffectsLoop {
        send_level: level(dice),
        back_level: level(dice),
        back_polarity: dice.pick(&[Polarity::Same, Polarity::Inverted]),
        back_latency: Seconds::of(dice.pick(&[0.0, 0.0, 1.5e-3])),
        dry: dice.chance(0.4).then(|| level(dice)),
        send_gives: dice.pick(&made_for),
        back_expects: dice.pick(&made_for),
        has_switch: dice.chance(0.5),
        ..EffectsLoop::of(output(dice), input(dice))
    }
}

/// What a unit's two sides are to one another.
pub fn two_sides(dice: &mut Dice) -> Stereo {
    Stereo {
        second_in: dice.chance(0.5),
        right: dice.pick(&[Polarity::Same, Polarity::Inverted, Polarity::Uncorrelated, Polarity::Uncorrelated]),
        right_level: Decibels::of(dice.pick(&[0.0, 0.0, -3.0, 4.5])),
        right_latency: Seconds::of(dice.pick(&[0.0, 0.0, 0.5e-3])),
        pan: dice.chance(0.2).then(|| Turn::of(dice.pick(&[0.0, 0.3, 0.5, 1.0]))),
        alone: dice.pick(&[Alone::Left, Alone::Both]),
    }
}

/// A selector of outputs, or of inputs, passive or with a buffer.
pub fn selector(dice: &mut Dice, outputs: bool) -> Kind {
    let buffer = dice.chance(0.4).then(|| stage(dice));
    let wiring = small_farads(dice);
    Kind::Selector(match outputs {
        true => Selector::Outputs { both: dice.chance(0.6), buffer, wiring },
        false => Selector::Inputs { buffer, wiring },
    })
}

/// A multi-effects unit, with a loop or without, with patches or without.
pub fn multi_effects(dice: &mut Dice) -> MultiEffects {
    let mut stage = stage(dice);
    stage.latency = Seconds::of(dice.pick(&[0.0, 1e-3, 2e-3]));
    stage.polarity = dice.pick(&[Polarity::Same, Polarity::Inverted]);
    let patches = if dice.chance(0.4) { 1 + dice.below(4) } else { 0 };
    let patch = |dice: &mut Dice, at: usize| Patch {
        name: format!("patch {}", at + 1),
        level: Decibels::of(dice.pick(&[0.0, 0.0, 6.0, -3.0])),
        loop_in: dice.chance(0.5),
    };
    MultiEffects {
        stereo: dice.chance(0.3).then_some(Stereo::ALIKE),
        balanced: dice.chance(0.3),
        gives: dice.pick(&[None, Some(LineLevel::MinusTen)]),
        effects_loop: dice.chance(0.8).then(|| effects_loop(dice)),
        patches: (0..patches).map(|at| patch(dice, at)).collect(),
        ..MultiEffects::of(stage, small_farads(dice))
    }
}

/// A device with only an input; an amp may have a send and a return beside it.
pub fn end(dice: &mut Dice) -> Kind {
    match dice.below(8) {
        0 => {
            let input = input(dice);
            Kind::Interface(Interface { earthed_computer: dice.chance(0.5), ..Interface::of(input) })
        }
        1 => Kind::Tuner(Tuner::Tap { input: input(dice) }),
        _ => {
            let grid = GridStage {
                stopper: Ohms::of(dice.pick(&[0.0, 34e3, 68e3])),
                grid_cathode: small_farads(dice),
                grid_plate: Farads::of(1.6e-12),
                gain: Ratio::of(60.0),
            };
            let way = EffectsLoop::of(output(dice), input(dice));
            let own = input(dice);
            Kind::Amp(Amp {
                grid: dice.chance(0.5).then_some(grid),
                effects_loop: dice.chance(0.4).then_some(way),
                ..Amp::of(own)
            })
        }
    }
}

pub fn cable(dice: &mut Dice) -> Cable {
    let or_none = |dice: &mut Dice, value: f64| if dice.chance(0.25) { 0.0 } else { value };
    Cable {
        name: dice.pick(&["long", "patch", "", "coiled – 3,5 m"]).to_owned(),
        capacitance: FaradsPerMetre::of(or_none(dice, 100e-12)),
        resistance: OhmsPerMetre::of(or_none(dice, 0.12)),
        inductance: HenriesPerMetre::of(or_none(dice, 0.35e-6)),
        loss_tangent: LossTangent::of(or_none(dice, 0.05)),
        plug: Farads::of(or_none(dice, 10e-12)),
    }
}

pub fn length(dice: &mut Dice) -> Metres {
    let nasty = dice.pick(&[0.0, 0.0, 1e-6, 0.15, 6.0, 100.0, 300.0]);
    Metres::of(if dice.chance(0.5) { nasty } else { dice.log(0.05, 30.0) })
}

pub fn device(dice: &mut Dice, id: u64, kind: Kind) -> Device {
    let sizes = [SizeClass::Mini, SizeClass::Compact, SizeClass::Treadle, SizeClass::OffBoard];
    Device {
        id: DeviceId(id),
        name: format!("unit {id} “{}”", dice.pick(&["mild", "hard\nclipping", "ünïcode", ""])),
        part: dice.pick(&["", "some-part"]).to_owned(),
        stays_on: dice.chance(0.1),
        switches: habits(dice),
        heard_to: dice.chance(0.2).then(|| Hertz::of(dice.log(1e3, 20e3))),
        // No analysis reads it: it takes nothing from the dice.
        effect: Effect::ALL.get(id as usize % (2 * Effect::ALL.len())).copied(),
        body: Body {
            size: dice.pick(&sizes),
            mass: Grams::of(dice.log(1.0, 1e4)),
            price: Price::of(dice.log(1.0, 1e3)),
        },
        power: Power::Unknown,
        kind,
    }
}

/// Mostly nothing is said of switches; some are worked by hand, some are on at rest.
fn habits(dice: &mut Dice) -> BTreeMap<SwitchKey, SwitchHabit> {
    let mut found = BTreeMap::new();
    for key in [SwitchKey::Bypass, SwitchKey::Mute] {
        let worked_by = if dice.chance(0.08) { WorkedBy::Hand } else { WorkedBy::Foot };
        let default = if dice.chance(0.08) { Position::ON } else { Position::OFF };
        let habit = SwitchHabit { worked_by, default, ..SwitchHabit::default() };
        if habit != SwitchHabit::default() {
            found.insert(key, habit);
        }
    }
    found
}
